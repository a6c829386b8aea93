# SPDX-License-Identifier: Apache-2.0
"""What would change, told before it is done; and the same answers once it is really done in the files."""

import csv
import io
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.queries import read_changes
from brattice.adapters.report.what_if_csv import WHAT_IF_COLUMNS
from brattice.cli.main import main
from brattice.cli.run import judge_folder
from brattice.cli.what_if import what_if_of
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState as State
from brattice.usecases.what_if import WhatIf
from tests.helpers.jobs import ORDINARY_WALL, small_job
from tests.helpers.schedule_jobs import damper_row, schedule_job


def quiet(_text: str) -> None:
    return None


def judged(folder: Path) -> Report:
    return judge_folder(folder, quiet).report


def asked(folder: Path, *changes: str) -> WhatIf:
    return what_if_of(folder, changes, quiet)


def states(report: Report) -> dict[str, State]:
    return {item.penetration.id: item.state for item in report.penetrations}


def told(item: PenetrationReport) -> dict[str, Any]:
    """All that is said of a penetration, but where each fact was read."""
    return {
        "state": item.state,
        "why": item.state_why,
        "chosen": item.chosen and (item.chosen.installation_id, item.chosen.changes),
        "opening": item.opening and (item.opening.need, item.opening.texts),
        "findings": [(f.code, f.open, f.have, f.need) for f in item.findings],
        "queries": sorted(query.missing.key for query in item.queries),
        "asked": (item.requirement.class_texts, item.requirement.actuation),
    }


def answers(report: Report) -> dict[str, dict[str, Any]]:
    found = {item.penetration.id: told(item) for item in report.penetrations}
    for item in found.values():  # a fact's origin is another once it stands in a file
        item["asked"] = tuple(getattr(fact, "value", "not known") for fact in item["asked"])
    return found


def edited(path: Path, sheet: str, row_of: str, cells: dict[str, Any]) -> None:
    """Cells of one row of a workbook changed by another library's hand."""
    book = openpyxl.load_workbook(path)
    table = book[sheet]
    headings = {cell.value: at for at, cell in enumerate(table[1], start=1)}
    (row,) = [n for n in range(2, table.max_row + 1) if table.cell(n, 1).value == row_of]
    for heading, value in cells.items():
        table.cell(row, headings[heading]).value = value
    book.save(path)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Three dampers: as tested; joined with screws; in a blockwork wall of another type."""
    rows = [
        damper_row("FD-01", contractors_reference="M7"),
        damper_row("FD-02", words="grid C/3", joint="steel screws"),
        damper_row("FD-03", words="grid D/3", wall_type_code="W2"),
    ]
    return schedule_job(tmp_path / "job", rows)


SCHEDULE, WALLS = ("schedule.xlsx", "Schedule"), ("wall-types.xlsx", "Wall types")

EDITS: list[tuple[str, tuple[str, str], str, dict[str, Any]]] = [
    ("FD-02 joint=breakaway fixings", SCHEDULE, "FD-02", {"Duct joint": "breakaway fixings"}),
    ("FD-01 seal-products=Another batt", SCHEDULE, "FD-01", {"Seal products": "Another batt"}),
    ("FD-01 seal-products=", SCHEDULE, "FD-01", {"Seal products": None}),
    ("FD-01 product=HV-11", SCHEDULE, "FD-01", {"Damper product": "HV-11"}),
    ("FD-01 product=tbc", SCHEDULE, "FD-01", {"Damper product": None}),
    ("FD-01 wall-type=W2", SCHEDULE, "FD-01", {"Wall type": "W2"}),
    ("FD-01 wall-type=W9", SCHEDULE, "FD-01", {"Wall type": "W9"}),
    ("FD-01 duct-size=800x400", SCHEDULE, "FD-01", {"Duct width [mm]": 800}),
    ("FD-01 duct-size=diameter 315", SCHEDULE, "FD-01",
     {"Duct width [mm]": None, "Duct height [mm]": None, "Duct diameter [mm]": 315}),
    ("FD-01 damper-size=400x600", SCHEDULE, "FD-01", {"Damper width [mm]": 400, "Damper height [mm]": 600}),
    ("FD-01 actuation=smoke detection", SCHEDULE, "FD-01", {"Actuation": "smoke detection"}),
    ("FD-01 spaces=escape route", SCHEDULE, "FD-01",
     {"Space use side A": "escape route", "Space use side B": "escape route"}),
    ("FD-01 gaps=left 5, right 95, top 50, bottom 50", SCHEDULE, "FD-01",
     {"Gap left [mm]": 5, "Gap right [mm]": 95}),
    ("FD-01 class-text=EI 240 (ve i<->o) S", SCHEDULE, "FD-01", {"Damper class": "EI 240 (ve i<->o) S"}),
    ("wall-type W2 rating=EI 60", WALLS, "W2", {"Rating": "EI 60"}),
    ("wall-type W1 rating=", WALLS, "W1", {"Rating": None}),
    ("wall-type W1 density=300", WALLS, "W1", {"Density [kg/m³]": 300}),
    ("wall-type W1 kind=flexible wall", WALLS, "W1", {"Kind": "flexible wall"}),
    ("wall-type W1 thickness_mm=60", WALLS, "W1", {"Thickness [mm]": 60}),
    ("wall-type W1 lining=25", WALLS, "W1", {"Lining of framed openings [mm]": 25}),
]  # fmt: skip


@pytest.mark.parametrize(("change", "file", "row", "cells"), EDITS, ids=[edit[0] for edit in EDITS])
def test_what_was_told_is_what_a_check_of_the_edited_file_says(
    job: Path, change: str, file: tuple[str, str], row: str, cells: dict[str, Any]
) -> None:
    result = asked(job, change)
    before = answers(judged(job))
    assert answers(result.before) == before
    edited(job / "schedule" / file[0], file[1], row, cells)
    after = answers(judged(job))
    assert answers(result.after) == after
    assert [item.id for item in result.answers] == [name for name in before if before[name] != after[name]]
    assert before != after, "an edit that changes no answer shows nothing"


def test_a_cure_is_seen_before_it_is_made(job: Path) -> None:
    result = asked(job, "FD-02 joint=breakaway fixings")
    (answer,) = result.answers
    assert (answer.id, answer.reference) == ("P-0002", "FD-02")
    assert (answer.state_before, answer.state_after) == (State.WITHIN_SCOPE_IF, State.WITHIN_SCOPE)
    assert [item.code for item in answer.gone] == ["joint-change"]
    assert answer.new == ()
    assert (result.unchanged, result.idle, result.contradictions) == (2, (), ())
    (cell,) = result.changed
    assert (cell.subject, cell.field, cell.was, cell.now) == (
        "P-0002", "joint", "steel screws", "breakaway fixings",
    )  # fmt: skip
    assert "row 3" in cell.origin


@pytest.mark.parametrize(
    "change",
    [
        "FD-01 duct-size=600 × 400",
        "everywhere angle-deg=0",
        "in-wall-type w1 product=HV-10",
        "with-product hv-10 actuation=thermal",
        "wall-type W1 rating=EI 60",
        "wall-type W2 board-type=",
        "M7 spaces=general",
        "FD-01 installation=",
    ],
)
def test_a_change_to_what_is_there_already_changes_nothing(job: Path, change: str) -> None:
    result = asked(job, change)
    assert result.changed == ()
    assert result.nothing_changes
    assert result.after == result.before


def test_several_places_are_meant_by_a_list_a_wall_type_a_product_or_all(job: Path) -> None:
    def reached(change: str) -> list[str]:
        return [cell.subject for cell in asked(job, change).changed]

    assert reached("FD-03; P-0001 access-side=none") == ["P-0001", "P-0003"]
    assert reached("in-wall-type W1 access-side=none") == ["P-0001", "P-0002"]
    assert reached("with-product HV-10 access-side=none") == ["P-0001", "P-0002", "P-0003"]
    assert reached("everywhere access-side=none") == ["P-0001", "P-0002", "P-0003"]
    (cell,) = asked(job, "wall-type W2 rating=EI 60").changed
    assert (cell.subject, cell.reaches) == ("wall type W2", ("P-0003",))


def test_the_order_of_changes_does_not_matter(job: Path) -> None:
    changes = ["FD-02 joint=breakaway fixings", "wall-type W2 rating=EI 60", "everywhere access-side=none"]
    one, other = asked(job, *changes), asked(job, *reversed(changes))
    assert one == other


def test_a_pin_that_is_thought_of_and_one_that_is_no_more(job: Path) -> None:
    pinned = asked(job, "FD-01 installation=HV-10 FW batt")
    assert [item.id for item in pinned.answers] == ["P-0001"]
    assert pinned.answers[0].state_after is not State.WITHIN_SCOPE
    text = (job / "brattice.toml").read_text("utf-8")
    pin = '\n[[pin]]\npenetration = "FD-01"\ninstallation = "HV-10 FW batt"\nwhy = "a trial"\n'
    (job / "brattice.toml").write_text(text + pin, "utf-8")
    assert answers(judged(job)) == answers(pinned.after)
    freed = asked(job, "FD-01 installation=")
    assert states(freed.after)["P-0001"] is State.WITHIN_SCOPE


def test_what_a_model_contradicts_is_told_as_no_more_than_that(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    result = asked(folder, "P-0001 duct-size=800x400")
    (answer,) = result.answers
    assert answer.state_after is State.NOT_ENOUGH_KNOWN
    (said,) = answer.contradicts
    assert "800 × 400" in said
    assert "600 × 400" in said
    assert result.contradictions == ("P-0001",)
    edited(folder / "schedule" / "schedule.xlsx", "Schedule", "FD-01",
           {"Duct width [mm]": 800, "Duct height [mm]": 400})  # fmt: skip
    assert answers(judged(folder)) == answers(result.after)


def test_a_place_that_only_the_model_knows_can_be_given_facts(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    full = (folder / "schedule" / "schedule.xlsx").read_bytes()
    whole = judged(folder)
    edited(folder / "schedule" / "schedule.xlsx", "Schedule", "FD-01", {"Duct GlobalIds": None})
    alone = asked(folder, "P-0002 actuation=thermal", "P-0002 wall-type=W1")  # the row alone is P-0001
    assert [cell.was for cell in alone.changed] == ["not stated", "not stated"]
    assert not alone.nothing_changes
    (folder / "schedule" / "schedule.xlsx").write_bytes(full)
    assert states(whole) == {"P-0001": State.WITHIN_SCOPE}


def test_an_answer_to_a_query_stays_a_source_beside_a_changed_wall_type(tmp_path: Path) -> None:
    folder = schedule_job(tmp_path / "job", [damper_row("FD-01")], [{**ORDINARY_WALL, "rating": None}])
    assert main(["check", str(folder)]) == 1
    main(["queries", str(folder)])
    book = openpyxl.load_workbook(folder / "queries" / "fire-engineer.xlsx")
    sheet = book["Queries"]
    headings = {cell.value: at for at, cell in enumerate(sheet[1], start=1)}
    for heading, value in {"Answer": "EI 60", "Answered by": "A", "Document": "D", "Date": "2026-10-05"}.items():
        sheet.cell(2, headings[heading]).value = value
    book.save(tmp_path / "back.xlsx")
    assert main(["answers", str(folder), str(tmp_path / "back.xlsx")]) == 0
    assert states(judged(folder)) == {"P-0001": State.WITHIN_SCOPE}
    other = asked(folder, "wall-type W1 rating=EI 90")
    assert states(other.after) == {"P-0001": State.NOT_ENOUGH_KNOWN}
    assert other.contradictions == ("P-0001",)
    edited(folder / "schedule" / "wall-types.xlsx", "Wall types", "W1", {"Rating": "EI 90"})
    assert answers(judged(folder)) == answers(other.after)


def test_all_faults_come_at_once_with_what_is_allowed(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wrong = [
        "FD-01 size=600x400",
        "FD-01 actuation=magic",
        "nothing at all",
        "FD-01 duct-size=600",
        " joint=slip joint",
    ]
    assert main(["what-if", str(job), *(word for text in wrong for word in ("--set", text))]) == 64
    error = capsys.readouterr().err
    assert "5 faults" in error
    for said in ("duct-size' or 'damper-size", "thermal, smoke detection", "PLACE NAME=VALUE", "width × height in mm"):
        assert said in error, said
    unknown = [
        "FD-9 joint=slip joint",
        "in-wall-type W9 joint=slip joint",
        "with-product X joint=slip joint",
        "wall-type W9 rating=EI 60",
        "FD-01 installation=XX",
        "FD-02 joint=slip joint",
        "everywhere joint=no duct",
        "FD-03 damper-present=no",
    ]
    assert main(["what-if", str(job), *(word for text in unknown for word in ("--set", text))]) == 64
    error = capsys.readouterr().err
    for said in (
        "'FD-9'",
        "'W9'",
        "W1, W2",
        "HV-10",
        "'XX'",
        "HV-10 RW mortar",
        "set twice",
        "no damper beside a damper product",
    ):
        assert said in error, said
    assert "Traceback" not in error


def test_a_damper_that_is_taken_away_whole(job: Path) -> None:
    result = asked(job, "FD-01 damper-present=no", "FD-01 product=", "FD-01 class-text=")
    edited(job / "schedule" / "schedule.xlsx", "Schedule", "FD-01",
           {"Damper": "no", "Damper product": None, "Damper class": None})  # fmt: skip
    assert answers(result.after) == answers(judged(job))
    assert [item.id for item in result.answers] == ["P-0001"]


def test_nothing_in_the_job_is_written_and_the_table_holds_every_difference(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path.relative_to(job): path.read_bytes() for path in sorted(job.rglob("*")) if path.is_file()}
    table = tmp_path / "table.csv"
    words = ["--set", "FD-02 joint=breakaway fixings", "--set", "FD-01 joint=steel screws"]
    assert main(["what-if", str(job), *words, "--csv", str(table)]) == 1
    shown = capsys.readouterr().out
    assert main(["what-if", str(job), *words, "--csv", "-"]) == 1
    assert capsys.readouterr().out == table.read_text("utf-8")
    after = {path.relative_to(job): path.read_bytes() for path in sorted(job.rglob("*")) if path.is_file()}
    assert before == after
    rows = list(csv.DictReader(io.StringIO(table.read_text("utf-8"))))
    assert tuple(rows[0]) == WHAT_IF_COLUMNS
    moved = {(row["id"], row["before"], row["after"]) for row in rows if row["kind"] == "state"}
    assert moved == {
        ("P-0001", "within scope", "within scope if"),
        ("P-0002", "within scope if", "within scope"),
    }
    assert any(row["kind"] == "caution" for row in rows)
    assert "P-0002 (FD-02): within scope if -> within scope" in shown
    assert "nothing else changes; 1 answers stay as they are" in shown


def test_nothing_open_then_ends_with_zero(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(job)]) == 1
    words = ["--set", "FD-02 joint=breakaway fixings", "--set", "wall-type W2 rating=EI 60"]
    assert main(["what-if", str(job), *words]) == 0
    assert "0 " not in capsys.readouterr().err
    assert main(["what-if", str(job), "--set", "FD-02 joint=steel screws"]) == 1
    assert "the sheets say all of that already" in capsys.readouterr().out


def test_the_table_never_takes_the_place_of_an_input(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = (job / "schedule" / "schedule.xlsx").read_bytes()
    words = ["--set", "FD-02 joint=slip joint", "--csv", str(job / "schedule" / "schedule.xlsx")]
    assert main(["what-if", str(job), *words]) == 64
    assert (job / "schedule" / "schedule.xlsx").read_bytes() == data
    shutil.rmtree(job)
    assert main(["what-if", str(job), "--set", "FD-02 joint=slip joint"]) == 3
    assert "Traceback" not in capsys.readouterr().err


def test_hostile_values_are_text_in_every_output(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (change,) = read_changes(["FD-01 product==cmd|' /C calc'!A0\u202e<b>"])
    assert "\u202e" not in change.value
    words = ["--set", "FD-01 product==cmd|' /C calc'!A0\u202e<b>"]
    assert main(["what-if", str(job), *words, "--csv", "-"]) == 1
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    cells = [cell for row in rows for cell in row.values()]
    assert any("cmd|" in cell for cell in cells)
    assert not any(cell.startswith(("=", "+", "@")) or "\u202e" in cell for cell in cells)
