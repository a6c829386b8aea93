# SPDX-License-Identifier: Apache-2.0
"""The columns of the evidence workbook: the one list behind template, reading and docs.

A column's key is the path of its value in an installation or document of `schema`.
"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

from brattice.adapters.evidence.schema import MARKINGS, MOST_MM
from brattice.adapters.workbook.table import FieldKind, TableColumn, TableSpec
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
from brattice.evidence.installation import DamperKind, DocumentLevel

__all__ = ["DOCUMENTS", "EVIDENCE_INSTRUCTIONS", "INSTALLATIONS", "NO_MARKING"]

NO_MARKING = "none"
"""Stands in the marking column of a product that carries none."""

_SURFACES = tuple(item.value for item in Surface if item is not Surface.FACE)
_NEIGHBOURS = (("damper", "another damper"), ("wall", "an adjoining wall"), ("floor", "a floor or soffit"))
_SIDES = ("left", "right", "top", "bottom")


def _words(kind: type[StrEnum]) -> tuple[str, ...]:
    return tuple(item.value for item in kind)


def _text(key: str, heading: str, note: str, filled: bool = False, width: float = 20.0) -> TableColumn:
    return TableColumn(key, heading, FieldKind.TEXT, note, needed=filled, filled=filled, width=width)


def _names(key: str, heading: str, note: str, filled: bool = False) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NAMES, note, needed=filled, filled=filled, width=30.0)


def _word(key: str, heading: str, note: str, words: tuple[str, ...], filled: bool = False) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WORD, note, words=words, needed=filled, filled=filled, width=22.0)


def _list(key: str, heading: str, note: str, words: tuple[str, ...], filled: bool = False) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WORDS, note, words=words, needed=filled, filled=filled, width=24.0)


def _mm(key: str, heading: str, note: str, above: bool = False, filled: bool = False) -> TableColumn:
    return TableColumn(
        key,
        f"{heading} [mm]",
        FieldKind.NUMBER,
        note,
        least=0,
        most=MOST_MM,
        above=above,
        needed=filled,
        filled=filled,
    )


def _yes_no(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, heading, FieldKind.YES_NO, note, width=12.0)


def _whole(key: str, heading: str, note: str, least: int, most: int) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WHOLE, note, least=least, most=most)


def _density(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, f"{heading} [kg/m³]", FieldKind.NUMBER, note, least=0, most=20_000, above=True)


def _date(key: str, heading: str, note: str, filled: bool = False) -> TableColumn:
    return TableColumn(key, heading, FieldKind.DATE, note, needed=filled, filled=filled)


def _window(key: str, what: str, note: str) -> tuple[TableColumn, TableColumn]:
    return _mm(f"{key}.least", f"{what} least", note), _mm(f"{key}.most", f"{what} most", f"{note} Empty: no end.")


def _separation(to: str, words: str) -> tuple[TableColumn, ...]:
    note = f"The least clear distance to {words} that this damper was tested at; empty: the document gives none."
    start = _word(f"separation.{to}.from_surface", f"Distance to {to} from", "The surface here.", _SURFACES)
    end = _word(f"separation.{to}.to_surface", f"Distance to {to} to", "The surface there.", _SURFACES)
    return _mm(f"separation.{to}.least_mm", f"Distance to {to}", note), start, *((end,) if to == "damper" else ())


_GROUPS: tuple[tuple[str, tuple[TableColumn, ...]], ...] = (
    (
        "What it is",
        (
            _text("id", "Installation", "Unique in all evidence of the job; pins use it.", filled=True),
            _text("document", "Document", "The id of its document in the sheet Documents.", filled=True),
            _text("maker", "Maker", "Who makes the damper.", filled=True),
            _text("product", "Product", "The family as its maker names it; the schedule says the same.", filled=True),
            _word("kind", "Kind", "Neither kind is the other.", _words(DamperKind), filled=True),
            _text("class", "Class", "The class as declared, like EI 60 (ve i↔o) S.", filled=True, width=28.0),
            _list("actuation", "Actuation", "What the product can be had with.", _words(Actuation), filled=True),
        ),
    ),
    (
        "Sizes",
        (
            *_window("sizes.width_mm", "Width", "Sizes tested; never swapped with the height."),
            *_window("sizes.height_mm", "Height", "Sizes tested; empty for round dampers."),
            *_window("sizes.diameter_mm", "Diameter", "For round dampers, in place of width and height."),
            _mm("sizes.s_least_width_mm", "S least width", "The smallest width tested cold for S.", above=True),
            _mm("sizes.s_least_height_mm", "S least height", "The smallest height tested cold for S.", above=True),
            _mm("sizes.s_least_diameter_mm", "S least diameter", "Of round dampers.", above=True),
        ),
    ),
    (
        "Supporting construction",
        (
            _word("orientation", "Orientation", "How the barrier of the test stood.", _words(Orientation), filled=True),
            _word(
                "construction.kind",
                "Construction",
                "The supporting construction of the test.",
                _words(SupportingConstruction),
                filled=True,
            ),
            _mm(
                "construction.least_thickness_mm",
                "Construction thickness",
                "Of the test; of a ribbed deck at its thinnest place.",
                above=True,
                filled=True,
            ),
            _density("construction.least_density_kg_m3", "Density least", "The density of the test."),
            _density("construction.most_density_kg_m3", "Density most", "Only where the document itself sets one."),
            _text("construction.material", "Material", "Panels, decks, timber floors, cavity barriers, other."),
            _text("construction.board_type", "Board type", "Flexible walls."),
            _mm("construction.board_thickness_mm", "Board thickness", "Flexible walls.", above=True),
            _whole("construction.board_layers.a", "Board layers side A", "Flexible walls; both sides or none.", 0, 10),
            _whole("construction.board_layers.b", "Board layers side B", "Flexible walls; both sides or none.", 0, 10),
            _mm("construction.stud_size_mm", "Stud size", "Flexible walls.", above=True),
            _mm("construction.most_stud_spacing_mm", "Stud spacing most", "Flexible walls.", above=True),
            _text("construction.cavity_fill", "Cavity fill", "Flexible walls; none where nothing filled it."),
            _text("construction.opening_framing", "Opening framing", "How the opening was framed."),
            _mm("construction.lining_mm", "Opening lining", "On each reveal; 0: unlined."),
            _yes_no(
                "construction.shown_in_rigid",
                "Shown in rigid walls",
                "Flexible walls: whether the instructions show this very fixing and seal in rigid walls too.",
            ),
        ),
    ),
    (
        "Installation",
        (
            _word("position", "Position", "Where the damper sat.", _words(MountingPosition), filled=True),
            _word("opening_shape", "Shape of the hole", "Of the test.", _words(OpeningShape), filled=True),
            _word("fixing", "Fixing", "The family of fixing.", _words(FixingFamily), filled=True),
            _word("support", "Support", "What carried the damper.", _words(SupportKind)),
            _list("joints", "Duct joints", "How the duct may meet the casing.", _words(Joint)),
            _names("mechanism_deg", "Mechanism rotations [deg]", "All that are declared, like 0; 90; 180."),
            _names("access_sides", "Access sides", "Sides from which access is enough, in the schedule's words."),
            _mm("most_blade_offset_mm", "Blade offset most", "Of the closed blade from the barrier's centre plane."),
            _yes_no("insulation_through", "Insulation through", "Whether duct insulation may run through the hole."),
            _yes_no("deflection_head", "Deflection head above", "Whether one is allowed."),
            _yes_no("other_services", "Other services in the seal", "Whether others may pass the same seal."),
            _list("ducts", "Ducts tested on", "The sides that had a duct; all that were tested.", _words(DuctedSides)),
            _whole(
                "ducted_sides",
                "Ducted sides least",
                "In place of the column before, as older sheets have it: the fewest sides, up to both; 0: all ways.",
                0,
                2,
            ),
            _yes_no("battery", "Battery", "Whether several dampers were tested as one battery."),
            _yes_no("shared_opening", "Shared hole", "Whether several ducts in one hole were tested together."),
        ),
    ),
    (
        "Seal",
        (
            _names("seal.products", "Seal products", "Every product by its full name.", filled=True),
            _whole("seal.layers", "Seal layers", "On each face that is sealed; 1 for a mortar.", 1, 10),
            _whole("seal.faces", "Seal faces", "On how many faces of the barrier.", 1, 2),
            _names(
                "seal.parts",
                "Seal parts",
                "Of several products: how much each fills, in mm of the depth or % of the volume, like "
                "Board B 25: 75 mm; Sealant S: 25 mm.",
            ),
            *_window("seal.depth_mm", "Seal depth", "Along the duct."),
            _word("seal.gap_from", "Gap from", "The surface the gap is measured from.", _SURFACES, filled=True),
            *_window("seal.gap_mm.all", "Gap all sides", "Where all sides have the same."),
            *(
                column
                for side in _SIDES
                for column in _window(f"seal.gap_mm.{side}", f"Gap {side}", "All four or none.")
            ),
            _mm("casing_beyond_mm.all", "Casing beyond duct all sides", "How far the casing stands out."),
            *(_mm(f"casing_beyond_mm.{side}", f"Casing beyond duct {side}", "All four or none.") for side in _SIDES),
        ),
    ),
    (
        "Fixings",
        (
            _text("fixings.kind", "Kind of fixing", "What holds the damper in the test, like self-drilling screws."),
            _text("fixings.size", "Size of fixing", "Thread or diameter and length, like 4.2 × 13 mm."),
            _word(
                "fixings.along",
                "Fixings along",
                "The outline along whose sides they stand; needed with a spacing.",
                (Surface.CASING.value, Surface.FINISHED_OPENING.value, Surface.FRAMED_OPENING.value),
            ),
            _mm("fixings.most_apart_mm", "Fixings apart most", "From one to the next along a side.", above=True),
            _mm("fixings.most_from_corner_mm", "Fixings from corner most", "Of the outer ones; empty for round."),
            _whole("fixings.least_a_side", "Fixings a side least", "Whatever its length; round: in the ring.", 1, 100),
            _whole("fixings.rows", "Rows of fixings", "One on each face, flange or frame that is fixed.", 1, 4),
            _names("fixings.counts", "Fixings by size", "Where the document counts them: 600 × 400: 12; 400 × 300: 8."),
        ),
    ),
    ("Neighbours", tuple(column for to, words in _NEIGHBOURS for column in _separation(to, words))),
    ("Notes", (_names("notes", "Notes", "Texts that are shown, never judged."),)),
)

INSTALLATIONS = TableSpec(
    "Installations",
    tuple(replace(column, group=group) for group, columns in _GROUPS for column in columns),
    "id",
)
"""One row a tested installation."""

DOCUMENTS = TableSpec(
    "Documents",
    (
        _text("id", "Document", "The name that the installations use.", filled=True),
        _word("level", "Level", "What kind of document it is.", _words(DocumentLevel), filled=True),
        _text("reference", "Reference", "The number of the document.", filled=True),
        _text("revision", "Revision", "The revision of the document.", filled=True),
        _date("issued", "Issued", "The date of issue.", filled=True),
        _text("standard", "Standard", "The standard it follows, like EN 15650.", filled=True),
        _text("edition", "Edition", "Of the standard, like 2010.", filled=True),
        _date("valid_from", "Valid from", "Empty: from its issue."),
        _date("valid_to", "Valid to", "Empty: no end is stated."),
        _date("withdrawn_on", "Withdrawn on", "Empty: not withdrawn."),
        _text("certificate", "Certificate", "The certificate of constancy of performance."),
        _text("third_party", "Third-party certification", "Voluntary; never stands in for the certificate."),
        _list("marking", "Marking", "What the product carries.", (*MARKINGS, NO_MARKING)),
        _text("instructions", "Instructions", "The maker's installation instructions with their revision.", width=30.0),
        _yes_no("extended", "Extended application", "Whether the class rests on extended application (EN 15882-2)."),
    ),
    "id",
)
"""One row a document."""

EVIDENCE_INSTRUCTIONS = (
    "Evidence: one row a tested installation, exactly as its document states it; its document in the sheet Documents.",
    "An empty cell says that the document does not state the value: the check that needs it is not enough known.",
    "Type values, not formulas; numbers in number cells without their unit; don't merge cells.",
    "The unit stands in the heading. Width is horizontal in the plane of the wall (in floors: along x of the model).",
    "Several values in one cell are separated by a semicolon.",
)
"""What stands above the list of columns on the instruction sheets."""
