# SPDX-License-Identifier: Apache-2.0
from pathlib import Path

import openpyxl
import pytest

from brattice.adapters.evidence import DOCUMENTS, INSTALLATIONS, load_evidence
from brattice.adapters.project import read_job
from brattice.adapters.rows import shipped_book
from brattice.adapters.sheets import SCHEDULE, WALL_TYPES, read_schedules, read_wall_types
from brattice.adapters.workbook import column_letter
from brattice.classes import ClassSteps
from brattice.cli.main import main
from brattice.errors import InputError


def test_new_makes_a_job_that_reads_with_sheets_that_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "job"
    assert main(["new", str(job), "--name", "Invented House", "--as-of", "2026-03-01"]) == 0
    read = read_job(job)
    assert read.job.name == "Invented House"
    # trade handbook row 4.30: the amendments in force from 2 March 2025
    assert read.job.rules.edition == "ADB 2019 with amendments to 2025"
    assert read_schedules([(job / name, name) for name in read.job.schedules]).rows == ()
    assert read_wall_types([(job / name, name) for name in read.job.wall_type_sheets]).wall_types == ()
    assert capsys.readouterr().out == ""
    assert main(["new", str(job)]) == 3
    assert "already there" in capsys.readouterr().err


def test_new_is_the_same_in_two_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1790000000")
    for parent in ("a", "b"):
        assert main(["new", str(tmp_path / parent / "job")]) == 0
    for path in sorted((tmp_path / "a").rglob("*")):
        other = tmp_path / "b" / path.relative_to(tmp_path / "a")
        assert path.is_dir() or path.read_bytes() == other.read_bytes()
    # 1790000000 s after 1970-01-01 is 2026-09-21 (20,717 days of 86,400 s)
    assert read_job(tmp_path / "a" / "job").job.rules.on.isoformat() == "2026-09-21"


@pytest.mark.parametrize(("kind", "spec"), [("schedule", SCHEDULE), ("wall-types", WALL_TYPES)])
def test_a_template_has_headings_notes_lists_and_instructions(tmp_path: Path, kind: str, spec: object) -> None:
    path = tmp_path / "t.xlsx"
    assert main(["template", kind, str(path)]) == 0
    assert main(["template", kind, str(path)]) == 3
    book = openpyxl.load_workbook(path)
    columns = (SCHEDULE if spec is SCHEDULE else WALL_TYPES).columns
    sheet = book.worksheets[0]
    assert [cell.value for cell in sheet[1]] == [column.heading for column in columns]
    assert all(cell.comment is not None for cell in sheet[1])
    lists = {str(item.sqref).split(":")[0] for item in sheet.data_validations.dataValidation}
    chosen = {"one word of the list", "yes or no"}
    kinds = {f"{column_letter(at)}2" for at, column in enumerate(columns, start=1) if column.kind in chosen}
    assert lists == kinds
    told = {cell.value for cell in book["Instructions"]["A"]}
    assert {column.heading for column in columns} <= told


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["template", "schedule", "x.csv"], 3),
        (["template", "schedule", "no/such/folder/x.xlsx"], 3),
        (["template", "register", "x.xlsx"], 64),
        (["template"], 64),
        (["template", "schedule", "x.xlsx", "--as-of", "soon"], 64),
        (["new"], 64),
    ],
)
def test_wrong_calls(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], code: int) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(arguments) == code
    assert list(tmp_path.iterdir()) == []


def test_a_broken_epoch_is_wrong_usage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    assert main(["template", "schedule", str(tmp_path / "x.xlsx")]) == 64


def test_the_template_of_tested_installations_has_both_sheets_and_asks_for_rows(tmp_path: Path) -> None:
    path = tmp_path / "evidence.xlsx"
    assert main(["template", "evidence", str(path)]) == 0
    book = openpyxl.load_workbook(path)
    for number, columns in enumerate((INSTALLATIONS.columns, DOCUMENTS.columns)):
        assert [cell.value for cell in book.worksheets[number][1]] == [column.heading for column in columns]
    steps = ClassSteps.from_book(shipped_book())
    with pytest.raises(InputError, match="found no row; expected at least one tested installation"):
        load_evidence(tmp_path, ["evidence.xlsx"], steps)


def test_a_new_job_can_be_checked_at_once_and_nothing_judged_is_no_pass(tmp_path: Path) -> None:
    job = tmp_path / "job"
    assert main(["new", str(job), "--as-of", "2026-11-02"]) == 0
    assert main(["check", str(job)]) == 1
    assert (job / "out" / "findings.json").exists()
