# SPDX-License-Identifier: Apache-2.0
"""What would change, as CSV: one row a difference, the changes themselves first."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from brattice.adapters.text import csv_text, one_line
from brattice.findings import Finding
from brattice.usecases.report_model import CAUTIONS
from brattice.usecases.what_if import AnswerChanged, WhatIf

__all__ = ["WHAT_IF_COLUMNS", "what_if_csv"]

WHAT_IF_COLUMNS = ("kind", "id", "reference", "about", "before", "after", "text")
"""`kind` is change, state, answer, finding, query, contradiction, job or caution."""


def _found(finding: Finding) -> str:
    return f"{finding.code}, {'open' if finding.open else 'not open'}"


def _of_answer(item: AnswerChanged) -> Iterator[tuple[str, ...]]:
    who = (item.id, item.reference)
    if item.state_before is not item.state_after:
        yield "state", *who, "state", item.state_before, item.state_after, item.why_after
    for aspect in item.aspects:
        yield "answer", *who, aspect.about, aspect.before, aspect.after, ""
    for finding in item.gone:
        yield "finding", *who, finding.code, _found(finding), "", finding.text
    for finding in item.new:
        yield "finding", *who, finding.code, "", _found(finding), finding.text
    for missing in item.settled:
        yield "query", *who, missing.key, f"asked of the {missing.ask}", "", missing.text
    for missing in item.asked:
        yield "query", *who, missing.key, "", f"asked of the {missing.ask}", missing.text
    for text in item.contradicts:
        yield "contradiction", *who, "sources", "", "the change alone gives no answer", text


def _rows(result: WhatIf) -> Iterator[tuple[str, ...]]:
    for cell in result.changed:
        yield "change", cell.subject, "", cell.field, cell.was, cell.now, cell.origin
    for answer in result.answers:
        yield from _of_answer(answer)
    for finding in result.job_gone:
        yield "job", finding.subject, "", finding.code, _found(finding), "", finding.text
    for finding in result.job_new:
        yield "job", finding.subject, "", finding.code, "", _found(finding), finding.text
    for caution in CAUTIONS:
        yield "caution", "", "", "", "", "", caution


def what_if_csv(result: WhatIf) -> str:
    """The whole table as text, lines ended by "\\n"; the same result gives the same text."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(WHAT_IF_COLUMNS)
    for row in _rows(result):
        writer.writerow([csv_text(one_line(cell)) for cell in row])
    return out.getvalue()
