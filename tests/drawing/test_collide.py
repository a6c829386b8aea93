# SPDX-License-Identifier: Apache-2.0
"""The checker against hand-made cases, and against a second method (shapely) for random drawings."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from brattice.drawing.collide import HEAVY, collisions, sheet_collisions
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Drawing,
    Fill,
    Group,
    Ink,
    Item,
    Pen,
    Polygon,
    Polyline,
    Text,
    rectangle,
    text_box,
)
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import A3, Sheet, View


def drawing(*items: Item) -> Drawing:
    return Drawing("Title", "", Box(0, 0, 100, 100), items, 1)


def said(*items: Item, heavy: frozenset[Pen] = HEAVY, apart: float = 0.0) -> list[str]:
    return [f"{found.text}: {found.meets}" for found in collisions(drawing(*items), heavy=heavy, apart=apart)]


def test_texts_that_lie_on_each_other_are_named_once() -> None:
    one, other = Text((10, 10), "one", 3), Text((12, 11), "other", 3)
    assert said(one, Group("", (other,))) == ["other: meets the text “one”"]
    assert said(one, one) == ["one: meets the text “one”"]


def test_the_clear_distance_is_kept_exactly() -> None:
    # by hand: digits are 0.58 of the size wide, so "00" of size 10 ends 11.6 from its start
    one = Text((10, 10), "00", 10)
    assert said(one, Text((21.8, 10), "0", 10), apart=0.2) == []
    assert said(one, Text((21.79, 10), "0", 10), apart=0.2) == ["0: meets the text “00”"]


def test_turned_texts_and_other_ends_are_where_they_are_drawn() -> None:
    crossing = Text((50, 30), "0000000000", 5, Anchor.MIDDLE, turned=True)
    assert said(crossing, Text((60, 44), "000", 5, Anchor.END)) == []
    assert said(crossing, Text((60, 44), "0000", 5, Anchor.END)) == ["0000: meets the text “0000000000”"]


@pytest.mark.parametrize(
    ("at", "anchor"),
    [
        ((98.0, 50.0), Anchor.START),
        ((2.0, 50.0), Anchor.END),
        ((50.0, 99.0), Anchor.START),
        ((50.0, 0.1), Anchor.START),
    ],
)
def test_a_text_that_leaves_the_paper_is_named(at: tuple[float, float], anchor: Anchor) -> None:
    assert said(Text(at, "long", 4, anchor)) == ["long: leaves the paper"]


def test_an_empty_text_meets_nothing() -> None:
    assert said(Text((10, 10), "", 3), Text((10, 10), " ", 3), Text((500, 10), "", 3)) == []


def test_a_heavy_line_through_a_text_counts_and_a_thin_one_does_not() -> None:
    text = Text((10, 10), "text", 4)
    through = ((0.0, 0.0), (30.0, 22.0))
    assert said(Polyline(through, Pen.CUT), text) == ["text: lies under a line (cut)"]
    assert said(Polyline(through, Pen.THIN), text) == []
    assert said(Polyline(through, Pen.CUT), text, heavy=frozenset()) == []
    assert said(Polygon((rectangle(12, 0, 90, 90),), Fill.NONE, Pen.EDGE), text) == ["text: lies under a line (edge)"]
    assert said(Polygon((rectangle(5, 0, 90, 90),), Fill.NONE, Pen.EDGE), text) == []
    assert said(Circle((14, 11), 1.0, Fill.NONE, Pen.EDGE), text) == ["text: lies under a line (edge)"]
    assert said(Circle((14, 11), 20.0, Fill.NONE, Pen.EDGE), text) == []


def test_a_level_line_through_the_middle_counts_and_one_along_the_edge_does_not() -> None:
    text = Text((10, 10), "text", 10)
    box = text_box(text, SHEET_FONT)
    assert said(Polyline(((0, 12), (50, 12)), Pen.CUT), text)
    assert said(Polyline(((0, box.top), (50, box.top)), Pen.CUT), text) == []
    assert said(Polyline(((box.left, 0), (box.left, 50)), Pen.CUT), text) == []


@pytest.mark.parametrize(
    "cover",
    [
        Polygon((rectangle(9, 8, 30, 15),), Fill.PAPER),
        Polygon((((-40, 5), (60, 5), (20, 60)),), Fill.PAPER, Pen.EDGE),
        Circle((14, 11), 8, Fill.PAPER, Pen.EDGE),
    ],
)
def test_paper_under_a_text_hides_the_lines_below_it(cover: Item) -> None:
    text, line = Text((10, 10), "text", 4), Polyline(((0, 11), (50, 11)), Pen.CUT)
    assert said(line, cover, text) == []
    assert said(cover, line, text) == ["text: lies under a line (cut)"]


def test_paper_that_hides_but_a_part_hides_nothing() -> None:
    text, line = Text((10, 10), "text", 4), Polyline(((0, 11), (50, 11)), Pen.CUT)
    assert said(line, Polygon((rectangle(12, 8, 30, 15),), Fill.PAPER), text) == ["text: lies under a line (cut)"]
    bent = ((9.0, 8.0), (30.0, 8.0), (30.0, 20.0), (14.0, 9.0))
    assert said(line, Polygon((bent,), Fill.PAPER), text) == ["text: lies under a line (cut)"]


def test_a_sheet_names_the_view_that_a_text_leaves() -> None:
    view = View("Section", Box(30, 30, 100, 100), 10, (Text((95, 50), "beyond", 3), Text((50, 50), "within", 3)))
    sheet = Sheet("S-1", "Title", A3, (), (view,), (Text((12, 100), "margin", 3), Text((200, 200), "note", 3)))
    found = {(item.text, item.meets) for item in sheet_collisions(sheet)}
    assert found == {("beyond", "leaves the view “Section”"), ("margin", "leaves the frame of the sheet")}


def test_a_collision_says_where() -> None:
    (found,) = collisions(drawing(Text((98, 50), "long", 4)))
    assert str(found) == "“long” at 98.0, 49.1 leaves the paper"


_TEXTS = st.builds(
    Text,
    st.tuples(st.floats(0, 100), st.floats(0, 100)),
    st.text("aW1 mm", min_size=1, max_size=8).filter(str.strip),
    st.floats(1, 8),
    st.sampled_from(Anchor),
    st.sampled_from(Ink),
    st.booleans(),
)


@given(st.lists(_TEXTS, max_size=12))
def test_law_pairs_are_those_that_another_library_finds(texts: list[Text]) -> None:
    named = [
        Text(item.at, f"{n} {item.text}", item.size, item.anchor, item.ink, item.turned) for n, item in enumerate(texts)
    ]
    shapes = []
    for item in named:
        box = text_box(item, SHEET_FONT)
        shapes.append(shapely.box(box.left, box.bottom, box.right, box.top))
    expected = {
        (named[b].text, f"meets the text “{named[a].text}”")
        for b in range(len(named))
        for a in range(b)
        if shapes[a].intersection(shapes[b]).area > 1e-6
    }
    everything = collisions(Drawing("", "", Box(-1e3, -1e3, 1e3, 1e3), tuple(named), 1), apart=0.0)
    found = {(item.text, item.meets) for item in everything}
    assert expected <= found
    touching = {
        (named[b].text, f"meets the text “{named[a].text}”")
        for b in range(len(named))
        for a in range(b)
        if shapes[a].distance(shapes[b]) < 1e-6
    }
    assert found <= touching


@given(_TEXTS, st.lists(st.tuples(st.floats(-20, 120), st.floats(-20, 120)), min_size=2, max_size=5))
def test_law_lines_through_a_text_are_those_that_another_library_finds(
    text: Text, points: list[tuple[float, float]]
) -> None:
    box = text_box(text, SHEET_FONT)
    line = shapely.LineString(points)
    found = bool(
        collisions(Drawing("", "", Box(-1e3, -1e3, 1e3, 1e3), (Polyline(tuple(points), Pen.CUT), text), 1), heavy=HEAVY)
    )
    if line.intersects(shapely.box(box.left, box.bottom, box.right, box.top).buffer(-1e-5)):
        assert found
    if line.distance(shapely.box(box.left, box.bottom, box.right, box.top)) > 1e-5:
        assert not found
