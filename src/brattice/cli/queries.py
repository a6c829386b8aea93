# SPDX-License-Identifier: Apache-2.0
"""`brattice queries`: write the queries of a job, one workbook a party."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import stamp_of, the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["DUE_DAYS", "FOLDER", "queries"]

FOLDER = "queries"
"""Where the workbooks go, inside the job folder."""

DUE_DAYS = 10
"""How many days [d] a query has until it is due, where nobody says otherwise (our own policy)."""


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
    from brattice import __version__
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import output_folder, read_job
    from brattice.adapters.queries import QUERIES_FILE, party_bytes, party_file, read_queries, save_queries
    from brattice.building.queries import QueryState, is_overdue, issue_events, records_of
    from brattice.findings import Party

    with only_run_in(job):
        read = read_job(job).job
        on = read.rules.on if as_of is None else the_date(as_of)
        path = job / QUERIES_FILE
        if not path.exists():
            raise InputError(Fault(QUERIES_FILE, "", "no list of queries", "`brattice check` run on the job first"))
        events = read_queries(path)
        events = (*events, *issue_events(events, on, due_days))
        records = records_of(events)
        told: list[str] = []
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
                counts = ", ".join(f"{states.count(state)} {state}" for state in QueryState)
                told.append(f"  {party_file(party)}: {counts}; {overdue} overdue")
        save_queries(path, events)
        for note in out.notes:
            print(plain(note), file=sys.stderr)
        print(f"{plain(read.name)}: queries on {on.isoformat()}, in {plain(str(job / FOLDER))}")
        for line in told:
            print(line)
        return ExitCode.OPEN if any(record.state is QueryState.OPEN for record in records) else ExitCode.DONE
