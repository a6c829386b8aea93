# SPDX-License-Identifier: Apache-2.0
"""The two models: architecture in metres (walls, slabs, doors, holes), services in millimetres (ducts and others)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tools.demo.ducts import AXES, Gaps, Piece, Planned, Run, Section, pieces_of
from tools.demo.ifc_file import IfcFile, global_id
from tools.demo.layout import Layout
from tools.demo.plan import BUILDING, HEIGHT, LENGTH, SLAB, STOREYS, WIDTH, BuildUp, Slab, Wall, doors, slabs, walls

__all__ = ["ARCHITECTURE", "SERVICES", "barrier_id", "element_id", "write_models"]

ARCHITECTURE, SERVICES = "architecture", "services"
_LEVELS = tuple((name, index * float(HEIGHT)) for index, name in enumerate(STOREYS))

_DIRECTIONS: dict[str, tuple[tuple[float, float, float], tuple[float, float, float]]] = {
    "x": ((1, 0, 0), (0, 1, 0)),
    "y": ((0, 1, 0), (-1, 0, 0)),
    "z": ((0, 0, 1), (1, 0, 0)),
}
"""Along which way a run is extruded, and the way of its width."""

_KINDS = {
    ("duct", "segment"): ("IfcDuctSegment", "RIGIDSEGMENT"),
    ("duct", "terminal"): ("IfcAirTerminal", "GRILLE"),
    ("pipe", "segment"): ("IfcPipeSegment", "RIGIDSEGMENT"),
    ("tray", "segment"): ("IfcCableCarrierSegment", "CABLETRAYSEGMENT"),
}
_FLOWS = {
    0: ("SOURCEANDSINK", "SOURCEANDSINK"),
    1: ("SOURCE", "SINK"),
    -1: ("SINK", "SOURCE"),
}
"""What the ports of two pieces in a row say: of the one that comes first along the axis, of the next."""
_SYSTEM_KINDS = {"duct": "VENTILATION", "pipe": "HEATING", "tray": "ELECTRICAL"}
_PORT_KINDS = {"duct": "DUCT", "pipe": "PIPE", "tray": "CABLECARRIER"}


def barrier_id(name: str) -> str:
    """The GlobalId of a wall or slab."""
    return global_id(ARCHITECTURE, "IfcSlab" if name.startswith("Slab") else "IfcWall", name)


def element_id(piece: Piece) -> str:
    """The GlobalId of a piece of a run."""
    return global_id(SERVICES, _class_of(piece)[0], piece.name)


def _class_of(piece: Piece) -> tuple[str, str]:
    if piece.part == "damper":
        smoke = piece.tested.startswith("TV")
        return ("IfcDamper", "FIRESMOKEDAMPER" if smoke else "FIREDAMPER")
    return _KINDS[piece.run.service, piece.part]


def write_models(layout: Layout, folder: Path, when: str) -> None:
    """Write both files."""
    _architecture(layout.planned, folder / "architecture.ifc", when)
    _services(layout, folder / "services.ifc", when)


# architecture -----------------------------------------------------------------------------------------------------


def _architecture(planned: dict[str, Planned], path: Path, when: str) -> None:
    ifc = IfcFile(ARCHITECTURE, "", _LEVELS, BUILDING, when)
    made = {slab.name: _slab(ifc, slab) for slab in slabs()}
    hosts: dict[str, Wall | Slab] = {slab.name: slab for slab in slabs()}
    for wall in walls():
        hosts[wall.name] = wall
        made[wall.name] = _wall(ifc, wall)
    for door in doors():
        _door(ifc, door.name, hosts[door.wall], made[door.wall], door.at, door.width, door.height)
    for one in planned.values():
        if one.has_hole and not one.opening_of:
            _hole(ifc, one, hosts[one.barrier], made[one.barrier])
    ifc.write(path)


def _typed(ifc: IfcFile, product: Any, kind: str, build_up: BuildUp, predefined: str, direction: str) -> None:
    name = f"{build_up.code} {build_up.title}"
    values: dict[str, object] = {"FireRating": build_up.model_rating} if build_up.model_rating else {}
    common = "Pset_WallCommon" if kind == "IfcWallType" else "Pset_SlabCommon"
    is_new = not ifc.has_type(name)
    properties = [ifc.property_set(name, common, **values, IsExternal=build_up.code == "EX300")] if is_new else []
    made = ifc.of_type(product, kind, name, predefined, properties)
    if is_new:
        ifc.layers(made, name, build_up.layers, direction)


def _wall(ifc: IfcFile, wall: Wall) -> Any:
    length, thickness = wall.end - wall.start, wall.build_up.thickness
    middle = (wall.start + wall.end) / 2
    x, y = (middle, wall.at) if wall.along == "x" else (wall.at, middle)
    across = (length, thickness) if wall.along == "x" else (thickness, length)
    product = ifc.element("IfcWall", wall.name, wall.level, (x, y, wall.base), ifc.rectangle(*across), wall.top)
    product.PredefinedType = "SOLIDWALL" if wall.kind.startswith("B") else "PARTITIONING"
    _typed(ifc, product, "IfcWallType", wall.build_up, "STANDARD", "AXIS2")
    return product


def _slab(ifc: IfcFile, slab: Slab) -> Any:
    profile = ifc.plate((0, 0, LENGTH, WIDTH), slab.voids)
    product = ifc.element("IfcSlab", slab.name, slab.level, (0, 0, slab.top - SLAB), profile, SLAB)
    product.PredefinedType = "ROOF" if slab.level == len(STOREYS) - 1 else "FLOOR" if slab.level else "BASESLAB"
    _typed(ifc, product, "IfcSlabType", slab.build_up, product.PredefinedType, "AXIS3")
    return product


def _door(ifc: IfcFile, name: str, host: Wall | Slab, product: Any, at: float, width: float, height: float) -> None:
    assert isinstance(host, Wall)
    axis, side = _DIRECTIONS["y" if host.along == "x" else "x"]
    depth = host.build_up.thickness
    point = (at, host.at - depth / 2) if host.along == "x" else (host.at - depth / 2, at)
    start = (point[0], point[1], host.base + height / 2)
    opening = ifc.opening(
        f"{name} opening", product, host.level, start, ifc.rectangle(width, height), depth, axis, side
    )
    leaf = (at, host.at - 25) if host.along == "x" else (host.at - 25, at)
    door = ifc.element(
        "IfcDoor", name, host.level, (leaf[0], leaf[1], start[2]), ifc.rectangle(width, height), 50, axis, side
    )
    (door.OverallHeight, door.OverallWidth) = (round(height / 1000, 6), round(width / 1000, 6))
    ifc.fills(opening, door)


def _hole(ifc: IfcFile, one: Planned, host: Wall | Slab, product: Any) -> None:
    """The builder's hole: the designed gap a side round the duct, and the lining of a lined opening."""
    gaps = one.hole or Gaps(0, 0, 0, 0)
    section = one.section
    wide = section.width + gaps.left + gaps.right
    deep = section.depth + gaps.top + gaps.bottom
    axis, side = _DIRECTIONS[one.axis]
    right, up = (gaps.right - gaps.left) / 2, (gaps.top - gaps.bottom) / 2
    x, y, z = one.at
    # Seen along x the right hand is towards -y; in a floor the width runs along x and the depth along y.
    shift = {"x": (0, -right, up), "y": (right, 0, up), "z": (right, up, 0)}[one.axis]
    centre = [x + shift[0], y + shift[1], z + shift[2]]
    index = AXES.index(one.axis)
    centre[index] -= one.thickness / 2
    is_round = section.height is None if one.round_hole is None else one.round_hole
    profile = ifc.circle(wide) if is_round else ifc.rectangle(wide, deep)
    level = host.level
    start = (centre[0], centre[1], centre[2])
    ifc.opening(f"Hole {one.ref}", product, level, start, profile, one.thickness, axis, side)


# services ---------------------------------------------------------------------------------------------------------


def _services(layout: Layout, path: Path, when: str) -> None:
    ifc = IfcFile(SERVICES, "MILLI", _LEVELS, BUILDING, when)
    for box in layout.boxes:
        (x0, y0, z0), (x1, y1, z1) = box.low, box.high
        centre = ((x0 + x1) / 2, (y0 + y1) / 2, z0)
        unit = ifc.element("IfcUnitaryEquipment", box.name, box.level, centre, ifc.rectangle(x1 - x0, y1 - y0), z1 - z0)
        ifc.of_type(unit, "IfcUnitaryEquipmentType", "Air handling unit", "AIRHANDLER")
        ifc.in_system(unit, box.system, "VENTILATION")
    for run in layout.runs:
        _run(ifc, run, layout.planned)
    ifc.write(path)


def _section_text(section: Section) -> str:
    return f"{section.width:g}" if section.height is None else f"{section.width:g}x{section.height:g}"


def _run(ifc: IfcFile, run: Run, planned: dict[str, Planned]) -> None:
    axis, side = _DIRECTIONS[run.axis]
    last: tuple[Piece, Any] | None = None
    for piece in pieces_of(run, planned):
        section = piece.section
        profile = ifc.circle(section.width) if section.height is None else ifc.rectangle(section.width, section.height)
        kind, predefined = _class_of(piece)
        level = run.level if run.axis != "z" else _level_at(piece)
        made = ifc.element(kind, piece.name, level, piece.origin, profile, piece.end - piece.start, axis, side)
        title = _type_title(piece)
        ifc.of_type(made, f"{kind}Type", title, predefined)
        ifc.in_system(made, run.system, _SYSTEM_KINDS[run.service])
        if last is not None and run.service == "duct":
            port_kind = _PORT_KINDS[run.service]
            one = ifc.port(last[1], "end", level, piece.origin, port_kind, _FLOWS[run.flow][0])
            other = ifc.port(made, "start", level, piece.origin, port_kind, _FLOWS[run.flow][1])
            ifc.connect(one, other)
        last = (piece, made)


def _type_title(piece: Piece) -> str:
    size = _section_text(piece.section)
    if piece.part == "damper":
        return f"Damper {piece.tested.partition('-')[0]} {size}"
    return f"{piece.run.service.capitalize()} {piece.part} {size}"


def _level_at(piece: Piece) -> int:
    """The storey that an upright piece begins in."""
    return max(0, min(len(STOREYS) - 1, int(piece.start // HEIGHT)))
