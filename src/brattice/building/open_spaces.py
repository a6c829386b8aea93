# SPDX-License-Identifier: Apache-2.0
"""Where a barrier should be and none is modelled: over, under or beside a rated wall, and at a storey without slab.

Both are questions, never penetrations: "does this wall run to structure?", "is there a floor here?".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from brattice.building.finding_places import Found
from brattice.building.measuring import size_of_element
from brattice.building.model import Barrier, BarrierKind, Part
from brattice.building.model_rating import RatingReading
from brattice.building.pieces import ALONG_DEG
from brattice.building.place import PlaceQuery, QueryReason
from brattice.building.places import Draft, draft_of_query
from brattice.building.runs import Element
from brattice.building.words import Service
from brattice.geometry.flat import Outline, area_mm2, bounds, common_outline, holds_point, stretch_at
from brattice.geometry.mesh import Floats, near_pairs
from brattice.geometry.solid import Face, Solid
from brattice.geometry.tube import Leg
from brattice.geometry.vectors import PlaneFrame, angle_between_lines_deg, perpendicular_frame, vector
from brattice.quantities import number_text

__all__ = ["drafts_beside_barriers"]

BESIDE_MM = 1000.0
"""How far beside a wall's end the next barrier may stand for the gap between them to be asked about [mm]."""

OVER_MM = 4000.0
"""How far over or under a wall the structure is looked for [mm]."""

OVER_WITHOUT_STRUCTURE_MM = 1500.0
"""How far over or under a wall a duct is asked about where no structure is modelled there [mm]."""

SLAB_BELOW_LEVEL_MM = 1000.0
SLAB_ABOVE_LEVEL_MM = 300.0
"""Where about a storey's level its floor is looked for [mm]."""

_STEEP = 0.7
_PASSES_MM = 50.0
_COAXIAL_MM = 5.0
_CLOSED_MM = 20.0
_UP = vector(0.0, 0.0, 1.0)


def drafts_beside_barriers(found: Found) -> list[Draft]:
    """A draft for every duct that passes over, under or beside a rated wall, or a storey without a slab."""
    ducts = [element for element in found.runs.elements if _is_duct(element)]
    return [*_beside_walls(found, ducts), *_without_slab(found, ducts)]


def _is_duct(element: Element) -> bool:
    return (
        element.tube is not None
        and element.service.service is Service.DUCT
        and element.service.part in {Part.SEGMENT, Part.FLEXIBLE, Part.FITTING, Part.DAMPER}
    )


def _legs(element: Element) -> tuple[Leg, ...]:
    return () if element.tube is None else element.tube.legs


def _is_rated(reading: RatingReading) -> bool:
    """Whether a barrier is rated for certain, or says something that may well be a rating (a number above 0)."""
    return reading.is_certain or any(char in "123456789" for char in reading.text)


@dataclass(frozen=True, eq=False)
class _Plate:
    """A rated wall as a plate: its place in the order, frame, middle plane, thickness, outline."""

    at: int
    barrier: Barrier
    frame: PlaneFrame
    depth_mm: float
    thickness_mm: float
    outline: Outline


def _plate(at: int, barrier: Barrier, solid: Solid) -> _Plate | None:
    """The two large parallel faces of a wall and what they have in common."""
    upright = sorted(
        (face for face in solid.faces if abs(float(face.normal[2])) < 0.3), key=lambda face: -face.outline.area
    )
    for one in upright[:2]:
        pair = _opposite(one, upright)
        if pair is not None:
            outline = common_outline(one, pair, one.frame, filled=True)
            if area_mm2(outline) > 0.0:
                middle = (one.depth_mm + pair.depth_mm) / 2.0
                return _Plate(at, barrier, one.frame, middle, abs(one.depth_mm - pair.depth_mm), outline)
    return None


def _opposite(face: Face, others: list[Face]) -> Face | None:
    parallel = [other for other in others if other is not face and other.faces_like(face, 0.5)]
    apart = [other for other in parallel if abs(other.depth_mm - face.depth_mm) > 1.0]
    return max(apart, key=lambda other: float(other.outline.area), default=None)


def _beside_walls(found: Found, ducts: list[Element]) -> Iterator[Draft]:
    plates = []
    for at, barrier in enumerate(found.walls.barriers):
        if barrier.kind is BarrierKind.WALL and _is_rated(found.ratings[barrier.ref]):
            plate = _plate(at, barrier, found.walls.solid(at))
            if plate is not None:
                plates.append(plate)
    pairs = near_pairs([found.walls.meshes[plate.at].box for plate in plates], [duct.box for duct in ducts], OVER_MM)
    passes: dict[int, list[tuple[Floats, str, list[Element]]]] = {}
    for i, j in pairs:
        known = passes.setdefault(i, [])
        for point, where in _beside_one(found, plates[i], ducts[j]):
            same = next((one for one in known if float(np.linalg.norm(one[0] - point)) <= _COAXIAL_MM), None)
            if same is not None:
                same[2].append(ducts[j])
            else:
                known.append((point, where, [ducts[j]]))
    for i, all_of_it in passes.items():
        plate = plates[i]
        for point, where, elements in all_of_it:
            text = f"the duct passes {where} the rated wall, and nothing closes that space"
            query = PlaceQuery(QueryReason.PASSES_OVER_OR_BESIDE, text, (plate.barrier.guid,))
            sized = size_of_element(elements[0], plate.frame)
            yield draft_of_query(
                found, elements, sized, plate.frame, point, (query,), plate.barrier, plate.thickness_mm
            )


def _beside_one(found: Found, plate: _Plate, duct: Element) -> Iterator[tuple[Floats, str]]:
    """The points at which a duct passes the plane of a wall outside it, in a gap, and the words for where."""
    for leg in _legs(duct):
        slope = float(leg.direction @ plate.frame.normal)
        if angle_between_lines_deg(leg.direction, plate.frame.normal) > ALONG_DEG:
            continue
        along = (plate.depth_mm - float(leg.start @ plate.frame.normal)) / slope
        if not 0.0 <= along <= leg.length:
            continue
        point = leg.at(along)
        flat = plate.frame.flat(point)
        if holds_point(plate.outline, flat):
            continue
        where = _where(found, plate, point, flat)
        if where is None or _is_closed(found, plate, leg, along):
            continue
        yield point, where


def _where(found: Found, plate: _Plate, point: Floats, flat: Floats) -> str | None:
    """Over, under or beside the wall, in words, when the point lies in a gap up to the next construction."""
    left, bottom, right, top = bounds(plate.outline)
    u, v = float(flat[0]), float(flat[1])
    if left <= u <= right:
        reach = stretch_at(plate.outline, u)
        if reach is None:
            return None
        if v > reach[1]:
            return _gap_words(found, plate, u, reach[1], v, upwards=True)
        if v < reach[0]:
            return _gap_words(found, plate, u, reach[0], v, upwards=False)
        return None
    if not bottom <= v <= top:
        return None
    beyond = u - right if u > right else left - u
    if beyond > BESIDE_MM:
        return None
    direction = plate.frame.right if u > right else -plate.frame.right
    end = plate.frame.lifted(np.array([right if u > right else left, v]), plate.depth_mm)
    walls = (at for at in range(len(found.walls.barriers)) if at != plate.at)
    next_one = _next_along(found, walls, end, direction, BESIDE_MM)
    if next_one is None or next_one <= beyond:
        return None
    return f"beside (through a gap of {number_text(next_one, 0)} mm at the end of)"


def _gap_words(found: Found, plate: _Plate, u: float, edge: float, v: float, *, upwards: bool) -> str | None:
    """Over or under the wall: when the point is nearer than the next floor or roof."""
    direction = _UP if upwards else -_UP
    start = plate.frame.lifted(np.array([u, edge]), plate.depth_mm)
    floors = (at for at, one in enumerate(found.walls.barriers) if one.kind is not BarrierKind.WALL)
    next_one = _next_along(found, floors, start, direction, OVER_MM)
    limit = OVER_WITHOUT_STRUCTURE_MM if next_one is None else next_one
    word = "over" if upwards else "under"
    return word if limit > _CLOSED_MM and abs(v - edge) < limit else None


def _next_along(found: Found, candidates: Iterable[int], start: Floats, direction: Floats, most: float) -> float | None:
    """How far along a direction the next barrier begins [mm]; None when there is none within `most`."""
    best: float | None = None
    end = start + most * direction
    low, high = np.minimum(start, end), np.maximum(start, end)
    for at in candidates:
        box = found.walls.meshes[at].box
        if bool(np.any(box.low > high + 1.0)) or bool(np.any(box.high < low - 1.0)):
            continue
        for inside in found.walls.solid(at).inside(start, direction):
            if inside.end > -1.0 and inside.start <= most:
                begins = max(inside.start, 0.0)
                best = begins if best is None else min(best, begins)
    return best


def _is_closed(found: Found, plate: _Plate, leg: Leg, along: float) -> bool:
    """Whether the duct passes another barrier there: stacked on the wall, or standing in the gap.

    Whether that one is rated is asked where the duct passes it; here it is enough that the space is closed.
    """
    reach = plate.thickness_mm / 2.0 + 100.0
    point = leg.at(along)
    for at, mesh in enumerate(found.walls.meshes):
        if at == plate.at or not mesh.box.grown(reach).holds(point):
            continue
        for inside in found.walls.solid(at).inside_or_filled(leg.start, leg.direction):
            if inside.start <= along + reach and inside.end >= along - reach:
                return True
    return False


@dataclass(frozen=True, eq=False)
class _Riser:
    """A stretch of a vertical run: its axis (any point of it), from where to where, its elements."""

    point: Floats
    direction: Floats
    low: float
    high: float
    elements: tuple[Element, ...]


def _without_slab(found: Found, ducts: list[Element]) -> Iterator[Draft]:
    site = found.site
    flat_ones = [at for at, one in enumerate(found.walls.barriers) if one.kind is not BarrierKind.WALL]
    frame = perpendicular_frame(_UP)
    for riser in _risers(ducts):
        for storey in site.storeys:
            level = (storey.elevation_m - site.origin_m[2]) * 1000.0
            if not riser.low + _PASSES_MM < level < riser.high - _PASSES_MM:
                continue
            share = (level - float(riser.point[2])) / float(riser.direction[2])
            point = riser.point + share * riser.direction
            if _has_slab(found, flat_ones, point, riser.direction, level):
                continue
            here = [one for one in riser.elements if one.box.low[2] <= level <= one.box.high[2]]
            text = f"the duct passes the level of {storey.name or storey.key}, where no floor is modelled"
            query = PlaceQuery(QueryReason.NO_SLAB_MODELLED, text)
            yield draft_of_query(found, here, size_of_element(here[0], frame), frame, point, (query,), None, 0.0)


def _has_slab(found: Found, flat_ones: list[int], point: Floats, direction: Floats, level: float) -> bool:
    up = direction if direction[2] > 0.0 else -direction
    for at in flat_ones:
        box = found.walls.meshes[at].box
        if box.low[2] > level + SLAB_ABOVE_LEVEL_MM or box.high[2] < level - SLAB_BELOW_LEVEL_MM:
            continue
        if not (box.low[0] <= point[0] <= box.high[0] and box.low[1] <= point[1] <= box.high[1]):
            continue
        for inside in found.walls.solid(at).inside_or_filled(point, up):
            low, high = level + inside.start * float(up[2]), level + inside.end * float(up[2])
            if low <= level + SLAB_ABOVE_LEVEL_MM and high >= level - SLAB_BELOW_LEVEL_MM:
                return True
    return False


def _risers(ducts: list[Element]) -> list[_Riser]:
    """Steep legs, those on one axis that touch put together."""
    stretches: list[_Riser] = []
    for duct in ducts:
        for leg in _legs(duct):
            if abs(float(leg.direction[2])) < _STEEP:
                continue
            heights = sorted((float(leg.start[2]), float(leg.end[2])))
            stretches.append(_Riser(leg.start, leg.direction, heights[0], heights[1], (duct,)))
    stretches.sort(key=lambda one: (round(one.low, 1), one.elements[0].index))
    merged: list[_Riser] = []
    for one in stretches:
        for at, known in enumerate(merged):
            if _continues(known, one):
                elements = tuple(dict.fromkeys((*known.elements, *one.elements)))
                merged[at] = _Riser(known.point, known.direction, known.low, max(known.high, one.high), elements)
                break
        else:
            merged.append(one)
    return merged


def _continues(known: _Riser, one: _Riser) -> bool:
    if one.low > known.high + _COAXIAL_MM or angle_between_lines_deg(known.direction, one.direction) > 1.0:
        return False
    off = one.point - known.point
    return float(np.linalg.norm(off - float(off @ known.direction) * known.direction)) <= _COAXIAL_MM
