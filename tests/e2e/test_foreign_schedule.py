# SPDX-License-Identifier: Apache-2.0
"""A messy workbook of somebody else, a proposed mapping, and answers: through the commands alone."""

import json
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.cli.main import main

ROWS: list[list[Any]] = [
    ["FD-01", "L03", "600x400", "Supply", "2hr", "600 × 400", "EI 120 S", "fusible link", "Y"],
    ["FD-02", None, "Ø315", "Kitchen extract", "120 mins", "315 dia", "-/60/60", "Motorised 24V", "N"],
    ["LEVEL 4"],
    ["FD-03", "L04", "W600 H400", "toilet extract", "EI 60", "400x600", "EI120S", "fusible link 72°C", None],
    ["Total", 3],
]


def theirs(path: Path, rows: list[list[Any]], columns: list[int] | None = None) -> None:
    """A workbook with a title, two rows of headings with merged groups, a merged level and a hidden row."""
    order = columns or list(range(9))
    groups = [None, None, "Duct", "Duct", "Wall", "Damper", None, None, None]
    heads = ["Damper Ref", "Level", "Size (WxH)", "System", "Fire rating", "Size (WxH)", "Damper class", "Actuation",
             "Access panel"]  # fmt: skip
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "FD schedule"
    sheet["A1"] = "Invented Tower: fire damper schedule"
    sheet.merge_cells("A1:I1")
    table: list[list[Any]] = [groups, heads, *rows]
    for row, values in enumerate(table, start=3):
        for column, at in enumerate(order, start=1):
            if at < len(values) and values[at] is not None:
                sheet.cell(row, column, values[at])
    if columns is None:
        sheet.merge_cells("B5:B6")
        sheet.merge_cells("C3:D3")
        sheet.row_dimensions[8].hidden = True
    book.save(path)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    (folder / "schedule").mkdir(parents=True)
    theirs(folder / "schedule" / "fd.xlsx", ROWS)
    (folder / "brattice.toml").write_text(
        """schema = 1
name = "Invented Tower"
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2026"
as_of = 2026-11-02
purpose = "non-residential"
schedules = ["schedule/fd.xlsx"]
invented = true
""",
        "utf-8",
    )
    return folder


def answers(folder: Path) -> dict[str, Any]:
    told = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    return {item["aliases"][0]["text"]: item for item in told["penetrations"]}


def test_a_messy_workbook_and_its_mapping_give_answers(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = job / "schedule" / "fd.xlsx"
    kept = job / "schedule" / "fd.mapping.toml"
    assert main(["mapping", str(sheet), "-o", str(kept)]) == 0, capsys.readouterr().err
    assert main(["mapping", str(sheet), "-o", str(kept)]) == 3  # never over a file that a person may have changed
    assert main(["check", str(job)]) == 1
    captured = capsys.readouterr()
    assert "Traceback" not in captured.err
    told = answers(job)
    assert sorted(told) == ["FD-01", "FD-02", "FD-03"]
    codes = {name: {(f["code"], f["open"]) for f in item["findings"]} for name, item in told.items()}
    assert ("damper-size-fails", True) in codes["FD-03"]  # 400 × 600 in a duct of 600 × 400 is turned
    assert ("damper-size-fails", True) not in codes["FD-01"]
    cells = {cell["origin"]["cells"][0]: cell for cell in told["FD-02"]["unread"]}
    assert cells["H6"]["found"] == "Motorised 24V"
    assert cells["D6"]["origin"]["place"] == "sheet 'FD schedule', row 6, column 'Duct / System'"
    named = [f["origins"][0]["cells"] for f in told["FD-02"]["findings"] if f["code"] == "cell-unknown"]
    assert sorted(named) == [[name] for name in sorted(cells)]
    assert told["FD-02"]["row"] == {"file": "schedule/fd.xlsx", "sheet": "FD schedule", "number": 6}
    of_job = json.loads((job / "out" / "findings.json").read_text("utf-8"))["job_findings"]
    assert [f["have"] for f in of_job if f["code"] == "row-note"] == ["LEVEL 4", "Total; 3"]
    inputs = json.loads((job / "out" / "findings.json").read_text("utf-8"))["inputs"]
    notes = {item["path"]: "\n".join(item["notes"]) for item in inputs}
    assert f"{len(cells)} cells not read; each is a finding of its row" in notes["schedule/fd.xlsx"]
    assert "schedule/fd.mapping.toml" in notes


def test_the_next_revision_is_read_by_the_same_mapping(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["mapping", str(job / "schedule" / "fd.xlsx"), "-o", str(job / "schedule" / "fd.mapping.toml")]) == 0
    kept = (job / "schedule" / "fd.mapping.toml").read_text("utf-8")
    kept = kept.replace("Duct / Size (WxH)", "Ductwork size").replace("Duct / System", "System")
    (job / "schedule" / "fd.mapping.toml").write_text(kept, "utf-8")
    assert main(["check", str(job)]) == 3
    told = capsys.readouterr().err
    assert "no heading 'Ductwork size'" in told
    assert "is it now 'Duct / Size (WxH)'?" in told
    assert not (job / "out").exists()


def test_without_a_mapping_the_workbook_is_refused_as_before(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(job)]) == 3
    assert "Reference" in capsys.readouterr().err


def test_a_csv_is_mapped_to_stdout_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "theirs.csv"
    path.write_text("Damper ref,Level,Size\nFD-01,L01,600x400\n", "utf-8")
    assert main(["mapping", str(path)]) == 1  # "Size" leaves a choice
    captured = capsys.readouterr()
    assert captured.out.startswith("# How theirs.csv is read.")
    assert "to settle: 'Size'" in captured.err


def test_a_sheet_that_is_no_schedule_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "other.csv"
    path.write_text("a,b\n1,2\n", "utf-8")
    assert main(["mapping", str(path)]) == 3
    assert "no row that looks like the headings" in capsys.readouterr().err
    shutil.copy(path, tmp_path / "other.xlsx")
    assert main(["mapping", str(tmp_path / "other.xlsx")]) == 3
