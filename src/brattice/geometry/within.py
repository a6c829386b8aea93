# SPDX-License-Identifier: Apache-2.0
"""What of a body lies in a box: the extent of the part inside, by clipping its triangles; touching is not inside."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from brattice.geometry.mesh import Box, Floats, Ints

__all__ = ["TOUCHING_MM", "extent_within"]

TOUCHING_MM = 0.05
"""What reaches no farther into a box touches it [mm]: as flat as a plane face is taken to be."""

_DIRECTION = np.array([0.5773, 0.2113, 0.7887])
"""A ray that runs along no edge of a building."""


def extent_within(corners: Floats, bodies: Ints, box: Box) -> Box | None:
    """The box around what of the bodies lies inside `box`; None where they stay outside or only touch it.

    Winding is not trusted, and a body may be open: a corner of the box counts as inside a body only where a ray both
    ways meets its triangles an odd number of times.

    Parameters
    ----------
    corners : the corners of all triangles, an array (triangles, 3, 3) [mm], in the frame of the box
    bodies : for each triangle the number of its body
    box : axis-aligned in that frame [mm]
    """
    low, high = box.low + TOUCHING_MM, box.high - TOUCHING_MM
    if bool(np.any(high <= low)):
        return None
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    least, most = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    near = np.all(least <= high, axis=1) & np.all(most >= low, axis=1)
    found = [part for triangle in corners[near] if len(part := _clipped(triangle, low, high))]
    for body in np.unique(bodies):
        found += _corners_inside(corners[bodies == body], low, high)
    if not found:
        return None
    points = np.concatenate(found)
    return Box(_settled(points.min(axis=0), low, box.low), _settled(points.max(axis=0), high, box.high))


def _settled(value: Floats, drawn_in: Floats, edge: Floats) -> Floats:
    """What reaches the box that was drawn in reaches the box itself."""
    return np.where(np.abs(value - drawn_in) < 1e-6, edge, np.round(value, 3)) + 0.0


def _clipped(triangle: Floats, low: Floats, high: Floats) -> Floats:
    """The corners of the part of a triangle that lies in a box, (n, 3); none where it lies outside."""
    polygon = triangle
    for axis in range(3):
        for sign, limit in ((1.0, low[axis]), (-1.0, -high[axis])):
            if len(polygon) == 0:
                return polygon
            off = sign * polygon[:, axis] - limit
            if bool(np.all(off >= 0.0)):
                continue
            kept = []
            for at in range(len(polygon)):
                here, there = off[at - 1], off[at]
                if (here >= 0.0) != (there >= 0.0):
                    share = here / (here - there)
                    kept.append(polygon[at - 1] + share * (polygon[at] - polygon[at - 1]))
                if there >= 0.0:
                    kept.append(polygon[at])
            polygon = np.array(kept).reshape(-1, 3)
    return polygon


def _corners_inside(triangles: Floats, low: Floats, high: Floats) -> list[Floats]:
    """The corners of a box that lie inside one body, (n, 3), as a list of one array or none."""
    if bool(np.any(triangles.min(axis=(0, 1)) > high)) or bool(np.any(triangles.max(axis=(0, 1)) < low)):
        return []
    points = np.array([[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
    inside = _are_inside(triangles, points)
    return [points[inside]] if bool(np.any(inside)) else []


def _are_inside(triangles: Floats, points: Floats) -> NDArray[np.bool_]:
    """Whether a ray from each of several points (n, 3) meets the triangles an odd number of times, both ways."""
    edge_a, edge_b = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    across = np.cross(_DIRECTION, edge_b)
    volume = np.einsum("ij,ij->i", edge_a, across)
    sound = np.abs(volume) > 1e-9
    share = np.zeros_like(volume)
    share[sound] = 1.0 / volume[sound]
    off = points[:, None, :] - triangles[None, :, 0]
    u = np.einsum("pij,ij->pi", off, across) * share
    turned = np.cross(off, edge_a)
    v = (turned @ _DIRECTION) * share
    along = np.einsum("pij,ij->pi", turned, edge_b) * share
    hit = sound & (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0)
    ahead, behind = np.sum(hit & (along > 0.0), axis=1), np.sum(hit & (along < 0.0), axis=1)
    return np.asarray((ahead % 2 == 1) & (behind % 2 == 1))
