# SPDX-License-Identifier: Apache-2.0
"""Read sheets of wall types, strictly: every fault of every file at once, codes and revisions across files."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from brattice.adapters.sheets.schedule import FileRead, sheet_of
from brattice.adapters.sheets.wall_type_columns import WALL_TYPE_INSTRUCTIONS, WALL_TYPES
from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutValue, read_table_file, workbook_bytes
from brattice.adapters.workbook.table import TableRow, template_sheets
from brattice.building.ratings import RATING_FORMS, rating_from_text
from brattice.building.wall_type import WallType
from brattice.building.wall_types import wall_type_of
from brattice.building.words import SupportingConstruction
from brattice.errors import Fault, InputError
from brattice.findings import Known, Origin
from brattice.quantities import KgPerM3, Mm

__all__ = ["WallTypesRead", "read_wall_types", "wall_types_bytes"]

_LENGTHS = ("thickness_mm", "board_thickness_mm", "stud_size_mm", "stud_spacing_mm", "lining_mm")
_TEXTS = ("material", "board_type", "cavity_fill", "opening_framing", "revision")


@dataclass(frozen=True)
class WallTypesRead:
    """All wall types by code, and the files they stand in."""

    wall_types: tuple[WallType, ...]
    files: tuple[FileRead, ...]


def _origin(file: str, row: TableRow, key: str) -> Origin:
    return Origin(file, row.place(key))


def _stated(file: str, row: TableRow, faults: list[Fault]) -> dict[str, Known[Any]]:
    stated: dict[str, Known[Any]] = {}
    for key in _LENGTHS:
        if (number := row.number_at(key)) is not None:
            stated[key] = Known(Mm(float(number)), _origin(file, row, key))
    if (density := row.number_at("density_kg_m3")) is not None:
        stated["density_kg_m3"] = Known(KgPerM3(float(density)), _origin(file, row, "density_kg_m3"))
    for key in _TEXTS:
        if (text := row.text(key)) is not None:
            stated[key] = Known(one_line(text), _origin(file, row, key))
    if (kind := row.text("kind")) is not None:
        stated["kind"] = Known(SupportingConstruction(kind), _origin(file, row, "kind"))
    layers = (row.number_at("board_layers_a"), row.number_at("board_layers_b"))
    if layers[0] is not None and layers[1] is not None:
        place = f"{row.place('board_layers_a')} and '{row.headings['board_layers_b']}'"
        stated["board_layers"] = Known((int(layers[0]), int(layers[1])), Origin(file, place))
    elif layers != (None, None):
        missing = "board_layers_a" if layers[0] is None else "board_layers_b"
        known_places = {fault.place for fault in faults}
        if row.place(missing) not in known_places:
            faults.append(Fault(file, row.place(missing), "nothing beside the other side", "the layers of both sides"))
    if (text := row.text("rating")) is not None:
        rating = rating_from_text(text)
        if rating is None:
            faults.append(Fault(file, row.place("rating"), repr(one_line(text, 60)), RATING_FORMS))
        else:
            stated["rating"] = Known(rating, _origin(file, row, "rating"))
    return stated


def read_wall_types(files: Iterable[tuple[str | Path, str]]) -> WallTypesRead:
    """All wall types, given as (path, what to call the file); XLSX or CSV by the ending of the name.

    A code that stands twice, in one file or two, is a fault that names both revisions. Raises `InputError` with
    every fault of every file.
    """
    faults: list[Fault] = []
    types: dict[str, tuple[WallType, str, str]] = {}
    read: list[FileRead] = []
    for path, name in files:
        try:
            book = read_table_file(path, file=name)
        except InputError as error:
            faults.extend(error.faults)
            continue
        table = sheet_of(book, WALL_TYPES, faults)
        for row in table.rows:
            stated = _stated(name, row, faults)
            code = one_line(row.text("code") or "")
            if not code:
                continue
            revision = one_line(row.text("revision") or "") or "not stated"
            place = f"{name}, {row.place()}"
            if code.casefold() in types:
                _, first_place, first_revision = types[code.casefold()]
                found = f"{code!r} again (revision {revision}; first in {first_place}, revision {first_revision})"
                faults.append(Fault(name, row.place("code"), found, "the one row that holds now"))
            else:
                types[code.casefold()] = (wall_type_of(code, stated), place, revision)
        read.append(FileRead(name, book.sha256, (*book.notes, *table.notes)))
    if faults:
        raise InputError(faults)
    found_types = sorted((item[0] for item in types.values()), key=lambda item: item.code)
    return WallTypesRead(tuple(found_types), tuple(sorted(read)))


def wall_types_bytes(rows: Iterable[Mapping[str, OutValue | tuple[str, ...]]] = (), *, stamp: datetime) -> bytes:
    """The template of the wall-type sheet as XLSX, filled with rows (values by column key) when some are given."""
    return workbook_bytes(template_sheets(WALL_TYPES, WALL_TYPE_INSTRUCTIONS, rows), stamp=stamp, title="Wall types")
