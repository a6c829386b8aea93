# SPDX-License-Identifier: Apache-2.0
"""Every text of a drawing that is a dimension: made here, once, from the fact itself."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.opening import SideGap
from brattice.drawing.metrics import shortened, text_width
from brattice.drawing.primitives import Ink
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.evidence.installation import Window
from brattice.findings import Verdict
from brattice.quantities import number_text

__all__ = [
    "NOT_KNOWN",
    "SHEET",
    "dimension_text",
    "drawable",
    "folded",
    "gap_ink",
    "gap_text",
    "length_text",
    "window_text",
]

NOT_KNOWN = "?"
SHEET = SHEET_FONT
"""The metrics that installation sheets are laid out by."""


def length_text(value_mm: float | None) -> str:
    """A length [mm] without its unit, as drawings write it; "?" where it is not known."""
    return NOT_KNOWN if value_mm is None else number_text(value_mm)


def window_text(window: Window | None) -> str:
    """A tested window [mm] as drawings write it: `"30-60"` with an en dash, `"≥ 30"`, `"≤ 60"`, "" for none."""
    if window is None or (window.least is None and window.most is None):
        return ""
    if window.most is None:
        return f"≥ {number_text(window.least or 0)}"
    if window.least is None:
        return f"≤ {number_text(window.most)}"
    if window.least == window.most:
        return number_text(window.least)
    return f"{number_text(window.least)}–{number_text(window.most)}"


def gap_text(gap: SideGap, as_stated_mm: float | None) -> str:
    """The gap of one side as stated; the tested window in brackets where the gap is not within it or not known."""
    text = length_text(as_stated_mm)
    window = window_text(gap.window)
    return f"{text} [{window}]" if window and gap.verdict is not Verdict.PASS else text


def gap_ink(gap: SideGap) -> Ink:
    """How a gap's text stands out: wrong where it is known to be outside the tested window."""
    return Ink.WRONG if gap.verdict is Verdict.FAIL else Ink.PLAIN


def dimension_text(figure: Figure | None) -> str:
    """The text of a figure as a dimension says it: without the millimetres that hold for the whole sheet.

    The one place where it is made; SVG, PDF and DXF print it. *To be settled* where there is no figure.
    """
    if figure is None:
        return TO_BE_SETTLED
    return drawable(figure.text.removesuffix(" mm") if figure.unit == "mm" else figure.text)


def drawable(text: str) -> str:
    """A text on one line whose every character has a known width; any other shows its number, like "⟨U+202E⟩"."""
    line = " ".join(unicodedata.normalize("NFC", text).split())
    return line if line.isascii() and line.isprintable() else "".join(map(_shown, line))


@lru_cache(maxsize=16_384)  # sheets of a job say the same again and again
def folded(text: str, most_mm: float, size_mm: float, lines: int | None = None) -> tuple[str, ...]:
    """A text in lines no wider than `most_mm` [mm], broken between words, within a word only where it must be.

    With `lines` at most so many, "…" where something is left out; never an empty answer.
    """
    rows: list[str] = []
    row: list[str] = []
    used = 0.0
    blank = text_width(" ", size_mm, SHEET)
    for word in drawable(text).split(" "):
        width = text_width(word, size_mm, SHEET)
        if not row or used + blank + width <= most_mm:
            used += width + (blank if row else 0.0)
            row.append(word)
        else:
            rows.append(" ".join(row))
            row, used = [word], width
        if used > most_mm:  # one word alone is wider than a line
            *whole, last = _pieces(word, most_mm, size_mm)
            rows += whole
            row, used = [last], text_width(last, size_mm, SHEET)
    rows.append(" ".join(row))
    if lines is not None and len(rows) > lines:
        rows = [*rows[: lines - 1], shortened(" ".join(rows[lines - 1 :]), most_mm, size_mm, SHEET)]
    return tuple(rows)


def _pieces(word: str, most_mm: float, size_mm: float) -> list[str]:
    pieces, piece = [], ""
    for sign in word:
        if piece and text_width(piece + sign, size_mm, SHEET) > most_mm:
            pieces.append(piece)
            piece = ""
        piece += sign
    return [*pieces, piece]


_DRAWN = ((0x20, 0x7E), (0xA1, 0xAC), (0xAE, 0x17F), (0x391, 0x3C9), (0x410, 0x44F), (0x2010, 0x2027), (0x2032, 0x2033),
          (0x2070, 0x2079), (0x2080, 0x2089), (0x20AC, 0x20AC), (0x2190, 0x2199), (0x2212, 0x2212), (0x2248, 0x2265),
          (0x27E8, 0x27E9))  # fmt: skip
"""Letters, signs and arrows that stand alone, run from left to right, and that the fonts of the sheets have."""


def _shown(sign: str) -> str:
    code = ord(sign)
    return sign if any(low <= code <= high for low, high in _DRAWN) else f"⟨U+{code:04X}⟩"
