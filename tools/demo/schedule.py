# SPDX-License-Identifier: Apache-2.0
"""The damper schedule and the wall-type sheet: for each penetration the facts that no model holds."""

from __future__ import annotations

import math
from collections.abc import Iterable

from tools.demo.details import detail_cells
from tools.demo.ducts import Gaps, Planned, Section
from tools.demo.models import barrier_id
from tools.demo.plan import FLOOR_TYPES, STOREYS, WALL_TYPES, BuildUp, slabs, walls
from tools.demo.tested import MAKERS, TESTED, TestedWay

__all__ = ["build_up_of", "designed_hole", "schedule_row", "wall_type_rows"]

NEIGHBOUR_MM = 1000.0
"""Farther neighbours are not worth a word in the schedule."""

Cell = str | int | float | bool | tuple[str, ...] | None


def designed_hole(planned: Planned) -> Gaps:
    """The gaps a side of the builder's hole in the model: gap to the duct, and the lining of a lined opening."""
    if not planned.tested:
        return Gaps(50, 50, 50, 50)
    way = TESTED[planned.tested]
    gap = way.gap_to_duct + build_up_of(planned).lining_mm
    return Gaps(gap, gap, gap, gap)


def build_up_of(planned: Planned) -> BuildUp:
    """The wall or floor type of the barrier."""
    kinds = {wall.name: wall.kind for wall in walls()} | {slab.name: slab.kind for slab in slabs()}
    return {**WALL_TYPES, **FLOOR_TYPES}[kinds[planned.barrier]]


def _sized(stem: str, section: Section) -> dict[str, Cell]:
    if section.height is None:
        return {f"{stem}_diameter_mm": section.width}
    return {f"{stem}_width_mm": section.width, f"{stem}_height_mm": section.height}


def _grown(section: Section, by: float) -> Section:
    return Section(section.width + 2 * by, None if section.height is None else section.height + 2 * by)


def _place_cells(planned: Planned) -> dict[str, Cell]:
    return {
        "reference": planned.ref,
        "barrier_guids": (barrier_id(planned.barrier),),
        "storey": STOREYS[planned.level],
        "words": planned.words,
        "orientation": "floor" if planned.axis == "z" else "wall",
        "role": planned.role,
        "wall_type_code": build_up_of(planned).code,
        "space_a": planned.spaces[0],
        "space_b": planned.spaces[1],
        "system": planned.system,
        **_sized("duct", planned.section),
        "insulation_through": False,
        "other_services": False,
    }


def _damper_cells(planned: Planned, way: TestedWay) -> dict[str, Cell]:
    gap = way.gap_to_duct
    return {
        "damper_present": True,
        "maker": MAKERS[way.maker],
        "product": way.product,
        **_sized("damper", planned.section),
        "class_text": way.class_text,
        "actuation": way.actuation,
        "mechanism_deg": way.mechanism[0],
        "access_side": way.access,
        "blade_offset_mm": 0,
        "opening_shape": way.opening_shape,
        **_sized("finished", _grown(planned.section, gap)),
        **_sized("framed", _grown(planned.section, gap + build_up_of(planned).lining_mm)),
        **{f"gap_{side}_mm": way.gap for side in ("left", "right", "top", "bottom")},
        "gaps_from": way.gap_from,
        "formed": False,
        "position": "in the barrier",
        "fixing": way.fixing,
        "seal_products": way.seal,
        "seal_depth_mm": way.seal_depth,
        "seal_layers": way.seal_layers,
        "seal_faces": way.seal_faces,
        "support": way.support,
        "joint": way.joints[0],
        "deflection_head_above": False,
        "access_door": True,
    }


def _in_plane(planned: Planned) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the casing reaches in the barrier's plane: across (along x or y), and up (in a floor along y)."""
    beyond = TESTED[planned.tested].beyond
    x, y, z = planned.at
    across, up = {"x": (y, z), "y": (x, z), "z": (x, y)}[planned.axis]
    half, high = planned.section.width / 2 + beyond, planned.section.depth / 2 + beyond
    return (across - half, across + half), (up - high, up + high)


def _apart(one: Planned, other: Planned) -> float:
    """The clear distance between two casings in one barrier."""
    gaps = [max(0.0, b[0] - a[1], a[0] - b[1]) for a, b in zip(_in_plane(one), _in_plane(other), strict=True)]
    return math.hypot(*gaps)


def _neighbour_cells(planned: Planned, everyone: Iterable[Planned]) -> dict[str, Cell]:
    """The nearest other damper in the same barrier, measured from casing to casing as the tests measured it."""
    others = [
        (_apart(planned, other), other.ref)
        for other in everyone
        if other.ref != planned.ref and other.barrier == planned.barrier and other.tested
    ]
    if not others or min(others)[0] > NEIGHBOUR_MM:
        return {}
    distance, ref = min(others)
    return {
        "near_damper": ref,
        "near_damper_mm": math.floor(distance),
        "near_damper_from": "casing",
        "near_damper_to": "casing",
        "near_damper_fill": "supporting construction",
    }


def schedule_row(
    planned: Planned, everyone: Iterable[Planned], elements: tuple[str, ...], dampers: tuple[str, ...]
) -> dict[str, Cell]:
    """The row of one penetration; `elements` and `dampers` are the GlobalIds that tie it to the services model."""
    cells = _place_cells(planned)
    cells["damper_guids" if dampers else "duct_guids"] = dampers or elements
    if planned.role != "not fire-separating":
        cells["method"] = planned.method
        cells["damper_present"] = False
        if planned.tested:
            cells |= _damper_cells(planned, TESTED[planned.tested]) | _neighbour_cells(planned, everyone)
        else:
            cells |= {"run_proven": True, "run_document": f"Run report {planned.run}, revision 2 (invented)"}
    cells |= detail_cells(planned, build_up_of(planned))
    for key, value in planned.stated.items():
        cells[key] = value  # type: ignore[assignment]
    return {key: value for key, value in cells.items() if value is not None}


def wall_type_rows() -> list[dict[str, Cell]]:
    """One row a wall and floor type."""
    return [
        {
            "code": one.code,
            "kind": one.kind,
            "thickness_mm": one.thickness,
            "density_kg_m3": one.density,
            "material": one.material,
            "board_type": one.board_type,
            "board_thickness_mm": one.board_mm,
            "board_layers_a": one.board_layers[0],
            "board_layers_b": one.board_layers[1],
            "stud_size_mm": one.stud_mm,
            "stud_spacing_mm": one.stud_spacing_mm,
            "cavity_fill": one.cavity_fill,
            "opening_framing": one.opening_framing,
            "lining_mm": one.lining_mm,
            "rating": one.rating or None,
            "revision": one.revision,
        }
        for one in (*WALL_TYPES.values(), *FLOOR_TYPES.values())
    ]
