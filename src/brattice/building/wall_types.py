# SPDX-License-Identifier: Apache-2.0
"""Wall types made from what is stated: every field that nobody states becomes a query with its addressee."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from brattice.building.wall_type import WallType
from brattice.findings import Known, Missing, Party, Unknown

__all__ = ["WALL_TYPE_FIELDS", "wall_type_of"]

WALL_TYPE_FIELDS: Mapping[str, tuple[str, Party]] = {
    "kind": ("the kind of construction", Party.ARCHITECT),
    "thickness_mm": ("the thickness", Party.ARCHITECT),
    "density_kg_m3": ("the density", Party.ARCHITECT),
    "material": ("the material", Party.ARCHITECT),
    "board_type": ("the type of board", Party.ARCHITECT),
    "board_thickness_mm": ("the thickness of one board", Party.ARCHITECT),
    "board_layers": ("the layers of board on each side", Party.ARCHITECT),
    "stud_size_mm": ("the size of the studs", Party.ARCHITECT),
    "stud_spacing_mm": ("the spacing of the studs", Party.ARCHITECT),
    "cavity_fill": ("the fill of the cavity", Party.ARCHITECT),
    "opening_framing": ("how openings are framed", Party.DRY_LINER),
    "lining_mm": ("the lining of framed openings", Party.DRY_LINER),
    "rating": ("the fire resistance", Party.FIRE_ENGINEER),
    "revision": ("the revision", Party.ARCHITECT),
}
"""The fields of `WallType` beside its code: how a question names them and whom it goes to (handbook 5.4)."""


def wall_type_of(code: str, stated: Mapping[str, Known[Any]]) -> WallType:
    """The wall type of a code with the stated facts by field name.

    Fields that are not stated are missing under the key "wall-type/CODE/FIELD" (without unit, with hyphens).
    """
    facts: dict[str, Any] = {}
    for name, (words, ask) in WALL_TYPE_FIELDS.items():
        short = name.removesuffix("_mm").removesuffix("_kg_m3").replace("_", "-")
        missing = Missing(f"wall-type/{code}/{short}", f"Wall type {code}: {words}", ask)
        facts[name] = stated.get(name, Unknown(missing))
    return WallType(code=code, **facts)
