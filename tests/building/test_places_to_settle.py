# SPDX-License-Identifier: Apache-2.0
"""What is not certain is listed with its reason of the closed list, at and about every limit."""

from __future__ import annotations

from pathlib import Path

import pytest

from brattice.building.place import PlaceKind, QueryReason
from brattice.building.words import Service
from tests.helpers.ifc_maker import Maker, Vec, guid
from tests.helpers.places import building, only, penetrations, reasons

WALL_LOW, WALL_HIGH = (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0)
SIZE = (400.0, 200.0)


def _with_wall(rating: str | None = None) -> Maker:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.wall("wall", WALL_LOW, WALL_HIGH, "Level 1", rating)
    return maker


def _upto(y: float, name: str = "duct") -> tuple[str, Vec, Vec]:
    """A duct that comes from y = -1000 and ends at `y`."""
    return name, (2000.0, -1000.0, 2500.0), (2000.0, y, 2500.0)


def test_the_reasons_are_the_closed_list() -> None:
    """The list of the task, word by word."""
    assert [reason.value for reason in QueryReason] == [
        "ends-inside",
        "clips-edge",
        "along",
        "through-filled-opening",
        "gap-at-wall",
        "untyped",
        "proxy",
        "no-geometry",
        "hole-in-mesh",
        "no-slab-modelled",
        "passes-over-or-beside",
    ]


@pytest.mark.parametrize("y", [-99.0, 0.0, 93.9])
def test_a_duct_that_ends_inside(tmp_path: Path, y: float) -> None:
    """Less than 97 % of the wall is filled: at y = 93.9 it is 96.95 %."""
    maker = _with_wall()
    maker.duct(*_upto(y), SIZE)
    place = only(building(maker.save(tmp_path / "inside.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["ends-inside"])


@pytest.mark.parametrize("y", [94.1, 100.0, 500.0])
def test_a_duct_that_fills_the_wall_is_through(tmp_path: Path, y: float) -> None:
    maker = _with_wall()
    maker.duct(*_upto(y), SIZE)
    assert only(building(maker.save(tmp_path / "filled.ifc"))).kind is PlaceKind.PENETRATION


@pytest.mark.parametrize("y", [-100.0, -110.0, -150.0])
def test_a_free_end_before_the_wall_is_a_gap(tmp_path: Path, y: float) -> None:
    """Flush, and up to 50 mm before the face: its extension by 50 mm meets the wall."""
    maker = _with_wall()
    maker.duct(*_upto(y), SIZE)
    place = only(building(maker.save(tmp_path / "gap.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["gap-at-wall"])
    assert "one side" in place.queries[0].text


def test_a_free_end_farther_off_is_nothing(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.duct(*_upto(-150.1), SIZE)
    assert building(maker.save(tmp_path / "far.ifc")).places == ()


def test_an_end_that_is_joined_is_no_gap(tmp_path: Path) -> None:
    """A duct that turns before the wall: its end is joined to an elbow."""
    maker = _with_wall()
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, -520.0, 2500.0), (200.0, 200.0))
    maker.box("IfcDuctFitting", "elbow", (1900.0, -520.0, 2400.0), (2110.0, -120.0, 2600.0))
    maker.duct("turned", (2110.0, -300.0, 2500.0), (3000.0, -300.0, 2500.0), (200.0, 200.0))
    places = building(maker.save(tmp_path / "joined.ifc")).places
    assert [place for place in places if guid("duct") in place.element_guids] == []


def test_ends_on_both_sides_are_one_gap(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.duct(*_upto(-100.0, "here"), SIZE)
    maker.duct("there", (2000.0, 120.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE)
    place = only(building(maker.save(tmp_path / "gaps.ifc")))
    assert (reasons(place), place.element_guids) == (["gap-at-wall"], (guid("here"), guid("there")))
    assert "both sides" in place.queries[0].text


@pytest.mark.parametrize(
    ("z", "reason"), [(3050.0, "clips-edge"), (3094.0, "clips-edge"), (3096.0, None), (3200.0, None)]
)
def test_a_duct_over_the_edge(tmp_path: Path, z: float, reason: str | None) -> None:
    """200 high about z, the wall's top at 3000: it reaches 50 or 6 mm down; 4 mm is within what a model is exact to."""
    maker = _with_wall()
    maker.duct("duct", (2000.0, -1000.0, z), (2000.0, 1000.0, z), SIZE)
    places = building(maker.save(tmp_path / "edge.ifc")).places
    assert [reasons(place) for place in places] == ([] if reason is None else [[reason]])
    assert all(place.kind is PlaceKind.QUERY for place in places)


def test_a_penetration_that_sticks_out_over_the_edge(tmp_path: Path) -> None:
    """Its centreline is inside by 60 mm, its top 40 mm above the wall: a penetration with a query."""
    maker = _with_wall()
    maker.duct("duct", (2000.0, -1000.0, 2940.0), (2000.0, 1000.0, 2940.0), SIZE)
    place = only(building(maker.save(tmp_path / "out.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.PENETRATION, ["clips-edge"])
    edges = place.layers[0].edges
    assert edges is not None
    assert edges.top == -40.0


def test_a_duct_in_the_wall_along_it(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.duct("duct", (1000.0, 0.0, 1500.0), (4000.0, 0.0, 1500.0), (100.0,))
    place = only(building(maker.save(tmp_path / "along.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["along"])


@pytest.mark.parametrize(("angle_deg", "kind"), [(79.0, PlaceKind.PENETRATION), (81.0, PlaceKind.QUERY)])
def test_a_duct_that_crosses_nearly_along(tmp_path: Path, angle_deg: float, kind: PlaceKind) -> None:
    """From 80 degrees to the normal on it runs along the wall."""
    import math

    maker = _with_wall()
    dx, dy = 2500.0 * math.sin(math.radians(angle_deg)), 2500.0 * math.cos(math.radians(angle_deg))
    maker.duct("duct", (3000.0 - dx, -dy, 1500.0), (3000.0 + dx, dy, 1500.0), (100.0,))
    assert only(building(maker.save(tmp_path / "steep.ifc"))).kind is kind


def test_a_riser_in_a_wall_is_along(tmp_path: Path) -> None:
    """From the wall's foot out through its top: that is no way through a wall."""
    maker = _with_wall()
    maker.duct("riser", (2000.0, 0.0, -500.0), (2000.0, 0.0, 3500.0), (100.0,))
    places = building(maker.save(tmp_path / "riser.ifc")).places
    assert [(place.kind, reasons(place)) for place in places if place.layers] == [(PlaceKind.QUERY, ["along"])]


@pytest.mark.parametrize("filling", ["IfcDoor", "IfcWindow"])
def test_through_a_door_or_window(tmp_path: Path, filling: str) -> None:
    maker = Maker()
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH)
    opening = maker.opening("hole", wall, (1500.0, -100.0, 2000.0), (2500.0, 100.0, 2900.0))
    maker.fill(opening, maker.box(filling, "filling", (1500.0, -30.0, 2000.0), (2500.0, 30.0, 2900.0)))
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE)
    place = only(building(maker.save(tmp_path / "door.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.QUERY, ["through-filled-opening"])
    assert place.opening is not None
    assert (place.opening.filled_by, place.opening.filled_class) == (guid("filling"), filling)


def test_partly_through_a_window_is_a_penetration_with_a_query(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH)
    opening = maker.opening("hole", wall, (2100.0, -100.0, 2000.0), (2900.0, 100.0, 2900.0))
    maker.fill(opening, maker.box("IfcWindow", "window", (2100.0, -30.0, 2000.0), (2900.0, 30.0, 2900.0)))
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE)
    place = only(building(maker.save(tmp_path / "window.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.PENETRATION, ["through-filled-opening"])
    assert "25 %" in place.queries[0].text


def test_an_opening_that_the_damper_fills_is_its_own(tmp_path: Path) -> None:
    """Some programs say that the damper fills the hole: that is no door."""
    maker = Maker()
    wall = maker.wall("wall", WALL_LOW, WALL_HIGH)
    opening = maker.opening("hole", wall, (1750.0, -100.0, 2350.0), (2250.0, 100.0, 2650.0))
    damper = maker.duct("damper", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), SIZE, cls="IfcDamper")
    maker.fill(opening, damper)
    place = only(building(maker.save(tmp_path / "filled.ifc")))
    assert (place.kind, reasons(place)) == (PlaceKind.PENETRATION, [])


@pytest.mark.parametrize(
    ("hole", "kind"),
    [
        ((1800.0, 2300.0, 2200.0, 2700.0), PlaceKind.PENETRATION),
        ((500.0, 300.0, 5500.0, 2800.0), PlaceKind.QUERY),
    ],
)
def test_a_hole_in_the_walls_own_mesh(tmp_path: Path, hole: tuple[float, ...], kind: PlaceKind) -> None:
    """A hole that no opening element explains: about the size of a duct it is the duct's, 5 m wide it is not."""
    maker = Maker()
    x0, z0, x1, z1 = hole
    maker.sheet(
        "IfcWall", "wall", [(0.0, 0.0), (6000.0, 0.0), (6000.0, 3000.0), (0.0, 3000.0)],
        [[(x0, z0), (x1, z0), (x1, z1), (x0, z1)]], -100.0, 100.0,
    )  # fmt: skip
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (300.0, 200.0))
    place = only(building(maker.save(tmp_path / "hole.ifc")))
    assert (place.kind, reasons(place)) == (kind, ["hole-in-mesh"])
    assert place.thickness_mm == 200.0
    assert place.centre_m == (2.0, 0.0, 2.5)


@pytest.mark.parametrize("schema", ["IFC2X3", "IFC4", "IFC4X3"])
def test_a_flow_segment_without_a_type(tmp_path: Path, schema: str) -> None:
    maker = Maker(schema)
    maker.wall("wall", WALL_LOW, WALL_HIGH)
    maker.duct("what", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE, cls="IfcFlowSegment")
    place = only(building(maker.save(tmp_path / "untyped.ifc")))
    assert (place.kind, place.service, reasons(place)) == (PlaceKind.QUERY, Service.UNKNOWN, ["untyped"])


def test_a_proxy_that_runs_like_a_duct(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.duct("Duct 7", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (200.0,), cls="IfcBuildingElementProxy")
    place = only(building(maker.save(tmp_path / "proxy.ifc")))
    assert (place.kind, place.service, reasons(place)) == (PlaceKind.QUERY, Service.UNKNOWN, ["proxy"])


def test_a_proxy_that_is_something_else_is_left_alone(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.box("IfcBuildingElementProxy", "tree", (1000.0, -1500.0, 0.0), (4000.0, 1500.0, 2900.0))
    assert building(maker.save(tmp_path / "tree.ifc")).places == ()


def test_a_duct_without_a_shape(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.without_shape("IfcDuctSegment", "ghost", "Level 1")
    place = only(building(maker.save(tmp_path / "ghost.ifc")))
    assert (place.kind, reasons(place), place.element_guids) == (PlaceKind.QUERY, ["no-geometry"], (guid("ghost"),))
    assert place.centre_m is None
    assert place.storey == "Level 1"


def test_a_wall_without_a_shape(tmp_path: Path) -> None:
    maker = Maker()
    maker.without_shape("IfcWall", "ghost")
    maker.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE)
    model = building(maker.save(tmp_path / "ghost.ifc"))
    place = only(model)
    assert (reasons(place), [layer.barrier_guid for layer in place.layers]) == (["no-geometry"], [guid("ghost")])
    assert model.lacks != ()


def test_a_storey_without_a_slab(tmp_path: Path) -> None:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3000.0)
    maker.storey("Level 3", 6000.0)
    maker.slab("slab", (0.0, 0.0, 2800.0), (5000.0, 5000.0, 3000.0), "Level 2")
    maker.duct("low", (2000.0, 2000.0, 500.0), (2000.0, 2000.0, 6000.0), (300.0,))
    maker.duct("high", (2000.0, 2000.0, 6000.0), (2000.0, 2000.0, 7000.0), (300.0,))
    places = building(maker.save(tmp_path / "slabs.ifc")).places
    assert [(place.storey, place.kind, reasons(place)) for place in places] == [
        ("Level 2", PlaceKind.PENETRATION, []),
        ("Level 3", PlaceKind.QUERY, ["no-slab-modelled"]),
    ]
    assert places[1].centre_m == (2.0, 2.0, 6.0)
    assert set(places[1].element_guids) == {guid("low"), guid("high")}


def _gap_building(rating: str | None, soffit: float) -> Maker:
    """A wall up to 3000, a slab whose soffit is at `soffit`."""
    maker = _with_wall(rating)
    maker.slab("slab", (-1000.0, -3000.0, soffit), (7000.0, 3000.0, soffit + 200.0))
    return maker


@pytest.mark.parametrize(
    ("rating", "z", "soffit", "asked"),
    [
        ("EI 60", 3200.0, 3500.0, True),
        ("60", 3200.0, 3500.0, True),  # a number may well be a rating: unknown is asked about
        (None, 3200.0, 3500.0, False),
        ("_FIRE-RATING_", 3200.0, 3500.0, False),
        ("EI 60", 3900.0, 3500.0, False),  # above the slab
    ],
)
def test_over_a_rated_wall(tmp_path: Path, rating: str | None, z: float, soffit: float, asked: bool) -> None:
    maker = _gap_building(rating, soffit)
    maker.duct("duct", (2000.0, -1000.0, z), (2000.0, 1000.0, z), (200.0, 100.0))
    places = building(maker.save(tmp_path / "over.ifc")).places
    assert [reasons(place) for place in places] == ([["passes-over-or-beside"]] if asked else [])
    if asked:
        assert "over" in places[0].queries[0].text
        assert [layer.barrier_guid for layer in places[0].layers] == [guid("wall")]
        assert places[0].centre_m == (2.0, 0.0, z / 1000.0)


def test_over_a_rated_wall_where_another_closes_the_space(tmp_path: Path) -> None:
    maker = _gap_building("EI 60", 3500.0)
    maker.wall("bulkhead", (0.0, -100.0, 3000.0), (6000.0, 100.0, 3500.0), rating="EI 60")
    maker.duct("duct", (2000.0, -1000.0, 3250.0), (2000.0, 1000.0, 3250.0), (200.0, 100.0))
    place = only(building(maker.save(tmp_path / "closed.ifc")))
    assert (place.kind, place.layers[0].barrier_guid) == (PlaceKind.PENETRATION, guid("bulkhead"))


def test_under_a_rated_wall(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", (0.0, -100.0, 300.0), (6000.0, 100.0, 3000.0), rating="EI 60")
    maker.slab("slab", (-1000.0, -3000.0, -200.0), (7000.0, 3000.0, 0.0))
    maker.duct("duct", (2000.0, -1000.0, 150.0), (2000.0, 1000.0, 150.0), (200.0, 100.0))
    place = only(building(maker.save(tmp_path / "under.ifc")))
    assert reasons(place) == ["passes-over-or-beside"]
    assert "under" in place.queries[0].text


@pytest.mark.parametrize(("gap", "asked"), [(600.0, True), (1200.0, False)])
def test_beside_a_rated_wall(tmp_path: Path, gap: float, asked: bool) -> None:
    """The wall stops short of the next one; through a gap of 1.2 m one walks, that is no gap at its end."""
    maker = _with_wall("EI 60")
    maker.wall("cross", (6000.0 + gap, -2000.0, 0.0), (6200.0 + gap, 2000.0, 3000.0))
    maker.duct("duct", (6300.0, -1000.0, 2500.0), (6300.0, 1000.0, 2500.0), (200.0, 100.0))
    places = building(maker.save(tmp_path / "beside.ifc")).places
    assert [reasons(place) for place in places] == ([["passes-over-or-beside"]] if asked else [])


def test_models_that_lack_what_is_looked_for(tmp_path: Path) -> None:
    """Nothing found where there is nothing to look at is no pass."""
    walls, ducts = Maker(), Maker()
    walls.wall("wall", WALL_LOW, WALL_HIGH)
    ducts.duct("duct", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), SIZE)
    for maker, word in ((walls, "no duct"), (ducts, "no wall")):
        model = building(maker.save(tmp_path / f"{word.replace(' ', '-')}.ifc"))
        assert model.places == ()
        assert model.is_open
        assert word in model.lacks[0]


def test_other_services_are_listed_only_where_they_pass(tmp_path: Path) -> None:
    maker = _with_wall()
    maker.duct("tray", (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0), (300.0, 60.0), cls="IfcCableCarrierSegment")
    maker.duct("pipe", (3000.0, -1000.0, 2500.0), (3000.0, 0.0, 2500.0), (50.0,), cls="IfcPipeSegment")
    place = only(building(maker.save(tmp_path / "others.ifc")))
    assert (place.kind, place.service, place.element_guids) == (PlaceKind.OTHER_SERVICE, Service.CABLE, (guid("tray"),))
    assert penetrations(building(str(tmp_path / "others.ifc"))) == []
