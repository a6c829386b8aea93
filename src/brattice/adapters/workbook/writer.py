# SPDX-License-Identifier: Apache-2.0
"""Write XLSX files: equal bytes for equal input, and text that never acts.

openpyxl writes today's time into the document properties and the archive, and takes a text that begins with "=" for
a formula. Here every text is written as text, and the archive is packed again with the one time that is given.
"""

from __future__ import annotations

import io
import itertools
import math
import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, NamedTuple

import openpyxl
from openpyxl.cell import WriteOnlyCell
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from brattice.adapters.files import write_file
from brattice.adapters.text import visible_text
from brattice.adapters.workbook.model import column_letter
from brattice.errors import OwnFault

__all__ = [
    "OutCell",
    "OutColumn",
    "OutSheet",
    "OutValue",
    "packed_again",
    "safe_text",
    "workbook_bytes",
    "write_file",
    "write_workbook",
]

OutValue = str | int | float | bool | date | datetime | None

_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_ACTS = ("=", "+", "-", "@")
_COLUMNS_ON_A4 = 10
_TEXT_MOST = 32_767
_LINE_POINTS = 15
_HIGHEST_POINTS = 405
"""Spreadsheet programs know no row that is higher than 409 points."""
_FOOTER_MOST = 120
_EARLIEST = datetime(1980, 1, 1)  # noqa: DTZ001 - the archive format has no zones
_LISTS_SHEET = "Words"
_HEADER_FILL = "FF2F3B45"
_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")


@dataclass(frozen=True)
class OutCell:
    """A value with a look of its own: `fill` and `ink` are colours (RRGGBB, "" for none).

    `choices` are the words of a drop-down list for this cell alone.
    """

    value: OutValue
    fill: str = ""
    ink: str = ""
    bold: bool = False
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class OutColumn:
    """One column of a sheet: heading, width in characters, note on the heading, drop-down words, number format."""

    heading: str
    width: float = 14.0
    note: str = ""
    choices: tuple[str, ...] = ()
    number_format: str = ""
    wrap: bool = False


@dataclass(frozen=True)
class OutSheet:
    """One sheet: columns with headings in row 1, then the rows. Without headings it is plain text (instructions).

    `frozen_columns` stay in view with the headings; `choice_rows` is how many rows below the headings get drop-down
    lists. A `hidden` sheet is there for the program alone. With `fit_rows` rows are as high as their texts; a sheet
    `for_typing` prints its grid, on pages two wide with the frozen columns on both.
    """

    name: str
    columns: tuple[OutColumn, ...]
    rows: Sequence[Sequence[OutValue | OutCell]] = ()
    headings: bool = True
    frozen_columns: int = 0
    filter: bool = True
    choice_rows: int = 0
    hidden: bool = False
    fit_rows: bool = False
    for_typing: bool = False


def safe_text(text: str) -> str:
    """A text as a cell can hold it: control characters shown, nothing that reads as an escape, not too long."""
    shown = _LOOKS_ESCAPED.sub("_x005F_", visible_text(text))
    return shown if len(shown) <= _TEXT_MOST else shown[: _TEXT_MOST - 1] + "…"


def _sheet_name(name: str, taken: set[str]) -> str:
    """A name that spreadsheet programs take: at most 31 characters, none of []:*?/\\, once in the book."""
    plain = re.sub(r"[\[\]:*?/\\\n\t]", " ", visible_text(name)).strip("' ")[:31] or "Sheet"
    answer, count = plain, 1
    while answer.casefold() in taken:
        count += 1
        answer = f"{plain[: 28 - len(str(count))]} ({count})"
    taken.add(answer.casefold())
    return answer


class _Look(NamedTuple):
    """How a cell looks; cells that look alike share one style, found once."""

    heading: bool = False
    wrap: bool = False
    edge: bool = False
    number_format: str = ""
    fill: str = ""
    ink: str = ""
    bold: bool = False
    quoted: bool = False


class _Cells:
    """Makes the cells of one sheet. openpyxl finds a style anew for each cell, which takes most of its time."""

    def __init__(self, target: Any) -> None:
        self._target = target
        self._styles: dict[_Look, Any] = {}

    def _style(self, look: _Look) -> Any:
        if look not in self._styles:
            cell: Any = WriteOnlyCell(self._target)
            cell.alignment = Alignment(vertical="top", wrap_text=True if look.wrap or look.heading else None)
            if look.heading:
                cell.font = _font(bold=True, ink="FFFFFF")
                cell.fill = PatternFill("solid", start_color=_HEADER_FILL)
            if look.edge:
                cell.border = Border(bottom=Side("thin", color="FFBFC7CE"))
            if look.number_format:
                cell.number_format = look.number_format
            if look.fill:
                cell.fill = PatternFill("solid", start_color=f"FF{look.fill}")
            if look.bold or look.ink:
                cell.font = _font(bold=look.bold, ink=look.ink)
            cell.quotePrefix = look.quoted
            self._styles[look] = cell._style
        return self._styles[look]

    def heading(self, column: OutColumn) -> Any:
        """The heading of a column, with its note."""
        text = safe_text(column.heading)
        cell: Any = WriteOnlyCell(self._target)
        cell._value, cell.data_type = text or None, "s" if text else "n"
        cell._style = self._style(_Look(heading=True, quoted=text.startswith(_ACTS)))
        if column.note:
            cell.comment = Comment(safe_text(column.note), "Brattice", height=160, width=320)
        return cell

    def cell(self, styled: OutCell, column: OutColumn, edge: bool) -> Any:
        """A cell of a row, None where nothing stands and nothing is filled."""
        value = styled.value
        if (value is None or value == "") and not styled.fill:
            return None
        form = column.number_format if isinstance(value, int | float) else ""
        if isinstance(value, datetime):
            form = "yyyy-mm-dd hh:mm"
        elif isinstance(value, date):
            form = "yyyy-mm-dd"
        cell: Any = WriteOnlyCell(self._target)
        quoted = False
        if isinstance(value, str):
            text = safe_text(value)
            quoted = text.startswith(_ACTS)
            cell._value, cell.data_type = text or None, "s" if text else "n"
        elif isinstance(value, float) and not math.isfinite(value):
            raise OwnFault(f"a sheet can't hold the number {value}")
        else:
            cell.value = value
        cell._style = self._style(_Look(False, column.wrap, edge, form, styled.fill, styled.ink, styled.bold, quoted))
        return cell


def _font(*, bold: bool, ink: str) -> Font:
    """A font of the workbook's own face; without a name each program takes another."""
    return Font(name="Calibri", size=11, bold=bold, color=f"FF{ink}" if ink else None)


def _lines(value: OutValue, width: float) -> int:
    """How many lines a text takes in a column so many characters wide."""
    text = value if isinstance(value, str) else ""
    return sum(max(1, math.ceil(len(part) * 1.1 / width)) for part in text.split("\n"))


class _Lists:
    """The words of drop-down lists, on a sheet of their own: a list in the cell itself may not be long."""

    def __init__(self) -> None:
        self.columns: dict[tuple[str, ...], int] = {}

    def reference(self, choices: tuple[str, ...]) -> str:
        column = column_letter(self.columns.setdefault(choices, len(self.columns) + 1))
        return f"'{_LISTS_SHEET}'!${column}$1:${column}${len(choices)}"

    def drop_down(self, choices: tuple[str, ...]) -> Any:
        allowed = DataValidation("list", formula1=self.reference(choices), allow_blank=True)
        allowed.errorTitle, allowed.error = "Not in the list", "Choose a word of the list, or leave it empty."
        allowed.showErrorMessage = True
        return allowed


def _placed(cells: Sequence[Any], row: int) -> Iterator[Any]:
    """The cells of a row that stand for something, each told where it stands."""
    for column, cell in enumerate(cells, start=1):
        if cell is not None:
            cell.row, cell.column = row, column
            yield cell


def _fill_sheet(target: Any, sheet: OutSheet, lists: _Lists) -> None:
    """Fill a sheet row by row; all that stands before the rows in the file is said first."""
    for number, column in enumerate(sheet.columns, start=1):
        target.column_dimensions[column_letter(number)].width = column.width
        if sheet.headings and column.choices and sheet.choice_rows:
            allowed = lists.drop_down(column.choices)
            letter = column_letter(number)
            allowed.add(f"{letter}2:{letter}{sheet.choice_rows + 1}")
            target.data_validations.append(allowed)
    # On paper a sheet is as wide as its page: nobody reads a register whose columns lie on different sheets.
    target.page_setup.orientation = "landscape"
    target.page_setup.paperSize = (
        Worksheet.PAPERSIZE_A3 if len(sheet.columns) > _COLUMNS_ON_A4 else Worksheet.PAPERSIZE_A4
    )
    target.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    target.page_setup.fitToWidth, target.page_setup.fitToHeight = 1, 0
    if sheet.headings:
        target.print_title_rows = "1:1"
        if sheet.fit_rows:
            _fit_rows(target, sheet)
        if sheet.for_typing:
            target.print_options.gridLines = True
            target.page_setup.fitToWidth = 2
            target.print_title_cols = f"A:{column_letter(max(sheet.frozen_columns, 1))}"
        target.freeze_panes = f"{column_letter(sheet.frozen_columns + 1)}2"
        if sheet.filter and sheet.columns:
            last = column_letter(len(sheet.columns))
            target.auto_filter.ref = f"A1:{last}{max(len(sheet.rows), 1) + 1}"
    cells = _Cells(target)
    target._values_to_row = _placed  # openpyxl would try each cell as a value first, and fail on every one
    if sheet.headings:
        target.append([cells.heading(column) for column in sheet.columns])
    first = 2 if sheet.headings else 1
    lists_of_cells: dict[tuple[str, ...], Any] = {}
    plain = OutColumn("")
    for row, values in enumerate(sheet.rows, start=first):
        made = []
        for number, given in enumerate(values, start=1):
            styled = given if isinstance(given, OutCell) else OutCell(given)
            if styled.choices:
                if styled.choices not in lists_of_cells:
                    lists_of_cells[styled.choices] = lists.drop_down(styled.choices)
                    target.data_validations.append(lists_of_cells[styled.choices])
                lists_of_cells[styled.choices].add(f"{column_letter(number)}{row}")
            column = sheet.columns[number - 1] if number <= len(sheet.columns) else plain
            made.append(cells.cell(styled, column, sheet.headings))
        target.append(made)


def _fit_rows(target: Any, sheet: OutSheet) -> None:
    """Give each row the height of its texts: not every program works it out when it opens a file."""
    rows: list[Sequence[OutValue | OutCell]] = [[column.heading for column in sheet.columns], *sheet.rows]
    for number, values in enumerate(rows, start=1):
        texts = [value.value if isinstance(value, OutCell) else value for value in values]
        most = max(_lines(text, column.width) for text, column in zip(texts, sheet.columns, strict=False))
        if most > 1:
            target.row_dimensions[number].height = min(_LINE_POINTS * most, _HIGHEST_POINTS)


def _footer_text(text: str) -> str:
    """A text as a footer takes it: one line, no codes (each begins with &), not too long."""
    return " ".join(safe_text(text).split())[:_FOOTER_MOST].replace("&", "&&")


def workbook_bytes(sheets: Iterable[OutSheet], *, stamp: datetime, title: str = "", footer: str = "") -> bytes:
    """A workbook of these sheets as the bytes of an XLSX file; the same input gives the same bytes.

    `stamp` is the one time in the file (properties and archive); a zone is dropped, before 1980 it is 1980. `footer`
    stands at the foot of every page that is printed, with the name of its sheet and its number.
    """
    stamp = max(stamp.replace(tzinfo=None, microsecond=0), _EARLIEST)
    book = openpyxl.Workbook(write_only=True)
    taken: set[str] = {_LISTS_SHEET.casefold()}
    lists = _Lists()
    for sheet in sheets:
        target: Any = book.create_sheet(_sheet_name(sheet.name, taken))
        try:
            _fill_sheet(target, sheet, lists)
        except BaseException:
            target.close()  # a sheet that is begun keeps a file of its own open
            raise
        if footer:
            target.oddFooter.left.text = _footer_text(footer)
            target.oddFooter.right.text = "&A, page &P of &N"
        if sheet.hidden:
            target.sheet_state = "hidden"
    if lists.columns:
        words = book.create_sheet(_LISTS_SHEET)
        for number in lists.columns.values():
            words.column_dimensions[column_letter(number)].width = 28
        cells = _Cells(words)
        for row in itertools.zip_longest(*lists.columns):
            words.append([cells.cell(OutCell(word), OutColumn(""), False) for word in row])
    book.properties.creator = "Brattice"
    book.properties.title = safe_text(title) or None
    book.properties.created = book.properties.modified = stamp
    buffer = io.BytesIO()
    book.save(buffer)
    return packed_again(buffer.getvalue(), stamp)


def packed_again(data: bytes, stamp: datetime) -> bytes:
    """The same archive with one time for every member and in the properties."""
    moment = stamp.strftime("%Y-%m-%dT%H:%M:%SZ").encode("ascii")
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = _MODIFIED.sub(rb"\g<1>" + moment + rb"\g<2>", content)
            info = zipfile.ZipInfo(name, stamp.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o600 << 16
            new.writestr(info, content)
    return out.getvalue()


def write_workbook(path: str | Path, sheets: Iterable[OutSheet], *, stamp: datetime, title: str = "") -> None:
    """`workbook_bytes` into a file, whole or not at all."""
    write_file(path, workbook_bytes(sheets, stamp=stamp, title=title))
