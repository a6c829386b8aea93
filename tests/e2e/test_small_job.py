# SPDX-License-Identifier: Apache-2.0
"""The whole line on one wall and one duct: model, schedule and evidence in, four outputs out, through the command."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.report.outputs import OUTPUTS as WRITTEN
from brattice.cli.main import main
from tests.helpers.jobs import ORDINARY_WALL, Names, small_job
from tests.helpers.outputs import files_of

OUTPUTS = {*WRITTEN, "manifest.json", "schedule/schedule.xlsx"}


def check(folder: Path, *words: str) -> int:
    return main(["check", str(folder), *words])


def findings(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    return found


def codes(folder: Path) -> dict[str, set[tuple[str, bool]]]:
    return {
        item["id"]: {(finding["code"], finding["open"]) for finding in item["findings"]}
        for item in findings(folder)["penetrations"]
    }


def test_a_damper_as_tested_is_within_scope_and_nothing_is_open(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = small_job(tmp_path / "job")
    code = check(folder)
    told = findings(folder)
    assert [(item["id"], item["state"]) for item in told["penetrations"]] == [("P-0001", "within scope")], told
    assert code == 0
    assert set(files_of(folder / "out")) == OUTPUTS
    captured = capsys.readouterr()
    assert "1  within scope" in captured.out
    assert "Traceback" not in captured.err


@pytest.mark.parametrize(
    ("change", "state", "code"),
    [
        ({"joint": "steel screws"}, "within scope if", "joint-change"),  # handbook 5.8, field case 20
        ({"seal_products": ("Another stopper's batt",)}, "within scope if", "seal-products-change"),  # field case 28
        ({"seal_products": None}, "not enough known", "seal-products-unknown"),
        ({"damper_width_mm": 400, "damper_height_mm": 600}, "outside scope", ""),  # field case 15
        ({"space_a": ("escape route",)}, "outside scope", "scheduled-actuation-fails"),  # handbook 4.3, 4.12a
        ({"space_a": None}, "not enough known", ""),
        ({"system": "commercial kitchen extract"}, "outside scope", ""),  # handbook 4.4
        ({"wall_type_code": "W9"}, "not enough known", "wall-type-row-unknown"),
    ],
)
def test_one_change_to_the_schedule_changes_the_answer(
    tmp_path: Path, change: dict[str, Any], state: str, code: str
) -> None:
    folder = small_job(tmp_path / "job", Names(extra_row=change))
    assert check(folder) == 1
    assert [item["state"] for item in findings(folder)["penetrations"]] == [state]
    assert not code or (code, True) in codes(folder)["P-0001"], codes(folder)


def test_a_wall_of_another_thickness_in_the_model_than_in_the_sheet_is_asked_for(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", wall={**ORDINARY_WALL, "thickness_mm": 100})
    assert check(folder) == 1
    assert ("sources-unknown", True) in codes(folder)["P-0001"]


def test_a_rating_placeholder_leaves_the_wall_unrated_by_nobody(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", Names(rating="_FIRE-RATING_"), wall={**ORDINARY_WALL, "rating": None})
    assert check(folder) == 1
    (item,) = findings(folder)["penetrations"]
    assert item["state"] == "not enough known"
    assert any("wall-type/W1/rating" in json.dumps(query) for query in findings(folder)["queries"])


def test_ids_stay_through_another_run_and_a_second_run_gives_the_same_bytes(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    check(folder)
    first = files_of(folder / "out")
    ledger = (folder / "penetrations.csv").read_bytes()
    check(folder)
    assert files_of(folder / "out") == first
    assert (folder / "penetrations.csv").read_bytes() == ledger


def test_two_folders_one_worker_or_two_give_the_same_bytes(tmp_path: Path) -> None:
    one, other = small_job(tmp_path / "a" / "job"), small_job(tmp_path / "somewhere" / "else")
    check(one, "--workers", "1")
    check(other, "--workers", "2")
    for name in sorted(OUTPUTS):
        assert (one / "out" / name).read_bytes() == (other / "out" / name).read_bytes(), name


def test_a_file_of_somebody_else_in_the_output_folder_survives(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    check(folder)
    (folder / "out" / "my notes.txt").write_text("keep me")
    check(folder)
    assert (folder / "out" / "my notes.txt").read_text() == "keep me"


@pytest.mark.parametrize(
    ("path", "data", "said"),
    [
        ("models/building.ifc", b"", "building.ifc"),
        ("schedule/schedule.xlsx", b"PK\x03\x04 rubbish", "schedule.xlsx"),
        ("schedule/wall-types.xlsx", b"", "wall-types.xlsx"),
        ("evidence/example.toml", b"schema = 1\nnonsense = 2\n", "nonsense"),
        ("brattice.toml", b"schema = 1\nname = ", "brattice.toml"),
        ("brattice.toml", b"schema = " + b"9" * 5000, "brattice.toml"),
    ],
)
def test_an_input_that_cannot_be_read_stops_everything_and_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], path: str, data: bytes, said: str
) -> None:
    folder = small_job(tmp_path / "job")
    (folder / path).write_bytes(data)
    assert check(folder) == 3
    error = capsys.readouterr().err
    assert said in error
    assert "Traceback" not in error
    assert not (folder / "out").exists()
    assert not (folder / "penetrations.csv").exists()


def test_all_unreadable_inputs_are_named_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = small_job(tmp_path / "job")
    for path in ("models/building.ifc", "schedule/schedule.xlsx", "schedule/wall-types.xlsx"):
        (folder / path).write_bytes(b"")
    assert check(folder) == 3
    error = capsys.readouterr().err
    assert all(name in error for name in ("building.ifc", "schedule.xlsx", "wall-types.xlsx"))


def test_a_job_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert check(tmp_path / "nowhere") == 3
    assert "no such folder" in capsys.readouterr().err


def test_a_run_that_fails_leaves_the_old_outputs_whole(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    check(folder)
    before = files_of(folder / "out")
    shutil.copy(folder / "brattice.toml", tmp_path / "kept.toml")
    (folder / "models" / "building.ifc").write_bytes(b"not a model")
    assert check(folder) == 3
    assert files_of(folder / "out") == before


def test_a_job_names_penetrations_by_reference_and_a_name_that_nobody_has_is_said(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", Names(extra_row={"joint": "steel screws"}))
    text = (folder / "brattice.toml").read_text("utf-8")
    deviation = """
[[deviation]]
penetrations = ["FD-01", "FD-99"]
codes = ["joint-change"]
accepted = [{ code = "joint-change", have = "steel screws", need = "breakaway fixings or flexible connection" }]
person = "A. Person (invented)"
role = "fire engineer"
document = "Note 1"
revision = "A"
date = 2026-10-01
conditions = ""
"""
    (folder / "brattice.toml").write_text(text + deviation, "utf-8")
    assert check(folder) == 1
    told = findings(folder)
    assert [item["state"] for item in told["penetrations"]] == ["deviation accepted"]
    assert [(item["code"], item["have"]) for item in told["job_findings"]] == [("job-name-fails", "FD-99")]
