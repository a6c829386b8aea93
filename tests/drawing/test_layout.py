# SPDX-License-Identifier: Apache-2.0
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.drawing.dimensions import Span, chain
from brattice.drawing.layout import Flag, place_flags, spread
from brattice.drawing.primitives import Box, Ink, Polyline, Text, box_of

places = st.floats(min_value=-100, max_value=100).map(lambda value: round(value, 2))
labels = st.lists(st.tuples(places, st.floats(min_value=0.5, max_value=20)), max_size=12).map(sorted)


@given(labels)
def test_spread_labels_keep_order_and_never_overlap(given_labels: list[tuple[float, float]]) -> None:
    centres, sizes = [item[0] for item in given_labels], [item[1] for item in given_labels]
    moved = spread(centres, sizes, 1.0)
    assert len(moved) == len(centres)
    for (a, size_a), (b, size_b) in pairwise(zip(moved, sizes, strict=True)):
        assert b - a >= size_a / 2 + 1.0 + size_b / 2 - 1e-9


@given(labels)
def test_labels_with_room_stay_where_they_are(given_labels: list[tuple[float, float]]) -> None:
    centres, sizes = [item[0] for item in given_labels], [item[1] for item in given_labels]
    has_room = all(
        b - a >= size_a / 2 + 1.0 + size_b / 2
        for (a, size_a), (b, size_b) in pairwise(zip(centres, sizes, strict=True))
    )
    if has_room:
        assert spread(centres, sizes, 1.0) == pytest.approx(centres)


def test_two_labels_on_one_place_move_apart_by_the_same() -> None:
    # by hand: 4 wide each, 2 apart: centres 6 apart, middle unmoved
    assert spread([10, 10], [4, 4], 2) == pytest.approx((7, 13))


def test_labels_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="in order"):
        spread([2, 1], [1, 1], 0)


points = st.tuples(
    st.floats(min_value=0, max_value=120).map(lambda v: round(v, 1)),
    st.floats(min_value=0, max_value=80).map(lambda v: round(v, 1)),
)
FRAME = Box(0, 0, 120, 80)


@given(st.lists(points, max_size=60))
def test_no_flag_lies_on_another_and_each_is_tied_to_its_point(at: list[tuple[float, float]]) -> None:
    flags = [Flag(point, 14, 3, 1.5) for point in at]
    placed = place_flags(flags, FRAME)
    assert len(placed) == len(flags)
    for one, other in combinations(placed, 2):
        assert not one.box.meets(other.box)
    for flag, where in zip(flags, placed, strict=True):
        assert where.box.width == pytest.approx(14)
        assert where.box.height == pytest.approx(3)
        if where.leader is None:
            x, y = flag.at
            assert where.box.left <= x <= where.box.right
            assert where.box.bottom <= y <= where.box.top
        else:
            assert where.leader[0] == flag.at
            end = Box(*where.leader[1], *where.leader[1])
            assert where.box.holds(end)


@given(st.lists(points, max_size=40))
def test_no_flag_hides_the_point_of_another(at: list[tuple[float, float]]) -> None:
    flags = [Flag(point, 14, 3, 1.5) for point in at]
    for number, where in enumerate(place_flags(flags, FRAME)):
        for other, flag in enumerate(flags):
            if other == number or flag.at == flags[number].at:
                continue
            dot = Box(flag.at[0], flag.at[1], flag.at[0], flag.at[1]).grown(0.3)
            assert not where.box.meets(dot)


def test_more_flags_than_room_stand_in_columns_beside_the_frame() -> None:
    placed = place_flags([Flag((60, 40), 14, 3, 1.5)] * 300, FRAME)
    assert all(not one.box.meets(other.box) for one, other in combinations(placed, 2))
    assert any(where.box.left > FRAME.right for where in placed)


def test_the_same_flags_go_to_the_same_places() -> None:
    flags = [Flag((10 + n % 3, 20 + n % 2), 14, 3, 1.5) for n in range(20)]
    assert place_flags(flags, FRAME) == place_flags(flags, FRAME)


@pytest.mark.parametrize("upright", [False, True])
def test_texts_of_a_chain_never_overlap_however_short_its_spans(upright: bool) -> None:
    spans = [Span(0, 1, "20 [30–60]", Ink.WRONG), Span(1, 31, "600"), Span(31, 32, "80 [30–60]"), Span(32, 33, "5")]
    items = chain(spans, -5, upright=upright, size=2.9, reach_from=0, outward=-1)
    boxes = [box_of([item]) for item in items if isinstance(item, Text)]
    assert len(boxes) == 4
    assert all(not one.meets(other) for one, other in combinations(boxes, 2))


def test_a_chain_prints_the_text_that_it_was_given() -> None:
    items = chain([Span(0, 10, "212.5")], 0, upright=False, size=3)
    assert [item.text for item in items if isinstance(item, Text)] == ["212.5"]
    lines = [item for item in items if isinstance(item, Polyline) and len(item.points) == 2]
    assert any({item.points[0][0], item.points[1][0]} == {0, 10} for item in lines)
