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
from collections.abc import Callable, Generator, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from operator import itemgetter
from pathlib import Path
from typing import Any, TypeVar
from xml.etree.ElementTree import iterparse

from openpyxl.cell.text import Text
from openpyxl.reader.excel import ExcelReader
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet._reader import COL_TAG, FORMULA_TAG, INLINE_STRING, MERGE_TAG, ROW_TAG, WorkSheetParser
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula
from openpyxl.worksheet.merge import MergeCells
from openpyxl.xml.constants import SHARED_STRINGS, SHEET_MAIN_NS

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
_STRING_TAG, _TEXT_TAG = f"{{{SHEET_MAIN_NS}}}si", f"{{{SHEET_MAIN_NS}}}t"


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
    stored = _understood(lambda: _stored(data), file)
    if len(stored) > limits.sheets:
        raise InputError(Fault(file, "", f"{len(stored)} sheets", f"at most {limits.sheets}"))
    faults: list[Fault] = []
    sheets = [_sheet(sheet, file, limits, faults) for sheet in stored]
    if faults:
        raise InputError(faults)
    return Workbook(file, hashlib.sha256(data).hexdigest(), tuple(sheets), notes=_notes(members, sheets))


_T = TypeVar("_T")


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


class _Reader(ExcelReader):
    """A workbook whose shared texts are read in one pass; its sheets are read by `_Parser`."""

    def read_strings(self) -> None:
        """The shared texts: those of one piece as they stand, all others as openpyxl puts them together."""
        package: Any = self.package
        part = package.find(SHARED_STRINGS)
        if part is None:
            return
        with self.archive.open(part.PartName[1:]) as source:
            for _, element in _elements(source):
                if element.tag == _STRING_TAG:
                    self.shared_strings.append(_text_of(element).replace("x005F_", ""))
                    element.clear()


def _text_of(element: Any) -> str:
    """The text of a shared or inline string, without its looks."""
    if len(element) == 1 and element[0].tag == _TEXT_TAG:
        return element[0].text or ""
    whole: Any = Text.from_tree(element)
    return str(whole.content)


def _elements(source: Any) -> Iterator[tuple[str, Any]]:
    """The elements of a part as they end. `check_bounds` has refused whatever has a document type or entities, so that
    the quick parser reads what is left.
    """
    return iterparse(source)  # noqa: S314 - see above


class _Parser(WorkSheetParser):
    """Reads the cells of a sheet, with their formulas and what was last shown, in one pass."""

    def parse(self) -> Generator[Any, None, None]:
        """Each row that is stored: its number and its cells; nothing else is kept but what a reader does not see."""
        for _, element in _elements(self.source):
            tag = element.tag
            if tag == ROW_TAG:
                row = self.parse_row(element)
                element.clear()
                yield row
            elif tag == COL_TAG:
                self.parse_column_dimensions(element)
            elif tag == MERGE_TAG:
                self.merged_cells = MergeCells.from_tree(element)

    def parse_cell(self, element: Any) -> dict[str, Any]:
        """The cell with what was last shown in it, and its formula where it has one."""
        text = element.find(INLINE_STRING) if element.get("t") == "inlineStr" else None
        if text is not None:
            coordinate = element.get("r")
            row, column = coordinate_to_tuple(coordinate) if coordinate else (self.row_counter, self.col_counter + 1)
            self.col_counter = column
            cell: dict[str, Any] = {"row": row, "column": column, "value": _text_of(text), "data_type": "s"}
        else:
            cell = super().parse_cell(element)
        if element.find(FORMULA_TAG) is not None:
            cell["formula"] = super().parse_formula(element)  # type: ignore[no-untyped-call]
        return cell


@dataclass(frozen=True)
class _Stored:
    """A sheet as it is stored: its cells by row and column, merged areas, what is hidden."""

    title: str
    state: str
    cells: Mapping[tuple[int, int], dict[str, Any]]
    merged: tuple[MergedRange, ...]
    rows: Mapping[str, Mapping[str, str]]
    columns: Mapping[str, Mapping[str, str]]


def _stored(data: bytes) -> list[_Stored]:
    """Every sheet of cells, in the order of the workbook."""
    reader: Any = _Reader(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    reader.read()
    book = reader.wb
    found: list[_Stored] = []
    for sheet in book.worksheets:
        with sheet._get_source() as source:
            parser: Any = _Parser(
                source,
                sheet._shared_strings,
                data_only=True,
                epoch=book.epoch,
                date_formats=book._date_formats,
                timedelta_formats=book._timedelta_formats,
            )
            cells = {(cell["row"], cell["column"]): cell for _, row in parser.parse() for cell in row}
        areas = [CellRange(item.ref) for item in (parser.merged_cells.mergeCell if parser.merged_cells else ())]
        merged = tuple(sorted({MergedRange(a.min_row, a.min_col, a.max_row, a.max_col) for a in areas}))
        for area in merged:  # what stands under a merged cell is seen by nobody
            for row in range(area.first_row, area.last_row + 1):
                for column in range(area.first_column, area.last_column + 1):
                    if (row, column) != (area.first_row, area.first_column):
                        cells.pop((row, column), None)
        found.append(
            _Stored(sheet.title, sheet.sheet_state, cells, merged, parser.row_dimensions, parser.column_dimensions)
        )
    book.close()
    return found


def _is_hidden(told: Mapping[str, str]) -> bool:
    return told.get("hidden", "0") not in {"0", "false", "f"}


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


def _sheet(sheet: _Stored, file: str, limits: Limits, faults: list[Fault]) -> Sheet:
    cells: list[Cell] = []
    for _, raw in sorted(sheet.cells.items(), key=itemgetter(0)):
        cell = _cell(raw)
        if cell is None:
            continue
        if cell.row > limits.rows or cell.column > limits.columns:
            place = f"sheet '{sheet.title}', cell {cell.name}"
            far = cell_name(limits.rows, limits.columns)
            faults.append(Fault(file, place, "a filled cell far outside", f"nothing beyond {far}"))
        elif isinstance(cell.value, str) and len(cell.value) > limits.text_length:
            place = f"sheet '{sheet.title}', cell {cell.name}"
            found = f"a text of {len(cell.value):,} characters"
            faults.append(Fault(file, place, found, f"at most {limits.text_length:,}"))
        else:
            cells.append(cell)
    hidden_rows = tuple(sorted(int(row) for row, told in sheet.rows.items() if _is_hidden(told)))
    filled = {cell.row for cell in cells}
    return Sheet(
        name=sheet.title,
        cells=tuple(cells),
        merged=sheet.merged,
        hidden_rows=tuple(row for row in hidden_rows if row in filled),
        hidden_columns=_hidden_columns(sheet, {cell.column for cell in cells}),
        hidden=sheet.state != "visible",
    )


def _hidden_columns(sheet: _Stored, filled: set[int]) -> tuple[int, ...]:
    spans = [(int(told["min"]), int(told["max"])) for told in sheet.columns.values() if _is_hidden(told)]
    return tuple(sorted(col for col in filled if any(low <= col <= high for low, high in spans)))


def _cell(raw: Mapping[str, Any]) -> Cell | None:
    kind, stored = _kind_and_value(raw["data_type"], raw["value"])
    if "formula" in raw:
        return Cell(raw["row"], raw["column"], kind, stored, _formula_text(raw["formula"]))
    return None if kind is CellKind.EMPTY else Cell(raw["row"], raw["column"], kind, stored)


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
    text = str(value)
    if "_x" in text:
        text = _ESCAPED.sub(lambda match: chr(int(match.group(1), 16)), text)
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
