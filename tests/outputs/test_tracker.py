# SPDX-License-Identifier: Apache-2.0
"""What people say in the tracker, and what contradicts, stands alike in every output and in the tracker itself."""

import csv
import io
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import jsonschema
import openpyxl

from brattice.adapters.print.report_data import front_data
from brattice.adapters.report import findings_schema, write_outputs
from brattice.adapters.tracker import tracker_bytes
from brattice.register.stages import Remark, Stage
from tests.helpers.outputs import HtmlShape, Told, from_csv, from_html, from_json, from_model, from_xlsx
from tests.helpers.reports import HOSTILE, PLANTED, sample_report
from tests.helpers.tracked import EVENTS, EXPECTED, RETIRED, tracked_report

EPOCH = 1_788_220_800  # 2026-09-01
STAMP = datetime(2026, 9, 1, tzinfo=UTC)


def stage_codes(told: Told) -> dict[str, set[str]]:
    found = {name: {code for code in codes if code.startswith("stage-")} for name, codes in told.open_codes.items()}
    return {name: codes for name, codes in found.items() if codes}


def from_tracker(data: bytes) -> tuple[dict[str, str], dict[str, set[str]]]:
    """The state and the contradictions of each id: of its row, and of the sheet Contradictions."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    states: dict[str, str] = {}
    marked: dict[str, set[str]] = {}
    for sheet in book.worksheets:
        rows = list(sheet.iter_rows(values_only=True))
        if rows[0][0] != "Id":
            continue
        heads = [str(cell) for cell in rows[0]]
        for values in rows[1:]:
            row = dict(zip(heads, values, strict=True))
            assert row["Id"] not in states
            states[str(row["Id"])] = str(row["Judgment"])
            if row["What contradicts"]:
                marked[str(row["Id"])] = set(str(row["What contradicts"]).split("; "))
    listed: dict[str, set[str]] = {}
    for name, _, _, code, is_open, *_ in book["Contradictions"].iter_rows(min_row=2, values_only=True):
        if is_open == "open":
            listed.setdefault(str(name), set()).add(str(code))
    assert listed == marked
    return states, marked


def test_contradictions_are_those_that_follow_and_the_same_in_every_output(tmp_path: Path) -> None:
    report = tracked_report()
    write_outputs(report, tmp_path, epoch=EPOCH)
    expected = {name: codes for name, codes in EXPECTED.items() if name != RETIRED}
    read = {
        "findings.json": from_json((tmp_path / "findings.json").read_bytes()),
        "report.html": from_html((tmp_path / "report.html").read_bytes()),
        "register.csv": from_csv((tmp_path / "register.csv").read_bytes()),
        "register.xlsx": from_xlsx((tmp_path / "register.xlsx").read_bytes()),
    }
    for name, told in read.items():
        assert told == from_model(report), name
        assert stage_codes(told) == expected, name
    states, marked = from_tracker(tracker_bytes(report, EVENTS, stamp=STAMP))
    assert marked == EXPECTED
    assert states == {**{name: str(state) for name, state in PLANTED.items()}, RETIRED: "retired"}
    (told_retired,) = json.loads((tmp_path / "findings.json").read_bytes())["retired"]
    assert told_retired["id"] == RETIRED
    assert RETIRED in HtmlShape((tmp_path / "report.html").read_text("utf-8")).all_text


def test_no_stage_changes_a_state_or_a_judgment() -> None:
    before, after = sample_report(), tracked_report()
    for one, other in zip(before.penetrations, after.penetrations, strict=True):
        findings = tuple(item for item in other.findings if not item.code.startswith("stage-"))
        assert replace(other, tracked=None, findings=findings) == one
    assert after.queries == before.queries
    assert after.settle_first == before.settle_first


def test_what_is_said_stands_in_every_output(tmp_path: Path) -> None:
    write_outputs(tracked_report(), tmp_path, epoch=EPOCH)
    data = json.loads((tmp_path / "findings.json").read_bytes())
    jsonschema.validate(data, findings_schema())
    tracks = {item["id"]: item["tracker"] for item in data["penetrations"]}
    said = {name: {stage["stage"] for stage in track["stages"]} for name, track in tracks.items() if track}
    expected: dict[str, set[str]] = {}
    for event in EVENTS:
        if isinstance(event.about, Stage) and event.penetration != RETIRED:
            expected.setdefault(event.penetration, set()).add(event.about.value)
    assert said == expected
    assert tracks["P-0001"]["zone"] == ["East core"]
    assert [stage["said_twice"] for stage in tracks["P-0003"]["stages"]] == [True]
    rows = {row["Id"]: row for row in csv.DictReader(io.StringIO((tmp_path / "register.csv").read_text("utf-8-sig")))}
    assert (
        rows["P-0001"]["Said in the tracker"]
        == "approved 2026-03-02 by R. Engineer (invented); ordered 2026-03-09; zone East core"
    )
    assert rows["P-0004"]["Said in the tracker"] == ""
    page = HtmlShape((tmp_path / "report.html").read_text("utf-8")).all_text
    for text in ("2026-04-20 by B. Buyer (invented) or 2026-04-21 by F. Fitter (invented)", "crane by the stair"):
        assert text in page
        assert text in rows["P-0003" if "Buyer" in text else "P-0006"]["Said in the tracker"]


def test_where_a_stage_contradicts_something_is_open_whatever_the_state(tmp_path: Path) -> None:
    """P-0001 and P-0007 are within scope: the first page must not say that nothing is open there."""
    for report, open_ids in ((sample_report(), set()), (tracked_report(), {"P-0001", "P-0007"})):
        assert {item.penetration.id for item in report.penetrations if item.something_open} >= open_ids
        write_outputs(report, tmp_path, epoch=EPOCH)
        glance = (tmp_path / "report.html").read_text("utf-8").split("Nothing is open at:")[1].split("</div>")[0]
        for name in ("P-0001", "P-0007"):
            assert (name in glance) is (name not in open_ids)


def test_print_says_the_same_of_what_is_open() -> None:
    for report in (sample_report(), tracked_report()):
        expected = sum(item.something_open for item in report.penetrations)
        front = front_data(report)
        assert (front["something_open"], front["nothing_open"]) == (expected, len(PLANTED) - expected)
    before, after = (
        sum(item.something_open for item in report.penetrations) for report in (sample_report(), tracked_report())
    )
    assert after == before + 2  # P-0001 and P-0007


def test_counts_by_level_and_zone_stand_on_the_first_sheet() -> None:
    book = openpyxl.load_workbook(io.BytesIO(tracker_bytes(tracked_report(), EVENTS, stamp=STAMP)))
    rows = list(book["Overview"].iter_rows(values_only=True))
    heads = next(row for row in rows if row[0] == "Level")
    table = {
        (row[0] or "", row[1] or ""): dict(zip(heads, row, strict=True)) for row in rows if isinstance(row[2], int)
    }
    assert (table["Level 1", "all"]["Approved"], table["Level 1", "all"]["Ordered"]) == (3, 2)
    assert table["", "East core"]["Penetrations"] == 1
    assert table["All levels", ""]["Penetrations"] == len(PLANTED)
    assert table["All levels", ""]["Contradictions"] == 5
    text = " ".join(str(cell) for row in rows for cell in row)
    for caution in sample_report().cautions:
        assert caution in text
    assert "All data is invented" in text


def test_every_name_that_acts_is_text_in_the_tracker() -> None:
    report = tracked_report()
    events = tuple(
        replace(event, who=HOSTILE[number % len(HOSTILE)] if isinstance(event.about, Stage) else "")
        for number, event in enumerate(EVENTS)
    ) + tuple(replace(EVENTS[2], penetration=f"P-00{number:02d}", text=text) for number, text in enumerate(HOSTILE, 1))
    assert events[2].about is Remark.ZONE
    book = openpyxl.load_workbook(io.BytesIO(tracker_bytes(report, events, stamp=STAMP)))
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "f", (sheet.title, cell.coordinate)
                assert not isinstance(cell.value, str) or "\u202e" not in cell.value
