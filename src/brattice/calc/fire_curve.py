# SPDX-License-Identifier: Apache-2.0
"""The standard heating curve of fire tests (EN 1363-1, as ISO 834)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.rows import RowBook

__all__ = ["FIRE_CURVE_ROWS", "FireCurve", "fire_curve", "furnace_temperature_c"]

FIRE_CURVE_ROWS = ("fire-curve.standard", "fire-curve.standard.range")
"""The rows that the curve rests on."""


@dataclass(frozen=True)
class FireCurve:
    """T = start + factor·log10(rate·t + 1): start [°C], factor [K], rate [1/min]; for t from first to last [min]."""

    start_c: float
    factor_k: float
    rate_per_min: float
    first_min: float
    last_min: float


def fire_curve(book: RowBook) -> FireCurve:
    """The curve of the rows under `fire-curve.standard`."""
    start, factor, rate = book.numbers("fire-curve.standard")
    first, last = book.numbers("fire-curve.standard.range")
    return FireCurve(start, factor, rate, first, last)


def furnace_temperature_c(minutes: float, curve: FireCurve) -> float | None:
    """The furnace's temperature [°C] after a time [min]; None outside the curve's range."""
    if not curve.first_min <= minutes <= curve.last_min:
        return None
    return curve.start_c + curve.factor_k * math.log10(curve.rate_per_min * minutes + 1)
