# SPDX-License-Identifier: Apache-2.0
"""The similarity (move, turn, one scale; no mirror) that lays points of one plane on those of another best."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

__all__ = ["Similarity", "fit_similarity"]

_SAME = 1e-9


@dataclass(frozen=True)
class Similarity:
    """`(x, y)` goes to `(a x - b y + east, b x + a y + north)`."""

    a: float
    b: float
    east: float
    north: float

    @property
    def scale(self) -> float:
        """How long a length of 1 becomes."""
        return math.hypot(self.a, self.b)

    def apply(self, point: tuple[float, float]) -> tuple[float, float]:
        """Where a point goes."""
        x, y = point
        return self.a * x - self.b * y + self.east, self.b * x + self.a * y + self.north

    def back(self, point: tuple[float, float]) -> tuple[float, float]:
        """The point that goes there."""
        square = self.a**2 + self.b**2
        x, y = point[0] - self.east, point[1] - self.north
        return (self.a * x + self.b * y) / square, (self.a * y - self.b * x) / square


def fit_similarity(
    given: Sequence[tuple[float, float]], wanted: Sequence[tuple[float, float]]
) -> tuple[Similarity, tuple[float, ...]]:
    """The similarity of least squares, and how far it leaves each point from where it is wanted (in its unit).

    Two points are always met; what they say is checked by a third. Points as complex numbers make it a straight line
    fitted by least squares.

    Raises
    ------
    ValueError : fewer than two points, or all of them in one place
    """
    if len(given) != len(wanted) or len(given) < 2:
        raise ValueError("at least two pairs of points are needed")
    start = np.array([complex(*point) for point in given])
    end = np.array([complex(*point) for point in wanted])
    off, to = start - start.mean(), end - end.mean()
    size = float(np.vdot(off, off).real)
    factor = complex(np.vdot(off, to)) / size if size > 0 else 0j
    reach = max(1.0, float(np.abs(start).max()))
    if math.sqrt(size) <= _SAME * reach or float(np.abs(to).max()) <= _SAME or abs(factor) <= _SAME**2:
        raise ValueError("the points lie in one place")
    move = complex(end.mean() - factor * start.mean())
    found = Similarity(factor.real, factor.imag, move.real, move.imag)
    rest = np.abs(factor * start + move - end)
    return found, tuple(float(part) for part in rest)
