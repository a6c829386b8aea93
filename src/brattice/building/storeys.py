# SPDX-License-Identifier: Apache-2.0
"""Which storey a place is on by its height, and where the model's containment says otherwise."""

from __future__ import annotations

from collections.abc import Sequence

from brattice.building.model import BarrierKind, ServiceElement, Storey
from brattice.building.site import Site

__all__ = ["FLOOR_REACH_MM", "said_storey", "storey_at"]

FLOOR_REACH_MM = 500.0
"""How far the top of a floor may lie from the level of the storey that it is the floor of [mm]."""


def storey_at(site: Site, height_mm: float, orientation: BarrierKind, thickness_mm: float) -> Storey | None:
    """The storey of a place by the height of its centre [mm above the common origin].

    A place in a wall is on the highest storey whose level is not above it. A place in a floor or roof is on the
    storey whose level its top face is nearest to (within `FLOOR_REACH_MM`): the storey that it is the floor of.
    """
    if not site.storeys:
        return None
    height = height_mm / 1000.0 + site.origin_m[2]
    if orientation is not BarrierKind.WALL:
        top = height + thickness_mm / 2000.0
        nearest = min(site.storeys, key=lambda one: (round(abs(one.elevation_m - top), 6), one.elevation_m))
        if abs(nearest.elevation_m - top) * 1000.0 <= FLOOR_REACH_MM:
            return nearest
    below = [storey for storey in site.storeys if storey.elevation_m <= height + 1e-6]
    return below[-1] if below else site.storeys[0]


def said_storey(site: Site, elements: Sequence[ServiceElement], storey: Storey | None) -> str:
    """The name of the storey that the model puts the elements in, where they don't reach into it at all; else "".

    A riser that the model puts into its lowest storey is right on every storey that it passes.
    """
    if storey is None:
        return ""
    wrong: list[str] = []
    for element in elements:
        said = site.storey_of_guid.get(element.storey)
        mesh = site.meshes.get(element.ref)
        if said is None or mesh is None or said.key == storey.key or said.name in wrong:
            continue
        at = site.storeys.index(said)
        level = (said.elevation_m - site.origin_m[2]) * 1000.0
        top = (
            (site.storeys[at + 1].elevation_m - site.origin_m[2]) * 1000.0
            if at + 1 < len(site.storeys)
            else float("inf")
        )
        if float(mesh.box.high[2]) < level - FLOOR_REACH_MM or float(mesh.box.low[2]) > top:
            wrong.append(said.name)
    return ", ".join(wrong)
