# SPDX-License-Identifier: Apache-2.0
"""Growth of the duct between fixed points: check cases C33 to C36 of the trade handbook, at the level of the detail."""

from __future__ import annotations

import pytest

from brattice.building.words import Joint
from brattice.details.checks import failing_reasons
from brattice.details.expansion import expansion_figures
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.details.making import by_key, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.penetrations import penetration


@pytest.mark.parametrize(("minutes", "celsius"), [(60, 945.3), (90, 1006.0), (120, 1049.0), (240, 1152.8)])
def test_c36_the_steel_is_as_hot_as_the_furnace_at_the_class_time(minutes: int, celsius: float) -> None:
    figure = by_key(expansion_figures(given(minutes=minutes)))["steel-temperature"]
    assert figure.value == pytest.approx(celsius, abs=0.05)
    assert "as hot as the furnace" in figure.note
    assert "expansion.steel-as-hot-as-gas" in figure.rows


def test_c35_three_metres_grow_by_38_1_mm_at_60_minutes() -> None:
    figures = by_key(expansion_figures(given()))
    assert figures["expansion"].text == "38.1 mm"
    for key in ("expansion", "joint-travel"):  # both rest on the temperature as well as on the law of steel
        rows, facts = figures[key].rows, [use.name for use in figures[key].uses]
        assert {"fire-curve.standard", "expansion.steel.line", "expansion.steel-as-hot-as-gas"} <= set(rows)
        assert {"length between fixed points", "class time"} <= set(facts)


@pytest.mark.parametrize(
    ("travel", "verdict"), [(38, Verdict.FAIL), (38.2, Verdict.NOT_APPLICABLE), (None, Verdict.UNKNOWN)]
)
def test_a_joint_that_travels_less_than_the_duct_grows_fails(travel: float | None, verdict: Verdict) -> None:
    thing = given(facts=detail_facts(joint_travel_mm=None if travel is None else Mm(travel)))
    assert by_key(expansion_figures(thing))["joint-travel"].verdict is verdict
    assert [item.code for item in failing_reasons(thing)] == (["expansion-travel"] if travel == 38 else [])


def test_the_makers_travel_counts_where_the_schedule_states_none() -> None:
    thing = given(product=product_facts(joint_travel_mm=Mm(20)), facts=detail_facts(joint_travel_mm=None))
    figure = by_key(expansion_figures(thing))["joint-travel"]
    assert (figure.value, figure.verdict) == (20, Verdict.FAIL)


def test_without_fixed_points_or_a_time_the_growth_is_to_be_settled() -> None:
    for thing in (given(facts=detail_facts(run_between_fixed_mm=None)), given(minutes=None)):
        figures = by_key(expansion_figures(thing))
        assert not figures["expansion"].is_settled
        assert not figures["joint-travel"].is_settled
        assert figures["expansion"].missing


def test_where_no_duct_meets_the_damper_nothing_grows() -> None:
    assert expansion_figures(given(penetration(installation__joint=Joint.NO_DUCT))) == ()
