# SPDX-License-Identifier: Apache-2.0
"""What the title blocks of a job's sheets say, issued or only looked at."""

from __future__ import annotations

from datetime import date

from brattice.sketch.installation import TitleFacts
from brattice.usecases.job import TitleNames
from brattice.usecases.report_model import Report

__all__ = ["INVENTED", "title_of"]

INVENTED = "Building, people, makers and products are invented."
"""Stands over the title block of every sheet of an invented job, and in its lists."""

_NOT_ISSUED = "Not issued."


def title_of(report: Report, names: TitleNames, *, revision: str = "", issued: date | None = None) -> TitleFacts:
    """The title of a job's sheets. Without a date of issue they are not issued: nobody has drawn, checked or approved
    them, and they say so.
    """
    signed = names if issued is not None else TitleNames()
    notes = [*([] if issued is not None else [_NOT_ISSUED]), *([INVENTED] if report.invented else [])]
    return TitleFacts(
        job=names.owner or report.job_name,
        short=names.project,
        cautions=report.cautions,
        revision=revision,
        issued="" if issued is None else issued.isoformat(),
        department=names.department,
        reference=report.job_name if names.owner else "",
        drawn=signed.drawn,
        checked=signed.checked,
        approved=signed.approved,
        note=" ".join(notes),
    )
