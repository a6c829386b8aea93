# SPDX-License-Identifier: Apache-2.0
"""Marks on plans against other sources: exactly at the limits, and what a mark alone does."""

from dataclasses import replace
from datetime import date

import pytest

from brattice.adapters.rows import shipped_book
from brattice.building.penetration import Location
from brattice.building.plan import SurveyedPlace, Underlay
from brattice.findings import Known, Origin, Verdict
from brattice.usecases.surveyed import reference_findings, with_survey
from tests.helpers.penetrations import known, penetration

BOOK = shipped_book()


def marked(x_m: float, y_m: float, level: str = "Level 1") -> Known[SurveyedPlace]:
    place = SurveyedPlace(x_m, y_m, level, "A. Tester (invented)", date(2026, 3, 1), "level.png")
    return Known(place, Origin("plans/marks.csv", "row 2"))


def at(centre_m: tuple[float, float, float] | None) -> Location:
    return Location(known("Level 1"), "grid B/3", centre_m)


@pytest.mark.parametrize(
    ("x_m", "y_m", "is_asked"),
    [  # the row plans.mark-apart says 1000 mm; heights don't count: a mark lies on a plan
        (4.0, 2.0, False),
        (5.0, 2.0, False),  # exactly 1000 mm
        (5.0001, 2.0, True),
        (4.6, 2.8, False),  # 600 and 800: 1000 (Pythagoras)
        (4.6, 2.8001, True),
    ],
)
def test_a_mark_near_the_place_of_the_models_asks_nothing(x_m: float, y_m: float, is_asked: bool) -> None:
    one = replace(penetration(), location=at((4.0, 2.0, 33.0)))
    after, reasons = with_survey(one, marked(x_m, y_m), BOOK)
    assert after.location.centre_m == (4.0, 2.0, 33.0)
    assert [reason.verdict for reason in reasons] == ([Verdict.UNKNOWN] if is_asked else [])


def test_a_mark_alone_places_the_penetration_and_one_on_another_level_does_not() -> None:
    one = replace(penetration(), location=at(None))
    after, reasons = with_survey(one, marked(7.0, 8.0), BOOK)
    assert reasons == ()
    assert after.location.surveyed == marked(7.0, 8.0)
    assert after.location.centre_m is None
    same, asked = with_survey(one, marked(7.0, 8.0, "Level 2"), BOOK)
    assert same == one
    assert [reason.code for reason in asked] == ["surveyed-place"]
    assert with_survey(one, None, BOOK) == (one, ())


@pytest.mark.parametrize(("rest", "is_open"), [(0.0, False), (250.0, False), (250.1, True)])
def test_a_grid_reference_is_open_beyond_its_limit(rest: float, is_open: bool) -> None:
    under = Underlay("plans/a.png", "Level 1", 1, False, (1, 0, 0, 0), ((0, 0), (1, 0), (1, 1)), (0.0, rest, 0.0))
    (found,) = reference_findings([under], BOOK)
    assert found.open is is_open
    assert found.code == ("plan-reference-fails" if is_open else "plan-reference-note")
