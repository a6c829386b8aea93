# SPDX-License-Identifier: Apache-2.0
"""Sheets on paper, read back with readers that had no part in making them (pypdf, pdfium)."""

import io

import pypdfium2
import pytest
from pypdf import PdfReader

from brattice.adapters.print.sheets import sheets_pdf
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
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
from brattice.drawing.sheet import TitleBlock, sheet_frame
from brattice.drawing.views import A3, A4, Paper, Sheet, View
from tests.helpers.pdfs import bookmarks, fonts, open_pdf, page_texts, root_of, structure

NOTES = tuple(Text((240, 260 - 4 * n), f"Note {n} of the sheet", 2.6) for n in range(4))


def sheet(number: str, *items: Item, paper: Paper = A3, view: tuple[Item, ...] = ()) -> Sheet:
    block = TitleBlock("A job (invented)", number, "Fire damper in a wall", "P-0012", "B", sheet="1 of 2")
    hatched = Polygon((rectangle(40, 90, 80, 150),), Fill.MASONRY, Pen.CUT)
    views = (View("Section A–A", Box(30, 80, 180, 200), 10, (hatched, *view), "The wall is cut upright"),)
    return Sheet(number, "Fire damper", paper, sheet_frame(paper, block), views, items, f"What is built at {number}")


def printed(*sheets: Sheet) -> bytes:
    return sheets_pdf(sheets, title="Sheets", epoch=1_700_000_000, subject="sheets")


@pytest.fixture(scope="module")
def two() -> bytes:
    texts = (
        Text((100, 120), "612", 2.5, Anchor.MIDDLE),
        Text((120, 120), "412", 2.5, Anchor.MIDDLE, turned=True),
        Text((140, 120), "to be settled", 2.5, Anchor.END, Ink.WRONG),
        Text((140, 130), "strong", 2.5, Anchor.START, Ink.STRONG, turned=True),
        Text((160, 130), "below", 2.5, Anchor.END, Ink.QUIET, turned=True),
    )
    return printed(sheet("JOB-0001", *NOTES, view=texts), sheet("JOB-0002", paper=A4))


def test_each_sheet_is_a_page_of_its_own_size(two: bytes) -> None:
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in open_pdf(two).pages]
    points = 72 / 25.4
    assert sizes[0] == pytest.approx((420 * points, 297 * points), abs=0.1)
    assert sizes[1] == pytest.approx((210 * points, 297 * points), abs=0.1)


def test_every_text_of_a_sheet_can_be_searched(two: bytes) -> None:
    first, second = page_texts(two)
    for words in (
        "612", "412", "to be settled", "strong", "below", "Note 0 of the sheet", "Note 3 of the sheet",
        "A job (invented)", "JOB-0001", "Fire damper in a wall", "P-0012", "Responsible department",
    ):  # fmt: skip
        assert words in first
    assert "JOB-0002" in second
    assert "JOB-0001" not in second


@pytest.mark.parametrize(
    ("words", "left", "bottom", "right", "top"),
    [
        # by hand, from where each text is put: middle, turned, end, start; bands of half the height of its letters
        ("612", 97, 119.5, 103, 122.5),
        ("412", 117.5, 117, 120.5, 123),
        ("to be settled", 123, 118.8, 140.3, 122.5),
        ("strong", 137.5, 129.8, 141, 140),
        ("below", 157.5, 122, 161, 130.3),
        ("Note 0 of the sheet", 239.7, 259, 265, 262.5),
        ("Note 3 of the sheet", 239.7, 247, 265, 250.5),
    ],
)
def test_texts_stand_where_the_core_put_them(
    two: bytes, words: str, left: float, bottom: float, right: float, top: float
) -> None:
    page = pypdfium2.PdfDocument(two)[0].get_textpage()
    found = page.search(words)
    index, count = found.get_next()
    boxes = [page.get_charbox(index + n) for n in range(count) if page.get_text_range(index + n, 1).strip()]
    mm = 25.4 / 72
    assert min(box[0] for box in boxes) * mm >= left
    assert min(box[1] for box in boxes) * mm >= bottom
    assert max(box[2] for box in boxes) * mm <= right
    assert max(box[3] for box in boxes) * mm <= top


def test_the_file_claims_what_the_typesetter_checks_for(two: bytes) -> None:
    # ISO 19005-2 and ISO 14289-1 are claimed in the metadata; fonts embedded, language, title, tags
    root = root_of(two)
    metadata = root["/Metadata"].get_object().get_data().decode("utf-8")
    assert "<pdfaid:part>2<" in metadata
    assert "<pdfaid:conformance>A<" in metadata
    assert "<pdfuaid:part>1<" in metadata
    assert bool(root["/MarkInfo"]["/Marked"])
    assert fonts(two)
    assert all(fonts(two).values())


def test_pictures_say_in_words_what_they_show(two: bytes) -> None:
    words = [str(item["/Alt"]) for item in structure(two) if item["/S"] == "/Figure"]
    assert sorted(words) == [
        "What is built at JOB-0001. Section A–A: The wall is cut upright.",
        "What is built at JOB-0002. Section A–A: The wall is cut upright.",
    ]


def test_each_sheet_has_a_bookmark_and_a_heading(two: bytes) -> None:
    assert bookmarks(two) == ["JOB-0001 Fire damper", "JOB-0002 Fire damper"]
    assert sum(item["/S"] == "/H1" for item in structure(two)) == 2


def test_letters_of_the_frame_are_seen_and_not_heard(two: bytes) -> None:
    # the fields of an A3 sheet are numbered above and below; none of them is tagged
    assert page_texts(two)[0].startswith("1\n1\n2\n2\n3")
    bare = printed(Sheet("JOB-0003", "Bare", A3, sheet_frame(A3, TitleBlock("", "", ""))[:1], ()))
    assert {item["/S"] for item in structure(bare)} == {"/Document", "/H1", "/Figure"}


def test_the_same_sheets_give_the_same_bytes(two: bytes) -> None:
    assert printed(sheet("JOB-0001", *NOTES)) == printed(sheet("JOB-0001", *NOTES))


def test_names_from_outside_are_printed_as_text() -> None:
    name = '#panic("x") *bold* $x$ </text> \x00 \u202e 中'
    (text,) = page_texts(printed(sheet("JOB-0004", Text((40, 60), name, 2.5))))
    for part in ('#panic("x")', "*bold*", "$x$", "</text>", "⟨U+202E⟩", "⟨U+4E2D⟩"):
        assert part in text


def test_a_sheet_without_words_still_has_some() -> None:
    bare = Sheet("", "", A4, sheet_frame(A4, TitleBlock("", "", "")), ())
    assert [item["/Alt"] for item in structure(printed(bare)) if item["/S"] == "/Figure"] == ["A sheet."]


def test_no_sheet_is_no_file() -> None:
    with pytest.raises(ValueError, match="no sheet to print"):
        printed()


def test_lines_and_surfaces_are_drawn() -> None:
    heavy = Polyline(((40, 60), (140, 60)), Pen.FRAME)
    dot = Group("dot", (Circle((60, 70), 3, Fill.INK),))
    page = pypdfium2.PdfDocument(printed(sheet("JOB-0005", heavy, dot)))[0]
    picture = page.render(scale=72 / 25.4 / 2.834645669 * 4).to_pil().convert("L")
    per_mm = picture.width / 420
    assert picture.getpixel((round(100 * per_mm), round((297 - 60) * per_mm))) < 100
    assert picture.getpixel((round(60 * per_mm), round((297 - 70) * per_mm))) < 100
    assert picture.getpixel((round(100 * per_mm), round((297 - 66) * per_mm))) > 200
    assert len(PdfReader(io.BytesIO(printed(sheet("JOB-0005")))).pages) == 1
