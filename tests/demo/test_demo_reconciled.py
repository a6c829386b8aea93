# SPDX-License-Identifier: Apache-2.0
"""The demo's schedule against its models: by construction every row names its place, and some places lack a damper."""

import shutil
from pathlib import Path

import openpyxl
import pytest

from brattice.cli.reconcile import reconcile_of
from brattice.usecases.reconciled import By, DamperStanding, Group, Reconciliation
from tools.demo.faults import Scenario
from tools.demo.truth import TruePlace, places

RUNS = "fire-resisting ductwork"


def quiet(_text: str) -> None:
    return None


@pytest.fixture(scope="module")
def result(demo_job: Path) -> Reconciliation:
    return reconcile_of(demo_job, quiet)


@pytest.fixture(scope="module")
def truth(scene: Scenario) -> list[TruePlace]:
    return list(places(scene))


def test_every_row_is_matched_with_its_own_place(result: Reconciliation, truth: list[TruePlace]) -> None:
    barriers = {item.ref: item.barrier for item in truth if item.kind == "penetration"}
    assert {pair.one.name for pair in result.matched} == set(barriers)
    assert all(barriers[pair.one.name] in pair.other.wall for pair in result.matched)
    assert {pair.by for pair in result.matched} == {By.GLOBAL_ID}
    assert (result.proposed, result.only_one) == ((), ())


def test_what_only_the_models_show_are_the_places_that_are_to_be_settled(
    result: Reconciliation, truth: list[TruePlace]
) -> None:
    queries = sorted(item.barrier for item in truth if item.kind == "query")
    assert sorted(item.entry.wall.rsplit(", ", 1)[-1] for item in result.only_other) == queries
    assert {item.group for item in result.only_other} == {Group.RATED}


def test_dampers_that_are_scheduled_and_not_modelled(
    demo_job: Path, result: Reconciliation, truth: list[TruePlace]
) -> None:
    sheet = openpyxl.load_workbook(demo_job / "schedule" / "schedule.xlsx")["Schedule"]
    head, *rows = sheet.iter_rows(values_only=True)
    of = {str(row[head.index("Reference")]): row for row in rows if row[head.index("Reference")]}
    method, damper = head.index("Protection method"), head.index("Damper")
    wanted = {
        item.ref
        for item in truth
        if item.kind == "penetration"
        and not item.damper
        and RUNS not in str(of[item.ref][method])
        and of[item.ref][damper] != "no"
    }
    found = {(pair.one.name, item.other) for pair in result.differing for item in pair.differences}
    assert found == {(ref, "none modelled here") for ref in wanted}
    assert wanted


def test_every_damper_modelled_stands_with_its_row(result: Reconciliation, truth: list[TruePlace]) -> None:
    assert {(item.guid, item.rows) for item in result.dampers} == {
        (item.damper, (item.ref,)) for item in truth if item.damper
    }
    assert {item.standing for item in result.dampers} == {DamperStanding.WITH_ROW}


def test_a_schedule_that_names_nothing_of_the_models_gives_proposals_and_joins_nothing(
    demo_job: Path, tmp_path: Path, truth: list[TruePlace]
) -> None:
    """The same rows without GlobalIds: only likeness is left, and what it proposes is never a match."""
    job = tmp_path / "job"
    shutil.copytree(demo_job, job)
    path = job / "schedule" / "schedule.xlsx"
    book = openpyxl.load_workbook(path)
    sheet = book["Schedule"]
    for column in sheet.iter_cols():
        if str(column[0].value).endswith(("GlobalIds", "[m]")):
            for cell in column[1:]:
                cell.value = None
    book.save(path)
    result = reconcile_of(job, quiet)
    assert result.matched == ()
    assert result.proposed
    rows = [pair.one.name for pair in result.pairs] + [item.entry.name for item in result.only_one]
    assert sorted(rows) == sorted(item.ref for item in truth if item.kind == "penetration")
    assert all("like" in item.why for item in result.only_one)
