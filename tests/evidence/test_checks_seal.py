# SPDX-License-Identifier: Apache-2.0
"""The hole and its seal: named products, and the gap of each side from the surface of the test."""

from __future__ import annotations

from typing import Any

import pytest

from brattice.building.penetration import Sides
from brattice.building.words import OpeningShape, Orientation, Surface
from brattice.evidence import Judgment, Scope
from brattice.evidence.checks_seal import GENERIC_SEALS
from brattice.evidence.installation import SideWindows, Window
from brattice.quantities import Mm
from tests.evidence.cases import CHANGE, FAIL, PASS, UNKNOWN, Case, outcome, size
from tests.helpers.installations import gaps, installation
from tests.helpers.judging import judged, the_reason
from tests.helpers.penetrations import known, penetration, unknown

BATT = ("Emberhold 50 batt", "Emberhold S sealant")


def sides(left: float, right: float, top: float, bottom: float) -> Any:
    return known(Sides(Mm(left), Mm(right), Mm(top), Mm(bottom)))


def beyond(left: float, right: float, top: float, bottom: float) -> tuple[Mm, Mm, Mm, Mm]:
    return Mm(left), Mm(right), Mm(top), Mm(bottom)


def opening(gap: Any, surface: Any = Surface.DUCT, **more: Any) -> dict[str, Any]:
    return {"opening__gaps": gap, "opening__gaps_from": surface} | {f"opening__{key}": more[key] for key in more}


UNEVEN = SideWindows(Window(20, 50), Window(30, 60), Window(40, 120), Window(10, 20))
OPEN = SideWindows(*[Window(None, 60)] * 4)
CASING = {"seal__gap_from": Surface.CASING}
FLANGE = {"seal__gap_from": Surface.FLANGE}

CASES = [
    # field case 14
    Case("opening-shape", PASS),
    Case("opening-shape", CHANGE, {"opening__shape": OpeningShape.ROUND}),
    Case("opening-shape", CHANGE, {"opening__shape": OpeningShape.ROUND, "opening__formed": unknown()}),
    Case("opening-shape", FAIL, {"opening__shape": OpeningShape.ROUND, "opening__formed": True}),
    Case("opening-shape", UNKNOWN, {"opening__shape": unknown()}),
    # field cases 11 and 28
    Case("seal-products", PASS),
    Case("seal-products", PASS, {"installation__seal_products": ("cinderlock  m5 MORTAR",)}),
    Case("seal-products", CHANGE, {"installation__seal_products": ("Slatefill compound",)}),
    Case("seal-products", UNKNOWN, {"installation__seal_products": ("mortar",)}),
    Case("seal-products", UNKNOWN, {"installation__seal_products": ("",)}),
    Case("seal-products", UNKNOWN, {"installation__seal_products": ()}),
    Case("seal-products", UNKNOWN, {"installation__seal_products": unknown()}),
    Case("seal-products", PASS, {"installation__seal_products": BATT[::-1]}, {"seal__products": BATT}),
    Case("seal-products", CHANGE, {"installation__seal_products": BATT[:1]}, {"seal__products": BATT}),
    Case("seal-products", UNKNOWN, {"installation__seal_products": (BATT[0], "Sealant")}, {"seal__products": BATT}),
    Case("seal-products", CHANGE, {"installation__seal_products": ("Other batt", "sealant")}, {"seal__products": BATT}),
    Case("seal-products", UNKNOWN, tested={"seal__products": ("Mortar",)}),
    Case("seal-layers", PASS, {"installation__seal_layers": 2}),
    Case("seal-layers", CHANGE, tested={"seal__layers": 2}),
    Case("seal-layers", UNKNOWN, {"installation__seal_layers": unknown()}),
    Case("seal-layers", UNKNOWN, tested={"seal__layers": None}),
    Case("seal-faces", PASS),
    Case("seal-faces", CHANGE, {"installation__seal_faces": 1}),
    Case("seal-faces", PASS, {"installation__seal_faces": 2}, {"seal__faces": 1}),
    Case("seal-faces", UNKNOWN, {"installation__seal_faces": unknown()}),
    Case("seal-faces", UNKNOWN, tested={"seal__faces": None}),
    Case("seal-depth", PASS, {"installation__seal_depth_mm": 100}),
    Case("seal-depth", CHANGE, {"installation__seal_depth_mm": 99.999}),
    Case("seal-depth", PASS, {"installation__seal_depth_mm": 120}, {"seal__depth_mm": Window(100, 120)}),
    Case("seal-depth", CHANGE, {"installation__seal_depth_mm": 120.001}, {"seal__depth_mm": Window(100, 120)}),
    Case("seal-depth", UNKNOWN, {"installation__seal_depth_mm": unknown()}),
    Case("seal-depth", UNKNOWN, tested={"seal__depth_mm": None}),
    # row 2.48, exactly at the ends of the window, a side
    *(Case("gap", PASS, opening(sides(*at))) for at in ((30, 60, 30, 60), (60, 30, 60, 30))),
    *(
        Case("gap", CHANGE, opening(sides(*[value if place == side else 45 for place in range(4)])))
        for side in range(4)
        for value in (29.999, 60.001, 0, -5)
    ),
    Case("gap", PASS, opening(sides(20, 30, 120, 10)), {"seal__gaps": UNEVEN}),
    Case("gap", CHANGE, opening(sides(30, 20, 120, 10)), {"seal__gaps": UNEVEN}),
    # field case 12: the sum is right, one side is at nothing
    Case("gap", CHANGE, opening(sides(0, 90, 45, 45))),
    # nothing to seal where the document sets no least
    Case("gap", CHANGE, opening(sides(0, 45, 45, 45)), {"seal__gaps": OPEN}),
    Case("gap", PASS, opening(sides(0.001, 45, 45, 45)), {"seal__gaps": OPEN}),
    Case("gap", PASS, opening(sides(0, 45, 45, 45)), {"seal__gaps": gaps(0, 60)}),
    Case("gap", PASS, opening(sides(500, 500, 500, 500)), {"seal__gaps": gaps(30, None)}),
    # field case 11: formed already, never more sealant
    Case("gap", FAIL, opening(sides(61, 45, 45, 45), formed=True)),
    Case("gap", CHANGE, opening(sides(61, 45, 45, 45), formed=unknown())),
    # from the duct to the casing, each side by its own stand-off (10 on each)
    Case("gap", PASS, opening(sides(40, 70, 40, 70)), CASING),
    Case("gap", CHANGE, opening(sides(39.999, 70, 40, 70)), CASING),
    Case("gap", CHANGE, opening(sides(40, 70.001, 40, 70)), CASING),
    Case("gap", PASS, opening(sides(35, 75, 40, 90)), CASING | {"casing_beyond_mm": beyond(5, 15, 10, 30)}),
    Case("gap", CHANGE, opening(sides(35, 75, 40, 90)), CASING | {"casing_beyond_mm": beyond(15, 5, 10, 30)}),
    Case("gap", PASS, opening(sides(30, 60, 30, 60), Surface.CASING), CASING),
    Case("gap", PASS, opening(sides(20, 50, 20, 50), Surface.CASING)),
    Case("gap", CHANGE, opening(sides(19.999, 50, 20, 50), Surface.CASING)),
    # surfaces that can't be turned into each other: only what is certain
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 45), unknown())),
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 45)), CASING | {"casing_beyond_mm": None}),
    Case("gap", CHANGE, opening(sides(45, 45, 45, 29)), CASING | {"casing_beyond_mm": None}),
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 200)), CASING | {"casing_beyond_mm": None}),
    Case("gap", CHANGE, opening(sides(45, 45, 45, 61), Surface.CASING), {"casing_beyond_mm": None}),
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 29), Surface.CASING), {"casing_beyond_mm": None}),
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 45)), FLANGE),
    Case("gap", CHANGE, opening(sides(45, 45, 45, 29.9)), FLANGE),
    Case("gap", UNKNOWN, opening(sides(45, 45, 45, 45), Surface.FRAME), FLANGE),
    Case("gap", PASS, opening(sides(45, 45, 45, 45), Surface.FLANGE), FLANGE),
    # without the gaps: 600 × 400, so the opening has to be 660 to 720 × 460 to 520, and even then it is not known
    *(
        Case("gap", verdict, opening(unknown("x/gaps"), finished=size(width, height)))
        for verdict, width, height in (
            (UNKNOWN, 660, 460), (UNKNOWN, 720, 520), (CHANGE, 659.9, 490), (CHANGE, 720.1, 490),
            (CHANGE, 690, 459.9), (CHANGE, 690, 520.1),
        )
    ),
    Case("gap", FAIL, opening(unknown(), finished=size(600, 400), formed=True)),
    Case("gap", UNKNOWN, opening(unknown(), finished=unknown())),
    Case("gap", UNKNOWN, opening(unknown(), finished=size(680, 480)), CASING),
    Case("gap", CHANGE, opening(unknown(), finished=size(679.9, 480)), CASING),
    Case("gap", UNKNOWN, opening(unknown(), finished=size(100))),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.outcome}")
def test_one_change_to_a_pair_that_holds(case: Case) -> None:
    assert outcome(case.judgment(), case.code) == case.outcome


@pytest.mark.parametrize("word", sorted(GENERIC_SEALS))
def test_a_kind_of_seal_is_no_name(word: str) -> None:
    judgment = judged(penetration(installation__seal_products=(word.upper(),)))
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert [missing.key for missing in judgment.missing] == ["penetration/P-0001/seal_products"]


def gap_told(gap: Any, tested: Any = None, **site: Any) -> tuple[str, str]:
    """The reason and the change for gaps of the ordinary place (600 × 400; 30 to 60 mm on every side)."""
    judgment = judged(
        penetration(**opening(gap, finished=unknown("x/finished")), **site), *([tested] if tested is not None else [])
    )
    return the_reason(judgment, "gap").text, judgment.changes[0].text


def test_an_opening_of_the_right_size_off_centre_is_moved_not_formed_in_the_size_it_has() -> None:
    # 0 + 90 = 90 lies in 60 to 120: 30 to the left gives 30 and 60, 45 gives 45 and 45
    why, cure = gap_told(sides(0, 90, 45, 45))
    assert why == (
        "The gap is outside the tested window on the left and right. "
        "The size of the finished clear opening would do; where it stands would not."
    )
    assert cure == (
        "Move the finished clear opening 30 mm to the left (then left 30, right 60 mm); 45 mm centres it (then left "
        "45, right 45 mm). Its size would do: the gap has to be 30 to 60 mm on every side, from the duct."
    )


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        ((90, 0, 45, 45), "30 mm to the right (then left 60, right 30 mm); 45 mm centres it"),
        ((45, 45, 10, 80), "20 mm up (then bottom 60, top 30 mm); 35 mm centres it"),
        ((45, 45, 80, 10), "20 mm down (then bottom 30, top 60 mm); 35 mm centres it"),
        ((-5, 65, 45, 45), "35 mm to the left (then left 30, right 30 mm)."),
        ((61, 45, 45, 29), "1 mm to the right (then left 60, right 46 mm); 8 mm centres it"),
        ((29.95, 45, 45, 45), "0.1 mm to the left (then left 30.1, right 44.9 mm); 7.5 mm centres it"),
    ],
)
def test_the_smallest_move_and_the_one_that_centres(gap: tuple[float, float, float, float], words: str) -> None:
    assert words in gap_told(sides(*gap))[1]


def test_in_a_floor_nothing_is_moved_up_or_down() -> None:
    bare = opening(sides(45, 45, 10, 80), finished=unknown("x/finished"))
    site = penetration(**bare, barrier__orientation=Orientation.FLOOR)
    cure = next(item.text for item in judged(site).changes if item.code == "gap")
    assert "Move the finished clear opening 20 mm towards its top side (then bottom 60, top 30 mm)" in cure


def test_uneven_windows_have_their_own_middle() -> None:
    # left 20 to 50, right 30 to 60: from 10 and 60 to the left by 10 to 30
    why, cure = gap_told(sides(10, 60, 80, 15), installation(seal__gaps=UNEVEN))
    assert "10 mm to the left (then left 20, right 50 mm); 20 mm brings it to the middle of its windows" in cure
    assert "where it stands would not" in why


def test_where_any_gap_would_do_the_move_is_more_than_none() -> None:
    cure = gap_told(sides(-3, 45, 45, 45), installation(seal__gaps=OPEN))[1]
    assert (
        "Move the finished clear opening more than 3 mm to the left; 24 mm centres it (then left 21, right 21" in cure
    )


def test_a_wrong_size_is_told_by_how_much_and_what_else_has_to_be_moved() -> None:
    # 150 is 30 over 120; 20 + 20 is 20 under 60
    why, cure = gap_told(sides(75, 75, 20, 20))
    assert "is 30 mm too wide and 20 mm too low for the tested gaps." in why
    assert cure == (
        "Form a finished clear opening of 660 to 720 × 460 to 520 mm so that the gap is 30 to 60 mm on every side, "
        "from the duct."
    )
    why, cure = gap_told(sides(75, 75, 0, 90))
    assert "is 30 mm too wide for the tested gaps." in why
    assert "from the duct. Move it 30 mm up (then bottom 60, top 30 mm); 45 mm centres it" in cure


def test_the_casing_is_counted_before_anything_is_moved() -> None:
    # 5 more on the left, 15 on the right: 35 and 35 from the duct are 30 and 20 from the casing
    tested = installation(**CASING, casing_beyond_mm=beyond(5, 15, 0, 0))
    cure = gap_told(sides(35, 35, 45, 45), tested)[1]
    assert "Form a finished clear opening" in cure
    cure = gap_told(sides(45, 40, 45, 45), tested)[1]
    assert "5 mm to the right (then left 35, right 30 mm); 7.5 mm centres it" in cure


def test_nothing_is_moved_where_the_gaps_do_not_add_up_to_the_opening_stated() -> None:
    # 970 wide is 370 more than the damper, the gaps are 90: a hole that others share, or a slip
    stated = opening(sides(0, 90, 45, 45), finished=size(970, 490))
    judgment = judged(penetration(**stated))
    assert "The gaps stated do not add up to the finished clear opening stated." in the_reason(judgment, "gap").text
    assert judgment.changes[0].text.startswith("Form a finished clear opening of 660 to 720 × 460 to 520 mm")
    agreeing = opening(sides(0, 90, 45, 45), finished=size(690, 490))
    assert (
        judged(penetration(**agreeing)).changes[0].text.startswith("Move the finished clear opening 30 mm to the left")
    )


def test_a_size_alone_is_told_by_how_much_it_is_off() -> None:
    judgment = judged(penetration(**opening(unknown("x/gaps"), finished=size(730, 450))))
    assert the_reason(judgment, "gap").text.endswith(
        "the gap across and upwards can't keep the tested window: the finished clear opening is 10 mm too wide and "
        "10 mm too low."
    )


def test_the_opening_to_form_counts_the_casing_of_each_side() -> None:
    tested = installation(**CASING, casing_beyond_mm=beyond(5, 15, 10, 30))
    judgment = judged(penetration(opening__gaps=sides(0, 0, 0, 0)), tested)
    # 600 + 5 + 15 + 2 × 30 … 2 × 60, 400 + 10 + 30 + 2 × 30 … 2 × 60
    assert "of 680 to 740 × 500 to 560 mm" in judgment.changes[0].text


def test_a_formed_opening_is_formed_again_never_filled() -> None:
    judgment = judged(penetration(opening__gaps=sides(150, 45, 45, 45), opening__formed=True))
    assert judgment.scope is Scope.OUTSIDE
    assert judgment.changes == ()
    text = the_reason(judgment, "gap").text
    assert "form it again, or use another tested installation; never more sealant" in text


def test_a_round_damper_in_a_rectangular_opening_that_was_tested_so() -> None:
    from brattice.evidence.installation import SizeWindow

    tested = installation(sizes=SizeWindow(OpeningShape.ROUND, Window(100, 400), None, Mm(100)))
    site = penetration(damper__size=size(315), opening__gaps=unknown(), opening__finished=size(375, 374.9))
    judgment: Judgment = judged(site, tested)
    assert "315" not in the_reason(judgment, "gap").have
    assert the_reason(judgment, "gap").text == (
        "However the damper is placed, the gap upwards can't keep the tested window: the finished clear opening is "
        "0.1 mm too low."
    )
    assert "of 375 to 435 × 375 to 435 mm" in judgment.changes[0].text
