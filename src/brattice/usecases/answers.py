# SPDX-License-Identifier: Apache-2.0
"""Answers to queries: what comes back is held against the list, and what it settles becomes a fact with its origin.

An answer never passes anything by itself. It is one more source of one value; where it contradicts another source
the value stays unknown, and where the key names no value the answer is a note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from brattice.building.queries import (
    Answer,
    QueryEvent,
    QueryRecord,
    QueryState,
    QueryStep,
    field_of_key,
    is_detail_key,
    query_key,
    records_of,
)
from brattice.building.wall_type import WallType
from brattice.building.wall_types import WALL_TYPE_FIELDS
from brattice.errors import Fault
from brattice.findings import Fact, Known, Missing, Unknown, Verdict
from brattice.usecases.combine import agree
from brattice.usecases.detail_answers import CellReturned, answer_origin, answered_details, bare_name, take_cells
from brattice.usecases.facts import value_text

__all__ = ["ReadAnswer", "Returned", "Taken", "answered_facts", "take_answers", "with_answers"]

ReadAnswer = Callable[[str, str], Any]
"""Reads the answer to a key that names a value: the value, or a `Fault` that says what was expected."""


@dataclass(frozen=True)
class Returned:
    """One row that came back: where it stands, the number, the question as it stands there, and the answer.

    `text` is "" where nothing is answered ("tbc" and the like are nothing).
    """

    file: str
    place: str
    number: str
    question: str
    text: str
    by: str
    document: str
    on: date | None

    @property
    def source(self) -> str:
        """The file and row, as an answer keeps it."""
        return f"{bare_name(self.file)}, {self.place}"


@dataclass(frozen=True)
class Taken:
    """What taking answers gives: the events to add, every fault (then nothing is to be added), and notes."""

    events: tuple[QueryEvent, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]


def _faults_of(row: Returned, record: QueryRecord | None, read: ReadAnswer) -> Iterable[Fault]:
    where = (row.file, row.place)
    if record is None:
        yield Fault(*where, f"the number {row.number!r}", "a number of this job's list of queries")
        return
    if row.question != record.asked.text:
        yield Fault(
            *where,
            f"another question for {row.number}: {row.question!r}",
            f"the question as it is asked now: {record.asked.text!r}; write the queries again and answer those",
        )
    if not row.text:
        return
    if is_detail_key(record.key) and field_of_key(record.key) is not None:
        yield Fault(*where, f"an answer to {row.number}, which is asked at each penetration", "its cells in 'Details'")
        return
    if record.state is QueryState.WITHDRAWN:
        yield Fault(*where, f"an answer to {row.number}, which is withdrawn", "answers to queries that are asked")
    for value, what in ((row.by, "who answered"), (row.document, "the document that says so")):
        if not value:
            yield Fault(*where, f"an answer to {row.number} without {what}", what)
    if row.on is None:
        yield Fault(*where, f"an answer to {row.number} without its date", "the date of the answer")
    if field_of_key(record.key) is not None:
        value = read(record.key, row.text)
        if isinstance(value, Fault):
            yield Fault(*where, f"the answer {value.found} to {row.number}", value.expected)


def take_answers(
    events: Sequence[QueryEvent],
    returned: Iterable[Returned],
    read: ReadAnswer,
    received: date,
    cells: Iterable[CellReturned] = (),
) -> Taken:
    """Hold what came back against the list. The order of files and rows does not matter; twice adds nothing.

    Parameters
    ----------
    events : the list of queries
    returned : the rows of all files
    read : reads a text under a key that names a value
    received : the day on which the answers are taken
    cells : the filled cells of the sheets of details
    """
    records = {record.number: record for record in records_of(events)}
    faults: list[Fault] = []
    notes: list[str] = []
    given: dict[str, tuple[Answer, Returned]] = {}
    for row in sorted(returned, key=lambda item: (item.number, item.file, item.place)):
        record = records.get(row.number)
        found = list(_faults_of(row, record, read))
        faults += found
        if found or record is None:
            continue
        if not row.text or row.on is None:
            if row.by or row.document or row.on is not None:
                notes.append(f"{row.number}: no answer in {row.file}, {row.place}; it settles nothing.")
            continue
        answer = Answer(row.text, row.by, row.document, row.on, source=row.source)
        first = given.setdefault(row.number, (answer, row))
        if first[0] != answer:
            told = f"{row.number} answered again, and differently (first in {first[1].file}, {first[1].place})"
            faults.append(Fault(row.file, row.place, told, "one answer"))
    added: list[QueryEvent] = []
    for number, (answer, _) in sorted(given.items()):
        record = records[number]
        if answer in record.answers:
            notes.append(f"{number}: this answer was taken before.")
            continue
        if field_of_key(record.key) is None:
            notes.append(f"{number}: answer noted; the source has to be corrected.")
        if record.answer is not None:
            notes.append(f"{number}: takes the place of the answer of {record.answer.by}, {record.answer.on}.")
        added.append(QueryEvent(number, record.key, QueryStep.ANSWERED, received, answer=answer))
    of_details, wrong, said = take_cells(tuple(records.values()), cells, read, received)
    faults += wrong
    return Taken(() if faults else (*added, *of_details), tuple(sorted(set(faults))), (*notes, *said))


def answered_facts(events: Iterable[QueryEvent], read: ReadAnswer) -> dict[str, Known[Any]]:
    """Every value that answers state, by the key of the missing fact, with the query as its origin.

    The last answer to a query counts. One that can't be read any more states nothing: its query is asked again.
    """
    records = records_of(events)
    facts = answered_details(records, read)
    for record in records:
        if record.answer is None or field_of_key(record.key) is None or is_detail_key(record.key):
            continue
        value = read(record.key, record.answer.text)
        if not isinstance(value, Fault):
            facts[record.key] = Known(value, answer_origin(record.number, record.answer))
    return facts


def _with(wall: WallType, name: str, fact: Fact[Any]) -> WallType:
    changed: dict[str, Any] = {name: fact}
    return replace(wall, **changed)


def with_answers(wall_types: Mapping[str, WallType], facts: Mapping[str, Known[Any]]) -> dict[str, WallType]:
    """The wall types with what answers state of them. Where sheet and answer differ, the value becomes unknown."""
    found = dict(wall_types)
    for key, fact in facts.items():
        named = field_of_key(query_key(key))
        if named is None or named.kind != "wall-type" or named.subject not in found:
            continue
        wall = found[named.subject]
        stated = getattr(wall, named.name)
        if isinstance(stated, Unknown):
            found[named.subject] = _with(wall, named.name, fact)
        elif agree(stated.value, fact.value) is not Verdict.PASS:
            words, ask = WALL_TYPE_FIELDS[named.name]
            text = (
                f"Wall type {wall.code}: which is right as {words}, {value_text(stated.value, named.name)} "
                f"({stated.origin}) or {value_text(fact.value, named.name)} ({fact.origin})"
            )
            found[named.subject] = _with(wall, named.name, Unknown(Missing(f"{key}/sources", text, ask)))
    return found
