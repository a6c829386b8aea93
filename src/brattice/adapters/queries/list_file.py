# SPDX-License-Identifier: Apache-2.0
"""The list's file, `queries.csv`: one row an event, read strictly, only ever added to, written whole or not at all."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from brattice.adapters.text import kept_text, one_line, unkept_text
from brattice.adapters.workbook import Cell, Limits, read_csv_table, write_file
from brattice.building.queries import Answer, Asked, QueryEvent, QueryStep, query_number, records_of
from brattice.errors import Fault, InputError
from brattice.findings import Party

__all__ = ["QUERIES_COLUMNS", "QUERIES_FILE", "holds_up_text", "queries_text", "read_queries", "save_queries"]

QUERIES_FILE = "queries.csv"
QUERIES_COLUMNS = (
    "number",
    "key",
    "step",
    "on",
    "text",
    "ask",
    "checks",
    "holds_up",
    "due",
    "answer",
    "answered_by",
    "document",
    "document_date",
    "at",
    "source",
)
"""The columns of `queries.csv`. `step` is asked, changed, issued, answered or withdrawn."""

_BEFORE = QUERIES_COLUMNS[:-2]
"""The columns of a list that was written before answers had a penetration and a source; it is read too."""

_LIMITS = Limits(rows=1_000_000, cells=10_000_000, text_length=120_000)
_ID = re.compile(r"P-(\d{4,9})\Z", re.ASCII)
_RUN = re.compile(r"P-(\d{4,9})\.\.P-(\d{4,9})\Z", re.ASCII)
_LONGEST_RUN = 1_000_000


def holds_up_text(ids: Iterable[str]) -> str:
    """Permanent ids in order, three or more in a row as a run: `"P-0001..P-0007 P-0012"`."""
    numbered = {int(match.group(1)): match.group(0) for name in ids if (match := _ID.match(name))}
    parts: list[str] = []
    run: list[int] = []
    for number in [*sorted(numbered), -1]:
        if run and number != run[-1] + 1:
            ends = (numbered[run[0]], numbered[run[-1]])
            parts += [f"{ends[0]}..{ends[1]}"] if len(run) > 2 else [numbered[item] for item in run]
            run = []
        run.append(number)
    return " ".join(parts)


def _ids(text: str) -> tuple[str, ...] | None:
    found: list[str] = []
    for part in text.split():
        run = _RUN.match(part)
        if run is not None:
            first, last = int(run.group(1)), int(run.group(2))
            if not first < last <= first + _LONGEST_RUN:
                return None
            found += [f"P-{number:04d}" for number in range(first, last + 1)]
        elif _ID.match(part):
            found.append(part)
        else:
            return None
    return tuple(sorted(found))


def queries_text(events: Iterable[QueryEvent]) -> str:
    """The list as CSV text, events in their order; the same events give the same text."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(QUERIES_COLUMNS)
    for event in events:
        asked, answer = event.asked, event.answer
        writer.writerow(
            [
                event.number,
                kept_text(event.key),
                event.step.value,
                event.on.isoformat(),
                kept_text(asked.text) if asked else "",
                asked.ask.value if asked else "",
                " ".join(asked.checks) if asked else "",
                holds_up_text(asked.holds_up) if asked else "",
                event.due.isoformat() if event.due else "",
                kept_text(answer.text) if answer else "",
                kept_text(answer.by) if answer else "",
                kept_text(answer.document) if answer else "",
                answer.on.isoformat() if answer else "",
                answer.at if answer else "",
                kept_text(answer.source) if answer else "",
            ]
        )
    return out.getvalue()


class _Row:
    """One row while it is read."""

    def __init__(self, file: str, number: int, cells: dict[int, Cell], faults: list[Fault]) -> None:
        self.file, self.number, self.faults = file, number, faults
        self.texts = {name: str(cells[at].value) for at, name in enumerate(QUERIES_COLUMNS, start=1) if at in cells}

    def fault(self, column: str, expected: str) -> None:
        found = repr(one_line(self.texts[column], 60)) if column in self.texts else "nothing"
        self.faults.append(Fault(self.file, f"row {self.number}, column '{column}'", found, expected))

    def text(self, column: str) -> str:
        text = unkept_text(self.texts.get(column, ""))
        if not text:
            self.fault(column, "a text")
        return text

    def day(self, column: str) -> date:
        try:
            return date.fromisoformat(self.texts.get(column, ""))
        except ValueError:
            self.fault(column, "a date like 2026-03-01")
            return date.min

    def asked(self, key: str) -> Asked:
        ask, ids = self.texts.get("ask", ""), _ids(self.texts.get("holds_up", ""))
        if ask not in {party.value for party in Party}:
            self.fault("ask", f"one of: {', '.join(Party)}")
        if ids is None:
            self.fault("holds_up", "permanent ids like P-0001 P-0003..P-0009")
        party = Party(ask) if ask in {item.value for item in Party} else Party.CLIENT
        return Asked(key, self.text("text"), party, tuple(self.texts.get("checks", "").split()), ids or ())

    def event(self) -> QueryEvent | None:
        before = len(self.faults)
        number, step = self.texts.get("number", ""), self.texts.get("step", "")
        try:
            query_number(number)
        except ValueError:
            self.fault("number", "a number like Q-0012")
        if step not in {item.value for item in QueryStep}:
            self.fault("step", f"one of: {', '.join(QueryStep)}")
            return None
        key, on = self.text("key"), self.day("on")
        kind = QueryStep(step)
        asked = self.asked(key) if kind in {QueryStep.ASKED, QueryStep.CHANGED} else None
        due = self.day("due") if kind is QueryStep.ISSUED else None
        answer = None
        if kind is QueryStep.ANSWERED:
            at = self.texts.get("at", "")
            if at and not _ID.match(at):
                self.fault("at", "a permanent id like P-0001, or nothing")
            answer = Answer(
                self.text("answer"),
                self.text("answered_by"),
                self.text("document"),
                self.day("document_date"),
                at,
                unkept_text(self.texts.get("source", "")),
            )
        return None if len(self.faults) > before else QueryEvent(number, key, kind, on, asked, due, answer)


def read_queries(path: str | Path, *, file: str = QUERIES_FILE) -> tuple[QueryEvent, ...]:
    """The events of a list, in order; none when there is no file yet. Raises `InputError` with all faults."""
    if not Path(path).exists():
        return ()
    (sheet,) = read_csv_table(path, file=file, limits=_LIMITS).sheets
    rows = list(sheet.rows())
    headings = tuple(str(cell.value) for _, cell in sorted(rows[0][1].items())) if rows else ()
    if headings not in {QUERIES_COLUMNS, _BEFORE}:
        expected = f"the headings {','.join(QUERIES_COLUMNS)}; put the file back as it was"
        raise InputError(Fault(file, "row 1", repr(one_line(",".join(headings), 120)), expected))
    faults: list[Fault] = []
    read = [_Row(file, number, cells, faults).event() for number, cells in rows[1:]]
    events = tuple(event for event in read if event is not None)
    if not faults:
        try:
            records_of(events)
        except ValueError as error:
            faults.append(Fault(file, "", str(error), "the list as Brattice wrote it; put the file back as it was"))
    if faults:
        raise InputError(faults)
    return events


def save_queries(path: str | Path, events: Sequence[QueryEvent]) -> bool:
    """Write the list whole or not at all, when it differs from what is there; says whether it was written."""
    data = queries_text(events).encode("utf-8")
    target = Path(path)
    if (target.exists() and target.read_bytes() == data) or (not events and not target.exists()):
        return False
    write_file(target, data)
    return True
