# SPDX-License-Identifier: Apache-2.0
"""The openings to be formed. Expected numbers are hand sums, written beside each case; field cases are those of the
trade handbook, section 13."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from brattice.building.penetration import Sides, Size
from brattice.building.words import OpeningShape, Orientation, SupportingConstruction, Surface
from brattice.details import TO_BE_SETTLED
from brattice.details.openings import opening_plan, place_figures, stated_problems
from brattice.evidence.installation import ConstructionTested, SideWindows, SizeWindow, Window
from brattice.findings import Known, Origin, Verdict
from brattice.quantities import Mm
from tests.details.making import by_key, detail_facts, given
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import penetration, unknown, with_facts, without

LINED = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(12.5))
IN_STUDS: dict[str, Any] = {
    "barrier__wall_type__kind": SupportingConstruction.FLEXIBLE_WALL,
    "barrier__wall_type__lining_mm": Mm(12.5),
    "opening__framed": Size(Mm(715), Mm(515)),
    "opening__finished": Size(Mm(690), Mm(490)),
    "opening__gaps": Sides(Mm(45), Mm(45), Mm(45), Mm(45)),
}

SPREAD = 17
"""How far a gap may come out in masonry with the shipped tolerances [mm]: (10 + 2) / 2 + 5 + 3 + 3."""


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


def nothing_scheduled(**changes: Any) -> Any:
    thing = without(penetration(**changes), "opening__framed", "opening__finished", "opening__gaps")
    return with_facts(thing, opening__gaps_from=unknown())


def test_a_scheduled_opening_that_keeps_every_tested_gap_is_the_one_to_form() -> None:
    plan = opening_plan(given())
    assert plan.is_scheduled
    assert (plan.finished, plan.framed) == (size(700, 500), size(700, 500))
    figures = by_key(plan.figures)
    assert figures["gap-left"].value == 50  # as stated
    assert figures["gap-left"].verdict is Verdict.PASS
    assert figures["existing-off"].verdict is Verdict.PASS


def test_a_scheduled_opening_without_room_names_the_roomier_one_until_it_is_formed() -> None:
    tested = installation(seal__gaps=gaps(45, 75))
    figure = by_key(opening_plan(given(penetration(opening__formed=False), tested)).figures)["opening-tolerance"]
    assert figure.value == -12  # 50 − 45 less SPREAD
    # the middle of 45 to 75 is 60 a side: 600 + 2 × 60, 400 + 2 × 60, with 60 − 45 less SPREAD left
    assert "720 × 520 mm finished clear has more room: -2 mm a side" in figure.note
    made = by_key(opening_plan(given(penetration(opening__formed=True), tested)).figures)["opening-tolerance"]
    assert made.value == -12
    assert "more room" not in made.note


def test_a_scheduled_opening_that_has_most_room_names_no_other() -> None:
    tested = installation(seal__gaps=gaps(40, 60))  # the middle is the 50 that is scheduled
    figure = by_key(opening_plan(given(penetration(opening__formed=False), tested)).figures)["opening-tolerance"]
    assert figure.value == -7  # 50 − 40 less SPREAD
    assert "more room" not in figure.note


def test_without_a_scheduled_opening_the_middle_of_the_window_is_to_be_formed() -> None:
    plan = opening_plan(given(nothing_scheduled(), installation(seal__gaps=gaps(30, 60))))
    assert plan.finished == size(690, 490)  # 600 + 2 × 45, 400 + 2 × 45
    assert plan.gaps == (45, 45, 45, 45)
    assert by_key(plan.figures)["opening-tolerance"].value == -2  # 45 − 30 less SPREAD


def test_a_lined_opening_is_framed_by_twice_the_lining_more() -> None:
    tested = installation(construction=LINED, seal__gaps=gaps(40, 50))
    plan = opening_plan(given(penetration(**IN_STUDS), tested))
    assert plan.framed == size(715, 515)  # 690 + 2 × 12.5, 490 + 2 × 12.5
    assert plan.words == "690 × 490 mm finished clear (715 × 515 framed)"


def test_a_thicker_lining_of_the_wall_type_is_the_one_to_build() -> None:
    place = nothing_scheduled(**{**IN_STUDS, "barrier__wall_type__lining_mm": Mm(25)})
    plan = opening_plan(given(place, installation(construction=LINED, seal__gaps=gaps(40, 50))))
    assert plan.lining_mm == 25
    assert plan.framed == size(740, 540)  # 690 + 2 × 25


def test_a_lining_thinner_than_tested_is_not_built_from_the_wall_type() -> None:
    place = nothing_scheduled(**{**IN_STUDS, "barrier__wall_type__lining_mm": Mm(10)})
    plan = opening_plan(given(place, installation(construction=LINED, seal__gaps=gaps(40, 50))))
    assert plan.lining_mm == 12.5


def test_a_casing_off_centre_moves_the_opening_and_keeps_each_gap() -> None:
    tested = installation(
        seal__gap_from=Surface.CASING, seal__gaps=gaps(30, 60), casing_beyond_mm=(Mm(10), Mm(40), Mm(5), Mm(5))
    )
    plan = opening_plan(given(nothing_scheduled(), tested))
    # across 600 + 10 + 40 + 2 × 45 = 740; upwards 400 + 5 + 5 + 2 × 45 = 500
    assert plan.finished == size(740, 500)
    assert plan.gaps == (45, 45, 45, 45)


def test_a_scheduled_opening_has_room_for_the_casing_also_where_the_gap_is_tested_from_the_duct() -> None:
    tested = installation(seal__gaps=gaps(30, 60), casing_beyond_mm=(Mm(50), Mm(50), Mm(50), Mm(50)))
    plan = opening_plan(given(penetration(), tested))  # 700 × 500 scheduled; 600 + 2 × 50, 400 + 2 × 50: just fits
    assert plan.problems == ()
    tested = installation(seal__gaps=gaps(30, 60), casing_beyond_mm=(Mm(50), Mm(51), Mm(50), Mm(50)))
    (problem,) = opening_plan(given(penetration(), tested)).problems
    assert "smaller than the casing, 701 × 500 mm" in problem


def test_evidence_whose_casing_has_no_room_in_any_tested_gap_is_asked_after() -> None:
    tested = installation(seal__gaps=gaps(30, 60), casing_beyond_mm=(Mm(61), Mm(10), Mm(10), Mm(10)))
    plan = opening_plan(given(penetration(), tested))
    assert by_key(plan.figures)["finished-width"].text == TO_BE_SETTLED
    assert any("How the casing fits" in item.text for item in by_key(plan.figures)["finished-width"].missing)


def test_uneven_windows_put_each_gap_in_the_middle_of_its_own() -> None:
    windows = SideWindows(Window(10, 20), Window(40, 60), Window(0, 10), Window(20, 20))
    plan = opening_plan(given(nothing_scheduled(), installation(seal__gaps=windows)))
    assert plan.gaps == (15, 50, 5, 20)
    assert by_key(plan.figures)["gap-bottom"].limit == "20 mm"
    assert plan.finished == size(665, 425)  # 600 + 15 + 50, 400 + 5 + 20
    assert by_key(plan.figures)["opening-tolerance"].value == -17  # no room below, less SPREAD


def test_a_round_damper_where_a_square_hole_was_tested_gets_a_square_hole() -> None:
    place = nothing_scheduled(duct__size=size(315), damper__size=size(315))
    plan = opening_plan(given(place, installation(seal__gaps=gaps(30, 60))))
    assert plan.finished == size(405, 405)  # 315 + 2 × 45 both ways (field case 14: only the shape tested)
    assert "finished-diameter" not in by_key(plan.figures)


def test_a_round_hole_has_one_diameter() -> None:
    place = nothing_scheduled(duct__size=size(315), damper__size=size(315), opening__shape=OpeningShape.ROUND)
    tested = installation(
        opening_shape=OpeningShape.ROUND,
        sizes=SizeWindow(OpeningShape.ROUND, Window(100, 800), None),
        seal__gaps=gaps(20, 40),
    )
    plan = opening_plan(given(place, tested))
    assert plan.finished == size(375)  # 315 + 2 × 30
    figures = by_key(plan.figures)
    assert (figures["finished-diameter"].text, figures["framed-diameter"].text) == ("375 mm", "375 mm")


def test_a_gap_from_a_surface_that_nobody_placed_is_to_be_settled() -> None:
    plan = opening_plan(given(tested=installation(seal__gap_from=Surface.FLANGE)))
    figure = by_key(plan.figures)["finished-width"]
    assert figure.text == TO_BE_SETTLED
    assert [item.key for item in figure.missing] == ["evidence/HV-10-RW-1/casing_beyond_mm"]


def test_a_shared_hole_is_not_given_by_one_damper_alone() -> None:
    plan = opening_plan(given(penetration(opening__shared_with=("P-0002",))))
    assert plan.finished is None
    assert "P-0002" in by_key(plan.figures)["finished-width"].missing[0].text


def test_a_stud_wall_whose_lining_nobody_states_has_no_framed_opening_yet() -> None:
    place = nothing_scheduled(
        barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL,
        barrier__wall_type__lining_mm=unknown("wall-type/W1/lining"),
    )
    tested = installation(construction=ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100)))
    figures = by_key(opening_plan(given(place, tested)).figures)
    assert figures["framed-width"].text == TO_BE_SETTLED
    assert figures["framed-width"].missing[0].key == "wall-type/W1/lining"
    assert figures["finished-width"].text == "690 mm"


def test_room_that_is_just_enough_for_the_site_can_be_built_for_sure() -> None:
    exactly = by_key(opening_plan(given(tested=installation(seal__gaps=gaps(50 - SPREAD, 50 + SPREAD)))).figures)
    assert exactly["opening-tolerance"].value == 0
    assert exactly["opening-tolerance"].note.startswith("Can be built for sure")
    short = by_key(opening_plan(given(tested=installation(seal__gaps=gaps(51 - SPREAD, 50 + SPREAD)))).figures)
    assert short["opening-tolerance"].value == -1
    assert "never" not in short["opening-tolerance"].note.split(".")[0]
    assert short["opening-tolerance"].verdict is Verdict.NOT_APPLICABLE  # choosing, never accepting


def test_the_share_expected_outside_is_that_of_a_seeded_simulation() -> None:
    """The oracle: 200,000 installations with normal errors, two standard deviations each (as the rows say)."""
    tested = installation(seal__gaps=gaps(44, 56))
    share = by_key(opening_plan(given(tested=tested)).figures)["opening-outside-share"].value
    rng = np.random.default_rng(4)
    count, inside = 200_000, np.ones(200_000, dtype=bool)
    for _ in ("width", "height"):
        total = rng.normal(0, 10 / 2, count) - rng.normal(0, 2 / 2, count)
        place = rng.normal(0, 5 / 2, count) + rng.normal(0, 3 / 2, count)
        for gap in (50 + total / 2 + place, 50 + total / 2 - place):
            inside &= (gap >= 44 + 3) & (gap <= 56 - 3)  # a wall out of plumb takes 3 mm off both ends
    assert share == pytest.approx(100 * (1 - inside.mean()), abs=0.4)


@pytest.mark.parametrize("least_most", [(50, 60), (40, 50)])
def test_a_gap_exactly_at_either_end_of_the_window_keeps_the_scheduled_opening(least_most: tuple[float, float]) -> None:
    plan = opening_plan(given(tested=installation(seal__gaps=gaps(*least_most))))
    assert plan.is_scheduled


def test_an_oversized_hole_is_formed_again_or_tested_otherwise_and_never_filled_with_sealant() -> None:
    """Field case 11."""
    place = penetration(
        opening__framed=size(800, 500),
        opening__finished=size(800, 500),
        opening__gaps=Sides(Mm(100), Mm(100), Mm(50), Mm(50)),
        opening__formed=True,
    )
    plan = opening_plan(given(place, installation(seal__gaps=gaps(30, 60))))
    figure = by_key(plan.figures)["existing-off"]
    assert figure.verdict is Verdict.FAIL
    # 800 − 600 leaves 200 for both gaps, 2 × 60 at most: 80 too wide
    assert "80 mm too wide" in figure.text
    assert "orm it again as 690 × 490 mm" in figure.text
    assert "another tested installation" in figure.text
    assert "more sealant is no cure" in figure.text
    assert "line the reveals" not in figure.text  # an unlined wall was tested
    assert plan.finished == size(690, 490)


def test_a_hole_too_wide_in_a_lined_wall_may_be_lined_down() -> None:
    place = penetration(
        **{
            **IN_STUDS,
            "opening__framed": size(765, 565),
            "opening__finished": size(740, 540),
            "opening__gaps": Sides(Mm(70), Mm(70), Mm(70), Mm(70)),
            "opening__formed": True,
        }
    )
    figure = by_key(opening_plan(given(place, installation(construction=LINED, seal__gaps=gaps(40, 50)))).figures)
    # 740 to 690: 25 mm more on each reveal, 12.5 + 25
    assert "line the reveals 37.5 mm thick" in figure["existing-off"].text


def test_an_opening_not_yet_formed_is_formed_otherwise() -> None:
    place = penetration(
        opening__framed=size(650, 450),
        opening__finished=size(650, 450),
        opening__gaps=Sides(Mm(25), Mm(25), Mm(25), Mm(25)),
    )
    figure = by_key(opening_plan(given(place, installation(seal__gaps=gaps(30, 60)))).figures)["existing-off"]
    assert "10 mm too narrow and 10 mm too low" in figure.text  # 650 − 600 = 50 of 2 × 30
    assert "orm it as 690 × 490 mm instead" in figure.text


def test_an_opening_too_wide_and_not_yet_formed_is_drawn_again_and_not_lined_down() -> None:
    wide = {
        "opening__framed": size(765, 565),
        "opening__finished": size(740, 540),
        "opening__gaps": Sides(Mm(70), Mm(70), Mm(70), Mm(70)),
        "opening__formed": False,
    }
    tested = installation(construction=LINED, seal__gaps=gaps(40, 50))
    figure = by_key(opening_plan(given(penetration(**{**IN_STUDS, **wide}), tested)).figures)["existing-off"]
    assert "orm it as 690 × 490 mm instead" in figure.text
    assert "line the reveals" not in figure.text


def test_an_opening_of_the_right_size_in_the_wrong_place_is_told_so() -> None:
    """Field case 12: the total is right, one side is zero."""
    place = penetration(opening__gaps=Sides(Mm(0), Mm(100), Mm(50), Mm(50)))
    plan = opening_plan(given(place))  # tested 30 to 60 mm
    assert not plan.is_scheduled
    text = by_key(plan.figures)["existing-off"].text
    # the gap at the left lacks 30, the one at the right is 40 too wide: 40 to the right leaves 40 and 60
    assert text.endswith("Set damper and duct at least 40 mm to the right, or form the opening as much the other way.")


@pytest.mark.parametrize(
    ("gaps_here", "words"),
    [
        ((50, 50, 25, 75), "at least 15 mm down,"),  # above 15 too wide below: 75 − 15 = 60, 25 + 15 = 40
        ((65, 35, 80, 20), "at least 5 mm to the left and 20 mm up,"),
        ((30, 70, 50, 50), "at least 10 mm to the right,"),
        ((50, 52, 25, 75), "at least 15 mm down,"),  # the sums may be off by the 2 mm of rounding
        ((20, 90, 50, 50), "left and right are 110 mm together, where it leaves 100 mm. Measure"),
    ],
)
def test_how_far_an_opening_lies_off_and_the_smallest_shift(gaps_here: tuple[int, ...], words: str) -> None:
    left, right, top, bottom = (Mm(value) for value in gaps_here)
    plan = opening_plan(given(penetration(opening__gaps=Sides(left, right, top, bottom))))
    assert words in by_key(plan.figures)["existing-off"].text


@pytest.mark.parametrize("window", [(20, 40), (20, 60), (10, 40)])
def test_a_round_damper_off_the_middle_has_the_room_of_its_narrowest_gap(window: tuple[float, float]) -> None:
    """In a hole of 375, 30 left and right: 24 above are 4 more than 20, 36 below 4 less than 40."""
    here = Sides(Mm(30), Mm(30), Mm(24), Mm(36))
    place = penetration(
        duct__size=size(315),
        damper__size=size(315),
        opening__shape=OpeningShape.ROUND,
        opening__finished=size(375),
        opening__framed=size(375),
        opening__gaps=here,
    )
    tested = installation(
        opening_shape=OpeningShape.ROUND,
        sizes=SizeWindow(OpeningShape.ROUND, Window(100, 800), None),
        seal__gaps=gaps(*window),
    )
    plan = opening_plan(given(place, tested))
    assert plan.is_scheduled
    # less half of 10 + 2 and √2 times 5 + 3 + 3
    assert by_key(plan.figures)["opening-tolerance"].value == pytest.approx(4 - 6 - 11 * 2**0.5)
    other = with_facts(place, opening__gaps=Sides(Mm(30), Mm(30), Mm(24), Mm(30)))  # 54 upwards in a room of 60
    assert not opening_plan(given(other, tested)).is_scheduled


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"opening__finished": size(590, 500), "opening__framed": size(590, 500)},
            "The finished clear opening of 590 × 500 mm",
        ),
        ({"opening__gaps": Sides(Mm(-5), Mm(105), Mm(50), Mm(50))}, "The gap left is stated as -5 mm"),
    ],
)
def test_shapes_that_cannot_be_are_said(changes: dict[str, Any], words: str) -> None:
    problems = opening_plan(given(penetration(**changes))).problems
    assert any(text.startswith(words) for text in problems)


def test_an_opening_exactly_as_large_as_the_damper_is_no_impossible_shape() -> None:
    exact = size(600, 400)
    place, flush = penetration(opening__finished=exact, opening__framed=exact), installation(casing_beyond_mm=None)
    assert opening_plan(given(place, flush)).problems == ()


def test_a_lining_that_fills_the_framed_opening_is_said() -> None:
    place = penetration(**{**IN_STUDS, "opening__framed": size(50, 515), "barrier__wall_type__lining_mm": Mm(25)})
    problems = opening_plan(given(place, installation(construction=LINED))).problems
    assert any("Two linings of 25 mm fill the framed opening's width of 50 mm" in text for text in problems)


def test_sill_and_head_follow_from_the_centre_and_the_gaps() -> None:
    thing = given(nothing_scheduled(), installation(seal__gaps=gaps(30, 60)))
    figures = by_key(place_figures(thing, opening_plan(thing)))
    assert figures["sill-height"].value == 2655  # 2900 − 400 / 2 − 45
    assert figures["head-height"].value == 3145  # 2900 + 400 / 2 + 45


def test_sill_and_head_of_a_casing_off_the_axis_and_uneven_gaps() -> None:
    windows = SideWindows(Window(30, 60), Window(30, 60), Window(10, 20), Window(40, 60))
    tested = installation(
        seal__gap_from=Surface.CASING, seal__gaps=windows, casing_beyond_mm=(Mm(10), Mm(10), Mm(5), Mm(30))
    )
    thing = given(nothing_scheduled(), tested)
    figures = by_key(place_figures(thing, opening_plan(thing)))
    assert figures["sill-height"].value == 2620  # 2900 − 400 / 2 − 30 − 50
    assert figures["head-height"].value == 3120  # 2900 + 400 / 2 + 5 + 15


def test_a_floor_has_no_sill_and_head() -> None:
    thing = given(penetration(barrier__orientation=Orientation.FLOOR))
    keys = by_key(place_figures(thing, opening_plan(thing))).keys()
    assert not keys & {"centre-height", "sill-height", "head-height"}


def test_without_a_centre_the_heights_are_to_be_settled() -> None:
    thing = given(facts=detail_facts(centre_above_floor_mm=None))
    figure = by_key(place_figures(thing, opening_plan(thing)))["sill-height"]
    assert (figure.text, figure.verdict) == (TO_BE_SETTLED, Verdict.UNKNOWN)
    assert figure.missing[0].key == "penetration/P-0001/centre-above-floor"


def test_a_gap_stated_below_nothing_can_t_be_and_a_hole_modelled_too_small_is_formed_anew() -> None:
    below = Sides(Mm(50), Mm(50), Mm(-1), Mm(50))
    (problem,) = stated_problems(given(penetration(opening__gaps=below)))
    assert "The gap top is stated as -1 mm" in problem
    place = penetration(opening__gaps=below, opening__guid="1abcMODELLEDHOLE")
    assert len(stated_problems(given(place))) == 1  # stated all the same
    facts = replace(place.opening, gaps=Known(below, Origin("models/a.ifc", "GlobalId 1abcMODELLEDHOLE")))
    assert stated_problems(given(replace(place, opening=facts))) == ()
