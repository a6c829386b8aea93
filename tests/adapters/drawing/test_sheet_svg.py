# SPDX-License-Identifier: Apache-2.0
import re

import pytest
from defusedxml import ElementTree

from brattice.adapters.drawing import SHEET_LOOK, sheet_svg
from brattice.drawing.pens import PEN_LINES, PEN_WIDTHS_MM, LineKind
from brattice.drawing.primitives import Box, Fill, Ink, Pen, Polyline, Text
from brattice.drawing.sheet import TitleBlock, sheet_frame
from brattice.drawing.views import A4, Sheet, View

SVG = "{http://www.w3.org/2000/svg}"


def sheet() -> Sheet:
    view = View("Section", Box(30, 80, 180, 200), 10, (Polyline(((40, 90), (80, 90)), Pen.CUT),), "The wall is cut")
    block = TitleBlock("A job", "JOB-0001", "Fire damper")
    note = Text((40, 70), "A note", 3)
    return Sheet("JOB-0001", "Fire damper", A4, sheet_frame(A4, block), (view,), (note,), "Words")


def test_a_sheet_is_one_picture_of_its_paper_with_texts_as_text() -> None:
    root = ElementTree.fromstring(sheet_svg(sheet()))
    assert (root.get("viewBox"), root.get("width"), root.get("height")) == ("0 0 210 297", "210mm", "297mm")
    assert {"A note", "JOB-0001", "A job", "Title"} <= {item.text for item in root.iter(f"{SVG}text")}
    assert root.get("aria-label") == "JOB-0001 Fire damper. Words"
    assert "The wall is cut" in {item.text for item in root.iter(f"{SVG}title")}


def test_the_same_sheet_gives_the_same_text() -> None:
    assert sheet_svg(sheet()) == sheet_svg(sheet())


@pytest.mark.parametrize("pen", list(Pen))
def test_pens_have_the_widths_and_dashes_of_the_table(pen: Pen) -> None:
    (style,) = re.findall(rf"\.p-{pen}\{{([^}}]*)\}}", SHEET_LOOK.css)
    assert f"stroke-width:{PEN_WIDTHS_MM[pen]:g}" in style.split(";")
    assert ("stroke-dasharray" in style) == (PEN_LINES[pen] is not LineKind.CONTINUOUS)


def test_every_fill_and_ink_has_a_style_and_every_hatch_exists() -> None:
    for word in [*(f"f-{fill}" for fill in Fill), *(f"i-{ink}" for ink in Ink)]:
        assert f".{word}{{" in SHEET_LOOK.css
    named = set(re.findall(r"url\(#([\w-]+)\)", SHEET_LOOK.css))
    assert named <= set(re.findall(r'id="([\w-]+)"', SHEET_LOOK.hatches))


def test_nothing_needs_colour() -> None:
    colours = re.findall(r"#([0-9a-f]{6}|[0-9a-f]{3})\b", SHEET_LOOK.css)
    for colour in colours:
        parts = [colour[n : n + len(colour) // 3] for n in range(0, len(colour), len(colour) // 3)]
        assert len(set(parts)) == 1, colour


def test_texts_are_as_long_as_they_were_laid_out_whatever_font_a_screen_has() -> None:
    # by hand: "A note" of size 3 in the widest of both fonts: .68 + .28 + .56 + .56 + .38 + .56 of its size
    root = ElementTree.fromstring(sheet_svg(sheet()))
    (note,) = [item for item in root.iter(f"{SVG}text") if item.text == "A note"]
    assert float(note.get("textLength", "")) == pytest.approx(3.02 * 3, abs=0.005)
    assert note.get("lengthAdjust") == "spacingAndGlyphs"
