# SPDX-License-Identifier: Apache-2.0
"""`brattice answers`: take the answers of workbooks that came back into the job's list of queries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["AnswersGiven", "answers", "take_answers_of"]


@dataclass(frozen=True)
class AnswersGiven:
    """What was taken into the list of queries: the job's name, the date, how many answers, notes, what stays open."""

    job_name: str
    on: date
    count: int
    notes: tuple[str, ...]
    open_count: int


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
    given = take_answers_of(
        job, [(file, str(file)) for file in files], as_of=None if as_of is None else the_date(as_of)
    )
    print(f"{plain(given.job_name)}: {given.count} answers taken on {given.on.isoformat()}")
    for note in given.notes:
        print(f"  {plain(note)}")
    print(f"  {given.open_count} queries open; `brattice check` judges with the answers")
    return ExitCode.OPEN if given.open_count else ExitCode.DONE


def take_answers_of(job: Path, files: Sequence[tuple[Path, str]], *, as_of: date | None = None) -> AnswersGiven:
    """Take the answers of workbooks that came back, given as (path, what to call the file); nothing is printed.

    Raises `InputError` with every fault of every file; then nothing is taken.
    """
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import read_job
    from brattice.adapters.queries import QUERIES_FILE, read_answer, read_back, read_queries, save_queries
    from brattice.building.queries import QueryState, QueryStep, records_of
    from brattice.usecases.answers import take_answers

    with only_run_in(job):
        read = read_job(job).job
        on = read.rules.on if as_of is None else as_of
        path = job / QUERIES_FILE
        if not path.exists():
            raise InputError(Fault(QUERIES_FILE, "", "no list of queries", "`brattice check` run on the job first"))
        events = read_queries(path)
        rows, cells = read_back(files)
        taken = take_answers(events, rows, read_answer, on, cells)
        if taken.faults:
            raise InputError(taken.faults)
        events = (*events, *taken.events)
        save_queries(path, events)
    left = sum(record.state is QueryState.OPEN for record in records_of(events))
    given = sum(event.step is QueryStep.ANSWERED for event in taken.events)
    return AnswersGiven(read.name, on, given, tuple(taken.notes), left)
