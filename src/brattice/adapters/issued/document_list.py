# SPDX-License-Identifier: Apache-2.0
"""The list of documents of an issue as a workbook: every document with its revision, and where it was issued."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutColumn, OutSheet, OutValue, workbook_bytes
from brattice.usecases.issue_words import changes_told
from brattice.usecases.issuing import IssuePlan, Revised
from brattice.usecases.report_model import Report
from brattice.usecases.title_facts import INVENTED

__all__ = ["document_list"]

_MOST_SAID, _MOST_LETTERS = 12, 100


def _what(item: Revised) -> str:
    if item.replaces is None:
        return "new"
    if not item.changed:
        return "issued again after it was withdrawn"
    told = list(dict.fromkeys(one_line(change.what, _MOST_LETTERS) for change in changes_told(item)))
    more = len(told) - _MOST_SAID
    return "; ".join(told[:_MOST_SAID]) + (f" and {more} more" if more > 0 else "")


def document_list(plan: IssuePlan, report: Report, files: Mapping[str, tuple[str, ...]], stamp: datetime) -> bytes:
    """Every document that stands after an issue, as XLSX; `files` are those of this issue by number of document."""
    revised = {item.content.number: item for item in plan.revised}
    rows: list[list[OutValue]] = []
    for item in plan.issue().documents:
        content, new = item.content, revised.get(item.content.number)
        if item.withdrawn:
            said = "withdrawn in this issue" if item.issue == plan.number else "withdrawn before"
        else:
            said = _what(new) if new is not None else "as issued before"
        rows.append(
            [
                content.number,
                str(content.kind),
                content.title,
                "withdrawn" if item.withdrawn else content.status,
                item.revision,
                item.issue,
                item.on,
                said,
                "; ".join(files.get(content.number, ())),
            ]
        )
    told = [f"{report.job_name}: issue {plan.number} of {plan.on.isoformat()}"]
    if report.invented:
        told.append(INVENTED)
    told += [
        *report.cautions,
        f"Made by Brattice {report.version}. The manifest beside this file lists every file by its SHA-256.",
    ]
    about: list[list[OutValue]] = [[text] for text in told]
    columns = (
        OutColumn("Document", 22.0),
        OutColumn("Kind", 22.0),
        OutColumn("Title", 40.0, wrap=True),
        OutColumn("Status", 24.0, wrap=True),
        OutColumn("Revision", 10.0),
        OutColumn("Issue", 8.0),
        OutColumn("Date", 12.0),
        OutColumn("What changed", 60.0, wrap=True),
        OutColumn("Files of this issue", 60.0, wrap=True),
    )
    sheets = [
        OutSheet("Documents", columns, rows, fit_rows=True),
        OutSheet("About", (OutColumn("About", 100.0, wrap=True),), about, headings=False, fit_rows=True),
    ]
    return workbook_bytes(sheets, stamp=stamp, title=f"Documents of {report.job_name}")
