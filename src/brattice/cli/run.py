# SPDX-License-Identifier: Apache-2.0
"""The run that every command and page shares: a job folder judged, from its files to the report. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from brattice.adapters.project import JobRead
from brattice.building.queries import QueryEvent
from brattice.usecases.check import Material
from brattice.usecases.report_model import Report

__all__ = ["JudgedJob", "judge_folder"]


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
    from brattice.usecases.report_model import with_numbers

    read, material = gather(job, say, workers, as_of)
    on = read.job.rules.on
    report = check_job(material, standards_for(read.job), as_of=on, version=__version__, progress=say)
    events = read_queries(job / QUERIES_FILE)
    events = (*events, *update_events(events, asked_now(report.queries), on))
    return JudgedJob(read, material, with_numbers(report, records_of(events)), events)
