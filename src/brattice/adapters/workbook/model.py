# SPDX-License-Identifier: Apache-2.0
"""A workbook as plain frozen data: sheets, cells, merged ranges, what is hidden. No formula is ever evaluated."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from enum import StrEnum
from functools import cached_property, lru_cache

__all__ = ["Cell", "CellKind", "CellValue", "Limits", "MergedRange", "Sheet", "Workbook", "cell_name", "column_letter"]

CellValue = str | int | float | bool | date | datetime | time


class CellKind(StrEnum):
    """What stands in a cell."""

    TEXT = "text"
    NUMBER = "number"
    BOOL = "yes/no value"
    DATE = "date"
    TIME = "time"
    ERROR = "error value"
    EMPTY = "nothing"


@lru_cache(maxsize=1024)
def column_letter(column: int) -> str:
    """The letters of a column counted from 1: `column_letter(28)` is `"AB"`."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def cell_name(row: int, column: int) -> str:
    """A cell as spreadsheet programs name it, row and column counted from 1: `"C12"`."""
    return f"{column_letter(column)}{row}"


@dataclass(frozen=True)
class Limits:
    """What a workbook or table may be at most; more is refused before or while it is read.

    `columns` and `rows` bound where a filled cell may stand, `cells` and `elements` what the file may hold in all,
    so that a small file can't ask for a huge sheet.
    """

    file_bytes: int = 100 * 1024 * 1024
    members: int = 2_000
    inflated_bytes: int = 200 * 1024 * 1024
    sheets: int = 200
    rows: int = 200_000
    columns: int = 1_000
    cells: int = 1_000_000
    elements: int = 8_000_000
    merged_cells: int = 200_000
    text_length: int = 32_767


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell; row and column count from 1.

    `value` is what the file stores. For a cell with a `formula` (beginning with "=") it is the value that was shown
    when the file was last saved, and `EMPTY` when none was stored.
    """

    row: int
    column: int
    kind: CellKind
    value: CellValue | None
    formula: str = ""

    @property
    def name(self) -> str:
        """The cell's name, like "C12"."""
        return cell_name(self.row, self.column)


@dataclass(frozen=True, order=True, slots=True)
class MergedRange:
    """Cells that are merged into one; both ends belong to it."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int

    def __str__(self) -> str:
        return f"{cell_name(self.first_row, self.first_column)}:{cell_name(self.last_row, self.last_column)}"


@dataclass(frozen=True)
class Sheet:
    """One sheet: its filled cells by row and column, merged ranges, and what a reader would not see."""

    name: str
    cells: tuple[Cell, ...]
    merged: tuple[MergedRange, ...] = ()
    hidden_rows: tuple[int, ...] = ()
    hidden_columns: tuple[int, ...] = ()
    hidden: bool = False

    @cached_property
    def _by_row(self) -> dict[int, dict[int, Cell]]:
        rows: dict[int, dict[int, Cell]] = {}
        for cell in self.cells:
            rows.setdefault(cell.row, {})[cell.column] = cell
        return rows

    def row(self, row: int) -> dict[int, Cell]:
        """The filled cells of a row by column; empty when the row is empty."""
        return dict(self._by_row.get(row, {}))

    def rows(self) -> Iterator[tuple[int, dict[int, Cell]]]:
        """Every row that holds something, in order: its number and its filled cells by column."""
        return iter((number, dict(cells)) for number, cells in sorted(self._by_row.items()))


@dataclass(frozen=True)
class Workbook:
    """A workbook, or a CSV file as a workbook of one sheet named "".

    `file` is the path as it was given, `sha256` that of the very bytes that were read. In a table of text alone
    (`typed` is False) every cell is text and numbers are still to be read. `notes` say what was passed over.
    """

    file: str
    sha256: str
    sheets: tuple[Sheet, ...]
    typed: bool = True
    notes: tuple[str, ...] = ()

    def sheet(self, names: Iterable[str]) -> Sheet | None:
        """The first sheet whose name is one of these, blanks at the ends and capitals aside."""
        wanted = {name.strip().casefold() for name in names}
        return next((sheet for sheet in self.sheets if sheet.name.strip().casefold() in wanted), None)
