# SPDX-License-Identifier: Apache-2.0
"""Every smoke control damper class that the class tables allow, by the facets it is made of.

The facets are compared independently of one another, so the universe is kept as one list a facet; each list comes
with a second way to compare its values, written from the trade handbook's rows 1.30-1.47 and section 1.4.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import islice, product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brattice.classes import MODULATING, Activation, Compartments, Declaration, Mounting, SmokeDamperClass
from tests.helpers import class_universe as u

Values = dict[str, Any]


@dataclass(frozen=True)
class Facets:
    """The values of one facet as fields of a class, and the second way to compare two of them."""

    name: str
    values: tuple[Values, ...]
    compare: Callable[[Values, Values], int]


def _times() -> tuple[Values, ...]:
    """Criterion, time, temperature, compartments and HOT belong together: the tables tie them to one another."""
    found: list[Values] = []
    for compartments in (None, Compartments.MULTI):
        for insulated, minutes in product((True, False), u.STEPS.smoke_multi):
            found.append({"insulated": insulated, "minutes": minutes, "compartments": compartments})
    for compartments in (None, Compartments.SINGLE):
        for degrees, minutes in product(u.STEPS.smoke_single_temperatures, u.STEPS.smoke_single):
            found.append(
                {"insulated": False, "minutes": minutes, "compartments": compartments, "temperature_c": degrees}
            )
    return tuple(
        {**item, "hot": hot, "hot_credited": hot is None or item.get("temperature_c") != 300}
        for item in found
        for hot in (None, u.STEPS.hot)
    )


def _compare_times(held: Values, asked: Values) -> int:
    answers = [u.YES if held["minutes"] >= asked["minutes"] else u.NO]
    answers.append(u.YES if held["insulated"] or not asked["insulated"] else u.NO)
    is_multi = held["compartments"] is Compartments.MULTI
    if asked["compartments"] is not None and held["compartments"] is not asked["compartments"]:
        if held["compartments"] is None:
            answers.append(u.ASK)
        else:
            answers.append(u.YES if is_multi else u.NO)
    if asked["hot"] is not None:
        answers.append(u.NO if held["hot"] is None else u.YES if held["hot_credited"] else u.ASK)
    has, needs = held.get("temperature_c"), asked.get("temperature_c")
    answers.append(
        {
            (None, None): u.YES,
            (None, 300): u.YES if is_multi else u.ASK,
            (None, 600): u.YES if is_multi else u.ASK,
            (300, None): u.NO,
            (300, 300): u.YES,
            (300, 600): u.NO,
            (600, None): u.NO,
            (600, 300): u.ASK,
            (600, 600): u.YES,
        }[has, needs]
    )
    return min(answers)


def _compare_mountings(held: Values, asked: Values) -> int:
    """Orientation by orientation, place by place."""
    has, answers = held["mountings"], [u.YES]
    for item in asked["mountings"]:
        place = item.value[2:]
        places = {other.value[2:] for other in has if other.value[:2] == item.value[:2]}
        if not has:
            answers.append(u.ASK)
        elif not places:
            answers.append(u.NO)
        elif place and place not in places:
            answers.append(u.ASK if places == {""} else u.NO)
    return min(answers)


def _compare_sets(field: str) -> Callable[[Values, Values], int]:
    def compare(held: Values, asked: Values) -> int:
        if asked[field] <= held[field]:
            return u.YES
        return u.NO if held[field] else u.ASK

    return compare


def _compare_pressures(held: Values, asked: Values) -> int:
    if asked["pressure_pa"] is None:
        return u.YES
    if held["pressure_pa"] is None:
        return u.ASK
    return u.YES if held["pressure_pa"] >= asked["pressure_pa"] else u.NO


def _compare_cycles(held: Values, asked: Values) -> int:
    order = [None, 300, 10000, MODULATING]
    has, needs = order.index(held["cycles"]), order.index(asked["cycles"])
    if needs == 0 or has == needs:
        return u.YES
    return u.ASK if has == 0 or has > needs else u.NO


def _orientations() -> tuple[Values, ...]:
    one = [(), ("",), ("d",), ("w",), ("d", "w")]
    return tuple(
        {"mountings": frozenset([*(Mounting("ve" + item) for item in ve), *(Mounting("ho" + item) for item in ho)])}
        for ve, ho in product(one, one)
    )


FACETS: tuple[Facets, ...] = (
    Facets("times", _times(), _compare_times),
    Facets("mountings", _orientations(), _compare_mountings),
    Facets("sides", tuple({"sides": some} for some in u.subsets(u.SIDES)), _compare_sets("sides")),
    Facets(
        "leakage",
        ({"smoke": False}, {"smoke": True}),
        lambda held, asked: u.YES if held["smoke"] or not asked["smoke"] else u.NO,
    ),
    Facets("pressures", tuple({"pressure_pa": pa} for pa in (None, 500, 1000, 1500)), _compare_pressures),
    Facets("cycles", tuple({"cycles": count} for count in (None, 300, 10000, MODULATING)), _compare_cycles),
    Facets(
        "activations",
        tuple({"activations": some} for some in u.subsets(tuple(Activation))),
        _compare_sets("activations"),
    ),
)
LEAST: Values = {"insulated": False, "minutes": 30}


def made_of(values: Sequence[Values]) -> SmokeDamperClass:
    fields = dict(LEAST)
    for some in values:
        fields |= some
    return SmokeDamperClass(**fields)


def declared_by(values: Sequence[Values]) -> Declaration:
    item = made_of(values)
    return Declaration(item.family, (item,))


def every_class(part: int, parts: int) -> list[SmokeDamperClass]:
    """Every `parts`-th class of the whole universe, from the `part`-th on."""
    return [made_of(values) for values in islice(product(*(facet.values for facet in FACETS)), part, None, parts)]


def second_way(facet: Facets) -> NDArray[np.int8]:
    """All pairs of one facet's values by the second way."""
    return np.array([[facet.compare(held, asked) for asked in facet.values] for held in facet.values], dtype=np.int8)


def own_way(facet: Facets) -> NDArray[np.int8]:
    """All pairs of one facet's values by the program, all other facets being equal."""
    declared = [declared_by([values]) for values in facet.values]
    return u.outcomes(declared, declared)
