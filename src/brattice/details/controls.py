# SPDX-License-Identifier: Apache-2.0
"""What alarm, controls and electrical trades need: what closes the damper, detector and zone, its address, the fan."""

from __future__ import annotations

from brattice.building.words import Actuation, FailPosition
from brattice.details.figures import Figure
from brattice.details.given import Given, used
from brattice.details.order_words import actuator_of
from brattice.findings import Known, Verdict

__all__ = ["control_figures"]


def control_figures(given: Given) -> tuple[Figure, ...]:
    """Actuation, detector zone, detector, fail position, fan, address; what heat alone does not need is left out."""
    detail, fact = given.penetration.detail, given.penetration.damper.actuation
    figures = [given.stated("actuation", fact)]
    actuator = actuator_of(given)
    detected = not isinstance(fact, Known) or Actuation.SMOKE_DETECTION in fact.value
    powered = actuator is None or actuator.voltages != ()
    switched = isinstance(detail.end_switches, Known) and detail.end_switches.value
    if detected or detail.detector_zone is not None:
        figures.append(given.stated("detector-zone", detail.detector_zone, "detector_zone"))
    if detected or detail.detector is not None:
        figures.append(given.stated("detector", detail.detector, "detector"))
    if detected or powered or detail.fail_position is not None:
        figures.append(_fail_position(given))
    figures.append(given.stated("fan-in-fire", detail.fan_in_fire, "fan_in_fire"))
    if detected or switched or detail.panel_address is not None:
        figures.append(given.stated("panel-address", detail.panel_address, "panel_address"))
    return tuple(figures)


def _fail_position(given: Given) -> Figure:
    """Where it goes without power: as stated, against what the actuator does; open or staying is said as such."""
    fact, actuator = given.penetration.detail.fail_position, actuator_of(given)
    does = None if actuator is None else actuator.fail_position
    if actuator is not None and actuator.voltages != () and does is None and isinstance(fact, Known):
        lacks = given.maker_lacks("fail_position", f"What {actuator.code} does when power or signal is lost")
        uses = used("fail position", fact)
        return given.figure("fail-position", text=str(fact.value), verdict=Verdict.UNKNOWN, uses=uses, missing=(lacks,))
    if does is None or not isinstance(fact, Known):
        stated = given.stated("fail-position", fact, "fail_position")
        if does is None or isinstance(fact, Known):
            return stated
        return given.lacking("fail-position", stated.missing, uses=(given.of_maker("position without power", does),))
    uses = (*used("fail position", fact), given.of_maker("position without power", does))
    limit = f"the actuator: {does}"
    if fact.value is not does:
        note = "The actuator does otherwise than is asked."
        return given.figure(
            "fail-position", text=str(fact.value), limit=limit, verdict=Verdict.FAIL, uses=uses, note=note
        )
    note = "" if does is FailPosition.CLOSED else "It does not close by itself when power or signal is lost."
    return given.figure("fail-position", text=str(fact.value), limit=limit, verdict=Verdict.PASS, uses=uses, note=note)
