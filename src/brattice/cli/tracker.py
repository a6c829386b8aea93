# SPDX-License-Identifier: Apache-2.0
"""`brattice tracker`: the stages of the job at each penetration, as a workbook to type in and back again."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from brattice.cli.clock import stamp_of, the_date
from brattice.cli.exits import ExitCode, plain
from brattice.errors import Fault, InputError, UsageError

if TYPE_CHECKING:
    from brattice.usecases.report_model import Report
    from brattice.usecases.stages_taken import StagesTaken, Typed

__all__ = ["FOLDER", "TrackerTaken", "TrackerWritten", "record_typed", "take_tracker", "tracker", "write_tracker"]

FOLDER = "tracker"
"""Where the workbook goes, inside the job folder."""


@dataclass(frozen=True)
class TrackerWritten:
    """A workbook that was written: the report that it shows, where it is, and what there is to say about the folder."""

    report: Report
    path: Path
    notes: tuple[str, ...]


@dataclass(frozen=True)
class TrackerTaken:
    """What was taken into the record of a job, on which date."""

    job_name: str
    received: date
    taken: StagesTaken


def tracker(
    job: Annotated[Path, typer.Argument(help="The job folder.")],
    files: Annotated[
        list[Path] | None, typer.Argument(metavar="[FILE...]", help="With --take: workbooks that came back.")
    ] = None,
    take: Annotated[bool, typer.Option("--take", help="Take what was typed in FILE ... into the record.")] = False,
    as_of: Annotated[
        str | None,
        typer.Option("--as-of", help="The date of the sheet or of taking (else that of the job, else today)."),
    ] = None,
    workers: Annotated[int, typer.Option("--workers", help="How many models are read at once.", min=1, max=64)] = 2,
) -> ExitCode:
    """Write JOB/tracker/tracker.xlsx: the stages of each penetration; with --take FILE ... take what was typed.

    Nothing is taken where anything is wrong (3): every fault is named at once. Ends with 0 when nothing contradicts and
    nothing is asked, else with 1.
    """
    given = files or []
    if take and not given:
        raise UsageError("--take wants the workbooks that came back")
    if given and not take:
        raise UsageError("workbooks that came back are taken with --take")
    on = None if as_of is None else the_date(as_of)
    return _taken(job, given, on) if take else _written(job, workers, on)


def _say(text: str) -> None:
    print(plain(text), file=sys.stderr, flush=True)


def _written(job: Path, workers: int, on: date | None) -> ExitCode:
    from brattice.usecases.tracking import is_of_stages, retired_rows, tracker_rows

    made = write_tracker(job, workers=workers, as_of=on, say=_say)
    for note in made.notes:
        _say(note)
    rows, retired = tracker_rows(made.report), retired_rows(made.report)
    said = sum(any(cell.shown.on is not None for cell in row.stages) for row in rows)
    contradicted = sum(any(item.open and is_of_stages(item) for item in row.findings) for row in (*rows, *retired))
    print(f"{plain(made.report.job_name)}: tracker on {made.report.as_of.isoformat()}")
    print(f"  {len(rows)} penetrations, stages said at {said}; {len(retired)} retired with entries")
    print(f"  {contradicted} contradicted")
    print(f"  the workbook: {plain(str(made.path))}")
    return ExitCode.OPEN if contradicted else ExitCode.DONE


def write_tracker(
    job: Path, *, workers: int = 2, as_of: date | None = None, say: Callable[[str], None] = lambda _: None
) -> TrackerWritten:
    """Judge a job and write its tracker; nothing is printed, `say` gets each line of progress. Raises `InputError`.

    The ids that the sheet names are saved in the ledger first.
    """
    from brattice import __version__
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import LEDGER_FILE, output_folder, save_ledger
    from brattice.adapters.tracker import TRACKER_SHEET_FILE, tracker_bytes
    from brattice.cli.run import judge_folder

    with only_run_in(job):
        judged = judge_folder(job, say, workers=workers, as_of=as_of)
        data = tracker_bytes(judged.report, judged.material.stages, stamp=stamp_of(judged.on))
        try:
            with output_folder(job / FOLDER, version=__version__) as out:
                out.write(TRACKER_SHEET_FILE, data)
                save_ledger(job / LEDGER_FILE, judged.material.identified.ledger.entries)
        except OSError as error:
            why = error.strerror or str(error)
            raise InputError(Fault(str(job), "", f"a folder that can't be written ({why})", "one that can")) from error
    return TrackerWritten(judged.report, job / FOLDER / TRACKER_SHEET_FILE, tuple(out.notes))


def take_tracker(job: Path, files: Sequence[Path], *, as_of: date | None = None, called: str = "") -> TrackerTaken:
    """Take what was typed in workbooks that came back; `called` is what messages call a file (else its path).

    Raises `InputError` with all faults; then nothing is taken.
    """
    from brattice.adapters.tracker import read_typed

    def typed(name: str) -> tuple[Typed, ...]:
        return read_typed([(file, called or str(file)) for file in files], job=name)

    return _record(job, typed, as_of)


def record_typed(job: Path, typed: Iterable[Typed], *, as_of: date | None = None) -> TrackerTaken:
    """Take what was typed on a page, like one cell. Raises `InputError` with all faults; then nothing is taken."""
    from brattice.adapters.tracker import cleaned

    clean = tuple(cleaned(item) for item in typed)
    return _record(job, lambda _: clean, as_of)


def _record(job: Path, typed: Callable[[str], Iterable[Typed]], as_of: date | None) -> TrackerTaken:
    from brattice.adapters.files import only_run_in
    from brattice.adapters.project import LEDGER_FILE, read_job, read_ledger
    from brattice.adapters.tracker import TRACKER_FILE, read_tracker, save_tracker
    from brattice.usecases.stages_taken import take_stages

    with only_run_in(job):
        read = read_job(job).job
        received = read.rules.on if as_of is None else as_of
        known = {entry.id for entry in read_ledger(job / LEDGER_FILE)}
        events = read_tracker(job / TRACKER_FILE)
        taken = take_stages(events, typed(read.name), received, known)
        if taken.faults:
            raise InputError(taken.faults)
        if taken.events:
            save_tracker(job / TRACKER_FILE, (*events, *taken.events))
    return TrackerTaken(read.name, received, taken)


def _taken(job: Path, files: Sequence[Path], on: date | None) -> ExitCode:
    done = take_tracker(job, files, as_of=on)
    taken = done.taken
    print(f"{plain(done.job_name)}: {len(taken.events)} entries taken on {done.received.isoformat()}")
    for note in (*taken.notes, *taken.asks):
        print(f"  {plain(note)}")
    print("  `brattice check` holds them against the judgments; `brattice tracker` writes the sheet again")
    return ExitCode.OPEN if taken.asks else ExitCode.DONE
