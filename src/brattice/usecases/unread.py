# SPDX-License-Identifier: Apache-2.0
"""Cells of a schedule that were not read: what each says is not known, and a row that has one is never passed.

The fact stays unknown where nothing else states it, and its own question is asked. Where the model or a wall type
states it, the cell may say otherwise; that is asked too, and settled in the sheet. Only an answer to a query about the
fact leaves the cell as a note. A cell of what details take is a note from the start: as
where it is empty, what needs it stays to be settled.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.penetration import Penetration
from brattice.building.queries import PENETRATION_FIELDS
from brattice.building.schedule import CellUnread, ScheduleRow, ScheduleSheet
from brattice.findings import Fact, Finding, Known, Missing, Origin, Party, Reason, Unknown, Verdict
from brattice.usecases.codes import CELL, Outcome, finding_code

__all__ = ["check_cells", "passed_rows", "query_tail"]

_ENDS = ("_width_mm", "_height_mm", "_diameter_mm", "_size")
_TAILS = {
    "duct": "duct-size",
    "damper": "damper-size",
    "framed": "framed-opening",
    "finished": "finished-clear-opening",
    "gap_left_mm": "gaps",
    "gap_right_mm": "gaps",
    "gap_top_mm": "gaps",
    "gap_bottom_mm": "gaps",
    "role": "barrier-role",
    "wall_type_code": "wall-type",
    "method": "protection-method",
    "space_a": "spaces",
    "space_b": "spaces",
    "run_document": "run-proven",
}
"""Where a key of the schedule and the end of a query's key have not one name: the first to the second."""

_FIELDS = {
    "barrier-role": ("barrier", "role"),
    "wall-type": ("barrier", "wall_type_code"),
    "protection-method": ("protection", "method"),
    "duct-size": ("duct", "size"),
    "damper-size": ("damper", "size"),
    "damper-present": ("damper", "present"),
    "opening-shape": ("opening", "shape"),
    "framed-opening": ("opening", "framed"),
    "finished-clear-opening": ("opening", "finished"),
}
"""Where the end of a query's key and the field of the penetration have not one name."""


def query_tail(key: str) -> str:
    """The end of the query's key for a key of the schedule: `"duct_width_mm"` is asked as `"duct-size"`."""
    for end in _ENDS:
        stem = key.removesuffix(end)
        if stem != key and stem in _TAILS:
            return _TAILS[stem]
    return _TAILS.get(key, key.replace("_", "-"))


def _fact(penetration: Penetration, tail: str) -> Fact[Any] | None:
    """The fact of a penetration that a query's key ends with; None where there is none."""
    if tail not in PENETRATION_FIELDS:
        return None
    if tail in _FIELDS:
        part, name = _FIELDS[tail]
        fact: Fact[Any] = getattr(getattr(penetration, part), name)
        return fact
    name = tail.replace("-", "_")
    for part in (penetration, *(getattr(penetration, item.name) for item in fields(penetration))):
        found = getattr(part, name, None) if is_dataclass(part) else None
        if isinstance(found, Known | Unknown):
            return found
    return None


def _check(cell: CellUnread, penetration: Penetration, answered: frozenset[Origin]) -> Reason:
    tail = query_tail(cell.key) if cell.key else "row"
    fact = _fact(penetration, tail)
    have, need, at = cell.found or "nothing", cell.expected, (cell.origin,)
    where = f"cell {', '.join(cell.origin.cells)}" if cell.origin.cells else "a cell"
    name = f"'{cell.heading}' ({where})" if cell.heading else where
    if isinstance(fact, Known) and fact.origin in answered:
        text = f"{name} was not read; an answer to a query states the fact. Put the cell right in the schedule."
        return Reason(finding_code(CELL, Outcome.NOTE), Verdict.NOT_APPLICABLE, text, have, need, (), (), at)
    if cell.key in DETAIL_FIELDS:
        text = f"{name} was not read: what it says of {penetration.id} stays to be settled."
        return Reason(finding_code(CELL, Outcome.NOTE), Verdict.NOT_APPLICABLE, text, have, need, (), (), at)
    text = f"{name} was not read: what it says of {penetration.id} is not known."
    if isinstance(fact, Unknown):
        missing = fact.missing
    else:
        question = f"What {cell.origin} is to say of {penetration.id}: found {have!r}; expected {need}"
        missing = Missing(f"penetration/{penetration.id}/{tail}/sources", question, Party.SERVICES_DESIGNER)
    return Reason(CELL, Verdict.UNKNOWN, text, have, need, (), (missing,), at)


def check_cells(
    row: ScheduleRow | None, penetration: Penetration, answered: Mapping[str, Known[Any]]
) -> tuple[Reason, ...]:
    """A reason for each cell of the row that was not read; none without a row.

    `answered` are the facts that answers to queries state: a fact that comes from one is settled, whatever the cell
    says.
    """
    if row is None:
        return ()
    origins = frozenset(fact.origin for fact in answered.values())
    return tuple(_check(cell, penetration, origins) for cell in row.unread)


def passed_rows(sheets: Iterable[ScheduleSheet]) -> tuple[Finding, ...]:
    """A note of the job for each row of a schedule that was taken for no penetration."""
    found = []
    for sheet in sheets:
        for row in sheet.passed:
            place = f"sheet '{sheet.name}', row {row.number}" if sheet.name else f"row {row.number}"
            text = f"Row {row.number} was taken for no penetration: it looks like {row.why}."
            if row.why == "hidden":
                text = f"Row {row.number} was passed over: it is hidden, and the mapping says to skip hidden rows."
            code = finding_code("row", Outcome.NOTE)
            found.append(Finding(sheet.file, code, False, text, row.text, "", (), (Origin(sheet.file, place),)))
    return tuple(found)
