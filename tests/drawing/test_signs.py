# SPDX-License-Identifier: Apache-2.0
import math

import pytest

from brattice.drawing.collide import HEAVY, collisions
from brattice.drawing.primitives import Box, Circle, Drawing, Fill, Item, Pen, Polygon, Polyline, Text, box_of, flat
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.signs import balloon, caption, hatch_legend, north_arrow, revision_cloud, scale_bar
from brattice.drawing.views import View


def is_readable(items: tuple[Item, ...]) -> bool:
    return not collisions(Drawing("", "", Box(-500, -500, 500, 500), items, 1), heavy=HEAVY)


@pytest.mark.parametrize("hold", [False, True])
@pytest.mark.parametrize("text", ["1", "12", "100"])
def test_a_number_lies_within_its_balloon(text: str, hold: bool) -> None:
    items = list(flat(balloon((10, 10), text, (30, 10), hold=hold)))
    assert is_readable(tuple(items))
    leader = next(item for item in items if isinstance(item, Polyline))
    assert leader.points[1] == (30, 10)
    assert any(isinstance(item, Circle) and item.centre == (30, 10) for item in items)


def test_a_balloon_on_what_it_names_has_no_leader() -> None:
    assert not [item for item in flat(balloon((10, 10), "1")) if isinstance(item, Polyline)]


@pytest.mark.parametrize(("angle", "tip"), [(0, (0, 10)), (90, (10, 0)), (180, (0, -10)), (-90, (-10, 0))])
def test_north_is_clockwise_from_up(angle: float, tip: tuple[float, float]) -> None:
    shape = next(item for item in flat(north_arrow((0, 0), angle, 10)) if isinstance(item, Polygon))
    assert shape.rings[0][0] == pytest.approx(tip, abs=1e-9)


def test_north_that_is_not_known_is_said() -> None:
    texts = {item.text for item in flat(north_arrow((0, 0), None)) if isinstance(item, Text)}
    assert texts == {"?", "north not known"}


@pytest.mark.parametrize(
    ("denominator", "most", "words", "long"), [(10, 60, "500 mm", 50), (5, 60, "200 mm", 40), (100, 50, "5000 mm", 50)]
)
def test_a_scale_bar_is_as_long_as_it_says(denominator: float, most: float, words: str, long: float) -> None:
    # by hand: 500 mm at 1:10 are 50 mm of paper, and 1000 mm would be 100
    items = list(flat(scale_bar((0, 0), denominator, most)))
    fields = box_of(item for item in items if isinstance(item, Polygon))
    assert fields.width == pytest.approx(long)
    assert words in {item.text for item in items if isinstance(item, Text)}


def test_no_bar_where_none_fits() -> None:
    assert scale_bar((0, 0), 1, 9.9) == ()
    assert scale_bar((0, 0), 1, 10.0)


def test_a_cloud_lies_round_its_box_and_shows_the_revision() -> None:
    box = Box(10, 10, 60, 30)
    items = revision_cloud(box, "B")
    line = next(item for item in flat(items) if isinstance(item, Polyline))
    assert all(not (10.001 < x < 59.999 and 10.001 < y < 29.999) for x, y in line.points)
    assert all(math.dist((min(max(x, 10), 60), min(max(y, 10), 30)), (x, y)) < 2 for x, y in line.points)
    assert is_readable(items)
    assert [item.text for item in flat(items) if isinstance(item, Text)] == ["B"]
    assert not [item for item in flat(revision_cloud(box)) if isinstance(item, Text)]


def test_a_legend_shows_each_fill_with_its_words() -> None:
    items = hatch_legend([(Fill.CONCRETE, "concrete"), (Fill.WOOL, "mineral wool")], (10, 50))
    assert [item.fill for item in flat(items) if isinstance(item, Polygon)] == [Fill.CONCRETE, Fill.WOOL]
    assert is_readable(items)
    assert box_of(items, SHEET_FONT).top == 50


def test_a_caption_says_title_and_scale_within_its_view() -> None:
    view = View("Section A–A", Box(10, 20, 100, 90), 10, ())
    items = caption(view)
    assert {item.text for item in flat(items) if isinstance(item, Text)} == {"Section A–A", "1:10"}
    assert view.box.holds(box_of(items, SHEET_FONT))
    assert next(item for item in flat(items) if isinstance(item, Polyline)).pen is Pen.EDGE
