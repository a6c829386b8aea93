# SPDX-License-Identifier: Apache-2.0
"""What stands in the working zone: a model can fail it or raise a question, and never clears it.

The ordinary duct is 600 × 400 in a wall of 150 mm; the door of 400 × 300 begins 350 mm behind the blade, the stated
zone is 700 × 700, the maker asks for 600 mm. With the air along the frame's axis and the mechanism on the right the
stated zone is 200 … 900 along, 300 … 1000 to the right, 200 up and down; the maker's 350 … 750, 300 … 900, 150 up and
down. All numbers below are hand differences of these. That a maker's zone is a limit is trade handbook 5.25 to 5.28.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from brattice.building.surroundings import Near, Surroundings
from brattice.building.words import CeilingKind, Handing
from brattice.details.checks import failing_reasons
from brattice.details.detail import Standing
from brattice.details.figures import Figure
from brattice.details.given import Given
from brattice.details.zone import door_along, zone_clear
from brattice.findings import Unknown, Verdict
from brattice.quantities import Mm
from brattice.sketch.shape import shape_of
from tests.details.making import assembled, detail_facts, given
from tests.geometry.shapes import box
from tests.helpers.details import product_facts
from tests.helpers.penetrations import known, unknown

Corners = tuple[tuple[float, float, float], tuple[float, float, float]]
DEEP: Corners = ((400, 890, -20), (700, 950, 20))
"""In the maker's zone by 10 mm: 590 mm from the duct."""
WIDE: Corners = ((760, 400, -20), (890, 500, 20))
"""In the stated zone alone: beside the maker's own, 100 mm from the duct."""


def thing(at: Corners, name: str = "CT-12", **changes: Any) -> Near:
    made = Near("cable carrier", name, f"guid-{name}", "services.ifc", True, False, False, box(*at))
    return replace(made, **changes)


def around(*things: Near, flow: int = 1, **changes: Any) -> Surroundings:
    axes = (np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([0, 0, 1.0]))
    made = Surroundings(np.zeros(3), *axes, flow, 75.0, False, ("services.ifc",), things)
    return replace(made, **changes)


def asked(*things: Near, flow: int = 1, access: str = "side B", **facts: Any) -> Given:
    thing = given(facts=detail_facts(**facts))
    place = thing.penetration
    damper = replace(place.damper, access_side=known(access))
    return replace(thing, penetration=replace(place, around=around(*things, flow=flow), damper=damper))


def figure(thing: Given) -> Figure:
    found = zone_clear(thing)
    assert found is not None
    return found


def test_what_stands_in_the_makers_zone_fails_and_is_found_by_the_check() -> None:
    made = figure(asked(thing(DEEP)))
    assert made.verdict is Verdict.FAIL
    assert made.text == "cable carrier 'CT-12', 10 mm into it, side B"  # into the maker's zone: 600 - 590
    assert "590 mm from the duct" in made.note
    assert made.uses[0].origin is not None
    assert (made.uses[0].origin.file, made.uses[0].origin.place) == ("services.ifc", "GlobalId guid-CT-12")
    (reason,) = failing_reasons(asked(thing(DEEP)))
    assert reason.code == "access-reach"
    assert assembled(asked(thing(DEEP))).standing is Standing.TO_BE_SETTLED


def test_exactly_at_the_makers_limit_it_is_asked_and_does_not_fail() -> None:
    """600 mm from the duct touches the maker's zone; it stands 100 mm into the stated one."""
    made = figure(asked(thing(((400, 900, -20), (700, 950, 20)))))
    assert made.verdict is Verdict.UNKNOWN
    assert made.text == "cable carrier 'CT-12', 100 mm into it, side B"
    assert made.missing
    assert failing_reasons(asked(thing(((400, 900, -20), (700, 950, 20))))) == ()


@pytest.mark.parametrize(
    "at",
    [
        ((400, 1000, -20), (700, 1100, 20)),  # behind it
        ((900, 400, -20), (950, 500, 20)),  # beside it
        ((400, 400, 200), (700, 500, 300)),  # over it
        ((400, 100, -20), (700, 300, 20)),  # touching it at the duct's side
        ((400, -500, -20), (700, -400, 20)),  # on the other side of the duct
        ((-700, 400, -20), (-400, 500, 20)),  # on the other side of the wall
    ],
)
def test_what_touches_or_stands_elsewhere_is_not_in_it_and_clears_nothing(at: Corners) -> None:
    made = figure(asked(thing(at)))
    assert made.verdict is Verdict.NOT_APPLICABLE
    assert made.text == "nothing in the models; look on site"
    assert "services.ifc" in made.note
    assert "look on site" in made.note


def test_the_wall_hides_what_is_behind_it() -> None:
    """A zone of 1200 along would begin at -50: it begins at the wall's face, 75."""
    behind = thing(((-40, 400, -20), (75, 500, 20)))
    assert figure(asked(behind, zone_width_mm=Mm(1200))).verdict is Verdict.NOT_APPLICABLE
    before = thing(((-40, 400, -20), (80, 500, 20)))
    assert figure(asked(before, zone_width_mm=Mm(1200))).verdict is Verdict.UNKNOWN


def test_without_a_makers_statement_it_is_asked() -> None:
    silent = replace(asked(thing(DEEP)), product=product_facts(zone_depth_mm=None))
    assert figure(silent).verdict is Verdict.UNKNOWN
    assert failing_reasons(silent) == ()


def test_beside_the_makers_zone_but_in_the_stated_one_it_is_asked() -> None:
    made = figure(asked(thing(WIDE)))
    assert made.verdict is Verdict.UNKNOWN
    assert "no maker's statement asks for there" in made.note
    assert assembled(asked(thing(WIDE))).standing is Standing.TO_BE_SETTLED


def test_what_may_be_anything_never_fails() -> None:
    assert figure(asked(thing(DEEP, is_certain=False))).verdict is Verdict.UNKNOWN


def test_where_the_flow_is_not_known_both_sides_are_looked_at() -> None:
    """Against the axis the door is on the other side of the wall and the right is the other right."""
    one_side = figure(asked(thing(DEEP), flow=0))
    assert one_side.verdict is Verdict.UNKNOWN
    assert "which way the air flows" in one_side.note
    assert "towards larger x" in one_side.note
    other: Corners = ((-700, -950, -20), (-400, -890, 20))
    both = figure(asked(thing(DEEP), thing(other, "CT-13"), flow=0))
    assert both.verdict is Verdict.FAIL
    assert both.text == "cable carrier 'CT-12', 10 mm into it, side B; and 1 more"
    assert figure(asked(flow=0)).verdict is Verdict.NOT_APPLICABLE
    assert figure(asked(thing(other), flow=-1)).verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("handing", "at"),
    [
        (Handing.LEFT, ((400, -500, -20), (700, -400, 20))),
        (Handing.RIGHT, ((400, 400, -20), (700, 500, 20))),
        (Handing.TOP, ((400, -20, 300), (700, 20, 400))),  # 400 high: the duct's top is at 200
        (Handing.BOTTOM, ((400, -20, -400), (700, 20, -300))),
    ],
)
def test_the_zone_is_on_the_side_of_the_mechanism(handing: Handing, at: Corners) -> None:
    made = figure(asked(thing(at), handing=handing))
    assert made.verdict is Verdict.FAIL
    assert made.text == "cable carrier 'CT-12', 500 mm into it, side B"  # into the maker's zone: 600 - 100
    others = [side for side in Handing if side is not handing]
    assert {figure(asked(thing(at), handing=side)).verdict for side in others} == {Verdict.NOT_APPLICABLE}


def test_without_a_stated_side_every_side_is_looked_at_and_nothing_fails() -> None:
    made = figure(asked(thing(DEEP), handing=None))
    assert made.verdict is Verdict.UNKNOWN
    assert "the side of the mechanism" in made.note


def test_the_zone_is_on_the_side_of_the_barrier_that_the_words_of_the_access_name() -> None:
    mirrored: Corners = ((-700, 400, -20), (-400, 500, 20))
    for access, there, here in (
        ("side B", Verdict.FAIL, Verdict.NOT_APPLICABLE),
        ("from side A", Verdict.NOT_APPLICABLE, Verdict.FAIL),
        ("corridor side", Verdict.UNKNOWN, Verdict.UNKNOWN),
    ):  # fmt: skip - a table
        assert figure(asked(thing(DEEP), access=access)).verdict is there
        assert figure(asked(thing(mirrored), access=access)).verdict is here
    assert figure(asked(thing(DEEP), thing(mirrored, "CT-13"), access="corridor side")).verdict is Verdict.FAIL


def test_both_sides_are_looked_at_where_both_have_to_be_reached() -> None:
    mirrored: Corners = ((-700, 400, -20), (-400, 500, 20))
    made = figure(asked(thing(mirrored), reach_both_sides=True))
    assert made.verdict is Verdict.FAIL
    assert made.text == "cable carrier 'CT-12', 500 mm into it, side A"


@pytest.mark.parametrize("lacks", ["door_distance_mm", "door_width_mm", "door_height_mm"])
def test_where_the_place_of_the_door_is_not_stated_nothing_fails(lacks: str) -> None:
    lacking: dict[str, Any] = {lacks: None}
    made = figure(asked(thing(((300, 400, -20), (700, 500, 20))), **lacking))
    assert made.verdict is Verdict.UNKNOWN


def test_a_blade_of_unknown_place_makes_the_zone_uncertain() -> None:
    made = asked(thing(DEEP))
    damper = replace(made.penetration.damper, blade_offset_mm=unknown())
    made = replace(made, penetration=replace(made.penetration, damper=damper))
    assert isinstance(made.penetration.damper.blade_offset_mm, Unknown)
    assert figure(made).verdict is Verdict.UNKNOWN


def test_a_ceiling_is_judged_by_its_own_figures_where_it_is_stated() -> None:
    ceiling = thing(DEEP, "tiles", what="ceiling", is_ceiling=True)
    assert figure(asked(ceiling, ceiling=CeilingKind.LIFT_OUT)).verdict is Verdict.NOT_APPLICABLE
    assert figure(asked(ceiling, ceiling=None)).verdict is Verdict.FAIL


def test_no_model_leaves_it_to_the_site() -> None:
    made = figure(given())
    assert (made.text, made.verdict) == ("look on site", Verdict.NOT_APPLICABLE)
    assert assembled(given()).standing is Standing.TO_BUILD


def test_no_zone_no_word() -> None:
    assert zone_clear(given(facts=detail_facts(zone_depth_mm=None))) is None


def test_seen_to_be_clear_settles_a_question_and_contradicts_a_failure() -> None:
    settled = figure(asked(thing(WIDE), zone_clear=True))
    assert (settled.text, settled.verdict) == ("seen to be clear", Verdict.NOT_APPLICABLE)
    assert "CT-12" in settled.note
    against = figure(asked(thing(DEEP), zone_clear=True))
    assert against.verdict is Verdict.UNKNOWN
    assert "Which is right" in against.missing[0].text
    assert failing_reasons(asked(thing(DEEP), zone_clear=True)) == ()


def test_stated_not_to_be_clear_is_asked_about_with_and_without_a_model() -> None:
    for made in (figure(asked(zone_clear=False)), figure(given(facts=detail_facts(zone_clear=False)))):
        assert (made.text, made.verdict) == ("not clear", Verdict.UNKNOWN)


def test_names_of_models_are_cut_and_the_nameless_are_named_so() -> None:
    long = figure(asked(thing(DEEP, "Basic Wall:Interior partition 138 mm (2 layers each side):123456")))
    assert long.text.startswith("cable carrier 'Basic Wall:Interior partition 138 mm (2…', 10 mm")
    assert figure(asked(thing(DEEP, ""))).text.startswith("cable carrier without a name, 10 mm")


def test_what_is_drawn_stands_where_the_sheet_draws_the_zone() -> None:
    """Along the sheet's axis, beyond the duct's edge; nothing is drawn where the place of the zone is not certain."""
    (drawn,) = assembled(asked(thing(DEEP))).in_zone
    assert (drawn.along, drawn.out, drawn.side) == ((400.0, 700.0), (590.0, 650.0), "B")
    assert drawn.text == "cable carrier 'CT-12': 590 mm from the duct"
    (turned,) = assembled(asked(thing(((-700, -950, -20), (-400, -890, 20))), flow=-1)).in_zone
    assert (turned.along, turned.out) == ((400.0, 700.0), (590.0, 650.0))
    assert assembled(asked(thing(DEEP), flow=0)).in_zone == ()
    assert assembled(asked(thing(DEEP), handing=None)).in_zone == ()


@pytest.mark.parametrize("offset", [-40, 0, 25])
def test_the_sheet_and_the_look_have_the_door_in_one_place(offset: float) -> None:
    made = asked(thing(DEEP))
    damper = replace(made.penetration.damper, blade_offset_mm=known(Mm(offset)))
    made = replace(made, penetration=replace(made.penetration, damper=damper))
    start, end, blade, is_known = door_along(made)
    shape = shape_of(assembled(made))
    assert is_known
    assert shape.door is not None
    assert (start, end, blade) == (shape.door.start, shape.door.end, shape.blade)
