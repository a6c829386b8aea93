# SPDX-License-Identifier: Apache-2.0
"""A sheet as one SVG file, for pages and telephones: the same lines and texts as on paper, in black and white."""

from __future__ import annotations

from dataclasses import replace

from brattice.adapters.drawing.black import black_look
from brattice.adapters.drawing.svg import svg_document
from brattice.adapters.text import one_line
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Sheet

__all__ = ["SHEET_LOOK", "sheet_svg"]

SHEET_LOOK = replace(black_look('"Liberation Sans",Arial,Helvetica,sans-serif', one_line), lengths=SHEET_FONT)
"""The look of sheets on a screen: each text is as long as it was laid out, also where the screen has another font."""


def sheet_svg(sheet: Sheet) -> str:
    """The sheet as the text of an SVG file: its texts are text, each view is a group with its words as title."""
    return svg_document(sheet.drawing(), SHEET_LOOK)
