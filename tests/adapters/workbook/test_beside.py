# SPDX-License-Identifier: Apache-2.0
"""A workbook that another process writes has the bytes of one that is written here."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, beside, workbook_bytes, written_beside
from brattice.errors import Fault, InputError

STAMP = datetime(2026, 9, 1, tzinfo=UTC)


def sheets() -> Iterator[OutSheet]:
    """All that a sheet may hold."""
    columns = (
        OutColumn("Id", 12, "A note.", wrap=True),
        OutColumn("Number", 8, number_format="0.0"),
        OutColumn("=acts", 20, choices=("yes", "no")),
    )
    rows: list[list[Any]] = [
        [OutCell("P-0001", fill="F7E6C1", ink="AA0000", bold=True), 1.5, "=1+1"],
        ["Ø315 × \u202e ✓ \ud800", None, OutCell(None, choices=("a", "b"))],
        [date(2026, 9, 1), datetime(2026, 9, 1, 12, 30, tzinfo=UTC).replace(tzinfo=None), True],
        ["", OutCell("", fill="FFFFFF"), 7],
    ]
    yield OutSheet("Read me", columns, [[], ["plain"]], headings=False, filter=False)
    yield OutSheet("Cells", columns, rows, frozen_columns=1, choice_rows=4)
    yield OutSheet("Typed", columns, [["a text of many words " * 9, 1, ""]], fit_rows=True, for_typing=True)
    yield OutSheet("For the program", columns, rows, hidden=True)
    yield OutSheet("Empty", columns)


def test_the_bytes_are_those_of_this_process(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with written_beside(path, sheets, stamp=STAMP, title="Invented"):
        pass
    assert path.read_bytes() == workbook_bytes(sheets(), stamp=STAMP, title="Invented")


def test_when_the_other_process_ends_badly_this_one_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def dies(*given: object, **named: object) -> None:
        raise InputError(Fault("book.xlsx", "", "a process that died", "one that lives"))

    monkeypatch.setattr(beside, "run_task", dies)
    path = tmp_path / "book.xlsx"
    with written_beside(path, sheets, stamp=STAMP):
        pass
    assert path.read_bytes() == workbook_bytes(sheets(), stamp=STAMP)


def test_a_place_that_cannot_be_written_is_said_as_the_system_says_it(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError), written_beside(tmp_path / "gone" / "book.xlsx", sheets, stamp=STAMP):
        pass


def test_what_fails_meanwhile_ends_the_other_process(tmp_path: Path) -> None:
    with pytest.raises(KeyError, match="meanwhile"), written_beside(tmp_path / "book.xlsx", sheets, stamp=STAMP):
        raise KeyError("meanwhile")
