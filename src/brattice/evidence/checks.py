# SPDX-License-Identifier: Apache-2.0
"""All checks of one penetration against one tested installation, in the order in which they are made and shown.

Each names what it reads: `site` are facts of the penetration and its requirement, `tested` those of the installation.
Two pairs that agree in these get the same outcome, so that a million pairs need only as many looks as there are
different readings (see `screen`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.evidence import checks_construction as construction
from brattice.evidence import checks_document as document
from brattice.evidence import checks_placing as placing
from brattice.evidence import checks_product as product
from brattice.evidence import checks_seal as seal
from brattice.evidence import codes
from brattice.evidence.checking import Basis, Checked
from brattice.evidence.checks_separation import check_separations
from brattice.evidence.installation import TestedInstallation
from brattice.requirements.requirement import Requirement

__all__ = ["CHECKS", "Check"]

One = Callable[[Penetration, Requirement, TestedInstallation, Basis], Checked]
Many = Callable[[Penetration, Requirement, TestedInstallation, Basis], tuple[Checked, ...]]


@dataclass(frozen=True)
class Check:
    """One check: its code, how it is made, and the paths of all that it reads.

    `numeric` checks are held against numbers that differ from place to place; `screen` has an own way for each.
    """

    code: str
    run: Many
    site: tuple[str, ...]
    tested: tuple[str, ...]
    numeric: bool = False


def _one(code: str, run: One, site: str, tested: str, numeric: bool = False) -> Check:
    def many(
        penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
    ) -> tuple[Checked, ...]:
        return (run(penetration, requirement, installation, basis),)

    return Check(code, many, tuple(site.split()), tuple(tested.split()), numeric)


_WALL = "barrier.wall_type.kind"
_KIND = "construction.kind"
_JOINTS = "installation.joint installation.joint_a installation.joint_b"

CHECKS: tuple[Check, ...] = (
    _one(codes.DAMPER_KIND, product.check_damper_kind, "requirement.class_texts", "kind"),
    _one(
        codes.CLASS,
        product.check_class,
        "requirement.class_texts barrier.orientation damper.size",
        "class_text kind sizes",
        numeric=True,
    ),
    _one(codes.BARRIER_RATING, product.check_barrier_rating, "barrier.rating requirement.needed", ""),
    _one(codes.SIZE, product.check_size, "damper.size", "sizes", numeric=True),
    _one(codes.ACTUATION, product.check_actuation, "requirement.actuation", "actuation"),
    _one(codes.BATTERY, product.check_battery, "installation.fixing", "battery"),
    _one(
        codes.SUPPORTING_CONSTRUCTION,
        construction.check_supporting_construction,
        f"{_WALL} barrier.role",
        f"{_KIND} construction.shown_in_rigid",
    ),
    _one(
        codes.THICKNESS,
        construction.check_thickness,
        "barrier.thickness_mm",
        "construction.least_thickness_mm",
        numeric=True,
    ),
    _one(
        codes.DENSITY,
        construction.check_density,
        f"{_WALL} barrier.wall_type.density_kg_m3",
        f"{_KIND} construction.least_density_kg_m3 construction.most_density_kg_m3",
    ),
    _one(
        codes.MATERIAL,
        construction.check_material,
        f"{_WALL} barrier.wall_type.material",
        f"{_KIND} construction.material",
    ),
    _one(
        codes.BOARDS,
        construction.check_boards,
        f"{_WALL} barrier.wall_type.board_type barrier.wall_type.board_thickness_mm barrier.wall_type.board_layers",
        f"{_KIND} construction.board_type construction.board_thickness_mm construction.board_layers",
    ),
    _one(
        codes.STUDS,
        construction.check_studs,
        f"{_WALL} barrier.wall_type.stud_size_mm barrier.wall_type.stud_spacing_mm",
        f"{_KIND} construction.stud_size_mm construction.most_stud_spacing_mm",
    ),
    _one(
        codes.CAVITY_FILL,
        construction.check_cavity_fill,
        f"{_WALL} barrier.wall_type.cavity_fill",
        f"{_KIND} construction.cavity_fill",
    ),
    _one(
        codes.OPENING_FRAMING,
        construction.check_opening_framing,
        f"{_WALL} barrier.wall_type.opening_framing opening.formed",
        f"{_KIND} construction.opening_framing",
    ),
    _one(
        codes.LINING,
        construction.check_lining,
        f"{_WALL} barrier.wall_type.lining_mm opening.formed",
        f"{_KIND} construction.lining_mm",
    ),
    _one(codes.ORIENTATION, placing.check_orientation, "barrier.orientation", "orientation"),
    _one(codes.POSITION, placing.check_position, "installation.position", "position"),
    _one(codes.ANGLE, placing.check_angle, "duct.angle_deg", ""),
    _one(codes.MECHANISM, placing.check_mechanism, "damper.mechanism_deg", "mechanism_deg"),
    _one(
        codes.BLADE_POSITION,
        placing.check_blade_position,
        "damper.blade_offset_mm",
        "most_blade_offset_mm",
        numeric=True,
    ),
    _one(codes.FIXING, placing.check_fixing, "installation.fixing", "fixing"),
    _one(codes.SUPPORT, placing.check_support, "installation.support", "support"),
    _one(codes.JOINT, placing.check_joint, _JOINTS, "joints"),
    _one(codes.DUCTED_SIDES, placing.check_ducted_sides, f"duct.system {_JOINTS}", "ducts"),
    _one(codes.ACCESS_SIDE, placing.check_access_side, "damper.access_side", "access_sides"),
    _one(
        codes.INSULATION_THROUGH,
        placing.check_insulation_through,
        "duct.insulation_through",
        "insulation_through",
    ),
    _one(
        codes.DEFLECTION_HEAD,
        placing.check_deflection_head,
        "installation.deflection_head_above",
        "deflection_head",
    ),
    _one(codes.OPENING_SHAPE, seal.check_opening_shape, "opening.shape opening.formed", "opening_shape"),
    _one(codes.SEAL_PRODUCTS, seal.check_seal_products, "installation.seal_products", "seal.products"),
    _one(codes.SEAL_LAYERS, seal.check_seal_layers, "installation.seal_layers", "seal.layers"),
    _one(codes.SEAL_FACES, seal.check_seal_faces, "installation.seal_faces", "seal.faces"),
    _one(codes.SEAL_DEPTH, seal.check_seal_depth, "installation.seal_depth_mm", "seal.depth_mm", numeric=True),
    _one(
        codes.GAP,
        seal.check_gap,
        "opening.gaps opening.gaps_from opening.finished damper.size opening.formed",
        "seal.gaps seal.gap_from casing_beyond_mm",
        numeric=True,
    ),
    _one(codes.OTHER_SERVICES, placing.check_other_services, "installation.other_services", "other_services"),
    _one(codes.SHARED_OPENING, placing.check_shared_opening, "opening.is_shared", "shared_opening"),
    Check(
        codes.SEPARATION,
        check_separations,
        ("separations", "opening.formed"),
        ("separations", "casing_beyond_mm"),
        numeric=True,
    ),
    _one(codes.DOCUMENT_LEVEL, document.check_document_level, "", "document.level document.instructions"),
    _one(codes.DOCUMENT_STANDARD, document.check_document_standard, "", "document kind"),
    _one(codes.EXTENDED_APPLICATION, document.check_extended_application, "", "document kind"),
    _one(codes.DOCUMENT_REVISION, document.check_document_revision, "", "document other_revisions"),
    _one(codes.STANDING_AT_ORDER, document.check_standing_at_order, "", "document"),
    _one(codes.STANDING_AT_PLACING, document.check_standing_at_placing, "", "document"),
    _one(codes.STANDING_AT_INSTALLATION, document.check_standing_at_installation, "", "document"),
    _one(codes.STANDING_AT_HANDOVER, document.check_standing_at_handover, "", "document"),
    _one(codes.MARKING, document.check_marking, "", "document.marking kind"),
    _one(codes.CERTIFICATE, document.check_certificate, "", "document.certificate"),
)
"""One check a code, in the order of the table of codes."""
