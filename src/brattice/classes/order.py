# SPDX-License-Identifier: Apache-2.0
"""When a declared class satisfies a required one, and why not.

A requirement is split into atoms: each orientation × fire side it asks. Every atom must be met, with all the
criteria of the required class, by one declared class. What is asked and not stated, and what the class tables leave
open, gives *needs evidence*, unless something else already fails.

The class text alone is compared. Wall, size, seal, position and actuation are no part of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from brattice.classes.values import (
    MODULATING,
    BarrierClass,
    ClassNote,
    Compartments,
    Cycles,
    DamperClass,
    Declaration,
    DuctClass,
    Family,
    FireClass,
    FireSide,
    Heat,
    Mounting,
    SmokeDamperClass,
)
from brattice.errors import OwnFault
from brattice.findings import Verdict

__all__ = ["ClassAnswer", "Facet", "Outcome", "Shortfall", "ShortfallKind", "satisfies", "why_not"]


class Outcome(StrEnum):
    """How a declaration stands to a requirement."""

    SATISFIED = "satisfied"
    NOT_SATISFIED = "not satisfied"
    NEEDS_EVIDENCE = "needs evidence"


class Facet(StrEnum):
    """What a class is compared by."""

    FAMILY = "family"
    LOADBEARING = "loadbearing (R)"
    INTEGRITY = "integrity (E)"
    RADIATION = "radiation (W)"
    INSULATION = "insulation (I)"
    IMPACT = "impact (M)"
    LEAKAGE = "leakage (S)"
    ORIENTATION = "orientation"
    FIRE_SIDE = "fire side"
    PRESSURE = "class pressure"
    CYCLES = "cycles"
    TEMPERATURE = "test temperature"
    COMPARTMENTS = "compartments"
    ACTIVATION = "activation"
    HOT = "HOT"


class ShortfallKind(StrEnum):
    """Why a facet is not met.

    It fails, or the text does not state it, or the class tables don't say that one value gives the other.
    """

    FAILS = "fails"
    NOT_STATED = "not stated"
    LEFT_OPEN = "left open"


@dataclass(frozen=True, order=True)
class Shortfall:
    """One facet in which one declared class does not meet one required class, with what is there and what is asked."""

    kind: ShortfallKind
    required: str
    declared: str
    facet: Facet
    have: str
    need: str

    def __str__(self) -> str:
        have = self.have if self.kind is ShortfallKind.NOT_STATED else f"have {self.have}"
        tail = "; the class tables don't say that one gives the other" if self.kind is ShortfallKind.LEFT_OPEN else ""
        return f"{self.declared}: {self.facet.value}: {have}, need {self.need}{tail}"


@dataclass(frozen=True)
class ClassAnswer:
    """How a declaration stands to a requirement, and why.

    `shortfalls` is empty exactly when the requirement is satisfied; `notes` are shown in any case.
    """

    declared: Declaration
    required: Declaration
    outcome: Outcome
    shortfalls: tuple[Shortfall, ...]

    @property
    def notes(self) -> tuple[ClassNote, ...]:
        """What is to be shown beside the answer: the notes on both texts."""
        return tuple(sorted({*self.declared.notes, *self.required.notes}))

    @property
    def rows(self) -> tuple[str, ...]:
        """The data rows that the comparison rests on."""
        return _rows_used(self.declared, self.required)

    @property
    def verdict(self) -> Verdict:
        """The outcome in the words of a check."""
        return {
            Outcome.SATISFIED: Verdict.PASS,
            Outcome.NOT_SATISFIED: Verdict.FAIL,
            Outcome.NEEDS_EVIDENCE: Verdict.UNKNOWN,
        }[self.outcome]


_Gap = tuple[ShortfallKind, Facet, str, str]
_Atom = tuple[Mounting | None, FireSide | None]

_FAILS = ShortfallKind.FAILS
_NOT_STATED = ShortfallKind.NOT_STATED
_LEFT_OPEN = ShortfallKind.LEFT_OPEN

_FACET_ROWS = {
    Facet.FAMILY: ("class.order.families-apart",),
    Facet.LOADBEARING: ("class.order.loadbearing-gives-separating",),
    Facet.INTEGRITY: ("class.order.insulation-gives-integrity", "class.order.longer-gives-shorter"),
    Facet.RADIATION: ("class.order.insulation-gives-radiation", "class.order.longer-gives-shorter"),
    Facet.INSULATION: ("class.order.longer-gives-shorter",),
    Facet.LEAKAGE: ("class.order.leakage-with-its-time",),
    Facet.ORIENTATION: ("class.order.orientation-included",),
    Facet.FIRE_SIDE: ("class.order.fire-side-included",),
    Facet.PRESSURE: ("class.order.higher-pressure-gives-lower", "class.pressure.basic"),
    Facet.COMPARTMENTS: ("class.order.multi-replaces-single",),
    Facet.TEMPERATURE: ("class.order.multi-replaces-single",),
}


def satisfies(declared: Declaration, required: Declaration) -> ClassAnswer:
    """Whether a declaration satisfies a requirement, each atom of it by one declared class; never a bare bool."""
    if declared.family is not required.family:
        family = Shortfall(
            _FAILS, str(required), str(declared), Facet.FAMILY, declared.family.value, required.family.value
        )
        return ClassAnswer(declared, required, Outcome.NOT_SATISFIED, (family,))
    worst = Outcome.SATISFIED
    shortfalls: set[Shortfall] = set()
    for asked in required.classes:
        common = [(held, tuple(_gaps(held, asked))) for held in declared.classes]
        for atom in atoms(asked):
            found = [(held, (*gaps, *_atom_gaps(held, atom))) for held, gaps in common]
            outcome = _best([gaps for _, gaps in found])
            if outcome is Outcome.SATISFIED:
                continue
            if worst is not Outcome.NOT_SATISFIED:
                worst = outcome
            near = [item for item in found if outcome is Outcome.NOT_SATISFIED or not _any_fails(item[1])]
            shortfalls.update(
                Shortfall(kind, str(asked), str(held), facet, have, need)
                for held, gaps in near
                for kind, facet, have, need in gaps
            )
    return ClassAnswer(declared, required, worst, tuple(sorted(shortfalls)))


def why_not(declared: Declaration, required: Declaration) -> tuple[Shortfall, ...]:
    """Every facet that fails, is not stated or is left open; empty exactly when the requirement is satisfied."""
    return satisfies(declared, required).shortfalls


def atoms(asked: FireClass) -> tuple[_Atom, ...]:
    """The orientations × fire sides that a required class asks; None where it asks none."""
    mountings: list[Mounting | None] = [item for item in Mounting if item in asked.mountings]
    sides: list[FireSide | None] = [item for item in FireSide if item in asked.sides]
    return tuple((mounting, side) for mounting in mountings or [None] for side in sides or [None])


def _best(found: list[tuple[_Gap, ...]]) -> Outcome:
    outcome = Outcome.NOT_SATISFIED
    for gaps in found:
        if not gaps:
            return Outcome.SATISFIED
        if not _any_fails(gaps):
            outcome = Outcome.NEEDS_EVIDENCE
    return outcome


def _any_fails(gaps: tuple[_Gap, ...]) -> bool:
    return any(kind is _FAILS for kind, _, _, _ in gaps)


def _atom_gaps(held: FireClass, atom: _Atom) -> Iterator[_Gap]:
    """The gaps in orientation and fire side at one atom."""
    mounting, side = atom
    if mounting is not None:
        kind = mounting_gap(held.mountings, mounting)
        if kind is not None:
            yield kind, Facet.ORIENTATION, _words(held.mountings, Mounting) or "not stated", mounting.value
    if side is not None and side not in held.sides:
        have = _words(held.sides, FireSide)
        yield (_FAILS if have else _NOT_STATED), Facet.FIRE_SIDE, have or "not stated", side.value


def mounting_gap(held: frozenset[Mounting], asked: Mounting) -> ShortfallKind | None:
    """How a stated orientation falls short of the one that is asked; None when it does not."""
    if asked in held or (asked.is_plain and any(item.plain is asked for item in held)):
        return None
    return _NOT_STATED if not held or asked.plain in held else _FAILS


def _words(items: frozenset[Mounting] | frozenset[FireSide], order: type[Mounting] | type[FireSide]) -> str:
    return " ".join(item.value for item in order if item in items)


def _gaps(held: FireClass, asked: FireClass) -> Iterator[_Gap]:
    """The gaps that don't depend on orientation and fire side."""
    if isinstance(held, BarrierClass) and isinstance(asked, BarrierClass):
        yield from _barrier_gaps(held, asked)
    elif isinstance(held, SmokeDamperClass) and isinstance(asked, SmokeDamperClass):
        yield from _time_gaps(held, asked)
        yield from _leakage_gaps(held, asked)
        yield from _smoke_gaps(held, asked)
    elif (isinstance(held, DamperClass) and isinstance(asked, DamperClass)) or (
        isinstance(held, DuctClass) and isinstance(asked, DuctClass)
    ):
        yield from _time_gaps(held, asked)
        yield from _leakage_gaps(held, asked)
        if held.pressure.pa < asked.pressure.pa:
            yield _FAILS, Facet.PRESSURE, f"{held.pressure.pa} Pa", f"{asked.pressure.pa} Pa"
        if isinstance(held, DamperClass) and isinstance(asked, DamperClass):
            yield from _cycle_gaps(held.cycles, asked.cycles)
    else:
        raise OwnFault("classes of two families were compared facet by facet")


def _time_gaps(held: FireClass, asked: FireClass) -> Iterator[_Gap]:
    """Integrity and insulation: EI gives E for its time, E never gives I."""
    need = asked.asked_minutes
    if held.minutes < need:
        credited = f"{held.minutes} min"
        if held.asked_minutes != held.minutes:
            credited += f" (E {held.asked_minutes} stands outside the class table)"
        yield _FAILS, Facet.INTEGRITY, credited, f"{need} min"
    if asked.insulated and (not held.insulated or held.minutes < need):
        yield _FAILS, Facet.INSULATION, f"{held.minutes} min" if held.insulated else "none", f"{need} min"


def _leakage_gaps(
    held: DamperClass | DuctClass | SmokeDamperClass, asked: DamperClass | DuctClass | SmokeDamperClass
) -> Iterator[_Gap]:
    if asked.smoke and not held.smoke:
        yield _FAILS, Facet.LEAKAGE, "no S with this class", f"S for {asked.asked_minutes} min"


def _cycle_gaps(held: Cycles | None, asked: Cycles | None) -> Iterator[_Gap]:
    """Cycles: fewer fail; more are plausible, and left open by the class tables."""
    if asked is None or held == asked:
        return
    if held is None:
        yield _NOT_STATED, Facet.CYCLES, "not stated", _cycles_text(asked)
    else:
        more = held == MODULATING or (asked != MODULATING and held > asked)
        yield (_LEFT_OPEN if more else _FAILS), Facet.CYCLES, _cycles_text(held), _cycles_text(asked)


def _cycles_text(cycles: Cycles) -> str:
    return "modulating" if cycles == MODULATING else f"{cycles:,}".replace(",", " ")


def _smoke_gaps(held: SmokeDamperClass, asked: SmokeDamperClass) -> Iterator[_Gap]:
    if asked.compartments is not None and held.compartments is not asked.compartments:
        if held.compartments is None:
            yield _NOT_STATED, Facet.COMPARTMENTS, "not stated", asked.compartments.value
        elif asked.compartments is Compartments.MULTI:
            yield _FAILS, Facet.COMPARTMENTS, held.compartments.value, asked.compartments.value
    if held.temperature_c != asked.temperature_c:
        yield from _temperature_gaps(held, asked)
    if asked.pressure_pa is not None:
        if held.pressure_pa is None:
            yield _NOT_STATED, Facet.PRESSURE, "not stated", f"{asked.pressure_pa} Pa"
        elif held.pressure_pa < asked.pressure_pa:
            yield _FAILS, Facet.PRESSURE, f"{held.pressure_pa} Pa", f"{asked.pressure_pa} Pa"
    yield from _cycle_gaps(held.cycles, asked.cycles)
    if asked.hot is not None:
        need = f"HOT {asked.hot[0]}/{asked.hot[1]}"
        if held.hot != asked.hot:
            yield _FAILS, Facet.HOT, "none", need
        elif not held.hot_credited:
            yield _LEFT_OPEN, Facet.HOT, f"HOT beside E{held.temperature_c}", need
    for activation in sorted(asked.activations - held.activations):
        have = " ".join(sorted(held.activations))
        yield (_FAILS if have else _NOT_STATED), Facet.ACTIVATION, have or "not stated", activation.value


def _temperature_gaps(held: SmokeDamperClass, asked: SmokeDamperClass) -> Iterator[_Gap]:
    """E300, E600 and the standard curve: multi replaces single, the rest is not for us to order."""
    have, need = _temperature_text(held.temperature_c), _temperature_text(asked.temperature_c)
    if held.temperature_c is None:
        if held.compartments is not Compartments.MULTI:
            yield _LEFT_OPEN, Facet.TEMPERATURE, have, need
    elif asked.temperature_c is None or held.temperature_c < asked.temperature_c:
        yield _FAILS, Facet.TEMPERATURE, have, need
    else:
        yield _LEFT_OPEN, Facet.TEMPERATURE, have, need


def _temperature_text(temperature_c: int | None) -> str:
    return "the standard curve" if temperature_c is None else f"{temperature_c} °C"


def _barrier_gaps(held: BarrierClass, asked: BarrierClass) -> Iterator[_Gap]:
    have, need = f"{held.minutes} min", f"{asked.minutes} min"
    short = held.minutes < asked.minutes
    if asked.loadbearing and (short or not held.loadbearing):
        yield _FAILS, Facet.LOADBEARING, have if held.loadbearing else "none", need
    if short:
        yield _FAILS, Facet.INTEGRITY, have, need
    for heat, facet in ((Heat.RADIATION, Facet.RADIATION), (Heat.INSULATION, Facet.INSULATION)):
        if asked.heat is heat and (short or held.heat.rank < heat.rank):
            yield _FAILS, facet, have if held.heat.rank >= heat.rank else "none", need
    if asked.impact and not held.impact:
        yield _FAILS, Facet.IMPACT, "none", "M"


def _asked_facets(asked: FireClass) -> Iterator[Facet]:
    yield Facet.INTEGRITY
    if asked.insulated:
        yield Facet.INSULATION
    if asked.mountings:
        yield Facet.ORIENTATION
    if asked.sides:
        yield Facet.FIRE_SIDE
    if isinstance(asked, BarrierClass):
        if asked.loadbearing:
            yield Facet.LOADBEARING
        if asked.heat is Heat.RADIATION:
            yield Facet.RADIATION
        return
    if asked.smoke:
        yield Facet.LEAKAGE
    if isinstance(asked, SmokeDamperClass):
        yield Facet.COMPARTMENTS
        if asked.pressure_pa is not None:
            yield Facet.PRESSURE
    elif not asked.pressure.is_basic:
        yield Facet.PRESSURE


def _rows_used(declared: Declaration, required: Declaration) -> tuple[str, ...]:
    if declared.family is not required.family:
        return _FACET_ROWS[Facet.FAMILY]
    facets = {facet for asked in required.classes for facet in _asked_facets(asked)}
    rows = {row for facet in facets for row in _FACET_ROWS.get(facet, ())}
    if required.family is Family.SMOKE_CONTROL_DAMPER:
        rows.discard("class.pressure.basic")
    if any(isinstance(item, DamperClass) and item.stated_minutes is not None for item in declared.classes):
        rows.add("class.fire-damper.e-outside-steps")
    return tuple(sorted(rows))
