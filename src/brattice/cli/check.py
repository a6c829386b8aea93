# SPDX-License-Identifier: Apache-2.0
"""`brattice check`: judge a job and write its register, findings and report."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain

if TYPE_CHECKING:
    from brattice.usecases.report_model import Report

__all__ = ["check"]


def _number(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _summary(report: Report) -> Iterator[str]:
    """What the terminal tells: how many places are in which state, and what to settle first."""
    from brattice.usecases.states import PenetrationState

    places = len(report.penetrations)
    open_places = sum(item.state is PenetrationState.TO_BE_SETTLED for item in report.penetrations)
    counted = _number(places - open_places, "penetration", "penetrations")
    if open_places:
        counted += f" and {_number(open_places, 'place', 'places')} to be settled"
    yield f"{report.job_name}: {counted}, judged for {report.as_of.isoformat()}"
    for state, count in report.counts():
        if count:
            yield f"  {count:5}  {state}"
    for line in report.settle_first[:3]:
        gain = (
            f"gives {len(line.unlocks)} an answer"
            if line.unlocks
            else _number(len(line.holds_up), "waits", "wait") + " for it"
        )
        yield f"  settle first: {line.text} (ask the {line.ask}; {gain})"


def check(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date that is judged for (else that of the job, else today).")
    ] = None,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
    copies: Annotated[
        bool, typer.Option("--copies", help="Copy schedules of more than 5,000 rows too, with columns added.")
    ] = False,
) -> ExitCode:
    """Judge every penetration of a job and write JOB/out: register.xlsx, register.csv, findings.json, report.html.

    Beside them, in JOB/out/schedule, a copy of each schedule with columns added at the right.

    Ends with 0 when nothing is open, 1 when something is, 3 when an input can't be read (then nothing is written).
    """
    from brattice.adapters.files import only_run_in

    with only_run_in(job), _no_search_for_rings():
        return _checked(job, workers, None if as_of is None else the_date(as_of), copies)


@contextmanager
def _no_search_for_rings() -> Iterator[None]:
    """A large job is many small things that stay to the end; searching them for rings again and again is in vain."""
    searched = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searched:
            gc.enable()


def _checked(job: Path, workers: int, as_of: date | None, copies: bool) -> ExitCode:
    """Everything from the job's files to its outputs, while no other run works on the job."""
    from brattice.adapters.report import copy_names
    from brattice.building.queries import QueryState, is_overdue, records_of
    from brattice.cli.run import judge_folder, keep_judged

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr, flush=True)

    judged = judge_folder(job, say, workers=workers, as_of=as_of)
    report, on = judged.report, judged.on
    say("writing the outputs")
    for note in keep_judged(job, judged, large_copies=copies):
        say(note)
    asked = [record for record in records_of(judged.query_events) if record.state is QueryState.OPEN]
    for text in _summary(report):
        print(plain(text))
    if asked:
        overdue = sum(is_overdue(record, on) for record in asked)
        queries = _number(len(asked), "query", "queries")
        print(f"  {queries} open, {overdue} overdue: `brattice queries` writes a sheet for each party")
    for name in copy_names(sheet.file for sheet in report.sheets if sheet.headings_at).values():
        if (job / "out" / name).exists():
            print(f"  your schedule with columns added: {plain(str(job / 'out' / name))}")
    print(f"  the report: {plain(str(job / 'out' / 'report.html'))}")
    return ExitCode.OPEN if report.something_open else ExitCode.DONE
