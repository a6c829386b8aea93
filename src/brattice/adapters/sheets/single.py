# SPDX-License-Identifier: Apache-2.0
"""One value outside its sheet, read by the very readers of the sheets: the same words, bounds and messages."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from brattice.adapters.sheets.schedule import _Row
from brattice.adapters.sheets.schedule_columns import SCHEDULE
from brattice.adapters.sheets.wall_type_columns import WALL_TYPES
from brattice.adapters.sheets.wall_types import _stated
from brattice.adapters.workbook import Cell, CellKind, Sheet, Workbook
from brattice.adapters.workbook.table import TableRow, TableSpec, read_table
from brattice.building.schedule import ScheduleRow
from brattice.building.words import SeparationFill
from brattice.errors import Fault

__all__ = ["stated_of_penetration", "stated_of_wall_type"]


def _row(spec: TableSpec, texts: Mapping[str, str]) -> tuple[TableRow | None, list[Fault]]:
    """The row that a sheet with these texts under their headings would hold."""
    stated = {spec.id_key: "answer", **texts}
    cells = [
        Cell(row, at, CellKind.TEXT, value)
        for at, (key, text) in enumerate(stated.items(), start=1)
        for row, value in ((1, spec.column(key).heading), (2, text))
    ]
    sheet = Sheet("", tuple(cells))
    table = read_table(Workbook("answer", "", (sheet,), typed=False), sheet, spec)
    return (table.rows[0] if table.rows else None), list(table.faults)


def stated_of_penetration(texts: Mapping[str, str]) -> tuple[ScheduleRow | None, SeparationFill | None, list[Fault]]:
    """What a schedule row with these texts (by column key) states, with what lies between it and its neighbour.

    Faults come back in place of being raised; then nothing is stated.
    """
    row, faults = _row(SCHEDULE, texts)
    if row is None or faults:
        return None, None, faults
    fill = row.text("near_damper_fill")
    if fill is not None:
        return None, SeparationFill(fill), []
    facts = _Row("answer", row, faults).facts()
    return (None if faults else facts), None, faults


def stated_of_wall_type(texts: Mapping[str, str]) -> tuple[Mapping[str, Any], list[Fault]]:
    """What a row of the wall-type sheet with these texts (by column key) states, by field name, and faults."""
    row, faults = _row(WALL_TYPES, texts)
    if row is None or faults:
        return {}, faults
    stated = _stated("answer", row, faults)
    return ({} if faults else {key: fact.value for key, fact in stated.items()}), faults
