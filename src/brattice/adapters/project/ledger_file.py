# SPDX-License-Identifier: Apache-2.0
"""The ledger's file, `penetrations.csv`: read strictly, written whole or not at all, and only when it changed."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable
from pathlib import Path

from brattice.adapters.text import kept_text, one_line, unkept_text
from brattice.adapters.workbook import Cell, read_csv_table, write_file
from brattice.building.ledger import FoundPlace, LedgerEntry, id_number
from brattice.building.penetration import Size
from brattice.errors import Fault, InputError
from brattice.quantities import Mm

__all__ = ["LEDGER_COLUMNS", "LEDGER_FILE", "ledger_text", "read_ledger", "save_ledger"]

LEDGER_FILE = "penetrations.csv"
LEDGER_COLUMNS = (
    "id",
    "key",
    "storey",
    "x_m",
    "y_m",
    "z_m",
    "width_mm",
    "height_mm",
    "barrier_guids",
    "reference",
    "standing",
)
"""The columns of `penetrations.csv`. `height_mm` is empty for a round duct; `standing` is "current" or "retired"."""


def _number(value: float | None) -> str:
    if value is None:
        return ""
    return str(int(value)) if float(value).is_integer() else repr(float(value))


def ledger_text(entries: Iterable[LedgerEntry]) -> str:
    """The ledger as CSV text, by id; the same entries give the same text."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(LEDGER_COLUMNS)
    for entry in sorted(entries, key=lambda item: id_number(item.id)):
        place = entry.place
        centre: tuple[float | None, ...] = place.centre_m or (None, None, None)
        size = place.size
        writer.writerow(
            [
                entry.id,
                kept_text(place.key),
                kept_text(place.storey),
                *(_number(value) for value in centre),
                _number(size.width_mm if size else None),
                _number(size.height_mm if size else None),
                " ".join(kept_text(guid).replace(" ", "\\u{20}") for guid in place.barrier_guids),
                kept_text(place.reference),
                "retired" if entry.retired else "current",
            ]
        )
    return out.getvalue()


class _Row:
    """One row while it is read."""

    def __init__(self, file: str, number: int, cells: dict[int, Cell], faults: list[Fault]) -> None:
        self.file, self.number, self.faults = file, number, faults
        self.texts = {name: str(cells[at].value) for at, name in enumerate(LEDGER_COLUMNS, start=1) if at in cells}

    def fault(self, column: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.file, f"row {self.number}, column '{column}'", found, expected))

    def text(self, column: str) -> str:
        return unkept_text(self.texts.get(column, ""))

    def number_at(self, column: str) -> float | None:
        text = self.texts.get(column, "")
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            self.fault(column, repr(one_line(text, 60)), "a number")
            return None
        return value

    def entry(self) -> LedgerEntry | None:
        before = len(self.faults)
        permanent_id = self.texts.get("id", "")
        try:
            id_number(permanent_id)
        except ValueError:
            self.fault("id", repr(one_line(permanent_id, 60)), "an id like P-0012")
        key, standing = self.text("key"), self.texts.get("standing", "")
        if not key:
            self.fault("key", "nothing", "the key of the place")
        if standing not in {"current", "retired"}:
            self.fault("standing", repr(one_line(standing, 60)), "current or retired")
        x, y, z = (self.number_at(axis) for axis in ("x_m", "y_m", "z_m"))
        width, height = self.number_at("width_mm"), self.number_at("height_mm")
        if len(self.faults) > before:
            return None
        centre = None if x is None or y is None or z is None else (x, y, z)
        size = None if width is None else Size(Mm(width), None if height is None else Mm(height))
        guids = tuple(unkept_text(guid) for guid in self.texts.get("barrier_guids", "").split(" ") if guid)
        place = FoundPlace(key, self.text("storey"), centre, size, guids, self.text("reference"))
        return LedgerEntry(permanent_id, place, standing == "retired")


def read_ledger(path: str | Path, *, file: str = LEDGER_FILE) -> tuple[LedgerEntry, ...]:
    """The entries of a ledger file, by id; none when there is no file yet. Raises `InputError` with all faults."""
    if not Path(path).exists():
        return ()
    (sheet,) = read_csv_table(path, file=file).sheets
    rows = list(sheet.rows())
    headings = tuple(str(cell.value) for _, cell in sorted(rows[0][1].items())) if rows else ()
    if headings != LEDGER_COLUMNS:
        expected = f"the headings {','.join(LEDGER_COLUMNS)}; put the file back as it was"
        raise InputError(Fault(file, "row 1", repr(one_line(",".join(headings), 120)), expected))
    faults: list[Fault] = []
    entries: list[LedgerEntry] = []
    first: dict[tuple[str, str], int] = {}
    for number, cells in rows[1:]:
        row = _Row(file, number, cells, faults)
        entry = row.entry()
        if entry is None:
            continue
        for column, value in (("id", entry.id), ("key", entry.key)):
            earlier = first.setdefault((column, value), number)
            if earlier != number:
                row.fault(column, f"{one_line(value, 60)!r} again (first in row {earlier})", "each once")
        entries.append(entry)
    if faults:
        raise InputError(faults)
    return tuple(sorted(entries, key=lambda entry: id_number(entry.id)))


def save_ledger(path: str | Path, entries: Iterable[LedgerEntry]) -> bool:
    """Write the ledger whole or not at all, when it differs from what is there; says whether it was written."""
    data = ledger_text(entries).encode("utf-8")
    target = Path(path)
    if target.exists() and target.read_bytes() == data:
        return False
    write_file(target, data)
    return True
