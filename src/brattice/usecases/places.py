# SPDX-License-Identifier: Apache-2.0
"""What the models found, in the words that merging uses: places as facts, plans, and the other trades' services."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from brattice.building.detail_facts import MODEL_LEVEL
from brattice.building.model import BarrierKind
from brattice.building.model_rating import RatingReading
from brattice.building.near_sides import SIDES, least_edge, side_of_edge, side_of_place
from brattice.building.penetration import BarrierPlane, Separation, Sides, Size
from brattice.building.place import BuildingModel, DamperAt, Layer, OpeningAt, Place, PlaceKind, Shape
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import (
    MountingPosition,
    OpeningShape,
    Orientation,
    SeparationFill,
    Service,
    Surface,
)
from brattice.findings import Fact, Known, Missing, Origin, Party, Unknown
from brattice.quantities import Degrees, Mm, settled_mm, size_text
from brattice.usecases.job import Job
from brattice.usecases.merge import ModelFacts
from brattice.usecases.modelled_dampers import ModelledDamper, modelled_dampers
from brattice.usecases.questions import question_of
from brattice.usecases.report_model import OtherService, PlanBarrier, StoreyPlan

__all__ = ["NEAR_MM", "FromModels", "from_models"]

NEAR_MM = 1500.0
"""Neighbours and edges within this are taken up as distances to be judged [mm]: as far as models are looked through,
and farther than any distance that rows or documents may ask, with room for flanges and casings on both sides. Our own
policy."""

_AS_NEAR_MM = 1.0
"""What is farther by no more than this is as near: on which side the nearest lies is then not certain [mm]. Our own
policy."""

_FACE_MM = 5.0
"""A damper whose casing ends within this of the barrier's face counts as on the face [mm]. Our own policy."""


_SAYS_A_TIME = re.compile(r"\d|\b(?:hours?|hrs?|minutes?|mins?|half|one|two|three|four)\b", re.IGNORECASE)


@dataclass(frozen=True)
class FromModels:
    """What a job takes from its models; `lacks` is what they lack altogether, so that finding nothing says nothing.

    `dampers` are all that are modelled, also where no place is.
    """

    places: tuple[ModelFacts, ...]
    other_services: tuple[OtherService, ...]
    plans: tuple[StoreyPlan, ...]
    warnings: tuple[str, ...]
    lacks: tuple[str, ...] = ()
    dampers: tuple[ModelledDamper, ...] = ()


def _rating(reading: RatingReading, job: Job, origin: Origin) -> tuple[Known[Rating] | None, Known[str] | None]:
    """The rating that a text gives: by the job's map first, else where it is certain; else the text, if it says a time.

    A text without any figure or word of time is a placeholder and says nothing.
    """
    text = reading.text.strip()
    mapped = {given.strip().casefold(): rating for given, rating in job.ratings}.get(text.casefold())
    if mapped is not None:
        return Known(mapped, replace(origin, place=f"{origin.place}: {text!r} as brattice.toml maps it")), None
    if reading.minutes is not None:
        return Known(Rating(reading.minutes, reading.insulation_min, text), origin), None
    if _SAYS_A_TIME.search(text):
        return None, Known(text, origin)
    return None, None


def _size(place: Place) -> Size | None:
    if place.width_mm is None:
        return None
    if place.shape is Shape.ROUND:
        return Size(Mm(place.width_mm))
    if place.shape is Shape.RECTANGULAR and place.height_mm is not None:
        return Size(Mm(place.width_mm), Mm(place.height_mm))
    return None


def _position(damper: DamperAt, thickness_mm: float) -> MountingPosition:
    if damper.in_barrier:
        return MountingPosition.IN_BARRIER
    clear = abs(damper.offset_mm) - (thickness_mm + damper.length_mm) / 2
    return MountingPosition.ON_FACE if clear <= _FACE_MM else MountingPosition.REMOTE


@dataclass(frozen=True)
class _Hole:
    """The modelled opening of a place; `reach_mm` is how far its farthest corner is from the duct's outline at most."""

    guid: str
    reach_mm: float


def _hole(opening: OpeningAt) -> _Hole:
    sides = opening.clearance
    across, upwards = max(sides.left, sides.right, 0.0), max(sides.top, sides.bottom, 0.0)
    return _Hole(opening.guid, math.hypot(across, upwards))


def _between(
    place: Place, other: str, clear_mm: float, openings: Mapping[str, _Hole], origin: Origin
) -> Fact[SeparationFill]:
    """Wall lies between two ducts whose own modelled openings can't reach each other; else nobody knows what does."""
    mine, theirs = openings.get(place.key), openings.get(other)
    if mine and theirs and mine.guid != theirs.guid and clear_mm > mine.reach_mm + theirs.reach_mm:
        return Known(SeparationFill.SUPPORTING_CONSTRUCTION, origin)
    text = f"What lies between the ducts of {place.key} and {other}: wall or batt"
    return Unknown(Missing(f"place/{place.key}/separation-fill", text, Party.FIRESTOPPER))


def _surface(place: Place) -> Surface:
    """From which surface the distances of a place are: the damper's casing where one stands in its only layer.

    Where a damper stands in one of several layers the nearest surface may be either: the duct claims less.
    """
    in_it = place.damper is not None and place.damper.in_barrier and len(place.layers) == 1
    return Surface.CASING if in_it else Surface.DUCT


def _separations(
    place: Place,
    openings: Mapping[str, _Hole],
    surfaces: Mapping[str, Surface],
    by_key: Mapping[str, Place],
    origin: Origin,
) -> tuple[Separation, ...]:
    mine = _surface(place)
    found = [
        Separation(
            item.key,
            Known(Mm(item.clear_mm), origin),
            mine,
            surfaces.get(item.key, Surface.DUCT),
            _between(place, item.key, item.clear_mm, openings, origin),
            side_of_place(place, by_key[item.key]) if item.key in by_key else "",
        )
        for item in place.neighbours
        if item.service in (Service.DUCT, Service.UNKNOWN) and item.clear_mm <= NEAR_MM
    ]
    solid = Known(SeparationFill.SUPPORTING_CONSTRUCTION, origin)
    for to, least, side in _construction(place):
        if least <= NEAR_MM:
            found.append(Separation(to, Known(Mm(least), origin), mine, Surface.FACE, solid, side))
    return tuple(found)


def _construction(place: Place) -> tuple[tuple[str, float, str], ...]:
    """The least distance to adjoining construction of each kind: to the barrier's own edges, and to what meets it; and
    on which side that is, "" where it is not certain.
    """
    in_wall = place.orientation is BarrierKind.WALL
    distances: dict[str, list[tuple[float, str]]] = {}
    edges = place.edges
    if edges is not None:
        for kind, names in (("wall", SIDES[:2]), ("floor", SIDES[2:])) if in_wall else (("wall", SIDES),):
            distances[kind] = [(least_edge(edges, names), side_of_edge(edges, names))]
    for item in place.adjoining:
        is_wall = item.kind is BarrierKind.WALL or not in_wall
        distances.setdefault("wall" if is_wall else "floor", []).append((item.clear_mm, item.side))
    nearest = []
    for kind, found in sorted(distances.items()):
        least = min(found)[0]
        sides = {side for clear, side in found if clear - least <= _AS_NEAR_MM}
        nearest.append((kind, least, sides.pop() if len(sides) == 1 else ""))
    return tuple(nearest)


def _other_services(place: Place, origin: Origin) -> Known[bool] | None:
    """Whether a pipe or cable passes within the duct's own modelled opening, as far as the model shows it."""
    if place.opening is None:
        return None
    sides = place.opening.clearance
    reach = max(sides.left, sides.right, sides.top, sides.bottom)
    near = [item for item in place.neighbours if item.service is not Service.DUCT and item.clear_mm < reach]
    return Known(True, origin) if near else None


def _nearest_other(place: Place, origin: Origin) -> Known[Mm] | None:
    """The clear distance to the nearest pipe, cable or unknown service that passes the same barrier."""
    clear = [item.clear_mm for item in place.neighbours if item.service is not Service.DUCT]
    return Known(Mm(min(clear)), origin) if clear else None


def _framed_gaps(opening: OpeningAt, origin: Origin) -> Known[Sides] | None:
    """The gaps of the modelled opening from the duct itself, also where a damper's casing stands in the opening."""
    gaps = opening.clearance_of_duct
    if gaps is None:
        return None
    return Known(Sides(Mm(gaps.left), Mm(gaps.right), Mm(gaps.top), Mm(gaps.bottom)), origin)


def _opening_doubt(place: Place) -> str:
    """Why the modelled opening is none for the duct through the whole barrier; "" where it is, or none is modelled."""
    own = [layer.opening for layer in place.layers if layer.opening is not None and not layer.opening.filled_by]
    recesses = [opening for opening in own if not opening.goes_through]
    if recesses:
        return f"{recesses[0].guid} is modelled as a recess and stops inside the wall or floor."
    if own and len(own) < len(place.layers):
        return f"{own[0].guid} is cut through {len(own)} of the {len(place.layers)} layers that the duct passes."
    return ""


def _centre_above_floor(place: Place, level_m: float | None, origin: Origin) -> Known[Mm] | None:
    """The height of the centre above the level of its storey [mm]: of a place in a wall alone, and not below the level.

    A model's level may be that of the finished floor: the origin says what it counts from.
    """
    if place.centre_m is None or level_m is None or place.orientation is not BarrierKind.WALL:
        return None
    above = round((place.centre_m[2] - level_m) * 1000.0, 3)
    counted = f"{origin.place}: {MODEL_LEVEL} of {place.storey}, which may be the finished floor"
    return Known(Mm(above), replace(origin, place=counted)) if above >= 0 and not place.storey_said else None


def _plane(place: Place) -> BarrierPlane | None:
    """The plane of the barrier, and how far its own edges are from the centre: from what passes, and half of that."""
    if place.right is None or place.up is None:
        return None
    edges, outline = place.edges, place.outline_m
    if edges is None or not outline:
        return BarrierPlane(place.right, place.up)
    across, upwards = ((max(part) - min(part)) * 500.0 for part in zip(*outline, strict=True))
    far = (edges.left + across, edges.right + across, edges.top + upwards, edges.bottom + upwards)
    left, right, top, bottom = (settled_mm(item) for item in far)
    return BarrierPlane(place.right, place.up, Sides(left, right, top, bottom))


def _facts(
    place: Place,
    job: Job,
    files: Mapping[str, str],
    openings: Mapping[str, _Hole],
    surfaces: Mapping[str, Surface],
    levels: Mapping[str, float],
    by_key: Mapping[str, Place],
) -> ModelFacts:
    layer: Layer | None = max(place.layers, key=lambda item: (item.thickness_mm, item.barrier_guid), default=None)
    barrier_guid = layer.barrier_guid if layer else ""
    wall = Origin(files.get(barrier_guid, "models"), f"GlobalId {barrier_guid}")
    duct = Origin(files.get(place.main_guid, "models"), f"GlobalId {place.main_guid}")
    rating, unread = _rating(layer.reading, job, wall) if layer else (None, None)
    others = [
        _rating(item.reading, job, Origin(files.get(item.barrier_guid, "models"), f"GlobalId {item.barrier_guid}"))
        for item in place.layers
        if item is not layer
    ]
    types = {name.casefold(): code for name, code in job.model_wall_types}
    code = types.get(layer.type_name.casefold()) if layer else None
    size = _size(place)
    opening = None if place.opening is None or place.opening.filled_by else place.opening
    framed = None
    if opening is not None and opening.goes_through and opening.shape in {Shape.ROUND, Shape.RECTANGULAR}:
        height = None if opening.shape is Shape.ROUND else Mm(opening.height_mm)
        framed = Known(Size(Mm(opening.width_mm), height), Origin(wall.file, f"GlobalId {opening.guid}"))
    damper = place.damper
    orientation = None
    if place.orientation is not None:
        orientation = Orientation.WALL if place.orientation is BarrierKind.WALL else Orientation.FLOOR
    dampers = (damper.guid,) if damper is not None else ()
    return ModelFacts(
        key=place.key,
        storey=Known(place.storey, duct) if place.storey else None,
        centre_m=place.centre_m,
        orientation=Known(orientation, wall) if orientation else None,
        wall_type_code=Known(code, wall) if code else None,
        thickness_mm=Known(Mm(layer.thickness_mm), wall) if layer else None,
        rating=rating,
        rating_unread=unread,
        service=place.service,
        size=Known(size, duct) if size else None,
        angle_deg=Known(Degrees(place.angle_deg), duct) if place.angle_deg is not None else None,
        damper_present=Known(True, Origin(duct.file, f"GlobalId {damper.guid}")) if damper else None,
        blade_offset_mm=None,  # a damper's centre is not its blade line; no model says where that is
        position=Known(_position(damper, place.thickness_mm), duct) if damper and layer else None,
        opening_shape=(
            Known(OpeningShape.ROUND if framed.value.is_round else OpeningShape.RECTANGULAR, framed.origin)
            if framed
            else None
        ),
        framed=framed,
        framed_gaps=_framed_gaps(opening, framed.origin) if framed and opening else None,
        other_services=_other_services(place, duct),
        separations=_separations(place, openings, surfaces, by_key, duct),
        barrier_guids=tuple(item.barrier_guid for item in place.layers),
        duct_guids=tuple(guid for guid in place.element_guids if guid not in dampers),
        damper_guids=dampers,
        opening_guid=opening.guid if opening else "",
        queries=tuple(question_of(query) for query in place.queries),
        to_be_settled=place.kind is PlaceKind.QUERY,
        storey_mismatch=(
            f"By height it is on {place.storey}, the model files it under {place.storey_said}."
            if place.storey_said
            else ""
        ),
        other_ratings=tuple(known for known, _ in others if known),
        other_ratings_unread=tuple(text for _, text in others if text),
        opening_doubt=_opening_doubt(place),
        type_name=layer.type_name if layer else "",
        nearest_other_mm=_nearest_other(place, duct),
        centre_above_floor_mm=_centre_above_floor(place, levels.get(place.storey_key), duct),
        plane=_plane(place),
    )


def _plans(model: BuildingModel, job: Job, wall_types: Mapping[str, WallType]) -> tuple[StoreyPlan, ...]:
    codes = {name.casefold(): code for name, code in job.model_wall_types}
    plans = []
    for storey in model.storeys:
        barriers = []
        for barrier in model.barriers:
            rings = tuple(
                ring for outline in barrier.outlines if outline.storey == storey.key for ring in outline.rings
            )
            if not rings:
                continue
            reading = barrier.reading
            rating, _ = _rating(reading, job, Origin(barrier.ref.file))
            sheet = wall_types.get(codes.get(barrier.type_name.casefold(), ""))
            if rating is None and sheet is not None and isinstance(sheet.rating, Known):
                rating = sheet.rating
            barriers.append(
                PlanBarrier(
                    barrier.guid,
                    barrier.name,
                    rating.value.text if rating else reading.text,
                    rating.value.integrity_min if rating else None,
                    barrier.kind is not BarrierKind.WALL,
                    rings,
                )
            )
        ducts = tuple(
            ring
            for service in model.services
            if service.service is Service.DUCT
            for outline in service.outlines
            if outline.storey == storey.key
            for ring in outline.rings
        )
        plans.append(StoreyPlan(storey.name, storey.elevation_m, tuple(barriers), ducts, (), north=model.north))
    return tuple(sorted(plans, key=lambda plan: (plan.elevation_m, plan.storey)))


def from_models(model: BuildingModel, job: Job, wall_types: Mapping[str, WallType]) -> FromModels:
    """The places of the models that are or may be penetrations of ducts, as facts; the rest beside them."""
    files = {service.guid: service.ref.file for service in model.services}
    files.update({barrier.guid: barrier.ref.file for barrier in model.barriers})
    openings = {
        place.key: _hole(place.opening)
        for place in model.places
        if place.opening is not None and place.opening.goes_through and not place.opening.filled_by
    }
    surfaces = {place.key: _surface(place) for place in model.places}
    by_key = {place.key: place for place in model.places}
    levels = {storey.key: storey.elevation_m for storey in model.storeys}
    ducts = [place for place in model.places if place.kind is not PlaceKind.OTHER_SERVICE]
    others = [place for place in model.places if place.kind is PlaceKind.OTHER_SERVICE]
    return FromModels(
        places=tuple(
            replace(_facts(place, job, files, openings, surfaces, levels, by_key), around=model.around.get(place.key))
            for place in ducts
        ),
        other_services=tuple(
            sorted(
                OtherService(
                    place.key,
                    place.storey,
                    str(place.service),
                    place.element_guids,
                    tuple(layer.barrier_guid for layer in place.layers),
                    size_text(place.width_mm, place.height_mm) if place.width_mm is not None else "",
                )
                for place in others
            )
        ),
        plans=_plans(model, job, wall_types),
        warnings=model.warnings,
        lacks=model.lacks,
        dampers=modelled_dampers(model),
    )
