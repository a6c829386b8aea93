# SPDX-License-Identifier: Apache-2.0
"""On which side a neighbour is: small buildings and outlines by hand, and nothing where it is not certain.

A wall along x is looked at towards larger y: what has the larger x is on the right. A wall along y is looked at towards
larger x: what has the larger y is on the left. Floors are seen from above, x to the right and y to the top.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from brattice.building.near_sides import Box, side_of_box, side_of_edge, side_of_place
from brattice.building.penetration import Separation
from brattice.building.place import SidesMm
from brattice.building.schedule import StatedDistance
from brattice.building.words import SeparationFill, Surface
from brattice.details.neighbours import neighbours
from brattice.findings import Known, Missing, Party, Unknown
from brattice.quantities import Mm
from brattice.usecases.merge import ModelFacts, merge_penetration
from brattice.usecases.separations import Told
from tests.details.making import given
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building
from tests.helpers.sources import MODEL, place, row, said
from tests.usecases.test_places import facts

SIZE = (400.0, 200.0)


def sides(found: tuple[ModelFacts, ...], of: str) -> dict[str, str]:
    """The side of everything near a duct, neighbours by their elements' name."""
    (mine,) = [item for item in found if guid(of) in item.duct_guids]
    names = {item.key: item.duct_guids[0] for item in found}
    return {names.get(item.to, item.to): item.side for item in mine.separations}


def wall_along(axis: str, spots: dict[str, tuple[float, float]], path: Path) -> tuple[ModelFacts, ...]:
    """A wall 10 m long and 4 m high along an axis, ducts through it by name at (along, height)."""
    maker = Maker()
    turned = axis == "y"

    def at(along: float, across: float, up: float) -> tuple[float, float, float]:
        return (across, along, up) if turned else (along, across, up)

    maker.wall("wall", at(0.0, -100.0, 0.0), at(10000.0, 100.0, 4000.0))
    for name, (along, up) in spots.items():
        maker.duct(name, at(along, -1000.0, up), at(along, 1000.0, up), SIZE)
    return facts(maker, path / "wall.ifc")


@pytest.mark.parametrize(("axis", "larger", "smaller"), [("x", "right", "left"), ("y", "left", "right")])
def test_two_ducts_side_by_side_in_a_wall(tmp_path: Path, axis: str, larger: str, smaller: str) -> None:
    found = wall_along(axis, {"one": (4000.0, 2000.0), "two": (5000.0, 2000.0)}, tmp_path)
    assert sides(found, "one")[guid("two")] == larger
    assert sides(found, "two")[guid("one")] == smaller


@pytest.mark.parametrize("axis", ["x", "y"])
def test_two_ducts_one_above_the_other(tmp_path: Path, axis: str) -> None:
    found = wall_along(axis, {"one": (4000.0, 1500.0), "two": (4030.0, 2500.0)}, tmp_path)
    assert sides(found, "one")[guid("two")] == "above"
    assert sides(found, "two")[guid("one")] == "below"


def test_in_a_floor_left_to_right_is_x_and_bottom_to_top_is_y(tmp_path: Path) -> None:
    maker = Maker()
    maker.slab("slab", (0.0, 0.0, 2750.0), (9000.0, 9000.0, 3000.0))
    for name, x, y in (("one", 4000.0, 4000.0), ("east", 5000.0, 4000.0), ("north", 4000.0, 5000.0)):
        maker.duct(name, (x, y, 2000.0), (x, y, 4000.0), SIZE, up=(0.0, 1.0, 0.0))
    found = facts(maker, tmp_path / "floor.ifc")
    assert sides(found, "one") == {guid("east"): "right", guid("north"): "above"}
    assert sides(found, "east")[guid("one")] == "left"
    assert sides(found, "north")[guid("one")] == "below"


@pytest.mark.parametrize(("axis", "near_start", "near_end"), [("x", "left", "right"), ("y", "right", "left")])
def test_the_ends_of_a_wall_and_the_soffit(tmp_path: Path, axis: str, near_start: str, near_end: str) -> None:
    spots = {"start": (700.0, 3500.0), "end": (9300.0, 500.0), "middle": (5000.0, 2000.0)}
    found = wall_along(axis, spots, tmp_path)
    assert sides(found, "start") == {"wall": near_start, "floor": "above"}
    assert sides(found, "end") == {"wall": near_end, "floor": "below"}


def test_edges_that_are_as_near_have_no_side(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 0.0), (2000.0, 100.0, 2000.0))
    maker.duct("one", (1000.0, -1000.0, 1000.0), (1000.0, 1000.0, 1000.0), SIZE)
    assert sides(facts(maker, tmp_path / "m.ifc"), "one") == {"wall": "", "floor": ""}
    assert side_of_edge(SidesMm(100.0, 101.0, 0.0, 0.0), ("left", "right")) == ""  # a millimetre is no difference
    assert side_of_edge(SidesMm(100.0, 101.1, 0.0, 0.0), ("left", "right")) == "left"


@pytest.mark.parametrize(
    ("low", "high", "kind", "side"),
    [
        ((4260.0, 100.0, 0.0), (4360.0, 3000.0, 4000.0), "wall", "right"),  # a partition beside the duct
        ((3640.0, 100.0, 0.0), (3740.0, 3000.0, 4000.0), "wall", "left"),
        ((0.0, 100.0, 2160.0), (10000.0, 3000.0, 2360.0), "slab", "above"),  # a soffit
        ((0.0, 100.0, 1640.0), (10000.0, 3000.0, 1840.0), "slab", "below"),
    ],
)
def test_what_meets_the_wall_beside_the_duct(tmp_path: Path, low: Any, high: Any, kind: str, side: str) -> None:
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 0.0), (10000.0, 100.0, 4000.0))
    (maker.wall if kind == "wall" else maker.slab)("other", low, high)
    maker.duct("one", (4000.0, -1000.0, 2000.0), (4000.0, 1000.0, 2000.0), SIZE)
    found = sides(facts(maker, tmp_path / "m.ifc"), "one")
    assert found["wall" if kind == "wall" else "floor"] == side


@pytest.mark.parametrize(
    ("other", "side"),
    [
        ((600.0, 0.0, 1000.0, 200.0), "right"),
        ((-1000.0, 0.0, -600.0, 200.0), "left"),
        ((0.0, 600.0, 400.0, 800.0), "above"),
        ((0.0, -800.0, 400.0, -600.0), "below"),
        # diagonally: 200 to the right, 100 above: exactly twice as far; then a little less
        ((600.0, 300.0, 1000.0, 500.0), "right"),
        ((599.0, 300.0, 1000.0, 500.0), ""),
        ((500.0, 400.0, 900.0, 600.0), "above"),
        ((500.0, 300.0, 900.0, 500.0), ""),
        ((300.0, 100.0, 700.0, 300.0), ""),  # one over the other
        ((400.5, 0.0, 800.0, 200.0), ""),  # they touch
        ((400.6, 0.0, 800.0, 200.0), "right"),
    ],
)
def test_the_side_is_the_direction_of_the_clear_distance(other: Box, side: str) -> None:
    mine = (0.0, 0.0, 400.0, 200.0)
    opposite = {"right": "left", "left": "right", "above": "below", "below": "above", "": ""}
    assert side_of_box(mine, other) == side
    assert side_of_box(other, mine) == opposite[side]


def test_planes_that_are_not_one_have_no_sides(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 0.0), (10000.0, 100.0, 4000.0))
    for name, x in (("one", 4000.0), ("two", 5000.0)):
        maker.duct(name, (x, -1000.0, 2000.0), (x, 1000.0, 2000.0), SIZE)
    one, two = sorted(building(maker.save(tmp_path / "m.ifc")).places, key=lambda item: item.outline_m)
    assert side_of_place(one, two) == "right"
    assert two.centre_m is not None
    x, y, z = two.centre_m
    assert side_of_place(one, replace(two, centre_m=(x, y + 0.2, z))) == "right"  # as far as the wall is thick
    assert side_of_place(one, replace(two, centre_m=(x, y + 0.201, z))) == ""
    for lost in ({"centre_m": None}, {"right": None}, {"outline_m": ()}, {"normal": (0.0, 0.99995, 0.01)}):
        changed: dict[str, Any] = dict(lost)
        assert side_of_place(one, replace(two, **changed)) == ""


DUCT, CASING, FACE = Surface.DUCT, Surface.CASING, Surface.FACE
SOLID = Known(SeparationFill.SUPPORTING_CONSTRUCTION, MODEL)


def merged(own: tuple[StatedDistance, ...], modelled: tuple[Separation, ...] | None) -> list[tuple[str, str]]:
    ids = {"FD-02": "P-0002", "k-2": "P-0002"}
    model = None if modelled is None else place(separations=modelled)
    told = Told(tuple(replace(item, to=ids.get(item.to, item.to)) for item in own), (), ids)
    penetration, _ = merge_penetration("P-0001", row(distances=own), model, {}, {}, told)
    return [(item.to, item.side) for item in penetration.separations]


def stated(to: str, value: float, start: Surface, end: Surface) -> StatedDistance:
    return StatedDistance(to, said(Mm(value)), start, end, said(SeparationFill.SUPPORTING_CONSTRUCTION))


def test_a_schedule_alone_tells_no_side() -> None:
    own = (stated("FD-02", 300, CASING, CASING), stated("wall", 200, CASING, FACE), stated("floor", 200, CASING, FACE))
    assert merged(own, None) == [("P-0002", ""), ("wall", ""), ("floor", "")]


def test_a_neighbour_that_row_and_model_both_know_has_the_model_s_side() -> None:
    modelled = (Separation("k-2", Known(Mm(320), MODEL), DUCT, DUCT, SOLID, "left"),)
    assert ("P-0002", "left") in merged((stated("FD-02", 300, CASING, CASING),), modelled)


@pytest.mark.parametrize(
    ("value", "start", "side"),
    [(200, DUCT, "right"), (199, DUCT, "right"), (198.9, DUCT, ""), (200, CASING, "")],
)
def test_a_wall_that_a_row_states_has_a_side_where_it_is_the_modelled_one(
    value: float, start: Surface, side: str
) -> None:
    modelled = (Separation("wall", Known(Mm(200), MODEL), DUCT, FACE, SOLID, "right"),)
    assert ("wall", side) in merged((stated("wall", value, start, FACE),), modelled)


def test_the_detail_tells_the_side_also_where_the_distance_is_open() -> None:
    lost = Unknown(Missing("penetration/P-0001/distance-to-damper", "How far", Party.SERVICES_DESIGNER))
    separations = (
        Separation("P-0002", Known(Mm(300), MODEL), CASING, CASING, SOLID, "left"),
        Separation("P-0003", lost, CASING, CASING, SOLID, "above"),
        Separation("wall", Known(Mm(700), MODEL), CASING, FACE, SOLID),
    )
    thing = given()
    thing = replace(thing, penetration=replace(thing.penetration, separations=separations))
    assert {item.name: item.side for item in neighbours(thing)} == {"P-0002": "left", "P-0003": "above", "wall": ""}
