# SPDX-License-Identifier: Apache-2.0
"""Details of a whole report: one for every penetration; what may be built follows its state."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from brattice.details import Standing
from brattice.orders import SubmittalStatus
from brattice.quantities import Mm
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material
from brattice.usecases.detail_basis import class_minutes
from brattice.usecases.detailing import details_of, state_words, unless_rejected
from brattice.usecases.identify import identify
from brattice.usecases.job import Job
from brattice.usecases.report_model import Report
from brattice.usecases.states import PenetrationState
from tests.helpers.details import product_facts
from tests.helpers.facts import RIGID, judged, material_of
from tests.helpers.judging import BOOK
from tests.helpers.ordered import ON, approved, override, to_order
from tests.helpers.reports import PLANTED, sample_report


def material(report: Report) -> Material:
    job = Job("Invented job", Rules("England", "invented", date(2026, 9, 1), "non-residential"))
    identified = identify((), (), (), match_within_mm=250)
    return Material(job, identified, {}, report.installations, products=(product_facts(),))


def test_every_penetration_has_a_detail_under_its_id() -> None:
    report = sample_report()
    details = details_of(report, material(report), BOOK)
    assert list(details) == [item.penetration.id for item in report.penetrations]
    assert all(detail.id == name for name, detail in details.items())


def test_no_state_but_within_scope_and_deviation_accepted_is_ever_built() -> None:
    report = sample_report()
    for name, detail in details_of(report, material(report), BOOK).items():
        if PLANTED[name] not in {PenetrationState.WITHIN_SCOPE, PenetrationState.DEVIATION_ACCEPTED}:
            assert detail.standing is not Standing.TO_BUILD, name


def test_a_place_without_a_damper_is_not_drawn_and_says_why() -> None:
    report = sample_report()
    details = details_of(report, material(report), BOOK)
    assert (details["P-0009"].standing, details["P-0009"].why) == (
        Standing.NOT_DRAWN,
        "No damper: protected by a run that is stated proven.",
    )
    assert details["P-0010"].why == "No damper: no protection is needed here."
    assert details["P-0011"].why == "The model leaves open whether a duct passes the barrier here."


def test_an_accepted_deviation_is_said_in_the_detail() -> None:
    report = sample_report()
    detail = details_of(report, material(report), BOOK)["P-0008"]
    assert detail.deviation.startswith("Deviation accepted by")


def test_the_class_asked_is_what_the_requirement_asks() -> None:
    report = sample_report()
    assert details_of(report, material(report), BOOK)["P-0001"].class_asked == "E 60 (ve i↔o) or ES 60 (ve i↔o)"


def test_a_shape_that_cannot_be_is_an_open_finding_of_the_check(tmp_path: Path) -> None:
    read = material_of(RIGID, tmp_path)
    (tested,) = read.installations[:1]
    plain = product_facts(maker=tested.maker, product=tested.product)
    bent = replace(plain, casing_length_mm=Mm(300), blade_from_end_mm=Mm(400))
    assert not judged(replace(read, products=(plain,))).penetrations[0].something_open
    report = judged(replace(read, products=(bent,)))
    assert [item.code for item in report.penetrations[0].findings if item.open] == ["geometry-fails"]
    assert report.penetrations[0].state is PenetrationState.OUTSIDE_SCOPE
    detail = details_of(report, replace(read, products=(bent,)), BOOK)[report.penetrations[0].penetration.id]
    assert detail.standing is Standing.NOT_DRAWN
    assert "400 mm from the casing's end" in detail.problems[0]


RODS = {"support": "drop rods", "rod_size": "M6", "rod_count": 2, "weight_kg": 45, "rod_length_mm": 900}


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        ({"run_between_fixed_mm": 3000, "joint_travel_mm": 38}, "expansion-travel-fails"),  # 38.1 mm (C35)
        ({"run_between_fixed_mm": 3000, "joint_travel_mm": 39}, ""),
        (RODS, "support-in-fire-fails"),  # M6 carries 36.9 kg on two rods at 60 min (C28)
        ({**RODS, "rod_size": "M8"}, ""),
        ({"ceiling": "fixed ceiling", "hatch_width_mm": 0, "hatch_height_mm": 0}, "access-reach-fails"),
        ({"ceiling": "fixed ceiling"}, ""),  # nobody states a hatch: to be settled on the sheet, no query of the check
        ({"fan_in_fire": "runs", "air_l_s": 9000}, ""),  # what the maker shows is not known
    ],
)
def test_what_a_schedule_states_and_calculation_rules_out_is_found(
    cells: dict[str, object], code: str, tmp_path: Path
) -> None:
    hung = "support" in cells
    world = RIGID.with_evidence(("installation", 0, "support"), "drop rods") if hung else RIGID
    report = judged(material_of(world.with_row(**cells), tmp_path))
    (item,) = report.penetrations
    assert [finding.code for finding in item.findings if finding.open] == ([code] if code else [])
    assert item.queries == ()
    assert (item.state is PenetrationState.WITHIN_SCOPE) is (not code)
    if code:
        (finding,) = [finding for finding in item.findings if finding.open]
        assert finding.origins
        assert finding.rows or code == "access-reach-fails"
        assert set(finding.rows) <= set(item.rests_on)


def test_a_state_says_which_checks_it_counts() -> None:
    """Whoever holds an order, a submittal or a sheet does not have the register beside it."""
    items = {item.state: item for item in sample_report().penetrations}
    outside = items[PenetrationState.OUTSIDE_SCOPE]
    (failing,) = [finding.text for finding in outside.findings if finding.open and finding.code.endswith("-fails")]
    assert state_words(outside) == f"{outside.state_why} {failing}"
    unknown = items[PenetrationState.NOT_ENOUGH_KNOWN]
    lacking = [finding.text for finding in unknown.findings if finding.open and finding.code.endswith("-unknown")]
    assert state_words(unknown).split(". ", 1)[1] == " ".join(dict.fromkeys(lacking))
    within = items[PenetrationState.WITHIN_SCOPE]
    assert state_words(within) == within.state_why


REJECTED = approved(status=SubmittalStatus.REJECTED, comments="another seal")


@pytest.mark.parametrize(
    ("decisions", "overrides", "standing"),
    [
        ((REJECTED,), (), Standing.TO_BE_SETTLED),
        ((REJECTED,), (override("P-0001"),), Standing.TO_BE_SETTLED),  # of the same day: undone by the rejection
        ((REJECTED,), (override("P-0001", on=ON + timedelta(1)),), Standing.TO_BUILD),
        ((REJECTED,), (override("P-0002", on=ON + timedelta(1)),), Standing.TO_BE_SETTLED),
        ((REJECTED, approved(on=ON + timedelta(1))), (), Standing.TO_BUILD),
        ((replace(REJECTED, on=ON + timedelta(2)),), (), Standing.TO_BUILD),  # not decided yet
        ((replace(REJECTED, wall_type="W1"),), (), Standing.TO_BUILD),
        ((replace(REJECTED, product="HV-11"),), (), Standing.TO_BUILD),
        ((), (), Standing.TO_BUILD),
    ],
)
def test_what_was_rejected_is_not_to_be_built(decisions: Any, overrides: Any, standing: Standing) -> None:
    job = replace(material(sample_report()).job, submittals=decisions, order_overrides=overrides)
    detail = unless_rejected(to_order(), job, ON + timedelta(1))
    assert detail.standing is standing
    if standing is Standing.TO_BE_SETTLED:
        assert detail.why == (
            "The technical submittal of Harrow & Vale HV-10 in W2 is C (rejected, to be submitted again), 2026-11-02, "
            "Ida Invented, architect, Return 1 revision A. Comments: another seal"
        )
    waiting = to_order(standing=Standing.NOT_DRAWN, why="The geometry can't be.")
    assert unless_rejected(waiting, job, ON) == waiting


def test_a_class_that_cannot_be_read_leaves_the_time_not_known() -> None:
    """Of several classes that would do, the longest time counts; one that nobody can read may be longer."""
    assert class_minutes(["E 60 (ve i↔o)", "ES 90 (ve i↔o)"], BOOK) == 90
    assert class_minutes(["E 60 (ve i↔o)", "two hours"], BOOK) is None
    assert class_minutes([], BOOK) is None
