# SPDX-License-Identifier: Apache-2.0
"""Bodies whose way is not plain to see, and walls that are not one plain solid: the crossing is found all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from brattice.building.place import PlaceKind
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building, only, penetrations, reasons

WALL_LOW, WALL_HIGH = (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0)


def test_a_lone_proxy_damper_wider_than_it_is_long(tmp_path: Path) -> None:
    """Its longest side lies in the wall, but its body stands out at both faces: it goes through."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.box("IfcBuildingElementProxy", "Fire damper 12", (1770.0, -150.0, 2370.0), (2230.0, 150.0, 2630.0))
    place = only(building(maker.save(tmp_path / "proxy.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["proxy"])
    assert place.centre_m == (2.0, 0.0, 2.5)


def test_a_cube_of_a_fitting(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.box("IfcDuctFitting", "cube", (1800.0, -200.0, 2300.0), (2200.0, 200.0, 2700.0))
    place = only(building(maker.save(tmp_path / "cube.ifc")))
    assert (place.kind, place.width_mm, place.height_mm) == (PlaceKind.PENETRATION, 400.0, 400.0)


def test_a_transition_without_ports(tmp_path: Path) -> None:
    """A wedge 600 high at y = -500 and 200 at y = 500: in the middle of the wall it is 400 high."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    curve = maker._polyline([(-500.0, 1200.0), (500.0, 1400.0), (500.0, 1600.0), (-500.0, 1800.0), (-500.0, 1200.0)])
    profile = maker.file.create_entity("IfcArbitraryClosedProfileDef", "AREA", None, curve)
    solid = maker._extruded(profile, (1800.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), 500.0)
    maker._product("IfcDuctFitting", "wedge", [solid], "", {})
    place = only(building(maker.save(tmp_path / "wedge.ifc")))
    assert (place.kind, place.width_mm, place.height_mm) == (PlaceKind.PENETRATION, 500.0, 400.0)
    assert place.centre_m == pytest.approx((2.05, 0.0, 1.5), abs=1e-4)
    assert place.angle_deg == pytest.approx(0.0, abs=0.01)


def test_a_bend_drawn_upwards_whose_one_arm_passes(tmp_path: Path) -> None:
    """An L seen from above without ports: one arm crosses the wall, the other runs beside it."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    plan = [(2000.0, -800.0), (2300.0, -800.0), (2300.0, 400.0), (3500.0, 400.0), (3500.0, 700.0), (2000.0, 700.0)]
    profile = maker.file.create_entity("IfcArbitraryClosedProfileDef", "AREA", None, maker._polyline([*plan, plan[0]]))
    solid = maker._extruded(profile, (0.0, 0.0, 1400.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 200.0)
    maker._product("IfcDuctFitting", "bend", [solid], "", {})
    place = only(building(maker.save(tmp_path / "bend.ifc")))
    assert (place.kind, place.width_mm, place.height_mm) == (PlaceKind.PENETRATION, 300.0, 200.0)
    assert place.centre_m == pytest.approx((2.15, 0.0, 1.5), abs=1e-4)


def test_a_flat_duct_that_runs_in_the_wall_and_stands_out_at_both_faces(tmp_path: Path) -> None:
    """Thicker than the wall and along it: nothing passes."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("duct", (1000.0, 0.0, 1500.0), (4000.0, 0.0, 1500.0), (300.0, 150.0), ports=False)
    place = only(building(maker.save(tmp_path / "thick.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["along"])


def test_a_tee_in_a_wall(tmp_path: Path) -> None:
    """A run through the wall whose branch leaves inside it, along it: one penetration."""
    maker = Maker()
    maker.wall("wall", (0.0, -300.0, 0.0), (6000.0, 300.0, 3000.0))
    maker.duct("a", (2000.0, -1000.0, 1500.0), (2000.0, -200.0, 1500.0), (200.0, 200.0))
    plan = [
        (1900.0, -200.0),
        (2100.0, -200.0),
        (2100.0, -100.0),
        (2300.0, -100.0),
        (2300.0, 100.0),
        (2100.0, 100.0),
        (2100.0, 200.0),
        (1900.0, 200.0),
    ]
    profile = maker.file.create_entity("IfcArbitraryClosedProfileDef", "AREA", None, maker._polyline([*plan, plan[0]]))
    solid = maker._extruded(profile, (0.0, 0.0, 1400.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 200.0)
    tee = maker._product("IfcDuctFitting", "tee", [solid], "", {})
    for number, place_of_port in enumerate(((2000.0, -200.0, 1500.0), (2000.0, 200.0, 1500.0), (2300.0, 0.0, 1500.0))):
        maker.port(f"tee {number}", tee, place_of_port)
    maker.duct("b", (2000.0, 200.0, 1500.0), (2000.0, 1000.0, 1500.0), (200.0, 200.0))
    maker.duct("branch", (2300.0, 0.0, 1500.0), (5000.0, 0.0, 1500.0), (200.0, 200.0))
    for one, other in (("a end", "tee 0"), ("tee 1", "b start"), ("tee 2", "branch start")):
        maker.join(one, other)
    found = penetrations(building(maker.save(tmp_path / "tee.ifc")))
    assert len(found) == 1
    assert {guid("a"), guid("tee"), guid("b")} <= set(found[0].element_guids)
    assert (found[0].width_mm, found[0].thickness_mm) == (200.0, 600.0)


def test_a_wall_that_is_made_of_parts(tmp_path: Path) -> None:
    """Boards and studs as parts, the wall itself without a body: the parts are its bodies."""
    maker = Maker()
    wall = maker.without_shape("IfcWall", "wall")
    parts = [
        maker.box("IfcBuildingElementPart", f"part {k}", (0.0, low, 0.0), (6000.0, high, 3000.0))
        for k, (low, high) in enumerate(((-100.0, -75.0), (-75.0, 75.0), (75.0, 100.0)))
    ]
    maker._aggregate(wall, parts)
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (400.0, 200.0))
    place = only(building(maker.save(tmp_path / "parts.ifc")))
    assert (place.kind, place.thickness_mm) == (PlaceKind.PENETRATION, 200.0)
    assert [layer.barrier_guid for layer in place.layers] == [guid("wall")]


@pytest.mark.parametrize("x", [3000.0, 3000.04, 3060.0])
def test_a_duct_where_two_walls_meet_end_to_end(tmp_path: Path, x: float) -> None:
    """Its axis on or near the joint: it is a penetration of one of them and meets the other, never lost between."""
    maker = Maker()
    maker.wall("left", (0.0, -100.0, 0.0), (3000.0, 100.0, 3000.0))
    maker.wall("right", (3000.0, -100.0, 0.0), (6000.0, 100.0, 3000.0))
    maker.duct("duct", (x, -1000.0, 2500.0), (x, 1000.0, 2500.0), (400.0, 200.0))
    places = building(maker.save(tmp_path / "joint.ifc")).places
    assert len([place for place in places if place.kind is PlaceKind.PENETRATION]) == 1
    assert {layer.barrier_guid for place in places for layer in place.layers} == {guid("left"), guid("right")}
    assert all("clips-edge" in reasons(place) for place in places)


def test_walls_that_cross_each_other(tmp_path: Path) -> None:
    """A duct beside the corner of two walls that overlap there passes the one and only that one."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.wall("cross", (3000.0, -2000.0, 0.0), (3200.0, 2000.0, 3000.0))
    maker.duct("duct", (2500.0, -1000.0, 2500.0), (2500.0, 1000.0, 2500.0), (400.0, 200.0))
    place = only(building(maker.save(tmp_path / "cross.ifc")))
    assert (place.kind, [layer.barrier_guid for layer in place.layers]) == (PlaceKind.PENETRATION, [guid("wall")])


def test_a_duct_through_the_crossing_of_two_walls(tmp_path: Path) -> None:
    """Into the one face, out of the other wall's: it is listed, and as what it is, no plain way through."""
    maker = Maker()
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.wall("cross", (2900.0, -2000.0, 0.0), (3100.0, 2000.0, 3000.0))
    maker.duct("duct", (3000.0, -1000.0, 2500.0), (3000.0, 1000.0, 2500.0), (100.0, 100.0))
    places = building(maker.save(tmp_path / "node.ifc")).places
    by_wall = {place.layers[0].barrier_guid: place for place in places}
    assert by_wall[guid("wall")].kind is PlaceKind.PENETRATION
    assert reasons(by_wall[guid("cross")]) == ["along"]
