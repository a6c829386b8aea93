# SPDX-License-Identifier: Apache-2.0
"""Quantities with their unit in the type, and the one policy of tolerance and rounding.

The policy:

* lengths are millimetres in the core; adapters convert once, at the edge;
* a length that a geometry kernel computed is *settled* once, at the edge, to the nearest thousandth of a
  millimetre (`settled_mm`), so that the noise of a kernel never decides; after that every comparison is exact;
* at a limit the exact value decides; only the printed text is rounded (`mm_text`).
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import NewType

__all__ = [
    "LITRES_A_CUBIC_METRE",
    "MM2_A_SQUARE_METRE",
    "MM3_A_LITRE",
    "MM_A_METRE",
    "SECONDS_AN_HOUR",
    "SETTLED_STEP_MM",
    "Degrees",
    "Kg",
    "KgPerM3",
    "Metres",
    "Minutes",
    "Mm",
    "Pa",
    "minutes_text",
    "mm_text",
    "number_text",
    "settled_mm",
    "size_text",
]

Mm = NewType("Mm", float)
Metres = NewType("Metres", float)
Minutes = NewType("Minutes", int)
Pa = NewType("Pa", float)
Kg = NewType("Kg", float)
KgPerM3 = NewType("KgPerM3", float)
Degrees = NewType("Degrees", float)

MM_A_METRE = 1e3
MM2_A_SQUARE_METRE = 1e6
MM3_A_LITRE = 1e6
LITRES_A_CUBIC_METRE = 1e3
SECONDS_AN_HOUR = 3600.0
"""How units of one kind turn into each other, said once."""

SETTLED_STEP_MM = 0.001
"""The grid that computed lengths are settled on [mm]: far below any site measure, far above kernel noise."""


def settled_mm(value: float) -> Mm:
    """A computed length [mm] on the grid of `SETTLED_STEP_MM`, so that 199.9999999 reads 200."""
    return Mm(round(value, 3) + 0.0)


@lru_cache(maxsize=16_384)
def number_text(value: float, decimals: int = 1) -> str:
    """A number as people write it: rounded half up to `decimals` places, no trailing zeros, no "-0"."""
    step = Decimal(1).scaleb(-decimals)
    rounded = Decimal(repr(float(value))).quantize(step, rounding=ROUND_HALF_UP)
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def mm_text(value: Mm | float) -> str:
    """A length [mm] with its unit, to a tenth: `"212.5 mm"`."""
    return f"{number_text(value)} mm"


def minutes_text(value: Minutes | int) -> str:
    """A time [min] with its unit: `"60 min"`."""
    return f"{value} min"


def size_text(width_mm: float, height_mm: float | None) -> str:
    """A duct or damper size: `"600 × 400"` for width × height, `"Ø 315"` when there is no height."""
    if height_mm is None:
        return f"Ø {number_text(width_mm)}"
    return f"{number_text(width_mm)} × {number_text(height_mm)}"
