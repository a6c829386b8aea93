# SPDX-License-Identifier: Apache-2.0
"""A judged job in details for the pages: made once a check, and then only read."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from brattice.cli.run import JudgedJob
from brattice.details.detail import InstallationDetail
from brattice.rows import RowBook
from brattice.usecases.detailing import details_of
from brattice.usecases.job import Job
from brattice.usecases.ordering import Schedules, schedules_of
from brattice.usecases.report_model import Report
from brattice.usecases.words import how_known_words, row_value_words
from brattice.web.office import RowPassport

__all__ = ["DetailedJob", "detail_job"]


class DetailedJob:
    """The details of a report by permanent id, with its schedules. It never changes."""

    def __init__(self, report: Report, details: Mapping[str, InstallationDetail], job: Job, book: RowBook) -> None:
        self._report = report
        self._book = book
        self._details = details
        self._schedules = schedules_of(report, details, job)

    @property
    def schedules(self) -> Schedules:
        """Orders, builders' work, submittals, cause and effect, as they stand."""
        return self._schedules

    def detail(self, penetration_id: str) -> InstallationDetail:
        """The installation of a penetration. Raises `KeyError`."""
        return self._details[penetration_id]

    def passport(self, row_id: str) -> RowPassport:
        """The value of a row that a figure names."""
        row = self._book.find(row_id, self._report.as_of, self._report.jurisdiction) or self._book.find(row_id)
        if row is None:
            return RowPassport(row_id)
        known = how_known_words(row, self._book.is_confirmed(row))
        return RowPassport(row_id, row_value_words(row), str(row.clause), known, row.paraphrase)


def detail_job(judged: JudgedJob, progress: Callable[[str], None]) -> DetailedJob:
    """Detail a job that was judged; `progress` gets each line of progress."""
    from brattice.cli.gather import standards_for

    book = standards_for(judged.read.job).book
    details = details_of(judged.report, judged.material, book, progress=progress)
    return DetailedJob(judged.report, details, judged.material.job, book)
