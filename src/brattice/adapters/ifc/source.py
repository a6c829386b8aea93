# SPDX-License-Identifier: Apache-2.0
"""The models of a building as the use case wants them: each file read in its own child, collisions in another."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np

from brattice.adapters.child import Children, Json, Limits, Reply, run_task
from brattice.building.model import (
    Barrier,
    BarrierKind,
    MaterialLayer,
    ModelReading,
    Obstacle,
    OpeningElement,
    Part,
    Port,
    Property,
    RatingText,
    Ref,
    ServiceElement,
    Storey,
)
from brattice.building.north import NorthSaid
from brattice.building.words import Service
from brattice.errors import Fault, InputError
from brattice.geometry.mesh import Box, Mesh

__all__ = ["IfcModels"]


class IfcModels:
    """Reads IFC files; the port `usecases.find_places.Models`.

    `say` gets progress lines; `workers` is how many children may run at once (the result does not depend on it).
    `root` is the folder that relative paths start from (else the current one); files keep the names they were given.
    """

    def __init__(
        self,
        say: Callable[[str], None] | None = None,
        workers: int | None = None,
        limits: Limits | None = None,
        root: Path | None = None,
    ) -> None:
        self._say = say or (lambda _text: None)
        self._workers = workers or max(1, min(4, os.cpu_count() or 1))
        self._limits = limits or Limits()
        self._root = root

    def read(self, files: Sequence[str]) -> tuple[ModelReading, ...]:
        """Every file, read; the faults of all files come together.

        Raises
        ------
        InputError : with every fault of every file
        """
        faults: list[Fault] = []
        readings: list[ModelReading] = []
        children = Children()
        with ThreadPoolExecutor(max_workers=self._workers) as pool:
            try:
                for outcome in pool.map(lambda file: self._read_or_faults(file, children), files):
                    if isinstance(outcome, ModelReading):
                        readings.append(outcome)
                    else:
                        faults.extend(outcome)
            except BaseException:  # the user stops the program: the pool would wait for every child to end by itself
                pool.shutdown(wait=False, cancel_futures=True)
                children.stop()
                raise
        if faults:
            raise InputError(faults)
        return tuple(readings)

    def collisions(self, files: Sequence[str], origin_m: tuple[float, float, float]) -> frozenset[tuple[Ref, Ref]]:
        """Pairs (barrier, service element) whose gross solids meet, as the kernel's collision test says."""
        request = {"files": [self._path(file) for file in files], "origin_m": list(origin_m)}
        reply = run_task("ifc.collide", request, subject=", ".join(files), limits=self._limits, say=self._say)
        return frozenset(
            (Ref(files[int(a)], int(a_step)), Ref(files[int(b)], int(b_step)))
            for a, a_step, b, b_step in reply.value["pairs"]
        )

    def collisions_and_bodies(
        self, files: Sequence[str], origin_m: tuple[float, float, float], boxes: Sequence[Box]
    ) -> tuple[frozenset[tuple[Ref, Ref]], Mapping[Ref, Mesh]]:
        """The pairs of `collisions`, and the meshes of all that is neither barrier nor service and meets a box.

        The two are asked of two children at a time. Meshes and boxes count from `origin_m` [mm].
        """
        children = Children()
        with ThreadPoolExecutor(max_workers=min(2, self._workers)) as pool:
            try:
                pairs = pool.submit(self.collisions, files, origin_m)
                bodies = pool.submit(self._bodies, files, origin_m, boxes, children)
                return pairs.result(), bodies.result()
            except BaseException:  # the user stops the program: the pool would wait for every child to end by itself
                pool.shutdown(wait=False, cancel_futures=True)
                children.stop()
                raise

    def _bodies(
        self, files: Sequence[str], origin_m: tuple[float, float, float], boxes: Sequence[Box], children: Children
    ) -> Mapping[Ref, Mesh]:
        request = {
            "files": [self._path(file) for file in files],
            "origin_m": list(origin_m),
            "boxes": [[float(part) for part in (*box.low, *box.high)] for box in boxes],
        }
        subject = ", ".join(files)
        reply = run_task("ifc.around", request, subject=subject, limits=self._limits, say=self._say, children=children)
        return bodies_from(files, reply)

    def _path(self, file: str) -> str:
        return file if self._root is None else str(self._root / file)

    def _read_or_faults(self, file: str, children: Children) -> ModelReading | tuple[Fault, ...]:
        def say(text: str) -> None:
            self._say(f"{file}: {text}")

        try:
            request = {"file": self._path(file)}
            reply = run_task("ifc.read", request, subject=file, limits=self._limits, say=say, children=children)
        except InputError as error:
            own = self._path(file)
            return tuple(replace(fault, file=file) if fault.file == own else fault for fault in error.faults)
        return reading_from(file, reply)


def reading_from(file: str, reply: Reply) -> ModelReading:
    """What a child found in a file, as site objects and meshes."""
    value = reply.value
    x, y, z = (float(part) for part in value["origin_m"])
    return ModelReading(
        file=file,
        sha256=str(value["sha256"]),
        schema=str(value["schema"]),
        unit=str(value["unit"]),
        origin_m=(x, y, z),
        storeys=tuple(
            Storey("", one["name"], float(one["elevation_m"]), (one["guid"],), (file,)) for one in value["storeys"]
        ),
        barriers=tuple(_barrier(file, one) for one in value["barriers"]),
        services=tuple(_service(file, one) for one in value["services"]),
        openings=tuple(_opening(file, one) for one in value["openings"]),
        obstacles=tuple(
            Obstacle(Ref(file, one["step"]), one["guid"], one["class"], one["name"], one["storey"], one["predefined"])
            for one in value["obstacles"]
        ),
        joined=tuple((int(a), int(b)) for a, b in value["joined"]),
        meshes=_meshes(reply),
        no_shape={int(step): str(why) for step, why in value["no_shape"]},
        warnings=tuple(str(text) for text in value["warnings"]),
        doubts=tuple(str(text) for text in value["doubts"]),
        north=None if value["north"] is None else _north(file, *value["north"]),
    )


def _north(file: str, x: float, y: float, by: str) -> NorthSaid:
    return NorthSaid(file, float(x), float(y), str(by))


def bodies_from(files: Sequence[str], reply: Reply) -> dict[Ref, Mesh]:
    """The meshes that the child task `ifc.around` found, by element."""
    return {Ref(files[at], step): mesh for (at, step), mesh in _listed(reply, 2)}


def _meshes(reply: Reply) -> dict[int, Mesh]:
    meshes: dict[int, Mesh] = {}
    for (step,), own in _listed(reply, 1):
        meshes[step] = _joined(meshes[step], own) if step in meshes else own
    return meshes


def _listed(reply: Reply, names: int) -> Iterator[tuple[tuple[int, ...], Mesh]]:
    """The meshes of a reply in order, each with the first `names` numbers of its row."""
    points, triangles, items = (reply.arrays[name] for name in ("points", "triangles", "items"))
    at_point = at_triangle = 0
    for row in reply.value["meshes"]:
        point_count, triangle_count = row[names:]
        mesh = Mesh.of(
            points[at_point : at_point + point_count],
            triangles[at_triangle : at_triangle + triangle_count],
            items[at_triangle : at_triangle + triangle_count],
        )
        at_point += point_count
        at_triangle += triangle_count
        yield tuple(int(number) for number in row[:names]), mesh


def _joined(first: Mesh, second: Mesh) -> Mesh:
    """Two meshes as one with more bodies."""
    return Mesh(
        np.concatenate([first.points, second.points]),
        np.concatenate([first.triangles, second.triangles + len(first.points)]),
        np.concatenate([first.bodies, second.bodies + int(first.bodies.max(initial=0)) + 1]),
    )


def _barrier(file: str, one: Json) -> Barrier:
    return Barrier(
        ref=Ref(file, int(one["step"])),
        guid=one["guid"],
        kind=BarrierKind(one["kind"]),
        ifc_class=one["class"],
        name=one["name"],
        type_name=one["type_name"],
        ratings=tuple(RatingText(text, where) for text, where in one["ratings"]),
        material_layers=tuple(MaterialLayer(name, float(thickness)) for name, thickness in one["layers"]),
        layer_axis=one["layer_axis"],
        storey=one["storey"],
    )


def _service(file: str, one: Json) -> ServiceElement:
    return ServiceElement(
        ref=Ref(file, int(one["step"])),
        guid=one["guid"],
        service=Service(one["service"]),
        part=Part(one["part"]),
        ifc_class=one["class"],
        name=one["name"],
        type_name=one["type_name"],
        predefined=one["predefined"],
        untyped=bool(one["untyped"]),
        systems=tuple(one["systems"]),
        ports=tuple(Port(int(step), float(x), float(y), float(z), str(flow)) for step, x, y, z, flow in one["ports"]),
        stated_size=tuple(float(side) for side in one["stated_size"]),
        insulation_mm=None if one["insulation_mm"] is None else float(one["insulation_mm"]),
        properties=tuple(Property(where, name, text) for where, name, text in one["properties"]),
        storey=one["storey"],
    )


def _opening(file: str, one: Json) -> OpeningElement:
    return OpeningElement(
        ref=Ref(file, int(one["step"])),
        guid=one["guid"],
        host=Ref(file, int(one["host"])),
        name=one["name"],
        filled_by=one["filled_by"],
        filled_class=one["filled_class"],
    )
