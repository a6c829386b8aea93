# SPDX-License-Identifier: Apache-2.0
"""Small vector helpers: unit vectors, frames, angles between lines, closest points."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from brattice.geometry.mesh import Floats

__all__ = [
    "PlaneFrame",
    "angle_between_lines_deg",
    "canonical",
    "closest_on_segment",
    "perpendicular_frame",
    "segment_gap",
    "unit",
    "vector",
]


def vector(x: float, y: float, z: float) -> Floats:
    """A vector of three numbers."""
    return np.array([x, y, z], dtype=np.float64)


def unit(value: Floats) -> Floats:
    """The vector at length 1 (a zero vector stays zero)."""
    length = float(np.linalg.norm(value))
    return value / length if length > 0.0 else value


def canonical(direction: Floats) -> Floats:
    """One of the two unit vectors of a line, always the same: towards +x, else +y, else +z.

    Less than a thousandth counts as nothing, so that the noise of a kernel can't turn a vector round.
    """
    one = unit(direction)
    for part in one:
        if abs(part) > 1e-3:
            return one if part > 0.0 else -one
    return one


def angle_between_lines_deg(first: Floats, second: Floats) -> float:
    """The angle between two lines, 0 to 90 [deg]; exact near 0 and near 90."""
    a, b = unit(first), unit(second)
    return math.degrees(math.atan2(float(np.linalg.norm(np.cross(a, b))), abs(float(a @ b))))


@dataclass(frozen=True, eq=False)
class PlaneFrame:
    """A plane's own axes: `right` and `up` lie in it, `normal` looks away from who looks at it."""

    normal: Floats
    right: Floats
    up: Floats

    def flat(self, points: Floats) -> Floats:
        """Points (…, 3) as (right, up) coordinates [mm] from the common origin."""
        return np.stack([points @ self.right, points @ self.up], axis=-1)

    def lifted(self, flat: Floats, depth_mm: float) -> Floats:
        """(right, up) coordinates back in space, `depth_mm` along the normal."""
        return flat[..., :1] * self.right + flat[..., 1:] * self.up + depth_mm * self.normal


def perpendicular_frame(normal: Floats) -> PlaneFrame:
    """The frame of a plane as the trade reads it.

    In a standing or sloping plane `right` is horizontal and `up` climbs; in a level plane `right` is model x and
    `up` model y (seen from above). `right`, `up` and `-normal` are right-handed: who looks along `normal` sees
    `right` on the right hand.
    """
    n = canonical(normal)
    horizontal = np.cross(n, vector(0.0, 0.0, 1.0))
    if float(np.linalg.norm(horizontal)) < 1e-3:  # level (a fall of a millimetre in a metre is level)
        down = n if n[2] < 0.0 else -n
        right = unit(vector(1.0, 0.0, 0.0) - float(down[0]) * down)
        return PlaneFrame(down, right, np.cross(right, down))
    right = unit(horizontal)
    up = unit(np.cross(right, n))
    return PlaneFrame(n, right, up)


def closest_on_segment(point: Floats, start: Floats, end: Floats) -> Floats:
    """The point of a segment that is closest to `point`."""
    along = end - start
    length2 = float(along @ along)
    if length2 == 0.0:
        return start
    share = min(1.0, max(0.0, float((point - start) @ along) / length2))
    return start + share * along


def segment_gap(a0: Floats, a1: Floats, b0: Floats, b1: Floats) -> float:
    """The shortest distance between two segments [mm]."""
    best = min(
        float(np.linalg.norm(closest_on_segment(p, s0, s1) - p))
        for p, s0, s1 in ((a0, b0, b1), (a1, b0, b1), (b0, a0, a1), (b1, a0, a1))
    )
    u, v, w = a1 - a0, b1 - b0, a0 - b0
    a, b, c, d, e = float(u @ u), float(u @ v), float(v @ v), float(u @ w), float(v @ w)
    determinant = a * c - b * b
    if determinant > 1e-9 * max(a * c, 1e-12):
        s, t = (b * e - c * d) / determinant, (a * e - b * d) / determinant
        if 0.0 <= s <= 1.0 and 0.0 <= t <= 1.0:
            best = min(best, float(np.linalg.norm((a0 + s * u) - (b0 + t * v))))
    return best
