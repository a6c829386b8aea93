# SPDX-License-Identifier: Apache-2.0
"""The record of the tracker, `tracker.csv`: one row an entry, only ever added to, strictly read.

Every entry carries a code made from all that it says, so a cell that somebody changed by hand shows itself.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from brattice.adapters.text import kept_text, one_line, unkept_text
from brattice.adapters.workbook import Cell, Limits, read_csv_table, write_file
from brattice.building.ledger import id_number
from brattice.errors import Fault, InputError
from brattice.register.stages import (
    ENTRY_FORM,
    About,
    Remark,
    Stage,
    StageEvent,
    StageStep,
    spec_of,
    standing_entries,
)

__all__ = ["TRACKER_COLUMNS", "TRACKER_FILE", "about_of", "read_tracker", "save_tracker", "tracker_text"]

TRACKER_FILE = "tracker.csv"
TRACKER_COLUMNS = ("entry", "id", "about", "step", "on", "who", "text", "rests_on", "replaces", "taken")
"""The columns of `tracker.csv`. `about` is a stage, zone or note; `step` is said or taken back."""

_LIMITS = Limits(rows=1_000_000, cells=10_000_000, text_length=120_000)
_AS_WRITTEN = "the row as Brattice wrote it; put the file back as it was"


def about_of(text: str) -> About | None:
    """The stage, zone or note that a text names; None for no such."""
    for kind in (Stage, Remark):
        if text in {item.value for item in kind}:
            return kind(text)
    return None


def tracker_text(events: Iterable[StageEvent]) -> str:
    """The record as CSV text, entries in their order; the same entries give the same text."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(TRACKER_COLUMNS)
    for event in events:
        writer.writerow(
            [
                event.entry,
                event.penetration,
                event.about.value,
                event.step.value,
                event.on.isoformat() if event.on else "",
                kept_text(event.who),
                kept_text(event.text),
                kept_text(json.dumps(dict(event.rests_on))) if event.rests_on else "",
                " ".join(sorted(event.replaces)),
                event.taken.isoformat(),
            ]
        )
    return out.getvalue()


class _Row:
    """One row while it is read."""

    def __init__(self, file: str, number: int, cells: dict[int, Cell], faults: list[Fault]) -> None:
        self.file, self.number, self.faults = file, number, faults
        self.texts = {name: str(cells[at].value) for at, name in enumerate(TRACKER_COLUMNS, start=1) if at in cells}
        if any(at > len(TRACKER_COLUMNS) for at in cells):
            self.faults.append(Fault(file, f"row {number}", "more cells than headings", _AS_WRITTEN))

    def fault(self, column: str, expected: str) -> None:
        found = repr(one_line(self.texts[column], 60)) if column in self.texts else "nothing"
        self.faults.append(Fault(self.file, f"row {self.number}, column '{column}'", found, expected))

    def day(self, column: str) -> date:
        try:
            return date.fromisoformat(self.texts.get(column, ""))
        except ValueError:
            self.fault(column, "a date like 2026-03-01")
            return date.min

    def facts(self, stage: Stage) -> tuple[tuple[str, str], ...]:
        text = unkept_text(self.texts.get("rests_on", ""))
        if not text:
            return ()
        try:
            data = json.loads(text)
        except (ValueError, RecursionError):
            data = None
        named = {name.value for name in spec_of(stage).rests_on}
        if (
            not isinstance(data, dict)
            or not all(isinstance(value, str) for value in data.values())
            or data.keys() - named
        ):
            self.fault("rests_on", f"facts by name, of: {', '.join(sorted(named))}")
            return ()
        return tuple(sorted((str(name), str(value)) for name, value in data.items()))

    def event(self) -> StageEvent | None:
        before = len(self.faults)
        texts = self.texts
        permanent_id, about = texts.get("id", ""), about_of(texts.get("about", ""))
        try:
            id_number(permanent_id)
        except ValueError:
            self.fault("id", "an id like P-0012")
        if about is None:
            self.fault("about", f"one of: {', '.join((*Stage, *Remark))}")
        if texts.get("step", "") not in {item.value for item in StageStep}:
            self.fault("step", f"one of: {', '.join(StageStep)}")
        replaces = tuple(sorted(texts.get("replaces", "").split()))
        if not all(ENTRY_FORM.match(code) for code in replaces):
            self.fault("replaces", "codes of entries like E-0123456789ab")
        taken = self.day("taken")
        if len(self.faults) > before or about is None:
            return None
        step = StageStep(texts["step"])
        says = isinstance(about, Stage) and step is StageStep.SAID
        on = self.day("on") if says else None
        facts = self.facts(about) if isinstance(about, Stage) and says else ()
        for column, is_wrong in (("on", not says), ("rests_on", not says), ("who", isinstance(about, Remark))):
            if is_wrong and texts.get(column, ""):
                self.fault(column, "nothing here")
        who, text = unkept_text(texts.get("who", "")), unkept_text(texts.get("text", ""))
        if isinstance(about, Remark) and step is StageStep.SAID and not text:
            self.fault("text", "a text")
        if len(self.faults) > before:
            return None
        event = StageEvent(permanent_id, about, step, taken, on, who, text, facts, replaces)
        if event.entry != texts.get("entry", ""):
            self.fault("entry", f"{event.entry}, the code of what this row says; put the file back as it was")
            return None
        return event


def read_tracker(path: str | Path, *, file: str = TRACKER_FILE) -> tuple[StageEvent, ...]:
    """The entries of a record, in their order; none when there is no file yet. Raises `InputError` with all faults."""
    if not Path(path).exists():
        return ()
    (sheet,) = read_csv_table(path, file=file, limits=_LIMITS).sheets
    rows = list(sheet.rows())
    headings = tuple(str(cell.value) for _, cell in sorted(rows[0][1].items())) if rows else ()
    if headings != TRACKER_COLUMNS:
        expected = f"the headings {','.join(TRACKER_COLUMNS)}; put the file back as it was"
        raise InputError(Fault(file, "row 1", repr(one_line(",".join(headings), 120)), expected))
    faults: list[Fault] = []
    read = [_Row(file, number, cells, faults).event() for number, cells in rows[1:]]
    events = tuple(event for event in read if event is not None)
    if not faults:
        try:
            standing_entries(events)
        except ValueError as error:
            faults.append(Fault(file, "", str(error), "the record as Brattice wrote it; put the file back as it was"))
    if faults:
        raise InputError(faults)
    return events


def save_tracker(path: str | Path, events: Sequence[StageEvent]) -> bool:
    """Write the record whole or not at all, when it differs from what is there; says whether it was written."""
    data = tracker_text(events).encode("utf-8")
    target = Path(path)
    if (target.exists() and target.read_bytes() == data) or (not events and not target.exists()):
        return False
    write_file(target, data)
    return True
