# SPDX-License-Identifier: Apache-2.0
"""`plans/marks.csv`: where people marked penetrations on the drawings under the levels."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from brattice.adapters.text import kept_text, one_line, unkept_text
from brattice.adapters.workbook import read_csv_table, write_file
from brattice.errors import Fault, InputError

__all__ = ["MARKS_FILE", "MARK_COLUMNS", "MarkRow", "add_mark", "read_marks"]

MARKS_FILE = "plans/marks.csv"
MARK_COLUMNS = ("plan", "x", "y", "penetration", "by", "on")
"""The columns of `plans/marks.csv`: file in `plans/`, place on its sheet from the left and from the top (mm of a PDF,
pixels of a picture), id or reference, who placed it, the date."""


@dataclass(frozen=True)
class MarkRow:
    """One row: the drawing, the place on its sheet, the penetration as named, who and when; `number` in the file."""

    plan: str
    x: float
    y: float
    penetration: str
    by: str
    on: date
    number: int = 0


def read_marks(folder: Path, plans: Mapping[str, object]) -> tuple[MarkRow, ...]:
    """The marks of a job in the order of the file; none without the file. `plans` are the drawings by file.

    Raises
    ------
    InputError : with every fault, by row and column
    """
    path = folder / MARKS_FILE
    if not path.exists():
        return ()
    (sheet,) = read_csv_table(path, file=MARKS_FILE).sheets
    rows = list(sheet.rows())
    headings = tuple(str(cell.value) for _, cell in sorted(rows[0][1].items())) if rows else ()
    if headings != MARK_COLUMNS:
        raise InputError(
            Fault(
                MARKS_FILE, "row 1", repr(one_line(",".join(headings), 120)), f"the headings {','.join(MARK_COLUMNS)}"
            )
        )
    faults: list[Fault] = []
    found = []
    for number, cells in rows[1:]:
        texts = {
            name: unkept_text(str(cells[at].value)).strip() for at, name in enumerate(MARK_COLUMNS, 1) if at in cells
        }
        if not any(texts.values()):
            continue

        def fault(column: str, expected: str, number: int = number, texts: dict[str, str] = texts) -> None:
            shown = repr(one_line(texts.get(column, ""), 60)) if texts.get(column) else "nothing"
            faults.append(Fault(MARKS_FILE, f"row {number}, column '{column}'", shown, expected))

        before = len(faults)
        x, y = (_number(texts.get(name, "")) for name in ("x", "y"))
        on = _day(texts.get("on", ""))
        if texts.get("plan", "") not in plans:
            fault("plan", "a file that plans.toml names")
        for name, value in (("x", x), ("y", y)):
            if value is None:
                fault(name, "a number: mm of a PDF, pixels of a picture")
        for name in ("penetration", "by"):
            if not texts.get(name):
                fault(name, "an id or reference" if name == "penetration" else "who placed it")
        if on is None:
            fault("on", "a date like 2026-03-02")
        if len(faults) == before and x is not None and y is not None and on is not None:
            found.append(MarkRow(texts["plan"], x, y, texts["penetration"], texts["by"], on, number))
    if faults:
        raise InputError(faults)
    return tuple(found)


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def add_mark(folder: Path, mark: MarkRow, plans: Mapping[str, object]) -> None:
    """Add a mark below those of the file, which is written whole or not at all. Raises `InputError`."""
    marks = [*read_marks(folder, plans), mark]
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(MARK_COLUMNS)
    for item in marks:
        names = (kept_text(item.penetration), kept_text(item.by))
        writer.writerow([kept_text(item.plan), f"{item.x:g}", f"{item.y:g}", *names, item.on.isoformat()])
    write_file(folder / MARKS_FILE, out.getvalue().encode("utf-8"))
