# SPDX-License-Identifier: Apache-2.0
"""Cuts through meshes, and what shape and size a cut has."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon

from brattice.geometry.mesh import Floats, Mesh
from brattice.geometry.vectors import PlaneFrame, perpendicular_frame, unit

__all__ = [
    "CutShape",
    "Section",
    "cut",
    "plan_hull",
    "plan_outline",
    "polygons_of",
    "section_across",
    "section_of",
    "union_of_triangles",
]

_COLLINEAR_MM = 0.02
_ROUND_SHARE = 0.01
_ROUND_CORNERS = 8
_FINE_CORNERS = 16
_RIGHT_ANGLE = 0.02


class CutShape(StrEnum):
    """The shape of a cut square to the axis."""

    ROUND = "round"
    RECTANGULAR = "rectangular"
    OVAL = "oval"
    OTHER = "other"


@dataclass(frozen=True, eq=False)
class Section:
    """A cut square to an axis: outline in the frame's axes [mm], shape, centre in space, sides.

    For a rectangular section `sides` are the two side lengths and `side_axes` their directions in space; for a
    round one both sides are the diameter. For any other shape the sides are those of the smallest rectangle
    around it. A circle that is drawn with fewer than 16 flat sides is not taken for the circle through its
    corners: its sides are what is drawn, over the flats, and `over_corners` is the circle's diameter.
    """

    frame: PlaneFrame
    depth_mm: float
    outline: Polygon
    shape: CutShape
    centre: Floats
    sides: tuple[float, float]
    side_axes: tuple[Floats, Floats]
    over_corners: float | None = None

    @property
    def smallest_side(self) -> float:
        """The shorter side [mm]."""
        return min(self.sides)

    def corners(self) -> Floats:
        """The corners of the outline in space, the first one once."""
        flat = np.array(self.outline.exterior.coords)[:-1]
        return self.frame.lifted(flat, self.depth_mm)


def cut(mesh: Mesh, point: Floats, normal: Floats) -> tuple[PlaneFrame, float, MultiPolygon]:
    """The cut of a mesh by a plane: frame, place along its normal, outline with its holes.

    Works on each body by itself and by parity, so winding does not matter.
    """
    frame = perpendicular_frame(normal)
    depth = float(point @ frame.normal)
    parts = []
    for number in mesh.body_numbers():
        segments = _segments(mesh.body(number), frame, depth)
        if len(segments):
            lines = np.asarray(shapely.linestrings(segments))
            parts.append(shapely.build_area(shapely.union_all(lines, grid_size=1e-4)))
    polygons = [part for part in polygons_of(shapely.union_all(parts)) if part.area > 1e-3]
    return frame, depth, MultiPolygon(polygons)


def section_across(mesh: Mesh, point: Floats, direction: Floats) -> Section | None:
    """The section of an elongated body square to `direction` at `point`: the outer ring around the point.

    Where no ring is around the point, the ring nearest to it within its own size; None when there is none.
    """
    frame, depth, area = cut(mesh, point, direction)
    if area.is_empty:
        return None
    rings = polygons_of(shapely.union_all([Polygon(part.exterior) for part in polygons_of(area)]))
    spot = Point(frame.flat(point))
    ring = min(rings, key=lambda part: (part.distance(spot), -part.area))
    if ring.distance(spot) > math.sqrt(ring.area):
        return None
    return section_of(Polygon(ring.exterior), frame, depth)


def section_of(ring: Polygon, frame: PlaneFrame, depth_mm: float) -> Section:
    """Shape and size of an outline in a plane."""
    outline = _without_collinear(ring)
    corners = np.array(outline.exterior.coords)[:-1]
    middle, radius, error = _circle(corners)
    if len(corners) >= _ROUND_CORNERS and error <= _ROUND_SHARE * radius:
        centre = frame.lifted(middle, depth_mm)
        across, coarse = 2.0 * radius, None
        if len(corners) < _FINE_CORNERS:
            box = shapely.get_coordinates(outline.minimum_rotated_rectangle)
            across, coarse = float(np.linalg.norm(np.diff(box, axis=0), axis=1).max()), 2.0 * radius
        return Section(
            frame, depth_mm, outline, CutShape.ROUND, centre, (across, across), (frame.right, frame.up), coarse
        )
    if len(corners) == 4 and _is_rectangle(corners):
        first, second = corners[1] - corners[0], corners[2] - corners[1]
        centre = frame.lifted(corners.mean(axis=0), depth_mm)
        shape = CutShape.RECTANGULAR
    else:
        box = shapely.get_coordinates(outline.minimum_rotated_rectangle)
        first, second = box[1] - box[0], box[2] - box[1]
        flat = outline.centroid
        centre = frame.lifted(np.array([flat.x, flat.y]), depth_mm)
        shape = CutShape.OVAL if _is_oval(outline, first, second) else CutShape.OTHER
    sides = (float(np.linalg.norm(first)), float(np.linalg.norm(second)))
    axes = (unit(frame.lifted(first, 0.0)), unit(frame.lifted(second, 0.0)))
    return Section(frame, depth_mm, outline, shape, centre, sides, axes)


def plan_outline(mesh: Mesh, level_mm: float) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The outer rings of a mesh in plan: its cut at a level, else (when the level misses it) its footprint [mm]."""
    low, high = float(mesh.box.low[2]), float(mesh.box.high[2])
    if low < level_mm < high:
        point = np.array([0.0, 0.0, level_mm])
        frame, depth, area = cut(mesh, point, np.array([0.0, 0.0, 1.0]))
        parts = polygons_of(area)
    else:
        frame, depth = perpendicular_frame(np.array([0.0, 0.0, 1.0])), 0.0
        flat = frame.flat(mesh.corners)
        parts = polygons_of(union_of_triangles(flat, 0.01))
    rings = []
    for part in parts:
        if part.area > 1.0:
            flat = np.array(_without_collinear(Polygon(part.exterior)).exterior.coords)
            space = frame.lifted(flat, depth)
            rings.append(tuple((float(x), float(y)) for x, y, _ in space))
    return tuple(sorted(_turned(ring) for ring in rings))


def plan_hull(mesh: Mesh) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The ring around all points of a mesh in plan [mm]: its footprint where it does not bend."""
    hull = shapely.convex_hull(shapely.multipoints(mesh.points[np.unique(mesh.triangles), :2]))
    if not isinstance(hull, Polygon) or hull.area <= 1.0:
        return ()
    return (_turned(tuple((float(x), float(y)) for x, y in _without_collinear(hull).exterior.coords)),)


def polygons_of(shape: object) -> list[Polygon]:
    """The polygons among the parts of any shape."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return [part for part in getattr(shape, "geoms", ()) if isinstance(part, Polygon) and not part.is_empty]


def union_of_triangles(flat: Floats, grid_mm: float) -> Polygon | MultiPolygon:
    """Flat triangles (triangles, 3, 2) as one outline, corners snapped to a grid [mm]."""
    shapes = np.asarray(shapely.polygons(np.concatenate([flat, flat[:, :1]], axis=1)))
    united = shapely.union_all(shapes[shapely.area(shapes) > 1e-3], grid_size=grid_mm)
    return united if isinstance(united, Polygon | MultiPolygon) else MultiPolygon(polygons_of(united))


def _turned(ring: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """A closed ring that starts at its smallest corner and runs anticlockwise."""
    open_ring = list(ring[:-1])
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(open_ring, open_ring[1:] + open_ring[:1], strict=True))
    if area < 0.0:
        open_ring.reverse()
    first = open_ring.index(min(open_ring))
    turned = open_ring[first:] + open_ring[:first]
    return (*turned, turned[0])


def _segments(mesh: Mesh, frame: PlaneFrame, depth: float) -> Floats:
    """The segments in which the triangles meet the plane, in the frame's axes; shared edges give equal points."""
    off = mesh.points @ frame.normal - depth
    above = off >= 0.0
    triangles = mesh.triangles
    count = above[triangles].sum(axis=1)
    crossed = triangles[(count > 0) & (count < 3)]
    if not len(crossed):
        return np.zeros((0, 2, 2))
    edges = np.stack([crossed[:, [0, 1]], crossed[:, [1, 2]], crossed[:, [2, 0]]], axis=1)
    edges = np.sort(edges, axis=2)
    cut_edges = above[edges[:, :, 0]] != above[edges[:, :, 1]]
    chosen = edges[cut_edges].reshape(-1, 2, 2)
    first, second = chosen[:, :, 0], chosen[:, :, 1]
    share = off[first] / (off[first] - off[second])
    points = mesh.points[first] + share[..., None] * (mesh.points[second] - mesh.points[first])
    flat = frame.flat(points)
    long_enough: Floats = flat[np.linalg.norm(flat[:, 0] - flat[:, 1], axis=1) > 1e-6]
    return long_enough


def _without_collinear(ring: Polygon) -> Polygon:
    """The ring without corners that lie on the straight line of their neighbours."""
    corners = np.array(ring.exterior.coords)[:-1]
    changed = True
    while changed and len(corners) > 3:
        before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
        span = after - before
        length = np.linalg.norm(span, axis=1)
        off = np.abs(span[:, 0] * (corners - before)[:, 1] - span[:, 1] * (corners - before)[:, 0])
        flat = off <= _COLLINEAR_MM * np.maximum(length, 1e-9)
        keep = ~flat
        for i in np.flatnonzero(flat):  # never two neighbours in one pass
            if not keep[i - 1]:
                keep[i] = True
        changed = not bool(np.all(keep))
        corners = corners[keep]
    return Polygon(corners)


def _circle(corners: Floats) -> tuple[Floats, float, float]:
    """The circle through points by least squares: centre, radius, largest deviation."""
    centred = corners - corners.mean(axis=0)
    if len(corners) < 3:
        return corners.mean(axis=0), 0.0, math.inf
    rows = np.column_stack([2.0 * centred, np.ones(len(centred))])
    solution, *_ = np.linalg.lstsq(rows, (centred**2).sum(axis=1), rcond=None)
    radius = math.sqrt(max(0.0, float(solution[2] + solution[0] ** 2 + solution[1] ** 2)))
    distances = np.linalg.norm(centred - solution[:2], axis=1)
    return solution[:2] + corners.mean(axis=0), radius, float(np.abs(distances - radius).max())


def _is_rectangle(corners: Floats) -> bool:
    sides = np.roll(corners, -1, axis=0) - corners
    lengths = np.linalg.norm(sides, axis=1)
    if lengths.min() < 1e-6:
        return False
    one = sides / lengths[:, None]
    return bool(np.all(np.abs((one * np.roll(one, -1, axis=0)).sum(axis=1)) < _RIGHT_ANGLE))


def _is_oval(outline: Polygon, first: Floats, second: Floats) -> bool:
    """Whether the outline is a flat oval or an ellipse that fills its box as such shapes do."""
    a, b = sorted((float(np.linalg.norm(first)), float(np.linalg.norm(second))))
    if len(outline.exterior.coords) < 9 or a == 0.0:
        return False
    share = outline.area / (a * b)
    flat_oval = (math.pi * a * a / 4 + a * (b - a)) / (a * b)
    return min(abs(share - flat_oval), abs(share - math.pi / 4)) < 0.03
