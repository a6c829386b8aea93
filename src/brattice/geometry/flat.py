# SPDX-License-Identifier: Apache-2.0
"""Outlines in a barrier's own plane: shadows of ducts, silhouettes of openings, clear distances, clearances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Point, Polygon

from brattice.geometry.mesh import Floats, Mesh
from brattice.geometry.section import CutShape, Section, polygons_of, section_of, union_of_triangles
from brattice.geometry.solid import Face, Solid
from brattice.geometry.vectors import PlaneFrame

__all__ = [
    "FourSides",
    "Outline",
    "area_mm2",
    "bounds",
    "clear_between",
    "common_outline",
    "corners_of",
    "edge_distances",
    "holds_point",
    "hole_around",
    "margins",
    "middle_of",
    "nearest_edge",
    "outer_parts",
    "overlap_share",
    "shadow",
    "shape_of_outline",
    "silhouette",
    "stretch_at",
    "united",
]

Outline: TypeAlias = Polygon | MultiPolygon


@dataclass(frozen=True, order=True)
class FourSides:
    """One length a side [mm], seen along the normal of the frame."""

    left: float
    right: float
    top: float
    bottom: float


def shadow(section: Section, axis: Floats, frame: PlaneFrame, depth_mm: float) -> Outline:
    """The outline in which a duct of this section, running along `axis`, passes the plane at `depth_mm`."""
    corners = section.corners()
    slope = float(axis @ frame.normal)
    along = (depth_mm - corners @ frame.normal) / slope
    return Polygon(frame.flat(corners + along[:, None] * axis))


def silhouette(mesh: Mesh, frame: PlaneFrame) -> Outline:
    """The outline of a mesh as it is seen along the normal."""
    return union_of_triangles(frame.flat(mesh.corners), 0.001)


def common_outline(first: Face, second: Face, frame: PlaneFrame, *, filled: bool) -> Outline:
    """What two faces on both sides of a barrier have in common, seen along the normal of `frame`."""
    one, other = (_in_frame(face, frame, filled=filled) for face in (first, second))
    common = shapely.intersection(one, other, grid_size=0.001)
    return MultiPolygon(polygons_of(common))


def _in_frame(face: Face, frame: PlaneFrame, *, filled: bool) -> Outline:
    parts = []
    for part in polygons_of(face.outline):
        shell, *holes = [
            frame.flat(face.frame.lifted(np.array(ring.coords), face.depth_mm))
            for ring in (part.exterior, *part.interiors)
        ]
        parts.append(shapely.make_valid(Polygon(shell, [] if filled else holes)))
    united = shapely.union_all(parts)
    return MultiPolygon(polygons_of(united))


def united(outlines: Sequence[Outline]) -> Outline:
    """Several outlines as one."""
    whole = shapely.union_all(list(outlines))
    return MultiPolygon(polygons_of(whole))


def corners_of(outline: Outline) -> tuple[tuple[float, float], ...]:
    """The corners of the largest part of an outline [mm], the first one once."""
    largest = max(polygons_of(outline), key=lambda part: part.area)
    return tuple((float(x), float(y)) for x, y in list(largest.exterior.coords)[:-1])


def hole_around(solid: Solid, face: Face, point: Floats, frame: PlaneFrame) -> Outline | None:
    """The hole in a solid's face (in the plane of `face`) that a point lies in, seen in `frame`; None for none."""
    for own in solid.faces:
        if not own.faces_like(face, 0.1) or abs(float(point @ own.normal) - own.depth_mm) > 1.0:
            continue
        spot = Point(own.frame.flat(point))
        for part in polygons_of(own.outline):
            for ring in part.interiors:
                if Polygon(ring).intersects(spot):
                    return Polygon(frame.flat(own.frame.lifted(np.array(ring.coords), own.depth_mm)))
    return None


def bounds(outline: Outline) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of an outline [mm]."""
    left, bottom, right, top = outline.bounds
    return (left, bottom, right, top)


def area_mm2(outline: Outline) -> float:
    """The area of an outline [mm²]."""
    return float(outline.area)


def overlap_share(inner: Outline, outer: Outline) -> float:
    """How much of `inner` lies in `outer`, 0 to 1."""
    return float(inner.intersection(outer).area / inner.area) if inner.area > 0.0 else 0.0


def clear_between(one: Outline, other: Outline) -> float:
    """The clear distance of two outlines [mm]; 0 when they touch or overlap."""
    return float(one.distance(other))


def margins(inner: Outline, outer: Outline) -> FourSides:
    """How far the box around `inner` stays inside the box around `outer`, a side [mm]; below 0 it sticks out."""
    left, bottom, right, top = inner.bounds
    outer_left, outer_bottom, outer_right, outer_top = outer.bounds
    return FourSides(left - outer_left, outer_right - right, outer_top - top, bottom - outer_bottom)


def edge_distances(duct: Outline, barrier: Outline, centre: Floats) -> FourSides | None:
    """From the box around a duct to the edge of the barrier, level and upright through its centre [mm].

    Below 0 the duct sticks out there. None when the centre lies outside the barrier.
    """
    if not barrier.intersects(Point(centre)):
        return None
    left, bottom, right, top = duct.bounds
    low_x, low_y, high_x, high_y = (
        value + step for value, step in zip(barrier.bounds, (-1.0, -1.0, 1.0, 1.0), strict=True)
    )
    level = _stretch(barrier, LineString([(low_x, centre[1]), (high_x, centre[1])]), Point(centre))
    upright = _stretch(barrier, LineString([(centre[0], low_y), (centre[0], high_y)]), Point(centre))
    return FourSides(left - level[0], level[2] - right, upright[3] - top, bottom - upright[1])


def _stretch(barrier: Outline, line: LineString, spot: Point) -> tuple[float, float, float, float]:
    inside = barrier.intersection(line)
    pieces = list(getattr(inside, "geoms", [inside]))
    nearest = min(pieces, key=lambda piece: piece.distance(spot))
    a, b, c, d = nearest.bounds
    return (a, b, c, d)


def nearest_edge(duct: Outline, barrier: Outline) -> float:
    """The shortest distance from a duct to the edge of a barrier [mm]; 0 when the duct meets the edge."""
    return float(barrier.boundary.distance(duct)) if duct.within(barrier) else 0.0


def outer_parts(outline: Outline) -> list[Polygon]:
    """The parts of an outline without their holes; parts that lie in a hole of another are gone."""
    return polygons_of(shapely.union_all([Polygon(part.exterior) for part in polygons_of(outline)]))


def middle_of(outline: Outline) -> Floats:
    """The centroid of an outline (right, up)."""
    spot = outline.centroid
    return np.array([spot.x, spot.y])


def holds_point(outline: Outline, spot: Floats) -> bool:
    """Whether a point (right, up) lies in or on an outline."""
    return bool(outline.intersects(Point(spot)))


def stretch_at(outline: Outline, right: float) -> tuple[float, float] | None:
    """The lowest and the highest point of an outline on the upright line at `right` [mm]; None where it has none."""
    _, bottom, _, top = outline.bounds
    line = outline.intersection(LineString([(right, bottom - 1.0), (right, top + 1.0)]))
    if line.is_empty:
        return None
    _, low, _, high = line.bounds
    return (low, high)


def shape_of_outline(outline: Outline, frame: PlaneFrame) -> CutShape:
    """Whether an outline is round, rectangular or something else."""
    parts = polygons_of(outline)
    return section_of(Polygon(parts[0].exterior), frame, 0.0).shape if len(parts) == 1 else CutShape.OTHER
