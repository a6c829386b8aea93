# SPDX-License-Identifier: Apache-2.0
"""`brattice issue`: the next numbered issue of a job's sketches, orders, builders' work and submittals."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import UsageError

__all__ = ["issue"]


def issue(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    as_of: Annotated[
        str | None, typer.Option("--as-of", help="The date that is judged for (else that of the job, else today).")
    ] = None,
    preview: Annotated[bool, typer.Option("--preview", help="Say what would be issued; write nothing.")] = False,
    verify: Annotated[
        bool, typer.Option("--verify", help="Hold everything that was issued against its manifests; write nothing.")
    ] = False,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Judge and detail a job and write what changed since the last issue into JOB/issued/<number>.

    Only documents that say something else get a new revision; everything that was issued is kept, and is held against
    its manifest first.

    Ends with 0 when nothing is open, 1 when something is, 3 when an input can't be read or something that was issued
    is no longer as it was (then nothing is written).
    """
    from brattice.adapters.files import only_run_in
    from brattice.adapters.issued import read_issues
    from brattice.cli.issued import keep_issue, prepare_issue
    from brattice.usecases.standards import superseded_by

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr, flush=True)

    if preview and verify:
        raise UsageError("--preview and --verify are two questions; ask one")
    if verify:
        past = read_issues(job)
        for item in past:
            print(f"{item.issue.number} of {item.issue.on.isoformat()}: {len(item.files)} files as issued")
        if not past:
            print("nothing was issued yet")
        return ExitCode.DONE
    with only_run_in(job):
        prepared = prepare_issue(job, say, workers=workers, as_of=None if as_of is None else the_date(as_of))
        plan, is_open = prepared.plan, prepared.judged.report.something_open
        if plan.is_empty:
            last = prepared.past[-1].issue.number
            print(f"nothing changed since issue {last}; nothing is issued")
            return ExitCode.OPEN if is_open else ExitCode.DONE
        for revised in plan.revised:
            what = revised.replaces.revision if revised.replaces is not None else "new"
            print(plain(f"{revised.content.number}: {what} to {revised.revision}: {revised.content.title}"))
        for sent in prepared.schedules.submittals.items:
            what = f"{sent.product_text} in {sent.wall_type}"
            print(plain(f"technical submittal of {what}: content {sent.content}, {sent.status_text}"))
        for gone in plan.withdrawn:
            if gone.issue == plan.number:
                by = superseded_by(gone, prepared.drawings)
                what = f"superseded by {by}" if by else "withdrawn"
                print(plain(f"{gone.content.number}: {what}: {gone.content.title}"))
        if not preview:
            print(plain(str(keep_issue(job, prepared, say))))
    return ExitCode.OPEN if is_open else ExitCode.DONE
