# SPDX-License-Identifier: Apache-2.0
"""The pinned widths against both fonts: Lato's own file, and the metric file of the plain sans-serif in pypdf."""

import pytest
from PIL import ImageFont
from pypdf._codecs.core_font_metrics import CORE_FONT_METRICS

from brattice.adapters.print.fonts import font_folder
from brattice.drawing.metrics import text_width
from brattice.drawing.sheet_font import SHEET_FONT

CUTS = [("Lato-Regular.ttf", "Helvetica", False), ("Lato-Bold.ttf", "Helvetica-Bold", True)]


@pytest.mark.parametrize(("file", "standard", "bold"), CUTS)
def test_each_letter_is_as_wide_as_in_the_wider_font(file: str, standard: str, bold: bool) -> None:
    font = ImageFont.truetype(str(font_folder() / file), 1000, layout_engine=ImageFont.Layout.BASIC)
    widths = CORE_FONT_METRICS[standard].character_widths
    for sign in SHEET_FONT.advances:
        wider = max(font.getlength(sign), widths.get(sign, 0))
        ours = text_width(sign, 1000, SHEET_FONT, bold=bold)
        assert wider <= ours <= wider + 10, sign


@pytest.mark.parametrize(("file", "standard", "bold"), CUTS)
def test_words_with_kerning_are_no_wider(file: str, standard: str, bold: bool) -> None:
    font = ImageFont.truetype(str(font_folder() / file), 1000)
    for text in ("Finished clear opening 612 × 412 mm", "AVAILABLE To Wall Type W2", "fire-stopped ±5 mm (tested)"):
        assert font.getlength(text) <= text_width(text, 1000, SHEET_FONT, bold=bold)


def test_a_letter_that_no_table_has_is_wide() -> None:
    assert text_width("中", 10, SHEET_FONT) >= 10
    assert text_width("中", 10, SHEET_FONT, bold=True) >= text_width("中", 10, SHEET_FONT)
