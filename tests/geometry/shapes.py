# SPDX-License-Identifier: Apache-2.0
"""Meshes made by hand for the geometry tests [mm]."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from shapely.geometry import Point, Polygon
from shapely.ops import triangulate

from brattice.geometry.mesh import Floats, Mesh


def prism(
    outline: Sequence[tuple[float, float]], low: float, high: float, holes: Sequence[Sequence[tuple[float, float]]] = ()
) -> Mesh:
    """An outline in (x, y), with holes, between two heights z."""
    shape = Polygon(outline, holes)
    rings = [list(shape.exterior.coords)[:-1], *(list(ring.coords)[:-1] for ring in shape.interiors)]
    points = [(float(x), float(y)) for ring in rings for x, y in ring]
    index: dict[tuple[float, ...], int] = {point: k for k, point in enumerate(points)}
    caps = [part for part in triangulate(shape) if shape.contains(part.representative_point())]
    if not math.isclose(sum(part.area for part in caps), shape.area):
        caps = _ears(shape)
    count = len(points)
    triangles = []
    for part in caps:
        a, b, c = (index[point] for point in list(part.exterior.coords)[:3])
        triangles += [(a, b, c), (a + count, c + count, b + count)]
    for ring in rings:
        numbers = [index[point] for point in ring]
        for a, b in zip(numbers, numbers[1:] + numbers[:1], strict=True):
            triangles += [(a, b, b + count), (a, b + count, a + count)]
    space = [(x, y, z) for z in (low, high) for x, y in points]
    return Mesh.of(np.array(space), np.array(triangles))


def _ears(shape: Polygon) -> list[Polygon]:
    """A plain cut of a polygon without holes into triangles by its ears."""
    ring = list(Polygon(shape.exterior).exterior.coords)[:-1]
    out = []
    while len(ring) > 3:
        for k in range(len(ring)):
            ear = Polygon([ring[k - 1], ring[k], ring[(k + 1) % len(ring)]])
            others = [p for p in ring if p not in ear.exterior.coords]
            if ear.area > 0 and shape.buffer(1e-9).contains(ear) and not any(ear.contains(Point(p)) for p in others):
                out.append(ear)
                del ring[k]
                break
    out.append(Polygon(ring))
    return out


def box(low: Sequence[float], high: Sequence[float]) -> Mesh:
    """A box between two corners."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    return prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)


def cylinder(radius: float, low: float, high: float, sides: int = 24, centre: tuple[float, float] = (0.0, 0.0)) -> Mesh:
    """An upright cylinder whose corners lie on the circle."""
    return prism(circle(radius, sides, centre), low, high)


def circle(radius: float, sides: int, centre: tuple[float, float] = (0.0, 0.0)) -> list[tuple[float, float]]:
    """The corners of a regular polygon on a circle."""
    angles = [2.0 * math.pi * k / sides for k in range(sides)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def pipe_along(path: Sequence[Sequence[float]], radius: float, sides: int = 16) -> Mesh:
    """A round tube along a path: one ring of points at each of its corners, in the plane that halves the bend."""
    points = [np.array(p, dtype=float) for p in path]
    directions = [(b - a) / np.linalg.norm(b - a) for a, b in itertools.pairwise(points)]
    rings = []
    for k, centre in enumerate(points):
        before, after = directions[max(k - 1, 0)], directions[min(k, len(directions) - 1)]
        normal = (before + after) / np.linalg.norm(before + after)
        side = np.cross(normal, (0.0, 0.0, 1.0) if abs(normal[2]) < 0.9 else (1.0, 0.0, 0.0))
        side /= np.linalg.norm(side)
        other = np.cross(normal, side)
        turned = [2.0 * math.pi * j / sides for j in range(sides)]
        rings.append([centre + radius * (math.cos(a) * side + math.sin(a) * other) for a in turned])
    triangles = []
    for k in range(len(rings) - 1):
        for j in range(sides):
            a, b = k * sides + j, k * sides + (j + 1) % sides
            triangles += [(a, b, b + sides), (a, b + sides, a + sides)]
    last = (len(rings) - 1) * sides
    for j in range(1, sides - 1):
        triangles += [(0, j + 1, j), (last, last + j, last + j + 1)]
    return Mesh.of(np.array([p for ring in rings for p in ring]), np.array(triangles))


def turned(mesh: Mesh, angles_deg: tuple[float, float, float], shift: Sequence[float]) -> Mesh:
    """The mesh turned about x, y and z and shifted."""
    return Mesh(mesh.points @ rotation(angles_deg).T + np.array(shift), mesh.triangles, mesh.bodies)


def rotation(angles_deg: tuple[float, float, float]) -> Floats:
    """The matrix that turns about x, then y, then z."""
    a, b, c = (math.radians(angle) for angle in angles_deg)
    about_x = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    about_y = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
    about_z = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
    return np.asarray(about_z @ about_y @ about_x)


def with_flipped(mesh: Mesh, every: int) -> Mesh:
    """The mesh with every so-manieth triangle wound the other way."""
    triangles = mesh.triangles.copy()
    triangles[::every] = triangles[::every, ::-1]
    return Mesh(mesh.points, triangles, mesh.bodies)


def together(*meshes: Mesh) -> Mesh:
    """Several meshes as bodies of one."""
    points, triangles, bodies, count = [], [], [], 0
    for number, mesh in enumerate(meshes):
        points.append(mesh.points)
        triangles.append(mesh.triangles + count)
        bodies.append(np.full(len(mesh.triangles), number))
        count += len(mesh.points)
    return Mesh(np.concatenate(points), np.concatenate(triangles), np.concatenate(bodies))
