# SPDX-License-Identifier: Apache-2.0
"""All schedules of a judged job together: which penetrations stand where, and what forming an opening may cure."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from brattice.building.plan import StoreyPlan
from brattice.cli.gather import standards_for
from brattice.cli.run import judge_folder
from brattice.details import InstallationDetail, Neighbour, Standing
from brattice.evidence.codes import GAP, LINING, SEAL_PRODUCTS
from brattice.evidence.judgment import Change
from brattice.findings import Party
from brattice.orders import OpeningState, SubmittalStatus
from brattice.usecases.detailing import details_of
from brattice.usecases.job import PartyRule
from brattice.usecases.ordering import clauses_of, head_of_schedules, only_its_opening, schedules_of
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState
from tests.helpers.details import detail_of, figure
from tests.helpers.jobs import ORDINARY_WALL
from tests.helpers.ordered import ON, approved, to_order
from tests.helpers.penetrations import with_facts
from tests.helpers.reports import PLANTED, sample_report
from tests.helpers.schedule_jobs import damper_row, schedule_job


@pytest.fixture(scope="module")
def report() -> Report:
    return sample_report()


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Any:
    none = {"damper_present": False, "maker": None, "product": None, "class_text": None}
    rows = [damper_row("FD-01"), damper_row("FD-02", words="grid C/3"), damper_row("FD-03", **none)]
    folder = schedule_job(tmp_path_factory.mktemp("ordering"), rows, [ORDINARY_WALL])
    return judge_folder(folder, lambda _: None)


def waiting(name: str, **changes: Any) -> InstallationDetail:
    return detail_of(id=name, standing=Standing.TO_BE_SETTLED, why="Within scope if …", **changes)


def with_changes(report: Report, *codes: str) -> PenetrationReport:
    (item,) = (item for item in report.penetrations if item.penetration.id == "P-0006")
    assert item.chosen is not None
    assert item.state is PenetrationState.WITHIN_SCOPE_IF
    changes = tuple(Change(code, 1, "Do so.", "", "") for code in codes)
    return replace(item, chosen=replace(item.chosen, changes=changes))


def test_only_changes_of_the_opening_are_cured_by_forming_it(report: Report) -> None:
    detail = waiting("P-0006")
    assert only_its_opening(with_changes(report, GAP), detail)
    assert only_its_opening(with_changes(report, GAP, LINING), detail)
    assert not only_its_opening(with_changes(report, GAP, SEAL_PRODUCTS), detail)
    assert not only_its_opening(with_changes(report), detail)
    within = replace(with_changes(report, GAP), state=PenetrationState.WITHIN_SCOPE)
    assert not only_its_opening(within, detail)
    outside = replace(with_changes(report, GAP), state=PenetrationState.OUTSIDE_SCOPE)
    assert not only_its_opening(outside, detail)


def test_nothing_else_may_fail_where_the_opening_is_formed_to_cure(report: Report) -> None:
    item = with_changes(report, GAP)
    gap = figure("gap-left", "Gap left", 70, "mm", verdict="fail")
    joint = figure("joint-a", "Joint", None, "", "steel screws", verdict="fail")
    assert only_its_opening(item, waiting("P-0006", figures={"gap-left": gap}))
    assert not only_its_opening(item, waiting("P-0006", figures={"gap-left": gap, "joint-a": joint}))
    assert not only_its_opening(item, waiting("P-0006", problems=("It can't be.",)))


def test_no_opening_is_formed_while_another_damper_may_have_to_be_chosen(report: Report) -> None:
    item = with_changes(report, GAP)
    travel = figure("joint-travel", "Travel of the joint", None, "mm", ask=Party.DUCTWORK_CONTRACTOR)
    assert not only_its_opening(item, waiting("P-0006", figures={"joint-travel": travel}))
    finish = figure("finish", "Finish", None, "", ask=Party.DAMPER_SUPPLIER)
    assert only_its_opening(item, waiting("P-0006", figures={"finish": finish}))


def test_no_opening_is_formed_while_a_distance_is_not_known(report: Report) -> None:
    near = Neighbour(
        "wall",
        "wall",
        "left",
        figure("clear", "Clear distance", None, "mm", limit="at least 75 mm", ask=Party.ARCHITECT),
    )
    assert not only_its_opening(with_changes(report, GAP), waiting("P-0006", neighbours=(near,)))
    known = replace(near, clear=figure("clear", "Clear distance", 80, "mm", limit="at least 75 mm", verdict="pass"))
    assert only_its_opening(with_changes(report, GAP), waiting("P-0006", neighbours=(known,)))


def test_openings_stand_from_the_lowest_storey_upwards(report: Report, job: Any) -> None:
    plans = tuple(StoreyPlan(name, level, (), (), ()) for name, level in (("A hall", 9.0), ("B hall", -3.0)))
    details = {}
    for name, storey in (("P-0001", "A hall"), ("P-0002", "B hall")):
        detail = to_order(name)
        details[name] = replace(detail, penetration=with_facts(detail.penetration, location__storey=storey))
    answer = schedules_of(replace(report, plans=plans), details, job.material.job)
    assert [row.id for row in answer.builders_work.rows] == ["P-0002", "P-0001"]
    assert [overlay.storey for overlay in answer.overlays] == ["B hall", "A hall"]


def test_where_no_protection_is_needed_nothing_is_ordered_formed_submitted_or_wired(report: Report, job: Any) -> None:
    details = {name: to_order(name) for name in PLANTED}
    given = replace(job.material.job, submittals=(approved(on=report.as_of),))
    answer = schedules_of(report, details, given)
    ordered = {name for line in answer.orders.lines for name in line.penetrations}
    assert ordered == set(PLANTED) - {"P-0009", "P-0010"}
    needless = [(item.id, str(item.reasons[0].kind)) for item in answer.orders.held]
    assert needless == [("P-0009", "no damper"), ("P-0010", "no damper")]
    assert answer.builders_work.without_damper == answer.cause_effect.without_damper == ("P-0009", "P-0010")
    submitted = {name for item in answer.submittals.items for name in item.penetrations}
    assert submitted == ordered


def test_a_submittal_says_the_state_of_the_register(report: Report, job: Any) -> None:
    details = {name: to_order(name) for name in PLANTED}
    answer = schedules_of(report, details, job.material.job)
    said = {
        name: line.state for item in answer.submittals.items for line in item.compliance for name in line.penetrations
    }
    assert said == {name: str(state) for name, state in PLANTED.items() if name not in {"P-0009", "P-0010"}}


def test_no_opening_is_formed_for_a_damper_that_was_rejected(report: Report, job: Any) -> None:
    item = with_changes(report, GAP)
    given = replace(report, penetrations=(item,))
    detail = waiting("P-0006")
    free = schedules_of(given, {"P-0006": detail}, job.material.job)
    assert [row.state for row in free.builders_work.rows] == [OpeningState.FORM]
    back = approved(on=report.as_of, status=SubmittalStatus.REJECTED)
    held = schedules_of(given, {"P-0006": detail}, replace(job.material.job, submittals=(back,)))
    assert [row.state for row in held.builders_work.rows] == [OpeningState.HELD]


def test_decisions_count_on_the_day_of_the_report(report: Report, job: Any) -> None:
    details = {"P-0001": to_order()}
    for on, lines in ((report.as_of, 1), (date(2026, 9, 2), 0)):
        given = replace(job.material.job, submittals=(approved(on=on),))
        assert len(schedules_of(report, details, given).orders.lines) == lines
    assert report.as_of == date(2026, 9, 1)
    assert date(2026, 9, 2) < ON


def test_changes_are_told_against_the_lines_of_the_issue_before(report: Report, job: Any) -> None:
    given = replace(job.material.job, submittals=(approved(on=report.as_of),))
    first = schedules_of(report, {"P-0001": to_order()}, given)
    assert (first.is_first, first.changes) == (True, ())
    again = schedules_of(report, {"P-0001": to_order()}, given, before=first.orders.lines)
    assert (again.is_first, again.changes) == (False, ())
    gone = schedules_of(report, {}, given, before=first.orders.lines)
    assert [str(item.kind) for item in gone.changes] == ["removed"]
    assert gone.changes_text == "Penetrations that changed since the issue before: added 0, changed 0, removed 1."


def test_every_clause_says_how_it_is_known(report: Report) -> None:
    clauses = clauses_of(report)
    assert set(clauses) == {used.row.id for used in report.rows}
    for used in report.rows:
        assert clauses[used.row.id].startswith(str(used.row.clause))
        assert clauses[used.row.id].endswith(")")


def test_the_head_is_that_of_the_report(report: Report) -> None:
    head = head_of_schedules(report, "P03")
    assert (head.job, head.as_of, head.invented, head.cautions) == (
        report.job_name,
        report.as_of,
        report.invented,
        report.cautions,
    )
    assert (head.revision_text, head_of_schedules(report).revision_text) == ("P03", "not issued")


def test_a_job_from_its_files_to_its_schedules(job: Any, tmp_path: Path) -> None:
    """A schedule of ours that states nothing of an order: every damper is held, and one row has none."""
    details = details_of(job.report, job.material, standards_for(job.read.job).book)
    answer = schedules_of(job.report, details, job.material.job)
    assert answer.orders.lines == ()
    assert {item.id for item in answer.orders.held} == set(details)
    (bare,) = (item for item in answer.orders.held if item.reasons[0].kind == "no damper")
    assert bare.reference == "FD-03"
    first = next(item for item in answer.orders.held if item.reference == "FD-01")
    asked = {reason.text.partition(":")[0] for reason in first.reasons}
    assert {"Which actuator or release the damper has", "The finish of the damper"} <= asked
    assert [row.reference for row in answer.builders_work.rows] == ["FD-01", "FD-02"]
    assert {row.state for row in answer.builders_work.rows} == {OpeningState.HELD}
    assert [row.reference for row in answer.cause_effect.rows] == ["FD-01", "FD-02"]
    (submittal,) = answer.submittals.items
    assert (submittal.product, submittal.wall_type) == ("HV-10", "W1")
    assert submittal.compliance[0].sources
    (overlay,) = answer.overlays
    assert [why for _, why in overlay.not_placed] == ["No model says where it is."] * 2


def test_missing_facts_are_asked_of_the_party_that_the_job_names(job: Any) -> None:
    rule = PartyRule(("finish", "phase"), Party.CLIENT)
    material = replace(job.material, job=replace(job.material.job, parties=(rule,)))
    answer = schedules_of(job.report, details_of(job.report, material, standards_for(job.read.job).book), material.job)
    first = next(item for item in answer.orders.held if item.reference == "FD-01")
    asked = {reason.text.partition(":")[0]: reason.ask_text for reason in first.reasons}
    assert asked["The finish of the damper"] == "client"
    assert asked["The phase in which it is delivered"] == "client"
    assert asked["The accessories of the damper"] == "services designer"
