# SPDX-License-Identifier: Apache-2.0
"""Laws of `satisfies` over all pairs and all triples of single classes of fire dampers, ducts and barriers."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from brattice.classes import DamperClass, Declaration, DuctClass, Facet, FireClass, ShortfallKind, satisfies
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


@cache
def own(name: str) -> NDArray[np.int8]:
    """The program's own answers over one universe."""
    declared = u.alone(UNIVERSES[name]()[0])
    return u.outcomes(declared, declared)


UNIVERSES: dict[str, Callable[[], tuple[list[FireClass], NDArray[np.int8]]]] = {
    "fire dampers": fire_dampers,
    "ducts": ducts,
    "barriers": barriers,
}
EVERY = pytest.mark.parametrize("name", list(UNIVERSES))


def test_the_universes_are_as_large_as_the_class_tables_make_them() -> None:
    # times × S × orientations × fire sides × pressures
    assert len(fire_dampers()[0]) == (9 + 4) * 2 * 4 * 4 * 2
    assert len(ducts()[0]) == (9 + 2) * 2 * 4 * 4 * 2
    # EI 9, E 5, EW 5, EI-M 6, RE 8, REW 8, REI 10, REI-M 7; × fire sides
    assert len(barriers()[0]) == 58 * 4
    for classes, _ in (fire_dampers(), ducts(), barriers()):
        assert len(set(classes)) == len({str(item) for item in classes}) == len(classes)


@EVERY
def test_every_pair_agrees_with_the_handbook_table_worked_out_a_second_way(name: str) -> None:
    assert np.array_equal(own(name), UNIVERSES[name]()[1])


@EVERY
def test_every_outcome_occurs_and_most_pairs_cant_be_compared(name: str) -> None:
    answers = own(name)
    assert set(np.unique(answers)) == {u.NO, u.ASK, u.YES}
    neither = (answers != u.YES) & (answers.T != u.YES)
    assert neither.mean() > 0.5


@EVERY
def test_a_class_satisfies_itself(name: str) -> None:
    assert (np.diag(own(name)) == u.YES).all()


@EVERY
def test_two_classes_that_satisfy_each_other_are_one(name: str) -> None:
    holds = own(name) == u.YES
    assert not (holds & holds.T & ~np.eye(len(holds), dtype=bool)).any()


@EVERY
def test_what_satisfies_satisfies_all_that_is_satisfied_by_it(name: str) -> None:
    """Transitive: over all triples."""
    holds = own(name) == u.YES
    assert not (u.follows(holds, holds) & ~holds).any()


@EVERY
def test_a_stronger_requirement_never_turns_a_failure_into_anything_else(name: str) -> None:
    """Over all triples: a fails s, and r asks all that s asks; then a fails r."""
    answers = own(name)
    fails, holds = answers == u.NO, answers == u.YES
    assert not (u.follows(fails, holds.T) & ~fails).any()


def _completions(item: FireClass) -> list[FireClass]:
    """Every class that states all an item leaves unstated."""
    sides = [item.sides] if item.sides else u.subsets(u.SIDES)[1:]
    if not isinstance(item, DamperClass | DuctClass):
        return [replace(item, sides=some) for some in sides]
    orientations = [item.mountings] if item.mountings else u.subsets(u.ORIENTATIONS)[1:]
    return [replace(item, mountings=where, sides=some) for where, some in product(orientations, sides)]


@EVERY
def test_needs_evidence_exactly_where_stating_more_could_satisfy(name: str) -> None:
    """Over all pairs: with every way to state the unstated, some satisfy and the class as it stands does not."""
    classes, _ = UNIVERSES[name]()
    answers = own(name)
    place = {item: index for index, item in enumerate(classes)}
    for index, item in enumerate(classes):
        completed = answers[[place[other] for other in _completions(item)]]
        possible = (completed == u.YES).any(axis=0)
        assert np.array_equal(answers[index] == u.NO, ~possible)
        assert np.array_equal(answers[index] == u.ASK, possible & (answers[index] != u.YES))


def test_removing_what_a_class_states_never_makes_it_pass() -> None:
    classes, _ = fire_dampers()
    answers = own("fire dampers")
    place = {item: index for index, item in enumerate(classes)}
    for item in classes:
        assert isinstance(item, DamperClass)
        for less in (
            replace(item, mountings=frozenset()),
            replace(item, sides=frozenset()),
            replace(item, smoke=False),
            replace(item, pressure=u.BASIC),
        ):
            passes_with_less = answers[place[less]] == u.YES
            assert (answers[place[item]][passes_with_less] == u.YES).all()


@EVERY
def test_the_reasons_fit_the_outcome(name: str) -> None:
    """A tenth of all pairs: no reason exactly where satisfied; a failing one exactly where not satisfied."""
    classes, _ = UNIVERSES[name]()
    declared = u.alone(classes)
    answers = own(name)
    for row, one in enumerate(declared):
        for column in range(row % 10, len(declared), 10):
            answer = satisfies(one, declared[column])
            kinds = {item.kind for item in answer.shortfalls}
            expected = answers[row, column]
            assert (not kinds) == (expected == u.YES)
            assert (ShortfallKind.FAILS in kinds) == (expected == u.NO)


def test_each_failing_facet_is_named_and_no_other() -> None:
    """All pairs of fire dampers without a pressure: the named facets are those in which the second way finds a gap."""
    classes = u.fire_dampers()
    declared = u.alone(classes)
    for row, one in enumerate(classes):
        for column in range(row % 7, len(classes), 7):
            other = classes[column]
            expected = {
                Facet.INTEGRITY: other.minutes > one.minutes,
                Facet.INSULATION: other.insulated and not (one.insulated and one.minutes >= other.minutes),
                Facet.LEAKAGE: other.smoke and not one.smoke,
                Facet.ORIENTATION: bool(other.mountings - one.mountings),
                Facet.FIRE_SIDE: bool(other.sides - one.sides),
            }
            named = {item.facet for item in satisfies(declared[row], declared[column]).shortfalls}
            assert named == {facet for facet, gap in expected.items() if gap}


def test_times_outside_the_table_break_only_the_law_that_a_class_satisfies_itself() -> None:
    """Trade handbook row 1.14a. Pairs and triples of all basic fire damper classes with those of E 180 and E 240."""
    inside, outside = u.fire_dampers(), u.fire_dampers_outside_the_table()
    declared = u.alone([*inside, *outside])
    answers = u.outcomes(declared, declared)
    holds = answers == u.YES
    assert np.array_equal(np.diag(holds), np.arange(len(declared)) < len(inside))
    assert not (u.follows(holds, holds) & ~holds).any()
    # credited as E 120 and not one minute more
    as_e_120 = [replace(item, stated_minutes=None) for item in outside]
    place = {item: index for index, item in enumerate(inside)}
    for index, item in enumerate(as_e_120):
        assert np.array_equal(answers[len(inside) + index], answers[place[item]])


def test_cycles_are_compared_by_being_the_same() -> None:
    """Every pair: none stated, 10 000 and 20 000 cycles; more than asked is left open."""
    cycles = (None, *u.STEPS.damper_cycles)
    declared = [
        Declaration(item.family, (item,))
        for item in (DamperClass(True, 60, u.BASIC, True, cycles=count) for count in cycles)
    ]
    assert u.outcomes(declared, declared).tolist() == [
        [u.YES, u.ASK, u.ASK],
        [u.YES, u.YES, u.NO],
        [u.YES, u.ASK, u.YES],
    ]
