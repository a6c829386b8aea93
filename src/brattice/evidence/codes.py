# SPDX-License-Identifier: Apache-2.0
"""The checks of this room, and what the changes weigh that cure some of them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from brattice.findings import CodeSpec, Party

__all__ = [
    "ACCESS_SIDE",
    "ACTUATION",
    "ANGLE",
    "BARRIER_RATING",
    "BATTERY",
    "BLADE_POSITION",
    "BOARDS",
    "CAVITY_FILL",
    "CERTIFICATE",
    "CHANGE_WEIGHTS",
    "CLASS",
    "CODES",
    "DAMPER_KIND",
    "DEFLECTION_HEAD",
    "DENSITY",
    "DOCUMENT_LEVEL",
    "DOCUMENT_REVISION",
    "DOCUMENT_STANDARD",
    "DUCTED_SIDES",
    "EXTENDED_APPLICATION",
    "FIXING",
    "GAP",
    "INSULATION_THROUGH",
    "JOINT",
    "LINING",
    "MARKING",
    "MATERIAL",
    "MECHANISM",
    "OPENING_FRAMING",
    "OPENING_SHAPE",
    "ORIENTATION",
    "OTHER_SERVICES",
    "POSITION",
    "SEAL_DEPTH",
    "SEAL_FACES",
    "SEAL_LAYERS",
    "SEAL_PRODUCTS",
    "SEPARATION",
    "SHARED_OPENING",
    "SIZE",
    "STANDING_AT_HANDOVER",
    "STANDING_AT_INSTALLATION",
    "STANDING_AT_ORDER",
    "STANDING_AT_PLACING",
    "STUDS",
    "SUPPORT",
    "SUPPORTING_CONSTRUCTION",
    "THICKNESS",
]

DAMPER_KIND = "damper-kind"
CLASS = "class"
BARRIER_RATING = "barrier-rating"
SIZE = "size"
ACTUATION = "actuation"
BATTERY = "battery"
SUPPORTING_CONSTRUCTION = "supporting-construction"
THICKNESS = "thickness"
DENSITY = "density"
MATERIAL = "material"
BOARDS = "boards"
STUDS = "studs"
CAVITY_FILL = "cavity-fill"
OPENING_FRAMING = "opening-framing"
LINING = "lining"
ORIENTATION = "orientation"
POSITION = "position"
ANGLE = "angle"
MECHANISM = "mechanism"
BLADE_POSITION = "blade-position"
FIXING = "fixing"
SUPPORT = "support"
JOINT = "joint"
DUCTED_SIDES = "ducted-sides"
ACCESS_SIDE = "access-side"
INSULATION_THROUGH = "insulation-through"
DEFLECTION_HEAD = "deflection-head"
OPENING_SHAPE = "opening-shape"
SEAL_PRODUCTS = "seal-products"
SEAL_LAYERS = "seal-layers"
SEAL_FACES = "seal-faces"
SEAL_DEPTH = "seal-depth"
GAP = "gap"
OTHER_SERVICES = "other-services"
SHARED_OPENING = "shared-opening"
SEPARATION = "separation"
DOCUMENT_LEVEL = "document-level"
DOCUMENT_STANDARD = "document-standard"
EXTENDED_APPLICATION = "extended-application"
DOCUMENT_REVISION = "document-revision"
STANDING_AT_ORDER = "standing-at-order"
STANDING_AT_PLACING = "standing-at-placing-on-market"
STANDING_AT_INSTALLATION = "standing-at-installation"
STANDING_AT_HANDOVER = "standing-at-handover"
MARKING = "marking"
CERTIFICATE = "certificate"

_SUPPLIER = Party.DAMPER_SUPPLIER
_DUCTWORK = Party.DUCTWORK_CONTRACTOR
_BUILDER = Party.DRY_LINER
_STOPPER = Party.FIRESTOPPER

CODES: tuple[CodeSpec, ...] = (
    CodeSpec(DAMPER_KIND, "The damper is of the kind that is asked: fire damper or smoke control damper.", _SUPPLIER),
    CodeSpec(
        CLASS,
        "The class declared satisfies the class that is asked, with S only between the smallest and largest sizes "
        "tested for it.",
        _SUPPLIER,
    ),
    CodeSpec(BARRIER_RATING, "The barrier is rated; nothing built in it achieves more.", Party.FIRE_ENGINEER),
    CodeSpec(SIZE, "Width and height lie each within the sizes tested, never swapped.", _SUPPLIER),
    CodeSpec(ACTUATION, "The product can be had with all the actuation that is asked.", _SUPPLIER),
    CodeSpec(
        BATTERY, "A battery of dampers stands only where it was tested as one, and nothing else for it.", _SUPPLIER
    ),
    CodeSpec(
        SUPPORTING_CONSTRUCTION,
        "The barrier is the kind of supporting construction of the test, or one that the test holds for.",
        Party.ARCHITECT,
    ),
    CodeSpec(THICKNESS, "The barrier is at least as thick as tested.", Party.ARCHITECT),
    CodeSpec(DENSITY, "The barrier is at least as dense as tested.", Party.ARCHITECT),
    CodeSpec(MATERIAL, "The barrier is of the material of the test, where that has to be the same.", Party.ARCHITECT),
    CodeSpec(BOARDS, "Board type, thickness and layers on each side are as tested or better.", _BUILDER),
    CodeSpec(STUDS, "Studs are at least as big and no farther apart than tested.", _BUILDER),
    CodeSpec(CAVITY_FILL, "The cavity of the wall is filled as tested.", _BUILDER),
    CodeSpec(OPENING_FRAMING, "The opening is framed as tested.", _BUILDER),
    CodeSpec(LINING, "The reveals of the opening are lined as tested.", _BUILDER),
    CodeSpec(ORIENTATION, "Wall evidence stands for walls, floor evidence for floors.", Party.SERVICES_DESIGNER),
    CodeSpec(POSITION, "The damper sits to the barrier as tested.", Party.SERVICES_DESIGNER),
    CodeSpec(ANGLE, "The duct passes the barrier squarely.", Party.SERVICES_DESIGNER),
    CodeSpec(MECHANISM, "The mechanism is turned about the duct axis as declared.", _DUCTWORK),
    CodeSpec(BLADE_POSITION, "The closed blade stands no farther from the barrier's centre than tested.", _DUCTWORK),
    CodeSpec(FIXING, "The damper is fixed by the family of fixing of the test.", _DUCTWORK),
    CodeSpec(SUPPORT, "What carries the damper is what carried it in the test.", _DUCTWORK),
    CodeSpec(JOINT, "The duct joins the casing as tested; it must break away.", _DUCTWORK),
    CodeSpec(DUCTED_SIDES, "A duct on both sides, one side or neither: as tested.", Party.SERVICES_DESIGNER),
    CodeSpec(ACCESS_SIDE, "Access is from a side that the document allows.", Party.SERVICES_DESIGNER),
    CodeSpec(INSULATION_THROUGH, "Duct insulation runs through the hole only as tested.", _DUCTWORK),
    CodeSpec(DEFLECTION_HEAD, "A deflection head above is allowed by the document.", _BUILDER),
    CodeSpec(OPENING_SHAPE, "The hole has the shape of the test.", _BUILDER),
    CodeSpec(SEAL_PRODUCTS, "The seal is made of the named products of the test, all of them and no other.", _STOPPER),
    CodeSpec(SEAL_LAYERS, "The seal has at least the layers of the test.", _STOPPER),
    CodeSpec(SEAL_FACES, "The seal is made on at least as many faces as tested.", _STOPPER),
    CodeSpec(SEAL_DEPTH, "The seal is as deep as tested.", _STOPPER),
    CodeSpec(GAP, "The gap of each side lies in the window of that side, from the surface of the test.", _BUILDER),
    CodeSpec(OTHER_SERVICES, "Nothing else passes the same seal, unless tested together.", _STOPPER),
    CodeSpec(SHARED_OPENING, "No other duct shares the hole, unless tested together.", Party.SERVICES_DESIGNER),
    CodeSpec(
        SEPARATION,
        "Neighbouring dampers, walls and floors are as far away as tested, between the surfaces of the test.",
        Party.SERVICES_DESIGNER,
    ),
    CodeSpec(DOCUMENT_LEVEL, "The document is a declaration with its installation instructions.", _SUPPLIER),
    CodeSpec(
        DOCUMENT_STANDARD,
        "The document follows a known edition of a European standard for this kind of damper.",
        _SUPPLIER,
    ),
    CodeSpec(
        EXTENDED_APPLICATION,
        "A class that rests on extended application stands in a document that may state such a class.",
        _SUPPLIER,
    ),
    CodeSpec(
        DOCUMENT_REVISION,
        "No newer revision of the document, loaded beside it, stands on any date of the job.",
        _SUPPLIER,
    ),
    CodeSpec(STANDING_AT_ORDER, "The document stood at the order.", _SUPPLIER),
    CodeSpec(STANDING_AT_PLACING, "The document stood when the product was placed on the market.", _SUPPLIER),
    CodeSpec(STANDING_AT_INSTALLATION, "The document stands at the installation.", _SUPPLIER),
    CodeSpec(STANDING_AT_HANDOVER, "The document stands at the handover.", _SUPPLIER),
    CodeSpec(MARKING, "The product is marked as it had to be when it was placed on the market.", _SUPPLIER),
    CodeSpec(CERTIFICATE, "There is a certificate of constancy of performance.", _SUPPLIER),
)
"""In the order in which they are made and shown."""

CHANGE_WEIGHTS: Mapping[str, int] = MappingProxyType(
    {
        MECHANISM: 1,
        JOINT: 1,
        INSULATION_THROUGH: 1,
        SEAL_PRODUCTS: 2,
        SEAL_LAYERS: 2,
        SEAL_FACES: 2,
        SEAL_DEPTH: 2,
        ACCESS_SIDE: 2,
        BLADE_POSITION: 3,
        SUPPORT: 3,
        LINING: 3,
        OPENING_FRAMING: 4,
        GAP: 4,
        FIXING: 4,
        OPENING_SHAPE: 5,
        SEPARATION: 8,
    }
)
"""How heavy a change is against others, a convention of this program: 1 is a word in an order, 2 work of one trade at
the damper, 3 work at the barrier, 4 a change of the hole or of the way it is fixed, 5 another kind of hole, 8 moving
the duct. Only their sum is compared, between installations that would all hold."""
