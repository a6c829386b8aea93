# SPDX-License-Identifier: Apache-2.0
"""How drawings look in black and white: told apart by shape, weight, dash and hatch, on paper and on its copies."""

from __future__ import annotations

from collections.abc import Callable

from brattice.adapters.drawing.svg import SVG_HATCHES, Look
from brattice.drawing.pens import PEN_LINES, PEN_WIDTHS_MM
from brattice.drawing.primitives import Fill, Ink, Pen

__all__ = ["black_look"]

_FILLS: dict[Fill, str] = {
    Fill.NONE: "none",
    Fill.PAPER: "#fff",
    Fill.METAL: "#ccc",
    Fill.CONCRETE: "url(#hatch-concrete)",
    Fill.MASONRY: "url(#hatch-masonry)",
    Fill.BOARD: "url(#hatch-board)",
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

_MORE = (
    '<pattern id="hatch-low" width=".8" height=".8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width=".8" height=".8" fill="#fff"/><path d="M0 0V.8" stroke="#000" stroke-width=".22" fill="none"/>'
    "</pattern>"
    '<pattern id="hatch-board" width="2" height="1.4" patternUnits="userSpaceOnUse">'
    '<rect width="2" height="1.4" fill="#fff"/>'
    '<path d="M.2 .35H1.3M0 1.05H.3M1.2 1.05H2" stroke="#59636b" stroke-width=".13" fill="none"/>'
    "</pattern></defs>"
)


def _pen(pen: Pen) -> str:
    """The style of a pen: its width, and its dashes as long as the table says."""
    colour = "#777" if pen is Pen.FAINT else "#000"
    dashes = " ".join(f"{length:g}" for length in PEN_LINES[pen].pattern_mm)
    return f"stroke:{colour};stroke-width:{PEN_WIDTHS_MM[pen]:g}" + (f";stroke-dasharray:{dashes}" if dashes else "")


def black_look(fonts: str, text: Callable[[str], str]) -> Look:
    """The look with a list of fonts as CSS names them, and how a text becomes one that may stand in the file."""
    return Look(
        css="\n".join(
            [
                f".dw text{{font-family:{fonts};fill:#000}}",
                ".dw path,.dw circle{fill:none}",
                *(f".dw .p-{pen}{{{_pen(pen)}}}" for pen in Pen),
                *(f".dw .f-{fill}{{fill:{paint};{_STROKES.get(fill, '')}}}" for fill, paint in _FILLS.items()),
                *(f".dw .i-{ink}{{{style}}}" for ink, style in _INKS.items()),
            ]
        ),
        hatches=SVG_HATCHES.replace("</defs>", _MORE).replace("#7a4d2b", "#333").replace("#8b949b", "#777"),
        text=text,
    )
