# SPDX-License-Identifier: Apache-2.0
"""How wide the lines of a sheet are, and how they are broken: told apart in black and white, also on a copy.

Widths are of the series of ISO 128-2 (each about √2 times the one before; the numbers from memory); a wide and a
narrow line on one drawing are 2 : 1 or more.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from brattice.drawing.primitives import Pen

__all__ = ["LINE_WIDTHS_MM", "PEN_LINES", "PEN_WIDTHS_MM", "LineKind"]

LINE_WIDTHS_MM = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""The widths that lines may have [mm]: ISO 128-2, from memory."""


class LineKind(StrEnum):
    """How a line runs; the value is its name in DXF."""

    CONTINUOUS = "CONTINUOUS"
    DASHED = "DASHED"
    CHAIN = "CHAIN"

    @property
    def pattern_mm(self) -> tuple[float, ...]:
        """Dash, gap, dash, gap … on paper [mm]; () for a line without gaps."""
        return {LineKind.CONTINUOUS: (), LineKind.DASHED: (1.8, 0.9), LineKind.CHAIN: (4.5, 0.8, 0.5, 0.8)}[self]


PEN_WIDTHS_MM: Mapping[Pen, float] = {
    Pen.FRAME: 0.7,
    Pen.CUT: 0.5,
    Pen.EDGE: 0.25,
    Pen.THIN: 0.18,
    Pen.FAINT: 0.13,
    Pen.AXIS: 0.25,
    Pen.UNKNOWN: 0.25,
    Pen.WRONG: 0.7,
}
"""The width of each pen on paper [mm]."""

PEN_LINES: Mapping[Pen, LineKind] = {
    Pen.FRAME: LineKind.CONTINUOUS,
    Pen.CUT: LineKind.CONTINUOUS,
    Pen.EDGE: LineKind.CONTINUOUS,
    Pen.THIN: LineKind.CONTINUOUS,
    Pen.FAINT: LineKind.CONTINUOUS,
    Pen.AXIS: LineKind.CHAIN,
    Pen.UNKNOWN: LineKind.DASHED,
    Pen.WRONG: LineKind.CONTINUOUS,
}
"""How the line of each pen runs."""
