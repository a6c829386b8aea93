# SPDX-License-Identifier: Apache-2.0
"""The second demo's schedule is read as its maker meant it, cell by cell; what is not certain is not read."""

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.foreign import propose, read_foreign, read_mapping
from brattice.adapters.rows import shipped_book
from brattice.adapters.workbook import read_table_file
from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import Rating
from brattice.classes import ClassSteps
from tests.messy.conftest import MessyJob
from tools.messy.job import SETTLED, settled
from tools.messy.revision import revision_b
from tools.messy.rows import LEVELS, PER_LEVEL
from tools.messy.sheet import COLUMNS, FILE, Placed, workbook

STEPS = ClassSteps.from_book(shipped_book())
FIELDS = {"damper_present": "damper_present", "framed_size": "framed"}


def told(row: ScheduleRow, key: str) -> Any:
    """What was read under a key, in the terms of the generator; None for nothing."""
    fact = getattr(row.detail if key in DETAIL_FIELDS else row, FIELDS.get(key, key))
    value = getattr(fact, "value", fact)
    if isinstance(value, Size):
        return (value.width_mm, value.height_mm)
    if isinstance(value, Rating):
        return (value.integrity_min, value.insulation_min)
    if isinstance(value, frozenset):
        words = tuple(sorted(map(str, value)))
        return words if key.startswith("space") else frozenset(words)
    return value or None if key == "words" else value


def held(rows: Iterable[ScheduleRow], placed: Iterable[Placed]) -> int:
    """Hold every value against what was meant; how many were."""
    by_place = {row.origin.place.rpartition("row ")[2]: row for row in rows}
    compared = 0
    for item in placed:
        row = by_place.pop(str(item.number))
        for key in (column.key for column in COLUMNS if column.key):
            meant = item.row.facts.get(key)
            if key == "reference":
                if any(cell.key == "reference" for cell in row.unread):
                    continue
                assert row.reference == meant
                continue
            assert told(row, key) == meant, (item.number, item.row.facts["reference"], key)
            compared += 1
    assert not by_place
    return compared


def test_every_value_of_every_row_is_read_as_it_was_meant(messy_job: MessyJob) -> None:
    mapping = read_mapping(messy_job.folder / "schedule" / "fd-schedule.mapping.toml")
    read = read_foreign([(messy_job.folder / "schedule" / FILE, FILE, mapping)], STEPS)
    assert len(read.rows) == len(messy_job.placed) == len(LEVELS) * PER_LEVEL == 150
    assert held(read.rows, messy_job.placed) == 150 * (sum(bool(column.key) for column in COLUMNS) - 1)
    doubted = [row for row in read.rows if any(cell.key == "reference" for cell in row.unread)]
    assert len(doubted) == 3  # one reference in two rows, and a row without one


def test_what_stands_in_columns_of_theirs_is_kept_with_its_row(messy_job: MessyJob) -> None:
    mapping = read_mapping(messy_job.folder / "schedule" / "fd-schedule.mapping.toml")
    read = read_foreign([(messy_job.folder / "schedule" / FILE, FILE, mapping)], STEPS)
    codes = {remark for row in read.rows for remark in row.remarks if remark.startswith("Cost code: ")}
    assert len(codes) == 150
    notes = "\n".join(read.files[0].notes)
    assert "3 hidden rows were read" in notes
    (sheet,) = read.sheets
    why = Counter(row.why for row in sheet.passed)
    assert why == {"a total": 7, "a note or a title": 6 + 3, "the headings again": 1}  # levels, and three notes
    assert "hidden columns were read like all others" in notes


def test_the_mapping_is_the_proposal_and_what_a_person_settled(messy_job: MessyJob) -> None:
    path = messy_job.folder / "schedule" / FILE
    proposal = propose(read_table_file(path, file=FILE), STEPS)
    assert (path.with_suffix(".mapping.toml")).read_text("utf-8") == settled(proposal.text())
    unmapped = {column.heading for column in proposal.columns if not column.key}
    assert set(SETTLED) <= unmapped
    with pytest.raises(AssertionError, match="not left to settle"):
        settled("kept_as_text = [\n]\n")


def test_the_next_revision_is_read_by_the_same_mapping(messy_job: MessyJob, tmp_path: Path) -> None:
    later = revision_b(messy_job.plan)
    data, placed = workbook(later.rows, "B")
    (tmp_path / FILE).write_bytes(data)
    mapping = read_mapping(messy_job.folder / "schedule" / "fd-schedule.mapping.toml")
    read = read_foreign([(tmp_path / FILE, FILE, mapping)], STEPS)
    assert len(read.rows) == 150 + 3 - 2
    held(read.rows, placed)
    before = {row.reference for row in messy_job.plan.rows.values() if row.facts["reference"]}
    after = {row.reference for row in later.rows if row.facts["reference"]}
    by_what: dict[str, list[tuple[str, str]]] = {}
    for one in later.changes:
        by_what.setdefault(one.what, []).append((one.before, one.after))
    assert after - before == {new for what in ("added", "renamed") for _, new in by_what[what]}
    assert before - after == {old for what in ("removed", "renamed") for old, _ in by_what[what]}
    assert len(by_what["resized"]) == 3
