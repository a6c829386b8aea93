# SPDX-License-Identifier: Apache-2.0
import os
import subprocess
import sys
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.text import visible_text
from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, read_workbook, workbook_bytes, write_workbook
from brattice.errors import OwnFault

STAMP = datetime(2026, 1, 2, 3, 4, 6, tzinfo=UTC)
SHEET = OutSheet(
    "Register",
    (OutColumn("id", note="The id."), OutColumn("kind", choices=("wall", "floor, ribbed")), OutColumn("x", wrap=True)),
    (("P-1", "wall", 1.5), ("P-2", OutCell("floor, ribbed", fill="FFCC00", bold=True), date(2026, 5, 6))),
    frozen_columns=1,
    choice_rows=10,
)

MAKE = """
import sys
from datetime import datetime
from tests.adapters.workbook.test_write_workbook import SHEET, STAMP
from brattice.adapters.workbook import workbook_bytes
sys.stdout.buffer.write(workbook_bytes([SHEET], stamp=STAMP, title="t"))
"""


def test_equal_input_gives_equal_bytes_whatever_the_hash_seed() -> None:
    root = Path(__file__).parents[3]
    made = {
        subprocess.run(
            [sys.executable, "-c", MAKE],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            cwd=root,
        ).stdout
        for seed in ("1", "2")
    }
    assert made == {workbook_bytes([SHEET], stamp=STAMP, title="t")}


def test_no_time_but_the_given_one_is_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_workbook(path, [SHEET], stamp=STAMP)
    with zipfile.ZipFile(path) as archive:
        assert {info.date_time for info in archive.infolist()} == {(2026, 1, 2, 3, 4, 6)}
        core = archive.read("docProps/core.xml").decode()
    assert core.count("2026-01-02T03:04:06Z") == 2
    early = workbook_bytes([SHEET], stamp=datetime(1970, 1, 1, tzinfo=UTC))
    assert early == workbook_bytes([SHEET], stamp=datetime(1980, 1, 1, tzinfo=UTC))
    assert [item.name for item in tmp_path.iterdir()] == ["r.xlsx"]


def test_headings_notes_lists_frozen_panes_and_filters_are_there(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_workbook(path, [SHEET], stamp=STAMP)
    sheet = openpyxl.load_workbook(path)["Register"]
    assert sheet.freeze_panes == "B2"
    assert sheet.auto_filter.ref == "A1:C3"
    assert sheet["A1"].comment is not None
    assert "The id." in sheet["A1"].comment.text
    (allowed,) = sheet.data_validations.dataValidation
    assert str(allowed.sqref) == "B2:B11"
    assert allowed.formula1 == "'Words'!$A$1:$A$2"
    words = openpyxl.load_workbook(path)["Words"]
    assert [words["A1"].value, words["A2"].value] == ["wall", "floor, ribbed"]


@pytest.mark.parametrize("text", ['=HYPERLINK("x")', "+1", "-1", "@SUM(A1)", "#N/A", "1e5", "007", "TRUE", "_x0041_"])
def test_a_text_stays_text_and_never_acts(tmp_path: Path, text: str) -> None:
    path = tmp_path / "r.xlsx"
    write_workbook(path, [OutSheet("S", (OutColumn("h"),), ((text,),))], stamp=STAMP)
    cell = read_workbook(path).sheets[0].cells[-1]
    assert (cell.value, cell.formula) == (text, "")
    raw = openpyxl.load_workbook(path)["S"]["A2"]
    assert raw.data_type == "s"
    assert raw.quotePrefix is (text[0] in "=+-@")
    with zipfile.ZipFile(path) as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")


@given(st.text(st.characters(codec=None), max_size=40))
def test_any_text_can_be_written_and_reads_back_as_what_is_visible(text: str) -> None:
    data = workbook_bytes([OutSheet(text, (OutColumn(text),), ((text,),))], stamp=STAMP, title=text)
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "t.xlsx")
        path.write_bytes(data)
        cells = read_workbook(path).sheets[0].cells
    assert {cell.value for cell in cells} == ({visible_text(text)} if text else set())


def test_names_of_sheets_are_made_to_fit() -> None:
    import io

    names = ["a/b:c*?", "A B C  ", "x" * 40, "x" * 40, "Words", ""]
    data = workbook_bytes([OutSheet(name, (OutColumn("h"),)) for name in names], stamp=STAMP)
    got = openpyxl.load_workbook(io.BytesIO(data)).sheetnames
    assert all(0 < len(name) <= 31 for name in got)
    assert len({name.casefold() for name in got}) == len(names)


def test_a_number_that_is_none_is_our_own_fault() -> None:
    with pytest.raises(OwnFault):
        workbook_bytes([OutSheet("S", (OutColumn("h"),), ((float("nan"),),))], stamp=STAMP)


def test_a_text_too_long_for_a_cell_is_cut_with_a_mark(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_workbook(path, [OutSheet("S", (OutColumn("h"),), (("x" * 40_000,),))], stamp=STAMP)
    value = read_workbook(path).sheets[0].cells[-1].value
    assert isinstance(value, str)
    assert len(value) == 32_767
    assert value.endswith("x…")


def test_a_sheet_for_the_program_alone_is_hidden(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    write_workbook(path, [SHEET, OutSheet("Kept", (OutColumn("x"),), [["1"]], hidden=True)], stamp=STAMP)
    book = openpyxl.load_workbook(path)
    assert [sheet.sheet_state for sheet in book.worksheets[:2]] == ["visible", "hidden"]
    assert [sheet.hidden for sheet in read_workbook(path).sheets[:2]] == [False, True]


def test_rows_are_as_high_as_their_texts_where_that_is_asked(tmp_path: Path) -> None:
    path = tmp_path / "r.xlsx"
    columns = (OutColumn("id", 10), OutColumn("note", 10, wrap=True))
    sheet = OutSheet("Typed", columns, [["a", "short"], ["b", "x" * 35]], fit_rows=True, for_typing=True)
    write_workbook(path, [sheet, replace(sheet, name="Plain", fit_rows=False, for_typing=False)], stamp=STAMP)
    book = openpyxl.load_workbook(path)
    assert book["Typed"].row_dimensions[2].height is None  # one line: the program's own height
    assert book["Typed"].row_dimensions[3].height == 4 * 15
    assert book["Typed"].page_setup.fitToWidth == 2
    assert book["Typed"].print_title_cols == "$A:$A"
    assert book["Plain"].row_dimensions[3].height is None
    assert book["Plain"].page_setup.fitToWidth == 1
