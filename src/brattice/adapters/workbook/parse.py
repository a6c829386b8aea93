# SPDX-License-Identifier: Apache-2.0
"""An XLSX file's bytes to plain data: bounds first, then openpyxl. Runs in a child process.

Everything that leaves this module is JSON, so that it can come back from the child.
"""

from __future__ import annotations

import hashlib
import io
import math
import re
import warnings
from collections.abc import Callable, Mapping
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any, TypeVar

import openpyxl
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet._reader import FORMULA_TAG, WorkSheetParser
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

from brattice.adapters.workbook.bounds import check_bounds, check_kind
from brattice.adapters.workbook.model import (
    Cell,
    CellKind,
    CellValue,
    Limits,
    MergedRange,
    Sheet,
    Workbook,
    cell_name,
)
from brattice.errors import Fault, InputError

__all__ = ["as_json", "from_json", "parse_workbook", "read_bytes"]

_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def read_bytes(path: str | Path, file: str, limits: Limits) -> bytes:
    """The bytes of a file, at most as many as the limit. Raises `InputError` when there are more, or none to read."""
    try:
        if not Path(path).is_file():
            raise InputError(Fault(file, "", "no such file", "a file that exists"))
        with Path(path).open("rb") as stream:
            data = stream.read(limits.file_bytes + 1)
    except OSError as error:
        raise InputError(
            Fault(file, "", f"a file that can't be opened ({error.strerror})", "a readable file")
        ) from error
    if len(data) > limits.file_bytes:
        most = limits.file_bytes // (1024 * 1024)
        raise InputError(Fault(file, "", f"a file of more than {most} MiB", f"at most {most} MiB"))
    return data


def parse_workbook(path: str | Path, file: str, limits: Limits) -> Workbook:
    """The workbook at `path`, called `file` in faults. Raises `InputError`."""
    data = read_bytes(path, file, limits)
    check_kind(data, file)
    members = check_bounds(data, file, limits)
    book = _understood(lambda: openpyxl.load_workbook(io.BytesIO(data), keep_links=False), file)
    if len(book.worksheets) > limits.sheets:
        raise InputError(Fault(file, "", f"{len(book.worksheets)} sheets", f"at most {limits.sheets}"))
    has_formulas = any(cell.data_type == "f" for sheet in book.worksheets for cell in _cells_of(sheet))
    shown = _understood(lambda: _last_shown(data), file) if has_formulas else {}
    faults: list[Fault] = []
    sheets = [_sheet(sheet, shown.get(sheet.title, {}), file, limits, faults) for sheet in book.worksheets]
    if faults:
        raise InputError(faults)
    return Workbook(file, hashlib.sha256(data).hexdigest(), tuple(sheets), notes=_notes(members, sheets))


_T = TypeVar("_T")
_LastShown = Mapping[tuple[int, int], tuple[str, object]]


def _understood(work: Callable[[], _T], file: str) -> _T:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return work()
    except MemoryError:
        raise
    except Exception as error:  # whatever openpyxl stumbles over, the file is to blame and is named
        found = f"a workbook that can't be understood ({type(error).__name__})"
        raise InputError(Fault(file, "", found, "a workbook saved again by a spreadsheet program")) from error


class _FormulasAlone(WorkSheetParser):
    """Reads what was last shown where a formula stands, and passes over every other cell: they were read before."""

    def parse_cell(self, element: Any) -> dict[str, Any]:
        """The cell, without a value where it has no formula."""
        if element.find(FORMULA_TAG) is not None:
            cell: dict[str, Any] = super().parse_cell(element)
            return cell
        coordinate = element.get("r")
        self.col_counter = coordinate_to_tuple(coordinate)[1] if coordinate else self.col_counter + 1
        return {"row": self.row_counter, "column": self.col_counter, "value": None, "data_type": "n", "style_id": 0}


def _last_shown(data: bytes) -> dict[str, _LastShown]:
    """By sheet, the kind and value that was saved with each formula, by row and column."""
    book: Any = openpyxl.load_workbook(io.BytesIO(data), data_only=True, read_only=True, keep_links=False)
    found: dict[str, _LastShown] = {}
    for sheet in book.worksheets:
        values: dict[tuple[int, int], tuple[str, object]] = {}
        with sheet._get_source() as source:
            parser = _FormulasAlone(
                source,
                sheet._shared_strings,
                data_only=True,
                epoch=book.epoch,
                date_formats=book._date_formats,
                timedelta_formats=book._timedelta_formats,
            )
            for _, row in parser.parse():
                values.update(
                    ((cell["row"], cell["column"]), (cell["data_type"], cell["value"]))
                    for cell in row
                    if cell["value"] is not None
                )
        found[sheet.title] = values
    book.close()
    return found


def _cells_of(sheet: Any) -> list[Any]:
    """The stored cells alone: never row by row, a sheet with one far cell is huge."""
    return [cell for _, cell in sorted(sheet._cells.items())]


def _notes(members: tuple[str, ...], sheets: list[Sheet]) -> tuple[str, ...]:
    notes = [f"sheet '{sheet.name}' is hidden" for sheet in sheets if sheet.hidden]
    notes += [f"sheet '{sheet.name}' has {len(sheet.hidden_rows)} hidden rows" for sheet in sheets if sheet.hidden_rows]
    notes += [
        f"sheet '{sheet.name}' has {len(sheet.hidden_columns)} hidden columns"
        for sheet in sheets
        if sheet.hidden_columns
    ]
    if "xl/vbaProject.bin" in members:
        notes.append("the workbook holds macros; they were not looked at")
    if any(name.startswith("xl/externalLinks/") for name in members):
        notes.append("the workbook links to other files; they were not opened")
    return tuple(notes)


def _sheet(sheet: Any, last_shown: _LastShown, file: str, limits: Limits, faults: list[Fault]) -> Sheet:
    cells: list[Cell] = []
    for raw in _cells_of(sheet):
        cell = _cell(raw, last_shown)
        if cell is None:
            continue
        place = f"sheet '{sheet.title}', cell {cell.name}"
        if cell.row > limits.rows or cell.column > limits.columns:
            far = cell_name(limits.rows, limits.columns)
            faults.append(Fault(file, place, "a filled cell far outside", f"nothing beyond {far}"))
        elif isinstance(cell.value, str) and len(cell.value) > limits.text_length:
            found = f"a text of {len(cell.value):,} characters"
            faults.append(Fault(file, place, found, f"at most {limits.text_length:,}"))
        else:
            cells.append(cell)
    merged = tuple(sorted(MergedRange(r.min_row, r.min_col, r.max_row, r.max_col) for r in sheet.merged_cells.ranges))
    hidden_rows = tuple(sorted(row for row, size in sheet.row_dimensions.items() if size.hidden))
    filled = {cell.row for cell in cells}
    return Sheet(
        name=sheet.title,
        cells=tuple(cells),
        merged=merged,
        hidden_rows=tuple(row for row in hidden_rows if row in filled),
        hidden_columns=_hidden_columns(sheet, {cell.column for cell in cells}),
        hidden=sheet.sheet_state != "visible",
    )


def _hidden_columns(sheet: Any, filled: set[int]) -> tuple[int, ...]:
    spans = [(size.min, size.max) for size in sheet.column_dimensions.values() if size.hidden]
    return tuple(sorted(col for col in filled if any((low or 0) <= col <= (high or 0) for low, high in spans)))


def _cell(raw: Any, last_shown: _LastShown) -> Cell | None:
    row, column = raw.row, raw.column
    value = raw.value
    if value is None:
        return None
    if raw.data_type == "f":
        kind, stored = _kind_and_value(*last_shown.get((row, column), ("n", None)))
        return Cell(row, column, kind, stored, _formula_text(value))
    kind, stored = _kind_and_value(raw.data_type, value)
    return None if kind is CellKind.EMPTY else Cell(row, column, kind, stored)


def _formula_text(value: object) -> str:
    if isinstance(value, ArrayFormula):
        value = value.text
    elif isinstance(value, DataTableFormula):
        value = "a data table"
    text = str(value)
    return text if text.startswith("=") else f"={text}"


def _kind_and_value(data_type: str, value: object) -> tuple[CellKind, CellValue | None]:
    if value is None:
        return CellKind.EMPTY, None
    if data_type == "e":
        return CellKind.ERROR, str(value)
    if isinstance(value, bool):
        return CellKind.BOOL, value
    if isinstance(value, int | float):
        if abs(value) > 1e15 or math.isnan(value):
            return CellKind.ERROR, f"{value:g}" if math.isfinite(value) else str(value)
        return CellKind.NUMBER, value
    if isinstance(value, datetime):
        whole_day = value.time() == time() and value.tzinfo is None
        return CellKind.DATE, value.date() if whole_day else value
    if isinstance(value, date):
        return CellKind.DATE, value
    if isinstance(value, time):
        return CellKind.TIME, value
    if isinstance(value, timedelta):
        return CellKind.ERROR, f"a span of time ({value})"
    text = _ESCAPED.sub(lambda match: chr(int(match.group(1), 16)), str(value))
    return (CellKind.TEXT, text) if text else (CellKind.EMPTY, None)


_DATE_TIME, _DATE, _TIME = "dt", "d", "t"


def _value_as_json(value: CellValue | None) -> Any:
    if isinstance(value, datetime):
        return {_DATE_TIME: value.isoformat()}
    if isinstance(value, date):
        return {_DATE: value.isoformat()}
    if isinstance(value, time):
        return {_TIME: value.isoformat()}
    return value


def _value_from_json(value: Any) -> CellValue | None:
    if isinstance(value, dict):
        ((kind, text),) = value.items()
        if kind == _DATE_TIME:
            return datetime.fromisoformat(text)
        return date.fromisoformat(text) if kind == _DATE else time.fromisoformat(text)
    assert value is None or isinstance(value, str | int | float)
    return value


def as_json(book: Workbook) -> Any:
    """The workbook as a JSON value; `from_json` gives it back."""
    return {
        "file": book.file,
        "sha256": book.sha256,
        "notes": list(book.notes),
        "sheets": [
            {
                "name": sheet.name,
                "cells": [[c.row, c.column, c.kind.value, _value_as_json(c.value), c.formula] for c in sheet.cells],
                "merged": [[m.first_row, m.first_column, m.last_row, m.last_column] for m in sheet.merged],
                "hidden_rows": list(sheet.hidden_rows),
                "hidden_columns": list(sheet.hidden_columns),
                "hidden": sheet.hidden,
            }
            for sheet in book.sheets
        ],
    }


def from_json(data: Any) -> Workbook:
    """The workbook that `as_json` put down."""
    kinds = {kind.value: kind for kind in CellKind}
    return Workbook(
        file=data["file"],
        sha256=data["sha256"],
        notes=tuple(data["notes"]),
        sheets=tuple(
            Sheet(
                name=sheet["name"],
                cells=tuple(
                    Cell(row, column, kinds[kind], _value_from_json(value), formula)
                    for row, column, kind, value, formula in sheet["cells"]
                ),
                merged=tuple(MergedRange(*item) for item in sheet["merged"]),
                hidden_rows=tuple(sheet["hidden_rows"]),
                hidden_columns=tuple(sheet["hidden_columns"]),
                hidden=sheet["hidden"],
            )
            for sheet in data["sheets"]
        ),
    )
