# SPDX-License-Identifier: Apache-2.0
"""Answers to what sheets leave to be settled: a cell a penetration and fact, held against what is asked of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from brattice.building.detail_facts import missing_detail
from brattice.building.queries import Answer, QueryEvent, QueryRecord, QueryStep, field_of_key, is_detail_key
from brattice.errors import Fault
from brattice.findings import Known, Origin

__all__ = ["CellReturned", "answer_origin", "answered_details", "bare_name", "take_cells"]

ReadAnswer = Callable[[str, str], Any]


@dataclass(frozen=True)
class CellReturned:
    """One cell that came back: where it stands, the penetration, the field of `DetailFacts`, the answer as typed.

    `row` says where its row stands; `by`, `document` and `on` are those of the row.
    """

    file: str
    place: str
    row: str
    penetration: str
    field: str
    text: str
    by: str
    document: str
    on: date | None


def _asked_of(records: Iterable[QueryRecord]) -> Mapping[tuple[str, str], QueryRecord]:
    """The query that asks or asked each field of each penetration; the one that asks now comes before all others."""
    found: dict[tuple[str, str], QueryRecord] = {}
    for record in records:
        named = field_of_key(record.key) if is_detail_key(record.key) else None
        if named is None:
            continue
        for answer in record.answers:
            found.setdefault((named.name, answer.at), record)
        for name in record.asked.holds_up:
            found[(named.name, name)] = record
    return found


def _faults_of(cell: CellReturned, record: QueryRecord | None, read: ReadAnswer) -> Iterable[Fault]:
    if record is None:
        found = f"an answer at {cell.penetration or 'no penetration'}, of which this was not asked"
        yield Fault(cell.file, cell.place, found, "answers in the empty cells of the sheet as it was sent")
        return
    value = read(record.key, cell.text)
    if isinstance(value, Fault):
        yield Fault(cell.file, cell.place, value.found, value.expected)


def take_cells(
    records: Sequence[QueryRecord], cells: Iterable[CellReturned], read: ReadAnswer, received: date
) -> tuple[tuple[QueryEvent, ...], tuple[Fault, ...], tuple[str, ...]]:
    """The events that the cells add, every fault (then nothing is to be added), and notes. Twice adds nothing.

    What is left of a question that was answered at some of its penetrations is asked on under its number.
    """
    asked = _asked_of(records)
    faults: list[Fault] = []
    notes: list[str] = []
    given: dict[tuple[str, str], tuple[Answer, CellReturned]] = {}
    whole: set[tuple[str, str]] = set()
    for cell in sorted(cells, key=lambda item: (item.penetration, item.field, item.file, item.place)):
        record = asked.get((cell.field, cell.penetration))
        found = list(_faults_of(cell, record, read))
        if (cell.file, cell.row) not in whole:
            whole.add((cell.file, cell.row))
            for value, what in ((cell.by, "who answered"), (cell.document, "the document that says so")):
                if not value:
                    found.append(Fault(cell.file, cell.row, f"answers without {what}", what))
            if cell.on is None:
                found.append(Fault(cell.file, cell.row, "answers without their date", "the date of the answers"))
        faults += found
        if found or cell.on is None:
            continue
        source = f"{bare_name(cell.file)}, {cell.row}"
        answer = Answer(cell.text, cell.by, cell.document, cell.on, cell.penetration, source)
        first = given.setdefault((cell.field, cell.penetration), (answer, cell))
        if first[0] != answer:
            told = f"another answer for {cell.penetration} (first in {first[1].file}, {first[1].place})"
            faults.append(Fault(cell.file, cell.place, told, "one answer"))
    return (() if faults else _events(given, asked, notes, received)), tuple(faults), tuple(notes)


def _events(
    given: Mapping[tuple[str, str], tuple[Answer, CellReturned]],
    asked: Mapping[tuple[str, str], QueryRecord],
    notes: list[str],
    received: date,
) -> tuple[QueryEvent, ...]:
    by_query: dict[str, tuple[QueryRecord, list[Answer]]] = {}
    for (field, name), (answer, _) in sorted(given.items()):
        record = asked[(field, name)]
        before = next((item for item in reversed(record.answers) if item.at == name), None)
        if answer in record.answers:
            notes.append(f"{record.number}: the answer at {name} was taken before.")
            continue
        if before is not None:
            notes.append(f"{record.number}: at {name} it takes the place of the answer of {before.by}, {before.on}.")
        by_query.setdefault(record.number, (record, []))[1].append(answer)
    events: list[QueryEvent] = []
    for number, (record, answers) in sorted(by_query.items()):
        events += [QueryEvent(number, record.key, QueryStep.ANSWERED, received, answer=item) for item in answers]
        left = tuple(name for name in record.asked.holds_up if name not in {item.at for item in answers})
        if left:
            on = replace(record.asked, holds_up=left)
            events.append(QueryEvent(number, record.key, QueryStep.ASKED, received, on))
    return tuple(events)


def bare_name(file: str) -> str:
    """The name of a file without its folders: where it lay on a machine is nobody's business."""
    return re.split(r"[/\\]", file)[-1]


def answer_origin(number: str, answer: Answer) -> Origin:
    """Where a value that an answer states comes from: the query, who answered on what, and the file and row."""
    said = f"answered by {answer.by} on {answer.document}, {answer.on.isoformat()}"
    return Origin(f"query {number}", f"{said} ({answer.source})" if answer.source else said)


def answered_details(records: Iterable[QueryRecord], read: ReadAnswer) -> dict[str, Known[Any]]:
    """Every detail fact that answers state, by the key of the missing fact, with query, answer and row as its origin.

    The last answer at a penetration counts; one that can't be read any more states nothing.
    """
    facts: dict[str, Known[Any]] = {}
    for record in records:
        named = field_of_key(record.key) if is_detail_key(record.key) else None
        if named is None:
            continue
        for answer in record.answers:
            value = read(record.key, answer.text)
            key = missing_detail(answer.at, named.name).key
            facts.pop(key, None)
            if not isinstance(value, Fault):
                facts[key] = Known(value, answer_origin(record.number, answer))
    return facts
