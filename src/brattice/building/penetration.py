# SPDX-License-Identifier: Apache-2.0
"""The penetration as it is judged: one duct through one fire-separating barrier, every value a fact with its origin.

Model and schedule are merged into this object; from here on no room knows which of them a value came from except
by its origin. Lengths in millimetres, the place in metres in the world coordinates of the models.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from brattice.building.detail_facts import NOTHING_STATED, DetailFacts
from brattice.building.plan import SurveyedPlace
from brattice.building.surroundings import Surroundings
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import (
    Actuation,
    BarrierRole,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SeparationFill,
    Service,
    SpaceUse,
    SupportKind,
    Surface,
    SystemUse,
)
from brattice.findings import Fact, Known, Missing, Party, Unknown
from brattice.quantities import Degrees, Mm

__all__ = [
    "BarrierFacts",
    "BarrierPlane",
    "DamperFacts",
    "DuctFacts",
    "InstallationFacts",
    "Location",
    "OpeningFacts",
    "Penetration",
    "ProtectionFacts",
    "Separation",
    "Sides",
    "Size",
]

_LAYERS_NOT_STATED = Unknown(Missing("penetration/seal_layers", "How many layers the seal has", Party.FIRESTOPPER))


@dataclass(frozen=True, order=True, slots=True)
class Size:
    """Width × height [mm]; a round one has its diameter as width and no height."""

    width_mm: Mm
    height_mm: Mm | None = None

    @property
    def is_round(self) -> bool:
        """Whether this is the size of something round."""
        return self.height_mm is None


@dataclass(frozen=True, slots=True)
class Sides:
    """One value a side of an opening [mm], seen from the side the duct comes from; floors: along model x and y."""

    left_mm: Mm
    right_mm: Mm
    top_mm: Mm
    bottom_mm: Mm


@dataclass(frozen=True, slots=True)
class BarrierPlane:
    """The plane of a barrier at a place, as the model has it: unit vectors to the right and up.

    `to_edges_mm` are the distances from the centre to the barrier's own edges [mm] (None where it has none there).
    """

    right: tuple[float, float, float]
    up: tuple[float, float, float]
    to_edges_mm: Sides | None = None


@dataclass(frozen=True, slots=True)
class Location:
    """Where it is: storey, the schedule's words (grid, room), centre [m]; None where no model says.

    `plane` is that of the barrier there (None where no model says). `surveyed` is the place that somebody marked on a
    drawing: it places on plans what has no centre.
    """

    storey: Fact[str]
    words: str = ""
    centre_m: tuple[float, float, float] | None = None
    surveyed: Known[SurveyedPlace] | None = None
    plane: BarrierPlane | None = None


@dataclass(frozen=True, slots=True)
class BarrierFacts:
    """The barrier that is passed. `wall_type` is the row that `wall_type_code` names, where there is one."""

    orientation: Fact[Orientation]
    role: Fact[BarrierRole]
    wall_type_code: Fact[str]
    wall_type: WallType | None
    thickness_mm: Fact[Mm]
    rating: Fact[Rating]
    guids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DuctFacts:
    """The duct. `angle_deg` is between its axis and the normal of the barrier."""

    service: Service
    size: Fact[Size]
    system: Fact[SystemUse]
    angle_deg: Fact[Degrees]
    insulation_through: Fact[bool]
    guids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DamperFacts:
    """The damper that is scheduled or modelled. `product` is the family as its maker names it.

    `class_text` is the class that the schedule claims for it, as written. `mechanism_deg` is the rotation of the
    mechanism side about the duct axis.
    """

    present: Fact[bool]
    maker: Fact[str]
    product: Fact[str]
    size: Fact[Size]
    class_text: Fact[str]
    actuation: Fact[frozenset[Actuation]]
    mechanism_deg: Fact[Degrees]
    access_side: Fact[str]
    blade_offset_mm: Fact[Mm]
    guids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OpeningFacts:
    """The hole: framed (structural) opening and finished clear opening, never a bare "opening".

    `gaps` are the clear gaps a side from `gaps_from` to the edge of the finished clear opening. `formed` says that
    it exists on site. `guid` is the opening element of the model.
    """

    shape: Fact[OpeningShape]
    framed: Fact[Size]
    finished: Fact[Size]
    gaps: Fact[Sides]
    gaps_from: Fact[Surface]
    formed: Fact[bool]
    shared_with: tuple[str, ...] = ()
    guid: str = ""


@dataclass(frozen=True, slots=True)
class InstallationFacts:
    """How it is to be installed, as the schedule or the drawings say.

    `seal_products` are the named products of the seal ("" or an unnamed kind is not a name), `seal_layers` how many
    layers it has on each face that is sealed; `other_services` says whether anything but the damper passes the same
    seal. `joint` is that of both sides; `joint_a` and `joint_b` that of a side by itself (sides as those of the space
    uses), None where the side has nothing of its own.
    """

    position: Fact[MountingPosition]
    fixing: Fact[FixingFamily]
    seal_products: Fact[tuple[str, ...]]
    seal_depth_mm: Fact[Mm]
    seal_faces: Fact[int]
    support: Fact[SupportKind]
    joint: Fact[Joint]
    deflection_head_above: Fact[bool]
    other_services: Fact[bool]
    access_door: Fact[bool]
    seal_layers: Fact[int] = _LAYERS_NOT_STATED
    joint_a: Fact[Joint] | None = None
    joint_b: Fact[Joint] | None = None

    @property
    def joints(self) -> tuple[Fact[Joint], Fact[Joint]]:
        """How the duct meets the damper on side A and on side B."""
        return self.joint_a or self.joint, self.joint_b or self.joint


@dataclass(frozen=True, slots=True)
class Separation:
    """A clear distance [mm] to a neighbour, measured between two surfaces.

    `to` is the id of another penetration, or "wall" or "floor" for adjoining construction. `side` is "left", "right",
    "above" or "below" where the models say it for certain, else "": a wall seen by one who looks towards larger model
    x, else y; a floor from above, model x to the right.
    """

    to: str
    distance_mm: Fact[Mm]
    from_surface: Surface
    to_surface: Surface
    fill: Fact[SeparationFill]
    side: str = ""


@dataclass(frozen=True, slots=True)
class ProtectionFacts:
    """How the fire strategy protects this duct here.

    `run_proven` is the statement, with its document, that the whole protected run (branches, ends, supports,
    joints to dampers) is proven; it matters for methods 2 and 3 alone.
    """

    method: Fact[ProtectionMethod]
    run_proven: Fact[bool]


@dataclass(frozen=True, slots=True)
class Penetration:
    """One duct through one fire-separating barrier. `id` is permanent and never used again.

    `aliases` are pairs of kind and text ("designer's reference", "GlobalId" …). `spaces` are the uses of the spaces
    on both sides. `model_queries` are the reasons for which the model left the place to be settled; `to_be_settled`
    says that it is not certain that this is a penetration at all. `detail` is what is stated beyond what is judged.
    `around` is what the models show round it, None where no model shows the place or nobody asked; it is no fact of the
    penetration and makes no two of them differ.
    """

    id: str
    key: str
    location: Location
    barrier: BarrierFacts
    duct: DuctFacts
    damper: DamperFacts
    opening: OpeningFacts
    installation: InstallationFacts
    protection: ProtectionFacts
    spaces: Fact[frozenset[SpaceUse]]
    separations: tuple[Separation, ...] = ()
    aliases: tuple[tuple[str, str], ...] = ()
    to_be_settled: bool = False
    model_queries: tuple[str, ...] = ()
    remarks: tuple[str, ...] = field(default=())
    detail: DetailFacts = NOTHING_STATED
    around: Surroundings | None = field(default=None, compare=False, repr=False)
