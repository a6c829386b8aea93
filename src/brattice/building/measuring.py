# SPDX-License-Identifier: Apache-2.0
"""Measures of one place: the duct's size and outline, the barrier's edges, the opening's clearances, the damper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from brattice.building.grouping import Crossing
from brattice.building.model import Barrier, OpeningElement, Part, Ref, ServiceElement
from brattice.building.near_sides import side_of_box
from brattice.building.pieces import Piece
from brattice.building.place import Adjoining, DamperAt, OpeningAt, Shape, SidesMm, SizeFrom
from brattice.building.runs import Element, Runs
from brattice.geometry.flat import (
    FourSides,
    Outline,
    bounds,
    clear_between,
    common_outline,
    edge_distances,
    margins,
    nearest_edge,
    overlap_share,
    shadow,
    shape_of_outline,
    silhouette,
    united,
)
from brattice.geometry.mesh import Box, Floats, Mesh
from brattice.geometry.section import CutShape, Section, cut
from brattice.geometry.vectors import PlaneFrame, angle_between_lines_deg, canonical
from brattice.quantities import number_text, settled_mm

__all__ = [
    "DAMPER_REACH_MM",
    "Sized",
    "adjoining_of",
    "bare_duct_outline",
    "damper_of",
    "duct_outline",
    "edges_of",
    "opening_of",
    "size_of",
    "size_of_element",
]

DAMPER_REACH_MM = 500.0
"""How far from the barrier's face a damper on the run may be to be named with the place [mm]."""

ADJOINING_REACH_MM = 1500.0
"""Barriers that meet the one passed are looked for this far from the duct [mm]: as far as neighbours are."""

_OFF_THE_FACE_MM = (10.0, 50.0)
"""How far outside the faces adjoining barriers are looked for [mm]: some are drawn a little short of the face."""

_STANDS_ACROSS = 0.5
"""A barrier that holds this share of the duct's outline stands across its way and does not adjoin beside it."""

_LEAST_SHARE = 0.01
_THROUGH_MM = 1.0


@dataclass(frozen=True)
class Sized:
    """The size of a duct and where it was taken from."""

    element: ServiceElement
    shape: Shape | None
    width_mm: float | None
    height_mm: float | None
    size_from: SizeFrom
    note: str = ""


def size_of(piece: Piece, frame: PlaneFrame, runs: Runs) -> Sized:
    """The duct's size at a piece; for a damper that of the duct it is joined to."""
    element = piece.element
    if not element.service.is_damper:
        return _sized(element.service, piece.section(), frame, SizeFrom.DUCT)
    section = _joined_section(piece, runs)
    if section is not None:
        return _sized(element.service, section, frame, SizeFrom.JOINED_DUCT)
    own = piece.section()
    stated = element.service.stated_size
    if stated and own is not None:
        shape = Shape.ROUND if len(stated) == 1 else Shape.RECTANGULAR
        return Sized(element.service, shape, stated[0], stated[1] if len(stated) == 2 else None, SizeFrom.STATED)
    return _sized(element.service, own, frame, SizeFrom.CASING)


def size_of_element(element: Element, frame: PlaneFrame) -> Sized:
    """The size of an element that touches a barrier only with its body: at the middle of its longest leg."""
    if element.tube is None or not element.tube.legs:
        return Sized(element.service, None, None, None, SizeFrom.DUCT)
    lengths = [leg.length for leg in element.tube.legs]
    number = lengths.index(max(lengths))
    return _sized(
        element.service, element.section(number, element.tube.legs[number].length / 2.0), frame, SizeFrom.DUCT
    )


def _joined_section(piece: Piece, runs: Runs) -> Section | None:
    """The section of the duct that a damper is joined to, at its end next to the damper; the nearest duct first."""
    found = _joined_sections(piece, runs)
    return found[0][1] if found else None


def _joined_sections(piece: Piece, runs: Runs) -> list[tuple[bool, Section]]:
    """The sections of all ducts that a damper is joined to, best first, and whether the duct turns off there."""
    found: list[tuple[bool, bool, float, int, Section]] = []
    for index in runs.neighbours.get(piece.element.index, ()):
        other = runs.elements[index]
        if other.service.is_damper or other.tube is None or other.service.part in {Part.TERMINAL, Part.EQUIPMENT}:
            continue
        for number, leg in enumerate(other.tube.legs):
            turns = angle_between_lines_deg(leg.direction, piece.leg.direction) > 15.0
            for along, point in ((0.0, leg.start), (leg.length, leg.end)):
                distance = float(np.linalg.norm(point - piece.filled_centre))
                section = other.section(number, along)
                if section is not None:
                    found.append((turns, other.service.part is Part.FITTING, round(distance, 3), index, section))
    return [(turns, section) for turns, _, _, _, section in sorted(found, key=lambda entry: entry[:4])]


def _sized(element: ServiceElement, section: Section | None, frame: PlaneFrame, size_from: SizeFrom) -> Sized:
    if section is None:
        return Sized(element, None, None, None, size_from, "the mesh gives no section here")
    shape = Shape(section.shape.value)
    first, second = (settled_mm(side) for side in section.sides)
    if section.shape is CutShape.ROUND:
        note = ""
        if section.over_corners is not None:
            note = (
                f"the model draws this circle with {len(section.corners())} flat sides: Ø {number_text(first)} over "
                f"the flats, Ø {number_text(section.over_corners)} over the corners"
            )
        return Sized(element, shape, first, None, size_from, note)
    across_first, across_second = (abs(float(axis @ frame.right)) for axis in section.side_axes)
    if abs(across_first - across_second) < 1e-6:
        first, second = max(first, second), min(first, second)
    elif across_second > across_first:
        first, second = second, first
    return Sized(element, shape, first, second, size_from)


def duct_outline(crossing: Crossing, frame: PlaneFrame) -> Outline:
    """The outline of all that passes the barrier here, in its middle plane."""
    depth = float(crossing.centre @ frame.normal)
    outlines = []
    for piece in crossing.across or crossing.pieces:
        section = piece.section()
        if section is not None and abs(float(piece.axis @ frame.normal)) > 1e-3:
            outlines.append(shadow(section, piece.axis, frame, depth))
    return united(outlines)


def bare_duct_outline(crossing: Crossing, frame: PlaneFrame, runs: Runs) -> Outline | None:
    """The outline of the duct alone in the barrier's middle plane, also where a damper's casing is all that is there.

    Where a damper stands in the barrier it is the section of the duct that it is joined to, drawn on along the run;
    None where no duct leads straight into it.
    """
    pieces = crossing.across or crossing.pieces
    dampers = [piece for piece in pieces if piece.element.service.is_damper]
    if not dampers:
        return duct_outline(crossing, frame)
    depth = float(crossing.centre @ frame.normal)
    outlines = []
    for piece in pieces:
        if abs(float(piece.axis @ frame.normal)) <= 1e-3:
            continue
        section: Section | None
        if piece.element.service.is_damper:
            joined = _joined_sections(piece, runs)
            section = joined[0][1] if joined and not joined[0][0] else None
        else:
            section = piece.section()
        if section is not None:
            outlines.append(shadow(section, piece.axis, frame, depth))
    return united(outlines) if outlines else None


def edges_of(crossing: Crossing, frame: PlaneFrame, outline: Outline) -> tuple[SidesMm | None, float | None]:
    """From the duct to the edges of the barrier: a side, and the nearest of all [mm]."""
    pieces = crossing.across or crossing.pieces
    inside = pieces[0].inside
    barrier = common_outline(inside.entry, inside.leave, frame, filled=True)
    if outline.is_empty or barrier.is_empty:
        return None, None
    sides = edge_distances(outline, barrier, frame.flat(crossing.centre))
    if sides is None:
        return None, None
    return _sides(sides), settled_mm(nearest_edge(outline, barrier))


def adjoining_of(
    crossing: Crossing, frame: PlaneFrame, outline: Outline, others: Sequence[tuple[Barrier, Mesh]]
) -> tuple[Adjoining, ...]:
    """The other barriers that meet this one within `ADJOINING_REACH_MM` of the duct, nearest first.

    They are looked for in planes a little outside both faces: what lies in line with the barrier (the next length of
    the same wall) does not come out there and adjoins nothing, and what most of the duct passes stands across its way.
    """
    if outline.is_empty:
        return ()
    found = []
    depths = sorted(float(point @ frame.normal) for point in crossing.faces)
    left, bottom, right, top = bounds(outline)
    corners = frame.lifted(np.array([(left, bottom), (left, top), (right, bottom), (right, top)]), 0.0)
    beside = Box.around(np.concatenate([corners + depth * frame.normal for depth in depths])).grown(ADJOINING_REACH_MM)
    for barrier, mesh in others:
        if not beside.meets(mesh.box):
            continue
        clear = []
        for off in _OFF_THE_FACE_MM:
            for depth in (depths[0] - off, depths[-1] + off):
                _, _, area = cut(mesh, depth * frame.normal, frame.normal)
                if not area.is_empty and overlap_share(outline, area) < _STANDS_ACROSS:
                    side = side_of_box((left, bottom, right, top), bounds(area))
                    clear.append((clear_between(outline, area), side))
        if clear and min(clear)[0] <= ADJOINING_REACH_MM:
            sides = {side for _, side in clear}
            side = sides.pop() if len(sides) == 1 else ""
            found.append(Adjoining(settled_mm(min(clear)[0]), barrier.kind, barrier.guid, side))
    return tuple(sorted(found))


def opening_of(
    crossing: Crossing,
    openings: Sequence[OpeningElement],
    meshes: Mapping[Ref, Mesh],
    frame: PlaneFrame,
    outline: Outline,
    duct: Outline | None,
) -> OpeningAt | None:
    """The opening element that holds most of what passes here (`outline`; `duct` is the duct alone), or None."""
    if outline.is_empty:
        return None
    faces = sorted(float(point @ frame.normal) for point in crossing.faces)
    best: tuple[float, OpeningElement, Outline, bool] | None = None
    for opening in openings:
        mesh = meshes[opening.ref]
        reach = mesh.points[np.unique(mesh.triangles)] @ frame.normal
        low, high = float(reach.min()), float(reach.max())
        if high <= faces[0] + _THROUGH_MM or low >= faces[1] - _THROUGH_MM:
            continue
        hole = silhouette(mesh, frame)
        share = overlap_share(outline, hole)
        if share > _LEAST_SHARE and (best is None or share > best[0] + 1e-9):
            through = low <= faces[0] + _THROUGH_MM and high >= faces[1] - _THROUGH_MM
            best = (share, opening, hole, through)
    if best is None:
        return None
    share, opening, hole, through = best
    left, bottom, right, top = bounds(hole)
    return OpeningAt(
        guid=opening.guid,
        name=opening.name,
        shape=Shape(shape_of_outline(hole, frame).value),
        width_mm=settled_mm(right - left),
        height_mm=settled_mm(top - bottom),
        clearance=_sides(margins(outline, hole)),
        goes_through=through,
        share_inside=round(share, 6),
        filled_by=opening.filled_by,
        filled_class=opening.filled_class,
        clearance_of_duct=None if duct is None or duct.is_empty else _sides(margins(duct, hole)),
    )


def _sides(sides: FourSides) -> SidesMm:
    return SidesMm(*(settled_mm(side) for side in (sides.left, sides.right, sides.top, sides.bottom)))


def damper_of(pieces: Sequence[Piece], runs: Runs, frame: PlaneFrame, middle: Floats, sized: Sized) -> DamperAt | None:
    """The damper in the barrier, else the nearest one on the same run within reach; None when there is none."""
    inside = sorted({piece.element.index for piece in pieces if piece.element.service.is_damper})
    axis = max(pieces, key=lambda piece: (piece.to_share - piece.from_share, -piece.element.index)).axis
    slope = float(axis @ frame.normal)
    if abs(slope) < 1e-6:
        return None
    if inside:
        chosen = [(abs(_offset(runs.elements[index], frame, middle, slope)), index, True) for index in inside]
    else:
        faces = [float(point @ frame.normal) for piece in pieces for point in piece.face_points]
        half = (max(faces) - min(faces)) / 2.0 / abs(slope)
        chosen = []
        for index in _along_the_run({piece.element.index for piece in pieces}, runs):
            element = runs.elements[index]
            offset = _offset(element, frame, middle, slope)
            beside = _centre(element) - middle
            beside = beside - float(beside @ axis) * axis
            gap = abs(offset) - half - _length(element) / 2.0
            if gap <= DAMPER_REACH_MM and float(np.linalg.norm(beside)) <= (sized.width_mm or 0.0) / 2.0:
                chosen.append((abs(offset), index, False))
    if not chosen:
        return None
    _, index, in_barrier = min(chosen, key=lambda entry: (round(entry[0], 3), entry[1]))
    return _damper(runs.elements[index], frame, middle, slope, in_barrier=in_barrier)


def _along_the_run(start: set[int], runs: Runs) -> list[int]:
    """The dampers that are joined to the elements, at most three joints away."""
    seen, edge = set(start), set(start)
    for _ in range(3):
        edge = {other for index in edge for other in runs.neighbours.get(index, ())} - seen
        seen |= edge
    return sorted(index for index in seen - start if runs.elements[index].service.is_damper)


def _damper(element: Element, frame: PlaneFrame, middle: Floats, slope: float, *, in_barrier: bool) -> DamperAt:
    section = None
    if element.tube is not None and element.tube.legs:
        section = element.section(0, element.tube.legs[0].length / 2.0)
    casing = _sized(element.service, section, frame, SizeFrom.CASING)
    service = element.service
    size = element.box.size
    return DamperAt(
        guid=service.guid,
        name=service.name,
        type_name=service.type_name,
        predefined=service.predefined,
        shape=casing.shape or Shape.OTHER,
        casing_width_mm=casing.width_mm if casing.width_mm is not None else settled_mm(float(np.sort(size)[2])),
        casing_height_mm=casing.height_mm,
        length_mm=settled_mm(_length(element)),
        offset_mm=settled_mm(_offset(element, frame, middle, slope)),
        in_barrier=in_barrier,
        properties=service.properties,
    )


def _centre(element: Element) -> Floats:
    if element.tube is not None and element.tube.legs:
        return np.asarray((element.tube.legs[0].start + element.tube.legs[-1].end) / 2.0)
    return np.asarray((element.box.low + element.box.high) / 2.0)


def _length(element: Element) -> float:
    return element.tube.length if element.tube is not None else float(canonical(element.box.size) @ element.box.size)


def _offset(element: Element, frame: PlaneFrame, middle: Floats, slope: float) -> float:
    return float((_centre(element) - middle) @ frame.normal) / slope
