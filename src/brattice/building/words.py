# SPDX-License-Identifier: Apache-2.0
"""The closed vocabularies of a penetration: trade words, each with one spelling that files and outputs use."""

from __future__ import annotations

from enum import StrEnum

__all__ = [
    "PROTECTED_BY_RUN",
    "Actuation",
    "BarrierRole",
    "CeilingKind",
    "DuctedSides",
    "FailPosition",
    "FanInFire",
    "FixingFamily",
    "Handing",
    "Joint",
    "MountingPosition",
    "OpeningShape",
    "Orientation",
    "ProtectionMethod",
    "SeparationFill",
    "Service",
    "SlabKind",
    "SpaceUse",
    "SupportKind",
    "SupportingConstruction",
    "Surface",
    "SystemUse",
    "plain",
    "product_words",
]


class Service(StrEnum):
    """What runs through the barrier."""

    DUCT = "duct"
    PIPE = "pipe"
    CABLE = "cable"
    UNKNOWN = "unknown"


class Orientation(StrEnum):
    """How the separating element stands; EN 13501-3 writes "ve" for a wall and "ho" for a floor (handbook 1.11)."""

    WALL = "wall"
    FLOOR = "floor"


class SupportingConstruction(StrEnum):
    """The kinds of supporting construction that tests distinguish (handbook 2.37-2.44a)."""

    RIGID_WALL = "rigid wall"
    FLEXIBLE_WALL = "flexible wall"
    SHAFT_WALL = "shaft wall"
    RIGID_FLOOR = "rigid floor"
    COMPOSITE_DECK = "composite deck floor"
    TIMBER_WALL = "timber wall"
    TIMBER_FLOOR = "timber floor"
    PANEL_WALL = "panel wall"
    DOUBLE_STUD_WALL = "double-stud wall"
    CAVITY_BARRIER = "cavity barrier"
    OTHER = "other"


class BarrierRole(StrEnum):
    """What the fire strategy makes of a barrier."""

    COMPARTMENT_WALL = "compartment wall"
    COMPARTMENT_FLOOR = "compartment floor"
    PROTECTED_SHAFT = "protected shaft"
    PROTECTED_CORRIDOR = "protected corridor"
    PROTECTED_STAIR = "protected stair"
    FIREFIGHTING_SHAFT = "firefighting shaft"
    CAVITY_BARRIER = "cavity barrier"
    NOT_SEPARATING = "not fire-separating"


class SystemUse(StrEnum):
    """What the duct system does."""

    SUPPLY = "supply"
    EXTRACT = "extract"
    TOILET_EXTRACT = "toilet extract"
    KITCHEN_SUPPLY = "commercial kitchen supply"
    KITCHEN_EXTRACT = "commercial kitchen extract"
    DWELLING_HOOD = "dwelling hood extract"
    SMOKE_EXTRACT = "smoke extract"
    PRESSURISATION = "pressurisation"
    FUME_EXTRACT = "fume cupboard extract"
    APPLIANCE = "appliance ventilation"
    TRANSFER = "air transfer"


class SpaceUse(StrEnum):
    """What a space beside the penetration is used for, as far as the rules care."""

    GENERAL = "general"
    ESCAPE_ROUTE = "escape route"
    SLEEPING = "sleeping"
    DWELLING = "dwelling"
    COMMERCIAL_KITCHEN = "commercial kitchen"
    PLANT = "plant room"
    CAR_PARK = "car park"
    HEALTHCARE = "healthcare"
    ISOLATION_ROOM = "isolation room"


class ProtectionMethod(StrEnum):
    """The four ways to protect where a duct passes a fire-separating barrier (handbook 4.1)."""

    FIRE_DAMPER = "1 fire damper"
    ENCLOSURE = "2 fire-resisting enclosure"
    FIRE_RESISTING_DUCT = "3 fire-resisting ductwork"
    FIRE_AND_SMOKE_DAMPER = "4 fire and smoke damper"


PROTECTED_BY_RUN = (ProtectionMethod.ENCLOSURE, ProtectionMethod.FIRE_RESISTING_DUCT)
"""The methods that protect by a whole run and not by a damper at the barrier."""


def plain(text: str) -> str:
    """A name as names are compared: capitals and runs of blanks aside."""
    return " ".join(text.split()).casefold()


def product_words(maker: str, product: str) -> str:
    """Maker and product on one line; the maker once where the product's name begins with it."""
    begins = f"{plain(product)} ".startswith(f"{plain(maker)} ")
    return product if begins else f"{maker} {product}".strip()


class Actuation(StrEnum):
    """What makes a damper close."""

    THERMAL = "thermal"
    SMOKE_DETECTION = "smoke detection"


class MountingPosition(StrEnum):
    """Where the damper sits to the barrier (handbook 2.21)."""

    IN_BARRIER = "in the barrier"
    ON_FACE = "on the face"
    REMOTE = "remote"


class OpeningShape(StrEnum):
    """The shape of the hole in the barrier."""

    RECTANGULAR = "rectangular"
    ROUND = "round"


class FixingFamily(StrEnum):
    """Families of fixing (handbook 5.2)."""

    BUILT_IN = "built in with cleats"
    FRAME_IN_OPENING = "frame in formed opening"
    LINED_OPENING = "screwed to lined opening"
    SLEEVE_AND_ANGLES = "sleeve and angles"
    INSTALLATION_FRAME = "installation frame"
    BATT_WITH_RODS = "drop rods and batt seal"
    CAST_IN = "cast in or curb"
    FACE_FIXED = "fixed to the face"
    REMOTE_SUPPORTED = "remote on protected duct"
    BATTERY = "battery"
    SHAFT_WALL_FIXING = "shaft wall, one-sided"


class SupportKind(StrEnum):
    """What carries the damper."""

    BARRIER = "barrier"
    DROP_RODS = "drop rods"
    BOTH = "barrier and drop rods"


class Joint(StrEnum):
    """How the duct meets the damper casing."""

    BREAKAWAY_FIXINGS = "breakaway fixings"
    FLEXIBLE_CONNECTION = "flexible connection"
    SLIP_JOINT = "slip joint"
    STEEL_SCREWS = "steel screws"
    RIGID_FLANGE = "rigid flange"
    NO_DUCT = "no duct"


class DuctedSides(StrEnum):
    """On which sides of a tested damper a duct was (handbook 2.49, field case 2)."""

    BOTH = "both sides"
    ONE = "one side"
    NEITHER = "neither side"


class Surface(StrEnum):
    """The surface that a distance is measured from or to; a distance without one says little (handbook 2.30a)."""

    DUCT = "duct"
    CASING = "casing"
    FLANGE = "flange"
    FRAME = "frame"
    FRAMED_OPENING = "framed opening"
    FINISHED_OPENING = "finished clear opening"
    FACE = "face of the construction"
    """Of an adjoining wall or floor: distances to "wall" and "floor" end here."""


class SeparationFill(StrEnum):
    """What lies between two penetrations (handbook 2.32: batt is not supporting construction)."""

    SUPPORTING_CONSTRUCTION = "supporting construction"
    BATT = "batt"


class Handing(StrEnum):
    """On which side the mechanism sits, looking along the airflow (common practice; the maker's drawing decides)."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


class FailPosition(StrEnum):
    """Where an actuated damper goes when power or signal is lost."""

    CLOSED = "closed"
    OPEN = "open"
    STAYS = "stays"


class FanInFire(StrEnum):
    """What the fan of the system does once fire is detected; closing under flow depends on it (handbook 8.11)."""

    STOPS = "stops"
    RUNS = "runs"


class SlabKind(StrEnum):
    """What drop rods hang from; an anchor holds in the kind it was tested in (handbook 6.1, field case 21)."""

    SOLID = "solid concrete"
    HOLLOW_CORE = "hollow-core"
    POST_TENSIONED = "post-tensioned"
    COMPOSITE_DECK = "composite deck"
    RIBBED = "ribbed"
    TIMBER = "timber"
    STEEL = "structural steel"


class CeilingKind(StrEnum):
    """What is below a damper that has to be reached."""

    NONE = "none"
    LIFT_OUT = "lift-out tiles"
    FIXED = "fixed ceiling"
