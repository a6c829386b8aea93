# SPDX-License-Identifier: Apache-2.0
"""One revision of a schedule against the next: every row once, and swapping the two swaps the answer."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from brattice.building.detail_facts import DetailFacts
from brattice.building.penetration import Size
from brattice.building.schedule import CellUnread, ScheduleRow
from brattice.building.wall_type import Rating
from brattice.findings import Known, Origin
from brattice.quantities import Mm
from brattice.usecases.likeness import described_row, likeness
from brattice.usecases.pairing import best_likes, mutual
from brattice.usecases.reconciled import About, By, Group, Pair, Reconciliation
from brattice.usecases.revisions import reconcile_revisions
from tests.helpers.judging import STEPS
from tests.helpers.sources import SHEET, row

SIZE = Size(Mm(600), Mm(400))


def compared(before: Sequence[ScheduleRow], now: Sequence[ScheduleRow]) -> Reconciliation:
    return reconcile_revisions(before, now, STEPS, job_name="Invented", invented=True, files=("a.xlsx", "b.xlsx"))


def only_pair(before: ScheduleRow, now: ScheduleRow) -> Pair:
    (pair,) = compared([before], [now]).pairs
    return pair


def full(reference: str = "FD-01", **changes: Any) -> ScheduleRow:
    given = {"storey": "Level 1", "words": "C/4", "duct_size": SIZE, **changes}
    return row(reference, **given)


def test_the_same_revision_twice_differs_in_nothing() -> None:
    rows = [full(f"FD-{number:02}", words=f"C/{number}") for number in range(9)]
    result = compared(rows, rows[::-1])
    assert len(result.matched) == 9
    assert not result.something_differs


def test_rows_removed_and_added() -> None:
    result = compared([full("FD-01"), full("FD-02", storey="L2")], [full("FD-01"), full("FD-03", storey="L3")])
    assert [(item.entry.name, item.group) for item in result.only_one] == [("FD-02", Group.REMOVED)]
    assert [(item.entry.name, item.group) for item in result.only_other] == [("FD-03", Group.ADDED)]
    assert result.something_differs


CHANGED: list[tuple[dict[str, Any], dict[str, Any], tuple[About, str, str, str], str]] = [
    ({}, {"duct_size": Size(Mm(600), Mm(500))}, (About.SIZE, "duct_size", "600 × 400", "600 × 500"), "resized"),
    ({"class_text": "EI 60 S"}, {"class_text": "E 60"}, (About.CLASS, "class_text", "EI 60 S", "E 60"), "changed"),
    ({"wall_type_code": "W1"}, {"wall_type_code": "W2"}, (About.WALL, "wall_type_code", "W1", "W2"), "changed"),
    ({"rating": Rating(60, 60, "EI 60")}, {}, (About.WALL, "rating", "EI 60", ""), "changed"),
    ({}, {"storey": "Level 2"}, (About.LEVEL, "storey", "Level 1", "Level 2"), "moved"),
    ({}, {"words": "D/4"}, (About.PLACE, "words", "C/4", "D/4"), "moved"),
    (
        {},
        {"detail": DetailFacts(phase=Known("Phase 2", Origin("b.xlsx")))},
        (About.OTHER, "phase", "", "Phase 2"),
        "changed",
    ),
    ({"remarks": ("Rate: 240",)}, {"remarks": ("Rate: 250",)}, (About.OTHER, "column Rate", "240", "250"), "kept text"),
    ({"remarks": ()}, {"remarks": ("by others",)}, (About.OTHER, "remarks", "", "by others"), "kept text"),
]


@pytest.mark.parametrize(("before", "now", "expected", "kind"), CHANGED)
def test_each_column_that_differs_is_named_with_what_it_said(
    before: dict[str, Any], now: dict[str, Any], expected: tuple[About, str, str, str], kind: str
) -> None:
    pair = only_pair(full(**before), full(**now))
    (found,) = pair.differences
    assert (found.about, found.field, found.one, found.other) == expected
    assert pair.kinds == (kind,)
    assert pair.by is By.REFERENCE


def test_exchanged_width_and_height_are_named() -> None:
    (found,) = only_pair(full(), full(duct_size=Size(Mm(400), Mm(600)))).differences
    assert found.note == "width and height are exchanged"


@pytest.mark.parametrize(
    ("before", "now"),
    [
        ({"rating": Rating(60, 60, "EI60")}, {"rating": Rating(60, 60, "EI 60")}),
        ({"class_text": "EI120S"}, {"class_text": "EI 120 S"}),
        ({"words": "riser  2"}, {"words": "riser 2"}),
    ],
)
def test_the_same_in_another_spelling_is_no_difference(before: dict[str, Any], now: dict[str, Any]) -> None:
    assert only_pair(full(**before), full(**now)).differences == ()


def test_a_cell_that_can_no_longer_be_read_is_a_difference_with_its_text() -> None:
    unread = CellUnread(SHEET, "duct_size", "Size", "600 by tbc", "a size")
    now = ScheduleRow(SHEET, "FD-01", storey=full().storey, words="C/4", unread=(unread,))
    (found,) = only_pair(full(), now).differences
    assert (found.field, found.one, found.other) == ("duct_size", "600 × 400", "600 by tbc (not read)")


def test_a_row_that_is_called_otherwise_is_found_by_its_place() -> None:
    pair = only_pair(full("FD-01"), full("FD-R1", storey="L01"))
    assert (pair.by, pair.kinds[0]) == (By.PLACE, "renamed")
    assert next((item.field, item.one, item.other) for item in pair.differences) == ("reference", "FD-01", "FD-R1")


def test_a_row_that_is_called_otherwise_is_found_by_its_permanent_id_first() -> None:
    before = [full("FD-01", permanent_id="P-0007"), full("FD-02", words="D/1")]
    now = [full("FD-02", permanent_id="P-0007"), full("FD-01", words="D/1")]
    result = compared(before, now)
    pairs = {pair.one.name: (pair.other.name, pair.by) for pair in result.pairs}
    assert pairs["FD-01"] == ("FD-02", By.PERMANENT_ID)
    assert pairs["FD-02"] == ("FD-01", By.PLACE)


def test_a_row_that_was_moved_and_called_otherwise_is_proposed_by_likeness() -> None:
    """By hand: size 3 and storey 2 agree, the place in words 2 is in doubt: 5 of 7."""
    result = compared([full("FD-01", words="C/4")], [full("FD-R1", words="K/9")])
    (pair,) = result.proposed
    assert (pair.by, pair.kinds) == (By.LIKENESS, ("renamed", "moved"))
    assert pair.score == pytest.approx(5 / 7, abs=0.0005)
    assert result.matched == ()


def test_an_alias_leads_to_the_row() -> None:
    pair = only_pair(full("FD-01"), full("M7", words="Z/9", aliases=(("designer", "FD-01"),)))
    assert (pair.by, pair.kinds[0]) == (By.ALIAS, "renamed")


def test_rows_that_are_equally_like_stay_open_and_are_named() -> None:
    before = [full("A1", words="x1"), full("A2", words="x2")]
    result = compared(before, [full("B1", words="y1"), full("B2", words="y2")])
    assert result.pairs == ()
    assert all("equally like B1, B2" in item.why for item in result.only_one)
    assert all("equally like A1, A2" in item.why for item in result.only_other)


def test_two_rows_with_one_permanent_id_are_matched_with_nothing() -> None:
    before = [full("FD-01", permanent_id="P-0001")]
    now = [full("FD-01", permanent_id="P-0001"), full("FD-02", permanent_id="P-0001")]
    result = compared(before, now)
    assert result.pairs == ()
    assert {item.group for item in (*result.only_one, *result.only_other)} == {Group.NOT_TOLD_APART}


def twice(mark: str, **changes: Any) -> ScheduleRow:
    """A row whose reference stands twice: read under a mark of what it says."""
    again = CellUnread(SHEET, "reference", "Ref", "FD-01", "a name that stands once")
    changes = {"storey": "Level 1", "duct_size": SIZE, **changes}
    return replace(row(f"FD-01 ({mark})", **changes), unread=(again,))


def test_a_reference_that_stands_twice_is_no_other_name_when_its_row_changes() -> None:
    before = [twice("aaaaaa", words="C/4"), twice("bbbbbb", words="D/4")]
    now = [twice("aaaaaa", words="C/4"), twice("cccccc", words="D/4", duct_size=Size(Mm(200)))]
    result = compared(before, now)
    assert len(result.matched) == 2
    (pair,) = result.differing
    assert [item.field for item in pair.differences] == ["duct_size"]
    assert (pair.by, pair.one.reference) == (By.REFERENCE, "FD-01")


def a_revision(seed: int) -> tuple[list[ScheduleRow], list[ScheduleRow]]:
    """Rows, and the same rows after a hard week."""
    seeded = random.Random(seed)
    sizes = [SIZE, Size(Mm(400), Mm(600)), Size(Mm(200)), Size(Mm(315))]

    def some() -> dict[str, Any]:
        found = {
            "storey": seeded.choice(["Level 1", "L2", "roof", "Level 03"]),
            "words": seeded.choice(["", "riser", f"C/{seeded.randrange(20)}"]),
            "duct_size": seeded.choice(sizes),
            "wall_type_code": seeded.choice(["W1", "W2"]),
        }
        if seeded.random() < 0.3:
            found["centre_m"] = (seeded.randrange(12) * 0.7, 0.0, 0.0)
        return found

    before = [row(f"FD-{number:02}", **some()) for number in range(30)]
    now = []
    for number, old in enumerate(before):
        chance = seeded.random()
        if chance < 0.4:
            now.append(old)
        elif chance < 0.6:
            now.append(row(old.reference, **some()))
        elif chance < 0.85:
            now.append(replace(old, reference=f"NEW-{number:02}"))
    return before, [*now, *(row(f"ADD-{number:02}", **some()) for number in range(6))]


@pytest.mark.parametrize("seed", range(12))
def test_law_every_row_is_accounted_for_exactly_once(seed: int) -> None:
    before, now = a_revision(seed)
    result = compared(before, now)
    ones = [pair.one.name for pair in result.pairs] + [item.entry.name for item in result.only_one]
    others = [pair.other.name for pair in result.pairs] + [item.entry.name for item in result.only_other]
    assert Counter(ones) == Counter(item.reference for item in before)
    assert Counter(others) == Counter(item.reference for item in now)
    assert {By.REFERENCE, By.PLACE} <= {pair.by for pair in result.pairs}


@pytest.mark.parametrize("seed", range(12))
def test_law_swapping_the_revisions_swaps_the_answer(seed: int) -> None:
    before, now = a_revision(seed)
    there, back = compared(before, now), compared(now, before)

    def told(pair: Pair) -> tuple[Any, ...]:
        return pair.by, pair.score, sorted((item.field, item.one, item.other) for item in pair.differences)

    def swapped(pair: Pair) -> tuple[Any, ...]:
        return pair.by, pair.score, sorted((item.field, item.other, item.one) for item in pair.differences)

    mine = {(pair.one.name, pair.other.name): told(pair) for pair in there.pairs}
    theirs = {(pair.other.name, pair.one.name): swapped(pair) for pair in back.pairs}
    assert mine == theirs
    assert [item.entry for item in there.only_one] == [item.entry for item in back.only_other]
    assert [item.entry for item in there.only_other] == [item.entry for item in back.only_one]


@pytest.mark.parametrize("seed", range(4))
def test_proposals_are_those_of_a_second_method_one_by_one(seed: int) -> None:
    """The fast weighing of all pairs against `likeness` of each pair by itself."""
    before, now = a_revision(seed)
    ones, others = [described_row(item, {}) for item in before], [described_row(item, {}) for item in now]
    best = best_likes(ones, others)
    for one, found in zip(ones, best, strict=True):
        likes = [likeness(one, other) for other in others]
        weights = {"position": 4, "size": 3, "storey": 2, "place in words": 2, "wall type": 2}
        enough = [
            (like.score, at)
            for at, like in enumerate(likes)
            if like.is_possible and like.score >= 0.3 and sum(weights[item.fact] for item in like.agreeing) >= 5
        ]
        top = max((score for score, _ in enough), default=0.0)
        assert found.score == pytest.approx(top, abs=0.0005)
        assert found.number == sum(score == top for score, _ in enough)
    assert mutual(best, best_likes(others, ones)) == sorted((a, b) for b, a in mutual(best_likes(others, ones), best))
