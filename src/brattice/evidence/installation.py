# SPDX-License-Identifier: Apache-2.0
"""A tested installation: one way in which one damper family was tested, exactly as its document states it.

A value of None means that the document, as entered, does not say: a check that needs it comes out *not enough
known*. Lengths in millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from brattice.building.words import (
    Actuation,
    DuctedSides,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    SupportingConstruction,
    SupportKind,
    Surface,
)
from brattice.findings import Origin
from brattice.quantities import Degrees, KgPerM3, Mm

__all__ = [
    "ConstructionTested",
    "DamperKind",
    "Document",
    "DocumentLevel",
    "FixingCount",
    "FixingsTested",
    "SealPart",
    "SealTested",
    "SeparationTested",
    "SideWindows",
    "SizeWindow",
    "TestedInstallation",
    "Window",
]


class DamperKind(StrEnum):
    """The product standards know these two, and neither is the other (handbook 1.44)."""

    FIRE_DAMPER = "fire damper"
    SMOKE_CONTROL_DAMPER = "smoke control damper"


class DocumentLevel(StrEnum):
    """What kind of document an installation was taken from."""

    DECLARATION = "declaration and instructions"
    CLASSIFICATION_REPORT = "classification report"
    TEST_REPORT = "test report"


@dataclass(frozen=True)
class Window:
    """From … to …, both ends within; None where the document sets no end."""

    least: float | None
    most: float | None


@dataclass(frozen=True)
class SizeWindow:
    """Sizes tested; width and height each, never swapped. Round dampers have a diameter window and no height.

    `s_least_width_mm` and `s_least_height_mm` are the smallest size cold-tested for S (handbook 2.36).
    """

    shape: OpeningShape
    width: Window
    height: Window | None
    s_least_width_mm: Mm | None = None
    s_least_height_mm: Mm | None = None


@dataclass(frozen=True)
class ConstructionTested:
    """The supporting construction of the test. `shown_in_rigid` says that the maker's instructions show this very
    fixing and sealing in a rigid wall too (handbook 2.42).
    """

    kind: SupportingConstruction
    least_thickness_mm: Mm
    least_density_kg_m3: KgPerM3 | None = None
    most_density_kg_m3: KgPerM3 | None = None
    material: str | None = None
    board_type: str | None = None
    board_thickness_mm: Mm | None = None
    board_layers: tuple[int, int] | None = None
    stud_size_mm: Mm | None = None
    most_stud_spacing_mm: Mm | None = None
    cavity_fill: str | None = None
    opening_framing: str | None = None
    lining_mm: Mm | None = None
    shown_in_rigid: bool = False


@dataclass(frozen=True)
class SideWindows:
    """The gap window of each side [mm], from `SealTested.gap_from` to the edge of the finished clear opening."""

    left: Window
    right: Window
    top: Window
    bottom: Window


@dataclass(frozen=True)
class SealPart:
    """How much of the seal one of its products fills: so much of the depth along the duct, all faces and layers
    together [mm], or such a share of its volume [%]; the other is None.
    """

    product: str
    depth_mm: Mm | None
    share_percent: float | None


@dataclass(frozen=True)
class SealTested:
    """The penetration seal as tested: named products, layers on each face that is sealed, faces, depth along the duct,
    and the gap window a side. `parts` say how much each product fills, each product once; () where nothing is said.
    """

    products: tuple[str, ...]
    layers: int | None
    faces: int | None
    depth_mm: Window | None
    gaps: SideWindows
    gap_from: Surface
    parts: tuple[SealPart, ...] = ()


@dataclass(frozen=True)
class FixingCount:
    """How many fixings a damper of one nominal size [mm] has in all; no height: round."""

    width_mm: Mm
    height_mm: Mm | None
    count: int


@dataclass(frozen=True)
class FixingsTested:
    """What the document says of the fixings that hold the damper: which, and how far apart at most [mm].

    They stand in `rows` (one on each face, flange or frame that is fixed), along each side of the outline `along`
    (casing, finished clear or framed opening), the outer ones no farther than `most_from_corner_mm` from its corners,
    round a round one without a corner. `least_a_side` is the fewest on a side (round: in the ring), whatever its
    length. `counts` say instead, or as well, how many there are in all at a size.
    """

    kind: str | None = None
    size: str | None = None
    along: Surface | None = None
    most_apart_mm: Mm | None = None
    most_from_corner_mm: Mm | None = None
    least_a_side: int | None = None
    rows: int | None = None
    counts: tuple[FixingCount, ...] = ()


@dataclass(frozen=True)
class SeparationTested:
    """The least clear distance tested to a neighbour of a kind ("damper", "wall", "floor"), between two surfaces.

    None as surface: the document does not say from where it was measured (handbook 2.30a).
    """

    to: str
    least_mm: Mm
    from_surface: Surface | None
    to_surface: Surface | None


@dataclass(frozen=True)
class Document:
    """The document an installation rests on and its standing.

    `valid_from` and `valid_to` bound its validity (None: no end stated), `withdrawn_on` ends it. `marking` holds
    "CE" and "UKCA" as the product carries them; `certificate` is the certificate of constancy of performance.
    `extended` says whether the class rests on extended application.
    """

    level: DocumentLevel
    reference: str
    revision: str
    issued: date
    standard: str
    edition: str
    valid_from: date | None = None
    valid_to: date | None = None
    withdrawn_on: date | None = None
    certificate: str | None = None
    third_party: str | None = None
    marking: frozenset[str] | None = None
    instructions: str | None = None
    extended: bool | None = None

    @property
    def begins(self) -> date:
        """From when it stands: a revision that came out later did not stand before, whatever it claims."""
        return max(self.issued, self.valid_from or self.issued)


@dataclass(frozen=True)
class TestedInstallation:
    """One tested installation of one damper family.

    `casing_beyond_mm` says how far the casing outline stands beyond the nominal duct edge on each side (left, right,
    top, bottom); unequal sides mean a casing off the duct axis. `mechanism_deg` are the rotations declared.
    `most_blade_offset_mm` is the farthest the closed blade may stand from the barrier's centre plane. `ducts`
    are the sides that had a duct in the tests; several where the damper was tested in several ways.
    `shared_opening` says that several dampers in one opening were tested together. `fixings` is None where nothing is
    said of them. `other_revisions` are all other statements of the maker's document of that reference in the same job
    (see `revisions`).
    """

    __test__ = False  # not a test case of pytest, in spite of its name

    id: str
    maker: str
    product: str
    kind: DamperKind
    sizes: SizeWindow
    class_text: str
    construction: ConstructionTested
    orientation: Orientation
    position: MountingPosition
    mechanism_deg: tuple[Degrees, ...] | None
    opening_shape: OpeningShape
    fixing: FixingFamily
    seal: SealTested
    casing_beyond_mm: tuple[Mm, Mm, Mm, Mm] | None
    separations: tuple[SeparationTested, ...]
    support: SupportKind | None
    joints: frozenset[Joint] | None
    access_sides: frozenset[str] | None
    actuation: frozenset[Actuation]
    document: Document
    origin: Origin
    most_blade_offset_mm: Mm | None = None
    insulation_through: bool | None = None
    deflection_head: bool | None = None
    other_services: bool | None = None
    ducts: frozenset[DuctedSides] | None = None
    battery: bool = False
    shared_opening: bool = False
    fixings: FixingsTested | None = None
    notes: tuple[str, ...] = ()
    other_revisions: tuple[Document, ...] = ()
