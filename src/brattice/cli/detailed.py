# SPDX-License-Identifier: Apache-2.0
"""A judged job in details for the pages: made once a check, and then only read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from brattice.adapters.drawing import SHEET_LOOK, sheet_element, sheet_svg
from brattice.building.queries import Asked
from brattice.building.words import plain
from brattice.cli.clock import stamp_of
from brattice.cli.queries import details_to_ask
from brattice.cli.run import JudgedJob
from brattice.cli.shifts import shifts_of
from brattice.details.detail import InstallationDetail
from brattice.drawing.views import Sheet
from brattice.findings import Known
from brattice.rows import RowBook
from brattice.sketch.installation import installation_sheets
from brattice.usecases.choose_opening import OpeningDraft, draft_of
from brattice.usecases.detailing import details_of
from brattice.usecases.job import Job
from brattice.usecases.ordering import Schedules, schedules_of
from brattice.usecases.report_model import Report
from brattice.usecases.title_facts import title_of
from brattice.usecases.words import how_known_words, row_value_words
from brattice.web.office import RowPassport, SketchKind, SketchView

__all__ = ["DetailedJob", "detail_job"]


class DetailedJob:
    """The details of a report by permanent id, with its schedules. It never changes.

    `asked` is what the details leave to be settled and no check asks.
    """

    def __init__(
        self,
        report: Report,
        details: Mapping[str, InstallationDetail],
        job: Job,
        book: RowBook,
        asked: Sequence[Asked] = (),
    ) -> None:
        self._report = report
        self.asked = tuple(asked)
        self._book = book
        self._details = details
        self._job = job
        self._plans = {plain(plan.storey): plan for plan in report.plans}
        self._schedules = schedules_of(report, details, job, too_near=shifts_of(details, job, book))

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

    def opening_draft(self, penetration_id: str = "") -> OpeningDraft:
        """Numbers to choose an opening by, of a penetration or ("") in general. Raises `KeyError`."""
        detail = self._details[penetration_id] if penetration_id else None
        return draft_of(detail, self._book, self._job.site_tolerances)

    def sketch(self, penetration_id: str, paper: str) -> SketchView:
        """The sheets of an installation as markup. Raises `KeyError`, and `InputError` where it is not drawn."""
        sheets = self._sheets(penetration_id, paper)
        return SketchView(tuple(map(sheet_element, sheets)), SHEET_LOOK.hatches)

    def sketch_file(self, penetration_id: str, kind: SketchKind, paper: str) -> bytes:
        """The sheets of an installation as a file, all of them as PDF, else the drawing alone; raises as `sketch`."""
        sheets = self._sheets(penetration_id, paper)
        match kind:
            case SketchKind.SVG:
                return sheet_svg(sheets[0]).encode()
            case SketchKind.DXF:
                from brattice.adapters.drawing.dxf import sheet_dxf  # its library takes a while to load

                return sheet_dxf(sheets[0])
            case SketchKind.PDF:
                from brattice.adapters.print.sheets import sheets_pdf

                title = f"Installation of {penetration_id}, not issued"
                epoch = int(stamp_of(self._report.as_of).timestamp())
                return sheets_pdf(sheets, title=title, epoch=epoch, subject=f"the sheet of {penetration_id}")

    def _sheets(self, penetration_id: str, paper: str) -> tuple[Sheet, ...]:
        detail = self._details[penetration_id]
        storey = detail.penetration.location.storey
        plan = self._plans.get(plain(storey.value)) if isinstance(storey, Known) else None
        title = title_of(self._report, self._job.title)
        return installation_sheets(detail, title, paper=paper, plan=plan)


def detail_job(judged: JudgedJob, progress: Callable[[str], None]) -> DetailedJob:
    """Detail a job that was judged; `progress` gets each line of progress."""
    from brattice.cli.gather import standards_for

    book = standards_for(judged.read.job).book
    details = details_of(judged.report, judged.material, book, progress=progress)
    return DetailedJob(judged.report, details, judged.material.job, book, details_to_ask(judged, details))
