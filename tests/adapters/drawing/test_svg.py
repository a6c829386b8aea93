# SPDX-License-Identifier: Apache-2.0
import re

import pytest
from defusedxml import ElementTree

from brattice.adapters.drawing import SVG_CSS, SVG_HATCHES, svg_document, svg_element
from brattice.drawing.primitives import (
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
)

SVG = "{http://www.w3.org/2000/svg}"


def drawing(*items: Item, title: str = "Title") -> Drawing:
    return Drawing(title, "words", Box(-10, -20, 90, 30), items, 10)


def test_the_paper_is_turned_over_and_moved_to_its_corner() -> None:
    # by hand: frame from (-10, -20) to (90, 30); (0, 0) lies 10 from the left and 30 from the top
    root = ElementTree.fromstring(svg_document(drawing(Polyline(((0, 0), (5, 10)), Pen.CUT))))
    assert root.get("viewBox") == "0 0 100 50"
    assert root.get("width") == "100mm"
    (path,) = root.findall(f"{SVG}path")
    assert path.get("d") == "M10 30L15 20"


def test_lines_of_one_pen_are_one_path_and_holes_are_holes() -> None:
    root = ElementTree.fromstring(
        svg_document(
            drawing(
                Polyline(((0, 0), (1, 0)), Pen.THIN),
                Polyline(((0, 1), (1, 1)), Pen.THIN),
                Polyline(((0, 2), (1, 2)), Pen.CUT),
                Polygon((rectangle(0, 0, 9, 9), rectangle(1, 1, 2, 2)), Fill.CONCRETE, Pen.CUT),
            )
        )
    )
    paths = root.findall(f"{SVG}path")
    assert len(paths) == 3
    assert paths[0].get("d", "").count("M") == 2
    assert paths[2].get("fill-rule") == "evenodd"


def test_texts_are_text_and_stay_searchable() -> None:
    name = "</text><script>alert(1)</script>&\x00\u202e"
    text = svg_document(drawing(Text((0, 0), name, 3, ink=Ink.WRONG), Group(name, ()), title=name))
    root = ElementTree.fromstring(text)
    assert [item.text for item in root.iter(f"{SVG}text")] == ["</text><script>alert(1)</script>&␀⟨U+202E⟩"]
    assert not list(root.iter(f"{SVG}script"))


def test_groups_with_an_address_are_links_and_others_are_not() -> None:
    items = (
        Group("P-1: within scope", (Circle((0, 0), 1, Fill.INK),), "P-1"),
        Group("", (Circle((0, 0), 1, Fill.INK),)),
    )
    linked = svg_element(drawing(*items), lambda link: f'#{link}"x')
    assert linked.count("<a href=") == 1
    assert 'href="#P-1&quot;x"' in linked
    assert 'role="group"' in linked
    assert 'role="img"' in svg_element(drawing(*items))


@pytest.mark.parametrize(
    "word", [*(f"p-{pen}" for pen in Pen), *(f"f-{fill}" for fill in Fill), *(f"i-{i}" for i in Ink)]
)
def test_every_pen_fill_and_ink_has_a_style(word: str) -> None:
    assert f".{word}{{" in SVG_CSS


def test_every_hatch_that_a_style_names_exists() -> None:
    assert set(re.findall(r"url\(#([\w-]+)\)", SVG_CSS)) == set(re.findall(r'id="([\w-]+)"', SVG_HATCHES))


def test_numbers_are_short_and_never_in_powers() -> None:
    text = svg_element(drawing(Polyline(((1e-9, 1 / 3), (-10, 30)), Pen.THIN)))
    (path,) = re.findall(r' d="([^"]*)"', text)
    assert path == "M10 29.67L0 0"
