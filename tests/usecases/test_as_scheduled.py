# SPDX-License-Identifier: Apache-2.0
"""What a schedule shows by itself: each check can pass, can fire, and never makes a pass of what is not known."""

from dataclasses import replace
from typing import Any

import pytest

from brattice.adapters.rows import shipped_book
from brattice.building.penetration import Location, Penetration, Separation, Size
from brattice.building.words import Orientation, SeparationFill, Surface, SystemUse
from brattice.findings import Reason, Verdict
from brattice.quantities import Mm
from brattice.usecases.as_scheduled import (
    ORDER_ROW,
    PlacesStated,
    beside_the_gap,
    check_one_place,
    check_opening_size,
    check_order_facts,
)
from tests.helpers.installations import installation
from tests.helpers.penetrations import known, penetration, unknown, without

BOOK = shipped_book()


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


# --- a hole that holds nothing ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("duct", "hole", "verdict"),
    [
        (size(600, 400), size(700, 500), Verdict.PASS),
        (size(600, 400), size(600.1, 400.1), Verdict.PASS),
        (size(600, 400), size(600, 500), Verdict.FAIL),  # exactly at the limit: a casing encloses its duct
        (size(600, 400), size(700, 400), Verdict.FAIL),
        (size(600, 400), size(599.9, 500), Verdict.FAIL),
        (size(600, 400), size(500, 700), Verdict.FAIL),
        (size(315), size(315, 400), Verdict.FAIL),
        (size(315), size(400, 400), Verdict.PASS),
        (size(315), size(315), Verdict.FAIL),
        (size(315), size(316), Verdict.PASS),
        (size(300, 400), size(500), Verdict.FAIL),  # the diagonal of 300 × 400 is 500 (Pythagoras)
        (size(300, 400), size(500.1), Verdict.PASS),
    ],
)
@pytest.mark.parametrize("which", ["framed", "finished"])
def test_an_opening_is_larger_than_what_goes_through_it(duct: Size, hole: Size, verdict: Verdict, which: str) -> None:
    both: dict[str, Any] = {"opening__framed": unknown(), "opening__finished": unknown(), f"opening__{which}": hole}
    assert check_opening_size(penetration(duct__size=duct, damper__size=duct, **both)).verdict is verdict


def test_an_opening_smaller_than_the_damper_alone_fails_too() -> None:
    found = check_opening_size(
        penetration(damper__size=size(800, 400), opening__framed=unknown(), opening__finished=size(700, 500))
    )
    assert found.verdict is Verdict.FAIL
    assert "finished clear opening leaves no room for the damper" in found.text


@pytest.mark.parametrize(
    ("hole", "turned"), [(size(500, 700), True), (size(500, 500), False), (size(600, 400), False), (size(400), False)]
)
def test_a_turned_opening_is_told_from_one_that_is_too_small(hole: Size, turned: bool) -> None:
    found = check_opening_size(penetration(opening__framed=unknown(), opening__finished=hole))
    assert found.verdict is Verdict.FAIL
    assert ("one of the two is turned" in found.text) is turned


def test_without_a_damper_the_duct_alone_is_asked() -> None:
    there: dict[str, Any] = {
        "damper__size": size(800, 400),
        "opening__finished": size(700, 500),
        "opening__framed": unknown(),
    }
    assert check_opening_size(penetration(damper__present=False, **there)).verdict is Verdict.PASS
    assert check_opening_size(penetration(damper__present=True, **there)).verdict is Verdict.FAIL


def test_a_turned_damper_is_rejected_for_that_and_not_measured_by_the_opening() -> None:
    found = check_opening_size(
        penetration(damper__size=size(400, 600), opening__framed=unknown(), opening__finished=size(680, 480))
    )
    assert found.verdict is Verdict.PASS  # 600 high in a hole of 480: the size of the damper says it all
    assert "duct 600 × 400" in found.need
    assert "damper" not in found.need


@pytest.mark.parametrize("gone", ["duct__size", "damper__size"])
def test_a_size_that_is_not_known_passes_no_opening(gone: str) -> None:
    found = check_opening_size(without(penetration(), gone))
    assert found.verdict is Verdict.UNKNOWN
    assert len(found.missing) == 1
    none = without(without(penetration(), "opening__framed"), "opening__finished")
    assert check_opening_size(none).verdict is Verdict.NOT_APPLICABLE


# --- what an order says -----------------------------------------------------------------------------------------------

ORDER_FIELDS = {
    "maker": "damper__maker",
    "product": "damper__product",
    "damper size": "damper__size",
    "damper class": "damper__class_text",
    "actuation": "damper__actuation",
    "access side": "damper__access_side",
    "fixing": "installation__fixing",
}


def test_an_order_that_says_all_is_no_finding() -> None:
    found = check_order_facts(penetration(), BOOK)
    assert found.verdict is Verdict.PASS
    assert found.rows == (ORDER_ROW,)


def test_every_fact_of_the_list_is_tried() -> None:
    assert BOOK.need(ORDER_ROW).value == tuple(ORDER_FIELDS)


@pytest.mark.parametrize(("name", "field"), ORDER_FIELDS.items())
def test_a_held_line_names_what_is_missing(name: str, field: str) -> None:
    found = check_order_facts(without(penetration(), field), BOOK)
    assert found.verdict is Verdict.UNKNOWN
    assert found.text == f"Hold the order line: {name} not stated."
    assert len(found.missing) == 1


def test_what_is_not_ordered_is_not_held() -> None:
    assert check_order_facts(penetration(damper__present=False), BOOK).verdict is Verdict.NOT_APPLICABLE
    assert check_order_facts(without(penetration(), "damper__present"), BOOK).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("verdict", Verdict)
@pytest.mark.parametrize("code", ["gap", "seal-depth"])
def test_an_opening_that_holds_nothing_is_said_once(code: str, verdict: Verdict) -> None:
    """Silent only where the gap of the tested installation fails too; what is not known hides nothing."""
    hole = check_opening_size(penetration(opening__framed=unknown(), opening__finished=size(500, 400)))
    found = beside_the_gap(hole, [Reason(code, verdict, "")])
    said_by_the_gap = code == "gap" and verdict is Verdict.FAIL
    assert found.verdict is (Verdict.NOT_APPLICABLE if said_by_the_gap else Verdict.FAIL)
    assert beside_the_gap(hole, []).verdict is Verdict.FAIL
    wide = check_opening_size(penetration(opening__framed=unknown(), opening__finished=size(900, 900)))
    assert beside_the_gap(wide, [Reason(code, verdict, "")]) == wide


def test_a_pinned_installation_says_maker_and_product_of_the_order() -> None:
    one = without(without(penetration(), "damper__maker"), "damper__product")
    assert check_order_facts(one, BOOK).text == "Hold the order line: maker, product not stated."
    assert check_order_facts(one, BOOK, installation()).verdict is Verdict.PASS
    assert check_order_facts(without(one, "damper__actuation"), BOOK, installation()).verdict is Verdict.UNKNOWN


# --- two rows for one place -------------------------------------------------------------------------------------------


def placed(name: str, words: str = "C/4, plant room", **facts: Any) -> Penetration:
    made = penetration(id=name, **facts)
    return replace(made, location=Location(known("L02"), words, None), separations=())


def asked(*some: Penetration) -> list[Reason]:
    places = PlacesStated.of(some)
    return [check_one_place(item, places) for item in some]


def test_two_rows_with_one_place_are_one_question() -> None:
    found = asked(placed("P-0002"), placed("P-0001"), placed("P-0003", "C/5, plant room"))
    assert [item.verdict for item in found] == [Verdict.UNKNOWN, Verdict.UNKNOWN, Verdict.PASS]
    assert found[0].missing == found[1].missing
    assert "Whether P-0001, P-0002 are one penetration or several" in found[0].missing[0].text


def test_width_and_height_exchanged_against_another_row_is_said() -> None:
    found = asked(placed("P-0001"), placed("P-0002", duct__size=size(400, 600)))
    assert [item.verdict for item in found] == [Verdict.UNKNOWN, Verdict.UNKNOWN]
    assert all("width and height exchanged" in item.text for item in found)


@pytest.mark.parametrize(
    "other",
    [
        placed("P-0002", "C/4, plant room 2"),
        placed("P-0002", duct__size=size(600, 300)),
        placed("P-0002", duct__system=SystemUse.EXTRACT),
        placed("P-0002", barrier__orientation=Orientation.FLOOR),
        placed("P-0002", barrier__wall_type_code="W9"),
        replace(placed("P-0002"), location=Location(known("L03"), "C/4, plant room", None)),
        replace(placed("P-0002"), location=Location(known("L02"), "C/4, plant room", (1.0, 2.0, 3.0))),
    ],
    ids=["words", "size", "system", "orientation", "wall type", "storey", "coordinates"],
)
def test_whatever_tells_two_rows_apart_makes_them_two(other: Penetration) -> None:
    assert all(item.verdict is not Verdict.UNKNOWN for item in asked(placed("P-0001"), other))


def test_rows_that_name_each_other_are_two() -> None:
    near = Separation("P-0002", known(Mm(300)), Surface.CASING, Surface.CASING, known(SeparationFill.BATT))
    one = replace(placed("P-0001"), separations=(near,))
    assert [item.verdict for item in asked(one, placed("P-0002"))] == [Verdict.PASS, Verdict.PASS]
    shared = placed("P-0001")
    shared = replace(shared, opening=replace(shared.opening, shared_with=("P-0002",)))
    assert [item.verdict for item in asked(shared, placed("P-0002"))] == [Verdict.PASS, Verdict.PASS]


def test_rows_that_state_other_distances_are_two() -> None:
    def near(name: str, distance: float) -> Penetration:
        stated = Separation("wall", known(Mm(distance)), Surface.CASING, Surface.CASING, known(SeparationFill.BATT))
        return replace(placed(name), separations=(stated,))

    assert asked(near("P-0001", 300), near("P-0002", 600))[0].verdict is Verdict.PASS
    assert asked(near("P-0001", 300), near("P-0002", 300))[0].verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("words", ["", "   "])
def test_a_place_that_is_not_stated_is_compared_with_none(words: str) -> None:
    found = asked(placed("P-0001", words), placed("P-0002", words))
    assert [item.verdict for item in found] == [Verdict.NOT_APPLICABLE] * 2
    none = replace(placed("P-0001"), location=Location(unknown(), "C/4", None))
    assert asked(none, replace(none, id="P-0002"))[0].verdict is Verdict.NOT_APPLICABLE
