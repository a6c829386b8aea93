# SPDX-License-Identifier: Apache-2.0
"""Small buildings whose every measure is known by hand: the places must have just these.

The wall of most cases runs along x from 0 to 6000, is 200 thick about y = 0 and 3000 high; the duct 400 × 200 passes
it along y at x = 2000, z = 2500.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from brattice.building.place import PlaceKind, Shape, SizeFrom
from brattice.building.words import Service
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building, only, penetrations

WALL_LOW, WALL_HIGH = (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0)
START, END = (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0)
SIZE = (400.0, 200.0)


def _typed_duct(maker: Maker, *elements: Any) -> None:
    """Say in IFC2X3 that flow segments are ducts (there the type says it)."""
    if maker.schema == "IFC2X3":
        maker.typed("IfcDuctSegmentType", "duct type", elements, PredefinedType="RIGIDSEGMENT")


def _duct_class(schema: str) -> str:
    return "IfcFlowSegment" if schema == "IFC2X3" else "IfcDuctSegment"


def _plain(maker: Maker, rating: str | None = None) -> tuple[Any, Any]:
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3500.0)
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH, "Level 1", rating)
    duct = maker.duct("duct", START, END, SIZE, "Level 1", cls=_duct_class(maker.schema))
    _typed_duct(maker, duct)
    return wall, duct


@pytest.mark.parametrize("schema", ["IFC2X3", "IFC4", "IFC4X3"])
@pytest.mark.parametrize("unit", ["mm", "m", "inch", "foot"])
def test_one_duct_through_one_wall(tmp_path: Path, schema: str, unit: str) -> None:
    maker = Maker(schema, unit)
    _plain(maker, "EI 60")
    place = only(building(maker.save(tmp_path / "one.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert place.service is Service.DUCT
    assert place.shape is Shape.RECTANGULAR
    assert (place.width_mm, place.height_mm) == (400.0, 200.0)
    assert place.thickness_mm == 200.0
    assert place.centre_m == (2.0, 0.0, 2.5)
    assert place.angle_deg == 0.0
    assert place.storey == "Level 1"
    assert place.storey_said == ""
    assert place.queries == ()
    assert (place.rating_text, place.rating_min) == ("EI 60", 60)
    assert place.layers[0].ratings[0].where == "Pset_WallCommon, FireRating"
    assert [layer.barrier_guid for layer in place.layers] == [guid("wall")]
    assert place.element_guids == (guid("duct"),)
    edges = place.layers[0].edges
    assert edges is not None
    assert (edges.left, edges.right, edges.top, edges.bottom) == (1800.0, 3800.0, 400.0, 2400.0)
    assert place.layers[0].nearest_edge_mm == 400.0


@pytest.mark.parametrize(
    ("shift_m", "turn_deg"),
    [
        ((0.0, 0.0, 0.0), 30.0),
        ((12.5, -77.25, 4.0), 0.0),
        ((12.5, -77.25, 4.0), 211.0),
        ((530_123.25, 180_456.5, 21.5), 0.0),  # as far away as a national grid puts a building
        ((530_123.25, 180_456.5, 21.5), 37.0),
        ((-2_600_000.0, 5_200_000.0, 0.0), 90.0),
    ],
)
def test_where_the_site_lies_changes_no_measure(tmp_path: Path, shift_m: Any, turn_deg: float) -> None:
    maker = Maker(shift_m=shift_m, turn_deg=turn_deg)
    wall, _ = _plain(maker)
    maker.opening("hole", wall, (1750.0, -150.0, 2350.0), (2300.0, 150.0, 2650.0))
    place = only(building(maker.save(tmp_path / "there.ifc")))
    assert (place.width_mm, place.height_mm, place.thickness_mm) == pytest.approx((400.0, 200.0, 200.0), abs=0.002)
    turn = math.radians(turn_deg)
    expected = (
        shift_m[0] + 2.0 * math.cos(turn),
        shift_m[1] + 2.0 * math.sin(turn),
        shift_m[2] + 2.5,
    )
    assert place.centre_m == pytest.approx(expected, abs=1e-5)
    assert place.opening is not None
    sides = place.opening.clearance
    # seen from the other side after a turn by more than a half, left and right change places
    assert sorted((sides.left, sides.right)) == pytest.approx([50.0, 100.0], abs=0.01)
    assert (sides.top, sides.bottom) == pytest.approx((50.0, 50.0), abs=0.01)
    assert place.storey == "Level 1"


def test_a_duct_that_is_drawn_upwards_still_runs_level(tmp_path: Path) -> None:
    """A short wide piece whose plan is extruded upwards: the ports say which way it runs."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("duct", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), (800.0, 200.0), upwards=True)
    place = only(building(maker.save(tmp_path / "up.ifc")))
    assert (place.kind, place.width_mm, place.height_mm) == (PlaceKind.PENETRATION, 800.0, 200.0)


def test_a_short_wide_duct_without_ports_runs_as_its_stated_size_says(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    duct = maker.duct(
        "duct", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), (800.0, 200.0), upwards=True, ports=False
    )
    maker.property(duct, "Dimensions", "Width", "IfcLengthMeasure", 800.0)
    maker.property(duct, "Dimensions", "Height", "IfcLengthMeasure", 200.0)
    place = only(building(maker.save(tmp_path / "stated.ifc")))
    assert (place.kind, place.width_mm, place.height_mm) == (PlaceKind.PENETRATION, 800.0, 200.0)


def test_round_duct(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("duct", START, END, (315.0,))
    place = only(building(maker.save(tmp_path / "round.ifc")))
    assert (place.shape, place.height_mm) == (Shape.ROUND, None)
    assert place.width_mm == pytest.approx(315.0, abs=0.01)


@pytest.mark.parametrize("angle", [15.0, 45.0, 60.0])
def test_a_duct_at_an_angle(tmp_path: Path, angle: float) -> None:
    """Its size is square to its own axis, the thickness square to the wall."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    reach = 1500.0
    dx, dy = reach * math.sin(math.radians(angle)), reach * math.cos(math.radians(angle))
    maker.duct("duct", (3000.0 - dx, -dy, 1500.0), (3000.0 + dx, dy, 1500.0), (300.0, 150.0))
    place = only(building(maker.save(tmp_path / "angle.ifc")))
    assert place.angle_deg == pytest.approx(angle, abs=0.001)
    assert (place.width_mm, place.height_mm, place.thickness_mm) == pytest.approx((300.0, 150.0, 200.0), abs=0.002)
    assert place.centre_m == pytest.approx((3.0, 0.0, 1.5), abs=1e-6)


def test_floor_sizes_are_along_model_x(tmp_path: Path) -> None:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3000.0)
    maker.slab("slab", (0.0, 0.0, 2750.0), (6000.0, 5000.0, 3000.0), "Level 2")
    maker.duct("deep", (1000.0, 2000.0, 2000.0), (1000.0, 2000.0, 4000.0), (300.0, 700.0), up=(0.0, 1.0, 0.0))
    maker.duct("wide", (4000.0, 2000.0, 2000.0), (4000.0, 2000.0, 4000.0), (700.0, 300.0), up=(0.0, 1.0, 0.0))
    places = {place.element_guids[0]: place for place in building(maker.save(tmp_path / "floor.ifc")).places}
    deep, wide = places[guid("deep")], places[guid("wide")]
    assert (deep.width_mm, deep.height_mm) == (300.0, 700.0)
    assert (wide.width_mm, wide.height_mm) == (700.0, 300.0)
    assert deep.storey == "Level 2"
    assert deep.right == (1.0, 0.0, 0.0)
    edges = deep.layers[0].edges
    assert edges is not None
    assert (edges.left, edges.right, edges.top, edges.bottom) == (850.0, 4850.0, 2650.0, 1650.0)


def test_neighbours_by_their_clear_distance(tmp_path: Path) -> None:
    """400 wide at x = 2000 and 300 wide at 2700: 2550 - 2200 = 350 clear; a round one by its circle."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("first", START, END, SIZE)
    maker.duct("second", (2700.0, -1000.0, 2500.0), (2700.0, 1000.0, 2500.0), (300.0, 200.0))
    maker.duct("third", (2400.0, -500.0, 2200.0), (2400.0, 500.0, 2200.0), (200.0,))
    maker.duct("pipe", (1600.0, -500.0, 2500.0), (1600.0, 500.0, 2500.0), (100.0,), cls="IfcPipeSegment")
    places = {place.element_guids[0]: place for place in building(maker.save(tmp_path / "two.ifc")).places}
    first = {neighbour.element_guids[0]: neighbour for neighbour in places[guid("first")].neighbours}
    assert first[guid("second")].clear_mm == 350.0
    assert first[guid("second")].key == places[guid("second")].key
    # the corner of the first is 200 left of and 200 above the circle's middle
    assert first[guid("third")].clear_mm == pytest.approx(math.hypot(200.0, 200.0) - 100.0, abs=0.6)
    assert first[guid("pipe")].clear_mm == pytest.approx(2000.0 - 200.0 - 1600.0 - 50.0, abs=0.01)
    assert first[guid("pipe")].service is Service.PIPE
    assert [neighbour.clear_mm for neighbour in places[guid("first")].neighbours] == sorted(
        neighbour.clear_mm for neighbour in places[guid("first")].neighbours
    )
    assert places[guid("pipe")].kind is PlaceKind.OTHER_SERVICE


def test_opening_clearances_side_by_side(tmp_path: Path) -> None:
    """An opening 550 × 300 about a 400 × 200 duct, off-centre: left 50, right 100, top 50, bottom 50."""
    maker = Maker()
    wall, _ = _plain(maker)
    maker.opening("hole", wall, (1750.0, -150.0, 2350.0), (2300.0, 150.0, 2650.0))
    place = only(building(maker.save(tmp_path / "hole.ifc")))
    opening = place.opening
    assert opening is not None
    assert (opening.guid, opening.shape, opening.goes_through) == (guid("hole"), Shape.RECTANGULAR, True)
    assert (opening.width_mm, opening.height_mm) == (550.0, 300.0)
    sides = opening.clearance
    assert (sides.left, sides.right, sides.top, sides.bottom) == (50.0, 100.0, 50.0, 50.0)
    assert opening.share_inside == 1.0
    assert place.kind is PlaceKind.PENETRATION
    assert place.queries == ()


def test_an_opening_too_small_is_below_zero_on_that_side(tmp_path: Path) -> None:
    maker = Maker()
    wall, _ = _plain(maker)
    maker.opening("hole", wall, (1820.0, -100.0, 2400.0), (2250.0, 50.0, 2600.0))
    place = only(building(maker.save(tmp_path / "small.ifc")))
    assert place.opening is not None
    sides = place.opening.clearance
    assert (sides.left, sides.right, sides.top, sides.bottom) == (-20.0, 50.0, 0.0, 0.0)
    assert place.opening.goes_through is False
    assert place.opening.share_inside == pytest.approx(380.0 / 400.0)
    assert place.kind is PlaceKind.PENETRATION


@pytest.mark.parametrize("offset", [0.0, 50.0, -120.0])
def test_damper_in_the_wall(tmp_path: Path, offset: float) -> None:
    """Casing 460 × 260, 300 long; its ducts are 400 × 200; clearances count from the casing."""
    maker = Maker()
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.opening("hole", wall, (1720.0, -150.0, 2320.0), (2280.0, 150.0, 2680.0))
    low, high = offset - 150.0, offset + 150.0
    maker.duct("before", START, (2000.0, low, 2500.0), SIZE)
    damper = maker.duct(
        "damper",
        (2000.0, low, 2500.0),
        (2000.0, high, 2500.0),
        (460.0, 260.0),
        cls="IfcDamper",
        PredefinedType="FIREDAMPER",
    )
    maker.property(damper, "Pset_DamperTypeCommon", "FireRating", "IfcLabel", "E 60")
    maker.duct("after", (2000.0, high, 2500.0), END, SIZE)
    place = only(building(maker.save(tmp_path / "damper.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert (place.width_mm, place.height_mm) == (400.0, 200.0)
    assert place.damper is not None
    assert (place.damper.guid, place.damper.in_barrier) == (guid("damper"), True)
    assert place.damper.offset_mm == offset
    assert (place.damper.casing_width_mm, place.damper.casing_height_mm, place.damper.length_mm) == (
        460.0,
        260.0,
        300.0,
    )
    assert [(one.name, one.text) for one in place.damper.properties] == [("FireRating", "E 60")]
    assert place.opening is not None
    sides = place.opening.clearance
    assert (sides.left, sides.right, sides.top, sides.bottom) == (50.0, 50.0, 50.0, 50.0)
    duct = place.opening.clearance_of_duct  # 560 × 360 about 400 × 200
    assert duct is not None
    assert (duct.left, duct.right, duct.top, duct.bottom) == (80.0, 80.0, 80.0, 80.0)
    in_wall = ["before", "damper", "after"] if offset == 0.0 else place.element_guids
    if offset == 0.0:
        assert place.element_guids == (guid("damper"),)
        assert place.size_from is SizeFrom.JOINED_DUCT
    assert len(in_wall) >= 1


def test_damper_beside_the_wall_is_named_with_its_distance(tmp_path: Path) -> None:
    """The damper's centre lies 350 from the wall's centre plane, its end 50 from the face."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("through", START, (2000.0, 200.0, 2500.0), SIZE)
    maker.duct("damper", (2000.0, 200.0, 2500.0), (2000.0, 500.0, 2500.0), (460.0, 260.0), cls="IfcDamper")
    maker.duct("after", (2000.0, 500.0, 2500.0), END, SIZE)
    place = only(building(maker.save(tmp_path / "beside.ifc")))
    assert place.damper is not None
    assert (place.damper.in_barrier, place.damper.offset_mm) == (False, 350.0)
    assert place.element_guids == (guid("through"),)
    assert place.size_from is SizeFrom.DUCT


def test_a_lone_damper_has_its_stated_size_else_its_casing(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("bare", (1000.0, -150.0, 2500.0), (1000.0, 150.0, 2500.0), (460.0, 260.0), cls="IfcDamper")
    told = maker.duct("told", (4000.0, -150.0, 2500.0), (4000.0, 150.0, 2500.0), (460.0, 260.0), cls="IfcDamper")
    maker.property(told, "Dimensions", "Width", "IfcLengthMeasure", 400.0)
    maker.property(told, "Dimensions", "Height", "IfcLengthMeasure", 200.0)
    places = {place.element_guids[0]: place for place in building(maker.save(tmp_path / "lone.ifc")).places}
    assert places[guid("bare")].size_from is SizeFrom.CASING
    assert (places[guid("bare")].width_mm, places[guid("bare")].height_mm) == (460.0, 260.0)
    assert places[guid("told")].size_from is SizeFrom.STATED
    assert (places[guid("told")].width_mm, places[guid("told")].height_mm) == (400.0, 200.0)


def test_two_walls_that_touch_are_one_place_with_two_layers(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH, rating="EI 60")
    maker.wall("lining", (0.0, 100.0, 0.0), (6000.0, 175.0, 3000.0))
    maker.duct("duct", START, END, SIZE)
    place = only(building(maker.save(tmp_path / "layers.ifc")))
    assert place.thickness_mm == 275.0
    assert [(layer.barrier_guid, layer.thickness_mm, layer.centre_m) for layer in place.layers] == [
        (guid("wall"), 200.0, (2.0, 0.0, 2.5)),
        (guid("lining"), 75.0, (2.0, 0.1375, 2.5)),
    ]
    assert place.centre_m == (2.0, 0.0, 2.5)
    assert place.middle_m == (2.0, 0.0375, 2.5)
    assert place.rating_min == 60


def test_two_walls_apart_are_two_places(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.wall("other", (0.0, 150.0, 0.0), (6000.0, 250.0, 3000.0))
    maker.duct("duct", START, END, SIZE)
    places = penetrations(building(maker.save(tmp_path / "cavity.ifc")))
    assert sorted(place.thickness_mm for place in places) == [100.0, 200.0]


def test_layers_that_disagree_leave_the_rating_unknown(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH, rating="EI 60")
    maker.wall("lining", (0.0, 100.0, 0.0), (6000.0, 175.0, 3000.0), rating="_FIRE-RATING_")
    maker.duct("duct", START, END, SIZE)
    place = only(building(maker.save(tmp_path / "disagree.ifc")))
    assert (place.rating_text, place.rating_min) == ("EI 60; _FIRE-RATING_", None)


def test_a_run_of_pieces_in_one_wall_is_one_place(tmp_path: Path) -> None:
    """Two segments that meet in a thick wall, a damper between them, and a copy of the first segment."""
    maker = Maker()
    maker.wall("wall", (0.0, -300.0, 0.0), (6000.0, 300.0, 3000.0))
    maker.duct("a", START, (2000.0, -150.0, 2500.0), SIZE)
    maker.duct("copy", START, (2000.0, -150.0, 2500.0), SIZE)
    maker.duct("damper", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), (460.0, 260.0), cls="IfcDamper")
    maker.duct("b", (2000.0, 150.0, 2500.0), END, SIZE)
    maker.join("a end", "damper start")
    maker.join("damper end", "b start")
    place = only(building(maker.save(tmp_path / "run.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert set(place.element_guids) == {guid("a"), guid("copy"), guid("damper"), guid("b")}
    assert place.element_guids[-2:] == (guid("damper"), guid("b"))
    assert (place.width_mm, place.height_mm, place.thickness_mm) == (400.0, 200.0, 600.0)
    assert place.centre_m == (2.0, 0.0, 2.5)


def test_a_duct_that_steps_aside_within_a_thick_wall_is_one_place(tmp_path: Path) -> None:
    """In at x = 2000, by two elbows and a cross piece to x = 2600, out at the other face."""
    maker = Maker()
    maker.wall("wall", (0.0, -500.0, 0.0), (6000.0, 500.0, 3000.0))
    maker.duct("in", (2000.0, -1000.0, 1500.0), (2000.0, -100.0, 1500.0), (200.0, 200.0))
    maker.duct("elbow 1", (2000.0, -100.0, 1500.0), (2000.0, 100.0, 1500.0), (200.0, 200.0), cls="IfcDuctFitting")
    maker.duct("cross", (2100.0, 0.0, 1500.0), (2500.0, 0.0, 1500.0), (200.0, 200.0))
    maker.duct("elbow 2", (2600.0, -100.0, 1500.0), (2600.0, 100.0, 1500.0), (200.0, 200.0), cls="IfcDuctFitting")
    maker.duct("out", (2600.0, 100.0, 1500.0), (2600.0, 1000.0, 1500.0), (200.0, 200.0))
    for one, other in (
        ("in end", "elbow 1 start"),
        ("elbow 1 end", "cross start"),
        ("cross end", "elbow 2 start"),
        ("elbow 2 end", "out start"),
    ):
        maker.join(one, other)
    place = only(building(maker.save(tmp_path / "aside.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert set(place.element_guids) == {guid(name) for name in ("in", "elbow 1", "cross", "elbow 2", "out")}


def test_two_ducts_side_by_side_are_two_places(tmp_path: Path) -> None:
    """Even where they touch, and even where a modeller let them overlap by a little."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("left", START, END, SIZE)
    maker.duct("right", (2390.0, -1000.0, 2500.0), (2390.0, 1000.0, 2500.0), SIZE)
    places = penetrations(building(maker.save(tmp_path / "side.ifc")))
    assert sorted(place.element_guids[0] for place in places) == sorted((guid("left"), guid("right")))
    assert places[0].neighbours[0].clear_mm == 0.0


def test_one_duct_through_two_walls_far_apart_is_two_places(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.wall("far", (0.0, 500.0, 0.0), (6000.0, 700.0, 3000.0))
    maker.duct("duct", START, END, SIZE)
    places = penetrations(building(maker.save(tmp_path / "both.ifc")))
    assert len({place.key for place in places}) == 2
    assert {place.element_guids for place in places} == {(guid("duct"),)}


def test_a_sloping_roof(tmp_path: Path) -> None:
    """A roof at 45 degrees, 300 thick, a round flue upright through it: thickness square to the slope."""
    maker = Maker()
    rise = 300.0 * math.sqrt(2.0)
    elevation = [(0.0, 0.0), (4000.0, 4000.0), (4000.0, 4000.0 + rise), (0.0, rise)]
    maker.sheet("IfcSlab", "roof", elevation, [], -2000.0, 2000.0, PredefinedType="ROOF")
    maker.duct("flue", (2000.0, 0.0, 500.0), (2000.0, 0.0, 4000.0), (200.0,))
    place = only(building(maker.save(tmp_path / "roof.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert place.orientation == "roof"
    assert place.thickness_mm == pytest.approx(300.0, abs=0.01)
    assert place.angle_deg == pytest.approx(45.0, abs=0.001)
    assert place.centre_m == pytest.approx((2.0, 0.0, 2.0 + 0.15 * math.sqrt(2.0)), abs=1e-5)


def test_a_curved_wall(tmp_path: Path) -> None:
    """An arc of 24 flats of 2 degrees, 200 thick: the faces at a flat are parallel and 200 cos(1 deg) apart."""
    maker = Maker()
    outer, inner = 5000.0, 4800.0
    angles = [math.radians(66.0 + 2.0 * k) for k in range(25)]
    ring = [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
    ring += [(inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)]
    profile = maker.file.create_entity("IfcArbitraryClosedProfileDef", "AREA", None, maker._polyline([*ring, ring[0]]))
    solid = maker._extruded(profile, (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 3000.0)
    maker._product("IfcWall", "bow", [solid], "", {})
    middle = math.radians(91.0)
    start, end = ((r * math.cos(middle), r * math.sin(middle), 1500.0) for r in (4000.0, 6000.0))
    maker.duct("duct", start, end, (250.0,))
    place = only(building(maker.save(tmp_path / "bow.ifc")))
    assert place.kind is PlaceKind.PENETRATION
    assert place.thickness_mm == pytest.approx(200.0 * math.cos(math.radians(1.0)), abs=0.01)
    assert place.angle_deg == pytest.approx(0.0, abs=0.01)


def test_what_the_model_says_of_a_wall(tmp_path: Path) -> None:
    """Type name, build-up, rating on the type; the occurrence's own text goes before the type's."""
    maker = Maker()
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH)
    other = maker.wall("other", (0.0, 900.0, 0.0), (6000.0, 1100.0, 3000.0))
    maker.layers(wall, [("board", 12.5), ("stud", 175.0), ("board", 12.5)])
    kind = maker.typed("IfcWallType", "W1 partition", [wall, other], PredefinedType="STANDARD")
    maker.property(kind, "Fire data", "Fire Rating", "IfcText", "EI 90")
    maker.property(other, "Pset_WallCommon", "FireRating", "IfcLabel", "EI 30")
    maker.duct("duct", START, (2000.0, 2000.0, 2500.0), SIZE)
    places = {place.layers[0].barrier_guid: place for place in building(maker.save(tmp_path / "said.ifc")).places}
    layer = places[guid("wall")].layers[0]
    assert layer.type_name == "W1 partition"
    assert [(one.material, one.thickness_mm) for one in layer.material_layers] == [
        ("board", 12.5),
        ("stud", 175.0),
        ("board", 12.5),
    ]
    assert [(one.text, one.where) for one in layer.ratings] == [("EI 90", "Fire data on the type, Fire Rating")]
    assert places[guid("wall")].rating_min == 90
    assert places[guid("other")].rating_min == 30


def test_systems_and_insulation(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    duct = maker.duct("duct", START, END, SIZE)
    maker.system("Supply 1", [duct])
    maker.property(duct, "Insulation", "Insulation Thickness", "IfcLengthMeasure", 40.0)
    place = only(building(maker.save(tmp_path / "system.ifc")))
    assert (place.systems, place.insulation_mm) == (("Supply 1",), 40.0)
    assert (place.width_mm, place.height_mm) == (400.0, 200.0)


def test_a_duct_that_the_model_puts_on_the_wrong_storey(tmp_path: Path) -> None:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3500.0)
    maker.storey("Level 3", 7000.0)
    maker.wall("wall", WALL_LOW, WALL_HIGH, "Level 1")
    maker.duct("duct", START, END, SIZE, "Level 3")
    place = only(building(maker.save(tmp_path / "storey.ifc")))
    assert (place.storey, place.storey_said) == ("Level 1", "Level 3")
    assert place.is_open


def test_a_riser_is_right_on_every_storey_that_it_passes(tmp_path: Path) -> None:
    maker = Maker()
    for k in range(4):
        maker.storey(f"Level {k}", 3000.0 * k)
        maker.slab(f"slab {k}", (0.0, 0.0, 3000.0 * k - 200.0), (5000.0, 5000.0, 3000.0 * k), f"Level {k}")
    maker.duct("riser", (2000.0, 2000.0, 500.0), (2000.0, 2000.0, 9500.0), (300.0,), "Level 0")
    places = building(maker.save(tmp_path / "riser.ifc")).places
    assert [(place.storey, place.storey_said, place.kind) for place in places] == [
        (f"Level {k}", "", PlaceKind.PENETRATION) for k in (1, 2, 3)
    ]


@pytest.mark.parametrize("architecture_unit", ["m", "inch"])
def test_two_files_in_different_units(tmp_path: Path, architecture_unit: str) -> None:
    """Walls in metres or inches, ducts in millimetres; the storeys have other ids and (one of them) another name."""
    walls, ducts = Maker("IFC2X3", architecture_unit), Maker("IFC4X3", "mm")
    walls.storey("Ground", 0.0)
    walls.storey("First", 3500.0)
    walls.wall("wall", WALL_LOW, WALL_HIGH, "Ground")
    ducts.storey("Level 1", 0.0)
    ducts.duct("duct", START, END, SIZE, "Level 1")
    files = [walls.save(tmp_path / "walls.ifc"), ducts.save(tmp_path / "ducts.ifc")]
    model = building(*files)
    place = only(model)
    assert (place.kind, place.width_mm, place.thickness_mm) == (PlaceKind.PENETRATION, 400.0, 200.0)
    assert place.storey_said == ""
    assert [len(storey.guids) for storey in model.storeys] == [2, 1]
    assert building(*reversed(files)).places == model.places


def test_plan_outlines(tmp_path: Path) -> None:
    """The wall is cut 1.2 m above the level, the slab gives its footprint, the duct both outline and centreline."""
    maker = Maker(shift_m=(100.0, 200.0, 0.0))
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3000.0)
    maker.wall("wall", WALL_LOW, WALL_HIGH, "Level 1")
    maker.slab("slab", (0.0, 0.0, 2800.0), (6000.0, 4000.0, 3000.0), "Level 2")
    maker.duct("duct", START, END, SIZE, "Level 1")
    model = building(maker.save(tmp_path / "plan.ifc"))
    outlines = {barrier.guid: barrier.outlines for barrier in model.barriers}
    names = {storey.key: storey.name for storey in model.storeys}
    wall, slab = outlines[guid("wall")], outlines[guid("slab")]
    assert [(names[one.storey], one.rings) for one in wall] == [
        ("Level 1", (((100.0, 199.9), (106.0, 199.9), (106.0, 200.1), (100.0, 200.1), (100.0, 199.9)),))
    ]
    assert [(names[one.storey], one.rings) for one in slab] == [
        ("Level 2", (((100.0, 200.0), (106.0, 200.0), (106.0, 204.0), (100.0, 204.0), (100.0, 200.0)),))
    ]
    duct = model.services[0]
    assert [(names[one.storey], one.rings) for one in duct.outlines] == [
        ("Level 1", (((101.8, 199.0), (102.2, 199.0), (102.2, 201.0), (101.8, 201.0), (101.8, 199.0)),))
    ]
    assert duct.centreline == (((102.0, 199.0, 2.5), (102.0, 201.0, 2.5)),)
