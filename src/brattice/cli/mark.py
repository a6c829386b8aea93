# SPDX-License-Identifier: Apache-2.0
"""`brattice mark`: where a penetration lies on a drawing under a level, placed by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from brattice.cli.clock import the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError

__all__ = ["mark", "record_mark"]


def mark(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    plan: Annotated[str, typer.Option("--plan", help="The drawing, as plans/plans.toml names it.")],
    at: Annotated[
        str, typer.Option("--at", metavar="X,Y", help="From the left and the top: mm of a PDF, pixels of a picture.")
    ],
    penetration: Annotated[str, typer.Option("--penetration", help="Its id or reference.")],
    by: Annotated[str, typer.Option("--by", help="Who placed it.")],
    on: Annotated[str | None, typer.Option("--date", help="When (else the date of the job, else today).")] = None,
) -> ExitCode:
    """Mark a penetration on a drawing under a level: a row of JOB/plans/marks.csv, which `brattice check` judges with.

    Nothing is written where anything is wrong (3).
    """
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import read_job

    with only_run_in(job):
        day = read_job(job).job.rules.on if on is None else the_date(on)
        x, y = record_mark(job, plan=plan, at=_point(at), penetration=penetration, by=by, on=day)
    print(f"{plain(penetration)} marked at x {x:.2f} m, y {y:.2f} m; `brattice check` judges with it")
    return ExitCode.DONE


def _point(text: str) -> tuple[float, float]:
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(Fault("--at", "", repr(text), "two numbers with a comma, like 120.5,88")) from None
    return x, y


def record_mark(
    job: Path, *, plan: str, at: tuple[float, float], penetration: str, by: str, on: date
) -> tuple[float, float]:
    """Add a mark to a job, printing nothing; the caller holds the job's lock. Gives its place in the building [m].

    Raises
    ------
    InputError : the drawing or the penetration is not one of the job's, or the place, name or a file is not in order
    """
    import math

    from brattice.adapters.plans import PLANS_FILE, MarkRow, add_mark, read_plan_files
    from brattice.adapters.project import LEDGER_FILE, read_ledger

    plans = {item.file: item for item in read_plan_files(job)}
    faults = []
    if plan not in plans:
        known = ", ".join(sorted(plans)) or "none"
        faults.append(Fault("--plan", "", repr(plan), f"a drawing that {PLANS_FILE} names ({known})"))
    if not all(math.isfinite(part) for part in at):
        faults.append(Fault("--at", "", f"{at[0]},{at[1]}", "two finite numbers"))
    current = [entry for entry in read_ledger(job / LEDGER_FILE) if not entry.retired]
    name = penetration.strip()
    if sum(name in {entry.id, entry.place.reference} for entry in current) != 1:
        expected = "an id or reference that one penetration of penetrations.csv has (`brattice check` writes it)"
        faults.append(Fault("--penetration", "", repr(penetration), expected))
    if not by.strip():
        faults.append(Fault("--by", "", "nothing", "who placed the mark"))
    if faults:
        raise InputError(faults)
    add_mark(job, MarkRow(plan, at[0], at[1], name, by.strip(), on), plans)
    return plans[plan].place_m(*at)
