# SPDX-License-Identifier: Apache-2.0
"""`brattice reconcile`: a schedule against the models and their dampers, or against an earlier revision of itself."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import now
from brattice.cli.data_out import print_data, refuse_input, write_data
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError, UsageError

if TYPE_CHECKING:
    from brattice.adapters.sheets import ScheduleRead
    from brattice.classes import ClassSteps
    from brattice.usecases.reconciled import Alone, Reconciliation

__all__ = ["FOLDER", "WORKBOOKS", "reconcile", "reconcile_of", "revisions_of", "summary_lines", "write_reconciled"]

FOLDER = "reconcile"
"""Where the workbook goes, inside the job folder."""

WORKBOOKS = {"models": "reconciliation.xlsx", "revisions": "revisions.xlsx"}
"""The name of the workbook, by what was held against what."""


def reconcile_of(
    job: Path,
    say: Callable[[str], None],
    *,
    before: Path | None = None,
    mapping: Path | None = None,
    schedule: str = "",
    workers: int = 2,
    as_of: date | None = None,
) -> Reconciliation:
    """The schedule of a job folder against its models, or against the file of an earlier revision.

    Nothing is printed or written, and nothing of the job changes.

    Parameters
    ----------
    job : the job folder
    say : gets each line of progress
    before : the file of an earlier revision; None holds the schedule against the models
    mapping : the mapping that the earlier file is read by; None for that of the job's schedule
    schedule : which schedule of the job is meant, as the job names it; may be left out where there is one
    workers : how many models are read at once
    as_of : the date of the job in place of its own

    Raises
    ------
    InputError : the job or the earlier file can't be read
    UsageError : the schedule that is meant is not one of the job's, or an option has no meaning here
    """
    from brattice.cli.gather import gather, standards_for
    from brattice.usecases.reconcile import reconcile_models

    if before is not None:
        return revisions_of(job, before, mapping=mapping, schedule=schedule)
    if mapping is not None or schedule:
        raise UsageError("--mapping and --schedule go with --before")
    read, material = gather(job, say, workers, as_of)
    say(f"holding {len(material.identified.tied)} rows and places against each other")
    return reconcile_models(material, standards_for(read.job).steps)


def revisions_of(job: Path, before: Path, *, mapping: Path | None = None, schedule: str = "") -> Reconciliation:
    """One schedule of a job against the file of an earlier revision of it; no model is read.

    Parameters
    ----------
    job : the job folder
    before : the file of the earlier revision
    mapping : the mapping that it is read by; None for that of the job's schedule
    schedule : which schedule of the job is meant; may be left out where there is one

    Raises
    ------
    InputError : the job or the earlier file can't be read
    UsageError : the schedule that is meant is not one of the job's
    """
    from brattice.adapters.project import read_job
    from brattice.cli.gather import schedules_of, standards_for
    from brattice.usecases.revisions import reconcile_revisions

    read = read_job(job)
    names = read.job.schedules
    if not names:
        raise InputError(
            Fault(str(job), "schedules", "a job without a schedule", "one that a revision can be held against")
        )
    if schedule and schedule not in names:
        raise UsageError(f"--schedule {schedule}: the job has {', '.join(names)}")
    if not schedule and len(names) > 1:
        raise UsageError(f"the job has {', '.join(names)}: name the one that is meant with --schedule")
    name = schedule or names[0]
    steps = standards_for(read.job).steps
    rows = [row for row in schedules_of(job, read.job, steps).rows if row.origin.file == name]
    earlier = _earlier(job, name, before, mapping, steps)
    return reconcile_revisions(
        earlier.rows, rows, steps, job_name=read.job.name, invented=read.job.invented, files=(before.name, name)
    )


def _earlier(job: Path, name: str, before: Path, mapping: Path | None, steps: ClassSteps) -> ScheduleRead:
    """The rows of the earlier file: by the mapping that is given, else as the job's own schedule is read."""
    from brattice.adapters.foreign import mapping_beside, read_foreign, read_mapping
    from brattice.adapters.sheets import read_schedules

    beside = mapping_beside(job / name)
    by = mapping or (beside if beside.exists() else None)
    if by is None:
        return read_schedules([(before, str(before))])
    called = str(by) if mapping else beside.relative_to(job).as_posix()
    return read_foreign([(before, str(before), read_mapping(by, called))], steps)


def write_reconciled(result: Reconciliation, folder: Path) -> Path:
    """Write the workbook of a reconciliation, whole or not at all; gives where it is.

    Parameters
    ----------
    result : what was found
    folder : where it goes; it is made where it is not there

    Raises
    ------
    InputError : the folder can't be written
    """
    from brattice.adapters.report.reconciled import reconciled_bytes
    from brattice.adapters.workbook import write_file
    from brattice.usecases.reconciled import Sides

    name = WORKBOOKS["models" if result.sides is Sides.MODELS else "revisions"]
    data = reconciled_bytes(result, stamp=now())
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_file(folder / name, data)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(Fault(str(folder), "", f"a folder that can't be written ({why})", "one that can")) from error
    return folder / name


def _alone_lines(where: str, alone: tuple[Alone, ...]) -> Iterator[str]:
    groups: dict[str, list[Alone]] = {}
    for item in alone:
        groups.setdefault(item.group, []).append(item)
    for group, items in groups.items():
        first = items[0]
        told = ", ".join(filter(None, [first.entry.level, first.entry.place, first.entry.size]))
        yield f"  {len(items):6}  only in {where}, {group}: {first.entry.name}{f' ({told})' if told else ''}" + (
            " and others" if len(items) > 1 else ""
        )


def summary_lines(result: Reconciliation) -> Iterator[str]:
    """The counts and the first of each kind, as lines for people."""
    yield f"{result.job_name}: {result.sides}; nothing of the job is changed"
    yield f"  {len(result.matched) - len(result.differing):6}  matched, nothing that both state differs"
    yield f"  {len(result.differing) - len(result.texts_alone):6}  matched, something differs"
    kinds: dict[str, list[str]] = {}
    for pair in result.differing:
        for label, item in {item.label: item for item in pair.facts}.items():
            names = pair.one.name if pair.one.name == pair.other.name else f"{pair.one.name} / {pair.other.name}"
            note = f" ({item.note})" if item.note else ""
            kinds.setdefault(label, []).append(f"{names}: {item.one or 'nothing'} -> {item.other or 'nothing'}{note}")
    for label, texts in kinds.items():
        yield f"          {len(texts)} in {label}, first {texts[0]}"
    if result.texts_alone:
        first = result.texts_alone[0]
        columns = ", ".join(item.label.removeprefix("column ") for item in first.differences)
        yield f"  {len(result.texts_alone):6}  matched, kept texts differ alone: {first.other.name} in {columns}"
    yield f"  {len(result.proposed):6}  proposed by likeness, to be confirmed by somebody"
    for pair in result.proposed[:1]:
        yield f"          first {pair.one.name} / {pair.other.name}, likeness {pair.score:.2f}"
    yield from _alone_lines(result.one, result.only_one)
    yield from _alone_lines(result.other, result.only_other)
    standings: dict[str, list[str]] = {}
    for damper in result.dampers:
        standings.setdefault(damper.standing, []).append(damper.name or damper.guid)
    for standing, found in standings.items():
        more = " and others" if len(found) > 1 else ""
        yield f"  {len(found):6}  dampers modelled {standing}: {found[0]}{more}"
    yield from (f"  {note}" for note in result.notes)
    yield "  A match by likeness is a proposal; what only one side states was not compared."


def reconcile(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    before: Annotated[
        Path | None, typer.Option("--before", metavar="FILE", help="An earlier revision of a schedule of the job.")
    ] = None,
    mapping: Annotated[
        Path | None, typer.Option("--mapping", metavar="FILE", help="How that file is read, where not as the schedule.")
    ] = None,
    schedule: Annotated[
        str, typer.Option("--schedule", metavar="NAME", help="Which schedule of the job, where it has several.")
    ] = "",
    csv: Annotated[
        str,
        typer.Option(
            "--csv",
            help="Write everything to FILE; - writes it to stdout, which then carries data alone.",
            metavar="FILE|-",
        ),
    ] = "",
    out: Annotated[Path | None, typer.Option("--output", "-o", help="Another folder for the workbook.")] = None,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Hold the schedule against the models and their dampers, or with --before against an earlier revision of it.

    Writes JOB/reconcile/reconciliation.xlsx, with --before JOB/reconcile/revisions.xlsx; nothing else of the job is
    touched. Ends with 0 when nothing differs, 1 when something does, 3 when an input can't be read.
    """
    from brattice.adapters.report.reconciled import reconciled_csv

    def say(text: str) -> None:
        print(plain(text), file=sys.stderr, flush=True)

    if before is None and (mapping is not None or schedule):
        raise UsageError("--mapping and --schedule go with --before")
    result = reconcile_of(job, say, before=before, mapping=mapping, schedule=schedule, workers=workers)
    if csv not in {"", "-"}:
        read = [job / path for role, path in result.files if role != "before"]
        refuse_input(
            csv, [*read, *([before] if before else []), *([mapping] if mapping else [])], "files that were read"
        )
    path = write_reconciled(result, out or job / FOLDER)
    if csv == "-":
        print_data(reconciled_csv(result))
    else:
        if csv:
            write_data(Path(csv), reconciled_csv(result))
        for line in summary_lines(result):
            print(plain(line))
    print(plain(str(path)), file=sys.stderr)
    return ExitCode.OPEN if result.something_differs else ExitCode.DONE
