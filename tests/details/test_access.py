# SPDX-License-Identifier: Apache-2.0
"""Reach for life. What the maker states is a limit; common practice only asks (trade handbook 5.25 to 5.28)."""

from __future__ import annotations

import pytest

from brattice.building.penetration import Size
from brattice.building.words import CeilingKind
from brattice.details.access import access_figures
from brattice.details.checks import failing_reasons
from brattice.details.figures import TO_BE_SETTLED
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.details.making import by_key, detail_facts, given
from tests.helpers.details import product_facts

MAKER = product_facts(least_door_mm=Size(Mm(300), Mm(400)), door_within_mm=Mm(350), zone_depth_mm=Mm(700))


def test_a_door_exactly_as_the_maker_asks_passes_either_way_round() -> None:
    figures = by_key(access_figures(given(product=MAKER)))  # 400 × 300, 350 from the blade, 700 deep
    assert figures["door-width"].verdict is Verdict.PASS
    assert figures["door-distance"].verdict is Verdict.PASS
    assert failing_reasons(given(product=MAKER)) == ()


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"door_width_mm": Mm(399)}, "door-width"),
        ({"door_distance_mm": Mm(351)}, "door-distance"),
        ({"zone_depth_mm": Mm(699)}, "zone-depth"),
    ],
)
def test_less_than_the_maker_asks_fails_and_is_found(changes: dict[str, Mm], key: str) -> None:
    thing = given(product=MAKER, facts=detail_facts(**changes))
    assert by_key(access_figures(thing))[key].verdict is Verdict.FAIL
    assert [item.code for item in failing_reasons(thing)] == ["access-reach"]


def test_below_common_practice_somebody_is_asked_and_nothing_fails() -> None:
    silent = product_facts(least_door_mm=None, door_within_mm=None, zone_depth_mm=None)
    thing = given(product=silent, facts=detail_facts(door_width_mm=Mm(250), door_distance_mm=Mm(900)))
    figures = by_key(access_figures(thing))
    assert figures["door-width"].verdict is Verdict.UNKNOWN
    assert figures["door-distance"].verdict is Verdict.UNKNOWN
    assert figures["door-width"].missing
    assert failing_reasons(thing) == ()


def test_the_zone_is_never_passed_because_nobody_looked_what_stands_in_it() -> None:
    figures = by_key(access_figures(given(product=MAKER)))
    assert figures["zone-depth"].verdict is Verdict.NOT_APPLICABLE
    assert figures["zone-clear"].verdict is Verdict.NOT_APPLICABLE
    assert figures["zone-clear"].text == "look on site"


def test_a_lift_out_ceiling_needs_no_hatch() -> None:
    assert "hatch-width" not in by_key(access_figures(given()))


@pytest.mark.parametrize(
    ("hatch", "verdict"),
    [(0, Verdict.FAIL), (None, Verdict.UNKNOWN), (450, Verdict.NOT_APPLICABLE), (449, Verdict.UNKNOWN)],
)
def test_a_fixed_ceiling_has_a_hatch(hatch: float | None, verdict: Verdict) -> None:
    side = None if hatch is None else Mm(hatch)
    facts = detail_facts(ceiling=CeilingKind.FIXED, hatch_width_mm=side, hatch_height_mm=side)
    thing = given(facts=facts)
    assert by_key(access_figures(thing))["hatch-width"].verdict is verdict
    assert [item.code for item in failing_reasons(thing)] == (["access-reach"] if hatch == 0 else [])


def test_a_hatch_of_which_one_side_is_stated_is_to_be_settled() -> None:
    facts = detail_facts(ceiling=CeilingKind.FIXED, hatch_width_mm=Mm(600))
    found = by_key(access_figures(given(facts=facts)))
    assert found["hatch-width"].text == "600 mm"
    assert (found["hatch-height"].text, found["hatch-height"].verdict) == (TO_BE_SETTLED, Verdict.UNKNOWN)


def test_reach_from_both_sides_is_said() -> None:
    figure = by_key(access_figures(given(facts=detail_facts(reach_both_sides=True))))["access-side"]
    assert figure.text == "corridor side, and from the other side"
