# SPDX-License-Identifier: Apache-2.0
"""What of an outline lies within a window of the paper."""

from __future__ import annotations

import shapely

from brattice.drawing.primitives import Box, Point

__all__ = ["clipped"]


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
