# SPDX-License-Identifier: Apache-2.0
"""How drawings look on paper: black and white alone, told apart by shape, weight, dash and hatch."""

from __future__ import annotations

from brattice.adapters.drawing import SVG_HATCHES, Look
from brattice.adapters.print.fonts import FONT, FONT_FALLBACK, printable_line
from brattice.drawing.primitives import Fill, Ink, Pen

__all__ = ["PRINT"]

_PENS: dict[Pen, str] = {
    Pen.FRAME: "stroke:#000;stroke-width:.7",
    Pen.CUT: "stroke:#000;stroke-width:.5",
    Pen.EDGE: "stroke:#000;stroke-width:.3",
    Pen.THIN: "stroke:#000;stroke-width:.15",
    Pen.FAINT: "stroke:#777;stroke-width:.13",
    Pen.AXIS: "stroke:#000;stroke-width:.3;stroke-dasharray:3 .8 .6 .8",
    Pen.UNKNOWN: "stroke:#000;stroke-width:.3;stroke-dasharray:1.4 .9",
    Pen.WRONG: "stroke:#000;stroke-width:.7",
}

_FILLS: dict[Fill, str] = {
    Fill.NONE: "none",
    Fill.PAPER: "#fff",
    Fill.METAL: "#ccc",
    Fill.CONCRETE: "url(#hatch-concrete)",
    Fill.MASONRY: "url(#hatch-masonry)",
    Fill.BOARD: "#eee",
    Fill.WOOL: "url(#hatch-wool)",
    Fill.TIMBER: "url(#hatch-timber)",
    Fill.OTHER: "#f6f6f6",
    Fill.SEAL: "url(#hatch-seal)",
    Fill.DUCT: "#f2f2f2",
    Fill.RATING_UNKNOWN: "#fff",
    Fill.RATING_NONE: "#fff",
    Fill.RATING_LOW: "url(#hatch-low)",
    Fill.RATING_MID: "#8c8c8c",
    Fill.RATING_HIGH: "#000",
    Fill.RED: "#000",
    Fill.AMBER: "#fff",
    Fill.YELLOW: "#999",
    Fill.VIOLET: "#fff",
    Fill.BLUE: "#fff",
    Fill.TEAL: "#fff",
    Fill.GREEN: "#fff",
    Fill.GREY: "#fff",
    Fill.INK: "#000",
}

_STROKES: dict[Fill, str] = {
    Fill.RATING_LOW: "stroke:#000;stroke-width:.2",
    Fill.RATING_MID: "stroke:#000;stroke-width:.3",
    Fill.RATING_HIGH: "stroke:#000;stroke-width:.3",
}
"""Barriers are told apart by their outline too: a copy of a copy loses the greys."""

_INKS: dict[Ink, str] = {
    Ink.PLAIN: "fill:#000",
    Ink.QUIET: "fill:#333",
    Ink.STRONG: "fill:#000;font-weight:bold",
    Ink.WRONG: "fill:#000;font-weight:bold;text-decoration:underline",
}

_LOW = (
    '<pattern id="hatch-low" width=".8" height=".8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width=".8" height=".8" fill="#fff"/><path d="M0 0V.8" stroke="#000" stroke-width=".22" fill="none"/>'
    "</pattern></defs>"
)

_TEXT = f'font-family:"{FONT}","{FONT_FALLBACK}";fill:#000'

PRINT = Look(
    css="\n".join(
        [
            f".dw text{{{_TEXT}}}",
            ".dw path,.dw circle{fill:none}",
            *(f".dw .p-{pen}{{{style}}}" for pen, style in _PENS.items()),
            *(f".dw .f-{fill}{{fill:{paint};{_STROKES.get(fill, '')}}}" for fill, paint in _FILLS.items()),
            *(f".dw .i-{ink}{{{style}}}" for ink, style in _INKS.items()),
        ]
    ),
    hatches=SVG_HATCHES.replace("</defs>", _LOW).replace("#7a4d2b", "#333").replace("#8b949b", "#777"),
    text=printable_line,
)
"""The look of drawings on paper."""
