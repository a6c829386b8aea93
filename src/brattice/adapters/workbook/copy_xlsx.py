# SPDX-License-Identifier: Apache-2.0
"""A copy of somebody's workbook with columns, notes on cells and a sheet added; nothing else of it is changed.

The copy is their archive. Parts that we don't add to are the bytes that came; into a sheet's part our cells are put
at the ends of its rows, and every other byte stays. So formulas keep what they last showed, and pictures, charts,
pivot tables, macros, conditional formats and all that a library would have to understand to keep stay as they were.
Runs in a child process.
"""

from __future__ import annotations

import hashlib
import io
import math
import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from xml.sax.saxutils import quoteattr

from openpyxl.reader.strings import read_string_table

from brattice.adapters.text import one_line, visible_text
from brattice.adapters.workbook.added import ADDED, ADDED_SHEET, ADDED_TITLE, column_key
from brattice.adapters.workbook.additions import Additions, SheetAdditions
from brattice.adapters.workbook.bounds import check_bounds, check_kind
from brattice.adapters.workbook.cell_notes import add_notes
from brattice.adapters.workbook.model import Limits, cell_name
from brattice.adapters.workbook.package import MAIN, OFFICE, Package, Styles, opened
from brattice.adapters.workbook.parse import read_bytes
from brattice.adapters.workbook.xml_places import (
    Edit,
    SheetPlaces,
    attribute_set,
    cells_in,
    edited,
    elements,
    prefix_of,
    sheet_places,
    start_tag,
    xml_text,
)
from brattice.errors import Fault, InputError

__all__ = ["workbook_with"]

_COLUMNS = tuple(column for column in ADDED if column.key != "cautions")
_ACTS = ("=", "+", "-", "@")
_TEXT_MOST = 32_767
_MOST_COLUMNS = 16_384
_TOO_FAR = 1_000
"""Cells that are only formatted and stand beyond this column are not counted as used."""

_HEIGHT = 15.0
_HIGHEST = 90.0
"""What a row grows to at most [pt] for our texts; the rest is read in the cell or the notes."""

_AFTER_LEGACY = frozenset(
    {"legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst"}
    | {"AlternateContent"}
)
_ANCHOR = re.compile(rb"<(?:\w+:)?to>\s*<(?:\w+:)?col>(\d+)<")
_SPANS = re.compile(rb"\sspans\s*=\s*[\"'](\d+):(\d+)[\"']")
_SIZE = re.compile(rb"\s(ht|customHeight)\s*=\s*[\"']([^\"']*)[\"']")


def workbook_with(path: str | Path, given: Additions, stamp: datetime, limits: Limits) -> tuple[bytes, list[str]]:
    """The bytes of the workbook at a path with additions, and what has to be said about the copy.

    Raises `InputError` for a file that is not the one that was judged or can't be copied whole.
    """
    data = read_bytes(path, given.file, limits)
    if hashlib.sha256(data).hexdigest() != given.sha256:
        raise InputError(
            Fault(given.file, "", "another file than the one that was judged", "no change while a check runs")
        )
    check_kind(data, given.file)
    check_bounds(data, given.file, limits)
    return _Copy(Package(data, given.file), given).made(stamp)


@dataclass
class _Copy:
    """One workbook while it is added to."""

    package: Package
    given: Additions
    notes: list[str] = field(default_factory=list)
    _strings: list[str] | None = None

    @property
    def file(self) -> str:
        return self.given.file

    def made(self, stamp: datetime) -> tuple[bytes, list[str]]:
        book = "xl/workbook.xml"
        leads = self.package.relations(book)
        kinds = {kind: part for kind, part in leads.values() if kind in {"styles", "sharedStrings"}}
        styles = Styles(self.package, kinds.get("styles", ""))
        listed = [e for e in elements(self.package.xml(book)) if e.local == "sheet" and e.depth == 2]
        parts: list[tuple[str, str]] = []
        for element in listed:
            lead = next((value for key, value in element.attributes.items() if key.rpartition(":")[2] == "id"), "")
            kind, part = leads.get(lead, ("", ""))
            if kind == "worksheet" and self.package.has(part):
                parts.append((element.attributes["name"], part))
        for sheet in self.given.sheets:
            named = [part for name, part in parts if one_line(name) == sheet.name]
            if len(named) != 1:
                found = f"{len(named)} sheets of that name"
                raise InputError(Fault(self.file, f"sheet '{sheet.name}'", found, "one, to add columns to"))
            self._sheet(named[0], sheet, styles, kinds.get("sharedStrings", ""))
        if any(name.startswith("_xmlsignatures/") for name in self.package.names):
            self.notes.append("the workbook was signed; the signature does not hold for the copy")
        if self.package.has("xl/vbaProject.bin"):
            self.notes.append("the macros of the workbook are in the copy as they came; nobody looked at them")
        self._add_sheet(parts, styles, kinds.get("sharedStrings", ""))
        return self.package.packed(stamp), self.notes

    def _text_at(self, places: SheetPlaces, place: tuple[int, int], shared: str) -> str:
        text = places.texts.get(place, "")
        if isinstance(text, str):
            return text
        if self._strings is None:
            whole = shared and self.package.has(shared)
            strings: Any = read_string_table(io.BytesIO(self.package.part(shared))) if whole else []
            self._strings = [str(item) for item in strings]
        return self._strings[text] if text < len(self._strings) else ""

    def _sheet(self, part: str, given: SheetAdditions, styles: Styles, shared: str) -> None:
        """Put columns and notes into the part of a sheet."""
        data = self.package.xml(part)
        places = sheet_places(data)
        if places.data_end < 0 or not places.rows:
            raise InputError(Fault(self.file, f"sheet '{given.name}'", "a sheet without rows", "the sheet as it was"))
        ours: dict[int, str] = {}
        for place in places.texts:
            key = column_key(self._text_at(places, place, shared))
            if key is not None:
                ours.setdefault(place[1], key)
        at = self._columns(part, places, ours, given)
        written = set(ours) | set(at.values())
        rows = {number: dict(texts) for number, texts in given.rows.items()}
        rows[given.headings_at] = {column.key: column.heading for column in _COLUMNS}
        edits = _row_edits(data, places, rows, given.headings_at, at, styles)
        if ours:
            for number, row in places.rows.items():
                if number not in rows:
                    edits += [(start, end, b"") for column, start, end in cells_in(data, row) if column in ours]
        edits += _width_edits(data, places, {n: c.width for c in _COLUMNS for n in [at[c.key]] if n not in ours})
        edits += self._dimension(data, places, max(written), max(rows))
        self.package.put(part, data)
        legacy = next((a for name, _, a in places.parts if name == "legacyDrawing"), {})
        had = next((value for key, value in legacy.items() if key.rpartition(":")[2] == "id"), "")
        lead, passed = add_notes(self.package, part, had, _on_first(given.notes, places.merged))
        if lead:
            edits.append(_legacy(places, lead))
        if passed:
            cells = ", ".join(passed[:20]) + (" …" if len(passed) > 20 else "")
            self.notes.append(f"sheet '{given.name}': cells with a conversation got no note: {cells}")
        self.package.put(part, edited(data, edits))

    def _columns(
        self, part: str, places: SheetPlaces, ours: Mapping[int, str], given: SheetAdditions
    ) -> dict[str, int]:
        """The column of each key: where it stood in an earlier copy, else at the right of all that is used."""
        used = places.last if places.last <= _TOO_FAR else places.last_filled
        used = max([used, *(right for _, _, _, right in places.merged)])
        for kind, drawing in self.package.relations(part).values():
            if kind == "drawing" and self.package.has(drawing):
                right = max((int(found) + 1 for found in _ANCHOR.findall(self.package.part(drawing))), default=0)
                used = max(used, right) if right <= _TOO_FAR else used
        at: dict[str, int] = {}
        for number, key in sorted(ours.items()):
            at.setdefault(key, number)
        new = [column.key for column in _COLUMNS if column.key not in at]
        if new and used + len(new) > _MOST_COLUMNS:
            raise InputError(Fault(self.file, f"sheet '{given.name}'", "no free column at the right", "some"))
        at.update({key: used + number for number, key in enumerate(new, start=1)})
        return {column.key: at[column.key] for column in _COLUMNS}

    def _dimension(self, data: bytes, places: SheetPlaces, right: int, bottom: int) -> list[Edit]:
        found = next(((start, told) for name, start, told in places.parts if name == "dimension"), None)
        if found is None:
            return []
        tag = start_tag(data, found[0])
        first = found[1].get("ref", "A1").partition(":")[0] or "A1"
        last = cell_name(max([bottom, *places.rows]), max(right, places.last))
        return [(found[0], found[0] + len(tag), attribute_set(tag, "ref", f"{first}:{last}"))]

    def _add_sheet(self, parts: Sequence[tuple[str, str]], styles: Styles, shared: str) -> None:
        """Put the sheet of notes at the end, or in the place of the one that an earlier run added."""
        lines = [
            *self.given.lines,
            *((("About this copy" if not at else ""), note) for at, note in enumerate(self.notes)),
        ]
        made = _notes_part(lines, styles)
        for name, part in parts:
            if not name.startswith(ADDED_SHEET):
                continue
            if self._text_at(sheet_places(self.package.xml(part)), (1, 1), shared) == ADDED_TITLE:
                self.package.put(part, made)
                self.package.lead_nowhere(part)
                return
        book = "xl/workbook.xml"
        part = self.package.free_name("xl/worksheets/notes{}.xml")
        self.package.put(part, made)
        self.package.of_kind(part, "worksheet")
        lead = self.package.lead(book, "worksheet", part)
        data = self.package.xml(book)
        found = elements(data)
        sheets = next(e for e in found if e.local == "sheets" and e.depth == 1)
        listed = [e for e in found if e.local == "sheet" and e.depth == 2]
        taken = {e.attributes["name"].casefold() for e in listed}
        number, name = 1, ADDED_SHEET
        while name.casefold() in taken:
            number += 1
            name = f"{ADDED_SHEET} ({number})"
        sheet_id = 1 + max(int(e.attributes.get("sheetId", "0")) for e in listed)
        new = (
            f"<{prefix_of(sheets.name)}sheet xmlns:r={quoteattr(OFFICE)} name={quoteattr(name)} "
            f'sheetId="{sheet_id}" r:id={quoteattr(lead)}/>'
        )
        self.package.put(book, edited(data, [(sheets.inner_end, sheets.inner_end, new.encode())]))


def _cell(pre: str, row: int, column: int, text: str, style: str) -> bytes:
    shown = visible_text(text)
    if len(shown) > _TEXT_MOST:
        shown = shown[: _TEXT_MOST - 1] + "…"
    head = f'<{pre}c r="{cell_name(row, column)}"{style} t="inlineStr"><{pre}is><{pre}t xml:space="preserve">'
    return head.encode() + xml_text(shown) + f"</{pre}t></{pre}is></{pre}c>".encode()


def _style(text: str, styles: Styles, *, heading: bool) -> str:
    if heading:
        return styles.heading
    return styles.quoted if text.startswith(_ACTS) else styles.text


def _row_edits(
    data: bytes,
    places: SheetPlaces,
    rows: Mapping[int, Mapping[str, str]],
    headings_at: int,
    at: Mapping[str, int],
    styles: Styles,
) -> list[Edit]:
    """Edits that put our cells into rows, in the order of columns, and rows where there are none."""
    pre = places.prefix
    in_order = sorted((number, key) for key, number in at.items())
    first, last = in_order[0][0], in_order[-1][0]
    edits: list[Edit] = []
    present = sorted(places.rows)
    for number in sorted(rows):
        told = rows[number]
        cells = [
            (column, _cell(pre, number, column, told[key], _style(told[key], styles, heading=number == headings_at)))
            for column, key in in_order
            if told.get(key)
        ]
        row = places.rows.get(number)
        if row is None:
            after = bisect_right(present, number)
            place = places.data_end if after == len(present) else places.rows[present[after]].start
            whole = f'<{pre}row r="{number}">'.encode() + b"".join(cell for _, cell in cells)
            edits.append((place, place, whole + f"</{pre}row>".encode()))
            continue
        tag = data[row.start : row.inner]
        new = _taller(_wider(opened(tag), last), 1 if number == headings_at else _lines(told))
        edits.append((row.start, row.inner, new))
        if places.last >= first:  # only then something may stand in our columns, or after them
            for column, start, end in cells_in(data, row):
                while cells and cells[0][0] < column:
                    edits.append((start, start, cells.pop(0)[1]))
                if first <= column <= last and column in at.values():
                    edits.append((start, end, b""))
        close = f"</{pre}row>".encode() if tag.endswith(b"/>") else b""
        edits.append((row.inner_end, row.inner_end, b"".join(cell for _, cell in cells) + close))
    return edits


def _wider(tag: bytes, last: int) -> bytes:
    found = _SPANS.search(tag)
    if found is None:
        return tag
    first, right = int(found.group(1)), int(found.group(2))
    return attribute_set(tag, "spans", f"{first}:{max(right, last)}")


def _lines(texts: Mapping[str, str]) -> int:
    """How many lines the highest text of a row takes."""
    most = 1
    for column in _COLUMNS:
        parts = texts.get(column.key, "").split("\n")
        most = max(most, sum(max(1, math.ceil(len(part) * 1.1 / column.width)) for part in parts))
    return most


def _taller(tag: bytes, lines: int) -> bytes:
    """A row's tag with a height for so many lines; a height that somebody gave the row stays."""
    told = dict(_SIZE.findall(tag))
    if told.get(b"customHeight", b"0") not in {b"0", b"false"} or (lines < 2 and b"ht" not in told):
        return tag
    have = float(told[b"ht"]) if b"ht" in told else _HEIGHT
    need = min(_HIGHEST, _HEIGHT * lines)
    return attribute_set(tag, "ht", f"{need:g}") if need > have else tag


def _width_edits(data: bytes, places: SheetPlaces, widths: Mapping[int, float]) -> list[Edit]:
    """Edits that give our new columns their widths; a range of columns that reaches over them is cut."""
    if not widths:
        return []
    pre = places.prefix
    first, last = min(widths), max(widths)
    new = b"".join(
        f'<{pre}col min="{number}" max="{number}" width="{width:g}" customWidth="1"/>'.encode()
        for number, width in sorted(widths.items())
    )
    cols = next((start for name, start, _ in places.parts if name == "cols"), None)
    if cols is None:
        start = next(start for name, start, _ in places.parts if name == "sheetData")
        return [(start, start, f"<{pre}cols>".encode() + new + f"</{pre}cols>".encode())]
    edits: list[Edit] = []
    put = False
    end = cols + len(start_tag(data, cols))
    for start, told in places.columns:
        tag = start_tag(data, start)
        end = start + len(tag)
        if not tag.endswith(b"/>"):
            end = data.index(b">", data.index(b"</", end)) + 1
        low, high = int(told["min"]), int(told["max"])
        if high < first:
            continue
        kept: list[bytes] = []
        if low < first:
            kept.append(_one_tag(attribute_set(tag, "max", str(first - 1))))
        if not put:
            kept.append(new)
            put = True
        if high > last:
            kept.append(_one_tag(attribute_set(tag, "min", str(max(low, last + 1)))))
        edits.append((start, end, b"".join(kept)))
    return edits if put else [*edits, (end, end, new)]


def _one_tag(tag: bytes) -> bytes:
    return tag if tag.endswith(b"/>") else tag[:-1] + b"/>"


def _legacy(places: SheetPlaces, lead: str) -> Edit:
    """The edit that lets a sheet name its drawing of notes, at the place that the order of parts gives it."""
    body = False
    place = places.root_end
    for name, start, _ in places.parts:
        body = body or name == "sheetData"
        if body and name in _AFTER_LEGACY:
            place = start
            break
    new = f"<{places.prefix}legacyDrawing xmlns:r={quoteattr(OFFICE)} r:id={quoteattr(lead)}/>"
    return place, place, new.encode()


def _on_first(notes: Mapping[str, str], merged: Iterable[tuple[int, int, int, int]]) -> dict[str, str]:
    """Notes by cell; that of a cell that is merged into another stands on that one."""
    areas = list(merged)
    inside = _finder(areas)
    found: dict[str, list[str]] = {}
    for ref, text in notes.items():
        texts = found.setdefault(inside(ref), [])
        if text not in texts:
            texts.append(text)
    return {ref: "\n".join(texts) for ref, texts in found.items()}


def _finder(areas: Sequence[tuple[int, int, int, int]]) -> Callable[[str], str]:
    by_row: dict[int, list[tuple[int, int, int, int]]] = {}
    for area in areas:
        for row in range(area[0], area[2] + 1):
            by_row.setdefault(row, []).append(area)

    def first(ref: str) -> str:
        letters = ref.rstrip("0123456789")
        row = int(ref[len(letters) :])
        for top, left, _, right in by_row.get(row, ()):
            if cell_name(row, left) == ref or any(cell_name(row, at) == ref for at in range(left, right + 1)):
                return cell_name(top, left)
        return ref

    return first


def _notes_part(lines: Iterable[tuple[str, str]], styles: Styles) -> bytes:
    """The sheet of notes: two columns of text."""
    rows: list[bytes] = [b'<row r="1">' + _cell("", 1, 1, ADDED_TITLE, styles.heading) + b"</row>"]
    for number, (what, text) in enumerate(lines, start=2):
        cells = b""
        for column, said in ((1, what), (2, text)):
            if said:
                head = column == 1 and not text
                cells += _cell("", number, column, said, _style(said, styles, heading=head))
        rows.append(f'<row r="{number}">'.encode() + cells + b"</row>")
    return (
        (
            f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<worksheet xmlns="{MAIN}"><cols>'
            '<col min="1" max="1" width="30" customWidth="1"/><col min="2" max="2" width="110" customWidth="1"/></cols>'
            "<sheetData>"
        ).encode()
        + b"".join(rows)
        + b"</sheetData></worksheet>"
    )
