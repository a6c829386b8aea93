# SPDX-License-Identifier: Apache-2.0
"""The fixed tables of our DXF files: layers, fills as hatches, and texts made fit for the format."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from brattice.adapters.text import one_line
from brattice.drawing.primitives import Fill, Layer

__all__ = ["HATCHES", "LAYERS", "VIEWPORTS", "LayerRow", "dimension_text", "plain_text"]

VIEWPORTS = "VIEWPORTS"
"""The layer of the windows from the sheet onto the views; it is not plotted."""

_CODE = re.compile(r"\\(?=[UuMm]\+)")
_LOOK_ALIKE = "\N{REVERSE SOLIDUS OPERATOR}"


@dataclass(frozen=True)
class LayerRow:
    """One layer: its name, its colour by index (7 is black on white), the width of its lines [mm], what is on it."""

    name: str
    colour: int
    width_mm: float
    holds: str


LAYERS: Mapping[Layer, LayerRow] = {
    Layer.NONE: LayerRow("GENERAL", 7, 0.25, "what belongs to none of the others"),
    Layer.BARRIER: LayerRow("BARRIER", 7, 0.5, "walls and floors with their build-up"),
    Layer.LINING: LayerRow("LINING", 34, 0.25, "linings, framing, sleeves and installation frames of the opening"),
    Layer.DUCT: LayerRow("DUCT", 5, 0.25, "ducts and joints"),
    Layer.DAMPER: LayerRow("DAMPER", 1, 0.5, "damper casing, blade, mechanism"),
    Layer.SEAL: LayerRow("SEAL", 30, 0.25, "penetration seal and the gap that it fills"),
    Layer.FIXING: LayerRow("FIXING", 6, 0.25, "angles, cleats, screws"),
    Layer.SUPPORT: LayerRow("SUPPORT", 96, 0.25, "drop rods, bearers, anchors"),
    Layer.ACCESS: LayerRow("ACCESS", 4, 0.25, "access doors, hatches, clear working zones"),
    Layer.NEIGHBOUR: LayerRow("NEIGHBOUR", 8, 0.18, "other services and edges nearby"),
    Layer.DIMENSION: LayerRow("DIMENSION", 7, 0.18, "dimensions"),
    Layer.TEXT: LayerRow("TEXT", 7, 0.18, "texts, balloons, clouds, legends"),
    Layer.FRAME: LayerRow("FRAME", 7, 0.7, "frame and title block"),
}
"""The layers of every file, by what a thing belongs to. Colours only help on a screen: widths and names tell apart."""


HATCHES: Mapping[Fill, tuple[str, float, float, int | None]] = {
    Fill.METAL: ("ANSI32", 0.25, 0.0, 8),
    Fill.CONCRETE: ("AR-CONC", 0.04, 0.0, 8),
    Fill.MASONRY: ("ANSI31", 0.6, 0.0, 8),
    Fill.BOARD: ("DASH", 0.3, 0.0, 8),
    Fill.WOOL: ("ZIGZAG", 0.35, 0.0, 8),
    Fill.TIMBER: ("ANSI31", 0.4, 60.0, 8),
    Fill.OTHER: ("DOTS", 0.6, 0.0, 8),
    Fill.SEAL: ("ANSI37", 0.4, 0.0, 8),
    Fill.DUCT: ("DOTS", 1.2, 0.0, 8),
    Fill.RATING_UNKNOWN: ("ANSI31", 0.8, 90.0, 8),
    Fill.RATING_LOW: ("ANSI31", 0.3, 0.0, 8),
    Fill.RATING_MID: ("SOLID", 0.0, 0.0, 9),
    Fill.RATING_HIGH: ("SOLID", 0.0, 0.0, 7),
    Fill.RED: ("SOLID", 0.0, 0.0, 1),
    Fill.AMBER: ("SOLID", 0.0, 0.0, 40),
    Fill.YELLOW: ("SOLID", 0.0, 0.0, 2),
    Fill.VIOLET: ("SOLID", 0.0, 0.0, 201),
    Fill.BLUE: ("SOLID", 0.0, 0.0, 151),
    Fill.TEAL: ("SOLID", 0.0, 0.0, 131),
    Fill.GREEN: ("SOLID", 0.0, 0.0, 83),
    Fill.GREY: ("SOLID", 0.0, 0.0, 9),
    Fill.INK: ("SOLID", 0.0, 0.0, 7),
}
"""The hatch of each fill: name of the pattern, its scale on paper, its turn [degrees], its colour by index (None: that
of its layer). Fills that are not here (none, paper, unrated) are no hatch."""


def plain_text(text: str) -> str:
    """A text on one line as a TEXT entity holds it, with nothing in it that a reader would take for a code.

    Percent signs in a row begin codes of special characters and a caret those of control characters: both are written
    as the code of themselves. A backslash with U+ or M+ begins the code of any character: a look-alike stands for it.
    """
    return _signs(_CODE.sub(_LOOK_ALIKE, one_line(text)))


def dimension_text(text: str) -> str | None:
    """A text as a DIMENSION entity holds it, where "<>" and "[]" stand for measured values; None where it has those."""
    line = _CODE.sub(_LOOK_ALIKE, one_line(text))
    if "<>" in line or "[]" in line:
        return None
    for sign in "\\{}":
        line = line.replace(sign, f"\\{sign}")
    return _signs(line)


def _signs(line: str) -> str:
    if line.endswith("^"):  # a blank after it would be lost at the end of the line
        line = f"{line[:-1]}\N{MODIFIER LETTER CIRCUMFLEX ACCENT}"
    line = line.replace("^", "^ ")
    return line.replace("%", "%%%") if "%%" in line else line
