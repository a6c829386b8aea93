# SPDX-License-Identifier: Apache-2.0
"""Details of a whole report: one for every penetration; what may be built follows its state."""

from __future__ import annotations

from datetime import date

from brattice.details import Standing
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material
from brattice.usecases.detailing import details_of
from brattice.usecases.identify import identify
from brattice.usecases.job import Job
from brattice.usecases.report_model import Report
from brattice.usecases.states import PenetrationState
from tests.helpers.details import product_facts
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
