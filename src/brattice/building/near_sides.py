# SPDX-License-Identifier: Apache-2.0
"""On which side of a duct something lies in the barrier's plane, where that is certain.

A barrier's plane is seen along its normal (`building.place`): in a wall by one who looks towards larger model x, else
y; in a floor from above with model x to the right.
"""

from __future__ import annotations

from brattice.building.place import Place, SidesMm

__all__ = ["SIDES", "least_edge", "side_of_box", "side_of_edge", "side_of_place"]

SIDES = ("left", "right", "above", "below")
"""The words for a side."""

_TOUCHES_MM = 0.5
"""Two outlines that are no farther apart along an axis do not lie beside each other along it [mm]. Our own policy."""

_CLEARLY = 2.0
"""Diagonally beside each other: the side is certain where one clear distance is so many times the other. Our own
policy."""

_SAME_DIRECTION = 1e-6
"""Two planes are the same way round where their axes differ by no more in any part. Our own policy: a millimetre in a
kilometre from the origin."""

_EDGES_DIFFER_MM = 1.0
"""The nearest of two edges is certain where the other is farther by more than this [mm]. Our own policy."""

Box = tuple[float, float, float, float]


def side_of_box(mine: Box, other: Box) -> str:
    """The side of `mine` on which `other` lies; "" where they overlap or lie diagonally.

    Parameters
    ----------
    mine, other : left, bottom, right, top [mm], in one plane
    """
    left, right = mine[0] - other[2], other[0] - mine[2]
    below, above = mine[1] - other[3], other[1] - mine[3]
    across, up = max(left, right), max(below, above)
    level, upright = ("right" if right > left else "left"), ("above" if above > below else "below")
    if across > _TOUCHES_MM and across >= _CLEARLY * up:
        return level
    if up > _TOUCHES_MM and up >= _CLEARLY * across:
        return upright
    return ""


def _box_mm(place: Place) -> Box:
    across, up = zip(*place.outline_m, strict=True)
    return min(across) * 1000.0, min(up) * 1000.0, max(across) * 1000.0, max(up) * 1000.0


def side_of_place(mine: Place, other: Place) -> str:
    """The side on which another place in the same barrier lies; "" where that is not certain or the planes are two."""
    axes = ((mine.right, other.right), (mine.up, other.up), (mine.normal, other.normal))
    for one, two in axes:
        if one is None or two is None:
            return ""
        if any(abs(a - b) > _SAME_DIRECTION for a, b in zip(one, two, strict=True)):
            return ""
    if mine.centre_m is None or other.centre_m is None or mine.normal is None:
        return ""
    apart = zip(other.centre_m, mine.centre_m, mine.normal, strict=True)
    depth = abs(sum((b - a) * along for b, a, along in apart)) * 1000.0
    if depth > max(mine.thickness_mm, other.thickness_mm):
        return ""  # one element that folds back: two planes behind each other
    if not mine.outline_m or not other.outline_m:
        return ""
    return side_of_box(_box_mm(mine), _box_mm(other))


def _edges(edges: SidesMm, names: tuple[str, ...]) -> list[tuple[float, str]]:
    by_name = {"left": edges.left, "right": edges.right, "above": edges.top, "below": edges.bottom}
    return sorted((by_name[name], name) for name in names)


def least_edge(edges: SidesMm, names: tuple[str, ...]) -> float:
    """The distance to the nearest edge of some sides [mm]; `names` are one or more of `SIDES`."""
    return _edges(edges, names)[0][0]


def side_of_edge(edges: SidesMm, names: tuple[str, ...]) -> str:
    """Which of some sides has the nearest edge; "" where two are as near. `names` are one or more of `SIDES`."""
    found = _edges(edges, names)
    if len(found) > 1 and found[1][0] - found[0][0] <= _EDGES_DIFFER_MM:
        return ""
    return found[0][1]
