# SPDX-License-Identifier: Apache-2.0
"""The list of queries: every missing fact with a permanent number, and all that ever happened to it.

The list is a sequence of events that are only ever added. A number is given once to the key of a missing fact and is
never used again; where a query stands is read from its events. A fact that is no longer asked for before anybody
answered is withdrawn; when it is asked for again, its query opens again under the same number.

Two kinds of keys differ. A key that names one value of a penetration, a wall type or a rating text can be settled by
an answer. All others (a place that the model leaves open, two sources that contradict each other, what a document or
a rule set says) can't: there an answer is a note, and the source has to be corrected.

What sheets leave to be settled is no finding of a check. It is asked in queries of its own, whose keys begin with
"details/" and the party: one a fact and party, however many penetrations wait for it; each answer is of one of these.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import StrEnum

from brattice.building.detail_facts import detail_field
from brattice.building.wall_types import WALL_TYPE_FIELDS
from brattice.errors import OwnFault
from brattice.findings import Party, Query

__all__ = [
    "PENETRATION_FIELDS",
    "Answer",
    "Asked",
    "KeyField",
    "QueryEvent",
    "QueryRecord",
    "QueryState",
    "QueryStep",
    "asked_of",
    "detail_query_key",
    "field_of_key",
    "is_detail_key",
    "is_overdue",
    "issue_events",
    "query_key",
    "query_number",
    "records_of",
    "update_events",
    "wall_type_field",
]

_NUMBER = re.compile(r"Q-(\d{4,9})\Z", re.ASCII)
_DETAILS = "details"

PENETRATION_FIELDS = (
    "storey", "orientation", "barrier-role", "wall-type", "thickness-mm", "rating", "spaces", "system", "duct-size",
    "angle-deg", "insulation-through", "damper-present", "maker", "product", "damper-size", "class-text", "actuation",
    "mechanism-deg", "access-side", "blade-offset-mm", "opening-shape", "framed-opening", "finished-clear-opening",
    "gaps", "gaps-from", "formed", "position", "fixing", "seal-products", "seal-depth-mm", "seal-faces", "seal-layers",
    "support", "joint", "joint-a", "joint-b", "deflection-head-above", "other-services", "access-door",
    "separation-fill", "protection-method", "run-proven",
)  # fmt: skip
"""The facts of a penetration that an answer can settle, as they end the key of the missing fact."""


class QueryState(StrEnum):
    """Where a query stands."""

    OPEN = "open"
    ANSWERED = "answered"
    WITHDRAWN = "withdrawn"


class QueryStep(StrEnum):
    """What happened to a query."""

    ASKED = "asked"
    CHANGED = "changed"
    ISSUED = "issued"
    ANSWERED = "answered"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, order=True)
class Answer:
    """What somebody answered: the text as typed, who, on which document, of which date.

    `at` is the penetration that an answer to a query of details is of ("" for every other query), `source` the file and
    row it came in; the same answer in another file is the same answer.
    """

    text: str
    by: str
    document: str
    on: date
    at: str = ""
    source: str = field(default="", compare=False)


@dataclass(frozen=True)
class Asked:
    """A question as a check asks it now. `checks` are the checks that ask, `holds_up` the penetrations that wait."""

    key: str
    text: str
    ask: Party
    checks: tuple[str, ...] = ()
    holds_up: tuple[str, ...] = ()


@dataclass(frozen=True)
class QueryEvent:
    """One line of the list. `asked` belongs to *asked* and *changed*, `due` to *issued*, `answer` to *answered*."""

    number: str
    key: str
    step: QueryStep
    on: date
    asked: Asked | None = None
    due: date | None = None
    answer: Answer | None = None


@dataclass(frozen=True)
class QueryRecord:
    """Where one query stands. `answer` is the last one given; it stays when the query is asked again."""

    number: str
    asked: Asked
    state: QueryState
    first_asked: date
    since: date
    due: date | None = None
    answer: Answer | None = None
    answers: tuple[Answer, ...] = ()

    @property
    def key(self) -> str:
        """The key of the missing fact."""
        return self.asked.key


@dataclass(frozen=True)
class KeyField:
    """What a key names: `kind` is "penetration", "wall-type", "model-rating", "model-wall-type" or "details", `name`
    the field's own name.

    `subject` is the penetration's id, the wall type's code, the rating text, the type name of the models or the party.
    """

    kind: str
    subject: str
    name: str


def query_number(number: str) -> int:
    """The number in `"Q-0007"`; a text of another form is a `ValueError`."""
    match = _NUMBER.match(number)
    if match is None:
        raise ValueError(f"not the number of a query: {number!r}")
    return int(match.group(1))


def query_key(key: str) -> str:
    """The key under which a missing fact is asked: one fact that two checks spell apart is one query."""
    head, *middle, tail = key.split("/")
    if head != "penetration" or not middle:
        return key
    return "/".join((head, *middle, tail.replace("_", "-")))


def detail_query_key(ask: Party, tail: str) -> str:
    """The key under which a party is asked what sheets leave to be settled; `tail` names the fact."""
    return f"{_DETAILS}/{ask.value.replace(' ', '-')}/{tail}"


def is_detail_key(key: str) -> bool:
    """Whether a query asks what sheets leave to be settled, and no check."""
    return key.startswith(f"{_DETAILS}/")


def wall_type_field(short: str) -> str:
    """The field of `WallType` that ends a key: `"thickness"` is `"thickness_mm"`; "" for none."""
    for name in WALL_TYPE_FIELDS:
        if name.removesuffix("_mm").removesuffix("_kg_m3").replace("_", "-") == short:
            return name
    return ""


def field_of_key(key: str) -> KeyField | None:
    """The one value that a key names and that an answer can settle; None where an answer is a note."""
    head, _, rest = key.partition("/")
    if head == "model-rating" and rest:
        return KeyField(head, rest, "rating")
    if head == "model-wall-type" and rest:
        return KeyField(head, rest, "wall-type")
    if head == _DETAILS:
        party, _, named = rest.partition("/")
        found = detail_field(named)
        return KeyField(head, party, found) if found else None
    subject, _, tail = rest.rpartition("/")
    if head == "penetration" and subject and "/" not in subject and tail in PENETRATION_FIELDS:
        return KeyField(head, subject, tail)
    if head == "wall-type" and subject and (name := wall_type_field(tail)):
        return KeyField(head, subject, name)
    return None


def asked_of(queries: Iterable[Query]) -> tuple[Asked, ...]:
    """The questions of a check by key: one a fact, with all texts that checks have for it.

    Where two checks ask different parties for one fact, the first in the order of `Party` is asked.
    """
    by_key: dict[str, list[Query]] = {}
    for query in queries:
        by_key.setdefault(query_key(query.missing.key), []).append(query)
    order = list(Party)
    found = []
    for key, group in sorted(by_key.items()):
        texts = sorted({" ".join(query.missing.text.split()) for query in group})
        found.append(
            Asked(
                key,
                "; ".join(texts),
                min((query.missing.ask for query in group), key=order.index),
                tuple(sorted({check for query in group for check in query.checks})),
                tuple(sorted({name for query in group for name in query.holds_up})),
            )
        )
    return tuple(found)


def _after(record: QueryRecord | None, event: QueryEvent) -> QueryRecord:
    """A query after one more event. A list that a person spoilt is a `ValueError` that says how."""
    if record is None:
        if event.step is not QueryStep.ASKED or event.asked is None:
            raise ValueError(f"{event.number} is {event.step} before it was asked")
        return QueryRecord(event.number, event.asked, QueryState.OPEN, event.on, event.on)
    if event.key != record.key:
        raise ValueError(f"{event.number} has another key than before")
    match event.step:
        case QueryStep.ASKED if event.asked is not None:
            return replace(record, asked=event.asked, state=QueryState.OPEN, since=event.on, due=None)
        case QueryStep.CHANGED if event.asked is not None:
            return replace(record, asked=event.asked)
        case QueryStep.ISSUED if event.due is not None:
            return replace(record, due=event.due)
        case QueryStep.ANSWERED if event.answer is not None:
            answers = (*record.answers, event.answer)
            return replace(
                record, state=QueryState.ANSWERED, since=event.on, due=None, answer=event.answer, answers=answers
            )
        case QueryStep.WITHDRAWN:
            return replace(record, state=QueryState.WITHDRAWN, since=event.on, due=None)
    raise ValueError(f"{event.number} is {event.step} without what belongs to it")


def records_of(events: Iterable[QueryEvent]) -> tuple[QueryRecord, ...]:
    """Where each query stands after all events, by number. A list that can't be is a `ValueError`."""
    records: dict[str, QueryRecord] = {}
    keys: dict[str, str] = {}
    for event in events:
        query_number(event.number)
        if keys.setdefault(event.key, event.number) != event.number:
            raise ValueError(f"{event.number} has the key of {keys[event.key]}")
        records[event.number] = _after(records.get(event.number), event)
    return tuple(sorted(records.values(), key=lambda record: query_number(record.number)))


def update_events(
    events: Sequence[QueryEvent], asked: Iterable[Asked], on: date, asks: Callable[[str], bool] = lambda _: True
) -> tuple[QueryEvent, ...]:
    """The events that a check adds. The order of the questions does not matter; twice adds nothing.

    `asks` takes the keys that are asked about: a query of another key is left as it stands.

    A new key gets the next number. What is withdrawn opens again when it is asked again; so does what was answered
    with a value that did not settle it, and a note to a question that reads differently now.
    """
    now = {item.key: item for item in asked}
    records = records_of(events)
    known = {record.key for record in records}
    added: list[QueryEvent] = []
    for record in records:
        item = now.get(record.key)
        if item is None:
            if record.state is QueryState.OPEN and asks(record.key):
                added.append(QueryEvent(record.number, record.key, QueryStep.WITHDRAWN, on))
            continue
        settles = field_of_key(record.key) is not None
        again = record.state is QueryState.WITHDRAWN or (
            record.state is QueryState.ANSWERED and (settles or item.text != record.asked.text)
        )
        if again or item != record.asked:
            step = QueryStep.ASKED if again else QueryStep.CHANGED
            added.append(QueryEvent(record.number, record.key, step, on, item))
    number = max((query_number(record.number) for record in records), default=0)
    for key in sorted(now.keys() - known):
        number += 1
        added.append(QueryEvent(f"Q-{number:04d}", key, QueryStep.ASKED, on, now[key]))
    return tuple(added)


def issue_events(events: Sequence[QueryEvent], on: date, due_days: int) -> tuple[QueryEvent, ...]:
    """The events that give each open query without one its due date, so many days [d] after `on`."""
    if due_days < 0:
        raise OwnFault("a due date in the past")
    return tuple(
        QueryEvent(record.number, record.key, QueryStep.ISSUED, on, due=on + timedelta(days=due_days))
        for record in records_of(events)
        if record.state is QueryState.OPEN and record.due is None
    )


def is_overdue(record: QueryRecord, on: date) -> bool:
    """Whether an open query is past its due date; on the day itself it is not."""
    return record.state is QueryState.OPEN and record.due is not None and record.due < on
