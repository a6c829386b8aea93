# SPDX-License-Identifier: Apache-2.0
"""`brattice print`: the report of a job and its meeting plans as PDF."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import stamp_of, the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["FOLDER", "print_job", "printed"]

FOLDER = "print"
"""Where the pages go, inside the job folder."""


def print_job(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    out: Annotated[Path | None, typer.Option("--output", "-o", help="Another folder for the pages.")] = None,
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date that is judged for (else that of the job, else today).")
    ] = None,
    paper: Annotated[str, typer.Option("--paper", help="The sheets of the meeting plans: A3 or A1.")] = "A3",
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Judge a job and write it on paper: JOB/print/report.pdf and a meeting plan a level in JOB/print/plans.

    The answers are those of `brattice check`. A level without coordinates is a list.

    Ends with 0 when nothing is open, 1 when something is, 3 when an input can't be read (then nothing is written).
    """
    from brattice.adapters.files import only_run_in

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr, flush=True)

    with only_run_in(job):
        on = None if as_of is None else the_date(as_of)
        files, is_open = printed(job, out or job / FOLDER, say, workers=workers, as_of=on, paper=paper)
    for path in files:
        print(plain(str(path)))
    return ExitCode.OPEN if is_open else ExitCode.DONE


def printed(
    job: Path,
    out: Path,
    say: Callable[[str], None],
    *,
    workers: int = 2,
    as_of: date | None = None,
    paper: str = "A3",
) -> tuple[list[Path], bool]:
    """Judge a job and write its pages into `out`: the files, sorted, and whether anything is open.

    The ids and the numbers of the queries that the pages name are saved in the job. Raises `InputError`.
    """
    from brattice import __version__
    from brattice.adapters.print import Paper, plan_files, report_files
    from brattice.adapters.project import LEDGER_FILE, output_folder, save_ledger
    from brattice.adapters.queries import QUERIES_FILE, save_queries
    from brattice.cli.run import judge_folder

    if paper.upper() not in set(Paper):
        raise InputError(Fault("--paper", "", repr(paper), " or ".join(Paper)))
    judged = judge_folder(job, say, workers=workers, as_of=as_of)
    epoch = int(stamp_of(judged.on).timestamp())
    say("setting the pages")
    files = report_files(judged.report, epoch=epoch)
    say("drawing the meeting plans")
    files |= plan_files(judged.report, epoch=epoch, paper=Paper(paper.upper()), folder=job)
    ledger = judged.material.identified.ledger
    try:
        with output_folder(out, version=__version__) as folder:
            for name, data in files.items():
                folder.write(name, data)
            save_ledger(job / LEDGER_FILE, ledger.entries)  # ids stand before a page names them
            save_queries(job / QUERIES_FILE, judged.query_events)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(Fault(str(out), "", f"a folder that can't be written ({why})", "one that can")) from error
    for note in (*ledger.notes, *folder.notes):
        say(note)
    return [out / name for name in sorted(files)], judged.report.something_open
