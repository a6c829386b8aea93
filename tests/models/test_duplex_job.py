# SPDX-License-Identifier: Apache-2.0
"""`brattice check` on the open duplex models with a schedule of our own: each answer against one written by hand."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.models.duplex_job import CASES, Case, make_job, truth
from tests.models.open_models import needs_models

pytestmark = [pytest.mark.models, needs_models]

HALF_MM = 0.5
"""What a gap may differ from the sum by hand [mm]: circles in models are drawn with flat sides."""


KNOWN_FROM_THE_MODELS = {
    "A0041": "outside scope",  # the table's own angle: 45°, and all was tested squarely
    "A0042": "outside scope",  # the damper stands 0.15 m off the wall; all was tested in the barrier
    "A0075": "no protection needed",  # the wall's text "None" is mapped to unrated
}
"""Crossings that nobody scheduled, and of which the models with the job file's map still say enough."""


@dataclass(frozen=True)
class Answered:
    """What the program said of the job: its exit code, what it printed, the penetrations by schedule reference."""

    folder: Path
    code: int
    out: str
    err: str
    findings: dict[str, Any]

    @property
    def by_reference(self) -> dict[str, dict[str, Any]]:
        """The penetrations that the schedule knows."""
        return {
            alias["text"]: item
            for item in self.findings["penetrations"]
            for alias in item["aliases"]
            if alias["kind"] == "schedule"
        }


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> Answered:
    folder = make_job(tmp_path_factory.mktemp("duplex") / "job")
    program = Path(sys.executable).with_name("brattice")
    done = subprocess.run([str(program), "check", str(folder)], capture_output=True, timeout=120.0, check=False)
    told = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    return Answered(folder, done.returncode, done.stdout.decode(), done.stderr.decode(), told)


def _found(answered: Answered, barriers: set[str], elements: set[str]) -> list[dict[str, Any]]:
    """The penetrations of these elements through these barriers."""
    return [
        item
        for item in answered.findings["penetrations"]
        if barriers & {*item["globalids"]["barriers"]}
        and elements & {*item["globalids"]["ducts"], *item["globalids"]["dampers"]}
    ]


def _id_of(answered: Answered, crossing: str) -> str:
    row = truth()[crossing]
    (item,) = _found(answered, {row["barrier_guid"]}, {*row["element_guids"].split()})
    return str(item["id"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.reference)
def test_each_row_gets_the_answer_that_was_written_by_hand(answered: Answered, case: Case) -> None:
    item = answered.by_reference[case.reference]
    names = {"id": item["id"], "key": item["key"], "next": _id_of(answered, case.beside) if case.beside else ""}
    told = {finding["code"]: finding for finding in item["findings"] if finding["open"]}
    asked = {query["key"] for query in item["queries"]}
    assert (item["state"], set(told), asked) == (
        case.state,
        set(case.open),
        {key.format(**names) for key in case.asks},
    ), json.dumps(list(told.values()), indent=1, ensure_ascii=False)
    for code, gaps in case.says.items():
        given = [float(number) for number in re.findall(r"(?:left|right|top|bottom) (-?[\d.]+)", told[code]["have"])]
        assert given == pytest.approx(list(gaps), abs=HALF_MM), told[code]["have"]


def test_the_program_ends_as_it_should(answered: Answered) -> None:
    assert answered.code == 1
    assert "Traceback" not in answered.err


def test_every_certain_crossing_is_one_of_the_penetrations_scheduled_or_not(answered: Answered) -> None:
    """What nobody scheduled is there as well, and not enough known unless the models alone say more."""
    scheduled = {case.crossing for case in CASES if case.crossing}
    for assembly in {row["assembly_id"] for row in truth().values() if row["is_penetration"] == "Y"}:
        rows = [row for row in truth().values() if row["assembly_id"] == assembly and row["is_penetration"] == "Y"]
        barriers = {row["barrier_guid"] for row in rows}
        elements = {guid for row in rows for guid in row["element_guids"].split()}
        found = [item for item in _found(answered, barriers, elements) if item["state"] != "to be settled"]
        assert len(found) == 1, assembly
        if not scheduled & {row["pen_id"] for row in rows}:
            assert found[0]["state"] == KNOWN_FROM_THE_MODELS.get(assembly, "not enough known"), assembly
            assert found[0]["aliases"] == [], assembly


def test_what_the_table_leaves_open_is_to_be_settled_or_asked_about(answered: Answered) -> None:
    for row in truth().values():
        if row["is_penetration"] != "?":
            continue
        found = _found(answered, {row["barrier_guid"]}, {*row["element_guids"].split()})
        assert found, row["pen_id"]
        assert {item["state"] for item in found} <= {"to be settled", "not enough known"}, row["pen_id"]


def test_register_and_json_say_the_same_to_a_spreadsheet(answered: Answered) -> None:
    book = openpyxl.load_workbook(answered.folder / "out" / "register.xlsx", read_only=True)
    table = list(csv.DictReader(io.StringIO((answered.folder / "out" / "register.csv").read_text("utf-8-sig"))))
    states = {item["id"]: item["state"] for item in answered.findings["penetrations"]}
    assert len(states) == len(answered.findings["penetrations"])
    assert {row["Id"]: row["State"] for row in table} == states
    cells = {str(cell) for sheet in book.worksheets for line in sheet.iter_rows(values_only=True) for cell in line}
    book.close()
    assert set(states) <= cells


def test_a_second_run_keeps_every_id(answered: Answered) -> None:
    ledger = (answered.folder / "penetrations.csv").read_bytes()
    program = Path(sys.executable).with_name("brattice")
    subprocess.run([str(program), "check", str(answered.folder)], capture_output=True, timeout=120.0, check=False)
    assert (answered.folder / "penetrations.csv").read_bytes() == ledger
