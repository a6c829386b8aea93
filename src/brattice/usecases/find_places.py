# SPDX-License-Identifier: Apache-2.0
"""Find in the models of a building every place where a service passes a barrier, or may."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Protocol

from brattice.building.finding_places import Found, find
from brattice.building.looking_round import crossing_boxes, surroundings_of
from brattice.building.model import ModelReading, Ref
from brattice.building.model_rating import RatingReader
from brattice.building.open_spaces import drafts_beside_barriers
from brattice.building.place import BuildingModel
from brattice.building.places import finished, places_of
from brattice.building.plans import with_outlines
from brattice.building.site import one_site
from brattice.building.words import Service
from brattice.classes import ClassSteps
from brattice.geometry.mesh import Box, Mesh

__all__ = ["Models", "find_places"]


class Models(Protocol):
    """What reads model files for us, each in a process of its own."""

    def read(self, files: Sequence[str]) -> tuple[ModelReading, ...]:
        """Every file, read; raises `InputError` with every fault of every file."""

    def collisions(self, files: Sequence[str], origin_m: tuple[float, float, float]) -> frozenset[tuple[Ref, Ref]]:
        """Pairs (barrier, service element) whose gross solids meet, by the kernel's own test."""

    def collisions_and_bodies(
        self, files: Sequence[str], origin_m: tuple[float, float, float], boxes: Sequence[Box]
    ) -> tuple[frozenset[tuple[Ref, Ref]], Mapping[Ref, Mesh]]:
        """The same pairs, and the meshes of all that is neither barrier nor service and meets a box [mm]."""


def find_places(
    files: Sequence[str],
    models: Models,
    steps: ClassSteps,
    say: Callable[[str], None] | None = None,
    *,
    reach_mm: float | None = None,
) -> BuildingModel:
    """The building that the files describe, with its places; neither depends on the order of files or elements.

    Parameters
    ----------
    files : paths of the models, as the user gave them
    models : reads them
    steps : the fire class steps that exist, by which rating texts are read
    say : gets a line of progress
    reach_mm : how far round each place what stands there is kept [mm]; None: nobody asks what stands there

    Raises
    ------
    InputError : a file can't be used
    """
    tell = say or (lambda _text: None)
    site = one_site(models.read(files))
    both = any(barrier.ref in site.meshes for barrier in site.barriers) and any(
        service.ref in site.meshes for service in site.services
    )
    collisions: frozenset[tuple[Ref, Ref]] = frozenset()
    bodies: Mapping[Ref, Mesh] = {}
    if both and reach_mm is not None:
        boxes = crossing_boxes(site.barriers, site.services, site.meshes, reach_mm)
        collisions, bodies = models.collisions_and_bodies(list(site.files), site.origin_m, boxes)
    elif both:
        collisions = models.collisions(list(site.files), site.origin_m)
    tell(f"{len(site.services)} service elements against {len(site.barriers)} barriers")
    found = find(site, collisions, RatingReader(steps))
    places = finished([*places_of(found), *drafts_beside_barriers(found)], site)
    warnings = [*site.warnings]
    warnings.extend(
        f"the kernel's collision test does not know a crossing that the centreline shows: #{barrier.step} in "
        f"{barrier.file} and #{service.step} in {service.file}; look at it in the model"
        for barrier, service in found.unexplained
    )
    barriers, services = with_outlines(found)
    return BuildingModel(
        files=site.files,
        storeys=site.storeys,
        barriers=barriers,
        services=services,
        obstacles=site.obstacles,
        places=places,
        warnings=tuple(warnings),
        lacks=tuple(_lacks(found)),
        north=site.north,
        around={} if reach_mm is None else surroundings_of(found, places, bodies, reach_mm),
    )


def _lacks(found: Found) -> Iterator[str]:
    """What the models lack altogether or leave in doubt, so that finding nothing says nothing."""
    yield from found.site.doubts
    if not found.walls.barriers:
        yield "the models hold no wall, floor or roof with a shape: there is nothing that a duct could pass"
    if not any(element.service.service is not Service.UNKNOWN for element in found.runs.elements):
        yield "the models hold no duct, pipe or cable with a shape: there is nothing that could pass a barrier"
