# SPDX-License-Identifier: Apache-2.0
"""`brattice queries`: write the queries of a job, one workbook a party."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import stamp_of, the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from brattice.building.queries import Asked, QueryState
    from brattice.cli.run import JudgedJob
    from brattice.details.detail import InstallationDetail

__all__ = [
    "DUE_DAYS",
    "FOLDER",
    "PartyCounts",
    "QueriesWritten",
    "ask_details_of",
    "details_to_ask",
    "keep_asked",
    "queries",
    "write_queries",
]

FOLDER = "queries"
"""Where the workbooks go, inside the job folder."""

DUE_DAYS = 10
"""How many days [d] a query has until it is due, where nobody says otherwise (our own policy)."""


@dataclass(frozen=True)
class PartyCounts:
    """One workbook: its file, how many queries of each state it holds, how many of them are overdue."""

    file: str
    states: tuple[tuple[QueryState, int], ...]
    overdue: int


@dataclass(frozen=True)
class QueriesWritten:
    """The workbooks that were written: the job's name, the date, each sheet, notes on the folder, what is open."""

    job_name: str
    on: date
    sheets: tuple[PartyCounts, ...]
    notes: tuple[str, ...]
    open_count: int


def queries(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    due_days: Annotated[
        int, typer.Option("--due-days", help="Days until a query without a due date is due.", min=0, max=365)
    ] = DUE_DAYS,
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date of the sheets (else that of the job, else today).")
    ] = None,
    details: Annotated[
        bool, typer.Option("--details", help="Judge the job, and ask also what its sheets leave to be settled.")
    ] = False,
    workers: Annotated[int, typer.Option("--workers", help="Processes that read models.", min=1, max=16)] = 2,
) -> ExitCode:
    """Write JOB/queries/<party>.xlsx: what is asked of each party, with columns for the answers.

    A query that has no due date yet gets one. With --details each party's workbook has a sheet more: what installation
    sheets, orders and schedules leave to be settled, a row a penetration and a column a fact. Ends with 0 when no query
    is open, 1 when one is.
    """
    day = None if as_of is None else the_date(as_of)
    if details:
        ask_details_of(job, lambda text: print(plain(text), file=sys.stderr), workers=workers, as_of=day)
    written = write_queries(job, due_days=due_days, as_of=day)
    for note in written.notes:
        print(plain(note), file=sys.stderr)
    print(f"{plain(written.job_name)}: queries on {written.on.isoformat()}, in {plain(str(job / FOLDER))}")
    for sheet in written.sheets:
        counts = ", ".join(f"{count} {state}" for state, count in sheet.states)
        print(f"  {sheet.file}: {counts}; {sheet.overdue} overdue")
    return ExitCode.OPEN if written.open_count else ExitCode.DONE


def details_to_ask(judged: JudgedJob, details: Mapping[str, InstallationDetail]) -> tuple[Asked, ...]:
    """What the details of a judged job leave to be settled and no check asks, one question a fact and party."""
    from brattice.adapters.queries import on_one_line
    from brattice.usecases.detail_queries import details_asked

    identified = judged.material.identified
    rows = {identified.ledger.ids[item.key]: item.row.detail for item in identified.tied if item.row is not None}
    return on_one_line(details_asked(details.values(), judged.report.queries, rows, judged.material.answered))


def keep_asked(job: Path, asked: Iterable[Asked], on: date) -> int:
    """Put what is asked of details into the list of queries of a job; how many of them are open then."""
    from brattice.adapters.queries import QUERIES_FILE, read_queries, save_queries
    from brattice.building.queries import QueryState, is_detail_key, records_of, update_events

    events = read_queries(job / QUERIES_FILE)
    events = (*events, *update_events(events, asked, on, is_detail_key))
    save_queries(job / QUERIES_FILE, events)
    records = records_of(events)
    return sum(is_detail_key(record.key) and record.state is QueryState.OPEN for record in records)


def ask_details_of(job: Path, say: Callable[[str], None], *, workers: int = 2, as_of: date | None = None) -> int:
    """Judge a job and ask what its sheets leave to be settled: the list of queries and the ids that it names are saved.

    Gives how many of these queries are open. Raises `InputError` with every fault of every file; then nothing is asked.
    """
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import LEDGER_FILE, save_ledger
    from brattice.adapters.queries import QUERIES_FILE, save_queries
    from brattice.cli.gather import standards_for
    from brattice.cli.run import judge_folder
    from brattice.usecases.detailing import details_of

    with only_run_in(job):
        judged = judge_folder(job, say, workers=workers, as_of=as_of)
        details = details_of(judged.report, judged.material, standards_for(judged.read.job).book, progress=say)
        asked = details_to_ask(judged, details)
        save_ledger(job / LEDGER_FILE, judged.material.identified.ledger.entries)  # ids stand before a query names them
        save_queries(job / QUERIES_FILE, judged.query_events)
        return keep_asked(job, asked, judged.on)


def write_queries(job: Path, *, due_days: int = DUE_DAYS, as_of: date | None = None) -> QueriesWritten:
    """Write the workbook of each party, silently; a query without a due date gets one. Raises `InputError`."""
    from brattice import __version__
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import LEDGER_FILE, output_folder, read_job, read_ledger
    from brattice.adapters.queries import QUERIES_FILE, party_bytes, party_file, read_queries, save_queries
    from brattice.building.queries import QueryState, is_overdue, issue_events, records_of
    from brattice.findings import Party

    with only_run_in(job):
        read = read_job(job).job
        on = read.rules.on if as_of is None else as_of
        path = job / QUERIES_FILE
        if not path.exists():
            raise InputError(Fault(QUERIES_FILE, "", "no list of queries", "`brattice check` run on the job first"))
        events = read_queries(path)
        events = (*events, *issue_events(events, on, due_days))
        records = records_of(events)
        told: list[PartyCounts] = []
        ledger = read_ledger(job / LEDGER_FILE)
        places = {item.id: (item.place.reference, item.place.storey) for item in ledger}
        with output_folder(job / FOLDER, version=__version__) as out:
            for party in Party:
                # A key keeps its number when it is asked of somebody else; the sheet is that of who is asked now.
                mine = [record for record in records if record.asked.ask is party]
                if not mine:
                    continue
                data = party_bytes(
                    party, mine, job=read.name, invented=read.invented, on=on, stamp=stamp_of(on), places=places
                )
                out.write(party_file(party), data)
                states = [record.state for record in mine]
                overdue = sum(is_overdue(record, on) for record in mine)
                counts = tuple((state, states.count(state)) for state in QueryState)
                told.append(PartyCounts(party_file(party), counts, overdue))
        save_queries(path, events)
    left = sum(record.state is QueryState.OPEN for record in records)
    return QueriesWritten(read.name, on, tuple(told), tuple(out.notes), left)
