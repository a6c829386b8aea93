# SPDX-License-Identifier: Apache-2.0
"""Details of a whole report: one for every penetration; what may be built follows its state."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from brattice.details import Standing
from brattice.quantities import Mm
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material
from brattice.usecases.detailing import details_of
from brattice.usecases.identify import identify
from brattice.usecases.job import Job
from brattice.usecases.report_model import Report
from brattice.usecases.states import PenetrationState
from tests.helpers.details import product_facts
from tests.helpers.facts import RIGID, judged, material_of
from tests.helpers.judging import BOOK
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
