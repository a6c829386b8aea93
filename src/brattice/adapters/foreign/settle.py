# SPDX-License-Identifier: Apache-2.0
"""What a person settles of a mapping by eye: where the headings stand, the file that is kept, what a row then says."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePath

from brattice.adapters.foreign.headings import MOST_ROWS, HeadingRows, joined
from brattice.adapters.foreign.values import cell_text
from brattice.adapters.foreign.words import COMPOUND
from brattice.adapters.sheets import SCHEDULE
from brattice.adapters.text import one_line
from brattice.adapters.workbook import Sheet, Workbook, without_added
from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.schedule import ScheduleRow
from brattice.findings import Known
from brattice.usecases.facts import value_text

__all__ = ["Settled", "SettledColumn", "heading_rows_at", "is_own_form", "mapping_text", "stated_as_read"]

_TOP = 20
_FIELDS = {"framed_size": "framed", "finished_size": "finished"}
_ENDS = ("_width_mm", "_height_mm", "_diameter_mm")
_ALIASES = {"designers_reference", "contractors_reference", "asset_tag", "firestoppers_label", "alarm_address"}


@dataclass(frozen=True)
class SettledColumn:
    """A heading and the key it is mapped to, with unit and order where it has such."""

    heading: str
    key: str
    unit: str = ""
    order: str = ""


@dataclass(frozen=True)
class Settled:
    """A whole mapping as a person settled it; `kept` are the headings that stay text."""

    sheets: tuple[str, ...]
    heading_rows: int
    hidden_rows: str
    merged_cells: str
    formulas: str
    totals: bool
    notes: bool
    repeated_headings: bool
    columns: tuple[SettledColumn, ...]
    kept: tuple[str, ...]


def is_own_form(book: Workbook) -> bool:
    """Whether a workbook holds a schedule of our own form: a row near the top with headings of the template alone."""
    book = without_added(book)
    sheet = book.sheet([SCHEDULE.sheet])
    visible = [item for item in book.sheets if not item.hidden]
    if sheet is None and len(visible) == 1:
        sheet = visible[0]
    if sheet is None:
        return False
    ours = {column.heading.casefold() for column in SCHEDULE.columns}
    needed = SCHEDULE.column(SCHEDULE.id_key).heading.casefold()
    for number, cells in sheet.rows():
        if number > _TOP:
            break
        texts = {one_line(cell_text(cell)).casefold() for cell in cells.values()}
        texts = {text for text in texts if text and not text.startswith("#")}
        if needed in texts and len(texts) > 1 and texts <= ours:
            return True
    return False


def heading_rows_at(sheet: Sheet, first: int, count: int) -> HeadingRows:
    """The headings that stand in so many rows (at most `MOST_ROWS`) from a row on, counted from 1."""
    first, count = max(1, first), min(MOST_ROWS, max(1, count))
    return HeadingRows(first, count, joined(sheet, first, count))


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def mapping_text(file: str, settled: Settled) -> str:
    """The mapping file of what a person settled; whether it can be is said by whoever reads it (`mapping_of`)."""
    lines = [
        f"# How {one_line(PurePath(file).name, 200)} is read. Settled by eye; change it here or on its page.",
        "# A heading is mapped to a key of the schedule (docs/foreign-schedules.md lists them). What is not mapped",
        "# is kept as text with its row.",
        "schema = 1",
        f"sheets = [{', '.join(map(_text, settled.sheets))}]",
        f"heading_rows = {settled.heading_rows}",
        f"hidden_rows = {_text(settled.hidden_rows)}",
        f"merged_cells = {_text(settled.merged_cells)}",
        f"formulas = {_text(settled.formulas)}",
        "",
        "# Headings that are not read, kept as text with each row.",
        "kept_as_text = [",
        *(f"  {_text(heading)}," for heading in settled.kept),
        "]",
        "",
        "[skip]",
        f"totals = {_flag(on=settled.totals)}",
        f"notes = {_flag(on=settled.notes)}",
        f"repeated_headings = {_flag(on=settled.repeated_headings)}",
    ]
    for column in settled.columns:
        lines += ["", "[[column]]", f"heading = {_text(column.heading)}", f"key = {_text(column.key)}"]
        lines += [f"unit = {_text(column.unit)}"] if column.unit else []
        lines += [f"order = {_text(column.order)}"] if column.order else []
    return "\n".join(lines) + "\n"


def _flag(*, on: bool) -> str:
    return "true" if on else "false"


def _field_of(key: str) -> str:
    """The field of a row that a key fills; sizes and gaps are filled by several."""
    stems = {f"{stem}{end}": _FIELDS.get(f"{stem}_size", f"{stem}_size") for stem in COMPOUND.values() for end in _ENDS}
    if key.startswith("gap_"):
        return "gaps"
    if key in {"x_m", "y_m", "z_m"}:
        return "centre_m"
    return stems.get(key, _FIELDS.get(key, key))


def stated_as_read(row: ScheduleRow, keys: Iterable[str]) -> tuple[str, ...]:
    """What a row says under each key, as text; "" where it says nothing, "not read" where its cell was not read."""
    unread = {item.key for item in row.unread}
    return tuple("not read" if key in unread else _stated(row, key) for key in keys)


def _stated(row: ScheduleRow, key: str) -> str:
    if key in _ALIASES:
        kind = key.replace("_", " ").replace("designers", "designer's").replace("contractors", "contractor's")
        kind = kind.replace("firestoppers", "firestopper's")
        return "; ".join(text for name, text in row.aliases if name == kind)
    field = _field_of(key)
    if key == "remarks":
        return "; ".join(row.remarks)
    value = getattr(row.detail if field in DETAIL_FIELDS else row, field, None)
    if isinstance(value, Known):
        return value_text(value.value, field)
    if isinstance(value, tuple):
        return "; ".join(map(str, value))
    return value if isinstance(value, str) else ""
