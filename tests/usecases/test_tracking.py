# SPDX-License-Identifier: Apache-2.0
"""What people say beside what is judged: the whole table of states and stages, deviations, zones, facts."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from brattice.building.penetration import Size
from brattice.quantities import Mm
from brattice.register.stages import RestsOn, Stage, StageEvent, StageStep
from brattice.usecases.job import AcceptedValue, DeviationAccepted
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState
from brattice.usecases.tracking import CONTRADICTS, facts_rested_on, tracker_rows, with_tracker, zone_stated
from tests.helpers.penetrations import penetration, without
from tests.helpers.reports import sample_report

DAY = date(2026, 3, 2)


def said(stage: Stage, name: str = "P-0001") -> StageEvent:
    return StageEvent(name, stage, StageStep.SAID, DAY, DAY, "A. Person (invented)")


def report_of(item: PenetrationReport) -> Report:
    return replace(sample_report(), penetrations=(item,), deviations=())


def one(state: PenetrationState) -> PenetrationReport:
    item = next(item for item in sample_report().penetrations if item.penetration.id == "P-0001")
    return replace(item, state=state, findings=())


HOLDS = {
    PenetrationState.WITHIN_SCOPE,
    PenetrationState.DEVIATION_ACCEPTED,
    PenetrationState.PROTECTED_RUN_PROVEN,
    PenetrationState.NO_PROTECTION_NEEDED,
}


@pytest.mark.parametrize("stage", [*Stage])
@pytest.mark.parametrize("state", [*PenetrationState])
def test_each_stage_against_each_state(state: PenetrationState, stage: Stage) -> None:
    """Nobody goes on where nothing holds; changes that are named can be made until the seal is in."""
    if state in HOLDS or stage is Stage.OPENING_CHECKED:
        expected = False
    elif state is PenetrationState.WITHIN_SCOPE_IF:
        expected = stage in {Stage.SEALED, Stage.INSPECTED, Stage.TESTED, Stage.HANDED_OVER}
    else:
        expected = True
    assert (stage in CONTRADICTS[state]) is expected
    item = with_tracker(report_of(one(state)), [said(stage)], ()).penetrations[0]
    found = [finding for finding in item.findings if finding.code == "stage-judgment-fails"]
    assert bool(found) is expected
    assert item.state is state
    for finding in found:
        words = f"{stage} on 2026-03-02 by A. Person (invented), but the judgment is: {state}."
        assert finding.text.startswith(words[:1].upper() + words[1:])
        assert finding.open
        assert item.tracked is not None
        assert stage in item.tracked.doubtful


def test_the_report_without_a_tracker_is_as_it_was() -> None:
    report = sample_report()
    assert with_tracker(report, [], ()) == report


def test_a_named_person_can_accept_a_contradiction_and_the_state_stays() -> None:
    accepted = DeviationAccepted(
        ("P-0001",), ("stage-judgment-fails",), "P. Signer (invented)", "fire engineer", "Letter 7", "B", DAY, "",
        (
            AcceptedValue(
                "stage-judgment-fails", "outside scope", "a judgment that holds, or the stage taken back"
            ),
        ),
    )  # fmt: skip
    plain = report_of(one(PenetrationState.OUTSIDE_SCOPE))
    report = replace(plain, deviations=(accepted,))
    (item,) = with_tracker(report, [said(Stage.APPROVED)], ()).penetrations
    (finding,) = item.findings
    assert not finding.open
    assert (
        "Deviation accepted by P. Signer (invented), fire engineer, on Letter 7 revision B, 2026-03-02" in finding.text
    )
    assert item.state is PenetrationState.OUTSIDE_SCOPE
    other = replace(accepted, penetrations=("P-0002",))
    (item,) = with_tracker(replace(plain, deviations=(other,)), [said(Stage.APPROVED)], ()).penetrations
    assert item.findings[0].open
    worse = replace(accepted, accepted=(replace(accepted.accepted[0], have="within scope if"),))
    (item,) = with_tracker(replace(plain, deviations=(worse,)), [said(Stage.APPROVED)], ()).penetrations
    assert item.findings[0].open
    assert "for within scope if (needed: a judgment that holds" in item.findings[0].text


def test_every_fact_that_a_stage_can_rest_on_is_read_from_the_penetration() -> None:
    facts = dict(facts_rested_on(penetration()))
    assert list(facts) == [name.value for name in RestsOn]
    assert all(facts.values())
    assert facts["damper size"] == "600 × 400"
    assert facts["barrier thickness"] == "150 mm"
    unknown = without(penetration(), "damper__size", "barrier__wall_type_code", "installation__seal_products")
    assert dict(facts_rested_on(unknown)) == facts | {"damper size": "", "wall type": "", "seal products": ""}


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"damper__maker": "Another (invented)"}, "maker"),
        ({"damper__product": "HV-11"}, "product"),
        ({"damper__size": Size(Mm(600), Mm(450))}, "damper size"),
        ({"duct__size": Size(Mm(600), Mm(450))}, "duct size"),
        ({"damper__class_text": "E 60 (ve i↔o)"}, "class scheduled"),
        ({"barrier__wall_type_code": "W3"}, "wall type"),
        ({"barrier__thickness_mm": Mm(100)}, "barrier thickness"),
    ],
)
def test_a_change_of_what_was_ordered_is_told(change: dict[str, Any], name: str) -> None:
    """A wall swapped after the order (trade handbook 13.8), and each other fact that an order rests on."""
    thing = penetration()
    then = tuple(sorted((fact, value) for fact, value in facts_rested_on(thing) if value))
    event = replace(said(Stage.APPROVED), rests_on=tuple(pair for pair in then if pair[0] != "framed opening"))
    item = one(PenetrationState.WITHIN_SCOPE)
    before = with_tracker(report_of(replace(item, penetration=thing)), [event], ()).penetrations[0]
    assert before.findings == ()
    after = with_tracker(report_of(replace(item, penetration=penetration(**change))), [event], ()).penetrations[0]
    (finding,) = after.findings
    assert finding.code == "stage-facts-fails"
    now = dict(facts_rested_on(penetration(**change)))[name]
    assert f"the {name} was {dict(then)[name]}, now it is {now}" in finding.text


@pytest.mark.parametrize(
    ("remark", "zone"),
    [("Zone: East core", "East core"), ("ZONE :  3 ", "3"), ("Zones: 3", ""), ("see zone: 3", ""), ("Zone:", "")],
)
def test_the_zone_of_a_schedule(remark: str, zone: str) -> None:
    assert zone_stated(penetration(remarks=("none", remark))) == zone


def test_a_row_of_the_tracker_tells_what_the_sources_say() -> None:
    item = replace(one(PenetrationState.WITHIN_SCOPE), penetration=penetration(remarks=("Zone: Z9",)))
    (row,) = tracker_rows(report_of(item))
    assert (row.id, row.level, row.place, row.wall_type, row.size, row.state) == (
        "P-0001",
        "Level 1",
        "grid B/3",
        "W1",
        "600 × 400",
        "within scope",
    )
    assert (row.zone, row.zone_given, row.zone_entries) == ("Z9", "Z9", ())
    assert [cell.stage for cell in row.stages] == [*Stage]
    nameless = without(item.penetration, "damper__size", "location__storey")
    (row,) = tracker_rows(report_of(replace(item, penetration=nameless)))
    assert (row.size, row.level) == ("600 × 400", "")  # the duct's
