# SPDX-License-Identifier: Apache-2.0
"""Several model files as one building: one origin, one list of storeys, elements in an order that no file decides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from brattice.building.model import Barrier, ModelReading, Obstacle, OpeningElement, Ref, ServiceElement, Storey
from brattice.building.north import NO_NORTH, North, north_of
from brattice.geometry.mesh import Mesh

__all__ = ["SAME_STOREY_MM", "Site", "one_site"]

SAME_STOREY_MM = 50.0
"""Levels of several files that lie nearer than this are one storey [mm]."""

_FAR_APART_M = 5_000.0


@dataclass(frozen=True, eq=False)
class Site:
    """The building: all elements of all files in one frame. Meshes and ports count from `origin_m` [mm]."""

    origin_m: tuple[float, float, float]
    storeys: tuple[Storey, ...]
    barriers: tuple[Barrier, ...]
    services: tuple[ServiceElement, ...]
    openings: tuple[OpeningElement, ...]
    obstacles: tuple[Obstacle, ...]
    joined: frozenset[tuple[Ref, Ref]]
    meshes: Mapping[Ref, Mesh]
    no_shape: Mapping[Ref, str]
    files: tuple[str, ...]
    warnings: tuple[str, ...]
    doubts: tuple[str, ...]
    north: North = NO_NORTH

    @cached_property
    def storey_of_guid(self) -> dict[str, Storey]:
        """The storey that a GlobalId of any file names."""
        return {guid: storey for storey in self.storeys for guid in storey.guids}

    def world_m(self, point_mm: tuple[float, float, float]) -> tuple[float, float, float]:
        """A point of the common frame in world coordinates [m], settled to the thousandth of a millimetre."""
        x, y, z = (round(part / 1000.0 + start, 6) + 0.0 for part, start in zip(point_mm, self.origin_m, strict=True))
        return (x, y, z)


def one_site(readings: Sequence[ModelReading]) -> Site:
    """Put the files together. A file given twice counts once; the order in which they come does not matter."""
    warnings: list[str] = []
    kept: dict[str, ModelReading] = {}
    for reading in sorted(readings, key=lambda one: (one.sha256, one.file)):
        if reading.sha256 in kept:
            warnings.append(f"{reading.file}: the same file as {kept[reading.sha256].file}, read once")
        else:
            kept[reading.sha256] = reading
    models = list(kept.values())
    for reading in sorted(models, key=lambda one: one.file):
        warnings.extend(f"{reading.file}: {text}" for text in reading.warnings)
    origin = min((reading.origin_m for reading in models), default=(0.0, 0.0, 0.0))
    meshes: dict[Ref, Mesh] = {}
    services: list[ServiceElement] = []
    for reading in models:
        shift = (np.array(reading.origin_m) - np.array(origin)) * 1000.0
        moves = bool(np.any(shift))
        for step, mesh in reading.meshes.items():
            meshes[Ref(reading.file, step)] = mesh.moved(shift) if moves else mesh
        for service in reading.services:
            ports = tuple(
                replace(port, x=port.x + shift[0], y=port.y + shift[1], z=port.z + shift[2]) for port in service.ports
            )
            services.append(replace(service, ports=ports))

    def order(element: Barrier | ServiceElement | OpeningElement | Obstacle) -> tuple[object, ...]:
        mesh = meshes.get(element.ref)
        place = () if mesh is None else tuple(round(float(part), 1) for part in (*mesh.box.low, *mesh.box.high))
        return (element.guid, type(element).__name__, getattr(element, "ifc_class", ""), place, element.ref.step)

    return Site(
        origin_m=origin,
        storeys=_storeys(models),
        barriers=tuple(sorted((b for one in models for b in one.barriers), key=order)),
        services=tuple(sorted(services, key=order)),
        openings=tuple(sorted((o for one in models for o in one.openings), key=order)),
        obstacles=tuple(sorted((o for one in models for o in one.obstacles), key=order)),
        joined=frozenset((Ref(one.file, a), Ref(one.file, b)) for one in models for a, b in one.joined),
        meshes=meshes,
        no_shape={Ref(one.file, step): why for one in models for step, why in one.no_shape.items()},
        files=tuple(sorted(one.file for one in models)),
        warnings=tuple(warnings),
        doubts=(
            *(f"{one.file}: {text}" for one in sorted(models, key=lambda one: one.file) for text in one.doubts),
            *_far_apart(models, origin),
        ),
        north=north_of(one.north for one in models if one.north is not None),
    )


def _far_apart(models: list[ModelReading], origin: tuple[float, float, float]) -> list[str]:
    """Say so when the files of one building do not lie in one place."""
    middles = []
    for reading in models:
        if reading.meshes:
            lows = np.median([mesh.box.low for mesh in reading.meshes.values()], axis=0)
            middles.append(lows / 1000.0 + np.array(reading.origin_m) - np.array(origin))
    for i, one in enumerate(middles):
        for other in middles[i + 1 :]:
            distance = float(np.linalg.norm(one - other))
            if distance > _FAR_APART_M:
                far = f"{distance / 1000.0:.0f} km"
                return [f"the files lie {far} apart: they do not share their coordinates; check their origins"]
    return []


def _storeys(models: list[ModelReading]) -> tuple[Storey, ...]:
    """The storeys of all files, one for each level; its name is the one that most files give it."""
    all_of_them = sorted(
        (storey for reading in models for storey in reading.storeys), key=lambda one: (one.elevation_m, one.guids)
    )
    groups: list[list[Storey]] = []
    for storey in all_of_them:
        if groups and (storey.elevation_m - groups[-1][0].elevation_m) * 1000.0 <= SAME_STOREY_MM:
            groups[-1].append(storey)
        else:
            groups.append([storey])
    out = []
    for group in groups:
        names = [storey.name for storey in group if storey.name.strip()]
        name = min(names, key=lambda one: (-names.count(one), one), default="")
        guids = tuple(sorted({guid for storey in group for guid in storey.guids}))
        files = tuple(sorted({file for storey in group for file in storey.files}))
        out.append(Storey(guids[0], name, round(group[0].elevation_m, 6), guids, files))
    return tuple(out)
