# SPDX-License-Identifier: Apache-2.0
"""`brattice reconcile` on whole job folders: what is printed, what is written, and what is refused."""

import csv
import io
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.report.reconciled import RECONCILED_COLUMNS
from brattice.cli.main import main
from brattice.cli.reconcile import reconcile_of
from brattice.errors import InputError, UsageError
from brattice.usecases.report_model import CAUTIONS
from tests.helpers.jobs import small_job
from tests.helpers.schedule_jobs import damper_row, schedule_job, write_rows


def quiet(_text: str) -> None:
    return None


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Three dampers, of which the earlier revision has one less, one in another size and one elsewhere."""
    rows = [damper_row(f"FD-0{number}", words=f"grid B/{number}") for number in (1, 2, 3)]
    return schedule_job(tmp_path / "job", rows)


@pytest.fixture
def before(tmp_path: Path) -> Path:
    rows = [
        damper_row("FD-01", words="grid B/1", duct_width_mm=400, duct_height_mm=600),
        damper_row("FD-02", words="grid B/2", storey="Level 2"),
        damper_row("FD-09", words="grid Z/9", storey="Level 7"),
    ]
    return write_rows(tmp_path / "earlier" / "rev A.xlsx", rows)


def snapshot(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def sheets(path: Path) -> dict[str, list[list[Any]]]:
    book = openpyxl.load_workbook(path)
    return {sheet.title: [list(row) for row in sheet.iter_rows(values_only=True)] for sheet in book}


def test_a_revision_is_told_in_words_in_a_workbook_and_as_data(
    job: Path, before: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    untouched = snapshot(job)
    table = tmp_path / "table.csv"
    assert main(["reconcile", str(job), "--before", str(before), "--csv", str(table)]) == 1
    told = capsys.readouterr().out
    assert "2  matched, something differs" in told
    assert "FD-01: 400 × 600 -> 600 × 400 (width and height are exchanged)" in told
    assert "FD-02: Level 2 -> Level 1" in told
    assert "1  only in the revision before, removed: FD-09" in told
    assert "1  only in the revision now, added: FD-03" in told
    after = snapshot(job)
    written = after.pop("reconcile/revisions.xlsx")
    assert written
    assert after == untouched
    found = sheets(job / "reconcile" / "revisions.xlsx")
    assert list(found) == [
        "Summary", "Differs", "Proposed", "Only before", "Only now", "Matched", "How it was matched",
    ]  # fmt: skip
    assert [row[1] for row in found["Only before"]] == ["Name", "FD-09"]
    assert [(row[0], row[4], row[5]) for row in found["Differs"][1:]] == [
        ("FD-01", "400 × 600", "600 × 400"),
        ("FD-02", "Level 2", "Level 1"),
    ]
    said = [str(cell) for row in found["Summary"] for cell in row]
    assert all(caution in said for caution in CAUTIONS)
    rows = list(csv.DictReader(io.StringIO(table.read_text("utf-8"))))
    assert list(rows[0]) == list(RECONCILED_COLUMNS)
    assert [row["kind"] for row in rows if row["kind"] != "caution"] == [
        "matched", "difference", "matched", "difference", "only-one", "only-other",
    ]  # fmt: skip


def test_csv_on_stdout_is_data_alone(job: Path, before: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["reconcile", str(job), "--before", str(before), "--csv", "-"]) == 1
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    assert tuple(rows[0]) == RECONCILED_COLUMNS
    assert {len(row) for row in rows} == {len(RECONCILED_COLUMNS)}


def test_a_revision_that_is_the_same_ends_with_0(job: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.xlsx"
    shutil.copy(job / "schedule" / "schedule.xlsx", copy)
    assert main(["reconcile", str(job), "--before", str(copy), "-o", str(tmp_path / "elsewhere")]) == 0
    assert (tmp_path / "elsewhere" / "revisions.xlsx").exists()
    assert not (job / "reconcile").exists()


def test_the_same_job_gives_the_same_bytes(job: Path, before: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1790000000")
    main(["reconcile", str(job), "--before", str(before)])
    first = (job / "reconcile" / "revisions.xlsx").read_bytes()
    main(["reconcile", str(job), "--before", str(before)])
    assert (job / "reconcile" / "revisions.xlsx").read_bytes() == first


def test_a_schedule_and_its_model(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job")
    untouched = snapshot(job)
    code = main(["reconcile", str(job)])
    told = capsys.readouterr()
    assert "Traceback" not in told.err
    result = reconcile_of(job, quiet)
    assert len(result.matched) == 1
    assert code == int(result.something_differs)
    after = snapshot(job)
    assert after.pop("reconcile/reconciliation.xlsx")
    assert after == untouched  # no ledger, no list of queries, no outputs
    found = sheets(job / "reconcile" / "reconciliation.xlsx")
    assert list(found) == [
        "Summary", "Differs", "Proposed", "Only in schedule", "Only in model", "Dampers", "Matched",
        "How it was matched",
    ]  # fmt: skip


def test_the_workbook_prints_across_with_its_headings_on_each_page(job: Path, before: Path) -> None:
    main(["reconcile", str(job), "--before", str(before)])
    for sheet in openpyxl.load_workbook(job / "reconcile" / "revisions.xlsx"):
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.fitToWidth == 1


def broken(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path


def test_what_can_t_be_read_is_named_and_nothing_is_written(
    job: Path, before: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong_sheet = tmp_path / "other.xlsx"
    book = openpyxl.Workbook()
    book.active.title = "Prices"  # type: ignore[union-attr]
    book.save(wrong_sheet)
    bad_mapping = broken(tmp_path / "bad.mapping.toml", b"schema = 1\nnothing = true\n")
    cases = [
        ([str(tmp_path / "gone.xlsx")], "gone.xlsx"),
        ([str(broken(tmp_path / "noise.xlsx", b"\0\1\2 no archive"))], "noise.xlsx"),
        ([str(wrong_sheet)], "other.xlsx"),
        ([str(before), "--mapping", str(tmp_path / "no.mapping.toml")], "no.mapping.toml"),
        ([str(before), "--mapping", str(bad_mapping)], "bad.mapping.toml"),
    ]
    for arguments, named in cases:
        assert main(["reconcile", str(job), "--before", *arguments]) == 3, arguments
        told = capsys.readouterr()
        assert named in told.err
        assert "Traceback" not in told.err
        assert told.out == ""
    assert not (job / "reconcile").exists()


def test_a_mapping_of_another_sheet_says_which_headings_are_missing(
    job: Path, before: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mapping = tmp_path / "theirs.mapping.toml"
    mapping.write_text(
        'schema = 1\nsheets = ["Schedule"]\nheading_rows = 1\nhidden_rows = "read"\nmerged_cells = "not read"\n'
        'formulas = "not read"\n[[column]]\nheading = "Reference"\nkey = "reference"\n'
        '[[column]]\nheading = "Level of theirs"\nkey = "storey"\n',
        "utf-8",
    )
    assert main(["reconcile", str(job), "--before", str(before), "--mapping", str(mapping)]) == 3
    assert "no heading 'Level of theirs'" in capsys.readouterr().err
    mapping.write_text(mapping.read_text("utf-8").replace("Level of theirs", "Storey"), "utf-8")
    assert main(["reconcile", str(job), "--before", str(before), "--mapping", str(mapping)]) == 1
    mapping.write_text(mapping.read_text("utf-8").replace('"Schedule"', '"Dampers"'), "utf-8")
    assert main(["reconcile", str(job), "--before", str(before), "--mapping", str(mapping)]) == 3
    assert "a sheet named 'Dampers'" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["--schedule", "schedule/schedule.xlsx"], ["--mapping", "x.toml"]])
def test_options_of_a_revision_without_one_are_wrong_usage(job: Path, arguments: list[str]) -> None:
    assert main(["reconcile", str(job), *arguments]) == 64


def test_the_schedule_that_is_meant_has_to_be_one_of_the_job(job: Path, before: Path) -> None:
    with pytest.raises(UsageError, match=r"schedule/schedule\.xlsx"):
        reconcile_of(job, quiet, before=before, schedule="schedule/other.xlsx")
    write_rows(job / "schedule" / "more.xlsx", [damper_row("FD-09", words="grid Z/9", storey="Level 7")])
    text = (job / "brattice.toml").read_text("utf-8")
    text = text.replace('"schedule/schedule.xlsx"', '"schedule/schedule.xlsx", "schedule/more.xlsx"')
    (job / "brattice.toml").write_text(text, "utf-8")
    with pytest.raises(UsageError, match="--schedule"):
        reconcile_of(job, quiet, before=before)
    result = reconcile_of(job, quiet, before=before, schedule="schedule/more.xlsx")
    assert [(pair.one.name, pair.differences) for pair in result.pairs] == [("FD-09", ())]
    assert sorted(item.entry.name for item in result.only_one) == ["FD-01", "FD-02"]


def test_a_job_without_a_schedule_has_no_revision(job: Path, before: Path) -> None:
    text = (job / "brattice.toml").read_text("utf-8")
    (job / "brattice.toml").write_text(
        text.replace('schedules = ["schedule/schedule.xlsx"]', "schedules = []"), "utf-8"
    )
    with pytest.raises(InputError, match="without a schedule"):
        reconcile_of(job, quiet, before=before)


def test_the_table_never_takes_the_place_of_an_input(job: Path, before: Path) -> None:
    for target in (before, job / "schedule" / "schedule.xlsx"):
        data = target.read_bytes()
        assert main(["reconcile", str(job), "--before", str(before), "--csv", str(target)]) == 64
        assert target.read_bytes() == data


def test_names_that_would_act_in_a_table_stay_text(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hostile = write_rows(tmp_path / "hostile.xlsx", [damper_row("=1+1", words="@SUM(A1)", storey="Level 9")])
    assert main(["reconcile", str(job), "--before", str(hostile), "--csv", "-"]) == 1
    cells = [cell for row in csv.reader(io.StringIO(capsys.readouterr().out)) for cell in row]
    assert [cell for cell in cells if cell.startswith(("=", "@", "+"))] == []
    book = openpyxl.load_workbook(job / "reconcile" / "revisions.xlsx")
    assert {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row} <= {"s", "n"}


def test_a_folder_that_can_t_be_written_is_named(job: Path, before: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", "utf-8")
    assert main(["reconcile", str(job), "--before", str(before), "-o", str(tmp_path / "file")]) == 3
