# SPDX-License-Identifier: Apache-2.0
"""What two classes have in common, and what is left of a class in a weaker barrier."""

from __future__ import annotations

from dataclasses import replace

from brattice.classes.order import Outcome, satisfies
from brattice.classes.steps import ClassSteps, step_down
from brattice.classes.values import (
    BarrierClass,
    Compartments,
    DamperClass,
    Declaration,
    DuctClass,
    Family,
    FireClass,
    FireSide,
    Mounting,
    Pressure,
    SmokeDamperClass,
)

__all__ = ["asking", "capped_by_barrier", "meet"]


def meet(first: Declaration, second: Declaration, steps: ClassSteps) -> Declaration | None:
    """The strongest set of classes that both satisfy; None when they have nothing in common.

    It is satisfied by both, and whatever both satisfy is satisfied by it.
    """
    if first.family is not second.family:
        return None
    found = (_class_meet(one, other, steps) for one in first.classes for other in second.classes)
    return _strongest(first.family, [item for item in found if item is not None])


def capped_by_barrier(
    declared: Declaration, integrity_min: int, insulation_min: int | None, steps: ClassSteps
) -> Declaration | None:
    """What is left of a damper's or duct's class in a barrier of so many minutes of integrity and of insulation.

    The class achieved never exceeds the barrier's: each criterion is cut down to the longest step that the barrier
    holds too. None when nothing is left, and for a barrier's own class, which nothing caps.
    """
    if declared.family is Family.BARRIER:
        return None
    left: list[FireClass] = []
    for item in declared.classes:
        if isinstance(item, BarrierClass):
            continue
        if item.insulated and insulation_min is not None:
            times = steps.times(item.family, insulated=True)
            step = step_down(min(item.minutes, insulation_min, integrity_min), times)
            left += [] if step is None else [replace(item, minutes=step)]
        step = step_down(min(item.minutes, integrity_min), _integrity_times(item, steps))
        left += [] if step is None else [_with_integrity(item, step)]
    return _strongest(declared.family, left)


def asking(required: Declaration, mountings: frozenset[Mounting], sides: frozenset[FireSide]) -> Declaration:
    """A requirement that also asks orientation and fire side wherever it asks none so far."""
    classes: list[FireClass] = []
    for item in required.classes:
        asked = item if item.sides else replace(item, sides=sides)
        if not isinstance(asked, BarrierClass) and not asked.mountings:
            asked = replace(asked, mountings=mountings)
        classes.append(asked)
    return Declaration(required.family, tuple(classes), required.notes)


def _strongest(family: Family, classes: list[FireClass]) -> Declaration | None:
    """A declaration without the classes that another one of it satisfies."""
    kept = list({str(item): item for item in classes}.values())
    alone = [Declaration(family, (item,)) for item in kept]
    strongest = [
        item
        for item, own in zip(kept, alone, strict=True)
        if not any(other is not own and satisfies(other, own).outcome is Outcome.SATISFIED for other in alone)
    ]
    return Declaration(family, tuple(strongest)) if strongest else None


def _class_meet(first: FireClass, second: FireClass, steps: ClassSteps) -> FireClass | None:
    sides = first.sides & second.sides
    if isinstance(first, BarrierClass) and isinstance(second, BarrierClass):
        loadbearing, impact = first.loadbearing and second.loadbearing, first.impact and second.impact
        heat = min(first.heat, second.heat, key=lambda item: item.rank)
        times = steps.barrier_times(loadbearing, heat, impact)
        step = step_down(min(first.minutes, second.minutes), times)
        return None if step is None else BarrierClass(loadbearing, heat, step, impact, sides)
    if isinstance(first, SmokeDamperClass) and isinstance(second, SmokeDamperClass):
        return _smoke_meet(first, second, steps)
    if isinstance(first, DamperClass) and isinstance(second, DamperClass):
        step = _common_step(first, second, steps)
        if step is None:
            return None
        return DamperClass(
            insulated=first.insulated and second.insulated,
            minutes=step,
            pressure=_lower(first.pressure, second.pressure),
            smoke=first.smoke and second.smoke,
            mountings=_common_mountings(first.mountings, second.mountings),
            sides=sides,
            cycles=first.cycles if first.cycles == second.cycles else None,
        )
    if isinstance(first, DuctClass) and isinstance(second, DuctClass):
        step = _common_step(first, second, steps)
        if step is None:
            return None
        return DuctClass(
            insulated=first.insulated and second.insulated,
            minutes=step,
            pressure=_lower(first.pressure, second.pressure),
            smoke=first.smoke and second.smoke,
            mountings=_common_mountings(first.mountings, second.mountings),
            sides=sides,
        )
    return None


def _common_step(first: DamperClass | DuctClass, second: DamperClass | DuctClass, steps: ClassSteps) -> int | None:
    times = steps.times(first.family, first.insulated and second.insulated)
    return step_down(min(first.minutes, second.minutes), times)


def _lower(first: Pressure, second: Pressure) -> Pressure:
    return min(first, second, key=lambda item: item.pa)


def _common_mountings(first: frozenset[Mounting], second: frozenset[Mounting]) -> frozenset[Mounting]:
    """The orientations that both state: with the place of mounting where they agree on it, else without."""
    both = (first | {item.plain for item in first}) & (second | {item.plain for item in second})
    stated = {item.plain for item in both if not item.is_plain}
    return frozenset(item for item in both if not item.is_plain or item not in stated)


def _smoke_meet(first: SmokeDamperClass, second: SmokeDamperClass, steps: ClassSteps) -> SmokeDamperClass | None:
    temperature, compartments = first.temperature_c, first.compartments
    if first.temperature_c != second.temperature_c:
        curve, hot = (first, second) if first.temperature_c is None else (second, first)
        if curve.temperature_c is not None or curve.compartments is not Compartments.MULTI:
            return None
        temperature, compartments = hot.temperature_c, hot.compartments
    elif first.compartments is not second.compartments:
        compartments = None
    times = steps.smoke_multi if temperature is None else steps.smoke_single
    step = step_down(min(first.minutes, second.minutes), times)
    if step is None:
        return None
    pressures = [item for item in (first.pressure_pa, second.pressure_pa) if item is not None]
    return SmokeDamperClass(
        insulated=first.insulated and second.insulated,
        minutes=step,
        temperature_c=temperature,
        smoke=first.smoke and second.smoke,
        mountings=_common_mountings(first.mountings, second.mountings),
        sides=first.sides & second.sides,
        pressure_pa=min(pressures) if len(pressures) == 2 else None,
        cycles=first.cycles if first.cycles == second.cycles else None,
        hot=first.hot if first.hot == second.hot and first.hot_credited and second.hot_credited else None,
        activations=first.activations & second.activations,
        compartments=compartments,
    )


def _integrity_times(item: DamperClass | DuctClass | SmokeDamperClass, steps: ClassSteps) -> tuple[int, ...]:
    if isinstance(item, SmokeDamperClass) and item.temperature_c is not None:
        return steps.smoke_single
    return steps.times(item.family, insulated=False)


def _with_integrity(item: DamperClass | DuctClass | SmokeDamperClass, minutes: int) -> FireClass:
    if isinstance(item, DamperClass):
        return replace(item, insulated=False, minutes=minutes, stated_minutes=None)
    return replace(item, insulated=False, minutes=minutes)
