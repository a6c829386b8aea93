# SPDX-License-Identifier: Apache-2.0
"""How far round a penetration the models are looked through: far enough for every zone that is stated."""

from __future__ import annotations

from typing import Any

from brattice.building.detail_facts import DetailFacts
from brattice.building.schedule import ScheduleRow
from brattice.findings import Known
from brattice.quantities import Mm
from brattice.usecases.zones import zone_reach_mm
from tests.helpers.details import product_facts
from tests.helpers.penetrations import known
from tests.helpers.sources import row as schedule_row


def row(**facts: float) -> ScheduleRow:
    stated: dict[str, Any] = {name: known(Mm(value)) for name, value in facts.items()}
    return schedule_row(detail=DetailFacts(**stated))


def answered(**facts: float) -> dict[str, Known[Any]]:
    return {f"penetration/P-0001/{name.replace('_', '-')}": known(value) for name, value in facts.items()}


def test_no_zone_nobody_looks() -> None:
    assert zone_reach_mm([row(door_width_mm=400)], [product_facts()], answered(door_width=300)) is None


def test_every_stated_zone_is_within_reach() -> None:
    """The farthest corner: half the duct and damper beside it, then door, half the zone along, its depth across."""
    reach = zone_reach_mm([row(zone_width_mm=900, zone_depth_mm=800, door_distance_mm=500, door_width_mm=400)], [], {})
    assert reach is not None
    assert reach >= 500 + 400 / 2 + 900 / 2 + 300  # along the duct, a damper of 600
    assert reach >= 800 + 1000  # across, a duct of 2 m
    makers = zone_reach_mm([row(zone_width_mm=300)], [product_facts(zone_depth_mm=Mm(1200))], {})
    assert makers is not None
    assert makers >= 1200 + 1000


def test_an_answer_states_a_zone_too() -> None:
    reach = zone_reach_mm([], [], answered(zone_depth=1500.0))
    assert reach is not None
    assert reach >= 1500 + 1000


def test_a_slip_of_the_pen_does_not_read_the_whole_house() -> None:
    assert zone_reach_mm([row(zone_depth_mm=70_000)], [], {}) == 8000.0
