# SPDX-License-Identifier: Apache-2.0
"""A place: where something passes a barrier (or may), found in the models, as plain frozen data.

Lengths are millimetres, points metres in the world coordinates of the models. `right` and `up` lie in the
barrier's plane: in walls and sloping roofs `right` is level, in floors it is model x (and `up` model y); left,
right, top and bottom are seen along `normal`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from brattice.building.model import (
    Barrier,
    BarrierKind,
    MaterialLayer,
    Obstacle,
    Property,
    RatingText,
    ServiceElement,
    Storey,
)
from brattice.building.model_rating import RatingReading
from brattice.building.north import NO_NORTH, North
from brattice.building.surroundings import Surroundings
from brattice.building.words import Service

__all__ = [
    "Adjoining",
    "BuildingModel",
    "DamperAt",
    "Layer",
    "Neighbour",
    "OpeningAt",
    "Place",
    "PlaceKind",
    "PlaceQuery",
    "QueryReason",
    "Shape",
    "SidesMm",
    "SizeFrom",
]

Point = tuple[float, float, float]


class PlaceKind(StrEnum):
    """What a place is: certain, to be settled, or of another trade."""

    PENETRATION = "penetration"
    QUERY = "query"
    OTHER_SERVICE = "other-service"


class QueryReason(StrEnum):
    """Why a place is not certain: the closed list."""

    ENDS_INSIDE = "ends-inside"
    CLIPS_EDGE = "clips-edge"
    ALONG = "along"
    THROUGH_FILLED_OPENING = "through-filled-opening"
    GAP_AT_WALL = "gap-at-wall"
    UNTYPED = "untyped"
    PROXY = "proxy"
    NO_GEOMETRY = "no-geometry"
    HOLE_IN_MESH = "hole-in-mesh"
    NO_SLAB_MODELLED = "no-slab-modelled"
    PASSES_OVER_OR_BESIDE = "passes-over-or-beside"


class Shape(StrEnum):
    """The shape of a duct, square to its axis."""

    ROUND = "round"
    RECTANGULAR = "rectangular"
    OVAL = "oval"
    OTHER = "other"


class SizeFrom(StrEnum):
    """Where the size of a place was taken from."""

    DUCT = "the duct in the barrier"
    JOINED_DUCT = "the duct that the damper is joined to"
    STATED = "the size that the damper states"
    CASING = "the damper's casing: no duct is joined to it"


@dataclass(frozen=True, order=True)
class SidesMm:
    """One length a side [mm], seen along the normal; below 0 where something sticks out."""

    left: float
    right: float
    top: float
    bottom: float

    @property
    def least(self) -> float:
        """The smallest of the four [mm]."""
        return min(self.left, self.right, self.top, self.bottom)


@dataclass(frozen=True, order=True)
class PlaceQuery:
    """What is to be settled: the reason of the closed list, in words, and the barriers that it is about."""

    reason: QueryReason
    text: str
    barrier_guids: tuple[str, ...] = ()


@dataclass(frozen=True)
class OpeningAt:
    """The modelled opening that the duct passes.

    `clearance` is from the outline of all that passes (a damper's casing with it) to the opening's edge, a side;
    `clearance_of_duct` is from the duct itself, where that can be told. `goes_through` is False for a recess.
    `share_inside` is how much of that outline lies in the opening.
    """

    guid: str
    name: str
    shape: Shape
    width_mm: float
    height_mm: float
    clearance: SidesMm
    goes_through: bool
    share_inside: float
    filled_by: str = ""
    filled_class: str = ""
    clearance_of_duct: SidesMm | None = None


@dataclass(frozen=True, order=True)
class Adjoining:
    """Another barrier that meets this one beside the duct, in its field or at its edge: the clear distance between
    the duct and where it meets [mm], and on which side ("left", "right", "above", "below", "" where not certain).
    """

    clear_mm: float
    kind: BarrierKind
    barrier_guid: str
    side: str = ""


@dataclass(frozen=True)
class Layer:
    """One barrier of the place. `edges` are from the duct to the barrier's edges, level and upright through the
    duct's centre; `nearest_edge_mm` is the least distance to any edge (None where the duct passes no edge-bound face).
    `adjoining` are the other barriers that meet it near by, nearest first.
    """

    barrier_guid: str
    kind: BarrierKind
    ifc_class: str
    name: str
    type_name: str
    thickness_mm: float
    centre_m: Point | None
    material_layers: tuple[MaterialLayer, ...]
    ratings: tuple[RatingText, ...]
    reading: RatingReading
    edges: SidesMm | None
    nearest_edge_mm: float | None
    opening: OpeningAt | None
    adjoining: tuple[Adjoining, ...] = ()

    @property
    def rating_text(self) -> str:
        """What the model says of its rating, as written; "" where it says nothing."""
        return self.reading.text


@dataclass(frozen=True)
class DamperAt:
    """The damper of a place. `offset_mm` is from the barrier's centre plane to the damper's centre, along the axis
    (positive with the place's axis). `in_barrier` says whether it stands in the barrier or only near it on the run.
    """

    guid: str
    name: str
    type_name: str
    predefined: str
    shape: Shape
    casing_width_mm: float
    casing_height_mm: float | None
    length_mm: float
    offset_mm: float
    in_barrier: bool
    properties: tuple[Property, ...]


@dataclass(frozen=True, order=True)
class Neighbour:
    """What passes the same barrier near by, and the clear distance between the two outlines there [mm]."""

    clear_mm: float
    key: str
    service: Service
    element_guids: tuple[str, ...]


@dataclass(frozen=True)
class Place:
    """Where one run of ducts (or another service) passes a barrier, or may.

    `layers` are the barriers that lie on each other here, in order along `axis`; `element_guids` likewise.
    `centre_m` is the middle of the thickest layer's crossing. `height_mm` is None for a round duct. `storey` is the
    storey by height; `storey_said` what the model's containment says where it differs ("" where it does not).
    `seen_from` is the middle between where the run comes in at the first layer and goes out at the last.
    """

    key: str
    kind: PlaceKind
    service: Service
    orientation: BarrierKind | None
    storey: str
    storey_key: str
    storey_said: str
    layers: tuple[Layer, ...]
    element_guids: tuple[str, ...]
    main_guid: str
    shape: Shape | None
    width_mm: float | None
    height_mm: float | None
    size_from: SizeFrom
    size_note: str
    angle_deg: float | None
    thickness_mm: float
    centre_m: Point | None
    middle_m: Point | None
    axis: Point | None
    normal: Point | None
    right: Point | None
    up: Point | None
    outline_m: tuple[tuple[float, float], ...]
    neighbours: tuple[Neighbour, ...]
    damper: DamperAt | None
    systems: tuple[str, ...]
    insulation_mm: float | None
    rating_text: str
    rating_min: int | None
    queries: tuple[PlaceQuery, ...]
    names: tuple[str, ...] = ()

    @property
    def opening(self) -> OpeningAt | None:
        """The opening in the thickest layer that has one."""
        layers = sorted(self.layers, key=lambda layer: -layer.thickness_mm)
        return next((layer.opening for layer in layers if layer.opening is not None), None)

    @property
    def edges(self) -> SidesMm | None:
        """The nearest edge a side over all layers."""
        known = [layer.edges for layer in self.layers if layer.edges is not None]
        if not known:
            return None
        return SidesMm(
            min(one.left for one in known),
            min(one.right for one in known),
            min(one.top for one in known),
            min(one.bottom for one in known),
        )

    @property
    def adjoining(self) -> tuple[Adjoining, ...]:
        """What meets any of its layers near by, nearest first; each barrier once."""
        nearest: dict[str, Adjoining] = {}
        for item in sorted(found for layer in self.layers for found in layer.adjoining):
            nearest.setdefault(item.barrier_guid, item)
        return tuple(nearest.values())

    @property
    def is_open(self) -> bool:
        """Whether something about the place is to be settled."""
        return bool(self.queries) or bool(self.storey_said)


@dataclass(frozen=True)
class BuildingModel:
    """What the models say of the building: site objects with their plan outlines, and the places.

    `lacks` says what the models lack altogether (no barrier, no duct) or leave in doubt (no unit, parts that could not
    be read): then that nothing was found says nothing. `around` is what stands round each place, by its key, where
    that was asked for.
    """

    files: tuple[str, ...]
    storeys: tuple[Storey, ...]
    barriers: tuple[Barrier, ...]
    services: tuple[ServiceElement, ...]
    obstacles: tuple[Obstacle, ...]
    places: tuple[Place, ...]
    warnings: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    north: North = NO_NORTH
    around: Mapping[str, Surroundings] = field(default_factory=dict, compare=False, repr=False)

    @property
    def is_open(self) -> bool:
        """Whether something is to be settled: at a place, or because the models lack what is looked for."""
        return bool(self.lacks) or any(place.is_open for place in self.places)
