# SPDX-License-Identifier: Apache-2.0
"""The way from one site to its places: pieces, crossings, assemblies, and everything that is only a query."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from brattice.building.cuts import legs_through
from brattice.building.grouping import Assembly, Crossing, assemblies_of, crossings_of
from brattice.building.model import Barrier, BarrierKind, Part, Ref
from brattice.building.model_rating import RatingReader, RatingReading
from brattice.building.pieces import EXTENSION_MM, Contact, Manner, Piece, body_contact, pieces_of
from brattice.building.place import QueryReason
from brattice.building.runs import Element, Runs, is_sure, runs_of
from brattice.building.site import Site
from brattice.building.words import Service
from brattice.geometry.mesh import Mesh, near_pairs
from brattice.geometry.solid import Solid
from brattice.geometry.tube import HowFound, Tube

__all__ = ["Found", "Walls", "find"]

_WORDS_OF_SERVICES = ("duct", "damper", "flue", "pipe", "cable")


@dataclass(frozen=True, eq=False)
class Walls:
    """The barriers that have a shape, with their solids made when first asked for."""

    barriers: tuple[Barrier, ...]
    meshes: tuple[Mesh, ...]
    _solids: dict[int, Solid] = field(default_factory=dict, repr=False)

    def solid(self, at: int) -> Solid:
        """The solid of a barrier by its place in the order."""
        if at not in self._solids:
            self._solids[at] = Solid.of(self.meshes[at])
        return self._solids[at]


@dataclass(frozen=True, eq=False)
class Found:
    """All that was found: assemblies that pass, single crossings and contacts that are to be settled."""

    site: Site
    runs: Runs
    walls: Walls
    assemblies: tuple[Assembly, ...]
    unsettled: tuple[tuple[Crossing, QueryReason], ...]
    contacts: tuple[Contact, ...]
    ratings: Mapping[Ref, RatingReading]
    unexplained: tuple[tuple[Ref, Ref], ...]
    """Through crossings that the kernel's collision test does not know (baked holes aside)."""


def find(site: Site, collisions: frozenset[tuple[Ref, Ref]], reader: RatingReader) -> Found:
    """Find every place where a service meets a barrier.

    `collisions` are the pairs (barrier, service) whose gross solids meet by the kernel's own test; a duct whose
    body meets a barrier while its centreline stays outside is only looked at when the kernel says so. `reader` reads
    the rating texts of the barriers.
    """
    runs = runs_of(site)
    shaped = [barrier for barrier in site.barriers if barrier.ref in site.meshes]
    walls = Walls(tuple(shaped), tuple(site.meshes[barrier.ref] for barrier in shaped))
    considered = [element for element in runs.elements if _may_pass(element, site)]
    pairs = near_pairs([element.box for element in considered], [mesh.box for mesh in walls.meshes], EXTENSION_MM + 1.0)
    pieces: dict[int, list[Piece]] = {}
    contacts: list[Contact] = []
    for i, at in pairs:
        element, barrier = considered[i], walls.barriers[at]
        found = _pieces(element, at, walls, runs, (barrier.ref, element.service.ref) in collisions)
        pieces.setdefault(at, []).extend(found)
        if not found and _is_run(element) and (barrier.ref, element.service.ref) in collisions:
            contact = body_contact(element, at, walls.solid(at))
            if contact is not None:
                contacts.append(contact)
    crossings = [crossing for at in sorted(pieces) for crossing in crossings_of(pieces[at], runs)]
    through = [crossing for crossing in crossings if crossing.is_through]
    unsettled = [
        (crossing, _why_not_through(crossing))
        for crossing in crossings
        if not crossing.is_through and any(_is_run(piece.element) for piece in crossing.pieces)
    ]
    return Found(
        site=site,
        runs=runs,
        walls=walls,
        assemblies=tuple(assemblies_of(through)),
        unsettled=tuple(unsettled),
        contacts=tuple(contacts),
        ratings={
            barrier.ref: reader.read_all(tuple(rating.text for rating in barrier.ratings)) for barrier in site.barriers
        },
        unexplained=_unexplained(through, walls, collisions),
    )


def _pieces(element: Element, at: int, walls: Walls, runs: Runs, meets: bool) -> list[Piece]:
    """The pieces of an element at a barrier; by cuts where its centreline is only guessed and its body meets it."""
    barrier, solid = walls.barriers[at], walls.solid(at)
    if meets and (element.tube is None or element.tube.how in {HowFound.UNSURE, HowFound.LONGEST}):
        legs = legs_through(element.mesh, solid, barrier.kind)
        if legs:
            here = Element(element.index, element.service, element.mesh, Tube(legs, HowFound.CUTS))
            return pieces_of(here, at, barrier, solid, frozenset())
    return pieces_of(element, at, barrier, solid, runs.free_ends)


def _may_pass(element: Element, site: Site) -> bool:
    """Whether an element is looked at: a proxy only when something says that it may be a service.

    That is its name, a port or a system; or that it runs like a duct in a file that holds services.
    """
    service = element.service
    if service.part is not Part.PROXY:
        return True
    words = f"{service.name} {service.type_name}".lower()
    if service.ports or service.systems or any(word in words for word in _WORDS_OF_SERVICES):
        return True
    return is_sure(element) and service.ref.file in _files_with_services(site)


def _files_with_services(site: Site) -> frozenset[str]:
    return frozenset(service.ref.file for service in site.services if service.part is not Part.PROXY)


def _is_run(element: Element) -> bool:
    """Whether an element is a stretch of a run of ducts; a terminal that touches a wall is no news."""
    service = element.service
    return service.service in {Service.DUCT, Service.UNKNOWN} and service.part in {
        Part.SEGMENT,
        Part.FLEXIBLE,
        Part.FITTING,
        Part.DAMPER,
    }


def _why_not_through(crossing: Crossing) -> QueryReason:
    manners = {piece.manner for piece in crossing.pieces}
    if manners == {Manner.SHORT}:
        return QueryReason.GAP_AT_WALL
    if Manner.ACROSS in manners:
        return QueryReason.ENDS_INSIDE
    if Manner.ALONG in manners:
        return QueryReason.ALONG
    return QueryReason.CLIPS_EDGE


def _unexplained(
    through: list[Crossing], walls: Walls, collisions: frozenset[tuple[Ref, Ref]]
) -> tuple[tuple[Ref, Ref], ...]:
    missing = []
    for crossing in through:
        barrier = walls.barriers[crossing.barrier].ref
        known = any((barrier, piece.element.service.ref) in collisions for piece in crossing.pieces)
        baked = any(piece.inside.baked for piece in crossing.pieces)
        if not known and not baked:
            missing.append((barrier, crossing.main.element.service.ref))
    return tuple(sorted(missing))


def lies_flat(barrier: Barrier) -> bool:
    """Whether a barrier is a floor or a roof."""
    return barrier.kind is not BarrierKind.WALL
