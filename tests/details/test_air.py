# SPDX-License-Identifier: Apache-2.0
"""Air, closing under flow and leakage. Expected values are the trade handbook's check cases or hand calculations."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.penetration import Size
from brattice.building.words import FanInFire
from brattice.details.air import air_figures
from brattice.details.checks import failing_reasons
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.given import Given
from brattice.evidence.product import LossTable, SizePoint, by_size
from brattice.findings import Verdict
from brattice.quantities import Mm, Pa
from tests.details.making import by_key, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, unknown

LOSS = LossTable("constant", "invented sheet, table 7", a=0.19)


def figures(thing: Given) -> dict[str, Figure]:
    return by_key(air_figures(thing))


def sized(width: float, height: float | None, **product: Any) -> Given:
    size = Size(Mm(width), None if height is None else Mm(height))
    place = penetration(duct__size=size, damper__size=size)
    return given(place, installation(class_text="EI 60 (ve i↔o) S"), product_facts(**product))


def test_velocity_is_flow_over_the_duct() -> None:
    assert figures(given())["velocity"].value == pytest.approx(3.75)  # 0.9 m³/s / (0.6 · 0.4 m²)


def test_c41_a_curtain_of_c_0_19_loses_2_85_pa_at_5_m_s() -> None:
    thing = given(product=product_facts(loss=LOSS), facts=detail_facts(air_l_s=1200.0))  # 1.2 / 0.24 = 5 m/s
    assert figures(thing)["pressure-loss"].value == pytest.approx(2.85)


def test_a_coefficient_on_the_free_area_takes_the_velocity_there() -> None:
    free = LossTable("constant", "invented sheet", a=0.12)
    product = product_facts(loss=LOSS, loss_on_free_area=True, free_area=free)
    thing = given(product=product, facts=detail_facts(air_l_s=1200.0))
    # 1.2 / 0.12 = 10 m/s; 0.19 · 0.5 · 1.2 · 10² = 11.4 Pa
    assert figures(thing)["pressure-loss"].value == pytest.approx(11.4)


@pytest.mark.parametrize(
    ("width", "height", "e", "s"), [(600, 600, "129.6 m³/h", "72 m³/h"), (315, None, "28.1 m³/h", "15.6 m³/h")]
)
def test_c01_to_c03_the_limits_of_e_and_s(width: float, height: float | None, e: str, s: str) -> None:
    found = figures(sized(width, height))
    assert (found["leakage-e"].text, found["leakage-s"].text) == (e, s)


def test_c39_a_blade_of_class_3_leaks_13_9_l_s_m2_at_300_pa() -> None:
    figure = figures(sized(1000, 1000, blade_class=3))["blade-leakage"]
    assert figure.value == pytest.approx(13.9, rel=0.005)  # of one square metre
    assert figure.verdict is Verdict.NOT_APPLICABLE  # a class proves neither E nor S (C40)


def test_c37_a_casing_of_class_c_at_1000_pa() -> None:
    thing = sized(1000, 1000, casing_class="C", casing_length_mm=Mm(500))
    thing = replace(thing, penetration=replace(thing.penetration, detail=detail_facts(system_pressure_pa=Pa(1000))))
    # 0.267 l/(s·m²) of 4 · 1.0 · 0.5 = 2 m²
    assert figures(thing)["casing-leakage"].value == pytest.approx(2 * 0.267, rel=0.005)


@pytest.mark.parametrize(("most", "verdict"), [(3.75, Verdict.PASS), (3.74, Verdict.FAIL), (None, Verdict.UNKNOWN)])
def test_a_damper_that_closes_against_the_fan_was_shown_to(most: float | None, verdict: Verdict) -> None:
    product = product_facts(most_closing_velocity_m_s=most, most_closing_pressure_pa=Pa(1000))
    facts = detail_facts(fan_in_fire=FanInFire.RUNS, system_pressure_pa=Pa(400))
    thing = given(product=product, facts=facts)
    assert figures(thing)["closing-velocity"].verdict is verdict
    assert figures(thing)["closing-pressure"].verdict is Verdict.PASS
    expected = ["closing-under-flow"] if verdict is Verdict.FAIL else []
    assert [item.code for item in failing_reasons(thing)] == expected


@pytest.mark.parametrize(("pressure", "verdict"), [(500, Verdict.PASS), (501, Verdict.FAIL), (None, Verdict.UNKNOWN)])
def test_the_pressure_on_the_closed_blade_counts_as_well(pressure: float | None, verdict: Verdict) -> None:
    product = product_facts(most_closing_velocity_m_s=10, most_closing_pressure_pa=Pa(500))
    stated = None if pressure is None else Pa(pressure)
    thing = given(product=product, facts=detail_facts(fan_in_fire=FanInFire.RUNS, system_pressure_pa=stated))
    assert figures(thing)["closing-pressure"].verdict is verdict


def test_a_fan_that_stops_asks_nothing_and_an_unknown_one_leaves_it_unknown() -> None:
    """Field case 25."""
    stops = figures(given())["closing-velocity"]
    assert (stops.text, stops.verdict) == ("not asked: the fan stops", Verdict.NOT_APPLICABLE)
    unknown = figures(given(facts=detail_facts(fan_in_fire=None)))["closing-velocity"]
    assert unknown.verdict is Verdict.UNKNOWN
    assert unknown.missing[0].key == "penetration/P-0001/fan-in-fire"


def test_a_size_that_the_table_does_not_hold_is_not_made_up() -> None:
    points = (SizePoint(Mm(500), Mm(400), 20.0), SizePoint(Mm(700), Mm(400), 30.0))
    table = LossTable("table", "invented sheet", points)
    assert by_size(table, Size(Mm(500), Mm(400))).value == 20
    assert by_size(table, Size(Mm(600), Mm(400))).value is None  # between two sizes nobody stated anything
    assert by_size(table, Size(Mm(400), Mm(500))).value is None  # never swapped


@pytest.mark.parametrize(("width", "value"), [(1000, 42.0), (1001, None), (200, 22.0), (199, None)])
def test_a_formula_holds_from_its_least_to_its_most_size(width: float, value: float | None) -> None:
    table = LossTable("affine in area", "invented", (), 17.0, 50.0, Size(Mm(200), Mm(500)), Size(Mm(1000), Mm(500)))
    # 17 + 50 · (1.0 · 0.5); 17 + 50 · (0.2 · 0.5)
    assert by_size(table, Size(Mm(width), Mm(500))).value == (None if value is None else pytest.approx(value))
    assert by_size(table, Size(Mm(width))).value is None  # a formula of width and height says nothing of a round one


def test_a_damper_smaller_than_its_duct_closes_against_the_faster_air() -> None:
    """0.9 m³/s: 3.75 m/s in the duct of 600 × 400, and 7.5 m/s in a damper of 600 × 200."""
    product = product_facts(most_closing_velocity_m_s=5.0, most_closing_pressure_pa=Pa(1000))
    facts = detail_facts(fan_in_fire=FanInFire.RUNS, system_pressure_pa=Pa(400))
    narrow = penetration(damper__size=Size(Mm(600), Mm(200)))
    figure = figures(given(narrow, product=product, facts=facts))["closing-velocity"]
    assert figure.value == pytest.approx(7.5)
    assert figure.verdict is Verdict.FAIL
    assert "damper" in [use.name for use in figure.uses]
    wide = penetration(damper__size=Size(Mm(800), Mm(400)))  # the duct is the narrower
    assert figures(given(wide, product=product, facts=facts))["closing-velocity"].value == pytest.approx(3.75)


def test_a_pressure_that_a_class_is_not_given_for_is_no_freedom_to_leak() -> None:
    thing = sized(1000, 1000, blade_class=3, casing_class="C", casing_length_mm=Mm(500))
    thing = replace(thing, penetration=replace(thing.penetration, detail=detail_facts(system_pressure_pa=Pa(2001))))
    found = figures(thing)
    assert found["blade-leakage"].text == "class 3: not given at 2001 Pa"
    assert found["casing-leakage"].text == "class C: not given at 2001 Pa"
    assert figures(sized(1000, 1000, blade_class=0))["blade-leakage"].text == "class 0: no limit"


def test_c40_a_blade_class_stands_beside_the_limit_of_s_and_proves_nothing() -> None:
    """Trade handbook 7.9: class 2 allows 69.3 l/(s·m²) at 300 Pa, class 3 13.9; S allows 55.6."""
    for number, words in ((2, "69.3 l/(s·m²) at 300 Pa, more than the 55.6 of S"), (3, "13.9 l/(s·m²)")):
        figure = figures(sized(600, 600, blade_class=number))["blade-leakage"]
        assert words in figure.note
        assert "S comes from the damper's own test" in figure.note
        assert figure.verdict is Verdict.NOT_APPLICABLE
    only_e = replace(sized(600, 600, blade_class=2), tested=installation(class_text="E 60 (ve i↔o)"))
    assert "not more than the 100 of E" in figures(only_e)["blade-leakage"].note


def test_leakage_without_a_size_asks_for_the_size() -> None:
    product = product_facts(blade_class=3, casing_class="C", casing_length_mm=Mm(500))
    nowhere = given(penetration(duct__size=unknown(), damper__size=unknown()), product=product)
    for key in ("blade-leakage", "casing-leakage", "free-area"):
        assert figures(nowhere)[key].text == TO_BE_SETTLED
        assert [item.key for item in figures(nowhere)[key].missing] == ["penetration/P-0001/fact"], key


@pytest.mark.parametrize(("pressure", "is_over"), [(750, False), (751, True), (1000, True)])
def test_a_casing_beyond_the_pressures_of_its_class_says_so(pressure: float, is_over: bool) -> None:
    """Trade handbook 7.6: class B from −750 to +1000 Pa; the sign of a system's pressure is not stated."""
    thing = sized(1000, 1000, casing_class="B", casing_length_mm=Mm(500))
    stated = detail_facts(system_pressure_pa=Pa(pressure))
    figure = figures(replace(thing, penetration=replace(thing.penetration, detail=stated)))["casing-leakage"]
    assert ("-750 to 1000 Pa" in figure.note) is is_over
    assert figure.verdict is Verdict.NOT_APPLICABLE


def test_without_a_coefficient_the_loss_is_to_be_settled_and_says_what_to_reckon_with() -> None:
    """5 m/s, 15 Pa (trade handbook 7.10): C 0.12 to 0.52 (7.12, 7.15) are 1.8 to 7.8 Pa; ζ 0.129 at 0.9 free (7.16)
    is 1.9 Pa."""
    facts, free = detail_facts(air_l_s=1200.0), LossTable("constant", "invented sheet", a=0.216)  # of 0.24 m²
    figure = figures(given(product=product_facts(loss=None, free_area=free), facts=facts))["pressure-loss"]
    assert (figure.value, figure.text, figure.verdict) == (None, TO_BE_SETTLED, Verdict.UNKNOWN)
    assert "would lose 1.8 to 7.8 Pa" in figure.note
    assert "would lose 1.9 Pa" in figure.note
    assert {"air.loss.multi-blade", "air.blockage.coefficient"} <= set(figure.rows)
    assert [item.key for item in figure.missing] == ["product/Harrow & Vale HV-10/loss"]
    slow = given(product=product_facts(loss=None, free_area=free), facts=detail_facts(air_l_s=48.0))  # Re 6,400
    assert "sharp-edged" not in figures(slow)["pressure-loss"].note


def test_a_value_between_two_sizes_says_that_it_was_interpolated() -> None:
    points = tuple(SizePoint(Mm(w), Mm(h), v) for w, h, v in ((500, 400, 0.16), (700, 400, 0.24)))
    table = LossTable("table", "invented sheet, table 7", points, interpolate=True)
    figure = figures(given(product=product_facts(free_area=table)))["free-area"]
    assert figure.value == pytest.approx(0.20)  # 600 lies half way between 500 and 700
    assert any("interpolated in invented sheet, table 7" in use.name for use in figure.uses)
    strict = figures(given(product=product_facts(free_area=replace(table, interpolate=False))))["free-area"]
    assert strict.value is None
    assert strict.note.startswith("Invented sheet, table 7 states none for 600 × 400")
