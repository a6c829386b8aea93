# SPDX-License-Identifier: Apache-2.0
"""Writers of neutral drawings: SVG here, DXF in its own module (its library takes a while to load)."""

from brattice.adapters.drawing.black import black_look
from brattice.adapters.drawing.sheet_svg import SHEET_LOOK, sheet_css, sheet_element, sheet_svg
from brattice.adapters.drawing.svg import SCREEN, SVG_CSS, SVG_HATCHES, Look, svg_document, svg_element

__all__ = [
    "SCREEN",
    "SHEET_LOOK",
    "SVG_CSS",
    "SVG_HATCHES",
    "Look",
    "black_look",
    "sheet_css",
    "sheet_element",
    "sheet_svg",
    "svg_document",
    "svg_element",
]
