# SPDX-License-Identifier: Apache-2.0
"""The run that every command and page shares: a job folder judged, from its files to the report and to what is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from brattice.adapters.project import JobRead
from brattice.building.queries import QueryEvent
from brattice.errors import Fault, InputError
from brattice.usecases.check import Material
from brattice.usecases.report_model import Report

__all__ = ["JudgedJob", "judge_folder", "keep_judged"]


@dataclass(frozen=True)
class JudgedJob:
    """A job folder judged: what was read, the report, and the list of queries with what this run adds to it."""

    read: JobRead
    material: Material
    report: Report
    query_events: tuple[QueryEvent, ...]

    @property
    def on(self) -> date:
        """The date that was judged for."""
        return self.report.as_of


def judge_folder(job: Path, say: Callable[[str], None], *, workers: int = 2, as_of: date | None = None) -> JudgedJob:
    """Judge the job of a folder for its own date, or for `as_of`; `say` gets each line of progress.

    Nothing is written and nothing printed: whoever calls decides what is kept (the ids of the ledger have to be saved
    before anything names them). Raises `InputError` with every fault of every file.
    """
    from brattice import __version__
    from brattice.adapters.queries import QUERIES_FILE, asked_now, read_queries
    from brattice.building.queries import records_of, update_events
    from brattice.cli.gather import gather, standards_for
    from brattice.usecases.check import check_job
    from brattice.usecases.detail_queries import still_asked
    from brattice.usecases.report_model import with_numbers

    read, material = gather(job, say, workers, as_of)
    on = read.job.rules.on
    report = check_job(material, standards_for(read.job), as_of=on, version=__version__, progress=say)
    events = read_queries(job / QUERIES_FILE)
    penetrations = (item.penetration for item in report.penetrations)
    asked = (*asked_now(report.queries), *still_asked(records_of(events), penetrations))
    events = (*events, *update_events(events, asked, on))
    return JudgedJob(read, material, with_numbers(report, records_of(events)), events)


def keep_judged(job: Path, judged: JudgedJob, *, large_copies: bool = False) -> tuple[str, ...]:
    """Write what a run leaves in the job folder: the outputs, copies of the schedules with columns added, the ledger of
    ids, the list of queries. Large workbooks are copied only with `large_copies`.

    Gives what people should know about the folder ("somebody's file was kept under another name" …). Raises
    `InputError` where the folder can't be written.
    """
    from brattice import __version__
    from brattice.adapters.project import LEDGER_FILE, output_folder, save_ledger
    from brattice.adapters.queries import QUERIES_FILE, save_queries
    from brattice.adapters.report import copies_of, write_outputs
    from brattice.adapters.workbook import copied_beside
    from brattice.cli.clock import stamp_of

    ledger = judged.material.identified.ledger
    stamp = stamp_of(judged.on)
    try:
        with output_folder(job / "out", version=__version__) as out:
            wanted, passed = copies_of(judged.report, job, out.path, large=large_copies)
            with copied_beside(wanted, stamp) as copies:
                write_outputs(judged.report, out.path, epoch=int(stamp.timestamp()))
            save_ledger(job / LEDGER_FILE, ledger.entries)  # ids stand before a report names them
            save_queries(job / QUERIES_FILE, judged.query_events)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(Fault(str(job), "", f"a folder that can't be written ({why})", "one that can")) from error
    return (*ledger.notes, *out.notes, *copies, *passed)
