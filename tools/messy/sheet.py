# SPDX-License-Identifier: Apache-2.0
"""The contractor's workbook: titles, grouped headings, notes between rows, hidden rows, totals, formulas, merged cells."""

from __future__ import annotations

import io
import itertools
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import openpyxl
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter

from tools.messy.cells import cell_of
from tools.messy.rows import BUILDING, Meant

__all__ = ["COLUMNS", "FILE", "SHEET", "Column", "Placed", "workbook"]

FILE = "fd-schedule.xlsx"
SHEET = "FD schedule"
_WHEN = datetime(2026, 3, 2, 9, 0, 0)  # noqa: DTZ001 - a sheet's time has no zone
_HEADINGS = 6
"""The second row of the headings."""
_HIDDEN = ((1, 3), (3, 11), (4, 24))
_NOTES = {
    (0, 12): "NOTE: all sizes nominal, W x H, unless a cell says otherwise",
    (2, 5): "Block B from here",
    (4, 18): "NB: seals by the firestopper",
}
_LINE = Side(style="thin", color="FF999999")
_THIN = Border(left=_LINE, right=_LINE, top=_LINE, bottom=_LINE)


@dataclass(frozen=True)
class Column:
    """A column of the sheet: group over the heading ("" for none), heading, key of ours ("" for theirs alone), width."""

    group: str
    heading: str
    key: str
    width: float = 14.0

    @property
    def joined(self) -> str:
        """The heading as a mapping names it."""
        return f"{self.group} / {self.heading}" if self.group else self.heading


COLUMNS: tuple[Column, ...] = (
    Column("", "No.", "", 6),
    Column("", "FD Ref", "reference", 11),
    Column("Location", "Level", "storey", 8),
    Column("Location", "Grid ref", "words", 9),
    Column("Wall", "Type", "wall_type_code", 8),
    Column("Wall", "Fire rating", "rating", 10),
    Column("", "Compartment line", "role", 19),
    Column("", "Wall or floor", "orientation", 8),
    Column("", "Side 1", "space_a", 16),
    Column("", "Side 2", "space_b", 16),
    Column("Duct", "System", "system", 18),
    Column("Duct", "Size (WxH) mm", "duct_size", 15),
    Column("Damper", "Required", "damper_present", 9),
    Column("Damper", "Make", "maker", 18),
    Column("Damper", "Model", "product", 12),
    Column("Damper", "Size (WxH) mm", "damper_size", 15),
    Column("Damper", "Class", "class_text", 17),
    Column("Damper", "Actuation", "actuation", 26),
    Column("Damper", "Handing", "access_side", 13),
    Column("Damper", "Position", "position", 13),
    Column("Damper", "Fixing", "fixing", 20),
    Column("Damper", "Weight kg", "weight_kg", 9),
    Column("Hangers", "No. of rods", "rod_count", 8),
    Column("Hangers", "Rod length (m)", "rod_length_mm", 9),
    Column("Controls", "Voltage", "voltage", 11),
    Column("Controls", "Fail position", "fail_position", 11),
    Column("", "Air volume l/s", "air_l_s", 10),
    Column("", "Opening (WxH) mm", "framed_size", 15),
    Column("", "Access panel", "access_door", 8),
    Column("", "Method of protection", "method", 24),
    Column("", "Phase", "phase", 7),
    Column("", "Date req'd", "", 12),
    Column("", "Qty", "", 5),
    Column("", "Rate", "", 8),
    Column("", "Cost", "", 9),
    Column("", "Cost code", "", 10),
)
_AT = {column.heading: number for number, column in enumerate(COLUMNS, start=1) if not column.group}


@dataclass(frozen=True)
class Placed:
    """A row of the sheet by its number, what it means, and what it is meant to be read as by key."""

    number: int
    row: Meant


@dataclass
class _Sheet:
    target: Any
    number: int = 0

    def title(self, text: str, bold: bool = True) -> None:
        """One text over all columns."""
        self.number += 1
        cell = self.target.cell(self.number, 1, text)
        cell.font = Font(bold=bold)
        self.target.merge_cells(start_row=self.number, start_column=1, end_row=self.number, end_column=len(COLUMNS))

    def headings(self) -> None:
        """Two rows: groups merged over their columns, headings without a group merged downwards."""
        self.number = _HEADINGS
        first = 1
        while first <= len(COLUMNS):
            column = COLUMNS[first - 1]
            last = first
            if column.group:
                while last < len(COLUMNS) and COLUMNS[last].group == column.group:
                    last += 1
                self.target.cell(_HEADINGS - 1, first, column.group)
                self.target.merge_cells(
                    start_row=_HEADINGS - 1, start_column=first, end_row=_HEADINGS - 1, end_column=last
                )
                for at in range(first, last + 1):
                    self.target.cell(_HEADINGS, at, COLUMNS[at - 1].heading)
            else:
                self.target.cell(_HEADINGS - 1, first, column.heading)
                self.target.merge_cells(
                    start_row=_HEADINGS - 1, start_column=first, end_row=_HEADINGS, end_column=first
                )
            first = last + 1
        for row in (_HEADINGS - 1, _HEADINGS):
            for at in range(1, len(COLUMNS) + 1):
                cell = self.target.cell(row, at)
                cell.font, cell.border = Font(bold=True), _THIN
                cell.fill = PatternFill("solid", start_color="FFD9E1EA")
                cell.alignment = Alignment(wrap_text=True, vertical="center", horizontal="center")

    def again(self) -> None:
        """The lower headings once more, as on the next page of a print."""
        self.number += 1
        for at, column in enumerate(COLUMNS, start=1):
            self.target.cell(self.number, at, column.heading).font = Font(bold=True)

    def row(self, row: Meant, count: int) -> Placed:
        """A damper."""
        self.number += 1
        own: dict[str, Any] = {
            "No.": count,
            "Date req'd": date(2026, 4, 1 + count % 28),
            "Qty": 1,
            "Rate": 180 + 10 * (count % 7),
            "Cost": f"={get_column_letter(_AT['Qty'])}{self.number}*{get_column_letter(_AT['Rate'])}{self.number}",
            "Cost code": f"57.{row.level}{row.slot:02}",
        }
        for at, column in enumerate(COLUMNS, start=1):
            value = cell_of(row, column.key, count + at) if column.key else own[column.heading]
            if value is not None:
                cell = self.target.cell(self.number, at, value)
                cell.border = _THIN
                if isinstance(value, date):
                    cell.number_format = "dd/mm/yyyy"
        if (row.level, row.slot) in _HIDDEN:
            self.target.row_dimensions[self.number].hidden = True
        return Placed(self.number, row)

    def total(self, word: str, first: int) -> None:
        """A total of quantity and cost over the rows from one on."""
        last = self.number
        self.number += 1
        self.target.cell(self.number, 1, word).font = Font(bold=True)
        for name in ("Qty", "Cost"):
            letter = get_column_letter(_AT[name])
            self.target.cell(self.number, _AT[name], f"=SUM({letter}{first}:{letter}{last})").font = Font(bold=True)


def _merge_levels(target: Any, placed: Sequence[Placed]) -> None:
    """The level and the phase of some pairs of rows in one cell merged downwards, as people do."""
    for key, slot in (("storey", 2), ("phase", 4)):
        at = next(number for number, column in enumerate(COLUMNS, start=1) if column.key == key)
        for one, other in itertools.pairwise(placed):
            pair = one.row.slot % 8 == slot and other.number == one.number + 1
            alike = one.row.facts[key] is not None and one.row.facts[key] == other.row.facts[key]
            if pair and alike and key not in one.row.spelled and key not in other.row.spelled:
                target.cell(other.number, at).value = None
                target.merge_cells(start_row=one.number, start_column=at, end_row=other.number, end_column=at)


def workbook(rows: Sequence[Meant], revision: str) -> tuple[bytes, tuple[Placed, ...]]:
    """The workbook as the bytes of an XLSX file, the same each time, and where each row stands in it."""
    book = openpyxl.Workbook()
    target = book.active
    assert target is not None
    target.title = SHEET
    sheet = _Sheet(target)
    sheet.title(f"{BUILDING}: fire and smoke damper schedule")
    sheet.title("Invented for a demonstration: building, makers, products and people do not exist", bold=False)
    sheet.title(f"Revision {revision}, issued for coordination", bold=False)
    sheet.headings()
    placed: list[Placed] = []
    for level in sorted({row.level for row in rows}):
        sheet.title(f"LEVEL {level}")
        first = sheet.number + 1
        for row in (item for item in rows if item.level == level):
            if (level, row.slot) in _NOTES:
                sheet.number += 1
                target.cell(sheet.number, 1, _NOTES[level, row.slot]).font = Font(italic=True)
            if (level, row.slot) == (3, 6):
                sheet.again()
            if (level, row.slot) == (5, 9):
                sheet.number += 2
            placed.append(sheet.row(row, len(placed) + 1))
        sheet.total(f"Total level {level}", first)
    sheet.total("Total", placed[0].number)
    _merge_levels(target, placed)
    for at, column in enumerate(COLUMNS, start=1):
        target.column_dimensions[get_column_letter(at)].width = column.width
    target.column_dimensions[get_column_letter(_AT["Rate"])].hidden = True
    target.freeze_panes = f"C{_HEADINGS + 1}"
    legend = book.create_sheet("Legend")
    for at, text in enumerate(("Y = yes", "SA = supply air", "Method as in the fire strategy"), start=1):
        legend.cell(at, 1, text)
    book.properties.creator = "Invented Ductwork Ltd (invented)"
    book.properties.created = book.properties.modified = _WHEN
    raw = io.BytesIO()
    book.save(raw)
    return _same_each_time(raw.getvalue()), tuple(placed)


def _same_each_time(data: bytes) -> bytes:
    """The archive with one time for every member and in its properties."""
    moment = _WHEN.strftime("%Y-%m-%dT%H:%M:%SZ").encode("ascii")
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + moment, content)
            info = zipfile.ZipInfo(name, _WHEN.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            new.writestr(info, content)
    return out.getvalue()
