# SPDX-License-Identifier: Apache-2.0
"""Twenty sheets set as PDF and looked at as pixels and as text: by another program than the one that sets them."""

import numpy as np
import pypdfium2
import pytest
from numpy.typing import NDArray

from brattice.adapters.print.sheets import sheets_pdf
from brattice.drawing.primitives import Box, Text, flat
from brattice.drawing.sheet import areas_of
from brattice.drawing.views import Sheet
from brattice.sketch.installation import installation_sheet
from tests.helpers.details import KINDS, detail_of
from tests.sketch.random_details import random_detail
from tests.sketch.test_installation import TITLE

PIXELS_PER_MM = 4.0
POINTS_PER_MM = 72 / 25.4


@pytest.fixture(scope="module")
def drawn() -> list[Sheet]:
    """Ten installations on both papers: all kinds of the helpers, and random ones."""
    details = [detail_of(kind) for kind in KINDS if kind != "not drawn"]
    details += [random_detail(seed) for seed in (3001, 3002, 3003, 3004, 3005, 3006)]
    return [installation_sheet(detail, TITLE, paper=paper) for detail in details[:10] for paper in ("A3", "A4")]


@pytest.fixture(scope="module")
def book(drawn: list[Sheet]) -> bytes:
    return sheets_pdf(drawn, title="Twenty sheets", epoch=0, subject="twenty sheets")


def _ink(page: pypdfium2.PdfPage) -> NDArray[np.uint8]:
    return np.asarray(page.render(scale=PIXELS_PER_MM / POINTS_PER_MM).to_pil().convert("L"), dtype=np.uint8)


def _part(pixels: NDArray[np.uint8], box: Box, height: float) -> NDArray[np.uint8]:
    def pixel(value: float) -> int:
        return round(value * PIXELS_PER_MM)

    return pixels[pixel(height - box.top) : pixel(height - box.bottom), pixel(box.left) : pixel(box.right)]


def test_there_are_twenty(drawn: list[Sheet], book: bytes) -> None:
    assert len(drawn) == 20
    assert len(pypdfium2.PdfDocument(book)) == 20


def test_no_ink_lies_between_frame_and_views_or_beyond_the_fields(drawn: list[Sheet], book: bytes) -> None:
    """A strip just within the frame is white but for the centring marks; so is the paper beside the outer fields."""
    for sheet, page in zip(drawn, pypdfium2.PdfDocument(book), strict=True):
        pixels, paper, frame = _ink(page), sheet.paper, areas_of(sheet.paper).frame
        right = Box(frame.right - 2.4, frame.bottom + 60, frame.right - 0.8, paper.height / 2 - 2)
        left = Box(frame.left + 0.8, frame.bottom + 2, frame.left + 2.4, paper.height / 2 - 2)
        above = Box(frame.left + 2, frame.top - 2.4, paper.width / 2 - 2, frame.top - 0.8)
        beside = Box(0.5, 20, 3.0, paper.height - 20)
        for strip in (right, left, above, beside):
            if sheet.paper.name == "A4" and strip is left:
                continue  # its title block is as wide as its frame
            assert _part(pixels, strip, paper.height).min() > 200, (sheet.title, strip)
        # and there is ink within: views, words, title block
        assert (_part(pixels, frame, paper.height) < 100).mean() > 0.01


def test_text_that_is_read_back_is_the_text_of_the_sheet(drawn: list[Sheet], book: bytes) -> None:
    for sheet, page in zip(drawn, pypdfium2.PdfDocument(book), strict=True):
        read = "".join(page.get_textpage().get_text_range().split())
        for item in flat(sheet.drawing().items):
            if isinstance(item, Text) and item.text.strip():
                plain = "".join(item.text.split())
                assert plain in read, item.text
