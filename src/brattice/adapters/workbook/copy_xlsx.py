# SPDX-License-Identifier: Apache-2.0
"""A copy of somebody's workbook with columns, notes on cells and a sheet added; no value of theirs is changed.

The workbook is read and written whole by openpyxl. What that library does not carry over (drawn shapes, what formulas
last showed, and other parts that it doesn't know) is found by looking into their file, and said. Runs in a child
process.
"""

from __future__ import annotations

import hashlib
import io
import math
import re
import warnings
import zipfile
from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.cell import Cell
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.dimensions import ColumnDimension
from openpyxl.worksheet.properties import PageSetupProperties

from brattice.adapters.text import one_line
from brattice.adapters.workbook.added import ADDED, ADDED_SHEET, ADDED_TITLE, HEADINGS_WITHIN, column_key
from brattice.adapters.workbook.additions import Additions, SheetAdditions
from brattice.adapters.workbook.bounds import check_bounds, check_kind
from brattice.adapters.workbook.model import Limits
from brattice.adapters.workbook.parse import read_bytes
from brattice.adapters.workbook.writer import packed_again, safe_text
from brattice.errors import Fault, InputError

__all__ = ["workbook_with"]

_COLUMNS = tuple(column for column in ADDED if column.key != "cautions")
_ACTS = ("=", "+", "-", "@")
_MOST_COLUMNS = 16_384
_TOO_FAR = 1_000
"""Cells that are only formatted and stand beyond this column are not counted as used."""

_HEIGHT = 15.0
_HIGHEST = 90.0
"""What a row without a height of its own grows to at most [pt] for our texts."""

_BY = "Brattice"
_OURS = re.compile(r"(\n\n)?Brattice: .*?\n\(end of Brattice's note\)", re.DOTALL)
_WIDE, _HIGH = 320, 120
_LISTED = 20

_PARTS: tuple[tuple[str, str], ...] = (
    ("xl/threadedComments/", "conversations on cells (as plain notes alone)"),
    ("xl/persons/", ""),
    ("xl/slicers/", "slicers"),
    ("xl/slicerCaches/", "slicers"),
    ("xl/timelines/", "timelines"),
    ("xl/timelineCaches/", "timelines"),
    ("xl/ctrlProps/", "buttons and other controls"),
    ("xl/activeX/", "buttons and other controls"),
    ("xl/embeddings/", "embedded files"),
    ("xl/connections.xml", "connections to other sources"),
    ("xl/queryTables/", "connections to other sources"),
    ("xl/model/", "the data model"),
    ("xl/diagrams/", "diagrams"),
    ("xl/printerSettings/", "settings of one printer"),
    ("xl/richData/", "linked data types"),
    ("xl/metadata.xml", "linked data types"),
    ("customXml/", "data of other programs"),
    ("_xmlsignatures/", "the signature, which would not hold for a copy"),
    ("xl/calcChain.xml", ""),
)
"""Parts of a workbook by how their names begin, with what people call them; "" for what nobody misses."""

_CARRIED = (
    "[Content_Types].xml", "_rels/", "docProps/", "xl/_rels/", "xl/workbook.xml", "xl/styles.xml", "xl/theme/",
    "xl/sharedStrings.xml", "xl/worksheets/", "xl/chartsheets/", "xl/charts/", "xl/drawings/", "xl/media/",
    "xl/pivotTables/", "xl/pivotCache/", "xl/tables/", "xl/externalLinks/", "xl/comments", "xl/vbaProject.bin",
)  # fmt: skip
"""Parts that the library reads and writes anew, by how their names begin."""

_WITH_MACROS = ("xl/vba", "xl/ctrlProps/", "xl/activeX/", "customUI/")
"""Parts that it keeps beside macros."""

_INSIDE: tuple[tuple[str, bytes, str], ...] = (
    ("xl/drawings/", rb"<(?:\w+:)?(?:sp|cxnSp|grpSp)[\s>]", "drawn shapes and text boxes"),
    (
        "xl/worksheets/",
        rb"<x14:(?:conditionalFormatting|dataValidation|sparklineGroup)",
        "newer kinds of conditional formats, of lists in cells, and small charts in cells",
    ),
)
"""What inside a part is not carried over: how the part's name begins, what is looked for, what people call it."""


def workbook_with(path: str | Path, given: Additions, stamp: datetime, limits: Limits) -> tuple[bytes, list[str]]:
    """The bytes of the workbook at a path with additions, and what has to be said about the copy.

    Raises `InputError` for a file that is not the one that was judged or can't be copied.
    """
    data = read_bytes(path, given.file, limits)
    if hashlib.sha256(data).hexdigest() != given.sha256:
        raise InputError(
            Fault(given.file, "", "another file than the one that was judged", "no change while a check runs")
        )
    check_kind(data, given.file)
    check_bounds(data, given.file, limits)
    return _Copy(data, given).made(stamp)


@dataclass
class _Copy:
    """One workbook while it is added to."""

    data: bytes
    given: Additions
    notes: list[str] = field(default_factory=list)
    _looks: dict[tuple[bool, bool], Any] = field(default_factory=dict)

    def made(self, stamp: datetime) -> tuple[bytes, list[str]]:
        with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
            names = archive.namelist()
            macros = "xl/vbaProject.bin" in names
            drawn = _not_carried(archive)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what it would warn of is found above and said to people
            try:
                book: Any = openpyxl.load_workbook(io.BytesIO(self.data), keep_vba=macros, rich_text=True)
            except Exception as error:  # a library that reads other people's files fails in many ways
                raise InputError(Fault(self.given.file, "", f"can't be copied whole: {error}", "a workbook")) from error
        shown = any(cell.data_type == "f" for sheet in book.worksheets for cell in sheet._cells.values())
        for told in self.given.sheets:
            named = [sheet for sheet in book.worksheets if one_line(sheet.title) == told.name]
            if len(named) != 1:
                found = f"{len(named)} sheets of that name"
                raise InputError(Fault(self.given.file, f"sheet '{told.name}'", found, "one, to add columns to"))
            self._sheet(named[0], told)
        lost = sorted({*drawn, *_words(names, macros=macros)})
        if lost:
            self.notes.append(f"not in this copy, and still in your own file: {', '.join(lost)}")
        if any(sheet._charts for sheet in book.worksheets):
            self.notes.append("charts are drawn anew in this copy and may look different from those of your own file")
        if shown:
            self.notes.append("formulas are worked out when this copy is opened; what they last showed is not in it")
            book.calculation.fullCalcOnLoad = True
        if macros:
            self.notes.append("the macros of the workbook are in the copy as they came; nobody looked at them")
        self._add_sheet(book)
        out = io.BytesIO()
        book.save(out)
        return packed_again(out.getvalue(), stamp), self.notes

    def _look(self, sheet: Any, *, heading: bool, quoted: bool = False) -> Any:
        """The look of an added cell; found once, since a style for each cell takes most of the time."""
        known = self._looks.get((heading, quoted))
        if known is None:
            cell: Any = Cell(sheet, row=1, column=1)
            cell.alignment = Alignment(vertical="top", wrap_text=True)
            if heading:
                cell.font = Font(name="Calibri", size=11, bold=True)
                cell.fill = PatternFill("solid", fgColor="FFE4E8EC")
            cell.quotePrefix = quoted
            known = self._looks[(heading, quoted)] = cell._style
        return copy(known)

    def _put(self, sheet: Any, row: int, column: int, text: str, *, heading: bool = False) -> None:
        """A text as a text, whatever it begins with."""
        shown = safe_text(text)
        cell = sheet.cell(row, column)
        cell._value, cell.data_type = shown or None, "s" if shown else "n"
        cell._style = self._look(sheet, heading=heading, quoted=shown.startswith(_ACTS))

    def _sheet(self, sheet: Any, given: SheetAdditions) -> None:
        """Put columns and notes into a sheet."""
        ours: dict[int, str] = {}
        for (row, column), cell in sorted(sheet._cells.items()):
            if row <= HEADINGS_WITHIN and cell.value is not None and cell.data_type != "f":
                key = column_key(str(cell.value))
                if key is not None:
                    ours.setdefault(column, key)
        for (_, column), cell in sheet._cells.items():
            if column in ours:
                cell.value = None
        at = self._columns(sheet, ours, given)
        for column in _COLUMNS:
            self._put(sheet, given.headings_at, at[column.key], column.heading, heading=True)
        for number, texts in given.rows.items():
            for key, column in at.items():
                if texts.get(key):
                    self._put(sheet, number, column, texts[key])
            _grow(sheet, number, texts)
        _make_room(sheet, {at[c.key]: c.width for c in _COLUMNS if at[c.key] not in ours})
        self._notes(sheet, given)

    def _columns(self, sheet: Any, ours: Mapping[int, str], given: SheetAdditions) -> dict[str, int]:
        """The column of each key: where it stood in an earlier copy, else at the right of all that is used."""
        filled = max((column for (_, column), cell in sheet._cells.items() if cell.value is not None), default=0)
        touched = max((column for _, column in sheet._cells), default=0)
        used = max([touched if touched <= _TOO_FAR else filled, *ours])
        used = max([used, *(area.max_col for area in sheet.merged_cells.ranges)])
        for drawing in (*sheet._charts, *sheet._images):
            right = _right_edge(drawing.anchor)
            used = max(used, right) if right <= _TOO_FAR else used
        at: dict[str, int] = {}
        for number, key in sorted(ours.items()):
            at.setdefault(key, number)
        new = [column.key for column in _COLUMNS if column.key not in at]
        if new and used + len(new) > _MOST_COLUMNS:
            raise InputError(Fault(self.given.file, f"sheet '{given.name}'", "no free column at the right", "some"))
        at.update({key: used + number for number, key in enumerate(new, start=1)})
        return {column.key: at[column.key] for column in _COLUMNS}

    def _notes(self, sheet: Any, given: SheetAdditions) -> None:
        """Put notes on cells; theirs keep every word, ours come after, and those of an earlier run go."""
        for cell in list(sheet._cells.values()):
            if cell.comment is not None and _OURS.search(cell.comment.text):
                kept = _OURS.sub("", cell.comment.text)
                cell.comment = _comment(kept, cell.comment) if kept.strip() else None
        first = {
            (row, column): (area.min_row, area.min_col)
            for area in sheet.merged_cells.ranges
            if area.size["rows"] * area.size["columns"] <= 100_000
            for row in range(area.min_row, area.max_row + 1)
            for column in range(area.min_col, area.max_col + 1)
        }
        wanted: dict[tuple[int, int], list[str]] = {}
        for ref, text in given.notes.items():
            place = sheet[ref].row, sheet[ref].column
            texts = wanted.setdefault(first.get(place, place), [])
            if text not in texts:
                texts.append(text)
        for (row, column), texts in sorted(wanted.items()):
            cell = sheet.cell(row, column)
            said = f"Brattice: {safe_text(chr(10).join(texts))}\n(end of Brattice's note)"
            before = f"{cell.comment.text}\n\n" if cell.comment is not None else ""
            cell.comment = _comment(before + said, cell.comment)

    def _add_sheet(self, book: Any) -> None:
        """Put the sheet of notes at the end, or in the place of the one that an earlier run added."""
        place = len(book.sheetnames)
        for sheet in book.worksheets:
            if sheet.title.startswith(ADDED_SHEET) and str(sheet["A1"].value) == ADDED_TITLE:
                place = book.index(sheet)
                book.remove(sheet)
                break
        taken = {name.casefold() for name in book.sheetnames}
        number, name = 1, ADDED_SHEET
        while name.casefold() in taken:
            number += 1
            name = f"{ADDED_SHEET} ({number})"
        target = book.create_sheet(name, place)
        target.column_dimensions["A"].width, target.column_dimensions["B"].width = 30.0, 110.0
        target.page_setup.orientation, target.page_setup.fitToHeight = "landscape", 0
        target.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        self._put(target, 1, 1, ADDED_TITLE, heading=True)
        about = [("About this copy" if not at else "", note) for at, note in enumerate(self.notes)]
        for row, (what, text) in enumerate([*self.given.lines, *about], start=2):
            if what:
                self._put(target, row, 1, what, heading=not text)
            if text:
                self._put(target, row, 2, text)


def _comment(text: str, before: Comment | None) -> Comment:
    if before is None:
        return Comment(text, _BY, width=_WIDE, height=_HIGH)
    return Comment(text, before.author or _BY, width=before.width, height=before.height)


def _right_edge(anchor: Any) -> int:
    """The last column that a drawing touches, as far as its anchor says it."""
    end = getattr(anchor, "to", None) or getattr(anchor, "_from", None)
    return 0 if end is None else int(end.col) + 1


def _not_carried(archive: zipfile.ZipFile) -> set[str]:
    """What stands inside parts of a workbook that the copy will not have, as people call it."""
    found = set()
    for name in archive.namelist():
        for begin, pattern, words in _INSIDE:
            is_asked = name.startswith(begin) and name.endswith(".xml") and words not in found
            if is_asked and re.search(pattern, archive.read(name)):
                found.add(words)
    return found


def _words(names: Iterable[str], *, macros: bool) -> list[str]:
    """What parts that the copy will not have are called; a part of a kind that nobody knows by its name.

    `macros` is whether the library keeps the program of the workbook with its controls.
    """
    found = set()
    for name in names:
        if name.endswith("/") or name.startswith(_CARRIED) or (macros and name.startswith(_WITH_MACROS)):
            continue
        words = next((words for begin, words in _PARTS if name.startswith(begin)), one_line(name))
        if words:
            found.add(words)
    listed = sorted(found)
    return listed if len(listed) <= _LISTED else [*listed[:_LISTED], "and more"]


def _grow(sheet: Any, number: int, texts: Mapping[str, str]) -> None:
    """Give a row the height that our texts need, where it has none of its own."""
    lines = 1
    for column in _COLUMNS:
        parts = texts.get(column.key, "").split("\n")
        lines = max(lines, sum(max(1, math.ceil(len(part) * 1.1 / column.width)) for part in parts))
    if lines > 1 and sheet.row_dimensions[number].height is None:
        sheet.row_dimensions[number].height = min(_HIGHEST, _HEIGHT * lines)


def _make_room(sheet: Any, widths: Mapping[int, float]) -> None:
    """Give our new columns their widths; a range of columns that reaches over them is cut."""
    if not widths:
        return
    first, last = min(widths), max(widths)
    sizes = sheet.column_dimensions
    for letters, size in list(sizes.items()):
        size.reindex()
        low, high = size.min, size.max
        if high < first or low > last:
            continue
        del sizes[letters]
        for least, most in ((low, min(high, first - 1)), (max(low, last + 1), high)):
            if least <= most:
                _range_like(sheet, size, least, most)
    for number, width in widths.items():
        sizes[get_column_letter(number)] = ColumnDimension(sheet, index=get_column_letter(number), width=width)


def _range_like(sheet: Any, size: Any, low: int, high: int) -> None:
    letters = get_column_letter(low)
    made: Any = ColumnDimension(
        sheet,
        index=letters,
        width=size.width,
        bestFit=size.bestFit,
        hidden=size.hidden,
        outlineLevel=size.outlineLevel,
        collapsed=size.collapsed,
        min=low,
        max=high,
    )
    made._style = copy(size._style)
    sheet.column_dimensions[letters] = made
