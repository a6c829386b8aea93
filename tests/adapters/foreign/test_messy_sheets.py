# SPDX-License-Identifier: Apache-2.0
"""Messy schedules whose truth is known: no traceback, and no value is read wrongly in silence."""

import os
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.foreign import propose, read_book, read_mapping
from brattice.adapters.foreign.values import cell_text
from brattice.adapters.rows import shipped_book
from brattice.adapters.workbook import Cell, CellKind
from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.classes import ClassSteps
from tests.adapters.foreign.messy import Messy, Truth, messy

STEPS = ClassSteps.from_book(shipped_book())
SEEDS = 10_000 if os.environ.get("HYPOTHESIS_PROFILE") == "soak" else 1_000
BLOCKS = 8
FACTS = ("storey", "duct_size", "damper_size", "thickness_mm", "rating", "class_text", "actuation", "access_door")


def told(row: ScheduleRow, key: str) -> Any:
    """What was read, in the terms of the truth; None for not read."""
    fact = getattr(row, key)
    if fact is None:
        return None
    value = fact.value
    if key == "rating":
        return value.integrity_min
    if key == "actuation":
        return tuple(sorted(str(item) for item in value))
    if isinstance(value, Size):
        return (value.width_mm, value.height_mm)
    return value


def silent(row: ScheduleRow, truth: Truth, key: str) -> bool:
    """Whether a text that stands in the sheet was neither read nor named nor kept."""
    text = truth.texts.get(key)
    shown = cell_text(Cell(1, 1, CellKind.TEXT, text)) if text is not None else ""
    kept = any(f": {shown}" in remark for remark in row.remarks)
    return text is not None and not kept and not any(cell.found == shown for cell in row.unread)


def read(sheet: Messy, folder: Path) -> tuple[ScheduleRow, ...]:
    path = folder / "messy.mapping.toml"
    path.write_text(propose(sheet.book, STEPS).text(), "utf-8")
    found = read_book(sheet.book, read_mapping(path), STEPS)
    assert any("rows read" in note for note in found.notes)
    return found.rows


@pytest.mark.parametrize("block", range(BLOCKS))
def test_fuzz_no_value_is_read_wrongly_in_silence(block: int, tmp_path: Path) -> None:
    stated = known = 0
    for seed in range(block, SEEDS, BLOCKS):
        sheet = messy(seed)
        rows = read(sheet, tmp_path)
        by_name = {row.reference: row for row in rows}
        unnamed = [row for row in rows if row.reference.startswith("no reference (")]
        assert len(rows) == len(sheet.rows), (seed, sorted(by_name))
        assert len(unnamed) == sheet.nameless, seed
        for truth in sheet.rows:
            row = by_name.get(truth.reference)
            if row is None:
                continue
            for key in FACTS:
                value = told(row, key)
                assert value is None or value == truth.facts[key], (seed, truth.reference, key, value, truth)
                stated += truth.facts[key] is not None
                known += value is not None
    assert known > 0.7 * stated  # a reader that reads nothing would be right too


def test_fuzz_whatever_is_not_read_is_named(tmp_path: Path) -> None:
    for seed in range(40):
        sheet = messy(seed)
        by_name = {row.reference: row for row in read(sheet, tmp_path)}
        for truth in sheet.rows:
            row = by_name.get(truth.reference)
            for key in FACTS:
                text = truth.texts.get(key)
                if row is None or text in {None, "?", "tbc"} or key not in sheet.keys or told(row, key) is not None:
                    continue
                assert not silent(row, truth, key), (seed, truth, key, row.remarks)
