# SPDX-License-Identifier: Apache-2.0
"""For bodies whose centreline is not sure: how they run through one barrier, by cuts just outside both faces.

Whatever bends, tapers or forks is straight enough over the thickness of a wall: its cut before the one face, in the
middle and behind the other say where it runs.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from brattice.building.model import BarrierKind
from brattice.geometry.flat import Outline, area_mm2, bounds, common_outline, holds_point, middle_of, outer_parts
from brattice.geometry.mesh import Floats, Mesh
from brattice.geometry.section import cut
from brattice.geometry.solid import Face, Solid
from brattice.geometry.tube import Leg
from brattice.geometry.vectors import PlaneFrame

__all__ = ["legs_through", "plates_of"]

_OUTSIDE_MM = 1.0
_PLATES = 6
_LIES_ALONG = 2.0


def plates_of(solid: Solid, kind: BarrierKind) -> list[tuple[Face, Face]]:
    """Pairs of opposite faces that a duct passes a barrier of this kind by, the largest faces first."""
    upright = kind is BarrierKind.WALL
    faces = [face for face in solid.faces if (abs(float(face.normal[2])) < 0.5) == upright]
    faces.sort(key=lambda face: -round(float(face.outline.area), 3))
    out: list[tuple[Face, Face]] = []
    for one in faces[:_PLATES]:
        best: tuple[float, Face] | None = None
        for other in faces:
            gap = abs(other.depth_mm - one.depth_mm)
            if other is one or not other.faces_like(one, 0.5) or gap < 1.0:
                continue
            if (best is None or gap < best[0]) and area_mm2(common_outline(one, other, one.frame, filled=True)) > 100.0:
                best = (gap, other)
        if best is not None and not any(best[1] is pair[0] and one is pair[1] for pair in out):
            out.append((one, best[1]))
    return out


def legs_through(mesh: Mesh, solid: Solid, kind: BarrierKind) -> tuple[Leg, ...]:
    """A straight leg for each way in which a mesh passes a barrier from face to face."""
    legs: list[Leg] = []
    for one, other in plates_of(solid, kind):
        frame = one.frame
        low, high = sorted((one.depth_mm, float(_on(other) @ frame.normal)))
        reach = mesh.points[np.unique(mesh.triangles)] @ frame.normal
        if float(reach.min()) > low - _OUTSIDE_MM or float(reach.max()) < high + _OUTSIDE_MM:
            continue
        barrier = common_outline(one, other, frame, filled=True)
        longest = _LIES_ALONG * float(reach.max() - reach.min())
        for start, end in _ways(mesh, frame, (low - _OUTSIDE_MM, high + _OUTSIDE_MM), barrier, longest):
            if not any(float(np.linalg.norm(leg.start - start)) < 1.0 for leg in legs):
                legs.append(Leg(start, end, start_open=False, end_open=False))
    return tuple(legs)


def _on(face: Face) -> Floats:
    """A point on a face's plane."""
    return face.depth_mm * face.normal


def _ways(
    mesh: Mesh, frame: PlaneFrame, depths: tuple[float, float], barrier: Outline, longest: float
) -> Iterator[tuple[Floats, Floats]]:
    """Where a body comes in and goes out; a cut longer than `longest` is of one that lies along the barrier."""
    low, high = depths
    before, within, behind = (_cut_parts(mesh, frame, depth) for depth in (low, (low + high) / 2.0, high))
    for at, size in within:
        if not holds_point(barrier, at) or size > longest:
            continue
        first = _nearest(before, at, size)
        last = None if first is None else _nearest(behind, 2.0 * at - first, size)
        if first is not None and last is not None:
            yield frame.lifted(first, low), frame.lifted(last, high)


def _cut_parts(mesh: Mesh, frame: PlaneFrame, depth: float) -> list[tuple[Floats, float]]:
    """The middle of each part of a cut and its longer extent [mm]."""
    _, _, area = cut(mesh, depth * frame.normal, frame.normal)
    parts = []
    for part in outer_parts(area):
        left, bottom, right, top = bounds(part)
        parts.append((middle_of(part), max(right - left, top - bottom)))
    return parts


def _nearest(parts: list[tuple[Floats, float]], at: Floats, within: float) -> Floats | None:
    found = [(float(np.linalg.norm(middle - at)), k) for k, (middle, _) in enumerate(parts)]
    distance, k = min(found, default=(float("inf"), -1))
    return parts[k][0] if distance <= within else None
