# SPDX-License-Identifier: Apache-2.0
"""A second method as oracle: the volumes of a solid modeller (manifold3d) against our chords and sections.

For every layer of every penetration the part of the elements that lies in the gross barrier must have the volume that
our numbers say: section area × thickness / cos(angle). And where the solid modeller finds that an element fills a
wall from face to face over its whole section, we must have a penetration.
"""

from __future__ import annotations

import functools
import math

import manifold3d
import numpy as np
import pytest

from brattice.adapters.ifc import IfcModels
from brattice.building.finding_places import Found, find
from brattice.building.grouping import Crossing
from brattice.building.model_rating import RatingReader
from brattice.building.site import Site, one_site
from brattice.building.words import Service
from brattice.geometry.mesh import Mesh
from tests.helpers.places import class_steps
from tests.models.open_models import FOLDER, SETS, needs_models

pytestmark = [pytest.mark.models, needs_models]


@functools.cache
def _found(name: str) -> Found:
    models = IfcModels()
    files = [str(FOLDER / file) for file in SETS[name].files]
    site: Site = one_site(models.read(files))
    return find(site, models.collisions(list(site.files), site.origin_m), RatingReader(class_steps()))


def _solid(mesh: Mesh) -> manifold3d.Manifold:
    """The union of the bodies of a mesh, each with its triangles turned to face outwards together."""
    whole = manifold3d.Manifold()
    for number in mesh.body_numbers():
        triangles = _turned_alike(mesh.body(number).triangles)
        used, renumbered = np.unique(triangles, return_inverse=True)
        points = mesh.points[used]
        faces = renumbered.reshape(-1, 3)
        corners = points[faces]
        volume = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum()
        if volume < 0.0:
            faces = faces[:, ::-1]
        body = manifold3d.Manifold(
            manifold3d.Mesh(points.astype(np.float32), np.ascontiguousarray(faces.astype(np.uint32)))
        )
        assert body.status() == manifold3d.Error.NoError
        whole = whole + body
    return whole


def _turned_alike(triangles: np.ndarray) -> np.ndarray:
    """The triangles wound alike: each turned so that it runs against its neighbours along the common edges."""
    faces = [tuple(int(v) for v in face) for face in triangles]
    by_edge: dict[frozenset[int], list[int]] = {}
    for at, face in enumerate(faces):
        for a, b in zip(face, face[1:] + face[:1], strict=True):
            by_edge.setdefault(frozenset((a, b)), []).append(at)
    seen: set[int] = set()
    for first in range(len(faces)):
        stack = [] if first in seen else [first]
        seen.add(first)
        while stack:
            at = stack.pop()
            face = faces[at]
            for a, b in zip(face, face[1:] + face[:1], strict=True):
                for other in by_edge[frozenset((a, b))]:
                    if other in seen:
                        continue
                    seen.add(other)
                    edges = list(zip(faces[other], faces[other][1:] + faces[other][:1], strict=True))
                    if (a, b) in edges:
                        faces[other] = faces[other][::-1]
                    stack.append(other)
    return np.array(faces)


def _centred(mesh: Mesh, by: np.ndarray) -> manifold3d.Manifold:
    """The solid near the origin, since the modeller works in single precision."""
    return _solid(mesh.moved(-by))


def _baked(crossing: Crossing) -> bool:
    return any(piece.inside.baked for piece in crossing.pieces)


@pytest.mark.parametrize("name", SETS)
def test_volumes_agree(name: str) -> None:
    """One straight element alone: the modeller's volume is our section × chord, to one per cent."""
    found = _found(name)
    checked = 0
    for assembly in found.assemblies:
        for crossing in assembly.crossings:
            if len(crossing.pieces) != 1 or _baked(crossing):
                continue
            piece = crossing.pieces[0]
            tube = piece.element.tube
            section = piece.section()
            assert tube is not None
            assert section is not None
            if len(tube.legs) != 1:
                continue
            barrier = found.walls.meshes[crossing.barrier]
            common = _centred(piece.element.mesh, crossing.centre) ^ _centred(barrier, crossing.centre)
            chord = crossing.thickness_mm / math.cos(math.radians(piece.angle_deg))
            ours = section.outline.area * chord * crossing.filled_share
            guids = (found.walls.barriers[crossing.barrier].guid, piece.element.service.guid)
            edge_or_end = common.volume() / ours
            if piece.angle_deg > 1.0 or guids[1] in _CUT_BY_AN_EDGE:
                assert edge_or_end <= 1.01, guids
                continue
            assert common.volume() == pytest.approx(ours, rel=0.01), guids
            checked += 1
    assert checked >= {"revit_small": 2, "pcert_ifc4": 0, "duplex": 50, "duplex_derived": 50, "largebuilding": 45}[name]


_ALONG = ("3iS3Z92Fj9e9S25lmZxSi4", "0iEHWY1$XA8eQeeULq4jpl")
_ENDS_INSIDE = ("1bWEY7YDvF68jk5He8yxmN", "2cXV28XOjE6f6irgi0COI$")

KNOWN_TO_BE_NO_CROSSING: dict[str, set[tuple[str, str]]] = {
    "revit_small": set(),
    "pcert_ifc4": set(),
    "duplex": {_ALONG},
    "duplex_derived": {_ALONG},
    "largebuilding": {_ENDS_INSIDE},
}
"""What the truth tables leave open as well (a thick duct along a thin wall; one at 76 degrees that ends in the wall):
we list both as queries."""

LEAST_CUT = {"revit_small": 1, "pcert_ifc4": 0, "duplex": 60, "duplex_derived": 60, "largebuilding": 50}

_CUT_BY_AN_EDGE = {"0GIUqfQc9AuPpXMqffD6RV"}
"""The duct that was planted to stick out over the edge of its wall: a part of its section is not in the wall."""


@pytest.mark.parametrize("name", SETS)
def test_no_crossing_is_missed(name: str) -> None:
    """Where the gross barrier cuts a duct into parts, the modeller's way of seeing a crossing, we have one."""
    found = _found(name)
    ours = {
        (piece.element.index, crossing.barrier)
        for assembly in found.assemblies
        for crossing in assembly.crossings
        for piece in crossing.pieces
    }
    cut = set()
    for element in found.runs.elements:
        if element.service.service is not Service.DUCT:
            continue
        solid = None
        for at, mesh in enumerate(found.walls.meshes):
            if not element.box.meets(mesh.box):
                continue
            solid = solid or _centred(element.mesh, element.box.low)
            parts = (solid - _centred(mesh, element.box.low)).decompose()
            if sum(part.volume() > 1e4 for part in parts) >= 2:
                cut.add((element.index, at))
    missed = {(found.runs.elements[i].service.guid, found.walls.barriers[at].guid) for i, at in cut - ours}
    assert missed <= KNOWN_TO_BE_NO_CROSSING[name]
    assert (
        len(cut) >= {"revit_small": 1, "pcert_ifc4": 0, "duplex": 60, "duplex_derived": 60, "largebuilding": 50}[name]
    )
