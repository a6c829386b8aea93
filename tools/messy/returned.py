# SPDX-License-Identifier: Apache-2.0
"""What a party sends back: its sheet of queries with answers, each as the dampers were designed before the faults."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl

from tools.messy.rows import Meant, designed
from tools.messy.truth import value_words

__all__ = ["write_returned"]

_BY = "P. Larkham (invented)"
_DOCUMENT = "Reply 7, revision A (invented)"
_ON = date(2026, 3, 2)
_FIELDS = {
    "class-text": "class_text",
    "actuation": "actuation",
    "damper-size": "damper_size",
    "product": "product",
    "access-side": "access_side",
    "fixing": "fixing",
    "system": "system",
    "method": "method",
}


def _answer(key: str, rows: dict[str, Meant], references: dict[str, str]) -> str:
    """The answer to the question of a key; "" where the design knows none."""
    kind, _, rest = key.partition("/")
    subject, _, name = rest.partition("/")
    row = rows.get(references.get(subject, ""))
    if kind != "penetration" or row is None or name not in _FIELDS:
        return ""
    field = _FIELDS[name]
    return value_words(field, row.facts[field])


def write_returned(job: Path, party: str, target: Path, most: int = 0) -> int:
    """Fill in a party's workbook of a job (`JOB/queries/PARTY.xlsx`) and write it elsewhere; how many were answered.

    `most` bounds how many (0 for all that the design knows).
    """
    with (job / "queries.csv").open(encoding="utf-8", newline="") as stream:
        keys = {row["number"]: row["key"] for row in csv.DictReader(stream)}
    with (job / "penetrations.csv").open(encoding="utf-8", newline="") as stream:
        references = {row["id"]: row["reference"] for row in csv.DictReader(stream)}
    rows = {row.reference: row for row in designed()}
    book = openpyxl.load_workbook(job / "queries" / f"{party}.xlsx")
    sheet: Any = book["Queries"]
    headings = {str(cell.value): cell.column for cell in sheet[1]}
    answered = 0
    for row in range(2, sheet.max_row + 1):
        answer = _answer(keys.get(str(sheet.cell(row, headings["Number"]).value), ""), rows, references)
        if answer and (not most or answered < most):
            for heading, value in (("Answer", answer), ("Answered by", _BY), ("Document", _DOCUMENT), ("Date", _ON)):
                sheet.cell(row, headings[heading]).value = value
            answered += 1
    target.parent.mkdir(parents=True, exist_ok=True)
    book.save(target)
    return answered
