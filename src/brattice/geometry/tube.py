# SPDX-License-Identifier: Apache-2.0
"""The centreline of an elongated body: where it runs, where it ends, found from its mesh and its known end points.

A duct says rarely which way it runs: an exporter may draw a rectangular one upwards. So the centreline is found
by, in this order: the plane ends at which known end points (ports) lie; ends that alone bound a prism; hints
(a stated size, a direction of what it is joined to); the longest side. `how` says which, and whether it is sure.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from shapely.geometry import Polygon

from brattice.geometry.mesh import Floats, Ints, Mesh
from brattice.geometry.section import polygons_of, union_of_triangles
from brattice.geometry.solid import coplanar_groups
from brattice.geometry.vectors import angle_between_lines_deg, perpendicular_frame, segment_gap, unit

__all__ = ["HowFound", "Leg", "Tube", "tube_of"]

_PORT_MM = 10.0
_STRAIGHT_DEG = 0.5
_LONGER = 1.05
_ROUND_CORNERS = 8


class HowFound(StrEnum):
    """How a centreline was found."""

    PORTS = "ports"
    PRISM = "prism"
    SIZE = "stated size"
    LONGEST = "longest side"
    CUTS = "cuts at a barrier"
    UNSURE = "unsure"


@dataclass(frozen=True, eq=False)
class Leg:
    """A straight stretch of a centreline [mm]. `start_open`, `end_open`: whether the tube ends there."""

    start: Floats
    end: Floats
    start_open: bool
    end_open: bool

    @property
    def direction(self) -> Floats:
        """The unit vector from start to end."""
        return unit(self.end - self.start)

    @property
    def length(self) -> float:
        """Its length [mm]."""
        return float(np.linalg.norm(self.end - self.start))

    def at(self, along_mm: float) -> Floats:
        """The point `along_mm` from the start."""
        return self.start + along_mm * self.direction


@dataclass(frozen=True, eq=False)
class Tube:
    """A centreline as straight legs, and how it was found."""

    legs: tuple[Leg, ...]
    how: HowFound

    @property
    def ends(self) -> tuple[tuple[Floats, Floats], ...]:
        """Every end: the point and the direction in which the tube points there."""
        out: list[tuple[Floats, Floats]] = []
        for leg in self.legs:
            if leg.start_open:
                out.append((leg.start, -leg.direction))
            if leg.end_open:
                out.append((leg.end, leg.direction))
        return tuple(out)

    @property
    def length(self) -> float:
        """The length of all legs together [mm]."""
        return sum(leg.length for leg in self.legs)


@dataclass(frozen=True, eq=False)
class _Plane:
    normal: Floats
    depth: float
    triangles: Ints
    vertices: Ints
    centre: Floats
    area: float


def tube_of(
    mesh: Mesh,
    ports: tuple[Floats, ...] = (),
    stated: tuple[float, ...] = (),
    towards: tuple[Floats, ...] = (),
) -> Tube | None:
    """The centreline of a mesh, or None when it has none to speak of.

    Parameters
    ----------
    mesh : the body [mm]
    ports : known end points, on or near the end faces [mm]
    stated : a stated size of the section: (diameter,) or (width, height) [mm]
    towards : directions of neighbours that it is joined to, for a body whose sides leave it open
    """
    planes = _planes(mesh)
    if len(planes) < 3:
        return None
    by_port = _ends_at_ports(mesh, planes, ports)
    if len(by_port) == 2:
        return _between(mesh, by_port[0], by_port[1], HowFound.PORTS)
    if len(by_port) > 2:
        return Tube(_branches(by_port), HowFound.PORTS)
    return _without_ports(mesh, planes, by_port, stated, towards)


def _planes(mesh: Mesh) -> list[_Plane]:
    out: list[_Plane] = []
    parts = (
        (normal, depth, part) for normal, depth, group in coplanar_groups(mesh) for part in _connected(mesh, group)
    )
    for normal, depth, chosen in parts:
        corners = mesh.corners[chosen]
        cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        areas = np.linalg.norm(cross, axis=1) / 2.0
        centre = (corners.mean(axis=1) * areas[:, None]).sum(axis=0) / areas.sum()
        vertices = np.unique(mesh.triangles[chosen])
        out.append(_Plane(normal, depth, chosen, vertices, centre, float(areas.sum())))
    return out


def _connected(mesh: Mesh, group: Ints) -> list[Ints]:
    """The triangles of one plane as parts that hang together: both ends of a U may lie in one plane."""
    left = [(int(at), set(mesh.triangles[at].tolist())) for at in group]
    parts: list[Ints] = []
    while left:
        first, corners = left.pop(0)
        part = [first]
        grown = True
        while grown:
            joins = [entry for entry in left if entry[1] & corners]
            left = [entry for entry in left if not entry[1] & corners]
            grown = bool(joins)
            for at, own in joins:
                part.append(at)
                corners |= own
        parts.append(np.array(sorted(part), dtype=np.int64))
    return parts


def _ends_at_ports(mesh: Mesh, planes: list[_Plane], ports: tuple[Floats, ...]) -> list[_Plane]:
    """For each port the end face that it lies on: the face whose middle is nearest to it and not far."""
    found: list[_Plane] = []
    for port in ports:
        near = [plane for plane in planes if abs(float(port @ plane.normal) - plane.depth) <= _PORT_MM]
        if not near:
            continue
        best = min(near, key=lambda plane: float(np.linalg.norm(plane.centre - port)))
        reach = float(np.linalg.norm(mesh.points[best.vertices] - best.centre, axis=1).max())
        if float(np.linalg.norm(best.centre - port)) <= max(_PORT_MM, 0.25 * reach) and best not in found:
            found.append(best)
    return found


def _between(mesh: Mesh, first: _Plane, second: _Plane, how: HowFound) -> Tube:
    """The tube from one end face to the other: straight, along rings of points, or round one corner.

    Where it is none of these, a straight line that is not sure.
    """
    line = second.centre - first.centre
    if float(np.linalg.norm(line)) < 1e-6:
        return Tube((), HowFound.UNSURE)
    straight = (
        angle_between_lines_deg(line, first.normal) <= _STRAIGHT_DEG
        and angle_between_lines_deg(line, second.normal) <= _STRAIGHT_DEG
    )
    if straight:
        return Tube((Leg(first.centre, second.centre, start_open=True, end_open=True),), how)
    rings = _rings(mesh, first, second)
    if rings is not None:
        return Tube(_chain([first.centre, *rings, second.centre]), how)
    corner = _corner(first, second)
    if corner is not None:
        return Tube(_chain([first.centre, corner, second.centre]), how)
    return Tube((Leg(first.centre, second.centre, start_open=True, end_open=True),), HowFound.UNSURE)


def _chain(points: list[Floats]) -> tuple[Leg, ...]:
    kept = [points[0]]
    for point in points[1:]:
        if float(np.linalg.norm(point - kept[-1])) > 1e-3:
            kept.append(point)
    merged = [kept[0]]
    for k in range(1, len(kept) - 1):
        if angle_between_lines_deg(kept[k] - merged[-1], kept[k + 1] - kept[k]) > 0.05:
            merged.append(kept[k])
    merged.append(kept[-1])
    last = len(merged) - 2
    return tuple(Leg(merged[k], merged[k + 1], start_open=k == 0, end_open=k == last) for k in range(len(merged) - 1))


def _rings(mesh: Mesh, first: _Plane, second: _Plane) -> list[Floats] | None:
    """The middles of the rings of points between two end faces, when the mesh is a tube of equal rings."""
    faces = mesh.triangles
    neighbours: dict[int, set[int]] = {}
    for a, b, c in faces.tolist():
        for p, q in ((a, b), (b, c), (c, a)):
            neighbours.setdefault(p, set()).add(q)
            neighbours.setdefault(q, set()).add(p)
    level = {int(v) for v in first.vertices}
    goal = {int(v) for v in second.vertices}
    seen = set(level)
    middles: list[Floats] = []
    while True:
        following = {n for v in level for n in neighbours.get(v, ())} - seen
        if not following or len(following) != len(first.vertices):
            return None
        if following == goal:
            return middles
        middles.append(_ring_middle(mesh.points[sorted(following)]))
        seen |= following
        level = following


def _ring_middle(points: Floats) -> Floats:
    return np.asarray(points.mean(axis=0))


def _corner(first: _Plane, second: _Plane) -> Floats | None:
    """Where the axes of two end faces meet, when they (nearly) do, beyond neither face."""
    a, b = first.normal, second.normal
    if angle_between_lines_deg(a, b) < 2.0:
        return None
    w = first.centre - second.centre
    ab, aw, bw = float(a @ b), float(a @ w), float(b @ w)
    s = (ab * bw - aw) / (1.0 - ab * ab)
    t = (bw - ab * aw) / (1.0 - ab * ab)
    on_first, on_second = first.centre + s * a, second.centre + t * b
    if float(np.linalg.norm(on_first - on_second)) > 20.0:
        return None
    return np.asarray((on_first + on_second) / 2.0)


def _branches(ends: list[_Plane]) -> tuple[Leg, ...]:
    """A tee or cross: opposite ends joined straight, each other end run to the nearest point of that line."""
    left = list(ends)
    legs: list[Leg] = []
    for one, other in itertools.combinations(ends, 2):
        if one not in left or other not in left:
            continue
        line = other.centre - one.centre
        if (
            angle_between_lines_deg(line, one.normal) <= 2.0
            and angle_between_lines_deg(line, other.normal) <= 2.0
            and float(np.linalg.norm(line)) > 1e-6
        ):
            legs.append(Leg(one.centre, other.centre, start_open=True, end_open=True))
            left.remove(one)
            left.remove(other)
    middle = np.mean([end.centre for end in ends], axis=0)
    for end in left:
        target = middle
        if legs:
            run = legs[0]
            target = run.at(float((end.centre - run.start) @ run.direction))
        else:
            target = end.centre + float((middle - end.centre) @ end.normal) * end.normal
        if float(np.linalg.norm(target - end.centre)) > 1e-6:
            legs.append(Leg(end.centre, np.asarray(target), start_open=True, end_open=False))
    return tuple(legs)


def _without_ports(
    mesh: Mesh,
    planes: list[_Plane],
    by_port: list[_Plane],
    stated: tuple[float, ...],
    towards: tuple[Floats, ...],
) -> Tube | None:
    pairs = _prism_ends(mesh, planes)
    if len(pairs) == 1:
        return _between(mesh, *pairs[0], HowFound.PRISM if _is_an_end(mesh, pairs[0]) else HowFound.UNSURE)
    if not pairs:
        round_ends = _round_ends(mesh, planes)
        if round_ends is not None:
            return _between(mesh, *round_ends, HowFound.PRISM)
        return _by_edges(mesh)
    lengths = [float(np.linalg.norm(b.centre - a.centre)) for a, b in pairs]
    for at, pair in enumerate(pairs):
        if any(end is port_end for end in pair for port_end in by_port):
            return _between(mesh, *pairs[at], HowFound.PORTS)
    if towards:
        matching = [
            k for k, (a, _) in enumerate(pairs) if any(angle_between_lines_deg(a.normal, t) < 5.0 for t in towards)
        ]
        if len(matching) == 1:
            return _between(mesh, *pairs[matching[0]], HowFound.PORTS)
    if len(stated) == 2:
        matching = [k for k in range(len(pairs)) if _others_are(lengths, k, stated)]
        if len(matching) == 1:
            return _between(mesh, *pairs[matching[0]], HowFound.SIZE)
    order = sorted(range(len(pairs)), key=lambda k: -lengths[k])
    sure = len(order) < 2 or lengths[order[0]] > _LONGER * lengths[order[1]]
    return _between(mesh, *pairs[order[0]], HowFound.LONGEST if sure else HowFound.UNSURE)


def _is_an_end(mesh: Mesh, pair: tuple[_Plane, _Plane]) -> bool:
    """Whether the two faces that bound a prism can be a duct's ends: bulging outwards, and either with many corners
    or farther apart than they are wide. A bend drawn as its plan extruded upwards has neither."""
    corners = mesh.corners[pair[0].triangles]
    outline = union_of_triangles(perpendicular_frame(pair[0].normal).flat(corners), 0.001)
    hull = outline.convex_hull
    filled = sum(Polygon(part.exterior).area for part in polygons_of(outline))
    if filled < 0.98 * hull.area:
        return False
    low_x, low_y, high_x, high_y = hull.bounds
    length = float(np.linalg.norm(pair[1].centre - pair[0].centre))
    return len(pair[0].vertices) >= _ROUND_CORNERS or length >= max(high_x - low_x, high_y - low_y)


def _others_are(lengths: list[float], k: int, stated: tuple[float, ...]) -> bool:
    others = sorted(length for at, length in enumerate(lengths) if at != k)
    return len(others) == 2 and all(abs(a - b) <= 1.0 for a, b in zip(others, sorted(stated), strict=True))


def _prism_ends(mesh: Mesh, planes: list[_Plane]) -> list[tuple[_Plane, _Plane]]:
    """Pairs of parallel plane faces of one area that hold every point of the mesh between them."""
    used = np.unique(mesh.triangles)
    out: list[tuple[_Plane, _Plane]] = []
    for one, other in itertools.combinations(planes, 2):
        if abs(float(one.normal @ other.normal)) < 1.0 - 1e-6:
            continue
        if abs(one.area - other.area) > 0.01 * max(one.area, other.area):
            continue
        if len(one.vertices) + len(other.vertices) != len(used):
            continue
        if set(one.vertices.tolist()) | set(other.vertices.tolist()) == set(used.tolist()):
            out.append((one, other))
    return out


def _round_ends(mesh: Mesh, planes: list[_Plane]) -> tuple[_Plane, _Plane] | None:
    """The two plane faces with many corners at one distance from their middle, when there are just two."""
    found = []
    for plane in planes:
        if len(plane.vertices) < _ROUND_CORNERS:
            continue
        reach = np.linalg.norm(mesh.points[plane.vertices] - plane.centre, axis=1)
        if float(reach.max() - reach.min()) <= 0.02 * float(reach.max()):
            found.append(plane)
    return (found[0], found[1]) if len(found) == 2 else None


def _by_edges(mesh: Mesh) -> Tube | None:
    """The direction in which most of the length of the edges runs, from one end of the mesh to the other."""
    edges = np.unique(
        np.sort(np.concatenate([mesh.triangles[:, pair] for pair in ([0, 1], [1, 2], [2, 0])]), axis=1), axis=0
    )
    along = mesh.points[edges[:, 1]] - mesh.points[edges[:, 0]]
    lengths = np.linalg.norm(along, axis=1)
    keep = lengths > 1e-6
    along, lengths = along[keep] / lengths[keep, None], lengths[keep]
    best, best_sum = along[0], -1.0
    for candidate in along[np.argsort(-lengths, kind="stable")[:64]]:
        total = float(lengths[np.abs(along @ candidate) > 0.9998].sum())
        if total > best_sum + 1e-6:
            best, best_sum = candidate, total
    used = mesh.points[np.unique(mesh.triangles)]
    at = used @ best
    middle = (mesh.box.low + mesh.box.high) / 2.0
    start = middle + (float(at.min()) - float(middle @ best)) * best
    end = middle + (float(at.max()) - float(middle @ best)) * best
    if float(np.linalg.norm(end - start)) < 1e-6:
        return None
    return Tube((Leg(start, end, start_open=True, end_open=True),), HowFound.UNSURE)


def legs_apart(one: Leg, other: Leg) -> float:
    """The shortest distance between two legs [mm]."""
    return segment_gap(one.start, one.end, other.start, other.end)
