# SPDX-License-Identifier: Apache-2.0
"""Read a foreign schedule by its mapping: rows of facts, and every cell that was not read, named.

What the mapping does not know stays text in the remarks of its row. Nothing is filled in but what a cell that is
merged downwards says for its rows, when the mapping allows it.
"""

from __future__ import annotations

import difflib
import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from brattice.adapters.foreign.headings import LOOKED_AT, HeadingRows, heading_key, joined
from brattice.adapters.foreign.mapping_file import ColumnTable, Mapping
from brattice.adapters.foreign.values import Unread, cell_text, is_not_stated, read_value
from brattice.adapters.foreign.words import COMPOUND, plain, size_words
from brattice.adapters.sheets import SCHEDULE, FileRead, ScheduleRead, facts_of_row
from brattice.adapters.text import one_line
from brattice.adapters.workbook import Cell, Sheet, Workbook, cell_name, column_letter, read_table_file, without_added
from brattice.adapters.workbook.table import FieldValue, TableRow
from brattice.building.schedule import CellUnread, RowPassed, ScheduleRow, ScheduleSheet
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError
from brattice.findings import Origin

__all__ = ["BookRead", "read_book", "read_foreign"]

_SHOWN = 60
_NO_REFERENCE = "no reference"
_TOTAL = re.compile(r"(sub|grand)? ?totals?( .*)?\Z")
_FIGURES = re.compile(r"[-+£$€]?[\d,. ]+(no|nr)?\Z")
_CLEARED: dict[str, tuple[str, object]] = {
    "damper_present": ("damper_present", None),
    "run_document": ("run_proven", None),
    "permanent_id": ("permanent_id", ""),
    "duct_guids": ("duct_guids", ()),
    "damper_guids": ("damper_guids", ()),
    "barrier_guids": ("barrier_guids", ()),
}
"""Facts that stay unknown where the schedule's own reader finds a contradiction at a key."""


@dataclass
class _Line:
    """One row of the sheet: its number, cells by column (merged ones filled down), texts by column.

    A cell that is filled down keeps its own place, which is in a row above.
    """

    number: int
    cells: dict[int, Cell]
    own: frozenset[int]
    texts: dict[int, str]

    def cell_at(self, column: int) -> str:
        """The name of the cell in which the text of a column stands."""
        cell = self.cells.get(column)
        return cell_name(self.number, column) if cell is None else cell.name


@dataclass
class _Rows:
    """One row of facts before it has its last name: a mark of all that it says, and what is to be said of the cell of
    its name where that name stands more than once.
    """

    facts: ScheduleRow
    mark: str
    again: CellUnread


@dataclass
class _Reading:
    """One sheet while it is read."""

    book: Workbook
    sheet: Sheet
    mapping: Mapping
    steps: ClassSteps
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    passed: list[RowPassed] = field(default_factory=list)
    headings_at: int = 0
    blank: int = 0
    uncertain: set[tuple[int, int]] = field(default_factory=set)

    @property
    def where(self) -> str:
        return f"sheet '{one_line(self.sheet.name)}'" if self.sheet.name else ""

    @cached_property
    def wide(self) -> frozenset[int]:
        """Rows in which three or more columns are merged, as titles are."""
        areas = [area for area in self.sheet.merged if area.last_column - area.first_column >= 2]
        return frozenset(row for area in areas for row in range(area.first_row, area.last_row + 1))

    def place(self, row: int) -> str:
        return f"{self.where}, row {row}" if self.where else f"row {row}"

    def note(self, text: str) -> None:
        self.notes.append(f"{self.where}: {text}" if self.where else text)

    def heading_rows(self) -> HeadingRows | None:
        """Where most headings of the mapping stand together, near the top."""
        wanted = {heading_key(column.heading) for column in self.mapping.table.column}
        best: tuple[int, int, dict[int, str]] | None = None
        count = self.mapping.table.heading_rows
        numbers = {number for number, _ in self.sheet.rows() if number <= LOOKED_AT}
        for first in sorted({number - shift for number in numbers for shift in range(count)} - {0}):
            if first < 1:
                continue
            texts = joined(self.sheet, first, count)
            found = len(wanted & {heading_key(text) for text in texts.values()})
            if found and (best is None or found > best[0]):
                best = (found, first, texts)
        return None if best is None else HeadingRows(best[1], count, best[2])

    def columns(self, headings: HeadingRows) -> dict[int, ColumnTable]:
        """The mapping of each column of the sheet; a heading that is gone or stands twice is a fault."""
        by_key: dict[str, list[int]] = {}
        for number, text in headings.texts.items():
            by_key.setdefault(heading_key(text), []).append(number)
        mapped = {heading_key(column.heading) for column in self.mapping.table.column}
        free = {key: headings.texts[numbers[0]] for key, numbers in by_key.items() if key not in mapped}
        place = self.place(headings.first)
        found: dict[int, ColumnTable] = {}
        for column in self.mapping.table.column:
            numbers = by_key.get(heading_key(column.heading), [])
            shown = repr(one_line(column.heading, _SHOWN))
            if not numbers:
                near = difflib.get_close_matches(heading_key(column.heading), free, n=1, cutoff=0.5)
                hint = f"; is it now {one_line(free[near[0]], _SHOWN)!r}?" if near else ""
                what = f"the heading that {self.mapping.file} maps to '{column.key}'{hint}"
                self.faults.append(Fault(self.book.file, place, f"no heading {shown}", what))
            elif len(numbers) > 1:
                cells = " and ".join(f"{column_letter(number)}{headings.last}" for number in numbers)
                what = "each mapped heading once; rename one of them in the sheet"
                self.faults.append(Fault(self.book.file, place, f"the heading {shown} in {cells}", what))
            else:
                found[numbers[0]] = column
        kept = {heading_key(item) for item in self.mapping.table.kept_as_text}
        new = [text for key, text in free.items() if key not in kept]
        if new:
            names = ", ".join(repr(one_line(text, _SHOWN)) for text in new)
            self.note(f"headings that the mapping does not know, kept as text: {names}")
        return found

    def filled_down(self, after: int) -> dict[tuple[int, int], Cell]:
        """What cells that are merged downwards say for the rows below; places that are not certain are kept apart."""
        found: dict[tuple[int, int], Cell] = {}
        count = 0
        for area in self.sheet.merged:
            if area.last_row <= after:
                continue
            upright = area.first_column == area.last_column and area.first_row > after
            fill = upright and self.mapping.table.merged_cells == "fill down"
            cell = self.sheet.row(area.first_row).get(area.first_column)
            count += fill and cell is not None
            for row in range(max(area.first_row, after + 1), area.last_row + 1):
                for column in range(area.first_column, area.last_column + 1):
                    if not fill and not (upright and row == area.first_row):
                        self.uncertain.add((row, column))
                    elif cell is not None and row > area.first_row:
                        found[row, column] = cell
        if count:
            self.note(f"{count} cells that are merged downwards were read for each of their rows")
        return found

    def lines(self, headings: HeadingRows) -> Iterator[_Line]:
        below = self.filled_down(headings.last)
        by_row: dict[int, dict[int, Cell]] = {}
        for (row, column), cell in below.items():
            by_row.setdefault(row, {})[column] = cell
        last = headings.last
        for number, own in self.sheet.rows():
            if number <= headings.last:
                continue
            said = {column: cell_text(cell) for column, cell in own.items()}
            own = {column: cell for column, cell in own.items() if said[column] or cell.formula}
            if not own:
                continue
            self.blank += number - last - 1
            last = number
            merged = by_row.get(number, {})
            cells = {**merged, **own}
            said = {**{at: cell_text(cell) for at, cell in merged.items()}, **{at: said[at] for at in own}}
            yield _Line(number, cells, frozenset(own), {at: one_line(said[at]) for at in cells})

    def reason_to_pass(self, line: _Line, headings: HeadingRows, reference: int) -> str:
        """Why a row is no penetration, "" when it is taken for one."""
        skip = self.mapping.table.skip
        if line.number in self.sheet.hidden_rows and self.mapping.table.hidden_rows == "skip":
            return "hidden"
        texts = {at: line.texts[at] for at in sorted(line.own)}
        name = line.texts.get(reference, "")
        if skip.repeated_headings and self._is_heading_again(texts, headings):
            return "the headings again"
        first = next(iter(texts.values()))
        others = list(texts.values())[1:]
        is_total = _TOTAL.match(plain(first)) or plain(first) in size_words().total
        if skip.totals and is_total and all(map(_is_figure, others)):
            return "a total"
        if skip.notes and len(texts) == 1 and (not name or self._is_note(first, line.number)):
            return "a note or a title"
        return ""

    def _is_heading_again(self, texts: dict[int, str], headings: HeadingRows) -> bool:
        same = 0
        for at, text in texts.items():
            whole = headings.texts.get(at, "")
            same += heading_key(text) in {heading_key(whole), *map(heading_key, whole.split(" / "))}
        return same >= 2 and 2 * same > len(texts)

    def _is_note(self, text: str, row: int) -> bool:
        """Whether a text that stands alone in a row, where names stand, is no name."""
        words = plain(text).split()
        noted = size_words().note
        titled = bool(words) and (words[0] in noted or words[-1] in noted)
        return row in self.wide or titled or len(words) >= 4 or (len(words) >= 2 and not any(map(str.isdigit, text)))

    def row(self, line: _Line, headings: HeadingRows, columns: dict[int, ColumnTable]) -> _Rows:
        names = {column.key: column.heading for column in SCHEDULE.columns}
        values: dict[str, FieldValue] = {}
        at_cell: dict[str, str] = {}
        remarks: list[str] = []
        unread: list[CellUnread] = []
        for at, column in sorted(columns.items()):
            heading = one_line(column.heading, _SHOWN)
            for key in (column.key, *_parts(column.key)):
                names[key] = heading
                at_cell[key] = line.cell_at(at)
            cell = line.cells.get(at)
            answer = self._answer(line, at, cell, column)
            if isinstance(answer, Unread):
                unread.append(self._unread(line, column.key, heading, at, answer.found, answer.expected))
            elif column.key == "remarks":
                remarks += [str(item) for item in answer.values()]
            else:
                values.update(answer)
        for at, text in sorted(line.texts.items()):
            if at not in columns and text:
                heading = one_line(headings.texts.get(at) or f"column {column_letter(at)}", _SHOWN)
                remarks.append(f"{heading}: {text}")
        if line.number in self.sheet.hidden_rows:
            remarks.append("this row is hidden in the sheet")
        given = values.get("reference")
        name = one_line(given) if isinstance(given, str) else ""
        values["reference"] = name or _NO_REFERENCE
        if not name:
            at = next(at for at, column in columns.items() if column.key == "reference")
            if all(item.key != "reference" for item in unread):
                expected = "a name of its own; until then the row is called by a mark of what it says"
                unread.append(self._unread(line, "reference", names["reference"], at, line.texts.get(at, ""), expected))
        table_row = TableRow(line.number, one_line(self.sheet.name), values, names, at_cell)
        facts, faults = facts_of_row(self.book.file, table_row)
        for fault in faults:
            at_key = next((key for key in _CLEARED if fault.place == table_row.place(key)), "")
            if at_key:
                facts = replace(facts, **{_CLEARED[at_key][0]: _CLEARED[at_key][1]})  # type: ignore[arg-type]
            unread.append(self._contradiction(table_row, fault))
        facts = replace(facts, remarks=tuple(remarks), unread=tuple(sorted(unread)))
        said = "\x1f".join(
            sorted(f"{heading_key(headings.texts.get(at, ''))}={text}" for at, text in line.texts.items() if text)
        )
        mark = hashlib.sha256(said.encode("utf-8", "backslashreplace")).hexdigest()[:6]
        at = next(at for at, column in columns.items() if column.key == "reference")
        what = "a name that stands once; until then the row is called by it and a mark of what it says"
        return _Rows(facts, mark, self._unread(line, "reference", names["reference"], at, name, what))

    def _unread(self, line: _Line, key: str, heading: str, at: int, found: str, expected: str) -> CellUnread:
        origin = Origin(self.book.file, f"{self.place(line.number)}, column '{heading}'", (line.cell_at(at),))
        return CellUnread(origin, key, heading, one_line(found, _SHOWN), expected)

    def _contradiction(self, row: TableRow, fault: Fault) -> CellUnread:
        """A cell that contradicts others of its row, as the schedule's own reader finds it."""
        key = next((key for key in row.headings if key in row.cells and row.place(key) == fault.place), "")
        origin = Origin(self.book.file, fault.place, (row.cells[key],) if key else ())
        return CellUnread(origin, key, row.headings.get(key, ""), fault.found, fault.expected)

    def _answer(self, line: _Line, at: int, cell: Cell | None, column: ColumnTable) -> dict[str, FieldValue] | Unread:
        if (line.number, at) in self.uncertain:
            shown = "" if cell is None else line.texts.get(at, "")
            return Unread(shown or "a merged cell", "a value in each cell of its own")
        if cell is None:
            return {}
        if cell.formula and (self.mapping.table.formulas == "not read" or cell.value is None):
            shown = f"{one_line(cell.formula, 40)}, last shown as {one_line(cell_text(cell), 40)}"
            return Unread(shown, 'the value itself, or formulas = "as last shown" in the mapping')
        if is_not_stated(cell_text(cell)):
            return {}
        unit = "" if column.unit == "in cells" else column.unit
        answer = read_value(cell, column.key, unit, column.order, self.steps)
        return answer if isinstance(answer, Unread) else dict(answer)

    def read(self) -> list[_Rows]:
        headings = self.heading_rows()
        if headings is None:
            what = f"no heading of {self.mapping.file} in the top {LOOKED_AT} rows"
            self.faults.append(Fault(self.book.file, self.where, what, "the headings that the mapping names"))
            return []
        self.headings_at = headings.last
        columns = self.columns(headings)
        if self.faults:
            return []
        reference = next(at for at, column in columns.items() if column.key == "reference")
        rows: list[_Rows] = []
        hidden = 0
        for line in self.lines(headings):
            why = self.reason_to_pass(line, headings, reference)
            if why:
                shown = one_line("; ".join(text for _, text in sorted(line.texts.items()) if text), 80)
                self.passed.append(RowPassed(line.number, why, shown))
                continue
            hidden += line.number in self.sheet.hidden_rows
            gone = [text for text in line.texts.values() if plain(text) in size_words().deleted]
            if gone:
                self.note(f"row {line.number} says {gone[0]!r}; it was read like all others")
            rows.append(self.row(line, headings, columns))
        if self.blank:
            self.note(f"{self.blank} blank rows passed over")
        if self.passed:
            self.note(f"{len(self.passed)} rows passed over; each is a note of the job")
        unread = sum(len(row.facts.unread) for row in rows)
        if unread:
            self.note(f"{unread} cells not read; each is a finding of its row")
        unseen = [headings.texts[at] for at in self.sheet.hidden_columns if at in headings.texts]
        if unseen:
            self.note(
                f"hidden columns were read like all others: {', '.join(one_line(item, _SHOWN) for item in unseen)}"
            )
        if hidden:
            self.note(f"{hidden} hidden rows were read like all others")
        self.note(
            f"{len(rows)} rows read by {self.mapping.file}; headings in row {headings.first}"
            + (f" to {headings.last}" if headings.count > 1 else "")
        )
        return rows


def _is_figure(text: str) -> bool:
    return not text or _FIGURES.match(text.casefold()) is not None


def _parts(key: str) -> tuple[str, ...]:
    stem = COMPOUND.get(key)
    return () if stem is None else tuple(f"{stem}_{end}_mm" for end in ("width", "height", "diameter"))


def _sheets(book: Workbook, mapping: Mapping, faults: list[Fault], notes: list[str]) -> list[Sheet]:
    visible = [sheet for sheet in book.sheets if not sheet.hidden]
    names = ", ".join(repr(one_line(sheet.name, _SHOWN)) for sheet in book.sheets)
    wanted = mapping.table.sheets
    if not wanted:
        if len(visible) != 1:
            faults.append(Fault(book.file, "", f"the sheets {names}", f"their names under sheets in {mapping.file}"))
            return []
        return visible
    found: list[Sheet] = []
    for name in dict.fromkeys(wanted):
        sheet = book.sheet([name])
        if sheet is None:
            faults.append(Fault(book.file, "", f"the sheets {names}", f"a sheet named {one_line(name, _SHOWN)!r}"))
        elif sheet not in found:
            found.append(sheet)
    others = [sheet for sheet in visible if sheet not in found and sheet.cells]
    if others:
        notes.append(f"sheets not read: {', '.join(repr(one_line(sheet.name, _SHOWN)) for sheet in others)}")
    return found


def _named(rows: list[_Rows], notes: list[str]) -> list[ScheduleRow]:
    """The rows with a name each: one that stands twice, or nowhere, gets the mark of what its row says.

    A row number would name another row in the next revision; the mark goes with the row.
    """
    count = Counter(row.facts.reference.casefold() for row in rows)
    taken: Counter[str] = Counter()
    found: list[ScheduleRow] = []
    for row in rows:
        name = row.facts.reference
        if count[name.casefold()] > 1 or name == _NO_REFERENCE:
            mark = f"{name} ({row.mark})"
            taken[mark.casefold()] += 1
            times = taken[mark.casefold()]
            named = mark if times == 1 else f"{name} ({row.mark}, {times})"
            if name != _NO_REFERENCE:
                notes.append(f"{row.facts.origin.place}: the reference {name!r} stands more than once; named {named!r}")
                row.facts = replace(row.facts, unread=(*row.facts.unread, row.again))
            found.append(replace(row.facts, reference=named))
        else:
            found.append(row.facts)
    return found


@dataclass(frozen=True)
class BookRead:
    """What a workbook says by its mapping: rows with their unread cells, notes, the sheets with rows passed over."""

    rows: tuple[ScheduleRow, ...]
    notes: tuple[str, ...]
    sheets: tuple[ScheduleSheet, ...]


def read_book(book: Workbook, mapping: Mapping, steps: ClassSteps) -> BookRead:
    """The rows of a workbook by its mapping.

    A cell that can't be read for certain is no fault: its fact stays unknown, and the row names the cell. Columns and
    sheets that Brattice added to an earlier copy are passed over. Raises `InputError` where sheets or headings are not
    what the mapping says.
    """
    book = without_added(book)
    faults: list[Fault] = []
    notes = [*book.notes]
    sheets: list[ScheduleSheet] = []
    found: list[_Rows] = []
    for sheet in _sheets(book, mapping, faults, notes):
        reading = _Reading(book, sheet, mapping, steps)
        found += reading.read()
        faults.extend(reading.faults)
        notes += reading.notes
        sheets.append(ScheduleSheet(book.file, one_line(sheet.name), reading.headings_at, tuple(reading.passed)))
    if faults:
        raise InputError(faults)
    return BookRead(tuple(_named(found, notes)), tuple(notes), tuple(sheets))


def read_foreign(files: Iterable[tuple[Path, str, Mapping]], steps: ClassSteps) -> ScheduleRead:
    """All rows of foreign schedules, given as (path, what to call the file, its mapping).

    Raises `InputError` with every fault of every file (see `read_book`).
    """
    faults: list[Fault] = []
    rows: list[ScheduleRow] = []
    read: list[FileRead] = []
    sheets: list[ScheduleSheet] = []
    for path, name, mapping in files:
        try:
            book = read_table_file(path, file=name)
            found = read_book(book, mapping, steps)
        except InputError as error:
            faults.extend(error.faults)
            continue
        rows += found.rows
        sheets += found.sheets
        read.append(FileRead(name, book.sha256, found.notes))
    if faults:
        raise InputError(faults)
    ordered = tuple(sorted(rows, key=lambda row: (row.reference, row.origin)))
    return ScheduleRead(ordered, tuple(sorted(read)), tuple(sorted(sheets)))
