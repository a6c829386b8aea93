# SPDX-License-Identifier: Apache-2.0
"""The schedule of the second demo comes back with columns added, which say what `findings.json` says, and the copy
can be the next revision.
"""

import json
import shutil
from collections import defaultdict
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.workbook import ADDED
from brattice.cli.main import main
from tests.messy.conftest import MessyJob

FILE = "schedule/fd-schedule.xlsx"
SHEET = "FD schedule"
LOOK = ("number_format", "font", "fill", "border", "alignment", "protection")


@pytest.fixture(scope="module")
def checked(messy_job: MessyJob, tmp_path_factory: pytest.TempPathFactory) -> Path:
    job = tmp_path_factory.mktemp("back") / "job"
    shutil.copytree(messy_job.folder, job)
    assert main(["check", str(job)]) == 1
    return job


def answers(job: Path) -> Any:
    return json.loads((job / "out" / "findings.json").read_text("utf-8"))


def added(job: Path) -> dict[int, dict[str, str]]:
    """What the added columns say, by row and key."""
    sheet: Any = openpyxl.load_workbook(job / "out" / FILE)[SHEET]
    headings = {cell.value: cell.column for cell in sheet[answers(job)["schedule_sheets"][0]["headings_at"]]}
    at = {column.key: headings[column.heading] for column in ADDED if column.heading in headings}
    return {
        row: {key: sheet.cell(row, column).value or "" for key, column in at.items()}
        for row in range(1, sheet.max_row + 1)
    }


def test_nothing_of_theirs_is_changed(checked: Path, messy_job: MessyJob) -> None:
    before = openpyxl.load_workbook(checked / FILE)
    after = openpyxl.load_workbook(checked / "out" / FILE)
    assert (checked / FILE).read_bytes() == (messy_job.folder / FILE).read_bytes()
    assert after.sheetnames == [*before.sheetnames, "Brattice notes"]
    for sheet in before.worksheets:
        other: Any = after[sheet.title]
        for place, cell in sheet._cells.items():
            same = other._cells[place]
            assert (cell.value, cell.data_type) == (same.value, same.data_type)
            assert all(repr(getattr(cell, look)) == repr(getattr(same, look)) for look in LOOK)
        assert {str(area) for area in sheet.merged_cells.ranges} == {str(area) for area in other.merged_cells.ranges}
        assert {row for row, size in sheet.row_dimensions.items() if size.hidden} == {
            row for row, size in other.row_dimensions.items() if size.hidden
        }
        assert (sheet.freeze_panes, sheet.auto_filter.ref) == (other.freeze_panes, other.auto_filter.ref)


def test_every_added_text_is_that_of_findings_json(checked: Path) -> None:
    found = answers(checked)
    told = added(checked)
    rows = {item["row"]["number"]: item for item in found["penetrations"]}
    assert len(rows) == 150
    for number, texts in told.items():
        if number not in rows:
            assert number <= found["schedule_sheets"][0]["headings_at"] or set(texts.values()) == {""}
            continue
        item = rows[number]
        assert (texts["id"], texts["state"]) == (item["id"], item["state"])
        assert texts["findings"].split("\n") == list(
            dict.fromkeys(f"{f['code']}{'' if f['open'] else ' (noted)'}: {f['text']}" for f in item["findings"])
        )
        queries = [f"{query['number']} ({query['state']}) {query['ask']}" for query in item["queries"]]
        assert texts["queries"].split("\n") == (queries or [""])
        for cell in item["unread"]:
            assert f"{cell['found']!r}; expected: {cell['expected']}" in texts["unread"]
        assert texts["unread"] != "" or item["unread"] == []
        assert texts["class"] != ""
        assert texts["actuation"] != ""


def test_cells_that_were_not_read_have_a_note(checked: Path) -> None:
    sheet: Any = openpyxl.load_workbook(checked / "out" / FILE)[SHEET]
    expected: dict[str, list[str]] = defaultdict(list)
    for item in answers(checked)["penetrations"]:
        for cell in item["unread"]:
            for name in cell["origin"]["cells"]:
                expected[name].append(cell["expected"])
    assert len(expected) > 10
    for name, texts in expected.items():
        assert all(text in sheet[name].comment.text for text in texts)


def test_the_last_sheet_names_cautions_states_and_the_rows_passed_over(checked: Path) -> None:
    found = answers(checked)
    sheet: Any = openpyxl.load_workbook(checked / "out" / FILE)["Brattice notes"]
    told = list(sheet.iter_rows(values_only=True))
    assert [text for what, text in told if what == "Caution"] == found["cautions"]
    assert {what for what, _ in told if what and what.startswith("State: ")} == {
        f"State: {state}" for state in found["counts"]
    }
    passed = [text for what, text in told if what == "Row passed over"]
    assert [text.split(": ")[0] for text in passed] == [
        f"Sheet '{SHEET}', row {row['number']}" for row in found["schedule_sheets"][0]["passed"]
    ]


def test_the_copy_is_read_as_the_next_revision(
    checked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = answers(checked)
    job = tmp_path / "job"
    shutil.copytree(checked, job)
    shutil.copyfile(job / "out" / FILE, job / FILE)
    assert main(["check", str(job)]) == 1
    capsys.readouterr()
    again = answers(job)
    assert again["penetrations"] == first["penetrations"]
    assert again["schedule_sheets"] == first["schedule_sheets"]
    assert [item["notes"] for item in again["inputs"]] == [item["notes"] for item in first["inputs"]]
    assert added(job) == added(checked)
    book = openpyxl.load_workbook(job / "out" / FILE)
    assert book.sheetnames == [*openpyxl.load_workbook(checked / "out" / FILE).sheetnames]
    before = openpyxl.load_workbook(checked / "out" / FILE)[SHEET]
    notes = {place: cell.comment.text for place, cell in before._cells.items() if cell.comment}
    after = {place: cell.comment.text for place, cell in book[SHEET]._cells.items() if cell.comment}
    assert after == notes


def test_the_command_names_the_copy(checked: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(checked)]) == 1
    assert str(checked / "out" / FILE) in capsys.readouterr().out


def test_the_copy_is_listed_and_the_same_each_time(checked: Path) -> None:
    before = (checked / "out" / FILE).read_bytes()
    assert main(["check", str(checked)]) == 1
    assert (checked / "out" / FILE).read_bytes() == before
    listed = json.loads((checked / "out" / "manifest.json").read_text("utf-8"))["files"]
    assert FILE in {item["path"] for item in listed}


@pytest.mark.parametrize(
    ("most", "asked", "is_made"), [(150, False, True), (149, False, False), (149, True, True)], ids=str
)
def test_a_large_workbook_is_copied_when_it_is_asked_for(
    checked: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    most: int,
    asked: bool,
    is_made: bool,
) -> None:
    """The schedule has 150 rows; with a limit of so many it is large or not."""
    monkeypatch.setattr("brattice.adapters.report.sheet_back.LARGE", most)
    assert main(["check", str(checked), *(["--copies"] if asked else [])]) == 1
    told = capsys.readouterr()
    assert (checked / "out" / FILE).exists() is is_made
    assert ("your schedule with columns added" in told.out) is is_made
    assert ("has 150 rows: no copy with columns added was made; `brattice check JOB --copies`" in told.err) is (
        not is_made
    )
