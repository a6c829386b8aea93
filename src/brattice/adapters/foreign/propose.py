# SPDX-License-Identifier: Apache-2.0
"""Propose the mapping of a foreign sheet: each column with a key, a unit, a score and the reason, for a person to
settle. Nothing below the score of `SURE` is mapped; it is only suggested.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePath

from brattice.adapters.foreign.headings import (
    SURE,
    HeadingRows,
    Meaning,
    find_heading_rows,
    heading_key,
    meanings,
    stated_order,
    stated_unit,
)
from brattice.adapters.foreign.mapping_file import MAPPING_KEYS
from brattice.adapters.foreign.values import (
    SIZE_ORDERS,
    Unread,
    cell_text,
    is_not_stated,
    needs_unit,
    read_value,
)
from brattice.adapters.foreign.words import COMPOUND, size_words
from brattice.adapters.text import one_line
from brattice.adapters.workbook import Cell, Sheet, Workbook, column_letter, without_added
from brattice.classes import ClassSteps
from brattice.errors import Fault, InputError

__all__ = ["ColumnProposal", "Proposal", "propose"]

_SAMPLE = 300
_FIGURE = re.compile(r"\d+(?:\.\d+)?")
_LEAST_MM = 100.0
"""Sizes of which none is smaller [mm] are taken for millimetres where no unit is stated; the person sees that."""


@dataclass(frozen=True)
class ColumnProposal:
    """One heading of theirs: the key that is proposed ("" for none), unit, order, score, reason, other meanings.

    `examples` are some of the texts below it.
    """

    column: int
    heading: str
    key: str
    unit: str
    order: str
    score: float
    why: str
    others: tuple[Meaning, ...]
    examples: tuple[str, ...]

    @property
    def is_open(self) -> bool:
        """Whether a person has to say what it means: it may be a column of ours, and is not mapped."""
        return not self.key and bool(self.others)


@dataclass(frozen=True)
class Proposal:
    """The mapping that is proposed for a sheet."""

    file: str
    sheet: str
    headings: HeadingRows
    columns: tuple[ColumnProposal, ...]
    notes: tuple[str, ...]

    @property
    def is_open(self) -> bool:
        """Whether something is left to settle: a doubtful heading, or no column that names the penetrations."""
        return any(column.is_open for column in self.columns) or all(
            column.key != "reference" for column in self.columns
        )

    def text(self) -> str:
        """The mapping file, with the reason for each line as a comment."""
        lines = [
            f"# How {one_line(PurePath(self.file).name, 200)} is read.",
            "# A proposal: look through it, change it, keep it in the job.",
            "# A heading is mapped to a key of the schedule (docs/foreign-schedules.md lists them). What is not mapped",
            f"# is kept as text with its row. Scores go from 0 to 1; below {SURE:g} nothing is mapped, only suggested.",
            "schema = 1",
            f"sheets = {_texts([self.sheet] if self.sheet else [])}",
            f"heading_rows = {self.headings.count}  # found in row {self.headings.first}",
            'hidden_rows = "read"  # or "skip"',
            'merged_cells = "fill down"  # a cell merged downwards holds for its rows; or "not read"',
            'formulas = "not read"  # or "as last shown": the value that stood there when the file was saved',
        ]
        lines += [f"# {one_line(note, 300)}" for note in self.notes]
        kept = [column for column in self.columns if not column.key]
        lines += ["", "# Headings that are not read, kept as text with each row. Take one out when you map it."]
        lines += ["kept_as_text = [", *(f"  {_text(column.heading)}," for column in kept), "]"]
        lines += ["", "[skip]", "totals = true", "notes = true", "repeated_headings = true"]
        for column in self.columns:
            lines += ["", *_block(column)]
        return "\n".join(lines) + "\n"


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _texts(texts: Iterable[str]) -> str:
    return f"[{', '.join(map(_text, texts))}]"


def _block(column: ColumnProposal) -> list[str]:
    examples = ", ".join(_text(one_line(item, 30)) for item in column.examples) or "nothing"
    lines = [f"# column {column_letter(column.column)}: {examples}"]
    if column.key:
        lines += [f"# score {column.score:.2f}: {one_line(column.why, 300)}", *_table(column, column.key)]
        if column.key in COMPOUND and not stated_order(column.heading):
            lines[-1] += "  # common practice; the heading does not say which figure is first"
        return lines
    if not column.others:
        return [*lines, f"# {_text(column.heading)}: not known; kept as text"]
    lines.append(f"# NOT MAPPED. {one_line(column.why, 300)}. To map it, take the marks off one of:")
    for other in column.others:
        lines.append(f"# score {other.score:.2f}: {one_line(other.why, 200)}")
        lines += [f"# {line}" for line in _table(column, other.key)]
    return lines


def _table(column: ColumnProposal, key: str) -> list[str]:
    lines = ["[[column]]", f"heading = {_text(column.heading)}", f'key = "{key}"']
    if needs_unit(key) or (key == "rating" and column.unit in {"min", "h"}):
        unit = column.unit
        lines.append(f'unit = "{unit}"' if unit else 'unit = "in cells"  # no unit is stated: mm, cm, m or in?')
    if key in COMPOUND:
        lines.append(f'order = "{column.order or SIZE_ORDERS[0]}"')
    return lines


def _unit_of(heading: str, key: str, cells: Sequence[Cell]) -> tuple[str, str]:
    """The unit of figures without one, and why; "" where nothing tells it."""
    stated = stated_unit(heading)
    if stated:
        return stated, f"the heading says {stated}"
    texts = [cell_text(cell).casefold() for cell in cells]
    if needs_unit(key):
        spelled = "|".join(sorted(map(re.escape, size_words().units), key=len, reverse=True))
        bare = [text for text in texts if not re.search(rf"\d\s*(?:{spelled})(?![a-z])", text)]
        figures = [float(item) for text in bare for item in _FIGURE.findall(text.replace(",", ""))]
        if not figures:
            return "in cells", "each cell has its own unit" if texts else "no figures to see"
        if min(figures) >= (size_words().between["thickness"][0] if key == "thickness_mm" else _LEAST_MM):
            return "mm", f"no unit is stated; figures from {min(figures):g} to {max(figures):g} are taken for mm"
        return "", f"no unit is stated, and figures from {min(figures):g} leave it open"
    if key == "rating":
        figures = [float(text) for text in texts if _FIGURE.fullmatch(text)]
        least = size_words().rating_between[0]
        if figures and min(figures) >= least:
            return "min", "bare figures can only be minutes"
        if figures and min(figures) > 0 and max(figures) < 6:
            return "h", "bare figures can only be hours"
    return "", ""


def _checked(column: ColumnProposal, cells: Sequence[Cell], steps: ClassSteps) -> ColumnProposal:
    """A proposal after a look at the cells: less sure where most of them can't be read so."""
    unit, why = _unit_of(column.heading, column.key, cells)
    order = (stated_order(column.heading) or SIZE_ORDERS[0]) if column.key in COMPOUND else ""
    reading = "" if unit == "in cells" else unit
    bad = [cell for cell in cells if isinstance(read_value(cell, column.key, reading, order, steps), Unread)]
    said, score = [column.why, why], column.score
    if cells and 2 * len(bad) > len(cells) and column.key not in {"class_text", "actuation", "system", "rating"}:
        score -= 0.3
    if bad:
        said.append(f"{len(bad)} of {len(cells)} cells can't be read so, such as {one_line(cell_text(bad[0]), 40)!r}")
    return replace(column, unit=unit, order=order, score=score, why="; ".join(item for item in said if item))


def _column(number: int, heading: str, cells: Sequence[Cell], steps: ClassSteps) -> ColumnProposal:
    examples = tuple(dict.fromkeys(cell_text(cell) for cell in cells))[:4]
    said = [item for item in meanings(heading) if item.key in MAPPING_KEYS]
    blank = ColumnProposal(number, heading, "", stated_unit(heading), "", 0.0, "", tuple(said), examples)
    if not said:
        return blank
    first = said[0]
    tried = _checked(replace(blank, key=first.key, score=first.score, why=first.why), cells, steps)
    if tried.score >= SURE:
        return replace(tried, others=tuple(said[1:]))
    others = tuple(replace(item, score=min(item.score, tried.score)) for item in said[:1]) + tuple(said[1:])
    return replace(tried, key="", order=stated_order(heading), others=others)


def _once(columns: Iterable[ColumnProposal]) -> list[ColumnProposal]:
    """Each heading and each key once: of two columns that claim a key, the surer one; of equals none."""
    columns = list(columns)
    headings = Counter(heading_key(column.heading) for column in columns)
    found: list[ColumnProposal] = []
    for column in columns:
        if not column.key:
            found.append(column)
            continue
        rivals = [other for other in columns if other is not column and other.key == column.key]
        stronger = [other for other in rivals if other.score >= column.score]
        why = ""
        if headings[heading_key(column.heading)] > 1:
            why = "this heading stands more than once; rename one of them in the sheet"
        elif stronger and column.key != "remarks":
            why = f"{one_line(stronger[0].heading, 60)!r} may be it as well"
        others = (Meaning(column.key, column.score, column.why), *column.others)
        found.append(replace(column, key="", others=others, why=why) if why else column)
    keys = {column.key for column in found}
    clash = [stem for key, stem in COMPOUND.items() if key in keys]
    return [_apart(column, clash) for column in found]


def _apart(column: ColumnProposal, stems: Sequence[str]) -> ColumnProposal:
    for stem in stems:
        if column.key in {f"{stem}_width_mm", f"{stem}_height_mm", f"{stem}_diameter_mm"}:
            why = f"the whole {stem} size stands in another column"
            return replace(column, key="", others=(Meaning(column.key, column.score, column.why),), why=why)
    return column


def _chosen(book: Workbook, name: str) -> tuple[Sheet, HeadingRows]:
    names = ", ".join(repr(one_line(sheet.name, 60)) for sheet in book.sheets)
    if name:
        sheet = book.sheet([name])
        if sheet is None:
            raise InputError(Fault(book.file, "", f"the sheets {names}", f"a sheet named {one_line(name, 60)!r}"))
        offers = [sheet]
    else:
        offers = [sheet for sheet in book.sheets if not sheet.hidden]
    found = [(sheet, rows) for sheet in offers if (rows := find_heading_rows(sheet)) is not None]
    if not found:
        what = "no row that looks like the headings of a damper schedule"
        raise InputError(Fault(book.file, name or names, what, "headings such as 'Damper ref' and 'Duct size'"))
    return max(found, key=lambda item: len(item[1].texts) * len(item[0].cells))


def propose(book: Workbook, steps: ClassSteps, sheet: str = "", rows: HeadingRows | None = None) -> Proposal:
    """The mapping that is proposed for a sheet of a workbook; without a name, for the one that holds most.

    `rows` are the headings where somebody says where they stand in the sheet that is named; else they are looked for.
    Raises `InputError` where no sheet looks like a schedule.
    """
    book = without_added(book)
    named = book.sheet([sheet]) if rows is not None else None
    chosen, rows = (named, rows) if named is not None and rows is not None else _chosen(book, sheet)
    below: dict[int, list[Cell]] = {}
    for number, cells in chosen.rows():
        if number > rows.last:
            for at, cell in cells.items():
                listed = below.setdefault(at, [])
                if len(listed) < _SAMPLE and not is_not_stated(cell_text(cell)):
                    listed.append(cell)
    columns = [_column(at, text, below.get(at, []), steps) for at, text in rows.texts.items()]
    others = [item.name for item in book.sheets if item is not chosen and item.cells and not item.hidden]
    notes = [f"other sheets, not read until they are named: {_texts(others)}"] if others else []
    if any(cell.formula for cells in below.values() for cell in cells):
        notes.append("there are formulas: nobody typed their values, and they may be stale")
    if chosen.hidden_rows:
        notes.append(f"{len(chosen.hidden_rows)} rows are hidden, such as row {min(chosen.hidden_rows)}")
    return Proposal(book.file, chosen.name, rows, tuple(_once(columns)), tuple(notes))
