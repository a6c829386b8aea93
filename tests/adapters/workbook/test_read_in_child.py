# SPDX-License-Identifier: Apache-2.0
import os
from datetime import date
from pathlib import Path

import pytest

from brattice.adapters.child import Limits as ChildLimits
from brattice.adapters.workbook import CellKind, Limits, OutColumn, OutSheet, read_workbook, reader, write_workbook
from brattice.errors import InputError
from tests.adapters.workbook.made import put, text_cell, xlsx
from tests.adapters.workbook.test_write_workbook import STAMP


def test_a_workbook_comes_back_from_the_child_as_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    columns = (OutColumn("h"), OutColumn("i"), OutColumn("j"))
    rows = (("Ø 315 – \u202e", 12.5, date(2026, 3, 4)),)
    write_workbook(tmp_path / "s.xlsx", [OutSheet("S", columns, rows)], stamp=STAMP)
    monkeypatch.chdir(tmp_path)
    book = read_workbook("s.xlsx")
    assert book.file == "s.xlsx"
    assert [(cell.kind, cell.value) for cell in book.sheets[0].cells[3:]] == [
        (CellKind.TEXT, "Ø 315 – ⟨U+202E⟩"),
        (CellKind.NUMBER, 12.5),
        (CellKind.DATE, date(2026, 3, 4)),
    ]


def test_what_the_child_finds_wrong_is_passed_on(tmp_path: Path) -> None:
    path = put(tmp_path, xlsx(f'<row r="9">{text_cell("Z9", "x")}</row>'))
    with pytest.raises(InputError) as caught:
        read_workbook(path, file="named.xlsx", limits=Limits(columns=2))
    assert str(caught.value) == (
        "named.xlsx: sheet 'Schedule', cell Z9: found a filled cell far outside; expected nothing beyond B200000"
    )


def test_a_workbook_that_needs_too_much_is_named_unreadable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = "".join(f'<row r="{n}">{text_cell(f"A{n}", "x" * 200)}</row>' for n in range(1, 100_001))
    path = put(tmp_path, xlsx(rows))
    monkeypatch.setattr(reader, "_CHILD", ChildLimits(memory_bytes=150 * 1024**2, seconds=60.0))
    with pytest.raises(InputError, match=r"^s\.xlsx: found a file that can't be read: tried twice, "):
        read_workbook(path, file="s.xlsx")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this platform has no named pipes")
def test_a_pipe_is_no_file_and_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "s.xlsx")
    with pytest.raises(InputError, match="no such file"):
        read_workbook(tmp_path / "s.xlsx")
