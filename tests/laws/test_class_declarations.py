# SPDX-License-Identifier: Apache-2.0
"""Laws of declarations of up to two classes, over a coarse universe of fire damper classes.

The second way: a declaration is worth the set of all atoms (criterion, time, S, at most one orientation, at most one
fire side) that one of its classes holds; one declaration satisfies another exactly when it is worth all of it.
"""

from functools import cache
from itertools import combinations, product

import numpy as np

from brattice.classes import (
    DamperClass,
    Declaration,
    Family,
    FireSide,
    Mounting,
    Outcome,
    ShortfallKind,
    meet,
    satisfies,
    why_not,
)
from tests.helpers import class_universe as u

# the full table of times, so that atoms below a time include the steps that no class of the coarse universe states
TIMES = [(True, time) for time in u.STEPS.damper_ei] + [(False, time) for time in u.STEPS.damper_e]
ATOMS = {
    atom: index for index, atom in enumerate(product(TIMES, (False, True), (None, *u.ORIENTATIONS), (None, *u.SIDES)))
}


@cache
def declarations() -> list[Declaration]:
    ve, both = frozenset({Mounting.VE}), frozenset(u.ORIENTATIONS)
    inwards, either = frozenset({FireSide.OUT_TO_IN}), frozenset(u.SIDES)
    classes = [
        DamperClass(insulated, minutes, u.BASIC, smoke, mountings, sides)
        for (insulated, minutes), smoke, (mountings, sides) in product(
            ((True, 45), (False, 30), (False, 120)),
            (False, True),
            ((frozenset[Mounting](), frozenset[FireSide]()), (ve, inwards), (ve, either), (both, inwards)),
        )
    ]
    alone = [Declaration(Family.FIRE_DAMPER, (item,)) for item in classes]
    return [*alone, *(Declaration(Family.FIRE_DAMPER, pair) for pair in combinations(classes, 2))]


def worth(declared: Declaration | None) -> int:
    """All atoms that one of the classes holds, as a bit set."""
    bits = 0
    for item in declared.classes if declared is not None else ():
        assert isinstance(item, DamperClass)
        for (insulated, minutes), smoke, mounting, side in ATOMS:
            if (
                minutes <= item.minutes
                and (item.insulated or not insulated)
                and (item.smoke or not smoke)
                and (mounting is None or mounting in item.mountings)
                and (side is None or side in item.sides)
            ):
                bits |= 1 << ATOMS[(insulated, minutes), smoke, mounting, side]
    return bits


@cache
def worths() -> list[int]:
    return [worth(item) for item in declarations()]


@cache
def answers() -> u.Matrix:
    """The program's own answers for all pairs: satisfied or not."""
    found: u.Matrix = u.outcomes(declarations(), declarations()) == u.YES
    return found


def test_the_coarse_universe_holds_every_class_alone_and_every_pair() -> None:
    assert len(declarations()) == 24 + 24 * 23 // 2
    assert len(set(declarations())) == len(declarations())


def test_every_pair_agrees_with_the_atoms_each_declaration_is_worth() -> None:
    expected = np.array([[asked & ~held == 0 for asked in worths()] for held in worths()])
    assert np.array_equal(answers(), expected)
    assert 0.01 < expected.mean() < 0.99


def test_a_declaration_satisfies_itself_and_all_that_is_satisfied_by_what_it_satisfies() -> None:
    holds = answers()
    assert np.diag(holds).all()
    assert not (u.follows(holds, holds) & ~holds).any()


def test_declarations_that_satisfy_each_other_are_worth_the_same_though_they_may_differ() -> None:
    """Antisymmetry does not hold for declarations: EI 45 alone is worth as much as EI 45 beside E 30."""
    mutual = answers() & answers().T
    value = np.array([hash(item) for item in worths()])
    assert np.array_equal(mutual, value[:, None] == value[None, :])
    assert (mutual & ~np.eye(len(mutual), dtype=bool)).any()


def test_a_further_class_never_takes_anything_away() -> None:
    place = {item: index for index, item in enumerate(declarations())}
    holds = answers()
    for item in declarations():
        for part in item.classes:
            one = place[Declaration(Family.FIRE_DAMPER, (part,))]
            assert (holds[place[item]] | ~holds[one]).all()


def test_a_requirement_of_two_classes_asks_both() -> None:
    place = {item: index for index, item in enumerate(declarations())}
    holds = answers()
    for item in declarations():
        parts = [holds[:, place[Declaration(Family.FIRE_DAMPER, (part,))]] for part in item.classes]
        assert np.array_equal(holds[:, place[item]], np.logical_and.reduce(parts))


def test_criteria_of_one_atom_are_never_put_together_from_two_classes() -> None:
    """Where two classes together satisfy a single class without orientation and fire side, one of them does alone."""
    place = {item: index for index, item in enumerate(declarations())}
    holds = answers()
    plain = [item for item in declarations() if len(item.classes) == 1 and not item.classes[0].mountings]
    assert plain
    for asked in plain:
        for held in declarations():
            if holds[place[held], place[asked]]:
                alone = [place[Declaration(Family.FIRE_DAMPER, (part,))] for part in held.classes]
                assert holds[alone, place[asked]].any()


def test_the_meet_is_worth_exactly_what_both_are_worth() -> None:
    """All pairs; so it is satisfied by both and satisfies whatever both satisfy."""
    for row, one in enumerate(declarations()):
        for column in range(row, len(declarations())):
            found = meet(one, declarations()[column], u.STEPS)
            assert worth_of(found) == worths()[row] & worths()[column]


@cache
def worth_of(declared: Declaration | None) -> int:
    return worth(declared)


def test_the_meet_of_a_pair_does_not_depend_on_the_order() -> None:
    some = declarations()[::7]
    for one, other in product(some, some):
        assert meet(one, other, u.STEPS) == meet(other, one, u.STEPS)


def test_the_reasons_fit_the_outcome() -> None:
    for row, one in enumerate(declarations()):
        for column in range(row % 5, len(declarations()), 5):
            answer = satisfies(one, declarations()[column])
            kinds = {item.kind for item in answer.shortfalls}
            assert (not kinds) == bool(answers()[row, column])
            assert (ShortfallKind.FAILS in kinds) == (answer.outcome is Outcome.NOT_SATISFIED)
            assert answer.shortfalls == why_not(one, declarations()[column])
