# SPDX-License-Identifier: Apache-2.0
"""The table of all pairs says what `judge` says of each pair."""

from __future__ import annotations

import random

import numpy as np
import pytest

from bench.pairs import Mix, installations, penetrations, requirements
from brattice.building.penetration import Separation
from brattice.building.words import SeparationFill, Surface
from brattice.errors import OwnFault
from brattice.evidence import Judgment, KeyDates, Scope
from brattice.evidence.codes import CODES
from brattice.evidence.judge import all_checks
from brattice.evidence.outcomes import outcome_of
from brattice.evidence.screen import SCOPES, JudgmentTable, judge_all
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK, DATES, STEPS, requirement
from tests.helpers.penetrations import ORDINARY, known, penetration

TAME = Mix(unknown=0.0, any=0.01)
MIXED = Mix(unknown=0.01, any=0.05)
WILD = Mix(unknown=0.1, any=0.6)


def table_of(mix: Mix, seed: int, sites: int, tests: int, dates: KeyDates = DATES) -> JudgmentTable:
    some = penetrations(sites, seed, mix)
    return judge_all(some, requirements(some, seed, mix), installations(tests, seed, mix), dates, BOOK, STEPS)


def assert_same(table: JudgmentTable, row: int, judgment: Judgment) -> None:
    """The scope, and all that it adds up from: failures beyond cure, checks not known, weight of the changes."""
    name = judgment.installation_id
    pair = f"{judgment.penetration_id} × {name}"
    assert table.scope(row, name) is judgment.scope, pair
    place = table.installation_ids.index(name)
    installation = table.screen.installations[place]
    site, asked = table.penetrations[row], table.requirements[row]
    told = outcome_of(all_checks(site, asked, installation, table.screen.basis))
    assert table.outcomes[row, place] == told, pair
    if judgment.scope is Scope.WITHIN_IF:
        assert table.weight(row, name) == sum(change.weight for change in judgment.changes), pair


@pytest.mark.parametrize(("mix", "seed"), [(TAME, 1), (TAME, 2), (MIXED, 3), (MIXED, 4), (WILD, 5), (WILD, 6)])
def test_the_table_is_what_judge_says_pair_by_pair(mix: Mix, seed: int) -> None:
    table = table_of(mix, seed, sites=40, tests=60)
    for row in range(len(table.penetrations)):
        for judgment in table.judgments(row):
            assert_same(table, row, judgment)


def test_batt_fails_in_the_table_however_far_two_dampers_are_apart() -> None:
    far = tuple(
        Separation("P-0002", known(Mm(700)), Surface.CASING, Surface.CASING, known(fill)) for fill in SeparationFill
    )
    sites = [penetration(id=f"P-{number:04d}", separations=(item,)) for number, item in enumerate(far)]
    table = judge_all(sites, [requirement()] * len(sites), [installation()], DATES, BOOK, STEPS)
    for row, fill in enumerate(SeparationFill):
        (judgment,) = table.judgments(row)
        assert judgment.scope is (Scope.OUTSIDE if fill is SeparationFill.BATT else Scope.WITHIN)
        assert_same(table, row, judgment)


def test_the_pairs_tried_come_to_every_scope_and_every_check_fires_and_passes() -> None:
    scopes: set[Scope] = set()
    fired: set[str] = set()
    passed: set[str] = set()
    for seed, mix, size in ((1, TAME, 30), (2, MIXED, 30), (3, WILD, 70)):
        table = table_of(mix, seed, sites=size, tests=size)
        for row in range(len(table.penetrations)):
            for judgment in table.judgments(row):
                scopes.add(judgment.scope)
                fired |= {r.code for r in judgment.reasons if r.verdict in {Verdict.FAIL, Verdict.UNKNOWN}}
                passed |= {r.code for r in judgment.reasons if r.verdict is Verdict.PASS}
    assert scopes == set(Scope)
    assert fired == passed == {spec.code for spec in CODES}


def test_without_dates_nothing_is_within_scope() -> None:
    table = table_of(TAME, 7, sites=40, tests=60, dates=KeyDates())
    for row in (0, 13, 39):
        for judgment in table.judgments(row):
            assert_same(table, row, judgment)
    assert (table.codes() >= SCOPES.index(Scope.NOT_ENOUGH_KNOWN)).all()


def test_the_order_of_inputs_changes_nothing() -> None:
    some, tests = penetrations(30, 8, MIXED), installations(40, 8, MIXED)
    asked = requirements(some, 8, MIXED)
    table = judge_all(some, asked, tests, DATES, BOOK, STEPS)
    order = list(range(30))
    random.Random(1).shuffle(order)
    mixed = list(tests)
    random.Random(2).shuffle(mixed)
    other = judge_all([some[i] for i in order], [asked[i] for i in order], mixed, DATES, BOOK, STEPS)
    assert other.installation_ids == table.installation_ids
    assert np.array_equal(other.outcomes, table.outcomes[order])


def test_more_rows_than_one_chunk_holds() -> None:
    one = table_of(MIXED, 9, sites=1, tests=5)
    some, asked = one.penetrations * 2500, one.requirements * 2500
    many = judge_all(some, asked, one.screen.installations, DATES, BOOK, STEPS)
    assert (many.outcomes == one.outcomes).all()


def test_counts_of_a_row_add_up() -> None:
    table = table_of(MIXED, 10, sites=5, tests=30)
    for row in range(5):
        counts = dict(table.counts(row))
        found = [table.scope(row, name) for name in table.installation_ids]
        assert counts == {scope: found.count(scope) for scope in SCOPES}


def test_the_scheduled_product_is_told_from_others() -> None:
    mine, other = installation(), installation(id="FC-1", maker="Foss & Carrow", product="FC")
    table = judge_all([ORDINARY], [requirement()], [mine, other], DATES, BOOK, STEPS)
    assert table.installation_ids == ("FC-1", "HV-10-RW-1")
    assert table.screen.same_product(ORDINARY).tolist() == [False, True]
    assert table.screen.same_product(penetration(damper__product="hv-10 ")).tolist() == [False, True]
    assert table.scope(0, "FC-1") is Scope.WITHIN
    assert not table.judgment(0, "FC-1").same_product


def test_no_installations_and_no_penetrations() -> None:
    assert judge_all([ORDINARY], [requirement()], [], DATES, BOOK, STEPS).codes().shape == (1, 0)
    assert judge_all([], [], [installation()], DATES, BOOK, STEPS).codes().shape == (0, 1)


def test_unequal_numbers_and_ids_used_twice_are_our_own_fault() -> None:
    with pytest.raises(OwnFault, match="1 penetrations and 0 requirements"):
        judge_all([ORDINARY], [], [installation()], DATES, BOOK, STEPS)
    with pytest.raises(OwnFault, match="same id"):
        judge_all([ORDINARY], [requirement()], [installation(), installation()], DATES, BOOK, STEPS)
