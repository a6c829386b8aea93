# SPDX-License-Identifier: Apache-2.0
"""What Brattice adds to a copy of somebody's sheet: columns at the right and a sheet at the end, known by their names.

When such a copy comes back as the next revision, they are ours and not read as theirs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from brattice.adapters.text import one_line
from brattice.adapters.workbook.model import Cell, Sheet, Workbook

__all__ = [
    "ADDED",
    "ADDED_SHEET",
    "ADDED_TITLE",
    "HEADINGS_WITHIN",
    "AddedColumn",
    "added_columns",
    "column_key",
    "is_added_sheet",
    "without_added",
]

HEADINGS_WITHIN = 64
"""The headings of added columns are looked for in this many rows from the top."""

ADDED_SHEET = "Brattice notes"
"""The name of the sheet that is added at the end of a workbook."""

ADDED_TITLE = "Added by Brattice"
"""What stands in the first cell of that sheet: by it the sheet is known."""


@dataclass(frozen=True)
class AddedColumn:
    """A column that is added: its key, its heading, its width in characters, what stands in it."""

    key: str
    heading: str
    width: float
    note: str


ADDED: tuple[AddedColumn, ...] = (
    AddedColumn("id", "# Brattice: id", 10.0, "The permanent id of this penetration; never used again."),
    AddedColumn("state", "# Brattice: state", 16.0, "One word of a closed list; the last sheet says what each means."),
    AddedColumn(
        "findings",
        "# Brattice: wrong or missing",
        64.0,
        "The findings of this row, one a line: code, then words. Those marked 'noted' are open to nobody.",
    ),
    AddedColumn("queries", "# Brattice: queries", 20.0, "The queries that hold this row up, with whom they went to."),
    AddedColumn("class", "# Brattice: class asked", 18.0, "The fire classes that will do here; any one of them."),
    AddedColumn("actuation", "# Brattice: actuation asked", 16.0, "What has to make the damper close here."),
    AddedColumn("unread", "# Brattice: not read", 40.0, "Cells of this row that were not read, and what was expected."),
    AddedColumn("cautions", "# Brattice: cautions", 40.0, "Stands in tables of text, which have no sheet for it."),
)
"""The columns in the order in which they are added. "#" before a heading says, in our own schedules too, that the
column is not read."""

_HEADINGS = {one_line(column.heading).casefold(): column.key for column in ADDED}


def column_key(text: str) -> str | None:
    """The key of the added column whose heading this is, None where it is none of ours."""
    return _HEADINGS.get(one_line(text).casefold())


def added_columns(sheet: Sheet) -> dict[int, str]:
    """The columns of a sheet that an earlier run added, by number: the key of each."""
    found: dict[int, str] = {}
    for cell in sheet.cells:
        if cell.row <= HEADINGS_WITHIN and isinstance(cell.value, str) and not cell.formula:
            key = column_key(cell.value)
            if key is not None:
                found.setdefault(cell.column, key)
    return found


def is_added_sheet(sheet: Sheet) -> bool:
    """Whether a sheet is the one that an earlier run added."""
    first = sheet.row(1).get(1)
    return sheet.name.startswith(ADDED_SHEET) and first is not None and first.value == ADDED_TITLE


def _without(sheet: Sheet) -> Sheet:
    ours = added_columns(sheet)
    if not ours:
        return sheet

    def kept(cell: Cell) -> bool:
        return cell.column not in ours

    return replace(
        sheet,
        cells=tuple(filter(kept, sheet.cells)),
        hidden_columns=tuple(column for column in sheet.hidden_columns if column not in ours),
    )


def without_added(book: Workbook) -> Workbook:
    """The workbook as it was before Brattice added anything to a copy of it."""
    sheets = tuple(_without(sheet) for sheet in book.sheets if not is_added_sheet(sheet))
    return book if sheets == book.sheets else replace(book, sheets=sheets)
