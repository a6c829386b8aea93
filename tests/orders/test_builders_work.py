# SPDX-License-Identifier: Apache-2.0
"""Openings for the builder: framed and finished clear opening told apart (trade handbook, field case 29: the two lie
25 to 60 mm apart in dry-lining). The example: 600 × 400 with a gap of 45 a side and a lining of 12.5 on each reveal, so
600 + 90 = 690 and 690 + 25 = 715; by hand."""

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.detail_facts import MODEL_LEVEL
from brattice.details import InstallationDetail, Standing
from brattice.findings import Known, Origin, Party
from brattice.orders import BuildersWorkRow, OpeningState, builders_work
from brattice.quantities import Mm
from tests.helpers.details import detail_of, figure
from tests.helpers.ordered import word
from tests.helpers.penetrations import unknown, with_facts, without


def row(detail: InstallationDetail, **given: Any) -> BuildersWorkRow:
    (only,) = builders_work({detail.id: detail}, **given).rows
    return only


def formed(detail: InstallationDetail, *, off: bool = False, stated: bool = True) -> InstallationDetail:
    """The same with its opening formed on site, off its tested gap or not."""
    place = with_facts(detail.penetration, opening__formed=True)
    if not stated:
        place = without(place, "opening__framed", "opening__finished")
    verdict = "fail" if off else "pass"
    text = "As made, 650 × 450 mm finished clear: too small." if off else "As made: keeps the tested gap."
    given = figure("existing-off", "Opening as scheduled or made", None, "", text, verdict=verdict)
    kept = tuple(item for item in detail.figures if item.key != "existing-off")
    return replace(detail, penetration=place, figures=(*kept, given))


def test_a_row_says_which_opening_each_number_is_of() -> None:
    made = row(detail_of())
    assert made.texts == {
        "storey": "Level 1",
        "wall": "W2",
        "role": "compartment wall",
        "grid": "B/3",
        "framed": "715 × 515 mm",
        "finished": "690 × 490 mm",
        "centre": "2900 mm",
        "sill": "2655 mm",
        "head": "3145 mm",
        "heights-from": "the structural floor",
        "lining": "12.5 mm",
        "lintel": "head track, doubled",
        "by": "dry-liner",
        "when": "week 14",
        "off": "as to be formed",
    }
    assert (made.state, made.to_settle, made.is_floor) == (OpeningState.FORM, (), False)


def test_round_and_unlined() -> None:
    made = row(detail_of("round in block wall"))
    assert (made.texts["framed"], made.texts["finished"], made.texts["lining"]) == ("Ø 415 mm", "Ø 415 mm", "none")
    assert row(detail_of("floor")).is_floor


def test_what_exists_is_as_built_or_formed_again() -> None:
    assert row(formed(detail_of())).state is OpeningState.AS_BUILT
    again = row(formed(detail_of(), off=True))
    assert again.state is OpeningState.FORM_AGAIN
    assert again.texts["off"] == "As made, 650 × 450 mm finished clear: too small."
    nobody = row(formed(detail_of(), stated=False))
    assert nobody.state is OpeningState.HELD
    assert nobody.to_settle == ("The opening is formed, and nobody says of what size.",)


def test_whether_it_is_formed_already_is_said_where_nobody_states_it() -> None:
    detail = detail_of()
    made = row(replace(detail, penetration=without(detail.penetration, "opening__formed")))
    assert made.state is OpeningState.FORM
    assert made.to_settle == ("Whether it is formed already is not stated: look before you form it.",)


@pytest.mark.parametrize(
    ("key", "what"),
    [
        ("framed-width", "Framed opening"),
        ("framed-height", "Framed opening"),
        ("finished-width", "Finished clear opening"),
        ("finished-height", "Finished clear opening"),
        ("centre-height", "Centre above structural floor"),
    ],
)
def test_an_opening_without_a_number_is_held(key: str, what: str) -> None:
    missing = figure(key, "Number", None, "mm", ask=Party.ARCHITECT)
    made = row(detail_of(figures={key: missing}))
    assert made.state is OpeningState.HELD
    assert made.to_settle == (f"To be settled first: {what}.", "Number: P-0001 (ask the architect)")
    assert "to be settled" in made.texts.values()
    assert row(detail_of(figures={key: None})).state is OpeningState.HELD


def test_an_opening_in_a_floor_has_no_height_and_waits_for_none() -> None:
    """Sill and centre are heights in a wall; where an opening lies in a floor is said by grid and overlay."""
    heights = dict.fromkeys(("centre-height", "sill-height", "head-height"))
    made = row(detail_of("floor", figures={**heights, "lintel": word("lintel", "trimmer bars")}))
    assert (made.state, made.to_settle) == (OpeningState.FORM, ())
    assert [made.texts[key] for key in ("centre", "sill", "head", "heights-from")] == ["in the floor"] * 4
    nowhere = row(
        detail_of("floor", figures={**heights, "grid": figure("grid", "Grid", None, "", ask=Party.ARCHITECT)})
    )
    assert (nowhere.state, nowhere.why) == (OpeningState.HELD, "To be settled first: Grid.")


def test_heights_of_a_model_say_that_they_count_from_its_level() -> None:
    """A screed lies between finished and structural floor: a builder who is not told sets the opening wrong by it."""
    detail = detail_of()
    origin = Origin("services.ifc", f"duct 1: {MODEL_LEVEL} of Level 1, which may be the finished floor")
    facts = replace(detail.penetration.detail, centre_above_floor_mm=Known(Mm(2900), origin))
    made = row(replace(detail, penetration=replace(detail.penetration, detail=facts)))
    assert made.texts["heights-from"].startswith("the model's level, which may be the finished floor")
    assert made.state is OpeningState.FORM
    nowhere = row(detail_of(figures={"centre-height": None}))
    assert nowhere.texts["heights-from"] == "to be settled"


def test_a_formed_opening_that_nothing_compares_is_never_as_built() -> None:
    """A round hole for a rectangular damper has no gap to compare: it is there, and is not the one that is needed."""
    other_shape = formed(detail_of())
    none = figure("existing-off", "Opening as scheduled or made", None, "", "No opening of this shape is stated.")
    kept = tuple(item for item in other_shape.figures if item.key != "existing-off")
    assert row(replace(other_shape, figures=(*kept, none))).state is OpeningState.FORM_AGAIN
    assert row(replace(other_shape, figures=kept)).state is OpeningState.FORM_AGAIN


@pytest.mark.parametrize("key", ["opening-by", "opening-when"])
def test_who_and_when_are_asked_and_hold_nothing(key: str) -> None:
    made = row(detail_of(figures={key: figure(key, "Said", None, "", ask=Party.PRINCIPAL_CONTRACTOR)}))
    assert made.state is OpeningState.FORM
    assert made.to_settle == ("Said: P-0001 (ask the principal contractor)",)


def test_what_is_not_to_be_built_is_held_with_why() -> None:
    waiting = detail_of(standing=Standing.TO_BE_SETTLED, why="Within scope if …", changes=("Use another seal.",))
    made = row(waiting)
    assert (made.state, made.to_settle) == (OpeningState.HELD, ("Within scope if …", "Use another seal."))
    never = row(detail_of("not drawn"))
    assert never.state is OpeningState.HELD
    assert never.to_settle[0] == "The geometry can't be."
    assert never.to_settle[1].startswith("The finished clear opening of 590 × 390 mm is smaller")


def test_forming_the_opening_may_itself_be_the_change() -> None:
    waiting = detail_of(standing=Standing.TO_BE_SETTLED, why="Within scope if …", changes=("Gap 45 mm.",))
    assert row(waiting, opening_only={"P-0001"}).state is OpeningState.FORM
    assert row(formed(waiting, off=True), opening_only={"P-0001"}).state is OpeningState.FORM_AGAIN
    assert row(waiting, opening_only={"P-0002"}).state is OpeningState.HELD


def test_the_order_is_storey_wall_grid_from_below() -> None:
    def at(name: str, storey: str, wall: str, grid: str) -> InstallationDetail:
        detail = detail_of(id=name, figures={"grid": word("grid", grid)})
        place = with_facts(detail.penetration, location__storey=storey, barrier__wall_type_code=wall)
        return replace(detail, penetration=place)

    details = [
        at("P-1", "Level 10", "W1", "A/1"),
        at("P-2", "Level 2", "W2", "A/1"),
        at("P-3", "Level 2", "W1", "B/10"),
        at("P-4", "Level 2", "W1", "B/9"),
        at("P-5", "Undercroft", "W1", "A/1"),
    ]
    work = builders_work({item.id: item for item in details}, storeys=["Undercroft", "Level 2", "Level 10"])
    assert [item.id for item in work.rows] == ["P-5", "P-4", "P-3", "P-2", "P-1"]
    assert dict(work.counts) == {"form": 5, "re-form": 0, "as built": 0, "held": 0}


def test_a_place_without_a_damper_has_no_row_and_is_named() -> None:
    detail = detail_of("not drawn")
    place = with_facts(detail.penetration, damper__present=False)
    work = builders_work({"P-0001": replace(detail, penetration=place)})
    assert (work.rows, work.without_damper) == ((), ("P-0001",))
    needless = builders_work({"P-0001": detail_of()}, without={"P-0001"})
    assert (needless.rows, needless.without_damper) == ((), ("P-0001",))
    doubt = with_facts(detail.penetration, damper__present=unknown())
    assert len(builders_work({"P-0001": replace(detail, penetration=doubt)}).rows) == 1


def test_a_storey_that_nobody_knows_is_said() -> None:
    detail = detail_of()
    made = row(replace(detail, penetration=without(detail.penetration, "location__storey")))
    assert made.texts["storey"] == "not known"
