# SPDX-License-Identifier: Apache-2.0
"""From what was found in the models to the surroundings of each place: what is kept as possibly in the way.

That is everything that has a body but the place's own elements and barriers, straight lengths of its own run, finishes
and insulation that lie on what they cover, and room that is modelled to be kept free.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from brattice.building.finding_places import Found
from brattice.building.model import Barrier, BarrierKind, Obstacle, Part, Ref, ServiceElement
from brattice.building.pieces import GRAZE_MM
from brattice.building.place import Place, PlaceKind
from brattice.building.runs import Element
from brattice.building.surroundings import Near, Surroundings
from brattice.building.words import Service
from brattice.geometry.mesh import Box, Floats, Mesh, near_pairs
from brattice.geometry.vectors import angle_between_lines_deg, unit, vector

__all__ = ["crossing_boxes", "surroundings_of"]

_COAXIAL_MM = 5.0
_COAXIAL_DEG = 1.0
_FLOW_DEG = 60.0
"""A flow from port to port counts along the duct's axis up to this angle [deg]. Our own policy."""

_LIES_ON = frozenset(
    {"CLADDING", "FLOORING", "INSULATION", "MEMBRANE", "MOLDING", "SKIRTINGBOARD", "SLEEVING", "WRAPPING"}
)
_KEPT_FREE = frozenset({"PROVISIONFORVOID", "PROVISIONFORSPACE"})
_PASSED_OVER = frozenset(
    {
        "IfcActuator",
        "IfcCivilElement",
        "IfcElementAssembly",
        "IfcFastener",
        "IfcGeographicElement",
        "IfcMechanicalFastener",
        "IfcReinforcingBar",
        "IfcReinforcingMesh",
        "IfcTendon",
        "IfcTendonAnchor",
    }
)
"""Classes of the open model standard that are no obstacle to hands: in concrete, in the ground, a screw, the damper's
own drive, or a whole of parts that are looked at by themselves."""

_WORDS = {
    "IfcFurnishingElement": "furniture",
    "IfcSystemFurnitureElement": "furniture",
    "IfcDuctSegment": "duct",
    "IfcPipeSegment": "pipe",
    "IfcCableSegment": "cable",
    "IfcCableCarrierSegment": "cable carrier",
    "IfcStairFlight": "stair",
    "IfcRampFlight": "ramp",
    "IfcBuildingElementProxy": "thing of unknown kind",
    "IfcSlab": "slab",
}
_SERVICE_WORDS = {Service.DUCT: "duct", Service.PIPE: "pipe", Service.CABLE: "cable or cable carrier"}


def crossing_boxes(
    barriers: Iterable[Barrier], services: Iterable[ServiceElement], meshes: Mapping[Ref, Mesh], reach_mm: float
) -> tuple[Box, ...]:
    """Where a duct (or what may be one) may pass a barrier, by their boxes alone, grown by a reach [mm]."""
    walls = [meshes[item.ref].box for item in barriers if item.ref in meshes]
    ducts = [
        meshes[item.ref].box
        for item in services
        if item.ref in meshes and item.service in {Service.DUCT, Service.UNKNOWN} and item.part is not Part.PROXY
    ]
    found = []
    for one, other in near_pairs(ducts, walls, GRAZE_MM):
        a, b = ducts[one], walls[other]
        low, high = np.maximum(a.low, b.low), np.minimum(a.high, b.high)
        found.append(Box(np.minimum(low, high), np.maximum(low, high)).grown(reach_mm))
    return tuple(found)


def surroundings_of(
    found: Found, places: Sequence[Place], bodies: Mapping[Ref, Mesh], reach_mm: float
) -> dict[str, Surroundings]:
    """The surroundings of every place of a duct whose way through its barrier is known, by the key of the place.

    Parameters
    ----------
    found : what was found in the models
    places : finished places
    bodies : the meshes of what is neither barrier nor service, at least those near the places [mm]
    reach_mm : how far from the centre of a place things are kept [mm]
    """
    site = found.site
    things: list[tuple[Obstacle | Barrier | ServiceElement, Mesh, Element | None]] = []
    things += [(item, bodies[item.ref], None) for item in site.obstacles if item.ref in bodies and _counts(item)]
    things += [(item, site.meshes[item.ref], None) for item in site.barriers if item.ref in site.meshes]
    things += [(item.service, item.mesh, item) for item in found.runs.elements if _counts(item.service)]
    lows = np.array([mesh.box.low for _, mesh, _ in things]).reshape(-1, 3)
    highs = np.array([mesh.box.high for _, mesh, _ in things]).reshape(-1, 3)
    by_guid: dict[str, list[Element]] = {}
    for element in found.runs.elements:
        by_guid.setdefault(element.service.guid, []).append(element)
    around = {}
    for place in places:
        if place.kind is PlaceKind.OTHER_SERVICE or place.centre_m is None or place.axis is None or not place.layers:
            continue
        centre = (np.array(place.centre_m) - np.array(site.origin_m)) * 1000.0
        frame = _frame(place)
        own = {*place.element_guids, *(layer.barrier_guid for layer in place.layers)}
        if place.damper is not None:
            own.add(place.damper.guid)
        mine = [element for guid in place.element_guids for element in by_guid.get(guid, ())]
        run = _run(mine, found)
        near = np.all(lows <= centre + reach_mm, axis=1) & np.all(highs >= centre - reach_mm, axis=1)
        kept = []
        for at in np.flatnonzero(near):
            item, mesh, part = things[int(at)]
            if item.guid in own or (part is not None and part.index in run and _is_straight_on(part, centre, frame[0])):
                continue
            kept.append(_near(item, mesh, is_own_run=part is not None and part.index in run))
        slope = abs(float(frame[0] @ np.array(place.normal or place.axis)))
        around[place.key] = Surroundings(
            centre,
            *frame,
            flow=_flow(mine, frame[0]),
            half_mm=place.thickness_mm / 2.0 / max(slope, 0.1),
            is_floor=place.orientation is not BarrierKind.WALL,
            files=site.files,
            things=tuple(kept),
        )
    return around


def _frame(place: Place) -> tuple[Floats, Floats, Floats]:
    """Along the duct, to the right and up, square to each other."""
    along = unit(np.array(place.axis))
    up = np.array(place.up)
    up = unit(up - float(up @ along) * along)
    right = np.cross(along, up)
    return along, right if float(right @ np.array(place.right)) >= 0.0 else -right, up


def _run(mine: Sequence[Element], found: Found) -> frozenset[int]:
    """The elements of the same run: all that is joined to the place's own ones, near and far."""
    seen = {element.index for element in mine}
    to_do = list(seen)
    while to_do:
        for other in found.runs.neighbours.get(to_do.pop(), ()):
            if other not in seen:
                seen.add(other)
                to_do.append(other)
    return frozenset(seen)


def _is_straight_on(element: Element, centre: Floats, along: Floats) -> bool:
    """Whether an element is a straight length (or damper) on the place's own axis."""
    tube = element.tube
    if tube is None or len(tube.legs) != 1:
        return False
    leg = tube.legs[0]
    if angle_between_lines_deg(leg.direction, along) > _COAXIAL_DEG:
        return False
    off = leg.start - centre
    return float(np.linalg.norm(off - float(off @ along) * along)) <= _COAXIAL_MM


def _flow(mine: Sequence[Element], along: Floats) -> int:
    """Which way the ports of the place's own elements say that the air flows: 1, -1, or 0 for not known."""
    said = set()
    for element in mine:
        ports = element.service.ports
        inward = [vector(port.x, port.y, port.z) for port in ports if port.flow == "in"]
        outward = [vector(port.x, port.y, port.z) for port in ports if port.flow == "out"]
        for start in inward:
            for end in outward:
                way = end - start
                if float(np.linalg.norm(way)) > 1.0 and angle_between_lines_deg(way, along) <= _FLOW_DEG:
                    said.add(1 if float(way @ along) > 0.0 else -1)
    return said.pop() if len(said) == 1 else 0


def _counts(item: Obstacle | ServiceElement) -> bool:
    """Whether a thing can stand in anybody's way."""
    if item.ifc_class in _PASSED_OVER:
        return False
    predefined = item.predefined.upper()
    return not (item.ifc_class == "IfcCovering" and predefined in _LIES_ON) and predefined not in _KEPT_FREE


def _near(item: Obstacle | Barrier | ServiceElement, mesh: Mesh, *, is_own_run: bool) -> Near:
    what, is_ceiling, is_certain = _WORDS.get(item.ifc_class, ""), False, True
    if isinstance(item, ServiceElement):
        is_certain = item.part is not Part.PROXY and item.service is not Service.UNKNOWN
        if not what and item.ifc_class.startswith("IfcFlow"):
            what = _SERVICE_WORDS.get(item.service, "service of unknown kind")
    elif isinstance(item, Obstacle) and item.ifc_class == "IfcCovering":
        is_ceiling = item.predefined.upper() == "CEILING"
        what = "ceiling" if is_ceiling else "covering"
    what = what or _plain(item.ifc_class)
    return Near(what, item.name, item.guid, item.ref.file, is_certain, is_ceiling, is_own_run, mesh)


def _plain(ifc_class: str) -> str:
    """The words of a class name of the open model standard: "IfcSanitaryTerminal" reads sanitary terminal."""
    words = re.findall(r"[A-Z][a-z]*|[A-Z]+(?![a-z])", ifc_class.removeprefix("Ifc").removesuffix("StandardCase"))
    return " ".join(words).lower() or "thing"
