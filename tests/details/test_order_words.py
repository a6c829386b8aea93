# SPDX-License-Identifier: Apache-2.0
"""Words of order and controls against what the maker states: silence holds the line, what is not offered fails."""

from __future__ import annotations

from brattice.building.words import Actuation, FailPosition, Handing
from brattice.details.controls import control_figures
from brattice.details.order_words import order_figures
from brattice.evidence.product import Actuator
from brattice.findings import Party, Verdict
from tests.details.making import by_key, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.penetrations import penetration

MOTOR = Actuator("M230", "spring-return motor", ("230 V AC", "24 V DC"), True, FailPosition.CLOSED)


def test_a_choice_that_the_maker_offers_is_settled() -> None:
    figures = by_key(order_figures(given()))
    assert (figures["handing"].text, figures["handing"].verdict) == ("right", Verdict.PASS)
    assert figures["actuator"].text == "T72: thermal link 72 °C with spring"
    assert figures["voltage"].text == "none"
    assert figures["accessories"].text == "none"
    assert figures["delivery"].text == "6 weeks"


def test_a_choice_that_the_maker_does_not_offer_fails_with_what_he_offers() -> None:
    product = product_facts(handings=(Handing.LEFT,), finishes=("stainless",))
    figures = by_key(order_figures(given(product=product)))
    assert figures["handing"].verdict is Verdict.FAIL
    assert figures["handing"].limit == "offered: left"
    assert figures["finish"].verdict is Verdict.FAIL


def test_what_the_maker_does_not_state_holds_the_line() -> None:
    figures = by_key(order_figures(given(product=product_facts(handings=(), actuators=(), delivery_weeks=None))))
    for key in ("handing", "actuator", "delivery"):
        assert not figures[key].is_settled
        assert figures[key].missing


def test_a_voltage_is_one_of_the_actuator_that_is_stated() -> None:
    product = product_facts(actuators=(MOTOR,))
    good = by_key(order_figures(given(product=product, facts=detail_facts(actuator="m230", voltage="24 V DC"))))
    bad = by_key(order_figures(given(product=product, facts=detail_facts(actuator="M230", voltage="110 V AC"))))
    assert good["voltage"].verdict is Verdict.PASS
    assert bad["voltage"].verdict is Verdict.FAIL


def test_a_voltage_for_a_thermal_link_fails() -> None:
    assert by_key(order_figures(given(facts=detail_facts(voltage="24 V DC"))))["voltage"].verdict is Verdict.FAIL


def test_end_switches_that_the_actuator_has_not_fail() -> None:
    assert by_key(order_figures(given(facts=detail_facts(end_switches=True))))["end-switches"].verdict is Verdict.FAIL


def test_a_thermal_link_needs_no_zone_and_no_address() -> None:
    keys = by_key(control_figures(given(facts=detail_facts(fail_position=None)))).keys()
    assert not keys & {"detector-zone", "detector", "panel-address", "fail-position"}


def test_a_damper_closed_by_detection_needs_zone_address_and_position() -> None:
    place = penetration(damper__actuation=frozenset({Actuation.SMOKE_DETECTION}))
    facts = detail_facts(actuator="M230", detector_zone=None, detector=None, panel_address=None, fail_position=None)
    figures = by_key(control_figures(given(place, product=product_facts(actuators=(MOTOR,)), facts=facts)))
    for key in ("detector-zone", "detector", "panel-address", "fail-position"):
        assert not figures[key].is_settled


def test_the_detector_is_said_as_stated_and_asked_where_detection_may_close_the_damper() -> None:
    place = penetration(damper__actuation=frozenset({Actuation.SMOKE_DETECTION}))
    stated = by_key(control_figures(given(place, facts=detail_facts(detector="SD-14, SD-15"))))["detector"]
    assert (stated.text, stated.missing) == ("SD-14, SD-15", ())
    asked = by_key(control_figures(given(place, facts=detail_facts(detector=None))))["detector"]
    assert [(item.key, item.ask) for item in asked.missing] == [
        ("penetration/P-0001/detector", Party.SERVICES_DESIGNER)
    ]
    heat = by_key(control_figures(given(facts=detail_facts(detector="SD-14"))))["detector"]
    assert heat.text == "SD-14"


def test_a_fail_position_that_the_actuator_does_not_have_fails() -> None:
    facts = detail_facts(actuator="M230", voltage="230 V AC", fail_position=FailPosition.OPEN)
    figures = by_key(control_figures(given(product=product_facts(actuators=(MOTOR,)), facts=facts)))
    assert figures["fail-position"].verdict is Verdict.FAIL


def test_smoke_detection_needs_an_actuator_that_it_can_release() -> None:
    """A link that takes no voltage knows nothing of smoke: an order of it is no order of what is asked."""
    both = frozenset({Actuation.SMOKE_DETECTION, Actuation.THERMAL})
    place = penetration(damper__actuation=both)
    link = by_key(order_figures(given(place)))["actuator"]
    assert link.verdict is Verdict.UNKNOWN
    assert "smoke detection releases T72" in link.missing[0].text
    motor = given(place, product=product_facts(actuators=(MOTOR,)), facts=detail_facts(actuator="M230"))
    assert by_key(order_figures(motor))["actuator"].verdict is Verdict.PASS


def test_what_an_actuator_does_without_power_is_for_its_maker_to_say() -> None:
    silent = Actuator("M9", "motor", ("24 V DC",), True, None)
    thing = given(product=product_facts(actuators=(silent,)), facts=detail_facts(actuator="M9", voltage="24 V DC"))
    figure = by_key(control_figures(thing))["fail-position"]
    assert (figure.text, figure.verdict) == ("closed", Verdict.UNKNOWN)
    assert "when power or signal is lost" in figure.missing[0].text
