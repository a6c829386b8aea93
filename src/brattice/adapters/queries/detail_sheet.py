# SPDX-License-Identifier: Apache-2.0
"""The sheet *Details* of a party's workbook: a row a penetration, a column a fact; empty cells are what is asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from brattice.adapters.queries.answer_values import ANSWERED, choices_of, expected_of, says_nothing
from brattice.adapters.sheets import SCHEDULE
from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, OutValue
from brattice.adapters.workbook.table import FieldKind, TableColumn, TableRow, TableSpec
from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.queries import QueryRecord, QueryState, field_of_key, is_detail_key
from brattice.usecases.detail_answers import CellReturned

__all__ = ["DETAIL_SHEET", "asks_cells", "cells_returned", "detail_lines", "detail_sheet"]

NOT_ASKED = "E4E8EA"
"""The fill of cells in which nothing is asked."""

_HEAD = ("id", "reference", "place")

DETAIL_SHEET = TableSpec(
    "Details",
    (
        TableColumn("id", "Id", FieldKind.TEXT, "Leave it.", needed=True, filled=True, width=10.0),
        TableColumn("reference", "Reference", FieldKind.TEXT, "Leave it.", width=16.0),
        TableColumn("place", "Storey", FieldKind.TEXT, "Leave it.", width=14.0),
        *(
            TableColumn(field, SCHEDULE.column(field).heading, FieldKind.TEXT, words, width=18.0)
            for field, (words, _) in DETAIL_FIELDS.items()
        ),
        *ANSWERED,
    ),
    "id",
)
"""All columns that the sheet may have; a workbook has those that are asked."""


def asks_cells(record: QueryRecord) -> bool:
    """Whether a query is answered in the cells of this sheet, and not in a row of its own."""
    return is_detail_key(record.key) and field_of_key(record.key) is not None


def _asked(records: Sequence[QueryRecord]) -> dict[str, QueryRecord]:
    """The open queries by the field that they ask, in the order of the schedule's columns."""
    found: dict[str, QueryRecord] = {}
    for record in records:
        named = field_of_key(record.key)
        if named is not None and asks_cells(record) and record.state is QueryState.OPEN:
            found[named.name] = record
    return {field: found[field] for field in DETAIL_FIELDS if field in found}


def detail_lines(records: Sequence[QueryRecord]) -> list[str]:
    """What to write in each column that is asked, for the sheet of instructions."""
    lines = []
    for field, record in _asked(records).items():
        form = expected_of(record.key).rstrip(".")
        lines.append(f"{SCHEDULE.column(field).heading}: {record.asked.text} ({record.number}). Write {form}.")
    return lines


def detail_sheet(records: Sequence[QueryRecord], places: Mapping[str, tuple[str, str]]) -> OutSheet | None:
    """The sheet of a party's open queries of details; None where none is open.

    `places` are reference and storey by permanent id, as far as they are known.
    """
    asked = _asked(records)
    if not asked:
        return None
    columns = [
        OutColumn(
            item.heading,
            item.width,
            f"{asked[item.key].number}: {asked[item.key].asked.text}. {expected_of(asked[item.key].key)}"
            if item.key in asked
            else item.note,
        )
        for item in DETAIL_SHEET.columns
        if item.key in asked or item.key not in DETAIL_FIELDS
    ]
    rows: list[list[OutValue | OutCell]] = []
    for name in sorted({name for record in asked.values() for name in record.asked.holds_up}):
        reference, storey = places.get(name, ("", ""))
        cells: list[OutValue | OutCell] = [name, one_line(reference), one_line(storey)]
        for record in asked.values():
            if name in record.asked.holds_up:
                cells.append(OutCell(None, choices=choices_of(record.key)))
            else:
                cells.append(OutCell(None, fill=NOT_ASKED))
        rows.append([*cells, None, None, None])
    return OutSheet(DETAIL_SHEET.sheet, tuple(columns), rows, frozen_columns=1, for_typing=True)


def cells_returned(file: str, row: TableRow) -> list[CellReturned]:
    """The cells of a row that came back filled; those that say nothing are left out."""

    def text(key: str) -> str:
        return one_line(row.text(key) or "")

    return [
        CellReturned(
            file,
            row.place(field),
            row.place(),
            text("id"),
            field,
            text(field),
            text("by"),
            text("document"),
            row.day("on"),
        )
        for field in DETAIL_FIELDS
        if field in row.values and not says_nothing(text(field))
    ]
