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
    from brattice.building.queries import QueryState

__all__ = ["DUE_DAYS", "FOLDER", "PartyCounts", "QueriesWritten", "queries", "write_queries"]

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
) -> ExitCode:
    """Write JOB/queries/<party>.xlsx: what is asked of each party, with columns for the answers.

    A query that has no due date yet gets one. Ends with 0 when no query is open, 1 when one is.
    """
    written = write_queries(job, due_days=due_days, as_of=None if as_of is None else the_date(as_of))
    for note in written.notes:
        print(plain(note), file=sys.stderr)
    print(f"{plain(written.job_name)}: queries on {written.on.isoformat()}, in {plain(str(job / FOLDER))}")
    for sheet in written.sheets:
        counts = ", ".join(f"{count} {state}" for state, count in sheet.states)
        print(f"  {sheet.file}: {counts}; {sheet.overdue} overdue")
    return ExitCode.OPEN if written.open_count else ExitCode.DONE


def write_queries(job: Path, *, due_days: int = DUE_DAYS, as_of: date | None = None) -> QueriesWritten:
    """Write the workbook of each party, silently; a query without a due date gets one. Raises `InputError`."""
    from brattice import __version__
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import output_folder, read_job
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
        with output_folder(job / FOLDER, version=__version__) as out:
            for party in Party:
                # A key keeps its number when it is asked of somebody else; the sheet is that of who is asked now.
                mine = [record for record in records if record.asked.ask is party]
                if not mine:
                    continue
                data = party_bytes(party, mine, job=read.name, invented=read.invented, on=on, stamp=stamp_of(on))
                out.write(party_file(party), data)
                states = [record.state for record in mine]
                overdue = sum(is_overdue(record, on) for record in mine)
                counts = tuple((state, states.count(state)) for state in QueryState)
                told.append(PartyCounts(party_file(party), counts, overdue))
        save_queries(path, events)
    left = sum(record.state is QueryState.OPEN for record in records)
    return QueriesWritten(read.name, on, tuple(told), tuple(out.notes), left)
