# SPDX-License-Identifier: Apache-2.0
"""A table with headings, strictly read by a list of columns: every fault at once, with sheet, row and column.

One list of `TableColumn` makes the template, the notes on its headings, the page in the docs, and the reading. An
empty cell, or one of the words in `NOT_STATED`, says that the value is not stated; nothing is ever filled in. A
formula is refused even where a value was saved with it: nobody typed that value, and it may be stale.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from brattice.adapters.text import one_line, visible_text
from brattice.adapters.workbook.model import Cell, CellKind, Sheet, Workbook, cell_name, column_letter
from brattice.adapters.workbook.writer import OutColumn, OutSheet, OutValue
from brattice.errors import Fault
from brattice.quantities import number_text

__all__ = [
    "HEADING_ROWS",
    "NOT_STATED",
    "PASSED_OVER",
    "FieldKind",
    "FieldValue",
    "Table",
    "TableColumn",
    "TableRow",
    "TableSpec",
    "columns_markdown",
    "read_table",
    "template_sheets",
]

FieldValue = str | float | int | bool | date | tuple[str, ...]

NOT_STATED = ("?", "unknown", "not known", "tbc", "tba", "n/k", "n/a", "-", "–")
"""Words that say as much as an empty cell does."""

HEADING_ROWS = 20
"""The headings are looked for in this many rows from the top."""

PASSED_OVER = "#"
"""A heading that begins so is the user's own column: it is not read, and that is noted."""

_NUMBER = re.compile(r"-?\d+(\.\d+)?\Z", re.ASCII)
_ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)
_SHOWN = 60


class FieldKind(StrEnum):
    """What a column holds."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole number"
    YES_NO = "yes or no"
    WORD = "one word of the list"
    WORDS = "words of the list, separated by ;"
    NAMES = "texts separated by ;"
    DATE = "date"


@dataclass(frozen=True)
class TableColumn:
    """One column: its key in code, its heading (with the unit in brackets), what it holds, and the note on it.

    `least` and `most` bound a number (both within; with `above` the least itself is out). `words` are those that may
    stand there; in a column of dates, those that may stand in place of a date. `needed` columns must stand in the
    sheet, `filled` ones in every row too.
    """

    key: str
    heading: str
    kind: FieldKind
    note: str
    words: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    above: bool = False
    needed: bool = False
    filled: bool = False
    width: float = 14.0
    group: str = ""

    @property
    def unit(self) -> str:
        """The unit that the heading names, "" for none."""
        match = re.search(r"\[([^\]]+)\]\Z", self.heading)
        return match.group(1) if match else ""

    @property
    def expected(self) -> str:
        """What may stand in a cell of this column, in words."""
        if self.kind in {FieldKind.NUMBER, FieldKind.WHOLE}:
            what = "a whole number" if self.kind is FieldKind.WHOLE else "a number"
            unit = f" in {self.unit}" if self.unit else ""
            least, most = number_text(self.least or 0.0), number_text(self.most or 0.0)
            low = "" if self.least is None else f", above {least}" if self.above else f", at least {least}"
            high = "" if self.most is None else f", at most {most}"
            return f"{what}{unit}{low}{high}; without its unit"
        if self.kind is FieldKind.YES_NO:
            return "yes or no"
        if self.kind is FieldKind.DATE:
            return " or ".join(("a date", *self.words))
        if self.kind in {FieldKind.WORD, FieldKind.WORDS}:
            many = " (several separated by ;)" if self.kind is FieldKind.WORDS else ""
            return f"one of: {', '.join(self.words)}{many}"
        return "texts separated by ;" if self.kind is FieldKind.NAMES else "text"


@dataclass(frozen=True)
class TableSpec:
    """A kind of table: the name of its sheet, its columns, and the key of the one that names a row.

    `unique` says that a name may stand once only.
    """

    sheet: str
    columns: tuple[TableColumn, ...]
    id_key: str
    unique: bool = True

    def column(self, key: str) -> TableColumn:
        """The column of a key; an unknown key is a `KeyError`."""
        return {column.key: column for column in self.columns}[key]


@dataclass(frozen=True)
class TableRow:
    """One row that holds something: its number in the sheet, and the values that are stated, by column key.

    `cells` are the names of the cells in which the values stand.
    """

    number: int
    sheet: str
    values: Mapping[str, FieldValue]
    headings: Mapping[str, str]
    cells: Mapping[str, str] = field(default_factory=dict)

    def place(self, key: str = "") -> str:
        """Where a value stands: "sheet 'Schedule', row 12, column 'Duct width [mm]'"; the row without a key."""
        head = f"sheet '{self.sheet}', row {self.number}" if self.sheet else f"row {self.number}"
        return f"{head}, column '{self.headings[key]}'" if key else head

    def text(self, key: str) -> str | None:
        """A stated text or word, None when it is not stated."""
        value = self.values.get(key)
        assert value is None or isinstance(value, str)
        return value

    def number_at(self, key: str) -> float | None:
        """A stated number, None when it is not stated."""
        value = self.values.get(key)
        assert value is None or (isinstance(value, int | float) and not isinstance(value, bool))
        return value

    def flag(self, key: str) -> bool | None:
        """A stated yes or no, None when it is not stated."""
        value = self.values.get(key)
        assert value is None or isinstance(value, bool)
        return value

    def names(self, key: str) -> tuple[str, ...] | None:
        """Stated texts or words, None when they are not stated."""
        value = self.values.get(key)
        assert value is None or isinstance(value, tuple)
        return value

    def day(self, key: str) -> date | None:
        """A stated date, None when it is not stated."""
        value = self.values.get(key)
        assert value is None or isinstance(value, date)
        return value


@dataclass(frozen=True)
class Table:
    """What was read: the rows, all faults (the caller adds its own and raises them together), and notes.

    `headings_at` is the row of the headings, 0 where they were not found.
    """

    rows: tuple[TableRow, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    headings_at: int = 0


def _plain(heading: str) -> str:
    return " ".join(heading.split()).casefold()


@dataclass
class _Reading:
    """One table while it is read."""

    book: Workbook
    sheet: Sheet
    spec: TableSpec
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def fault(self, place: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.book.file, place, found, expected))

    def place(self, row: int, heading: str = "") -> str:
        head = f"sheet '{one_line(self.sheet.name)}', row {row}" if self.sheet.name else f"row {row}"
        return f"{head}, column '{heading}'" if heading else head

    def heading_row(self) -> int | None:
        wanted = _plain(self.spec.column(self.spec.id_key).heading)
        for number, cells in self.sheet.rows():
            if number > HEADING_ROWS:
                break
            if any(isinstance(cell.value, str) and _plain(cell.value) == wanted for cell in cells.values()):
                return number
        return None

    def columns(self, row: int) -> dict[int, TableColumn]:
        """The column of the list that each column of the sheet is; unknown, missing and repeated ones are faults."""
        known = {_plain(column.heading): column for column in self.spec.columns}
        found: dict[int, TableColumn] = {}
        taken: dict[str, int] = {}
        passed: list[str] = []
        for number, cell in sorted(self.sheet.row(row).items()):
            heading = one_line(str(cell.value if cell.value is not None else ""))
            if not heading or heading.startswith(PASSED_OVER):
                passed += [heading] if heading else []
                continue
            column = known.get(_plain(heading))
            place = f"{self.place(row)}, cell {cell.name}"
            if cell.formula:
                self.fault(place, f"a formula {one_line(cell.formula, _SHOWN)!r}", "a heading as text")
            elif column is None:
                near = difflib.get_close_matches(_plain(heading), known, n=1, cutoff=0.6)
                expected = (
                    f"a heading of the template; did you mean {known[near[0]].heading!r}?"
                    if near
                    else f"a heading of the template, or {PASSED_OVER!r} before it for a column of your own"
                )
                self.fault(place, f"the unknown heading {one_line(heading, _SHOWN)!r}", expected)
            elif column.key in taken:
                first = f"{column_letter(taken[column.key])}{row}"
                self.fault(place, f"the heading {column.heading!r} again", f"it once ({first})")
            else:
                taken[column.key] = number
                found[number] = column
        for column in self.spec.columns:
            if column.needed and column.key not in taken:
                self.fault(self.place(row), f"no heading {column.heading!r}", "this column")
        if passed:
            self.notes.append(f"columns passed over: {', '.join(one_line(item, _SHOWN) for item in passed)}")
        return found

    def merged(self, row: int) -> None:
        for area in self.sheet.merged:
            if area.last_row >= row:
                place = f"sheet '{one_line(self.sheet.name)}', cells {area}"
                self.fault(place, "merged cells", "a value in each cell of its own; unmerge them and fill each")

    def value(self, cell: Cell, column: TableColumn) -> FieldValue | None:
        """The value of a cell, None when it is not stated or a fault."""
        place = self.place(cell.row, column.heading)
        if cell.formula:
            shown = "" if cell.value is None else f", last shown as {one_line(str(cell.value), _SHOWN)!r}"
            what = f"the formula {one_line(cell.formula, _SHOWN)!r}{shown}"
            self.fault(place, what, "the value itself; copy the cells and paste them as values")
            return None
        if cell.kind is CellKind.ERROR:
            self.fault(place, f"the error value {one_line(str(cell.value), _SHOWN)!r}", column.expected)
            return None
        if isinstance(cell.value, str) and " ".join(cell.value.split()).casefold() in {"", *NOT_STATED}:
            return None
        return self.stated(cell, column, place)

    def stated(self, cell: Cell, column: TableColumn, place: str) -> FieldValue | None:
        match column.kind:
            case FieldKind.NUMBER | FieldKind.WHOLE:
                return self.number(cell, column, place)
            case FieldKind.YES_NO:
                return self.yes_no(cell, column, place)
            case FieldKind.DATE:
                return self.date_or_word(cell, column, place)
            case FieldKind.WORD:
                return self.word(cell, column, place)
            case FieldKind.WORDS:
                return self.words(cell, column, place)
            case FieldKind.NAMES:
                text = self.text(cell, column, place)
                parts = tuple(one_line(part) for part in (text or "").split(";"))
                return tuple(dict.fromkeys(part for part in parts if part)) or None
            case FieldKind.TEXT:
                return self.text(cell, column, place)

    def number(self, cell: Cell, column: TableColumn, place: str) -> float | None:
        value: float
        if cell.kind is CellKind.NUMBER and isinstance(cell.value, int | float):
            value = cell.value
        elif not self.book.typed and isinstance(cell.value, str) and _NUMBER.match(cell.value.strip()):
            value = float(cell.value)
        else:
            kind = "the text" if cell.kind is CellKind.TEXT else f"the {cell.kind.value}"
            self.fault(place, f"{kind} {one_line(str(cell.value), _SHOWN)!r}", column.expected)
            return None
        low = column.least is not None and (value < column.least or (column.above and value == column.least))
        high = column.most is not None and value > column.most
        whole = float(value).is_integer()
        if low or high or not math.isfinite(value) or (column.kind is FieldKind.WHOLE and not whole):
            self.fault(place, f"{value:.12g}", column.expected)
            return None
        return int(value) if whole else float(value)

    def yes_no(self, cell: Cell, column: TableColumn, place: str) -> bool | None:
        if isinstance(cell.value, bool):
            return cell.value
        answer = {"yes": True, "no": False, "true": True, "false": False}.get(
            _plain(cell.value) if isinstance(cell.value, str) else ""
        )
        if answer is None:
            self.fault(place, repr(one_line(str(cell.value), _SHOWN)), column.expected)
        return answer

    def date_or_word(self, cell: Cell, column: TableColumn, place: str) -> date | str | None:
        known = {_plain(word): word for word in column.words}
        if isinstance(cell.value, str) and _plain(cell.value) in known:
            return known[_plain(cell.value)]
        return self.date(cell, column, place)

    def date(self, cell: Cell, column: TableColumn, place: str) -> date | None:
        if isinstance(cell.value, datetime):
            return cell.value.date()
        if isinstance(cell.value, date):
            return cell.value
        if isinstance(cell.value, str) and _ISO_DATE.match(cell.value.strip()):
            try:
                return date.fromisoformat(cell.value.strip())
            except ValueError:
                pass
        found = repr(one_line(str(cell.value), _SHOWN))
        self.fault(place, found, " or ".join(("a date in a date cell, or a text like 2026-03-01", *column.words)))
        return None

    def word(self, cell: Cell, column: TableColumn, place: str) -> str | None:
        return self.one_word(str(cell.value), column, place)

    def words(self, cell: Cell, column: TableColumn, place: str) -> tuple[str, ...] | None:
        parts = [part for part in str(cell.value).split(";") if part.strip()]
        words = [self.one_word(part, column, place) for part in parts]
        return None if None in words else tuple(dict.fromkeys(word for word in words if word)) or None

    def one_word(self, text: str, column: TableColumn, place: str) -> str | None:
        known = {_plain(word): word for word in column.words}
        word = known.get(_plain(text))
        if word is None:
            near = difflib.get_close_matches(_plain(text), known, n=1, cutoff=0.7)
            hint = f"; did you mean {known[near[0]]!r}?" if near else ""
            self.fault(place, repr(one_line(text, _SHOWN)), f"{column.expected}{hint}")
        return word

    def text(self, cell: Cell, column: TableColumn, place: str) -> str | None:
        value = cell.value
        if cell.kind is CellKind.TEXT and isinstance(value, str):
            return visible_text(value).strip() or None
        if cell.kind is CellKind.NUMBER and isinstance(value, int | float):
            return str(int(value)) if float(value).is_integer() else repr(float(value))
        what = f"the {cell.kind.value} {one_line(str(value), _SHOWN)!r}"
        self.fault(place, what, "text; format the column as text before typing")
        return None

    def rows(self, heading_row: int, columns: Mapping[int, TableColumn]) -> list[TableRow]:
        headings = {column.key: column.heading for column in self.spec.columns}
        headed = {number for number, cell in self.sheet.row(heading_row).items() if str(cell.value or "").strip()}
        rows: list[TableRow] = []
        for number, cells in self.sheet.rows():
            if number <= heading_row:
                continue
            before = len(self.faults)
            values = {
                column.key: value
                for at, column in columns.items()
                if at in cells and (value := self.value(cells[at], column)) is not None
            }
            for at, cell in cells.items():
                if at not in headed and str(cell.value or cell.formula).strip():
                    where = f"{self.place(number)}, cell {cell.name}"
                    self.fault(where, "a value under no heading", "a heading above it, or an empty cell")
            if not values and len(self.faults) == before:
                continue
            names = {column.key: cell_name(number, at) for at, column in columns.items()}
            row = TableRow(number, one_line(self.sheet.name), values, headings, names)
            for column in columns.values():
                place = row.place(column.key)
                if column.filled and column.key not in values and place not in {f.place for f in self.faults[before:]}:
                    self.fault(place, "nothing", column.expected)
            rows.append(row)
        return rows

    def repeated(self, rows: Iterable[TableRow]) -> None:
        first: dict[str, int] = {}
        for row in rows:
            name = row.values.get(self.spec.id_key)
            if not isinstance(name, str):
                continue
            earlier = first.setdefault(_plain(name), row.number)
            if earlier != row.number:
                place, what = row.place(self.spec.id_key), repr(one_line(name, _SHOWN))
                self.fault(place, f"{what} again (first in row {earlier})", "each once")


def read_table(book: Workbook, sheet: Sheet, spec: TableSpec) -> Table:
    """The rows of a table in a sheet. Nothing is raised: all faults are handed back with what could be read.

    The headings stand in the first of the top rows that holds the heading of the column that names a row.
    """
    reading = _Reading(book, sheet, spec)
    heading_row = reading.heading_row()
    if heading_row is None:
        heading = spec.column(spec.id_key).heading
        place = f"sheet '{one_line(sheet.name)}'" if sheet.name else ""
        reading.fault(place, f"no heading {heading!r} in the top {HEADING_ROWS} rows", "the headings of the template")
        return Table((), tuple(reading.faults), ())
    columns = reading.columns(heading_row)
    reading.merged(heading_row)
    rows = reading.rows(heading_row, columns)
    if spec.unique:
        reading.repeated(rows)
    hidden = [row.number for row in rows if row.number in sheet.hidden_rows]
    if hidden:
        reading.notes.append(f"{len(hidden)} hidden rows were read like all others (such as row {hidden[0]})")
    return Table(tuple(rows), tuple(reading.faults), tuple(reading.notes), heading_row)


def template_sheets(
    spec: TableSpec,
    instructions: Sequence[str],
    rows: Iterable[Mapping[str, OutValue | tuple[str, ...]]] = (),
    choice_rows: int = 2000,
) -> list[OutSheet]:
    """The sheets of a template: the table (with `rows`, by column key, when some are given) and its instructions."""
    table = OutSheet(
        spec.sheet,
        tuple(
            OutColumn(
                column.heading,
                column.width,
                f"{column.note}\nExpected: {column.expected}."
                + ("\nNeeded in every row." if column.filled else "\nEmpty: not stated."),
                ("yes", "no") if column.kind is FieldKind.YES_NO else column.words if _is_one(column) else (),
                wrap=column.width >= 30,
            )
            for column in spec.columns
        ),
        [[_out(row.get(column.key)) for column in spec.columns] for row in rows],
        frozen_columns=1,
        choice_rows=choice_rows,
    )
    lines: list[list[OutValue]] = [[line, "", "", "", ""] for line in instructions]
    lines += [[], ["Column", "What goes in", "Expected", "Group", "Needed"]]
    lines += [
        [
            column.heading,
            column.note,
            column.expected,
            column.group,
            "in every row" if column.filled else "the column" if column.needed else "",
        ]
        for column in spec.columns
    ]
    widths = (36.0, 80.0, 60.0, 20.0, 14.0)
    about = OutSheet("Instructions", tuple(OutColumn("", width) for width in widths), lines, headings=False)
    return [table, about]


def _is_one(column: TableColumn) -> bool:
    return column.kind is FieldKind.WORD


def _out(value: OutValue | tuple[str, ...]) -> OutValue:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "; ".join(value) if isinstance(value, tuple) else value


def columns_markdown(spec: TableSpec) -> str:
    """The table of columns for the docs, made from the one list."""
    lines: list[str] = []
    group = None
    for column in spec.columns:
        if column.group != group:
            group = column.group
            lines += ["", f"### {group}", "", "| column | what goes in | expected |", "| --- | --- | --- |"]
        mark = " (needed in every row)" if column.filled else ""
        lines.append(f"| {column.heading} | {column.note}{mark} | {column.expected} |")
    return "\n".join(lines).strip() + "\n"
