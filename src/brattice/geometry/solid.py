# SPDX-License-Identifier: Apache-2.0
"""A solid as its plane faces: where a line is inside it, by which face it enters and leaves.

The coplanar triangles of each body become one `Face` with an exact outline. Whether a point is inside is asked by
parity along a line, so a mesh with inconsistent winding does no harm. A hole that is baked into the mesh is an
inner ring of a face; `Solid.filled()` is the same solid with such holes filled and their reveals taken away.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon

from brattice.geometry.mesh import Box, Floats, Ints, Mesh
from brattice.geometry.vectors import PlaneFrame, angle_between_lines_deg, canonical, perpendicular_frame, unit

__all__ = ["PLANE_TOLERANCE_MM", "Face", "Inside", "Solid", "coplanar_groups", "outline_parts"]

PLANE_TOLERANCE_MM = 0.05
"""How far the corners of a triangle may lie off a plane and still belong to it [mm]."""

_SNAP_MM = 0.001
_EDGE_MM = 0.02
_SLIVER_MM2 = 1e-4
_JITTER_MM = ((0.0, 0.0), (0.071, 0.043), (-0.053, 0.089), (0.037, -0.097), (-0.083, -0.031), (0.131, 0.173))


@dataclass(frozen=True, eq=False)
class Face:
    """One plane face: frame, place of the plane along the frame's normal [mm], outline in the frame's axes."""

    frame: PlaneFrame
    depth_mm: float
    outline: Polygon | MultiPolygon

    @property
    def normal(self) -> Floats:
        """The normal, one of the two, always the same one."""
        return self.frame.normal

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """The bounds of the outline in the frame's axes [mm]."""
        low_x, low_y, high_x, high_y = self.outline.bounds
        return (low_x, low_y, high_x, high_y)

    def faces_like(self, other: Face, within_deg: float = 15.0) -> bool:
        """Whether both faces lie (nearly) parallel."""
        return angle_between_lines_deg(self.normal, other.normal) <= within_deg


@dataclass(frozen=True, eq=False)
class Inside:
    """Where a line is inside a solid: from `start` to `end` along its direction [mm], in by a face, out by one.

    `baked` says that one of the faces is only there because a hole in the mesh was filled.
    """

    start: float
    end: float
    entry: Face
    leave: Face
    baked: bool = False

    @property
    def is_across(self) -> bool:
        """Whether the line comes in and goes out by faces that lie parallel."""
        return self.entry.faces_like(self.leave)

    def thickness_mm(self, direction: Floats) -> float:
        """The distance of the two faces, square to the entry face, for a line of this unit direction [mm]."""
        return (self.end - self.start) * abs(float(direction @ self.entry.normal))


@dataclass(frozen=True, eq=False)
class Solid:
    """A solid by the faces of each of its bodies."""

    bodies: tuple[tuple[Face, ...], ...]
    box: Box
    has_filled: bool = False

    @classmethod
    def of(cls, mesh: Mesh) -> Solid:
        """The solid of a mesh: coplanar triangles of each body united."""
        return cls(tuple(_faces(mesh.body(number)) for number in mesh.body_numbers()), mesh.box)

    @property
    def faces(self) -> tuple[Face, ...]:
        """All faces of all bodies."""
        return tuple(face for body in self.bodies for face in body)

    @cached_property
    def filled(self) -> Solid | None:
        """The solid with the holes in its faces filled; None when no face has a hole."""
        if not any(_rings(face.outline) for face in self.faces):
            return None
        return Solid(tuple(_filled_faces(body) for body in self.bodies), self.box, has_filled=True)

    def inside(self, point: Floats, direction: Floats) -> list[Inside]:
        """Where the endless line through `point` is inside, in order along the unit `direction`.

        Touching parts (of one or of several bodies) are one. Where the line runs into an edge it is shifted by
        about a tenth of a millimetre.
        """
        parts: list[Inside] = []
        for body in self.bodies:
            parts.extend(_inside_body(body, point, direction))
        return _united(sorted(parts, key=lambda part: (part.start, part.end)))

    def inside_or_filled(self, point: Floats, direction: Floats) -> list[Inside]:
        """Like `inside`, with what the line meets only where a baked hole was filled marked as `baked`."""
        real = self.inside(point, direction)
        if self.filled is None:
            return real
        out = list(real)
        for part in self.filled.inside(point, direction):
            held = sum(max(0.0, min(part.end, r.end) - max(part.start, r.start)) for r in real)
            if held < 0.5 * (part.end - part.start):
                out = [r for r in out if r.end <= part.start or r.start >= part.end]
                out.append(Inside(part.start, part.end, part.entry, part.leave, baked=True))
        return sorted(out, key=lambda part: (part.start, part.end))


def coplanar_groups(mesh: Mesh) -> list[tuple[Floats, float, Ints]]:
    """The triangles of a mesh by plane: (normal, place along it [mm], triangle indices); slivers left out.

    The order of the groups follows the first triangle of each.
    """
    corners = mesh.corners
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area2 = np.linalg.norm(cross, axis=1)
    groups: list[tuple[Floats, float, list[int]]] = []
    normals = np.zeros((0, 3))
    depths = np.zeros(0)
    for i in np.argsort(-area2, kind="stable"):
        if area2[i] <= 2.0 * _SLIVER_MM2:
            continue
        normal = canonical(cross[i])
        middle = corners[i].mean(axis=0)
        found = -1
        if len(groups):
            gap = np.abs(corners[i] @ normals.T - depths).max(axis=0)
            parallel = np.abs(normals @ normal) > 1.0 - 1e-6
            thin = area2[i] < 1.0  # the normal of a tiny triangle says little: its corners decide
            fits = np.flatnonzero((gap <= PLANE_TOLERANCE_MM) & (parallel | thin))
            if len(fits):
                found = int(fits[np.argmin(gap[fits])])
        if found >= 0:
            groups[found][2].append(int(i))
        else:
            depth = float(middle @ normal)
            groups.append((normal, depth, [int(i)]))
            normals = np.vstack([normals, normal])
            depths = np.append(depths, depth)
    return [(normal, depth, np.array(sorted(found), dtype=np.int64)) for normal, depth, found in groups]


def outline_parts(outline: Polygon | MultiPolygon) -> tuple[Polygon, ...]:
    """The polygons of an outline."""
    return (outline,) if isinstance(outline, Polygon) else tuple(outline.geoms)


def _faces(mesh: Mesh) -> tuple[Face, ...]:
    faces: list[Face] = []
    for normal, _, chosen in coplanar_groups(mesh):
        frame = perpendicular_frame(normal)
        corners = mesh.corners[chosen]
        depth = float(np.mean(corners.reshape(-1, 3) @ frame.normal))
        outline = _union(frame.flat(corners))
        if not outline.is_empty and outline.area > _SLIVER_MM2:
            faces.append(Face(frame, depth, outline))
    return tuple(faces)


def _union(triangles: Floats) -> Polygon | MultiPolygon:
    closed = np.concatenate([triangles, triangles[:, :1]], axis=1)
    shapes = shapely.polygons(closed)
    united = shapely.union_all(shapes, grid_size=_SNAP_MM)
    if isinstance(united, Polygon | MultiPolygon):
        return united
    polygons = [part for part in getattr(united, "geoms", ()) if isinstance(part, Polygon)]
    return MultiPolygon(polygons)


def _rings(outline: Polygon | MultiPolygon) -> list[Polygon]:
    return [Polygon(ring) for part in outline_parts(outline) for ring in part.interiors if Polygon(ring).area > 100.0]


def _filled_faces(body: tuple[Face, ...]) -> tuple[Face, ...]:
    """The faces with holes filled, without the reveals: faces whose every corner lies on the rim of a hole."""
    rims: list[Floats] = []
    for face in body:
        for ring in _rings(face.outline):
            flat = np.array(ring.exterior.coords)
            rims.append(face.frame.lifted(flat, face.depth_mm))
    rim = np.concatenate(rims)
    kept: list[Face] = []
    for face in body:
        corners = np.concatenate([np.array(part.exterior.coords) for part in outline_parts(face.outline)])
        in_space = face.frame.lifted(corners, face.depth_mm)
        nearest = np.linalg.norm(in_space[:, None, :] - rim[None, :, :], axis=2).min(axis=1)
        if bool(np.all(nearest < 1.0)):
            continue
        solid = shapely.union_all([Polygon(part.exterior) for part in outline_parts(face.outline)])
        assert isinstance(solid, Polygon | MultiPolygon)
        kept.append(Face(face.frame, face.depth_mm, solid))
    return tuple(kept)


def _inside_body(faces: tuple[Face, ...], point: Floats, direction: Floats) -> list[Inside]:
    side = perpendicular_frame(direction)
    hits: list[tuple[float, Face]] = []
    for right, up in _JITTER_MM:
        shifted = point + right * side.right + up * side.up
        hits, clean = _hits(faces, shifted, direction)
        if clean and len(hits) % 2 == 0:
            break
    hits.sort(key=lambda hit: hit[0])
    if len(hits) % 2 == 1:  # a mesh that does not close: from its first to its last face
        hits = [hits[0], hits[-1]] if len(hits) > 1 else []
    return [
        Inside(hits[k][0], hits[k + 1][0], hits[k][1], hits[k + 1][1])
        for k in range(0, len(hits), 2)
        if hits[k + 1][0] - hits[k][0] > 1e-3
    ]


def _hits(faces: tuple[Face, ...], point: Floats, direction: Floats) -> tuple[list[tuple[float, Face]], bool]:
    hits: list[tuple[float, Face]] = []
    clean = True
    for face in faces:
        slope = float(face.normal @ direction)
        off = face.depth_mm - float(face.normal @ point)
        if abs(slope) < 1e-5:
            if abs(off) < _EDGE_MM:
                clean = False
            continue
        at = off / slope
        flat = face.frame.flat(point + at * direction)
        low_x, low_y, high_x, high_y = face.bounds
        if not (low_x - _EDGE_MM <= flat[0] <= high_x + _EDGE_MM and low_y - _EDGE_MM <= flat[1] <= high_y + _EDGE_MM):
            continue
        spot = Point(flat)
        if face.outline.boundary.distance(spot) < _EDGE_MM:
            clean = False
        if face.outline.intersects(spot):
            hits.append((at, face))
    return hits, clean


def _united(parts: list[Inside]) -> list[Inside]:
    out: list[Inside] = []
    for part in parts:
        if out and part.start <= out[-1].end + 0.1:
            last = out[-1]
            if part.end > last.end:
                out[-1] = Inside(last.start, part.end, last.entry, part.leave, last.baked or part.baked)
        else:
            out.append(part)
    return out


def slope_deg(face: Face) -> float:
    """How steep a face stands: 0 level, 90 upright [deg]."""
    return math.degrees(math.acos(min(1.0, abs(float(unit(face.normal)[2])))))
