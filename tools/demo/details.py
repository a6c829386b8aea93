# SPDX-License-Identifier: Apache-2.0
"""What the demo's schedule states beyond what is judged: order, support in fire, access, air, controls, builders' work.

Everything is invented. Every seventh row lacks some of it on purpose, so that lines are held and numbers stay to be
settled.
"""

from __future__ import annotations

from tools.demo.ducts import Planned
from tools.demo.plan import BuildUp
from tools.demo.products import FAMILIES
from tools.demo.tested import TESTED, TestedWay

__all__ = ["detail_cells"]

Cell = str | int | float | bool | tuple[str, ...] | None

_SLABS = ("solid concrete", "solid concrete", "hollow-core", "composite deck")
_CEILINGS = ("none", "lift-out tiles", "fixed ceiling")
_LACKS = ("voltage", "handing", "phase", "air_l_s", "fan_in_fire", "slab", "opening_by", "door_distance_mm", "finish")
_GRID_MM = 6000.0


def _counted(planned: Planned) -> int:
    """A number that stays with the reference, to vary what is stated."""
    return sum(ord(sign) * place for place, sign in enumerate(planned.ref, start=1))


def _grid(planned: Planned) -> str:
    x, y, _ = planned.at
    return f"{chr(ord('A') + max(0, min(25, int(x // _GRID_MM))))}/{max(1, int(y // _GRID_MM) + 1)}"


def _order_cells(planned: Planned, way: TestedWay, at: int) -> dict[str, Cell]:
    family = next(item for item in FAMILIES if (item.maker, item.product) == (way.maker, way.product))
    smoke = "smoke detection" in planned.stated.get("actuation", way.actuation)  # type: ignore[operator]
    drive = family.drives[at % len(family.drives)]
    cells: dict[str, Cell] = {
        "phase": f"Phase {planned.level + 1}",
        "handing": ("left", "right")[at % 2],
        "actuator": drive.code,
        "voltage": drive.voltages[at % len(drive.voltages)] if drive.voltages else None,
        "end_switches": drive.switches,
        "finish": "galvanised steel",
        "accessories": ("test switch",) if at % 3 == 0 else ("none",),
    }
    if smoke or drive.voltages:
        cells |= {
            "fan_in_fire": "stops",
            "detector_zone": f"DZ-{planned.level}{at % 4 + 1}",
            "detector": f"SD-{planned.level + 1}{at % 90 + 10}" if smoke and at % 6 else None,
            "fail_position": "closed",
            "panel_address": f"L{planned.level + 1}/{at % 900 + 100}",
        }
    else:
        cells |= {"fan_in_fire": ("stops", "runs")[at % 5 == 0]}
    return cells


def _support_cells(way: TestedWay, at: int) -> dict[str, Cell]:
    cells: dict[str, Cell] = {"run_between_fixed_mm": 1500 + at % 4 * 500}
    most = dict(way.fixings).get("most_apart_mm")
    if isinstance(most, int) and at % 4 == 0:
        cells["fixing_spacing_mm"] = most - 25
    if "drop rods" in way.support:
        cells |= {
            "rod_size": "M12" if at % 9 == 0 else "M10",
            "rod_count": 2,
            "rod_length_mm": 400 + at % 8 * 100,
            "rods_protected": False,
            "slab": _SLABS[at % len(_SLABS)],
            "anchor": "Stud anchor K10, fire report 7 (invented)",
        }
    return cells


def _lintel(wall: BuildUp, at: int) -> str:
    """What carries the wall over an opening: a lintel in masonry, studs and tracks in framed walls, nothing in a slab."""
    if wall.stud_mm:
        return "studs doubled, track over (invented)" if at % 2 else wall.opening_framing
    return "none" if wall.opening_framing == "none" else f"lintel L{1 + at % 2} (invented)"


def detail_cells(planned: Planned, wall: BuildUp) -> dict[str, Cell]:
    """The cells of one row in a wall or floor of a type; none for a penetration without a damper that was tested."""
    if not planned.tested:
        return {"grid": _grid(planned)}
    way, at = TESTED[planned.tested], _counted(planned)
    in_wall = planned.axis != "z"
    area_m2 = planned.section.width * planned.section.depth / 1e6
    cells: dict[str, Cell] = {
        **_order_cells(planned, way, at),
        **_support_cells(way, at),
        "door_width_mm": 300,
        "door_height_mm": 250,
        "door_distance_mm": 300 + at % 4 * 50,
        "zone_width_mm": 800,
        "zone_depth_mm": 700,
        "reach_both_sides": False,
        "zone_clear": True,
        "ceiling": _CEILINGS[at % len(_CEILINGS)] if in_wall else "none",
        "air_l_s": round(area_m2 * (3.0 + at % 4) * 1000),
        "system_pressure_pa": 250 + at % 3 * 50,
        "grid": _grid(planned),
        "lintel": _lintel(wall, at),
        "opening_by": "Wall builder (invented)" if in_wall else "Frame contractor (invented)",
        "when": f"Stage {planned.level + 1}, before the ducts",
    }
    if cells["ceiling"] != "none":
        cells |= {"hatch_width_mm": 600, "hatch_height_mm": 600}
    if at % 7 == 0:
        for key in (_LACKS[at % len(_LACKS)], _LACKS[(at + 4) % len(_LACKS)]):
            cells[key] = None
    return cells
