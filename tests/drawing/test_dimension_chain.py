# SPDX-License-Identifier: Apache-2.0
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.drawing.collide import collisions
from brattice.drawing.dimensions import Span, dimension_chain
from brattice.drawing.primitives import Box, Dimension, Drawing, Ink, Pen, Polyline, Text, flat, text_box
from brattice.drawing.sheet_font import SHEET_FONT

SPANS = (
    Span(10, 11.2, "12", value_mm=12),
    Span(11.2, 71.2, "600", value_mm=600),
    Span(71.2, 72.4, "12", value_mm=12),
)


def texts(chain: tuple[Dimension, ...]) -> list[Text]:
    return [item for item in flat(chain) if isinstance(item, Text)]


@pytest.mark.parametrize("upright", [False, True])
def test_each_span_is_a_dimension_with_its_real_length(upright: bool) -> None:
    chain = dimension_chain(SPANS, 5, upright=upright, size=2.5, reach_from=20)
    assert [(item.text, item.value_mm, item.line, item.upright) for item in chain] == [
        ("12", 12, 5, upright),
        ("600", 600, 5, upright),
        ("12", 12, 5, upright),
    ]
    first = chain[1]
    ends = ((11.2, 20), (71.2, 20))
    assert (first.first, first.second) == (tuple(e[::-1] for e in ends) if upright else ends)


def test_a_length_that_is_not_known_has_no_value() -> None:
    (only,) = dimension_chain([Span(0, 40, "?", Ink.WRONG, Pen.UNKNOWN)], 0, upright=False, size=2.5)
    assert only.value_mm is None
    assert any(isinstance(item, Polyline) and item.pen is Pen.UNKNOWN for item in only.items)


def test_short_spans_at_the_ends_have_their_texts_beside_the_chain() -> None:
    # by hand: "12" of size 2.5 is 2 × 0.58 × 2.5 = 2.9 wide and has 1.2 of room
    left, middle, right = (
        text_box(item, SHEET_FONT) for item in texts(dimension_chain(SPANS, 5, upright=False, size=2.5))
    )
    assert left.right <= 10
    assert right.left >= 72.4
    assert (middle.left + middle.right) / 2 == pytest.approx(41.2)


def test_a_short_span_between_others_is_raised_with_a_leader() -> None:
    spans = (Span(0, 30, "300"), Span(30, 31, "10"), Span(31, 61, "300"))
    chain = dimension_chain(spans, 0, upright=False, size=2.5)
    low, raised, _ = texts(chain)
    assert raised.at[1] > low.at[1] + 1
    leaders = [item for item in chain[1].items if isinstance(item, Polyline) and item.points[0] == (30.5, 0)]
    assert len(leaders) == 1


def test_upright_texts_read_from_the_right_and_level_ones_from_below() -> None:
    # ISO 129-1, from memory: texts above a horizontal line, and left of an upright one, turned
    turned = texts(dimension_chain(SPANS, 50, upright=True, size=2.5))
    assert all(item.turned and text_box(item, SHEET_FONT).right < 50 for item in turned if item.text == "600")
    level = texts(dimension_chain(SPANS, 50, upright=True, size=2.5, level=True))
    assert all(not item.turned and item.at[0] > 50 for item in level)
    below = texts(dimension_chain(SPANS, 50, upright=False, size=2.5, outward=-1))
    assert all(text_box(item, SHEET_FONT).top < 50 for item in below)


def test_strokes_and_extension_lines_stand_once_at_each_edge() -> None:
    chain = dimension_chain(SPANS, 5, upright=False, size=2.5, reach_from=20)
    lines = [item for item in flat(chain) if isinstance(item, Polyline)]
    strokes = [item for item in lines if item.pen is Pen.EDGE]
    reaching = [item for item in lines if item.points[0][0] == item.points[1][0] and item.points[0][1] == 19]
    assert len(strokes) == len(reaching) == 4


def test_nothing_to_measure_is_no_chain() -> None:
    assert dimension_chain((), 0, upright=False, size=2.5) == ()


@given(
    st.lists(st.tuples(st.floats(0.3, 60), st.integers(0, 99999)), min_size=1, max_size=8),
    st.booleans(),
    st.booleans(),
    st.sampled_from([None, 1, -1]),
)
def test_law_texts_of_a_chain_keep_apart(
    lengths: list[tuple[float, int]], upright: bool, level: bool, outward: int | None
) -> None:
    spans, start = [], 0.0
    for length, value in lengths:
        spans.append(Span(start, start + length, str(value), value_mm=value))
        start += length
    chain = dimension_chain(spans, 0, upright=upright, size=2.5, reach_from=10, outward=outward, level=level)
    assert not collisions(Drawing("", "", Box(-500, -500, 1000, 1000), chain, 1), apart=0.2)
    assert [item.text for item in texts(chain)] == [span.text for span in spans]
