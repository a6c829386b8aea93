# SPDX-License-Identifier: Apache-2.0
"""The tracker as a workbook: a sheet a level that people type in, and what came back of it.

A hidden sheet says which entries, facts and zones each row was written with. What is typed is held against that.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from brattice.adapters.text import one_line
from brattice.adapters.tracker.record_file import about_of
from brattice.adapters.workbook import (
    OutCell,
    OutColumn,
    OutSheet,
    OutValue,
    Sheet,
    Workbook,
    read_table_file,
    workbook_bytes,
)
from brattice.adapters.workbook.table import (
    HEADING_ROWS,
    NOT_STATED,
    FieldKind,
    TableColumn,
    TableRow,
    TableSpec,
    read_table,
)
from brattice.building.words import plain
from brattice.errors import Fault, InputError
from brattice.findings import Finding
from brattice.register.stages import STAGES, About, Remark, RestsOn, Stage, StageEvent
from brattice.usecases.report_model import Report
from brattice.usecases.stages_taken import CONFIRMED, SAID_TWICE, TAKEN_BACK, Typed
from brattice.usecases.tracking import StageCell, TrackerRow, retired_rows, tracker_rows

__all__ = ["TRACKER_SHEET_FILE", "cleaned", "read_typed", "tracker_bytes"]

TRACKER_SHEET_FILE = "tracker.xlsx"
"""The name of the workbook."""

_WRITTEN_WITH = "Written with"
_NO_LEVEL = "Level not known"
_RETIRED = "Retired"
_OURS = frozenset(
    name.casefold() for name in ("Overview", "Contradictions", "History", "Words", _RETIRED, _WRITTEN_WITH)
)
_ID = "Id"
_GIVEN_FILL = "EEF0F2"
_DOUBT_FILL = "F7D9A8"
_LINE = 300
_HISTORY_MOST = 5_000


def _heading(stage: Stage) -> str:
    return f"{stage[:1].upper()}{stage[1:]}"


def _stage_columns() -> Iterable[TableColumn]:
    words = (TAKEN_BACK, CONFIRMED, SAID_TWICE)
    for spec in STAGES:
        note = f"{spec.meaning} The date on which it was done. '{TAKEN_BACK}': it does not hold."
        yield TableColumn(
            f"{spec.stage.value}/on", _heading(spec.stage), FieldKind.DATE, note, words=words, needed=True, width=11.5
        )
        yield TableColumn(
            f"{spec.stage.value}/who",
            f"{_heading(spec.stage)}: who",
            FieldKind.TEXT,
            "Name and firm of who did it.",
            needed=True,
            width=14.0,
        )


_TEXT = FieldKind.TEXT
TRACKER_TABLE = TableSpec(
    "Tracker",
    (
        TableColumn("id", _ID, _TEXT, "Permanent. Leave it.", needed=True, filled=True, width=9.0),
        TableColumn("references", "References", _TEXT, "Leave it: it comes from the schedule.", width=16.0),
        TableColumn("level", "Level", _TEXT, "Leave it.", width=11.0),
        TableColumn(
            "zone", "Zone", _TEXT, "Yours to fill in. What is typed here goes before the schedule's.", needed=True
        ),
        TableColumn("place", "Place", _TEXT, "Leave it: grid or room of the schedule.", width=16.0),
        TableColumn("wall_type", "Wall type", _TEXT, "Leave it.", width=10.0),
        TableColumn("size", "Size [mm]", _TEXT, "Leave it: the damper's size, else the duct's.", width=12.0),
        TableColumn("state", "Judgment", _TEXT, "Leave it: the state of the last check.", width=15.0),
        *_stage_columns(),
        TableColumn("note", "Note", _TEXT, "Yours to fill in.", needed=True, width=30.0),
        TableColumn(
            "doubts", "What contradicts", _TEXT, "Leave it: the sheet Contradictions has the words.", width=30.0
        ),
    ),
    "id",
)
"""The columns of a level's sheet: a date and a name for each stage, a zone and a note are typed."""

_TYPED = frozenset({"zone", "note", *(f"{stage.value}/{part}" for stage in Stage for part in ("on", "who"))})

Cells = list[list[OutValue | OutCell]]


def _codes(findings: Iterable[Finding]) -> str:
    return "; ".join(dict.fromkeys(finding.code for finding in findings if finding.open))


def _stage_cells(cell: StageCell) -> Mapping[str, OutValue | OutCell]:
    fill = _DOUBT_FILL if cell.doubtful else ""
    return {
        f"{cell.stage.value}/on": OutCell(cell.shown.on, fill=fill),
        f"{cell.stage.value}/who": OutCell(cell.shown.who, fill=fill),
    }


def _row(row: TrackerRow) -> list[OutValue | OutCell]:
    values: dict[str, OutValue | OutCell] = {
        "id": OutCell(row.id, bold=True),
        "references": one_line("; ".join(row.references), _LINE),
        "level": one_line(row.level, _LINE),
        "zone": one_line(row.zone),
        "place": one_line(row.place, _LINE),
        "wall_type": one_line(row.wall_type, _LINE),
        "size": row.size,
        "state": row.state,
        "note": row.note,
        "doubts": _codes(row.findings),
    }
    for cell in row.stages:
        values.update(_stage_cells(cell))
    cells: list[OutValue | OutCell] = []
    for column in TRACKER_TABLE.columns:
        value = values[column.key]
        if column.key not in _TYPED:
            given = value if isinstance(value, OutCell) else OutCell(value)
            fill = _DOUBT_FILL if column.key == "doubts" and given.value else _GIVEN_FILL
            value = OutCell(given.value, fill=fill, bold=given.bold)
        cells.append(value)
    return cells


def _table(name: str, rows: Iterable[TrackerRow]) -> OutSheet:
    columns = tuple(
        OutColumn(item.heading, item.width, item.note, wrap=item.kind is FieldKind.TEXT)
        for item in TRACKER_TABLE.columns
    )
    ordered = sorted(rows, key=lambda row: (not row.zone, row.zone.casefold(), row.references, row.id))
    return OutSheet(name, columns, [_row(row) for row in ordered], frozen_columns=2, fit_rows=True, for_typing=True)


def _levels(report: Report, rows: Sequence[TrackerRow]) -> list[str]:
    """The levels in the order of the models' storeys, then by name; "" (not known) last."""
    order = {plain(plan.storey): number for number, plan in enumerate(report.plans)}
    found = {row.level for row in rows}
    return sorted(found, key=lambda name: (not name, order.get(plain(name), len(order)), name))


def _sheet_of(level: str) -> str:
    """The name of a level's sheet; one that is called like a sheet of ours gets a word before it."""
    name = one_line(level, _LINE) or _NO_LEVEL
    return f"Level {name}" if name.casefold() in _OURS else name


def _count_row(label: Sequence[str], rows: Sequence[TrackerRow]) -> list[OutValue | OutCell]:
    said = [sum(row.stages[at].shown.on is not None for row in rows) for at in range(len(Stage))]
    doubts = sum(bool(_codes(row.findings)) for row in rows)
    return [*label, len(rows), *said, OutCell(doubts, fill=_DOUBT_FILL if doubts else "")]


def _overview(report: Report, rows: Sequence[TrackerRow], retired: Sequence[TrackerRow]) -> OutSheet:
    cells: Cells = [
        [OutCell(f"Tracker: {one_line(report.job_name, 200)}", bold=True)],
        [f"Judged for {report.as_of.isoformat()}; made by Brattice {report.version}"],
    ]
    if report.invented:
        cells.append([OutCell("All data is invented; this is no real building.", bold=True)])
    heads = ("Level", "Zone", "Penetrations", *(_heading(stage) for stage in Stage), "Contradictions")
    cells += [[], [OutCell(head, bold=True, fill=_GIVEN_FILL) for head in heads]]
    for level in _levels(report, rows):
        mine = [row for row in rows if row.level == level]
        name = one_line(level, _LINE) or _NO_LEVEL
        zones = sorted({row.zone for row in mine}, key=lambda zone: (not zone, zone))
        cells.append(_count_row((name, "" if len(zones) == 1 and not zones[0] else "all"), mine))
        if zones != [""]:
            cells += [
                _count_row(("", one_line(zone, _LINE) or "no zone"), [row for row in mine if row.zone == zone])
                for zone in zones
            ]
    cells.append(
        [
            OutCell(value, bold=True) if not isinstance(value, OutCell) else value
            for value in _count_row(("All levels", ""), rows)
        ]
    )
    if retired:
        cells += [[], [f"{len(retired)} more, which no source has any more, stand on the sheet {_RETIRED}."]]
    for title, lines in (("How to use it", _HOW), ("Cautions", (*_CAUTIONS, *report.cautions))):
        cells += [[], [OutCell(title, bold=True)]]
        cells += [[line] for line in lines]
    widths = (22.0, 16.0, 14.0, *(len(stage) + 3.0 for stage in Stage), 16.0)
    return OutSheet("Overview", tuple(OutColumn("", width) for width in widths), cells, headings=False, filter=False)


_HOW = (
    "White columns are yours: the date and the name for each stage, zone and note. Grey columns come from the sources.",
    "The date is the day on which it was done, never one that is planned.",
    f"To correct an entry, type over it. To take one back, write '{TAKEN_BACK}' in place of its date, zone or note.",
    "Emptying a cell changes nothing: it is asked what is meant.",
    (
        f"Where the facts that an entry rests on have changed since, and it still holds, write '{CONFIRMED}' in place "
        "of the date; the name is of who confirms."
    ),
    f"'{SAID_TWICE}' stands where people say it otherwise than each other: type the right date and name over it.",
    (
        "Several people may type in copies. `brattice tracker JOB --take FILE ...` takes all of them, in any order; an "
        "old copy undoes nothing that was said since."
    ),
)

_CAUTIONS = (
    (
        "A stage is what somebody says. It passes nothing and changes no judgment; where it contradicts one, it is "
        "amber and stands on the sheet Contradictions."
    ),
)


def _contradictions(report: Report, rows: Sequence[TrackerRow]) -> OutSheet:
    columns = (
        OutColumn("Penetration", 13),
        OutColumn("References", 18, wrap=True),
        OutColumn("Level", 14, wrap=True),
        OutColumn("Finding", 28),
        OutColumn("Open", 8),
        OutColumn("What", 90, wrap=True),
        OutColumn("What it needs", 46, wrap=True),
    )
    cells: Cells = []
    for row in rows:
        for finding in row.findings:
            cells.append(
                [
                    OutCell(row.id, bold=True),
                    one_line("; ".join(row.references), _LINE),
                    one_line(row.level, _LINE),
                    finding.code,
                    "open" if finding.open else "",
                    finding.text,
                    finding.need,
                ]
            )
    return OutSheet("Contradictions", columns, cells, frozen_columns=1, fit_rows=True)


def _history(events: Sequence[StageEvent]) -> OutSheet:
    """The entries as they were taken, the latest last; of a very long record the latest alone."""
    columns = (
        OutColumn("Penetration", 13),
        OutColumn("About", 22),
        OutColumn("What", 12),
        OutColumn("Date", 12),
        OutColumn("Who", 26, wrap=True),
        OutColumn("Document, note or zone", 44, wrap=True),
        OutColumn("Taken on", 12, "The day on which it was taken into the record."),
        OutColumn("Entry", 17),
        OutColumn("Takes the place of", 36, wrap=True),
    )
    cells: Cells = [
        [
            event.penetration,
            event.about.value,
            event.step.value,
            event.on,
            event.who,
            event.text,
            event.taken,
            event.entry,
            " ".join(event.replaces),
        ]
        for event in events[-_HISTORY_MOST:]
    ]
    if len(events) > _HISTORY_MOST:
        cells.insert(0, ["", f"the latest {_HISTORY_MOST:,} of {len(events):,} entries; tracker.csv has all"])
    return OutSheet("History", columns, cells, frozen_columns=1, fit_rows=True)


def _written_with(report: Report, rows: Iterable[TrackerRow]) -> OutSheet:
    cells: Cells = [["job", json.dumps(report.job_name), "", ""]]
    for row in rows:
        entries = {cell.stage.value: list(cell.entries) for cell in row.stages if cell.entries}
        entries |= {Remark.ZONE.value: list(row.zone_entries)} if row.zone_entries else {}
        entries |= {Remark.NOTE.value: list(row.note_entries)} if row.note_entries else {}
        facts = {name: value for name, value in row.facts if value}
        cells.append([row.id, json.dumps(entries), json.dumps(one_line(row.zone_given)), json.dumps(facts)])
    columns = tuple(OutColumn(heading, 30) for heading in ("Row", "Entries", "Zone", "Facts"))
    return OutSheet(_WRITTEN_WITH, columns, cells, hidden=True, filter=False)


def tracker_bytes(report: Report, events: Sequence[StageEvent], *, stamp: datetime) -> bytes:
    """The tracker as the bytes of an XLSX file; the same input gives the same bytes.

    `report` is one that `with_tracker` made of the same `events`.
    """
    rows, retired = tracker_rows(report), retired_rows(report)
    sheets = [_overview(report, rows, retired)]
    sheets += [_table(_sheet_of(level), [row for row in rows if row.level == level]) for level in _levels(report, rows)]
    sheets.append(_contradictions(report, (*rows, *retired)))
    if retired:
        sheets.append(_table(_RETIRED, retired))
    sheets += [_history(events), _written_with(report, (*rows, *retired))]
    return workbook_bytes(sheets, stamp=stamp, title="Tracker of penetrations")


@dataclass(frozen=True)
class _Base:
    """What a row was written with."""

    entries: Mapping[str, tuple[str, ...]]
    zone: str
    facts: tuple[tuple[str, str], ...]


class _Back:
    """One workbook that came back, while it is read."""

    def __init__(self, book: Workbook, name: str, job: str) -> None:
        self.book, self.name, self.job = book, name, job
        self.faults: list[Fault] = []
        self.typed: list[Typed] = []

    def fault(self, place: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.name, place, found, expected))

    def read(self) -> None:
        bases = self.bases()
        tables = [sheet for sheet in self.book.sheets if sheet.name != _WRITTEN_WITH and _is_table(sheet)]
        if not self.faults and not tables:
            self.fault("", "no sheet of a level", f"a sheet with the heading '{_ID}', as `brattice tracker` wrote it")
        if self.faults:
            return
        first: dict[str, str] = {}
        for sheet in tables:
            table = read_table(self.book, sheet, TRACKER_TABLE)
            self.faults += table.faults
            for row in table.rows:
                name = one_line(row.text("id") or "")
                earlier = first.setdefault(name, row.place())
                if earlier != row.place() and name:
                    self.fault(row.place("id"), f"{name!r} again (first in {earlier})", "each once in a file")
                elif name and name not in bases:
                    self.fault(row.place("id"), repr(one_line(name, 60)), "an id that this sheet was written with")
                elif name:
                    self.typed += _typed_of(self.name, row, name, bases[name])

    def bases(self) -> dict[str, _Base]:
        """What each row was written with, by id."""
        sheet = self.book.sheet([_WRITTEN_WITH])
        found: dict[str, _Base] = {}
        if sheet is None:
            expected = "a workbook that `brattice tracker` wrote, with all its sheets; type in that one"
            self.fault("", f"no hidden sheet '{_WRITTEN_WITH}'", expected)
            return found
        for number, cells in sheet.rows():
            texts = {at: cell.value for at, cell in cells.items() if isinstance(cell.value, str)}
            key = texts.get(1, "")
            if number == 1:
                continue
            try:
                if key == "job":
                    self.check_job(json.loads(texts.get(2, "")))
                else:
                    found[key] = _base(*(json.loads(texts.get(at, "")) for at in (2, 3, 4)))
            except (ValueError, TypeError, AttributeError, RecursionError):
                place = f"sheet '{_WRITTEN_WITH}', row {number}"
                self.fault(place, "not what Brattice wrote", "the sheet as it was; write the tracker again")
        return found

    def check_job(self, job: Any) -> None:
        if job != self.job:
            said = f"a sheet of the job {one_line(str(job), 100)!r}"
            self.fault("", said, f"one of this job, {one_line(self.job, 100)!r}")


def _is_table(sheet: Sheet) -> bool:
    for number, cells in sheet.rows():
        if number > HEADING_ROWS:
            break
        if any(isinstance(cell.value, str) and cell.value.strip() == _ID for cell in cells.values()):
            return True
    return False


def _base(entries: Any, zone: Any, facts: Any) -> _Base:
    """What a row was written with; a `ValueError` or `TypeError` where it is not what Brattice writes."""
    names = {name.value for name in RestsOn}
    if not isinstance(zone, str) or any(about_of(name) is None for name in entries) or facts.keys() - names:
        raise ValueError
    if not all(isinstance(value, str) for value in facts.values()):
        raise TypeError
    codes = {name: tuple(sorted(str(code) for code in given)) for name, given in entries.items()}
    return _Base(codes, zone, tuple(facts.items()))


def _typed_of(file: str, row: TableRow, name: str, base: _Base) -> Iterable[Typed]:
    def entries(about: About) -> tuple[str, ...]:
        return base.entries.get(about.value, ())

    for stage in Stage:
        key = f"{stage.value}/on"
        on = row.values.get(key)
        assert not isinstance(on, bool | int | float | tuple)
        who = one_line(row.text(f"{stage.value}/who") or "")
        yield Typed(file, row.place(key), name, stage, entries(stage), on, who, facts=base.facts)
    for about, given in ((Remark.ZONE, base.zone), (Remark.NOTE, "")):
        text = one_line(row.text(about.value) or "")
        yield Typed(file, row.place(about.value), name, about, entries(about), text=text, given=given)


def cleaned(typed: Typed) -> Typed:
    """What was typed elsewhere than in a sheet, as a sheet would hold it: one line, nothing invisible or acting."""

    def text(given: str) -> str:
        line = one_line(given)
        return "" if line.casefold() in NOT_STATED else line

    return replace(typed, who=text(typed.who), text=text(typed.text))


def read_typed(files: Iterable[tuple[str | Path, str]], *, job: str) -> tuple[Typed, ...]:
    """All cells that people type in, of workbooks that came back, given as (path, what to call the file).

    `job` is the name of the job: a sheet of another is refused. Raises `InputError` with every fault of every file.
    """
    faults: list[Fault] = []
    found: list[Typed] = []
    for path, name in files:
        try:
            book = read_table_file(path, file=name)
        except InputError as error:
            faults.extend(error.faults)
            continue
        back = _Back(book, name, job)
        back.read()
        faults += back.faults
        found += back.typed
    if faults:
        raise InputError(faults)
    return tuple(found)
