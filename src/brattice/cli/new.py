# SPDX-License-Identifier: Apache-2.0
"""`brattice new`: make a job folder."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.cli.template import TemplateKind, template_bytes

__all__ = ["edition_on", "new"]

_JURISDICTION = "England"


def edition_on(on: date) -> str:
    """The newest edition that rows are held for and that is in force on a date, "" for none."""
    from brattice.adapters.rows import load_rows

    held = [row for row in load_rows() if row.id.startswith("england.edition.") and row.holds(on, _JURISDICTION)]
    return str(max(held, key=lambda row: (row.in_force_from or date.min, row.id)).value) if held else ""


def new(
    job: Annotated[Path, typer.Argument(help="The folder to make; it must be new or empty.")],
    name: Annotated[str | None, typer.Option("--name", help="The name of the job (else that of the folder).")] = None,
    as_of: Annotated[str | None, typer.Option("--as-of", help="The date whose rules are asked (else today).")] = None,
) -> ExitCode:
    """Make a job folder: brattice.toml with comments, models, schedule with two empty sheets, evidence, out."""
    from brattice.adapters.project import create_job, job_template

    on = the_date(as_of)
    text = job_template(name or job.resolve().name, edition_on(on) or "to be named", on)
    files = {
        "schedule/schedule.xlsx": template_bytes(TemplateKind.SCHEDULE, as_of),
        "schedule/wall-types.xlsx": template_bytes(TemplateKind.WALL_TYPES, as_of),
    }
    create_job(job, text, files)
    told = f"{job} made; fill in {job / 'brattice.toml'} and the sheets in {job / 'schedule'}"
    print(plain(told), file=sys.stderr)
    return ExitCode.DONE
