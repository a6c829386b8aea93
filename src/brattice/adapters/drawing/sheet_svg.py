# SPDX-License-Identifier: Apache-2.0
"""A sheet as one SVG file, for pages and telephones: the same lines and texts as on paper, in black and white."""

from __future__ import annotations

from dataclasses import replace

from brattice.adapters.drawing.black import black_look
from brattice.adapters.drawing.svg import svg_document, svg_element
from brattice.adapters.text import one_line
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Sheet

__all__ = ["SHEET_LOOK", "sheet_css", "sheet_element", "sheet_svg"]

SHEET_LOOK = replace(black_look('"Liberation Sans",Arial,Helvetica,sans-serif', one_line), lengths=SHEET_FONT)
"""The look of sheets on a screen: each text is as long as it was laid out, also where the screen has another font."""


def sheet_svg(sheet: Sheet) -> str:
    """The sheet as the text of an SVG file: its texts are text, each view is a group with its words as title."""
    return svg_document(sheet.drawing(), SHEET_LOOK)


def sheet_css(within: str) -> str:
    """The styles that `sheet_element` needs, for drawings within what a selector names (".sheets", say).

    A page that holds sheets has `SHEET_LOOK.hatches` once, and no others.
    """
    scoped = "\n".join(line.replace(".dw ", f"{within} .dw ") for line in SHEET_LOOK.css.splitlines())
    return f"{scoped}\n{within} .dw text{{stroke:none}}"


def sheet_element(sheet: Sheet) -> str:
    """The sheet as an `svg` element of a page, in the look and with the lengths of `sheet_svg`."""
    return svg_element(sheet.drawing(), lengths=SHEET_LOOK.lengths)
