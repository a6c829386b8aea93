# SPDX-License-Identifier: Apache-2.0
"""Smoke control dampers: each facet exhaustively, all facets together over a million seeded pairs.

The answer over all facets is the worst over the facets; with that, the laws of each facet are laws of the whole.
"""

from functools import cache
from math import prod

import numpy as np
import pytest
from numpy.typing import NDArray

from brattice.classes import ShortfallKind, meet, satisfies
from tests.helpers import class_universe as u
from tests.helpers import smoke_universe as smoke

PAIRS = 1_000_000
SEED = 20_260_115
EVERY = pytest.mark.parametrize("facet", smoke.FACETS, ids=lambda facet: facet.name)


@cache
def tables() -> tuple[NDArray[np.int8], ...]:
    return tuple(smoke.second_way(facet) for facet in smoke.FACETS)


def doubtful(facet: smoke.Facets) -> NDArray[np.bool_]:
    """Values whose HOT stands beside a class that it does not go with: they don't satisfy themselves."""
    return np.array([not values.get("hot_credited", True) for values in facet.values])


def random_places(chance: np.random.Generator, count: int) -> NDArray[np.int64]:
    return np.stack([chance.integers(0, len(facet.values), count) for facet in smoke.FACETS])


def weaker_places(chance: np.random.Generator, places: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each class, one that it mostly satisfies: in each facet a value drawn from those satisfied by its own."""
    rows = []
    for own, table in zip(places, tables(), strict=True):
        score = np.where(table == u.YES, chance.random(table.shape), -1.0)
        best = np.argsort(-score, axis=1)
        room = np.maximum((table == u.YES).sum(axis=1), 1)
        pick = chance.integers(0, 1 << 30, len(own)) % room[own]
        rows.append(best[own, pick])
    return np.stack(rows)


def together(held: NDArray[np.int64], asked: NDArray[np.int64]) -> NDArray[np.int8]:
    """The answers over all facets: the worst of each facet's."""
    return u.worst([table[one, other] for table, one, other in zip(tables(), held, asked, strict=True)])


def spelled(places: NDArray[np.int64]) -> list[smoke.Values]:
    return [facet.values[place] for facet, place in zip(smoke.FACETS, places, strict=True)]


@cache
def pairs() -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Half of the pairs by chance, half with a required class that mostly is satisfied."""
    chance = np.random.default_rng(SEED)
    held, asked = random_places(chance, PAIRS), random_places(chance, PAIRS)
    asked[:, PAIRS // 2 :] = weaker_places(chance, held[:, PAIRS // 2 :])
    return held, asked


def test_the_universe_is_as_large_as_the_class_tables_make_it() -> None:
    # (E and EI × 4 times × not stated or multi, E300 and E600 × 4 times × not stated or single) × HOT or not,
    # orientations with places 5 × 5, fire sides 4, S 2, pressures 4, cycles 4, activations 4
    assert [len(facet.values) for facet in smoke.FACETS] == [(16 + 16) * 2, 25, 4, 2, 4, 4, 4]
    assert prod(len(facet.values) for facet in smoke.FACETS) == 819_200


@EVERY
def test_every_pair_of_a_facet_agrees_with_the_second_way(facet: smoke.Facets) -> None:
    assert np.array_equal(smoke.own_way(facet), smoke.second_way(facet))


@EVERY
def test_each_facet_is_an_order(facet: smoke.Facets) -> None:
    """All pairs and triples: reflexive (HOT beside E300 apart), antisymmetric, transitive."""
    holds = smoke.second_way(facet) == u.YES
    assert np.array_equal(np.diag(holds), ~doubtful(facet))
    assert not (holds & holds.T & ~np.eye(len(holds), dtype=bool)).any()
    assert not (u.follows(holds, holds) & ~holds).any()


@EVERY
def test_each_facet_has_a_strongest_value_below_any_two_or_none(facet: smoke.Facets) -> None:
    """All pairs: the program's meet satisfies exactly what both satisfy."""
    declared = [smoke.declared_by([values]) for values in facet.values]
    holds = smoke.second_way(facet) == u.YES
    place = {item: index for index, item in enumerate(declared)}
    for row, one in enumerate(declared):
        for column, other in enumerate(declared):
            found = meet(one, other, u.STEPS)
            both = holds[row] & holds[column]
            assert np.array_equal(both, holds[place[found]] if found is not None else np.zeros_like(both))


def test_the_program_agrees_with_the_facets_together_on_a_sample_of_the_pairs() -> None:
    held, asked = pairs()
    answers = together(held, asked)
    for index in range(0, PAIRS, 50):
        one, other = smoke.declared_by(spelled(held[:, index])), smoke.declared_by(spelled(asked[:, index]))
        answer = satisfies(one, other)
        kinds = {item.kind for item in answer.shortfalls}
        assert u.outcome(one, other) == answers[index]
        assert (not kinds) == (answers[index] == u.YES)
        assert (ShortfallKind.FAILS in kinds) == (answers[index] == u.NO)


def test_every_outcome_occurs_often_among_the_pairs() -> None:
    assert (np.bincount(together(*pairs()), minlength=3) > 10_000).all()


def test_two_classes_that_satisfy_each_other_are_one() -> None:
    """A million pairs, the second drawn weaker than the first in half of them."""
    held, asked = pairs()
    mutual = (together(held, asked) == u.YES) & (together(asked, held) == u.YES)
    assert mutual.any()
    assert (held[:, mutual] == asked[:, mutual]).all()


def test_what_satisfies_satisfies_all_that_is_satisfied_by_it() -> None:
    """A million triples, each weaker than the one before in most."""
    chance = np.random.default_rng(SEED + 1)
    first = random_places(chance, PAIRS)
    second = weaker_places(chance, first)
    third = weaker_places(chance, second)
    chained = (together(first, second) == u.YES) & (together(second, third) == u.YES)
    assert chained.mean() > 0.5
    assert (together(first, third)[chained] == u.YES).all()


def test_what_fails_a_requirement_fails_every_stronger_one() -> None:
    chance = np.random.default_rng(SEED + 2)
    held, stronger = random_places(chance, PAIRS), random_places(chance, PAIRS)
    weaker = weaker_places(chance, stronger)
    ordered = together(stronger, weaker) == u.YES
    fails = together(held, weaker) == u.NO
    assert (ordered & fails).any()
    assert (together(held, stronger)[ordered & fails] == u.NO).all()


def test_the_meet_is_satisfied_by_both_on_a_sample_of_the_pairs() -> None:
    held, asked = pairs()
    found_some = 0
    for index in range(0, PAIRS, 200):
        one, other = smoke.declared_by(spelled(held[:, index])), smoke.declared_by(spelled(asked[:, index]))
        common = meet(one, other, u.STEPS)
        assert common == meet(other, one, u.STEPS)
        if common is not None:
            found_some += 1
            assert u.outcome(one, common) == u.outcome(other, common) == u.YES
    assert found_some > 1000
