# SPDX-License-Identifier: Apache-2.0
"""Triangle meshes in millimetres, and boxes around them. Winding is never trusted."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["Box", "Floats", "Ints", "Mesh", "near_pairs"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Box:
    """An axis-aligned box [mm]."""

    low: Floats
    high: Floats

    @classmethod
    def around(cls, points: Floats) -> Box:
        """The smallest box that holds the points."""
        return cls(points.min(axis=0), points.max(axis=0))

    def grown(self, by_mm: float) -> Box:
        """The box with `by_mm` more on every side."""
        return Box(self.low - by_mm, self.high + by_mm)

    def meets(self, other: Box) -> bool:
        """Whether the boxes touch or overlap."""
        return bool(np.all(self.low <= other.high) and np.all(other.low <= self.high))

    def holds(self, point: Floats) -> bool:
        """Whether a point lies in or on the box."""
        return bool(np.all(self.low <= point) and np.all(point <= self.high))

    @property
    def size(self) -> Floats:
        """The three extents [mm]."""
        return self.high - self.low


@dataclass(frozen=True, eq=False, repr=False)
class Mesh:
    """Points [mm], triangles by index, and for each triangle the number of the body it belongs to.

    Several bodies may touch or overlap; each is looked at by itself, so that parity holds.
    """

    points: Floats
    triangles: Ints
    bodies: Ints

    @classmethod
    def of(cls, points: Floats, triangles: Ints, bodies: Ints | None = None) -> Mesh:
        """A mesh of plain arrays; without `bodies` it is all one body."""
        faces = np.asarray(triangles, dtype=np.int64).reshape(-1, 3)
        parts = np.zeros(len(faces), dtype=np.int64) if bodies is None else np.asarray(bodies, dtype=np.int64)
        return cls(np.asarray(points, dtype=np.float64).reshape(-1, 3), faces, parts)

    @cached_property
    def box(self) -> Box:
        """The box around all points that a triangle uses."""
        return Box.around(self.points[np.unique(self.triangles)])

    @cached_property
    def corners(self) -> Floats:
        """The corners of every triangle, as an array (triangles, 3, 3)."""
        return self.points[self.triangles]

    def moved(self, by: Floats) -> Mesh:
        """The mesh shifted by a vector [mm]."""
        return Mesh(self.points + by, self.triangles, self.bodies)

    def body_numbers(self) -> tuple[int, ...]:
        """The numbers of its bodies, ascending."""
        return tuple(int(number) for number in np.unique(self.bodies))

    def body(self, number: int) -> Mesh:
        """One body alone; the points stay as they are."""
        chosen = self.bodies == number
        return Mesh(self.points, self.triangles[chosen], self.bodies[chosen])


def near_pairs(first: list[Box], second: list[Box], margin_mm: float) -> list[tuple[int, int]]:
    """Index pairs (i in `first`, j in `second`) of boxes that come nearer than `margin_mm` on every axis.

    A sweep over the first axis; the pairs come sorted.
    """
    if not first or not second:
        return []
    low_b = np.array([box.low for box in second]) - margin_mm
    high_b = np.array([box.high for box in second]) + margin_mm
    order = np.argsort(low_b[:, 0], kind="stable")
    starts = low_b[order, 0]
    pairs: list[tuple[int, int]] = []
    for i, box in enumerate(first):
        candidates = order[: int(np.searchsorted(starts, box.high[0], side="right"))]
        meets = np.all(high_b[candidates] >= box.low, axis=1) & np.all(low_b[candidates] <= box.high, axis=1)
        pairs.extend((i, int(j)) for j in np.sort(candidates[meets]))
    return pairs
