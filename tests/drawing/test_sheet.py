# SPDX-License-Identifier: Apache-2.0
import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.drawing.metrics import text_width
from brattice.drawing.pens import LINE_WIDTHS_MM, PEN_LINES, PEN_WIDTHS_MM
from brattice.drawing.primitives import Box, Fill, Pen, Polygon, Text, box_of, flat, text_box
from brattice.drawing.sheet import TitleBlock, areas_of, columns, fitted, frame_items, rows, sheet_frame, title_block
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import A3, A4, Paper, Sheet, View

BLOCK = TitleBlock(
    "A job",
    "JOB-0012",
    "Fire damper in a compartment wall",
    "P-0012",
    "B",
    "2026-11-28",
    "3 of 12",
    "Installation sheet",
    "For review",
    "Mechanical services",
    "Office",
    "A. Drawer",
    "B. Checker",
    "C. Approver",
    "1:10, 1:5",
    "Invented data",
)


def shown(block: TitleBlock) -> list[Text]:
    return [item for item in flat(title_block(block, areas_of(A3).title)) if isinstance(item, Text)]


@pytest.mark.parametrize(("paper", "width", "height"), [(A3, 420, 297), (A4, 210, 297)])
def test_margins_are_those_of_the_standard_for_sheets(paper: Paper, width: float, height: float) -> None:
    # ISO 216 for the paper; ISO 5457, from memory: 20 mm on the left and 10 mm elsewhere
    assert (paper.width, paper.height) == (width, height)
    assert areas_of(paper).frame == Box(20, 10, width - 10, height - 10)


@pytest.mark.parametrize(("paper", "numbers", "letters"), [(A3, 8, "ABCDEF"), (A4, 4, "ABCDEF")])
def test_fields_of_reference_are_as_many_as_the_standard_lists(paper: Paper, numbers: int, letters: str) -> None:
    # ISO 5457, from memory: A3 has 8 by 6 fields, A4 6 by 4; A4 has them above and on the right alone
    texts = [item.text for item in flat(frame_items(paper)) if isinstance(item, Text)]
    sides = 2 if paper is A3 else 1
    assert sorted(texts) == sorted([*map(str, range(1, numbers + 1)), *letters] * sides)


@pytest.mark.parametrize("paper", [A3, A4])
def test_frame_and_title_block_stay_on_the_paper_and_no_text_meets_another(paper: Paper) -> None:
    items = sheet_frame(paper, BLOCK)
    assert paper.box.holds(box_of(items, SHEET_FONT))
    boxes = [text_box(item, SHEET_FONT) for item in flat(items) if isinstance(item, Text)]
    assert not [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.meets(b)]


@pytest.mark.parametrize("paper", [A3, A4])
def test_areas_share_nothing(paper: Paper) -> None:
    areas = areas_of(paper)
    parts = [areas.title, areas.views, areas.words]
    assert all(areas.frame.holds(part) for part in parts)
    assert not any(a.meets(b) for n, a in enumerate(parts) for b in parts[n + 1 :])
    assert not box_of(title_block(BLOCK, areas.title)).meets(areas.words)
    # on the right, below, as wide as the standard for title blocks asks (180 mm, from memory)
    assert (areas.title.right, areas.title.bottom) == (areas.frame.right, areas.frame.bottom)
    assert areas.title.width == 180


def test_every_field_of_the_title_block_is_shown_whole() -> None:
    texts = {item.text for item in shown(BLOCK)}
    assert {getattr(BLOCK, field.name) for field in dataclasses.fields(BLOCK)} <= texts


def test_an_open_field_stays_open() -> None:
    captions = {item.text for item in shown(TitleBlock("", "", ""))}
    assert {"Drawn", "Checked", "Approved", "Number", "Title", "Revision"} <= captions
    assert not captions & {"None", "-"}


@given(st.text(st.characters(codec="latin-1", exclude_categories=["C", "Z"]), max_size=120), st.integers(0, 9))
def test_law_no_text_leaves_its_cell(word: str, number: int) -> None:
    text = " ".join([word] * number)
    block = TitleBlock(*([text] * len(dataclasses.fields(TitleBlock))))
    title = areas_of(A3).title
    assert Box(title.left, title.bottom, title.right, title.top + 6).holds(
        box_of(title_block(block, title), SHEET_FONT)
    )
    boxes = [text_box(item, SHEET_FONT) for item in shown(block) if item.text]
    assert not [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.meets(b)]


def test_a_text_is_made_smaller_before_it_is_cut() -> None:
    size, lines = fitted("word " * 12, 40, 12, 4, 2)
    assert 2 <= size < 4
    assert " ".join(lines) == " ".join(["word"] * 12)
    assert all(text_width(line, size, SHEET_FONT) <= 40 for line in lines)
    size, lines = fitted("word " * 100, 40, 12, 4, 2)
    assert size == 2
    assert lines[-1].endswith("…")
    assert fitted("word", 40, 0.1, 4, 2)[1] == ()


def test_boxes_are_cut_in_shares_with_gaps() -> None:
    # by hand: 100 wide, gap 10: 90 to share as 1 : 2
    assert columns(Box(0, 0, 100, 10), (1, 2), 10) == (Box(0, 0, 30, 10), Box(40, 0, 100, 10))
    assert rows(Box(0, 0, 10, 100), (1, 2), 10) == (Box(0, 70, 10, 100), Box(0, 0, 10, 60))


def test_a_view_says_real_lengths_from_its_corner() -> None:
    view = View("Section", Box(30, 40, 130, 140), 10, ())
    assert view.real((31, 45)) == (10, 50)


def test_a_sheet_is_one_drawing_on_its_paper() -> None:
    outline = Polygon((((1, 1), (2, 1), (2, 2)),), Fill.CONCRETE, Pen.CUT)
    view = View("Section", Box(0, 0, 10, 10), 10, (outline,), "The cut")
    sheet = Sheet("S-1", "Title", A3, (), (view,), (Text((5, 5), "note", 3),), "words")
    drawing = sheet.drawing()
    assert drawing.frame == Box(0, 0, 420, 297)
    assert list(flat(drawing.items)) == [outline, Text((5, 5), "note", 3)]
    assert drawing.title == "S-1 Title"


def test_every_pen_has_a_width_of_the_series_and_wide_lines_are_twice_the_narrow() -> None:
    # ISO 128-2, from memory: widths of the series; wide to narrow at least 2 : 1
    assert set(PEN_WIDTHS_MM) == set(PEN_LINES) == set(Pen)
    assert set(PEN_WIDTHS_MM.values()) <= set(LINE_WIDTHS_MM)
    assert PEN_WIDTHS_MM[Pen.CUT] >= 2 * PEN_WIDTHS_MM[Pen.EDGE]
