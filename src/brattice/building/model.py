# SPDX-License-Identifier: Apache-2.0
"""What stands on the site as the models say it: storeys, barriers, services, openings, obstacles; frozen, no files.

Lengths are millimetres; places are metres in the world coordinates of the models. An element's identity is its
GlobalId; since files may repeat one, `Ref` (file and number in the file) tells elements apart inside a run.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from brattice.building.model_rating import NOTHING_SAID, RatingReading
from brattice.building.north import NorthSaid
from brattice.building.words import Service
from brattice.geometry.mesh import Mesh

__all__ = [
    "Barrier",
    "BarrierKind",
    "MaterialLayer",
    "ModelReading",
    "Obstacle",
    "OpeningElement",
    "Part",
    "PlanOutline",
    "Port",
    "Property",
    "RatingText",
    "Ref",
    "ServiceElement",
    "Storey",
]


class BarrierKind(StrEnum):
    """How a barrier lies."""

    WALL = "wall"
    FLOOR = "floor"
    ROOF = "roof"


class Part(StrEnum):
    """What a service element is in its run."""

    SEGMENT = "segment"
    FLEXIBLE = "flexible segment"
    FITTING = "fitting"
    DAMPER = "damper"
    TERMINAL = "terminal"
    EQUIPMENT = "equipment"
    PROXY = "proxy"


@dataclass(frozen=True, order=True)
class Ref:
    """One element inside a run: the file as the user gave it, the number in that file."""

    file: str
    step: int


@dataclass(frozen=True, order=True)
class Property:
    """A property as a file states it: where it was found ("Pset_WallCommon on the type"), name, text."""

    where: str
    name: str
    text: str


@dataclass(frozen=True, order=True)
class RatingText:
    """A fire rating as a file states it, and where it was found."""

    text: str
    where: str


@dataclass(frozen=True, order=True)
class MaterialLayer:
    """One layer of a wall's or floor's build-up: the material's name and its thickness [mm]."""

    material: str
    thickness_mm: float


@dataclass(frozen=True, order=True)
class PlanOutline:
    """The closed rings of an element in the plan of one storey (key of the storey), corners x, y [m]."""

    storey: str
    rings: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, order=True)
class Storey:
    """A storey: name, height of its level [m], the GlobalIds that the files give it (one a file), files."""

    key: str
    name: str
    elevation_m: float
    guids: tuple[str, ...]
    files: tuple[str, ...]


@dataclass(frozen=True)
class Barrier:
    """A wall, slab or roof. `storey` is the GlobalId of the storey that the model puts it in ("" for none).

    `reading` is what its rating texts say for certain. `layer_axis` is the axis that the layers are stacked along
    ("AXIS2": through a wall, "AXIS3": through a slab).
    """

    ref: Ref
    guid: str
    kind: BarrierKind
    ifc_class: str
    name: str
    type_name: str
    ratings: tuple[RatingText, ...] = ()
    material_layers: tuple[MaterialLayer, ...] = ()
    layer_axis: str = ""
    reading: RatingReading = NOTHING_SAID
    storey: str = ""
    outlines: tuple[PlanOutline, ...] = ()


@dataclass(frozen=True, order=True)
class Port:
    """A point at which a service element is joined to the next: place [mm, from the common origin].

    `flow` is "in" where the air (or whatever flows) comes into the element there, "out" where it leaves it, "" where
    the model does not say or says both.
    """

    step: int
    x: float
    y: float
    z: float
    flow: str = ""


@dataclass(frozen=True)
class ServiceElement:
    """A duct, pipe, cable or what may be one. `untyped` says that the model leaves open what it is.

    `stated_size` is the size that its properties give: (diameter,) or (width, height) [mm]. `outlines` and
    `centreline` (points x, y, z [m]) are for the drawn plan.
    """

    ref: Ref
    guid: str
    service: Service
    part: Part
    ifc_class: str
    name: str
    type_name: str
    predefined: str = ""
    untyped: bool = False
    systems: tuple[str, ...] = ()
    ports: tuple[Port, ...] = ()
    stated_size: tuple[float, ...] = ()
    insulation_mm: float | None = None
    properties: tuple[Property, ...] = ()
    storey: str = ""
    outlines: tuple[PlanOutline, ...] = ()
    centreline: tuple[tuple[tuple[float, float, float], ...], ...] = ()

    @property
    def is_damper(self) -> bool:
        """Whether the model calls it a damper."""
        return self.part is Part.DAMPER


@dataclass(frozen=True)
class OpeningElement:
    """An opening in a barrier. `filled_by` and `filled_class` name the element that fills it ("" for none)."""

    ref: Ref
    guid: str
    host: Ref
    name: str
    filled_by: str = ""
    filled_class: str = ""


@dataclass(frozen=True)
class Obstacle:
    """Anything else that stands in the building. `predefined` is its predefined type as the file has it."""

    ref: Ref
    guid: str
    ifc_class: str
    name: str
    storey: str = ""
    predefined: str = ""


@dataclass(frozen=True, eq=False)
class ModelReading:
    """One model file, read: site objects and, by number in the file, their gross meshes [mm].

    `origin_m` is what was subtracted from the world coordinates before they became meshes and ports [m].
    `joined` are pairs of ports that the file connects. `no_shape` says why an element has no mesh. `doubts` say what
    of the file could not be read or is uncertain as a whole: while there are any, nothing is settled. `north` is what
    the file says of north, None where it says nothing.
    """

    file: str
    sha256: str
    schema: str
    unit: str
    origin_m: tuple[float, float, float]
    storeys: tuple[Storey, ...] = ()
    barriers: tuple[Barrier, ...] = ()
    services: tuple[ServiceElement, ...] = ()
    openings: tuple[OpeningElement, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    joined: tuple[tuple[int, int], ...] = ()
    meshes: Mapping[int, Mesh] = field(default_factory=dict)
    no_shape: Mapping[int, str] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    north: NorthSaid | None = None
