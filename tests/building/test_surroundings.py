# SPDX-License-Identifier: Apache-2.0
"""What stands round a place in the models: a duct of 400 × 300 through a 100 mm wall, the air towards larger y.

The duct's sides are at x 1800 and 2200; its axis is at (2000, 50, 2000). Zones and bodies are plain boxes, so that
every expected number is a hand difference.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from brattice.building.surroundings import Standing, Surroundings
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building

LOW, HIGH = (50.0, 200.0, -150.0), (850.0, 900.0, 150.0)
"""A zone to the right, 700 mm deep before the duct, 800 mm along it behind the wall's face (y 100 … 900)."""
INSIDE = ((2500.0, 300.0, 1950.0), (2600.0, 600.0, 2050.0))


def begun(**more: Any) -> Maker:
    maker = Maker("IFC4", "mm", **more)
    maker.storey("Level 1", 0.0)
    maker.wall("wall", (0.0, 0.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1", "EI 60")
    maker.duct("duct", (2000.0, -1500.0, 2000.0), (2000.0, 1500.0, 2000.0), (400.0, 300.0), "Level 1", flows=True)
    return maker


def around(maker: Maker, tmp_path: Path, *others: str) -> Surroundings:
    model = building(maker.save(tmp_path / "m.ifc"), *others, reach_mm=3000.0)
    (found,) = model.around.values()
    return found


def standing(maker: Maker, tmp_path: Path) -> tuple[Standing, ...]:
    return around(maker, tmp_path).standing_in(LOW, HIGH)


@pytest.mark.parametrize(
    ("ifc_class", "what"),
    [
        ("IfcBeam", "beam"),
        ("IfcColumn", "column"),
        ("IfcCableCarrierSegment", "cable carrier"),
        ("IfcPipeSegment", "pipe"),
        ("IfcPipeFitting", "pipe fitting"),
        ("IfcDuctSegment", "duct"),
        ("IfcFurniture", "furniture"),
        ("IfcRailing", "railing"),
        ("IfcSanitaryTerminal", "sanitary terminal"),
        ("IfcWall", "wall"),
        ("IfcSlab", "slab"),
    ],
)
def test_anything_with_a_body_can_stand_in_the_zone(tmp_path: Path, ifc_class: str, what: str) -> None:
    maker = begun()
    maker.box(ifc_class, "it", *INSIDE, "Level 1")
    (found,) = standing(maker, tmp_path)
    assert (found.what, found.name, found.guid) == (what, "it", guid("it"))
    assert found.low == (250.0, 500.0, -50.0)  # 300 - 50, 2500 - 2000, 1950 - 2000
    assert found.high == (550.0, 600.0, 50.0)
    assert found.is_certain


@pytest.mark.parametrize(
    ("ifc_class", "predefined"),
    [
        ("IfcCovering", "INSULATION"),
        ("IfcCovering", "CLADDING"),
        ("IfcActuator", "NOTDEFINED"),
        ("IfcMechanicalFastener", "BOLT"),
        ("IfcBuildingElementProxy", "PROVISIONFORVOID"),
        ("IfcBuildingElementProxy", "PROVISIONFORSPACE"),
        ("IfcVirtualElement", ""),
        ("IfcSpace", "INTERNAL"),
    ],
)
def test_finishes_drives_and_room_that_is_kept_free_stand_in_nobodys_way(
    tmp_path: Path, ifc_class: str, predefined: str
) -> None:
    maker = begun()
    made = maker.box(ifc_class, "it", *INSIDE, "Level 1")
    if predefined:
        made.PredefinedType = predefined
    assert standing(maker, tmp_path) == ()


def test_what_only_touches_the_zone_is_not_in_it(tmp_path: Path) -> None:
    """The zone ends 900 mm off the axis, at x 2900, and at the height 2150."""
    maker = begun()
    maker.box("IfcBeam", "beside", (2900.0, 200.0, 1900.0), (3000.0, 800.0, 2100.0), "Level 1")
    maker.box("IfcBeam", "above", (2300.0, 200.0, 2150.0), (2800.0, 800.0, 2300.0), "Level 1")
    maker.box("IfcBeam", "in it", (2899.0, 200.0, 1900.0), (3000.0, 800.0, 2100.0), "Level 1")
    (found,) = standing(maker, tmp_path)
    assert found.name == "in it"
    assert (found.low[1], found.high[1]) == (899.0, 900.0)


def test_a_proxy_may_be_anything(tmp_path: Path) -> None:
    maker = begun()
    maker.box("IfcBuildingElementProxy", "it", *INSIDE, "Level 1")
    (found,) = standing(maker, tmp_path)
    assert not found.is_certain
    assert found.what == "thing of unknown kind"


def test_a_ceiling_is_known_for_one(tmp_path: Path) -> None:
    maker = begun()
    maker.box("IfcCovering", "it", *INSIDE, "Level 1").PredefinedType = "CEILING"
    (found,) = standing(maker, tmp_path)
    assert found.is_ceiling
    assert found.what == "ceiling"


def test_the_place_itself_and_its_straight_run_are_no_obstacles_but_its_bend_is(tmp_path: Path) -> None:
    """The zone here takes in the duct itself; the second length is as straight, the branch to the right is none."""
    maker = begun()
    maker.duct("next", (2000.0, 1500.0, 2000.0), (2000.0, 4000.0, 2000.0), (500.0, 400.0), "Level 1")
    maker.join("duct end", "next start")
    found = around(maker, tmp_path)
    assert found.standing_in((-1000.0, -200.0, -150.0), (3000.0, 900.0, 150.0)) == ()
    maker = begun()
    maker.duct("branch", (2200.0, 600.0, 2000.0), (3200.0, 600.0, 2000.0), (200.0, 200.0), "Level 1")
    (branch,) = standing(maker, tmp_path)
    assert branch.name == "branch"
    assert branch.low[1] == 200.0


def test_the_ports_say_which_way_the_air_flows(tmp_path: Path) -> None:
    assert around(begun(), tmp_path).flow == 1
    maker = begun()
    for port in maker.file.by_type("IfcDistributionPort"):
        port.FlowDirection = {"SINK": "SOURCE", "SOURCE": "SINK"}[port.FlowDirection]
    assert around(maker, tmp_path).flow == -1
    for silent in ("SOURCEANDSINK", "NOTDEFINED", None):
        maker = begun()
        for port in maker.file.by_type("IfcDistributionPort"):
            port.FlowDirection = silent
        assert around(maker, tmp_path).flow == 0


@pytest.mark.parametrize("unit", ["mm", "m", "inch"])
def test_turned_far_away_and_in_another_file_it_is_the_same(tmp_path: Path, unit: str) -> None:
    """Turned by 20° clockwise, hundreds of kilometres off (a national grid); the pipe is in a file of its own."""
    where: dict[str, Any] = {"shift_m": (412_345.0, 5_123_456.0, 35.0), "turn_deg": -20.0}
    other = Maker("IFC4", unit, **where)
    other.storey("Level 1", 0.0)
    other.box("IfcPipeSegment", "pipe", *INSIDE, "Level 1")
    path = other.save(tmp_path / "pipes.ifc")
    found = around(begun(**where), tmp_path, path).standing_in(LOW, HIGH)
    (pipe,) = found
    assert pipe.file == path
    assert pipe.low == pytest.approx((250.0, 500.0, -50.0), abs=0.05)
    assert pipe.high == pytest.approx((550.0, 600.0, 50.0), abs=0.05)


def test_nobody_looks_where_nobody_asks(tmp_path: Path) -> None:
    assert building(begun().save(tmp_path / "m.ifc")).around == {}
