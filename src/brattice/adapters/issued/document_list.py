# SPDX-License-Identifier: Apache-2.0
"""The list of documents of an issue as a workbook: every document with its revision, and where it was issued."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutColumn, OutSheet, OutValue, workbook_bytes
from brattice.orders.words import reference_of, storey_of
from brattice.usecases.issue_words import changes_told
from brattice.usecases.issuing import IssuePlan, Revised
from brattice.usecases.report_model import Report
from brattice.usecases.standards import drawings_before, superseded_by
from brattice.usecases.title_facts import INVENTED

__all__ = ["document_list"]

_APPLIES = (
    OutColumn("Penetration", 13.0),
    OutColumn("Known as", 18.0),
    OutColumn("Storey", 18.0),
    OutColumn("Drawing", 12.0),
    OutColumn("Revision", 10.0),
    OutColumn("Issue", 8.0),
    OutColumn("Status", 30.0, wrap=True),
    OutColumn("In place of", 14.0),
)
_MOST_SAID, _MOST_LETTERS = 12, 100


def _what(item: Revised, before: Mapping[str, str]) -> str:
    number = item.content.number
    if item.replaces is None or item.replaces.withdrawn:
        was = before.get(number, number)
        if was != number:
            return f"its own sheet now; {was} applied before"
        return "new" if item.replaces is None else "issued again after it was withdrawn"
    told = list(dict.fromkeys(one_line(change.what, _MOST_LETTERS) for change in changes_told(item)))
    more = len(told) - _MOST_SAID
    return "; ".join(told[:_MOST_SAID]) + (f" and {more} more" if more > 0 else "")


def _documents(
    plan: IssuePlan, files: Mapping[str, tuple[str, ...]], drawings: Mapping[str, str]
) -> Iterator[list[OutValue]]:
    """A row for every document that stands after an issue, or once stood."""
    revised = {item.content.number: item for item in plan.revised}
    before = drawings_before(plan)
    for item in plan.issue().documents:
        content, new = item.content, revised.get(item.content.number)
        by = superseded_by(item, drawings)
        status = "" if not item.withdrawn else f"superseded by {by}" if by else "withdrawn"
        if item.withdrawn:
            said = f"{'superseded' if by else 'withdrawn'} {'in this issue' if item.issue == plan.number else 'before'}"
        else:
            said = _what(new, before) if new is not None else "as issued before"
        yield [
            content.number,
            str(content.kind),
            content.title,
            status or content.status,
            item.revision,
            item.issue,
            item.on,
            said,
            "; ".join(files.get(content.number, ())),
        ]


def _applies(plan: IssuePlan, report: Report, drawings: Mapping[str, str]) -> Iterator[list[OutValue]]:
    """A row for every penetration: the drawing that it is built by, and the one before where that was another."""
    standing = {item.content.number: item for item in plan.issue().documents if not item.withdrawn}
    before = drawings_before(plan)
    for item in report.penetrations:
        name = item.penetration.id
        if name not in drawings:
            continue
        number = drawings[name]
        document = standing.get(number)
        was = before.get(name, "")
        yield [
            name,
            reference_of(item.penetration),
            storey_of(item.penetration),
            number,
            "" if document is None else document.revision,
            "" if document is None else document.issue,
            "not drawn; the register says why" if document is None else document.content.status,
            was if was != number else "",
        ]


def document_list(
    plan: IssuePlan,
    report: Report,
    files: Mapping[str, tuple[str, ...]],
    stamp: datetime,
    drawings: Mapping[str, str],
) -> bytes:
    """Every document that stands after an issue, and which drawing applies to each penetration, as XLSX.

    `files` are those of this issue by number of document, `drawings` the number of the drawing by permanent id.
    """
    rows = list(_documents(plan, files, drawings))
    applies = list(_applies(plan, report, drawings))
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
        OutSheet("Which drawing applies", _APPLIES, applies, fit_rows=True),
        OutSheet("About", (OutColumn("About", 100.0, wrap=True),), about, headings=False, fit_rows=True),
    ]
    return workbook_bytes(sheets, stamp=stamp, title=f"Documents of {report.job_name}")
