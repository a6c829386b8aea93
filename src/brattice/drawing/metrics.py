# SPDX-License-Identifier: Apache-2.0
"""How wide a text is, from the advance widths of a font that is handed in; no font file is opened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["SANS", "FontMetrics", "shortened", "text_width", "wrapped"]


@dataclass(frozen=True)
class FontMetrics:
    """Advance widths of a font in thousandths of the font size, for the bold cut a factor on top.

    `other` is the width taken for a character that is not in `advances`: wide, so that a box never turns out too
    small. `cap_height` and `depth` are the height of capitals and the depth below the base line.
    """

    name: str
    advances: Mapping[str, int]
    other: int
    cap_height: int
    depth: int
    bold_factor: float
    bold_advances: Mapping[str, int] | None = None
    """Advance widths of the bold cut where they are known letter by letter; the factor stands in for the others."""


_GROUPS: tuple[tuple[int, str], ...] = (
    (191, "'"),
    (222, "ijl"),
    (260, "|"),
    (278, " !,./:;I[\\]ft·"),
    (333, "()-`r"),
    (334, "{}"),
    (350, "•"),
    (355, '"'),
    (389, "*"),
    (400, "°"),
    (469, "^"),
    (500, "Jcksvxyz"),
    (537, "¶"),
    (556, "#$0123456789?L_abdeghnopqu–£§"),
    (584, "+<=>~×÷±"),
    (611, "FTZø"),
    (667, "&ABEKPSVXY"),
    (722, "CDHNRUw"),
    (778, "GOQØ"),
    (833, "Mm"),
    (889, "%"),
    (944, "W"),
    (1000, "…—↔"),
    (1015, "@"),
)

SANS = FontMetrics(
    name="the plain sans-serif of office documents and its metric-compatible free cuts",
    advances={sign: width for width, signs in _GROUPS for sign in signs},
    other=1050,
    cap_height=729,
    depth=212,
    bold_factor=1.1,
)
"""Widths as in the metric files of the sans-serif among the 14 standard PostScript fonts."""


def text_width(text: str, size_mm: float, metrics: FontMetrics = SANS, *, bold: bool = False) -> float:
    """The width [mm] of one line of text in a font size [mm]."""
    if bold and metrics.bold_advances is not None:
        known, other = metrics.bold_advances, round(metrics.other * metrics.bold_factor)
        return sum(known.get(sign, other) for sign in text) * size_mm / 1000
    units = sum(metrics.advances.get(sign, metrics.other) for sign in text)
    return units * size_mm / 1000 * (metrics.bold_factor if bold else 1.0)


def shortened(text: str, most_mm: float, size_mm: float, metrics: FontMetrics = SANS, *, bold: bool = False) -> str:
    """The text, or as much of it with "…" at its end as `most_mm` [mm] has room for."""
    if text_width(text, size_mm, metrics, bold=bold) <= most_mm:
        return text
    room = most_mm - text_width("…", size_mm, metrics, bold=bold)
    kept = ""
    for sign in text:
        room -= text_width(sign, size_mm, metrics, bold=bold)
        if room < 0:
            break
        kept += sign
    return f"{kept.rstrip()}…"


def wrapped(
    text: str, most_mm: float, size_mm: float, lines: int = 2, metrics: FontMetrics = SANS, *, bold: bool = False
) -> tuple[str, ...]:
    """The text in at most so many lines, none wider than `most_mm` [mm], broken between words; "…" where cut off."""
    rows: list[str] = []
    words = text.split()
    while words and len(rows) < lines:
        row = words.pop(0)
        while words and text_width(f"{row} {words[0]}", size_mm, metrics, bold=bold) <= most_mm:
            row = f"{row} {words.pop(0)}"
        rows.append(row)
    if words:
        rows[-1] = f"{rows[-1]} {' '.join(words)}"
    return tuple(shortened(row, most_mm, size_mm, metrics, bold=bold) for row in rows)
