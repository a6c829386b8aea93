# SPDX-License-Identifier: Apache-2.0
"""Every output says the same of the same penetration, is made twice with equal bytes, and carries the cautions."""

import json
from pathlib import Path

import openpyxl

from brattice.adapters.report import OUTPUTS, write_outputs
from tests.helpers.outputs import HtmlShape, Told, from_csv, from_html, from_json, from_model, from_xlsx
from tests.helpers.reports import PLANTED, sample_report

EPOCH = 1_788_220_800  # 2026-09-01


def told(folder: Path) -> dict[str, Told]:
    return {
        "findings.json": from_json((folder / "findings.json").read_bytes()),
        "report.html": from_html((folder / "report.html").read_bytes()),
        "register.csv": from_csv((folder / "register.csv").read_bytes()),
        "register.xlsx": from_xlsx((folder / "register.xlsx").read_bytes()),
    }


def test_ids_states_and_finding_codes_are_the_same_in_every_output(tmp_path: Path) -> None:
    report = sample_report()
    write_outputs(report, tmp_path, epoch=EPOCH)
    expected = from_model(report)
    assert expected.states == {name: str(state) for name, state in PLANTED.items()}
    assert any(expected.open_codes.values())
    assert any(expected.other_codes.values())
    for name, answer in told(tmp_path).items():
        assert answer == expected, name


def test_the_files_written_are_the_files_told(tmp_path: Path) -> None:
    files = write_outputs(sample_report(), tmp_path, epoch=EPOCH)
    assert [file.name for file in files] == list(OUTPUTS) == sorted(file.name for file in tmp_path.iterdir())


def test_the_same_report_gives_the_same_bytes(tmp_path: Path) -> None:
    written = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        files = write_outputs(sample_report(), tmp_path / name, epoch=EPOCH)
        written.append([file.read_bytes() for file in files])
    assert written[0] == written[1]


def test_the_cautions_stand_in_every_output(tmp_path: Path) -> None:
    report = sample_report()
    write_outputs(report, tmp_path, epoch=EPOCH)
    book = openpyxl.load_workbook(tmp_path / "register.xlsx")
    sheet = {cell for row in book["Read me"].iter_rows(values_only=True) for cell in row}
    table = (tmp_path / "register.csv").read_text("utf-8-sig")
    found = json.loads((tmp_path / "findings.json").read_bytes())
    page = HtmlShape((tmp_path / "report.html").read_text("utf-8")).all_text
    for caution in report.cautions:
        assert caution in page
        assert caution in sheet
        assert caution in table
        assert caution in found["cautions"]


def test_a_lowered_requirement_and_an_accepted_deviation_stand_in_every_output(tmp_path: Path) -> None:
    write_outputs(sample_report(), tmp_path, epoch=EPOCH)
    book = openpyxl.load_workbook(tmp_path / "register.xlsx")
    sheet = " ".join(str(cell) for row in book["Read me"].iter_rows(values_only=True) for cell in row)
    found = json.loads((tmp_path / "findings.json").read_bytes())
    page = HtmlShape((tmp_path / "report.html").read_text("utf-8")).all_text
    for name, document in (("R. Sandling", "FS-014 Fire strategy note"), ("M. Oakhanger", "BC-221 Letter")):
        assert name in sheet
        assert name in page
        assert document in page
        assert document in sheet
        assert name in json.dumps(found)
    rows = {row["id"]: row for row in found["penetrations"]}
    assert rows["P-0008"]["deviation"]["person"] == "M. Oakhanger"
    assert rows["P-0014"]["requirement"]["lowered"] is True
    table = (tmp_path / "register.csv").read_text("utf-8-sig")
    assert "M. Oakhanger, BC-221 Letter of acceptance" in table
