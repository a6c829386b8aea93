# SPDX-License-Identifier: Apache-2.0
"""Queries: what is asked of whom, what it holds up, what was answered; a workbook a party, and back again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fastapi import APIRouter, HTTPException, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from brattice.building.queries import QueryEvent, QueryRecord, QueryState, QueryStep, is_overdue
from brattice.errors import Fault, InputError
from brattice.findings import Party
from brattice.web.forms import read_form
from brattice.web.office import QueryList
from brattice.web.register import Choice
from brattice.web.site import (
    Frame,
    attachment,
    checked_of,
    count_words,
    desk_of,
    job_path,
    see_other,
    site_of,
)
from brattice.web.take_back import take_back

__all__ = ["PartySheet", "QueriesPage", "QueryLine", "StandingChoice", "router", "standing_of"]

router = APIRouter(prefix="/jobs/{job}")

STANDINGS = ("open", "overdue", "answered", "withdrawn")
"""What a query can be asked for by; an overdue one is open too."""

_MOST = 500


@dataclass(frozen=True)
class QueryLine:
    """A query as a row: its record, how it stands, whether its answer stands open again, its penetrations of now."""

    record: QueryRecord
    standing: str
    again: bool
    here: tuple[str, ...]
    gone: tuple[str, ...]
    history: tuple[str, ...]


@dataclass(frozen=True)
class StandingChoice:
    """How queries can stand, how many do, whether they are asked for."""

    word: str
    count: int
    chosen: bool


@dataclass(frozen=True)
class PartySheet:
    """A party with its queries; `value` stands in the form."""

    party: Party
    open_count: int
    total: int


@dataclass(frozen=True)
class QueriesPage:
    """The queries that are asked for, the choices of the filter, and the parties."""

    lines: tuple[QueryLine, ...]
    found: int
    total: int
    standings: tuple[StandingChoice, ...]
    parties: tuple[Choice, ...]
    sheets: tuple[PartySheet, ...]
    address: str
    places: str
    faults: tuple[Fault, ...] = ()


def standing_of(record: QueryRecord, listed: QueryList) -> str:
    """How a query stands in one word: "open", "overdue", "answered" or "withdrawn"."""
    return "overdue" if is_overdue(record, listed.on) else str(record.state)


def _told(event: QueryEvent) -> str:
    """One line of the history of a query."""
    day = event.on.isoformat()
    match event.step:
        case QueryStep.ISSUED if event.due is not None:
            return f"{day}: to be answered until {event.due.isoformat()}"
        case QueryStep.ANSWERED if event.answer is not None:
            answer = event.answer
            on = f"{answer.document}, " if answer.document else ""
            at = f" at {answer.at}" if answer.at else ""
            return f"{day}: answered{at} by {answer.by} ({on}{answer.on.isoformat()}): {answer.text}"
        case QueryStep.ASKED if event.asked is not None:
            return f"{day}: asked of the {event.asked.ask}: {event.asked.text}"
        case QueryStep.CHANGED if event.asked is not None:
            waits = count_words(len(event.asked.holds_up), "penetration")
            return f"{day}: asked of the {event.asked.ask}: {event.asked.text} ({waits})"
        case _:
            return f"{day}: {event.step}"


def _line(record: QueryRecord, listed: QueryList, there: frozenset[str]) -> QueryLine:
    waiting = record.asked.holds_up
    return QueryLine(
        record,
        standing_of(record, listed),
        record.state is QueryState.OPEN and record.answer is not None,
        tuple(item for item in waiting if item in there),
        tuple(item for item in waiting if item not in there),
        tuple(_told(event) for event in listed.events.get(record.number, ())),
    )


def _standings(records: Iterable[QueryRecord], listed: QueryList, chosen: str) -> tuple[StandingChoice, ...]:
    found = [standing_of(record, listed) for record in records]
    counts = {word: found.count(word) for word in STANDINGS}
    counts["open"] += counts["overdue"]
    return tuple(StandingChoice(word, counts[word], word == chosen) for word in STANDINGS)


def _fits(record: QueryRecord, listed: QueryList, standing: str, party: str) -> bool:
    stands = standing_of(record, listed)
    wanted = not standing or stands == standing or (standing == "open" and stands == "overdue")
    return wanted and (not party or str(record.asked.ask) == party)


@router.get("/queries")
def queries(request: Request) -> Response:
    """The list of queries as its address asks."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    address = job_path(desk, "queries")
    places = job_path(desk, "places")
    frame = Frame("Queries", desk, "queries")
    try:
        listed = desk.queries()
    except InputError as error:
        return site.page("queries.html", QueriesPage((), 0, 0, (), (), (), address, places, error.faults), frame)
    standing = request.query_params.get("state", "")
    standing = standing if standing in STANDINGS else ""
    party = request.query_params.get("party", "")
    party = party if party in {str(item) for item in Party} else ""
    there = frozenset(row.id for row in checked.rows)
    found = [record for record in listed.records if _fits(record, listed, standing, party)]
    of_party = [record for record in listed.records if not party or str(record.asked.ask) == party]
    asked = [item for item in Party if any(record.asked.ask is item for record in listed.records)]
    page = QueriesPage(
        tuple(_line(record, listed, there) for record in found[:_MOST]),
        len(found),
        len(listed.records),
        _standings(of_party, listed, standing),
        tuple(Choice(str(item), str(item), str(item) == party) for item in asked),
        tuple(
            PartySheet(
                item,
                sum(one.asked.ask is item and one.state is QueryState.OPEN for one in listed.records),
                sum(one.asked.ask is item for one in listed.records),
            )
            for item in asked
        ),
        address,
        places,
    )
    return site.page("queries.html", page, frame)


@router.post("/queries/sheet")
async def sheet(request: Request) -> Response:
    """Write the workbooks of all parties and hand out that of one."""
    site, desk = site_of(request), desk_of(request)
    back = job_path(desk, "queries")
    try:
        given = await read_form(request)
        party = next((item for item in Party if str(item) == given.first("party")), None)
        if party is None:
            raise HTTPException(404)
        path = await run_in_threadpool(desk.party_sheet, party)
        return attachment(await run_in_threadpool(path.read_bytes), path.name)
    except InputError as error:
        return site.faults(error, "No sheet was written", back, desk)


@router.post("/queries/details")
async def details(request: Request) -> Response:
    """Ask also what the sheets leave to be settled."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    try:
        await read_form(request)
        count = await run_in_threadpool(desk.ask_details)
    except InputError as error:
        return site.faults(error, "Nothing was asked", job_path(desk, "queries"), desk)
    asked = f"Asked now: {count_words(count, 'query', 'queries')} of what the sheets leave to be settled."
    site.tell(desk, asked if count else "The sheets leave nothing to be settled that no check asks.")
    return see_other(job_path(desk, "queries"))


@router.post("/queries/answers")
async def answers(request: Request) -> Response:
    """Take the answers of a workbook that came back, and check with them."""
    desk = desk_of(request)
    refused = await take_back(request, desk.take_answers, "No answer was taken", job_path(desk, "queries"))
    if refused is not None:
        return refused
    desk.check()
    return see_other(job_path(desk))
