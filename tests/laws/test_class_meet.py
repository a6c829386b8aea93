# SPDX-License-Identifier: Apache-2.0
"""Laws of `meet` over all pairs of single classes: the strongest class that both satisfy, or nothing."""

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from brattice.classes import Declaration, FireClass, meet
from tests.helpers import class_universe as u


@cache
def fire_dampers() -> tuple[list[FireClass], NDArray[np.int8]]:
    classes = u.fire_dampers(u.BASIC, u.HIGHER)
    return [*classes], u.by_definition(classes)


@cache
def ducts() -> tuple[list[FireClass], NDArray[np.int8]]:
    classes = u.ducts()
    return [*classes], u.by_definition(classes)


@cache
def barriers() -> tuple[list[FireClass], NDArray[np.int8]]:
    classes = u.barriers()
    return [*classes], u.barriers_by_definition(classes)


UNIVERSES: dict[str, Callable[[], tuple[list[FireClass], NDArray[np.int8]]]] = {
    "fire dampers": fire_dampers,
    "ducts": ducts,
    "barriers": barriers,
}
EVERY = pytest.mark.parametrize("name", list(UNIVERSES))


@cache
def meets(name: str) -> NDArray[np.int64]:
    """The place in the universe of the meet of each pair; one more place, the last, stands for nothing."""
    classes, _ = UNIVERSES[name]()
    place: dict[Declaration | None, int] = {item: index for index, item in enumerate(u.alone(classes))}
    place[None] = len(classes)
    declared = u.alone(classes)
    return np.array([[place[meet(one, other, u.STEPS)] for other in declared] for one in declared])


def with_nothing(answers: NDArray[np.int8]) -> u.Matrix:
    """Which of the universe satisfy which, with nothing as the last row: it satisfies none."""
    holds = answers == u.YES
    return np.vstack([holds, np.zeros(len(holds), dtype=bool)])


@EVERY
def test_the_meet_is_satisfied_by_both_and_satisfies_whatever_both_satisfy(name: str) -> None:
    """All pairs, each against the whole universe: what both satisfy is exactly what the meet satisfies."""
    holds = with_nothing(UNIVERSES[name]()[1])
    found = meets(name)
    for row in range(len(found)):
        assert np.array_equal(holds[row] & holds[:-1], holds[found[row]])


@EVERY
def test_the_meet_is_commutative_and_idempotent(name: str) -> None:
    found = meets(name)
    assert np.array_equal(found, found.T)
    assert np.array_equal(np.diag(found), np.arange(len(found)))


@EVERY
def test_the_meet_is_associative(name: str) -> None:
    """All triples."""
    found = meets(name)
    nothing = len(found)
    table = np.full((nothing + 1, nothing + 1), nothing)
    table[:nothing, :nothing] = found
    for row in range(nothing):
        assert np.array_equal(table[table[row]][:, :nothing][:nothing], table[row][found])


@EVERY
def test_some_pairs_have_nothing_in_common_and_some_have_less_than_either(name: str) -> None:
    found = meets(name)
    places = np.arange(len(found))
    assert (found == len(found)).any()
    assert ((found != places[:, None]) & (found != places[None, :]) & (found != len(found))).any()


def test_families_have_nothing_in_common() -> None:
    one, other = u.alone([u.fire_dampers()[0], u.ducts()[0]])
    assert meet(one, other, u.STEPS) is None
