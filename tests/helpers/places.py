# SPDX-License-Identifier: Apache-2.0
"""Find the places of small test models in this very process: many small cases need no child each."""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from brattice.adapters.ifc.around_task import bodies_around
from brattice.adapters.ifc.collide_task import collide_models
from brattice.adapters.ifc.read_task import read_model
from brattice.adapters.ifc.source import bodies_from, reading_from
from brattice.adapters.rows import shipped_book
from brattice.building.model import ModelReading, Ref
from brattice.building.place import BuildingModel, Place, PlaceKind
from brattice.classes import ClassSteps
from brattice.geometry.mesh import Box, Mesh
from brattice.usecases.find_places import find_places


def _silent(_text: str) -> None:
    return None


class ModelsHere:
    """Reads models without a child process; only for files that a test made itself."""

    def read(self, files: Sequence[str]) -> tuple[ModelReading, ...]:
        readings = []
        for file in files:
            with tempfile.TemporaryDirectory() as folder:
                readings.append(reading_from(file, read_model({"file": file}, Path(folder), _silent)))
        return tuple(readings)

    def collisions(self, files: Sequence[str], origin_m: tuple[float, float, float]) -> frozenset[tuple[Ref, Ref]]:
        with tempfile.TemporaryDirectory() as folder:
            request = {"files": list(files), "origin_m": list(origin_m)}
            pairs = collide_models(request, Path(folder), _silent).value["pairs"]
        return frozenset((Ref(files[a], a_step), Ref(files[b], b_step)) for a, a_step, b, b_step in pairs)

    def collisions_and_bodies(
        self, files: Sequence[str], origin_m: tuple[float, float, float], boxes: Sequence[Box]
    ) -> tuple[frozenset[tuple[Ref, Ref]], Mapping[Ref, Mesh]]:
        with tempfile.TemporaryDirectory() as folder:
            limits = [[float(part) for part in (*box.low, *box.high)] for box in boxes]
            request = {"files": list(files), "origin_m": list(origin_m), "boxes": limits}
            reply = bodies_around(request, Path(folder), _silent)
        return self.collisions(files, origin_m), bodies_from(files, reply)


@functools.cache
def class_steps() -> ClassSteps:
    """The class steps of the shipped rows."""
    return ClassSteps.from_book(shipped_book())


def building(*files: str, reach_mm: float | None = None) -> BuildingModel:
    """The building that files describe."""
    return find_places(files, ModelsHere(), class_steps(), reach_mm=reach_mm)


def penetrations(model: BuildingModel) -> list[Place]:
    """The places that are penetrations."""
    return [place for place in model.places if place.kind is PlaceKind.PENETRATION]


def only(model: BuildingModel) -> Place:
    """The one place there is."""
    assert len(model.places) == 1, [(place.kind, place.queries, place.names) for place in model.places]
    return model.places[0]


def reasons(place: Place) -> list[str]:
    """The reasons of a place's queries."""
    return [query.reason.value for query in place.queries]
