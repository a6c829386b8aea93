# SPDX-License-Identifier: Apache-2.0
"""One workbook a party: its open queries with empty columns for the answers, and what was answered before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from brattice.adapters.queries.answer_values import ANSWERED, choices_of, expected_of, says_nothing
from brattice.adapters.queries.detail_sheet import DETAIL_SHEET, asks_cells, cells_returned, detail_lines, detail_sheet
from brattice.adapters.queries.list_file import holds_up_text
from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, OutValue, read_table_file, workbook_bytes
from brattice.adapters.workbook.table import FieldKind, TableColumn, TableRow, TableSpec, read_table
from brattice.building.queries import Asked, QueryRecord, QueryState, asked_of, field_of_key, is_overdue
from brattice.errors import Fault, InputError
from brattice.findings import Party, Query
from brattice.usecases.answers import Returned
from brattice.usecases.detail_answers import CellReturned

__all__ = ["PARTY_SHEET", "asked_now", "on_one_line", "party_bytes", "party_file", "read_back", "read_returned"]

_MOST = 2_000

PARTY_SHEET = TableSpec(
    "Queries",
    (
        TableColumn("number", "Number", FieldKind.TEXT, "Leave it.", needed=True, filled=True, width=10.0),
        TableColumn("question", "What is asked", FieldKind.TEXT, "Leave it.", needed=True, filled=True, width=44.0),
        TableColumn("expected", "What to answer", FieldKind.TEXT, "Leave it.", width=40.0),
        TableColumn("checks", "Why: checks that wait", FieldKind.TEXT, "Leave it.", width=24.0),
        TableColumn("holds_up", "Penetrations it holds up", FieldKind.TEXT, "Leave it.", width=30.0),
        TableColumn("due", "Due", FieldKind.TEXT, "Leave it.", width=12.0),
        TableColumn(
            "answer",
            "Answer",
            FieldKind.TEXT,
            "One value without its unit, in the form that stands under 'What to answer'. tbc and unknown settle "
            "nothing: leave it empty.",
            needed=True,
            width=30.0,
        ),
        *ANSWERED,
    ),
    "number",
)
"""The columns of the sheet; the last four are to be filled in."""


def asked_now(queries: Iterable[Query]) -> tuple[Asked, ...]:
    """The questions of a check, each on one line of visible characters, as sheets and the list hold it."""
    return on_one_line(asked_of(queries))


def on_one_line(asked: Iterable[Asked]) -> tuple[Asked, ...]:
    """Questions on one line of visible characters, as sheets and the list hold them."""
    return tuple(replace(item, text=one_line(item.text, _MOST)) for item in asked)


def party_file(party: Party) -> str:
    """The name of a party's workbook: `"services-designer.xlsx"`."""
    return f"{party.value.replace(' ', '-')}.xlsx"


def _open_row(record: QueryRecord, on: date) -> list[OutValue | OutCell]:
    asked = record.asked
    due = record.due.isoformat() if record.due else ""
    return [
        record.number,
        asked.text,
        expected_of(record.key),
        ", ".join(asked.checks),
        one_line(holds_up_text(asked.holds_up), _MOST),
        f"{due} (overdue)" if is_overdue(record, on) else due,
        OutCell(None, choices=choices_of(record.key)),
        None,
        None,
        None,
    ]


def _standing(record: QueryRecord) -> str:
    if record.state is QueryState.ANSWERED and field_of_key(record.key) is None:
        return "answer noted; the source has to be corrected"
    return "open again: the answer did not settle it" if record.state is QueryState.OPEN else record.state.value


def _past_rows(records: Iterable[QueryRecord]) -> list[list[OutValue | OutCell]]:
    rows: list[list[OutValue | OutCell]] = []
    for record in records:
        head: list[OutValue | OutCell] = [record.number, record.asked.text, _standing(record), record.since]
        if record.answers:
            for item in record.answers:
                asked = f"{record.asked.text}: {item.at}" if item.at else record.asked.text
                rows.append([head[0], asked, *head[2:], item.text, item.by, item.document, item.on])
        elif record.state is QueryState.WITHDRAWN:
            rows.append(head)
    return rows


def party_bytes(
    party: Party,
    records: Sequence[QueryRecord],
    *,
    job: str,
    invented: bool,
    on: date,
    stamp: datetime,
    places: Mapping[str, tuple[str, str]] | None = None,
) -> bytes:
    """The workbook of one party as the bytes of an XLSX file; the same input gives the same bytes.

    `records` are the queries to this party. `on` is the date that tells what is overdue, `places` reference and storey
    of penetrations by permanent id.
    """
    asked = [record for record in records if record.state is QueryState.OPEN and not asks_cells(record)]
    cells = detail_sheet(records, places or {})
    table = OutSheet(
        PARTY_SHEET.sheet,
        tuple(OutColumn(item.heading, item.width, item.note, wrap=item.width >= 24) for item in PARTY_SHEET.columns),
        [_open_row(record, on) for record in asked],
        frozen_columns=1,
    )
    past = OutSheet(
        "Answered and withdrawn",
        tuple(
            OutColumn(heading, width, wrap=width >= 24)
            for heading, width in (
                ("Number", 10.0),
                ("What is asked", 44.0),
                ("Stands", 30.0),
                ("Since", 12.0),
                ("Answer", 30.0),
                ("Answered by", 24.0),
                ("Document", 26.0),
                ("Date", 12.0),
            )
        ),
        _past_rows(records),
        frozen_columns=1,
    )
    lines = [
        f"Queries to the {party.value}: {one_line(job, 200)}, {on.isoformat()}.",
        *(["All names and data here are invented."] if invented else []),
        "Fill in the columns Answer, Answered by, Document and Date, and send the file back as it is.",
        "One value in each answer, in the form that stands under 'What to answer', without its unit.",
        "An empty answer, tbc, unknown and the like settle nothing: the query stays open.",
        *_cells_told(records),
        (
            "Where 'What to answer' says so, an answer is a note: the schedule, the model or the document has to be "
            "corrected too."
        ),
        "An answer says what is to be there. It passes nothing by itself: each penetration is judged again with it.",
        (
            "The tested instructions of the damper's maker, the fire strategy, local codes and building control come "
            "before anything written here."
        ),
    ]
    about = OutSheet("Instructions", (OutColumn("", 120.0),), [[line] for line in lines], headings=False)
    title = f"Queries to the {party.value}"
    return workbook_bytes([table, *([cells] if cells else []), past, about], stamp=stamp, title=title)


def _cells_told(records: Sequence[QueryRecord]) -> list[str]:
    """How the sheet of details is filled in; nothing where there is none."""
    lines = detail_lines(records)
    if not lines:
        return []
    told = (
        "The sheet Details asks what the drawings leave to be settled: a row a penetration, a column a fact. Fill in "
        "the white cells that you know (one value may be filled down), and Answered by, Document and Date of each row; "
        "leave grey cells as they are."
    )
    return [told, *lines]


def _returned(file: str, row: TableRow) -> Returned:
    def text(key: str) -> str:
        return one_line(row.text(key) or "")

    answer = text("answer")
    return Returned(
        file,
        row.place(),
        text("number"),
        text("question"),
        "" if says_nothing(answer) else answer,
        text("by"),
        text("document"),
        row.day("on"),
    )


def read_returned(files: Iterable[tuple[str | Path, str]]) -> tuple[Returned, ...]:
    """The rows of queries alone of workbooks that came back; raises as `read_back`."""
    return read_back(files)[0]


def read_back(
    files: Iterable[tuple[str | Path, str]],
) -> tuple[tuple[Returned, ...], tuple[CellReturned, ...]]:
    """The rows of workbooks that came back, given as (path, what to call the file), and the cells of details.

    Raises `InputError` with every fault of every file.
    """
    faults: list[Fault] = []
    found: list[Returned] = []
    cells: list[CellReturned] = []
    for path, name in files:
        try:
            book = read_table_file(path, file=name)
        except InputError as error:
            faults.extend(error.faults)
            continue
        sheet = book.sheet([PARTY_SHEET.sheet])
        if sheet is None:
            names = ", ".join(repr(one_line(item.name, 60)) for item in book.sheets) or "none"
            faults.append(Fault(name, "", f"the sheets {names}", f"a sheet named '{PARTY_SHEET.sheet}'"))
            continue
        table = read_table(book, sheet, PARTY_SHEET)
        faults.extend(table.faults)
        found += [_returned(name, row) for row in table.rows]
        details = book.sheet([DETAIL_SHEET.sheet])
        if details is not None:
            filled = read_table(book, details, DETAIL_SHEET)
            faults.extend(filled.faults)
            cells += [cell for row in filled.rows for cell in cells_returned(name, row)]
    if faults:
        raise InputError(faults)
    return tuple(found), tuple(cells)
