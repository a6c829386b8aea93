# SPDX-License-Identifier: Apache-2.0
"""`brattice answers`: take the answers of workbooks that came back into the job's list of queries."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["answers"]


def answers(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Workbooks that came back.")],
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date on which they are taken (else that of the job, else today).")
    ] = None,
) -> ExitCode:
    """Take answers from workbooks of `brattice queries`; the next `brattice check` judges with them.

    Nothing is taken where anything is wrong (3): every fault is named at once. Ends with 0 when no query is left open,
    1 when one is.
    """
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import read_job
    from brattice.adapters.queries import QUERIES_FILE, read_answer, read_queries, read_returned, save_queries
    from brattice.building.queries import QueryState, records_of
    from brattice.usecases.answers import take_answers

    with only_run_in(job):
        read = read_job(job).job
        on = read.rules.on if as_of is None else the_date(as_of)
        path = job / QUERIES_FILE
        if not path.exists():
            raise InputError(Fault(QUERIES_FILE, "", "no list of queries", "`brattice check` run on the job first"))
        events = read_queries(path)
        taken = take_answers(events, read_returned([(file, str(file)) for file in files]), read_answer, on)
        if taken.faults:
            raise InputError(taken.faults)
        events = (*events, *taken.events)
        save_queries(path, events)
        print(f"{plain(read.name)}: {len(taken.events)} answers taken on {on.isoformat()}")
        for note in taken.notes:
            print(f"  {plain(note)}")
        left = sum(record.state is QueryState.OPEN for record in records_of(events))
        print(f"  {left} queries open; `brattice check` judges with the answers")
        return ExitCode.OPEN if left else ExitCode.DONE
