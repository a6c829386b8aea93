# SPDX-License-Identifier: Apache-2.0
"""The tracker from an empty sheet to stages that contradict a judgment, through the commands and the files alone."""

import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.sheets import schedule_bytes
from brattice.cli.main import main
from tests.helpers.jobs import ORDINARY_ROW, STAMP, Names, small_job

Cells = dict[str, Any]
APPROVED: Cells = {"Approved": date(2026, 9, 1), "Approved: who": "A. Engineer (invented)"}
ORDERED: Cells = {"Ordered": date(2026, 10, 1), "Ordered: who": "B. Buyer (invented)"}


def sheet_of(folder: Path) -> Path:
    return folder / "tracker" / "tracker.xlsx"


def filled(path: Path, to: Path, cells: dict[str, Cells]) -> Path:
    """A tracker with cells filled in, by id and heading, on whichever sheet the id stands, saved by another's hand."""
    book = openpyxl.load_workbook(path)
    for sheet in book.worksheets:
        if sheet["A1"].value != "Id":
            continue
        headings = {cell.value: at for at, cell in enumerate(sheet[1], start=1)}
        for row in range(2, sheet.max_row + 1):
            for heading, value in cells.get(str(sheet.cell(row, 1).value), {}).items():
                sheet.cell(row, headings[heading]).value = value
    book.save(to)
    return to


def shown(folder: Path) -> dict[str, dict[str, Any]]:
    """What the tracker shows of each id, by heading."""
    found: dict[str, dict[str, Any]] = {}
    for sheet in openpyxl.load_workbook(sheet_of(folder)).worksheets:
        if sheet["A1"].value == "Id":
            rows = list(sheet.iter_rows(values_only=True))
            for values in rows[1:]:
                found[str(values[0])] = {"sheet": sheet.title, **dict(zip(map(str, rows[0]), values, strict=True))}
    return found


def findings(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    return found


def codes(folder: Path, name: str = "P-0001") -> set[str]:
    items = {item["id"]: item for item in findings(folder)["penetrations"]}
    return {finding["code"] for finding in items[name]["findings"] if finding["open"]}


def schedule(folder: Path, *rows: Cells) -> None:
    """Another revision of the schedule; its first row is tied to the model, others stand in the schedule alone."""
    made = [{**ORDINARY_ROW, "maker": "Harrow & Vale (invented)", "product": "HV-10", **row} for row in rows]
    for row in made[1:]:
        del row["duct_guids"]
    (folder / "schedule" / "schedule.xlsx").write_bytes(schedule_bytes(made, stamp=STAMP))


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job of one penetration, checked, with its tracker written; to be copied, never changed."""
    folder = small_job(tmp_path_factory.mktemp("written") / "job")
    assert main(["check", str(folder)]) == 0
    assert main(["tracker", str(folder)]) == 0
    return folder


@pytest.fixture
def tracked(written: Path, tmp_path: Path) -> Path:
    """A job of one penetration, checked, with its tracker written."""
    return Path(shutil.copytree(written, tmp_path / "job"))


def take(folder: Path, *files: Path) -> int:
    return main(["tracker", str(folder), "--take", *map(str, files)])


def test_what_was_typed_is_shown_again_and_survives_each_run(tracked: Path, tmp_path: Path) -> None:
    assert (tracked / "tracker.csv").exists() is False
    typed = {**APPROVED, **ORDERED, "Zone": "East core", "Note": "crane by the stair"}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "back.xlsx", {"P-0001": typed})) == 0
    record = (tracked / "tracker.csv").read_bytes()
    for _ in range(2):
        assert main(["check", str(tracked)]) == 0
        assert main(["tracker", str(tracked)]) == 0
        row = shown(tracked)["P-0001"]
        assert {name: row[name] for name in typed} == {
            name: value if not isinstance(value, date) else row[name] for name, value in typed.items()
        }
        assert row["Approved"].date() == date(2026, 9, 1)
        assert row["Ordered"].date() == date(2026, 10, 1)
    assert (tracked / "tracker.csv").read_bytes() == record


def test_the_same_file_again_and_a_sheet_as_it_was_written_add_nothing(tracked: Path, tmp_path: Path) -> None:
    back = filled(sheet_of(tracked), tmp_path / "back.xlsx", {"P-0001": {**APPROVED, "Zone": "Z1"}})
    assert take(tracked, back) == 0
    record = (tracked / "tracker.csv").read_bytes()
    assert take(tracked, back) == 0
    assert main(["tracker", str(tracked), "--take", str(back), str(back), "--as-of", "2027-01-01"]) == 0
    main(["tracker", str(tracked)])
    assert take(tracked, sheet_of(tracked)) == 0
    assert (tracked / "tracker.csv").read_bytes() == record


def test_two_people_with_copies_of_one_sheet_both_come_in(tracked: Path, tmp_path: Path) -> None:
    one = filled(sheet_of(tracked), tmp_path / "one.xlsx", {"P-0001": APPROVED})
    two = filled(sheet_of(tracked), tmp_path / "two.xlsx", {"P-0001": {**ORDERED, "Note": "by the stair"}})
    assert take(tracked, one) == 0
    assert take(tracked, two) == 0
    main(["tracker", str(tracked)])
    row = shown(tracked)["P-0001"]
    assert (row["Approved: who"], row["Ordered: who"], row["Note"]) == (
        "A. Engineer (invented)",
        "B. Buyer (invented)",
        "by the stair",
    )


def test_an_old_copy_undoes_nothing_that_was_said_since(tracked: Path, tmp_path: Path) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "one.xlsx", {"P-0001": APPROVED}))
    main(["tracker", str(tracked)])
    old = shutil.copy(sheet_of(tracked), tmp_path / "old.xlsx")
    corrected = {"P-0001": {"Approved": date(2026, 9, 9), "Approved: who": "A. Engineer (invented)"}}
    take(tracked, filled(sheet_of(tracked), tmp_path / "new.xlsx", corrected))
    record = (tracked / "tracker.csv").read_bytes()
    assert take(tracked, Path(old)) == 0
    assert (tracked / "tracker.csv").read_bytes() == record
    late = {"P-0001": {"Approved": date(2026, 9, 5), "Approved: who": "C. Late (invented)"}}
    assert take(tracked, filled(Path(old), tmp_path / "late.xlsx", late)) == 1  # both stand, and that is asked
    assert main(["check", str(tracked)]) == 1
    assert "stage-twice-fails" in codes(tracked)
    main(["tracker", str(tracked)])
    assert shown(tracked)["P-0001"]["Approved"] == "said twice"
    assert take(tracked, sheet_of(tracked)) == 0
    settled = {"P-0001": {"Approved": date(2026, 9, 9), "Approved: who": "A. Engineer (invented)"}}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "settled.xlsx", settled)) == 0
    assert main(["check", str(tracked)]) == 0


def test_a_cleared_cell_is_asked_and_never_lost(
    tracked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "one.xlsx", {"P-0001": {**APPROVED, "Zone": "Z1"}}))
    main(["tracker", str(tracked)])
    record = (tracked / "tracker.csv").read_bytes()
    empty = {"P-0001": {"Approved": None, "Approved: who": None, "Zone": None}}
    capsys.readouterr()
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "empty.xlsx", empty)) == 1
    said = capsys.readouterr().out
    assert said.count("was cleared and stays as it was; to take it back, write 'taken back'") == 2
    assert (tracked / "tracker.csv").read_bytes() == record
    taken_back = {"P-0001": {"Approved": "Taken back", "Approved: who": "A. Engineer (invented)", "Zone": "taken back"}}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "taken.xlsx", taken_back)) == 0
    main(["tracker", str(tracked)])
    row = shown(tracked)["P-0001"]
    assert (row["Approved"], row["Approved: who"], row["Zone"]) == (None, None, None)
    assert (tracked / "tracker.csv").read_bytes().startswith(record)  # rows are only added


def test_an_order_while_outside_scope_is_shown_and_changes_no_judgment(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", Names(extra_row={"damper_width_mm": 400, "damper_height_mm": 600}))
    main(["check", str(folder)])
    (before,) = findings(folder)["penetrations"]
    assert before["state"] == "outside scope"
    main(["tracker", str(folder)])
    take(folder, filled(sheet_of(folder), tmp_path / "b.xlsx", {"P-0001": {**APPROVED, **ORDERED}}))
    assert main(["check", str(folder)]) == 1
    (after,) = findings(folder)["penetrations"]
    assert (after["state"], after["state_why"]) == (before["state"], before["state_why"])
    assert codes(folder) - {item["code"] for item in before["findings"]} == {"stage-judgment-fails"}
    assert main(["tracker", str(folder)]) == 1
    assert shown(folder)["P-0001"]["What contradicts"] == "stage-judgment-fails"


def test_a_size_that_changes_after_the_order_says_what_it_was(tracked: Path, tmp_path: Path) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "b.xlsx", {"P-0001": {**APPROVED, **ORDERED}}))
    schedule(tracked, {"reference": "FD-01", "class_text": "EI 90 (ve i↔o) S"})
    main(["check", str(tracked)])
    (item,) = findings(tracked)["penetrations"]
    (told,) = (finding["text"] for finding in item["findings"] if finding["code"] == "stage-facts-fails")
    assert "Approved on 2026-09-01 by A. Engineer (invented), ordered on 2026-10-01" in told
    assert "the class scheduled was EI 120 (ve i↔o) S, now it is EI 90 (ve i↔o) S" in told
    old = filled(sheet_of(tracked), tmp_path / "old.xlsx", {"P-0001": {**APPROVED, "Ordered": "confirmed"}})
    assert take(tracked, old) == 3  # that copy showed no order to confirm
    main(["tracker", str(tracked)])
    confirmed = {"P-0001": {"Approved": "confirmed", "Ordered": "confirmed", "Ordered: who": "D. New (invented)"}}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "c.xlsx", confirmed)) == 0
    main(["check", str(tracked)])
    assert "stage-facts-fails" not in codes(tracked)


def test_what_was_typed_survives_rows_renamed_added_and_removed(tracked: Path, tmp_path: Path) -> None:
    schedule(tracked, {"reference": "FD-01"}, {"reference": "FD-02", "storey": "Level 2"})
    main(["check", str(tracked)])
    main(["tracker", str(tracked)])
    assert {name: row["sheet"] for name, row in shown(tracked).items()} == {"P-0001": "Level 1", "P-0002": "Level 2"}
    typed = {"P-0001": APPROVED, "P-0002": {**APPROVED, "Note": "riser"}}
    take(tracked, filled(sheet_of(tracked), tmp_path / "b.xlsx", typed))
    schedule(tracked, {"reference": "FD-1001"}, {"reference": "FD-09", "storey": "Level 2"})  # renamed; another row
    assert main(["check", str(tracked)]) == 1
    main(["tracker", str(tracked)])
    rows = shown(tracked)
    assert rows["P-0001"]["Approved: who"] == "A. Engineer (invented)"
    assert rows["P-0001"]["References"] == "FD-1001"
    assert rows["P-0003"]["Approved"] is None
    assert (rows["P-0002"]["sheet"], rows["P-0002"]["Note"], rows["P-0002"]["Judgment"]) == (
        "Retired",
        "riser",
        "retired",
    )
    (told,) = (item for item in findings(tracked)["job_findings"] if item["code"] == "stage-retired-fails")
    assert told["subject"] == "P-0002"
    assert "FD-02" in told["text"]
    back = {"P-0002": {"Approved": "taken back"}}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "r.xlsx", back)) == 0
    main(["check", str(tracked)])
    assert not any(item["code"] == "stage-retired-fails" for item in findings(tracked)["job_findings"])


def test_what_was_typed_survives_a_new_model(tracked: Path, tmp_path: Path) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "b.xlsx", {"P-0001": APPROVED}))
    model = tracked / "models" / "building.ifc"
    text = model.read_text("utf-8")
    model.write_text(text.replace("'Duct 1'", "'Duct 1 again'"), "utf-8")
    assert text != model.read_text("utf-8")
    assert main(["check", str(tracked)]) == 0
    main(["tracker", str(tracked)])
    assert shown(tracked)["P-0001"]["Approved: who"] == "A. Engineer (invented)"


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"Ordered": date(2026, 11, 3)}, "after 2026-11-02"),
        ({"Ordered": "1/10/26"}, "a date in a date cell, or a text like 2026-03-01 or taken back"),
        ({"Ordered: who": "B. Buyer (invented)"}, "without a date"),
        ({"Ordered": "taken back"}, "where nothing stood"),
        ({"Ordered": "confirmed"}, "where no one date stood"),
        ({"Ordered": "said twice"}, "'said twice'"),
        ({"Ordered": "=TODAY()"}, "formula"),
        ({"Id": "P-0099"}, "P-0099"),
        ({"Note": "x" * 2001}, "2001 characters"),
    ],
)
def test_what_is_wrong_is_said_with_its_place_and_nothing_is_taken(
    tracked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], cells: Cells, said: str
) -> None:
    back = filled(sheet_of(tracked), tmp_path / "back.xlsx", {"P-0001": {**APPROVED, **cells}})
    assert take(tracked, back) == 3
    error = capsys.readouterr().err
    assert said in error
    assert "sheet 'Level 1', row 2" in error
    assert "Traceback" not in error
    assert not (tracked / "tracker.csv").exists()


def test_a_date_on_the_day_it_is_taken_is_taken(tracked: Path, tmp_path: Path) -> None:
    cells = {"Delivered": date(2026, 11, 2), "Delivered: who": "B. Buyer (invented)"}
    assert take(tracked, filled(sheet_of(tracked), tmp_path / "back.xlsx", {"P-0001": cells})) == 0


def test_faults_of_all_files_come_at_once(tracked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = filled(sheet_of(tracked), tmp_path / "one.xlsx", {"P-0001": {"Ordered": date(2027, 1, 1), "Fixed: who": "x"}})
    book = openpyxl.load_workbook(sheet_of(tracked))
    del book["Written with"]
    book.save(tmp_path / "two.xlsx")
    (tmp_path / "three.xlsx").write_bytes(b"PK\x03\x04 rubbish")
    other = small_job(tmp_path / "other", Names(job="Another job"))
    main(["check", str(other)])
    main(["tracker", str(other)])
    capsys.readouterr()
    assert take(tracked, one, tmp_path / "two.xlsx", tmp_path / "three.xlsx", sheet_of(other)) == 3
    error = capsys.readouterr().err
    for part in ("two.xlsx", "three.xlsx", "Another job"):
        assert part in error
    assert take(tracked, one) == 3
    error = capsys.readouterr().err
    assert "2027-01-01" in error
    assert "without a date" in error


def test_a_sheet_that_was_filled_in_where_it_lies_is_never_lost(tracked: Path) -> None:
    filled(sheet_of(tracked), sheet_of(tracked), {"P-0001": APPROVED})
    typed = sheet_of(tracked).read_bytes()
    main(["tracker", str(tracked)])
    kept = tracked / "tracker" / "tracker (kept).xlsx"
    assert kept.read_bytes() == typed
    assert take(tracked, kept) == 0
    main(["tracker", str(tracked)])
    assert shown(tracked)["P-0001"]["Approved: who"] == "A. Engineer (invented)"


def test_the_same_tracker_has_the_same_bytes(tracked: Path, tmp_path: Path) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "b.xlsx", {"P-0001": {**APPROVED, "Zone": "Z1"}}))
    main(["tracker", str(tracked)])
    first = sheet_of(tracked).read_bytes()
    other = shutil.copytree(tracked, tmp_path / "elsewhere")
    main(["tracker", str(other)])
    assert sheet_of(other).read_bytes() == first


def test_a_spoilt_record_stops_the_check_with_row_and_column(
    tracked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    take(tracked, filled(sheet_of(tracked), tmp_path / "b.xlsx", {"P-0001": APPROVED}))
    path = tracked / "tracker.csv"
    spoilt = path.read_text("utf-8").replace("2026-09-01", "2026-09-02", 1)
    path.write_text(spoilt, "utf-8")
    assert main(["check", str(tracked)]) == 3
    assert "tracker.csv: row 2, column 'entry'" in capsys.readouterr().err
    assert path.read_text("utf-8") == spoilt


def test_words_that_the_command_does_not_take(tracked: Path) -> None:
    assert main(["tracker", str(tracked), "--take"]) == 64
    assert main(["tracker", str(tracked), str(sheet_of(tracked))]) == 64


HOSTILE = "'=cmd|' /C calc'!A0 \u202e_x0041_ <b>&'"


def test_hostile_names_go_through_the_whole_round(tmp_path: Path) -> None:
    names = Names(job="=1+1 <b>", storey="History", words="=2", reference="@x", product="+HV _x0041_ <b>")
    folder = small_job(tmp_path / "job", names)
    main(["check", str(folder)])
    main(["tracker", str(folder)])
    (row,) = shown(folder).values()
    assert row["sheet"] == "Level History"
    typed = {**APPROVED, "Approved: who": HOSTILE, "Zone": HOSTILE, "Note": HOSTILE}
    assert take(folder, filled(sheet_of(folder), tmp_path / "b.xlsx", {"P-0001": typed})) == 0
    main(["check", str(folder)])
    main(["tracker", str(folder)])
    record = (folder / "tracker.csv").read_bytes()
    assert take(folder, sheet_of(folder)) == 0
    assert (folder / "tracker.csv").read_bytes() == record
    assert "stage-facts-fails" not in codes(folder)
    for line in record.decode("utf-8").splitlines():
        assert not any(cell.startswith(("=", "+", "@")) for cell in line.replace('"', "").split(","))
