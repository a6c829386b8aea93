# SPDX-License-Identifier: Apache-2.0
"""What meets a barrier beside a duct: a duct of 400 × 200 through a 200 mm wall (y -100 … 100) of 6 × 3 m.

The duct's sides are at x 1800 and 2200, z 2400 and 2600; every clear distance below is a hand difference.
"""

from pathlib import Path
from typing import Any

import pytest

from brattice.building.model import BarrierKind
from brattice.findings import Known
from brattice.usecases.job import Job
from brattice.usecases.places import from_models
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building, penetrations
from tests.requirements.asked import ENGLAND

JOB = Job("Invented", ENGLAND)
Box = tuple[tuple[float, float, float], tuple[float, float, float]]


def found(tmp_path: Path, kind: str, box: Box, **more: Any) -> Any:
    maker = Maker("IFC4", "mm", **more)
    maker.storey("Level 1", 0.0)
    maker.storey("Level 2", 3500.0)
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1", "EI 60")
    duct = maker.duct("duct", (2000.0, -1500.0, 2500.0), (2000.0, 1500.0, 2500.0), (400.0, 200.0), "Level 1")
    duct.PredefinedType = "RIGIDSEGMENT"
    (maker.wall if kind == "wall" else maker.slab)("other", *box, "Level 1")
    model = building(maker.save(tmp_path / "m.ifc"))
    (place,) = [item for item in penetrations(model) if guid("wall") in {layer.barrier_guid for layer in item.layers}]
    return model, place


@pytest.mark.parametrize(
    ("kind", "box", "clear"),
    [
        # a partition that meets one face in the wall's field: 2260 - 2200
        ("wall", ((2260.0, 100.0, 0.0), (2360.0, 3000.0, 3000.0)), 60.0),
        ("wall", ((1700.0, -3000.0, 0.0), (1740.0, -100.0, 3000.0)), 60.0),  # the other face: 1800 - 1740
        # drawn 40 mm short of the face it still meets it; 60 mm short it is not seen to
        ("wall", ((2260.0, 140.0, 0.0), (2360.0, 3000.0, 3000.0)), 60.0),
        ("wall", ((2260.0, 160.0, 0.0), (2360.0, 3000.0, 3000.0)), None),
        # a slab that the wall stands past: 2660 - 2600, and below: 2400 - 2340
        ("slab", ((0.0, -2000.0, 2660.0), (6000.0, 2000.0, 2860.0)), 60.0),
        ("slab", ((0.0, 100.0, 2140.0), (6000.0, 2000.0, 2340.0)), 60.0),
        # exactly as far as it is looked for, and a little farther: 3700 - 2200 = 1500
        ("wall", ((3700.0, 100.0, 0.0), (3800.0, 3000.0, 3000.0)), 1500.0),
        ("wall", ((3701.0, 100.0, 0.0), (3801.0, 3000.0, 3000.0)), None),
        # the next length of the same wall adjoins nothing
        ("wall", ((6000.0, -100.0, 0.0), (9000.0, 100.0, 3000.0)), None),
        # a wall across the duct's way 30 mm before the face is passed, not beside it
        ("wall", ((0.0, 130.0, 0.0), (6000.0, 230.0, 3000.0)), None),
    ],
)
def test_what_meets_the_wall_beside_the_duct(tmp_path: Path, kind: str, box: Box, clear: float | None) -> None:
    _, place = found(tmp_path, kind, box)
    mine = [item for item in place.adjoining if item.barrier_guid == guid("other")]
    assert [item.clear_mm for item in mine] == ([] if clear is None else [clear])
    assert {item.kind for item in mine} <= {BarrierKind.WALL if kind == "wall" else BarrierKind.FLOOR}


@pytest.mark.parametrize("more", [{"turn_deg": 30.0}, {"shift_m": (531000.0, 180000.0, 20.0)}])
def test_turning_and_shifting_the_building_changes_no_distance(tmp_path: Path, more: dict[str, Any]) -> None:
    _, place = found(tmp_path, "wall", ((2260.0, 100.0, 0.0), (2360.0, 3000.0, 3000.0)), **more)
    assert [item.clear_mm for item in place.adjoining] == pytest.approx([60.0], abs=0.01)


@pytest.mark.parametrize(
    ("kind", "box", "to"),
    [
        ("wall", ((2260.0, 100.0, 0.0), (2360.0, 3000.0, 3000.0)), "wall"),
        ("slab", ((0.0, -2000.0, 2660.0), (6000.0, 2000.0, 2860.0)), "floor"),
    ],
)
def test_the_distance_that_is_judged_is_the_one_to_what_adjoins(tmp_path: Path, kind: str, box: Box, to: str) -> None:
    """Trade handbook row 2.31 asks 75 mm to an adjacent wall or floor, wherever in the wall's field that meets it."""
    model, _ = found(tmp_path, kind, box)
    places = [item for item in from_models(model, JOB, {}).places if guid("wall") in item.barrier_guids]
    (distance,) = [item.distance_mm for item in places[0].separations if item.to == to]
    assert isinstance(distance, Known)
    assert distance.value == 60.0
