# SPDX-License-Identifier: Apache-2.0
"""Every class that the class tables allow, and a second way to compare two of them.

The second way is a table of ranks and bit sets in numpy, written from the trade handbook's section 1.4 line by line;
it shares no code with the program's own comparison.
"""

from collections.abc import Sequence
from itertools import combinations, product
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from brattice.adapters.rows import shipped_book
from brattice.classes import (
    BarrierClass,
    ClassSteps,
    DamperClass,
    Declaration,
    DuctClass,
    FireClass,
    FireSide,
    Heat,
    Mounting,
    Outcome,
    Pressure,
    satisfies,
)

NO, ASK, YES = 0, 1, 2
Matrix = NDArray[np.bool_]
T = TypeVar("T")

STEPS = ClassSteps.from_book(shipped_book())
BASIC = Pressure(300, True)
HIGHER = Pressure(500, False)
ORIENTATIONS = (Mounting.VE, Mounting.HO)
SIDES = tuple(FireSide)


def subsets(items: Sequence[T]) -> list[frozenset[T]]:
    return [frozenset(some) for size in range(len(items) + 1) for some in combinations(items, size)]


def fire_dampers(*pressures: Pressure) -> list[DamperClass]:
    times = [(True, time) for time in STEPS.damper_ei] + [(False, time) for time in STEPS.damper_e]
    return [
        DamperClass(insulated, minutes, pressure, smoke, mountings, sides)
        for (insulated, minutes), pressure, smoke, mountings, sides in product(
            times, pressures or (BASIC,), (False, True), subsets(ORIENTATIONS), subsets(SIDES)
        )
    ]


def fire_dampers_outside_the_table() -> list[DamperClass]:
    return [
        DamperClass(False, max(STEPS.damper_e), BASIC, smoke, mountings, sides, stated_minutes=stated)
        for stated, smoke, mountings, sides in product(
            STEPS.damper_e_outside, (False, True), subsets(ORIENTATIONS), subsets(SIDES)
        )
    ]


def ducts() -> list[DuctClass]:
    times = [(True, time) for time in STEPS.duct_ei] + [(False, time) for time in STEPS.duct_e]
    return [
        DuctClass(insulated, minutes, pressure, smoke, mountings, sides)
        for (insulated, minutes), pressure, smoke, mountings, sides in product(
            times, (BASIC, HIGHER), (False, True), subsets(ORIENTATIONS), subsets(SIDES)
        )
    ]


def barriers() -> list[BarrierClass]:
    return [
        BarrierClass(loadbearing, heat, minutes, impact, sides)
        for (loadbearing, heat, impact), times in STEPS.barrier
        for minutes in times
        for sides in subsets(SIDES)
    ]


def alone(classes: Sequence[FireClass]) -> list[Declaration]:
    return [Declaration(item.family, (item,)) for item in classes]


def outcome(declared: Declaration, required: Declaration) -> int:
    return {Outcome.NOT_SATISFIED: NO, Outcome.NEEDS_EVIDENCE: ASK, Outcome.SATISFIED: YES}[
        satisfies(declared, required).outcome
    ]


def outcomes(declared: Sequence[Declaration], required: Sequence[Declaration]) -> NDArray[np.int8]:
    """The program's own answers for all pairs: rows declare, columns require."""
    return np.array([[outcome(one, other) for other in required] for one in declared], dtype=np.int8)


def _sets(masks: NDArray[np.int64]) -> NDArray[np.int8]:
    """Inclusion of bit sets for all pairs: an empty one as a declaration states nothing, as a requirement asks none."""
    held, asked = masks[:, None], masks[None, :]
    included = (asked & ~held) == 0
    return np.where(included, YES, np.where(held == 0, ASK, NO)).astype(np.int8)


def _masks(classes: Sequence[FireClass]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    mountings = [sum(1 << ORIENTATIONS.index(m) for m in item.mountings) for item in classes]
    sides = [sum(1 << SIDES.index(side) for side in item.sides) for item in classes]
    return np.array(mountings, dtype=np.int64), np.array(sides, dtype=np.int64)


def _order(held: Matrix) -> NDArray[np.int8]:
    return np.where(held, YES, NO).astype(np.int8)


def worst(answers: Sequence[NDArray[np.int8]]) -> NDArray[np.int8]:
    """The worst of several answers, pair by pair."""
    found: NDArray[np.int8] = np.minimum.reduce(answers)
    return found


def by_definition(classes: Sequence[DamperClass] | Sequence[DuctClass]) -> NDArray[np.int8]:
    """All pairs of fire dampers or ducts by the second way."""
    integrity = np.array([item.minutes for item in classes])
    insulation = np.array([item.minutes if item.insulated else 0 for item in classes])
    smoke = np.array([item.smoke for item in classes])
    pressure = np.array([item.pressure.pa for item in classes])
    mountings, sides = _masks(classes)
    return worst(
        [
            _order(integrity[:, None] >= integrity[None, :]),
            _order(insulation[:, None] >= insulation[None, :]),
            _order(smoke[:, None] | ~smoke[None, :]),
            _order(pressure[:, None] >= pressure[None, :]),
            _sets(mountings),
            _sets(sides),
        ]
    )


def barriers_by_definition(classes: Sequence[BarrierClass]) -> NDArray[np.int8]:
    """All pairs of barriers by the second way: minutes held of each criterion, compared one by one."""

    def minutes(*heats: Heat) -> NDArray[np.int64]:
        return np.array([item.minutes if item.heat in heats else 0 for item in classes])

    asked_radiation, held_radiation = minutes(Heat.RADIATION), minutes(Heat.RADIATION, Heat.INSULATION)
    insulation, integrity = minutes(Heat.INSULATION), minutes(*Heat)
    bearing = np.array([item.minutes if item.loadbearing else 0 for item in classes])
    impact = np.array([item.impact for item in classes])
    _, sides = _masks(classes)
    return worst(
        [
            _order(integrity[:, None] >= integrity[None, :]),
            _order(held_radiation[:, None] >= asked_radiation[None, :]),
            _order(insulation[:, None] >= insulation[None, :]),
            _order(bearing[:, None] >= bearing[None, :]),
            _order(impact[:, None] | ~impact[None, :]),
            _sets(sides),
        ]
    )


def follows(first: Matrix, second: Matrix) -> Matrix:
    """Which pairs (i, k) have a j with `first[i, j]` and `second[j, k]`."""
    linked: Matrix = (first.astype(np.float32) @ second.astype(np.float32)) > 0
    return linked
