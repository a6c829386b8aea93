# SPDX-License-Identifier: Apache-2.0
"""What of an outline lies within a window of the paper."""

from __future__ import annotations

from itertools import pairwise

import shapely

from brattice.drawing.primitives import Box, Point

__all__ = ["clipped", "clipped_line"]


def clipped(ring: tuple[Point, ...], window: Box) -> tuple[tuple[Point, ...], ...]:
    """The outer rings of what lies in the window of a closed outline; () where nothing does.

    An outline that is within comes back as it is. One that crosses itself is mended first (as its parts are filled).
    """
    if all(window.left <= x <= window.right and window.bottom <= y <= window.top for x, y in ring):
        return (ring,)
    if len(ring) < 3:
        return ()
    shape = shapely.make_valid(shapely.Polygon(ring))
    cut = shapely.intersection(shape, shapely.box(window.left, window.bottom, window.right, window.top))
    parts = [part for part in shapely.get_parts(cut) if isinstance(part, shapely.Polygon) and not part.is_empty]
    rings = [tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]) for part in parts]
    return tuple(sorted(rings))


def clipped_line(points: tuple[Point, ...], window: Box) -> tuple[tuple[Point, ...], ...]:
    """The parts of an open line that lie within the window, in its order; () where nothing does."""
    if all(window.left <= x <= window.right and window.bottom <= y <= window.top for x, y in points):
        return (points,)
    parts: list[list[Point]] = []
    for a, b in pairwise(points):
        cut = _segment(a, b, window)
        if cut is None:
            continue
        if parts and parts[-1][-1] == cut[0]:
            parts[-1].append(cut[1])
        else:
            parts.append(list(cut))
    return tuple(tuple(part) for part in parts)


def _segment(a: Point, b: Point, window: Box) -> tuple[Point, Point] | None:
    """What of a straight line lies within (Liang and Barsky's way of cutting); None for nothing or one point."""
    (x, y), dx, dy = a, b[0] - a[0], b[1] - a[1]
    start, end = 0.0, 1.0
    for step, room in ((-dx, x - window.left), (dx, window.right - x), (-dy, y - window.bottom), (dy, window.top - y)):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            start = max(start, room / step)
        else:
            end = min(end, room / step)
    if start >= end:
        return None
    first = a if start == 0 else (x + dx * start, y + dy * start)
    return first, b if end == 1 else (x + dx * end, y + dy * end)
