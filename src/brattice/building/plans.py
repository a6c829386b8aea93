# SPDX-License-Identifier: Apache-2.0
"""What a storey plan shows of barriers and ducts: outlines cut above the storey's level, footprints, centrelines."""

from __future__ import annotations

from dataclasses import replace

from brattice.building.finding_places import Found
from brattice.building.model import Barrier, BarrierKind, PlanOutline, ServiceElement, Storey
from brattice.building.site import Site
from brattice.geometry.mesh import Floats, Mesh
from brattice.geometry.section import plan_hull, plan_outline

__all__ = ["CUT_ABOVE_LEVEL_MM", "with_outlines"]

CUT_ABOVE_LEVEL_MM = 1200.0
"""How far above its level a storey's plan is cut [mm]: common drawing practice."""

_FLOOR_BELOW_MM = 600.0


def with_outlines(found: Found) -> tuple[tuple[Barrier, ...], tuple[ServiceElement, ...]]:
    """The barriers and services with their outlines on every storey that they reach into, barriers with readings."""
    site = found.site
    bands = _bands(site)
    barriers = []
    for barrier in site.barriers:
        mesh = site.meshes.get(barrier.ref)
        outlines = () if mesh is None else _outlines(site, mesh, bands, flat=barrier.kind is not BarrierKind.WALL)
        barriers.append(replace(barrier, outlines=outlines, reading=found.ratings[barrier.ref]))
    tubes = {element.service.ref: element.tube for element in found.runs.elements}
    services = []
    for service in site.services:
        mesh = site.meshes.get(service.ref)
        if mesh is None:
            services.append(service)
            continue
        tube = tubes.get(service.ref)
        lines = () if tube is None else tuple((_world(site, leg.start), _world(site, leg.end)) for leg in tube.legs)
        services.append(
            replace(service, outlines=_footprints(site, mesh, bands, hull=len(lines) == 1), centreline=lines)
        )
    return tuple(barriers), tuple(services)


def _world(site: Site, point: Floats) -> tuple[float, float, float]:
    return site.world_m((float(point[0]), float(point[1]), float(point[2])))


def _bands(site: Site) -> list[tuple[Storey, float, float]]:
    """Each storey with its level and the next one's [mm above the common origin]."""
    levels = [(storey.elevation_m - site.origin_m[2]) * 1000.0 for storey in site.storeys]
    tops = [*levels[1:], float("inf")][: len(levels)]
    return list(zip(site.storeys, levels, tops, strict=True))


def _outlines(
    site: Site, mesh: Mesh, bands: list[tuple[Storey, float, float]], *, flat: bool
) -> tuple[PlanOutline, ...]:
    low, high = float(mesh.box.low[2]), float(mesh.box.high[2])
    out = []
    for storey, level, top in bands:
        if flat:
            if not level - _FLOOR_BELOW_MM <= high < max(top - _FLOOR_BELOW_MM, level):
                continue
            rings = plan_outline(mesh, low - 1.0)
        else:
            if high <= level + 1.0 or low >= top - 1.0:
                continue
            cut = level + CUT_ABOVE_LEVEL_MM
            if not low < cut < high:
                cut = (max(low, level) + min(high, top)) / 2.0
            rings = plan_outline(mesh, cut)
        out.append(PlanOutline(storey.key, _in_metres(site, rings)))
    return tuple(out)


def _footprints(
    site: Site, mesh: Mesh, bands: list[tuple[Storey, float, float]], *, hull: bool
) -> tuple[PlanOutline, ...]:
    """The footprint on every storey that a service reaches into; of a straight one (`hull`) by its outermost points."""
    low, high = float(mesh.box.low[2]), float(mesh.box.high[2])
    rings = _in_metres(site, plan_hull(mesh) if hull else plan_outline(mesh, low - 1.0))
    return tuple(
        PlanOutline(storey.key, rings)
        for at, (storey, level, top) in enumerate(bands)
        if high > (level if at else float("-inf")) and low < top
    )


def _in_metres(
    site: Site, rings: tuple[tuple[tuple[float, float], ...], ...]
) -> tuple[tuple[tuple[float, float], ...], ...]:
    east, north, _ = site.origin_m
    return tuple(
        tuple((round(x / 1000.0 + east, 6) + 0.0, round(y / 1000.0 + north, 6) + 0.0) for x, y in ring)
        for ring in rings
    )
