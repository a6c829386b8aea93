# SPDX-License-Identifier: Apache-2.0
"""The run that commands and pages share: it answers and leaves the folder as it was."""

import json
from pathlib import Path

import pytest

from brattice.building.queries import query_key
from brattice.cli.main import main
from brattice.cli.run import judge_folder
from tests.helpers.jobs import Names, small_job
from tests.helpers.outputs import from_json, from_model


def everything_in(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_run_answers_and_writes_and_prints_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job", Names(extra_row={"seal_products": None}))
    before = everything_in(job)
    said: list[str] = []
    judged = judge_folder(job, said.append)
    assert everything_in(job) == before
    assert capsys.readouterr() == ("", "")
    assert said
    assert judged.on == judged.report.as_of
    asked = {query_key(query.missing.key) for query in judged.report.queries}
    assert asked
    assert {event.key for event in judged.query_events} == asked


def test_check_writes_what_the_run_answers(tmp_path: Path) -> None:
    job = small_job(tmp_path / "job")
    report = judge_folder(job, lambda _: None).report
    assert main(["check", str(job)]) in {0, 1}
    data = (job / "out" / "findings.json").read_bytes()
    assert from_json(data) == from_model(report)
    assert json.loads(data)["penetrations"] != []
