# SPDX-License-Identifier: Apache-2.0
"""Rows for the templates: one good row to change, random good rows, and files made of them the way a user would."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import openpyxl
from hypothesis import strategies as st

from brattice.adapters.sheets import SCHEDULE, schedule_bytes
from brattice.adapters.workbook.table import NOT_STATED, FieldKind, TableColumn, TableSpec

STAMP = datetime(2026, 3, 1, tzinfo=UTC)

GOOD: dict[str, Any] = {
    "reference": "FD-01",
    "storey": "Level 1",
    "wall_type_code": "W1",
    "duct_width_mm": 600,
    "duct_height_mm": 400,
    "product": "Invented damper A",
}


def filled(
    path: Path,
    rows: Sequence[Mapping[str, Any]],
    spec: TableSpec = SCHEDULE,
    template: bytes = b"",
    escape: bool = True,
) -> Path:
    """The template as a user fills it: each value typed into the cell under its heading.

    A text that looks like the file format's escape of a character is escaped itself, as spreadsheet programs do.
    """
    book = openpyxl.load_workbook(io.BytesIO(template or schedule_bytes(stamp=STAMP)))
    sheet = book[spec.sheet]
    column_of = {cell.value: number for number, cell in enumerate(sheet[1], start=1)}
    for number, row in enumerate(rows, start=2):
        for key, value in row.items():
            cell = sheet.cell(number, column_of[spec.column(key).heading])
            if isinstance(value, tuple):
                value = ";".join(value)
            elif isinstance(value, bool):
                value = "yes" if value else "no"
            if isinstance(value, str) and escape:
                value = re.sub(r"_(?=x[0-9A-Fa-f]{4}_)", "_x005F_", value)
            cell.value = value
            if isinstance(value, str) and not value.startswith("=1"):
                cell.data_type = "s"
    book.save(path)
    return path


def as_csv(path: Path, rows: Sequence[Mapping[str, Any]], spec: TableSpec = SCHEDULE) -> Path:
    """The same as a CSV file with all headings."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([column.heading for column in spec.columns])
    for row in rows:
        cells = []
        for column in spec.columns:
            value = row.get(column.key, "")
            if isinstance(value, tuple):
                value = " ; ".join(value)
            cells.append({True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value)
        writer.writerow(cells)
    path.write_bytes(text.getvalue().encode("utf-8"))
    return path


_names = st.text(st.characters(codec="utf-8", categories=("L", "Nd", "P", "S")), min_size=1, max_size=12).filter(
    lambda text: text.casefold() not in NOT_STATED and ";" not in text and not text.startswith("=")
)


def _value(column: TableColumn) -> st.SearchStrategy[Any]:
    match column.kind:
        case FieldKind.NUMBER:
            low = int(column.least or 0) + (1 if column.above else 0)
            whole = st.integers(low, int(column.most or 0))
            return whole | whole.map(lambda n: n - 0.25 if n > low else n)
        case FieldKind.WHOLE:
            return st.integers(int(column.least or 0), int(column.most or 0))
        case FieldKind.YES_NO:
            return st.booleans()
        case FieldKind.WORD:
            return st.sampled_from(column.words)
        case FieldKind.WORDS:
            return st.lists(st.sampled_from(column.words), min_size=1, max_size=3, unique=True).map(tuple)
        case FieldKind.NAMES if column.key.endswith("_guids"):
            guid = st.text(st.sampled_from("0123456789ABCxyz_$"), min_size=21, max_size=21)
            return st.lists(guid.map(lambda rest: f"1{rest}"), min_size=1, max_size=3, unique=True).map(tuple)
        case FieldKind.NAMES:
            return st.lists(_names, min_size=1, max_size=3, unique=True).map(tuple)
        case _:
            if column.key == "rating":
                return st.sampled_from(["60", "EI 90", "REI 120", "E 60 / EI 30", "unrated"])
            if column.key == "rod_size":
                return st.sampled_from(["M8", "m10", "M 12"])
            if column.key == "permanent_id":
                return st.integers(0, 99_999).map("P-{:04d}".format)
            return _names


_TOGETHER = (
    ("x_m", "y_m", "z_m"),
    ("gap_left_mm", "gap_right_mm", "gap_top_mm", "gap_bottom_mm"),
    ("near_damper", "near_damper_mm", "near_damper_from", "near_damper_to"),
    ("near_wall_mm", "near_wall_from"),
    ("near_floor_mm", "near_floor_from"),
    ("run_proven", "run_document"),
)
_SIZES = ("duct", "damper", "framed", "finished")


@st.composite
def good_rows(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Up to four rows that the schedule takes, references and other names once each."""
    count = draw(st.integers(1, 4))
    rows: list[dict[str, Any]] = []
    for number in range(count):
        row: dict[str, Any] = {}
        for column in SCHEDULE.columns:
            if draw(st.booleans()):
                row[column.key] = draw(_value(column))
        row["reference"] = f"{draw(_names)}/{number}"
        for key in ("permanent_id", "key"):
            if key in row:
                row[key] += str(number)
        for group in _TOGETHER:
            if not all(key in row for key in group):
                for key in group:
                    row.pop(key, None)
        for stem in _SIZES:
            if draw(st.booleans()) or f"{stem}_width_mm" not in row or f"{stem}_height_mm" not in row:
                row.pop(f"{stem}_width_mm", None)
                row.pop(f"{stem}_height_mm", None)
            else:
                row.pop(f"{stem}_diameter_mm", None)
        if "product" in row or "class_text" in row:
            row["damper_present"] = True
        rows.append(row)
    return rows
