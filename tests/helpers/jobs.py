# SPDX-License-Identifier: Apache-2.0
"""Small whole jobs on disk for end-to-end tests: one storey, one wall, one duct with its opening; all invented."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

from brattice.adapters.sheets import schedule_bytes, wall_types_bytes

__all__ = ["ORDINARY_ROW", "ORDINARY_WALL", "Names", "small_job", "write_model"]

STAMP = datetime(2026, 3, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Names:
    """The names that come from outside: what a hostile file would use."""

    job: str = "Invented job"
    storey: str = "Level 1"
    wall: str = "Wall 1"
    wall_type: str = "Blockwork 150"
    duct: str = "Duct 1"
    rating: str = "EI 60"
    reference: str = "FD-01"
    words: str = "grid B/3"
    maker: str = "Harrow & Vale (invented)"
    product: str = "HV-10"
    remark: str = "none"
    extra_row: dict[str, Any] = field(default_factory=dict)


def _box(model: Any, body: Any, width: float, depth: float, height: float) -> Any:
    profile = model.createIfcRectangleProfileDef("AREA", None, None, width, depth)
    solid = model.createIfcExtrudedAreaSolid(
        profile,
        model.createIfcAxis2Placement3D(model.createIfcCartesianPoint((0.0, 0.0, 0.0)), None, None),
        model.createIfcDirection((0.0, 0.0, 1.0)),
        height,
    )
    shape = model.createIfcShapeRepresentation(body, "Body", "SweptSolid", [solid])
    return model.createIfcProductDefinitionShape(None, None, [shape])


def _placed(model: Any, at: tuple[float, float, float], z: tuple[float, ...], x: tuple[float, ...]) -> Any:
    return model.createIfcLocalPlacement(
        None,
        model.createIfcAxis2Placement3D(
            model.createIfcCartesianPoint(at), model.createIfcDirection(z), model.createIfcDirection(x)
        ),
    )


def _guid(name: str) -> str:
    return str(ifcopenshell.guid.compress(hashlib.md5(name.encode(), usedforsecurity=False).hexdigest()))


def write_model(path: Path, names: Names) -> None:
    """A 150 mm wall along x, a 600 × 400 duct through it along y with an opening of 700 × 500; millimetres."""
    model = ifcopenshell.file(schema="IFC4")
    origin = model.createIfcAxis2Placement3D(model.createIfcCartesianPoint((0.0, 0.0, 0.0)), None, None)
    context = model.createIfcGeometricRepresentationContext(None, "Model", 3, 1e-5, origin, None)
    units = model.createIfcUnitAssignment([model.createIfcSIUnit(None, "LENGTHUNIT", "MILLI", "METRE")])
    project = model.createIfcProject(_guid("project"), None, names.job, None, None, None, None, [context], units)
    up, along = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)
    storey = model.createIfcBuildingStorey(
        _guid("storey"), None, names.storey, None, None, _placed(model, (0.0, 0.0, 0.0), up, along)
    )
    storey.Elevation = 0.0
    building = model.createIfcBuilding(_guid("building"), None, "Building")
    model.createIfcRelAggregates(_guid("r1"), None, None, None, project, [building])
    model.createIfcRelAggregates(_guid("r2"), None, None, None, building, [storey])
    wall = model.createIfcWall(_guid("wall"), None, names.wall)
    wall.ObjectPlacement = _placed(model, (0.0, 0.0, 0.0), up, along)
    wall.Representation = _box(model, context, 6000.0, 150.0, 3000.0)
    wall_type = model.createIfcWallType(_guid("walltype"), None, names.wall_type)
    wall_type.PredefinedType = "SOLIDWALL"
    model.createIfcRelDefinesByType(_guid("r3"), None, None, None, [wall], wall_type)
    value = model.createIfcPropertySingleValue("FireRating", None, model.createIfcLabel(names.rating), None)
    pset = model.createIfcPropertySet(_guid("pset"), None, "Pset_WallCommon", None, [value])
    model.createIfcRelDefinesByProperties(_guid("r4"), None, None, None, [wall], pset)
    duct = model.createIfcDuctSegment(_guid("duct"), None, names.duct)
    duct.ObjectPlacement = _placed(model, (0.0, -1000.0, 2000.0), (0.0, 1.0, 0.0), along)
    duct.Representation = _box(model, context, 600.0, 400.0, 2000.0)
    duct.PredefinedType = "RIGIDSEGMENT"
    hole = model.createIfcOpeningElement(_guid("hole"), None, "hole")
    hole.ObjectPlacement = _placed(model, (0.0, -200.0, 2000.0), (0.0, 1.0, 0.0), along)
    hole.Representation = _box(model, context, 700.0, 500.0, 400.0)
    model.createIfcRelVoidsElement(_guid("r5"), None, None, None, wall, hole)
    model.createIfcRelContainedInSpatialStructure(_guid("r6"), None, None, None, [wall, duct], storey)
    model.header.file_name.time_stamp = "2026-03-01T00:00:00"
    model.write(str(path))


ORDINARY_ROW: dict[str, Any] = {
    "duct_guids": (_guid("duct"),),
    "role": "compartment wall",
    "wall_type_code": "W1",
    "space_a": ("general",),
    "space_b": ("general",),
    "system": "supply",
    "insulation_through": False,
    "damper_present": True,
    "damper_width_mm": 600,
    "damper_height_mm": 400,
    "class_text": "EI 120 (ve i↔o) S",
    "actuation": ("thermal",),
    "mechanism_deg": 0,
    "access_side": "mechanism side",
    "blade_offset_mm": 0,
    "formed": False,
    "position": "in the barrier",
    "fixing": "built in with cleats",
    "seal_products": ("Cinderlock M5 mortar",),
    "seal_depth_mm": 150,
    "seal_faces": 2,
    "seal_layers": 1,
    "support": "barrier",
    "joint": "breakaway fixings",
    "deflection_head_above": False,
    "other_services": False,
    "access_door": True,
    "method": "1 fire damper",
}
"""What the schedule states of the one duct, so that the example evidence holds for it."""

ORDINARY_WALL: dict[str, Any] = {
    "code": "W1",
    "kind": "rigid wall",
    "thickness_mm": 150,
    "density_kg_m3": 1400,
    "material": "dense concrete blockwork",
    "lining_mm": 0,
    "rating": "EI 60",
    "revision": "P01",
}


def small_job(folder: Path, names: Names | None = None, *, wall: dict[str, Any] | None = None) -> Path:
    """A whole job in a folder that is made; the example evidence of the docs under the given maker and product."""
    named = names or Names()
    for part in ("models", "schedule", "evidence"):
        (folder / part).mkdir(parents=True)
    write_model(folder / "models" / "building.ifc", named)
    row = {
        **ORDINARY_ROW,
        "reference": named.reference,
        "words": named.words,
        "maker": named.maker,
        "product": named.product,
        "remarks": named.remark,
        **named.extra_row,
    }
    (folder / "schedule" / "schedule.xlsx").write_bytes(schedule_bytes([row], stamp=STAMP))
    (folder / "schedule" / "wall-types.xlsx").write_bytes(wall_types_bytes([wall or ORDINARY_WALL], stamp=STAMP))
    root = Path(__file__).resolve().parents[2]
    text = (root / "docs" / "example-evidence.toml").read_text("utf-8")
    text = text.replace('maker = "Harrow & Vale (invented)"', f"maker = {json.dumps(named.maker)}", 1)
    text = text.replace('product = "HV-10"', f"product = {json.dumps(named.product)}")
    (folder / "evidence" / "example.toml").write_text(text, "utf-8")
    (folder / "brattice.toml").write_text(
        f"""schema = 1
name = {json.dumps(named.job)}
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2026"
as_of = 2026-11-02
purpose = "non-residential"
schedules = ["schedule/schedule.xlsx"]
wall_type_sheets = ["schedule/wall-types.xlsx"]
evidence = ["evidence"]
invented = true

[[model]]
path = "models/building.ifc"
role = "architecture and services"

[dates]
order = 2026-11-02
placed_on_market = 2026-11-02
installation = 2027-02-01
handover = 2027-06-01
""",
        "utf-8",
    )
    return folder
