# SPDX-License-Identifier: Apache-2.0
"""Sheets of a storey: every flag on one sheet, inside, on no other; named scales; areas where flags are dense."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.drawing.primitives import Box, Group, Text, box_of, flat
from brattice.sketch.plan import PlanMark
from brattice.sketch.sheets import PlanSheet, draw_key, draw_sheets, rating_words

WIDTH, HEIGHT = 236.0, 219.0
NAMED = {20, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10000}


def wall(name: str, minutes: int | None, text: str, *outline: tuple[float, float]) -> PlanBarrier:
    return PlanBarrier(name, name, text, minutes, is_floor=False, outlines=(outline,))


LONG = wall("g1", 60, "EI 60", (0, 0), (40, 0), (40, 0.2), (0, 0.2))
HIGH = wall("g2", None, "", (20, 0), (20.2, 0), (20.2, 30), (20, 30))
PLAN = StoreyPlan("Level 1", 0.0, (LONG, HIGH), (((1, -2), (2, -2), (2, 2), (1, 2)),), ())


def mark(number: int, x: float, y: float) -> PlanMark:
    return PlanMark(f"P-{number:04d}", x, y, "circle", "within scope")


def check(sheets: tuple[PlanSheet, ...], marks: list[PlanMark]) -> None:
    told = sorted(name for sheet in sheets for name in (*sheet.shown, *sheet.without_room))
    assert told == sorted(item.id for item in marks)
    for sheet in sheets:
        frame = Box(0, 0, WIDTH, HEIGHT)
        assert sheet.drawing.frame == frame
        assert frame.holds(box_of(sheet.drawing.items), 0.5)
        groups = [item for item in sheet.drawing.items if isinstance(item, Group)]
        assert sorted(group.link for group in groups) == list(sheet.shown)
        texts = [box_of([item]) for item in flat(sheet.drawing.items) if isinstance(item, Text)]
        assert all(frame.holds(text) for text in texts)
        assert all(not one.meets(other) for one, other in combinations(texts, 2))


@pytest.mark.parametrize("count", [1, 30, 150, 700])
def test_every_mark_is_flagged_once_on_a_sheet_and_no_text_lies_on_another(count: int) -> None:
    marks = [mark(n, 0.7 + 38 * (n * 0.618 % 1), 29 * (n * 0.271 % 1)) for n in range(count)]
    sheets = draw_sheets(PLAN, marks, WIDTH, HEIGHT)
    check(sheets, marks)
    assert {sheet.drawing.denominator for sheet in sheets} <= NAMED
    assert all(not sheet.without_room for sheet in sheets)
    assert (len(sheets) > 1) == (count > 150)


spots = st.tuples(
    st.floats(0, 40).map(lambda value: round(value, 1)), st.floats(0, 30).map(lambda value: round(value, 1))
)


@given(st.lists(spots, max_size=60))
@settings(max_examples=25, deadline=None)
def test_random_places(at: list[tuple[float, float]]) -> None:
    marks = [mark(n, x, y) for n, (x, y) in enumerate(at)]
    check(draw_sheets(PLAN, marks, WIDTH, HEIGHT), marks)


def test_marks_on_one_spot_that_have_no_room_are_named() -> None:
    marks = [mark(n, 5.0, 5.0) for n in range(400)]
    sheets = draw_sheets(PLAN, marks, WIDTH, HEIGHT)
    check(sheets, marks)
    assert any(sheet.without_room for sheet in sheets)
    assert sum(len(sheet.shown) for sheet in sheets) > 50


def test_the_scale_is_the_largest_named_one_that_fits() -> None:
    # by hand: 40 m at 1:200 is 200 mm and 30 m 150 mm, within 236 x 219 mm less margins; at 1:100 400 mm is not
    (sheet,) = draw_sheets(PLAN, [mark(1, 5, 0.1)], WIDTH, HEIGHT)
    assert sheet.drawing.denominator == 200


def test_the_corner_ties_paper_to_building() -> None:
    (sheet,) = draw_sheets(PLAN, [mark(1, 5, 0.1)], WIDTH, HEIGHT)
    # the plan's middle (20 m, 14 m) lies in the middle of the frame above its foot of 8 mm
    x = (20 - sheet.corner_m[0]) * 1000 / 200
    y = (14 - sheet.corner_m[1]) * 1000 / 200
    assert (x, y) == pytest.approx((WIDTH / 2, (HEIGHT + 8) / 2))


def test_the_order_of_marks_changes_nothing() -> None:
    marks = [mark(n, n % 37, n % 11) for n in range(80)]
    assert draw_sheets(PLAN, marks, WIDTH, HEIGHT) == draw_sheets(PLAN, marks[::-1], WIDTH, HEIGHT)


@pytest.mark.parametrize(
    ("minutes", "text", "shown"),
    [(60, "EI 60", "EI 60"), (None, "", "rating?"), (None, "see plan", "see plan?"), (0, "", "unrated")],
)
def test_a_rating_that_is_not_known_never_reads_like_one(minutes: int | None, text: str, shown: str) -> None:
    assert rating_words(wall("g", minutes, text, (0, 0), (1, 0), (1, 1))) == shown


def test_the_rating_stands_beside_its_wall() -> None:
    (sheet,) = draw_sheets(PLAN, [mark(1, 5, 10)], WIDTH, HEIGHT)
    texts = {item.text for item in flat(sheet.drawing.items) if isinstance(item, Text)}
    assert {"EI 60", "rating?"} <= texts


def test_the_key_numbers_the_areas() -> None:
    marks = [mark(n, 0.7 + 38 * (n * 0.618 % 1), 29 * (n * 0.271 % 1)) for n in range(700)]
    sheets = draw_sheets(PLAN, marks, WIDTH, HEIGHT)
    key = draw_key(PLAN, sheets, 2, 60, 30)
    assert "2" in {item.text for item in key.items if isinstance(item, Text)}
    assert key.frame.width <= 63
    assert key.frame.height <= 33
