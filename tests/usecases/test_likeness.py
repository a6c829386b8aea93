# SPDX-License-Identifier: Apache-2.0
"""Likeness of two described places: what agrees, differs and can't be told; expected scores are sums by hand."""

import itertools
from dataclasses import replace
from typing import Any

import pytest

from brattice.building.penetration import Size
from brattice.building.wall_type import Rating
from brattice.building.words import Orientation, SystemUse
from brattice.findings import Known
from brattice.quantities import Mm
from brattice.usecases.likeness import Described, described_place, described_row, likeness
from tests.helpers.penetrations import wall_type
from tests.helpers.sources import place, row

ONE = Described(
    "FD-01",
    storey="Level 1",
    words="grid B/3",
    centre_m=(1.0, 2.0, 3.0),
    size=Size(Mm(600), Mm(400)),
    orientation=Orientation.WALL,
    wall_type="W1",
    thickness_mm=Mm(150),
    rating=Rating(60, 60, "EI 60"),
    system=SystemUse.SUPPLY,
)
CHANGES: dict[str, Any] = {
    "storey": "Level 2",
    "centre_m": (9.0, 2.0, 3.0),
    "size": Size(Mm(400), Mm(600)),
    "orientation": Orientation.FLOOR,
    "wall_type": "W2",
    "thickness_mm": Mm(100),
    "rating": Rating(30, 30, "EI 30"),
    "system": SystemUse.EXTRACT,
}


def changed(name: str, value: Any) -> Described:
    """`ONE` with one fact changed."""
    values: dict[str, Any] = {name: value}
    return replace(ONE, **values)


def test_a_place_is_wholly_like_itself() -> None:
    found = likeness(ONE, replace(ONE, name="P-0001"))
    assert found.score == 1.0
    assert (found.differing, found.unknown) == ((), ())
    assert found.is_whole


@pytest.mark.parametrize("name", CHANGES)
def test_one_fact_that_differs_is_named_as_both_state_it_and_lowers_the_score(name: str) -> None:
    found = likeness(ONE, changed(name, CHANGES[name]))
    (differs,) = found.differing
    assert differs.one != differs.other
    assert 0 < found.score < 1
    assert not found.is_whole


@pytest.mark.parametrize("name", [*CHANGES, "words"])
def test_a_fact_that_only_one_states_is_unknown_and_never_agrees(name: str) -> None:
    found = likeness(ONE, changed(name, "" if isinstance(getattr(ONE, name), str) else None))
    (left,) = found.unknown
    assert (left.one != "", left.other) == (True, "")
    assert found.score < 1
    assert found.is_possible


def test_nothing_stated_scores_nothing_and_may_be_anything() -> None:
    found = likeness(Described("a"), Described("b"))
    assert (found.score, found.agreeing, found.is_possible, found.is_whole) == (0.0, (), True, False)


def test_the_score_is_the_share_by_weight_of_what_either_states() -> None:
    """Size 3 and storey 2 agree; orientation 1 differs; thickness 1 is stated once: 5 of 7."""
    one = Described("a", storey="L1", size=Size(Mm(315)), orientation=Orientation.WALL, thickness_mm=Mm(100))
    other = Described("b", storey="L1", size=Size(Mm(315)), orientation=Orientation.FLOOR)
    assert likeness(one, other).score == round(5 / 7, 3)


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        ("Level 1", "level  1", "agreeing"),
        ("L01", "Level 1", "agreeing"),
        ("03", "Level 3", "agreeing"),
        ("Lvl.2", "L-2", "agreeing"),
        ("Level 1", "Level 2", "differing"),
        ("L1", "L11", "differing"),
        ("Floor 1", "Level 1", "unknown"),  # the first floor is level 1 to some and level 2 to others
        ("Level 1 mezzanine", "Level 1", "unknown"),
        ("Ground floor", "Level 0", "unknown"),
        ("Ground floor", "Roof", "unknown"),
    ],
)
def test_storeys_agree_or_differ_only_where_both_texts_can_be_read(one: str, other: str, says: str) -> None:
    for a, b in ((one, other), (other, one)):
        found = likeness(Described("a", storey=a), Described("b", storey=b))
        assert len(getattr(found, says)) == 1, found


def test_two_names_of_different_storeys_of_the_models_differ() -> None:
    found = likeness(Described("a", storey="Ground floor"), Described("b", storey="Roof"), ["Roof", "Ground Floor"])
    assert [item.fact for item in found.differing] == ["storey"]


@pytest.mark.parametrize("name", ["storey", "centre_m"])
def test_what_is_elsewhere_for_certain_is_another_place_however_like(name: str) -> None:
    assert not likeness(ONE, changed(name, CHANGES[name])).is_possible


def test_a_metre_decides_between_two_centres_exactly() -> None:
    for x, same in ((1.5, True), (2.0, True), (2.0005, False)):
        assert likeness(ONE, replace(ONE, centre_m=(x, 2.0, 3.0))).is_possible is same


def test_likeness_does_not_depend_on_which_is_which() -> None:
    others = [ONE, *(changed(name, value) for name, value in CHANGES.items()), Described("x")]
    for one, other in itertools.product(others, others):
        there, back = likeness(one, other), likeness(other, one)
        assert (there.score, there.is_possible) == (back.score, back.is_possible)
        assert [item.fact for item in there.differing] == [item.fact for item in back.differing]


def test_rows_and_places_say_what_their_wall_type_says_and_their_own_word_goes_before_it() -> None:
    walls = {"W1": wall_type("W1")}
    of_row = described_row(row(wall_type_code="W1", duct_size=Size(Mm(600), Mm(400))), walls)
    wall = walls["W1"]
    assert isinstance(wall.thickness_mm, Known)
    assert isinstance(wall.rating, Known)
    assert (of_row.thickness_mm, of_row.rating) == (wall.thickness_mm.value, wall.rating.value)
    assert described_row(row(wall_type_code="W1", thickness_mm=Mm(99)), walls).thickness_mm == Mm(99)
    assert described_row(row(damper_size=Size(Mm(315))), walls).size == Size(Mm(315))
    of_place = described_place(place(), "P-0001", walls)
    assert (of_place.name, of_place.storey, of_place.rating) == ("P-0001", "Level 1", None)
    assert of_place.thickness_mm == Mm(150)
