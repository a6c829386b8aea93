# SPDX-License-Identifier: Apache-2.0
"""The columns of the sheet of wall types: the one list behind template, reading and docs."""

from __future__ import annotations

from brattice.adapters.workbook.table import FieldKind, TableColumn, TableSpec
from brattice.building.ratings import RATING_FORMS
from brattice.building.words import SupportingConstruction

__all__ = ["WALL_TYPES", "WALL_TYPE_INSTRUCTIONS"]

_BUILD_UP, _OPENINGS, _RATING = "Build-up", "Openings", "Fire resistance and standing"


def _number(key: str, heading: str, note: str, most: float, group: str = _BUILD_UP, zero: bool = True) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NUMBER, note, least=0, most=most, above=not zero, group=group)


def _layers(key: str, side: str) -> TableColumn:
    note = f"How many layers of board on side {side}; 0 for a wall without boards; both sides or none."
    heading = f"Board layers side {side}"
    return TableColumn(key, heading, FieldKind.WHOLE, note, least=0, most=10, group=_BUILD_UP)


def _text(key: str, heading: str, note: str, group: str = _BUILD_UP, width: float = 22.0) -> TableColumn:
    return TableColumn(key, heading, FieldKind.TEXT, note, width=width, group=group)


WALL_TYPES = TableSpec(
    "Wall types",
    (
        TableColumn(
            "code",
            "Code",
            FieldKind.TEXT,
            "The code by which schedule and job name this wall or floor type; once in the job.",
            needed=True,
            filled=True,
            group=_BUILD_UP,
        ),
        TableColumn(
            "kind",
            "Kind",
            FieldKind.WORD,
            "The kind of supporting construction that tests distinguish.",
            words=tuple(item.value for item in SupportingConstruction),
            width=22.0,
            group=_BUILD_UP,
        ),
        _number("thickness_mm", "Thickness [mm]", "Overall, of the finished structure.", 5_000, zero=False),
        _number("density_kg_m3", "Density [kg/m³]", "Of masonry, concrete or panel.", 10_000, zero=False),
        _text("material", "Material", "Masonry, concrete or panel in words.", width=28.0),
        _text("board_type", "Board type", "The board as its maker names it; none for a wall without boards."),
        _number("board_thickness_mm", "Board thickness [mm]", "Of one board.", 200),
        _layers("board_layers_a", "A"),
        _layers("board_layers_b", "B"),
        _number("stud_size_mm", "Stud size [mm]", "Depth of the stud in the wall.", 1_000),
        _number("stud_spacing_mm", "Stud spacing [mm]", "Between the centres of studs.", 5_000),
        _text("cavity_fill", "Cavity fill", "What fills the cavity, with thickness and density; none when empty."),
        _text("opening_framing", "Opening framing", "How holes are framed: studs and tracks, lintel …", _OPENINGS),
        _number(
            "lining_mm",
            "Lining of framed openings [mm]",
            "Thickness of the lining on each reveal of a framed opening; 0 for an unlined one.",
            500,
            _OPENINGS,
        ),
        _text(
            "rating",
            "Rating",
            f"Fire resistance: {RATING_FORMS}. Minutes alone claim integrity and no insulation.",
            _RATING,
        ),
        _text(
            "revision", "Revision", "Revision of the drawing or specification that this row was taken from.", _RATING
        ),
    ),
    "code",
    unique=False,
)
"""The sheet of wall types: one row a type. A code that stands twice is a fault of its own kind, so not checked here."""

WALL_TYPE_INSTRUCTIONS = (
    "Wall types: one row for each type of wall or floor that a duct passes; schedule rows name them by their code.",
    "An empty cell says that the value is not stated: it becomes a query. So do: ? unknown tbc tba n/a -",
    "A flexible wall is judged by its boards, layers and studs, never by its thickness alone.",
    "Type values, not formulas; numbers in number cells without their unit; don't merge cells.",
    "Columns may be left out or moved; a column of your own needs a heading that begins with #.",
)
"""What stands above the list of columns on the instruction sheet."""
