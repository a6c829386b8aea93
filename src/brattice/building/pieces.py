# SPDX-License-Identifier: Apache-2.0
"""One service element against one barrier: where its centreline is inside, where its body is, where it stops short."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from brattice.building.model import Barrier, BarrierKind
from brattice.building.runs import Element
from brattice.geometry.mesh import Floats
from brattice.geometry.section import Section
from brattice.geometry.solid import Inside, Solid
from brattice.geometry.tube import Leg
from brattice.geometry.vectors import PlaneFrame, angle_between_lines_deg, vector
from brattice.quantities import settled_mm

__all__ = [
    "ALONG_DEG",
    "EXTENSION_MM",
    "GRAZE_MM",
    "Contact",
    "Manner",
    "Piece",
    "body_contact",
    "pieces_of",
]

EXTENSION_MM = 50.0
"""How far a free end is drawn on to see whether it meets a barrier [mm]."""

ALONG_DEG = 80.0
"""From this angle to the barrier's normal on, a duct runs along the barrier, not through it [deg]."""

GRAZE_MM = 5.0
"""A body that reaches no deeper into a barrier only grazes it: within what a model is exact to [mm]."""

_LEAST_MM = 0.5
_NARROW = 0.67
_ENDS_OF_A_RUN = 2


class Manner(StrEnum):
    """How a centreline meets a barrier."""

    ACROSS = "across"
    ALONG = "along"
    CORNER = "corner"
    SHORT = "stops short"


@dataclass(frozen=True, eq=False)
class Piece:
    """A stretch of one leg at one barrier.

    `inside` is where the leg's endless line is in the barrier; `low` to `high` the stretch of it that the element
    fills [mm along the leg]; for a piece that stops short both are the end of the leg and `gap_mm` what is missing.
    `from_share`, `to_share` is the same stretch across the barrier, 0 at the face that comes first along the frame's
    normal, 1 at the other.
    """

    element: Element
    barrier: int
    leg_number: int
    leg: Leg
    inside: Inside
    low: float
    high: float
    manner: Manner
    frame: PlaneFrame
    from_share: float
    to_share: float
    thickness_mm: float
    gap_mm: float = 0.0

    @property
    def axis(self) -> Floats:
        """The leg's direction, turned to run with the frame's normal."""
        direction = self.leg.direction
        return direction if float(direction @ self.frame.normal) >= 0.0 else -direction

    @property
    def angle_deg(self) -> float:
        """Between the leg and the barrier's normal [deg]."""
        return angle_between_lines_deg(self.leg.direction, self.frame.normal)

    @property
    def face_points(self) -> tuple[Floats, Floats]:
        """Where the leg's line meets the two faces, in the order of the frame's normal."""
        first, second = self.leg.at(self.inside.start), self.leg.at(self.inside.end)
        return (first, second) if float((second - first) @ self.frame.normal) >= 0.0 else (second, first)

    @property
    def centre(self) -> Floats:
        """The middle of the line's way through the barrier."""
        return self.leg.at((self.inside.start + self.inside.end) / 2.0)

    @property
    def filled_centre(self) -> Floats:
        """The middle of the stretch that the element fills."""
        return self.leg.at((self.low + self.high) / 2.0)

    @property
    def is_real(self) -> bool:
        """Whether the element itself is inside, not only its extension."""
        return self.manner is not Manner.SHORT

    def section(self) -> Section | None:
        """The element's section at the middle of the piece; of one that branches, at the slighter end of its run."""
        tube = self.element.tube
        if tube is not None and len(tube.ends) > _ENDS_OF_A_RUN:
            ends = [self.element.section(self.leg_number, along) for along in (0.0, self.leg.length)]
            known = [section for section in ends if section is not None]
            return min(known, key=lambda section: section.sides[0] * section.sides[1], default=None)
        return self.element.section(self.leg_number, (self.low + self.high) / 2.0)


@dataclass(frozen=True, eq=False)
class Contact:
    """A body that meets a barrier while its centreline stays outside: how deep [mm], whether it runs along, where."""

    element: Element
    barrier: int
    depth_mm: float
    along: bool
    centre: Floats
    frame: PlaneFrame
    thickness_mm: float


def pieces_of(
    element: Element, at: int, barrier: Barrier, solid: Solid, free_ends: frozenset[tuple[int, int, bool]]
) -> list[Piece]:
    """All pieces of an element at a barrier (`at` is the barrier's place in the building's order)."""
    pieces: list[Piece] = []
    if element.tube is None:
        return pieces
    for number, leg in enumerate(element.tube.legs):
        length = leg.length
        for inside in solid.inside_or_filled(leg.start, leg.direction):
            low, high = max(inside.start, 0.0), min(inside.end, length)
            gap = 0.0
            if high - low <= _LEAST_MM:
                end_free = (element.index, number, False) in free_ends
                start_free = (element.index, number, True) in free_ends
                after, before = settled_mm(inside.start - length), settled_mm(-inside.end)
                if end_free and -_LEAST_MM <= after <= EXTENSION_MM:
                    low = high = length
                    gap = max(0.0, after)
                elif start_free and -_LEAST_MM <= before <= EXTENSION_MM:
                    low = high = 0.0
                    gap = max(0.0, before)
                else:
                    continue
                pieces.append(_piece(element, at, barrier, solid, (number, leg), inside, (low, high), gap, short=True))
            else:
                pieces.append(_piece(element, at, barrier, solid, (number, leg), inside, (low, high), gap, short=False))
    return pieces


def _piece(
    element: Element,
    at: int,
    barrier: Barrier,
    solid: Solid,
    numbered_leg: tuple[int, Leg],
    inside: Inside,
    stretch: tuple[float, float],
    gap: float,
    *,
    short: bool,
) -> Piece:
    number, leg = numbered_leg
    frame = inside.entry.frame
    manner = _manner(barrier, solid, leg, inside)
    low, high = stretch
    span = inside.end - inside.start
    shares = sorted(
        (share if float(leg.direction @ frame.normal) >= 0.0 else 1.0 - share)
        for share in ((low - inside.start) / span, (high - inside.start) / span)
    )
    if short and manner is Manner.ACROSS:
        manner = Manner.SHORT
    return Piece(
        element=element,
        barrier=at,
        leg_number=number,
        leg=leg,
        inside=inside,
        low=low,
        high=high,
        manner=manner,
        frame=frame,
        from_share=shares[0],
        to_share=shares[1],
        thickness_mm=inside.thickness_mm(leg.direction),
        gap_mm=gap,
    )


def _manner(barrier: Barrier, solid: Solid, leg: Leg, inside: Inside) -> Manner:
    """Across the barrier from face to face, along it, or round one of its corners."""
    if not inside.is_across:
        return Manner.CORNER
    normal = inside.entry.normal
    upright = abs(float(normal[2]))
    if barrier.kind is BarrierKind.WALL:
        if upright > 0.7:
            return Manner.ALONG
        middle = leg.at((inside.start + inside.end) / 2.0)
        sideways = np.cross(normal, vector(0.0, 0.0, 1.0))
        sideways = sideways / np.linalg.norm(sideways)
        wide = sum(part.end - part.start for part in solid.inside(middle, sideways) if part.start <= 0.0 <= part.end)
        if 0.0 < wide < _NARROW * inside.thickness_mm(leg.direction):
            return Manner.ALONG
    elif upright < 0.5:
        return Manner.ALONG
    if round(angle_between_lines_deg(leg.direction, normal), 6) > ALONG_DEG:
        return Manner.ALONG
    return Manner.ACROSS


def body_contact(element: Element, at: int, solid: Solid) -> Contact | None:
    """How the body meets a barrier that its centreline stays out of; None when it only grazes it.

    The depth is the least reach of the body beyond a face that it meets, whichever of the face's two sides it
    reaches less into.
    """
    points = element.mesh.points[np.unique(element.mesh.triangles)]
    box = element.box
    reach: list[float] = []
    for face in solid.faces:
        off = points @ face.normal - face.depth_mm
        lowest, highest = float(off.min()), float(off.max())
        if lowest >= 0.0 or highest <= 0.0:
            continue
        corners = np.array(
            [
                [x, y, z]
                for x in (box.low[0], box.high[0])
                for y in (box.low[1], box.high[1])
                for z in (box.low[2], box.high[2])
            ]
        )
        flat = face.frame.flat(corners)
        low_x, low_y, high_x, high_y = face.bounds
        if (
            flat[:, 0].max() < low_x
            or flat[:, 0].min() > high_x
            or flat[:, 1].max() < low_y
            or flat[:, 1].min() > high_y
        ):
            continue
        reach.append(min(-lowest, highest))
    depth = settled_mm(min(reach, default=GRAZE_MM + 1.0))
    if depth <= GRAZE_MM:
        return None
    main = max(solid.faces, key=lambda face: float(face.outline.area))
    middle = (np.maximum(box.low, solid.box.low) + np.minimum(box.high, solid.box.high)) / 2.0
    others = [
        abs(face.depth_mm - main.depth_mm) for face in solid.faces if face.faces_like(main, 1.0) and face is not main
    ]
    thickness = min((value for value in others if value > 0.1), default=0.0)
    along = False
    if element.tube is not None and element.tube.legs:
        nearest = min(element.tube.legs, key=lambda leg: _distance(leg, middle))
        along = angle_between_lines_deg(nearest.direction, main.normal) > 45.0
        spot = nearest.at(min(max(float((middle - nearest.start) @ nearest.direction), 0.0), nearest.length))
        middle = np.clip(spot, np.maximum(box.low, solid.box.low), np.minimum(box.high, solid.box.high))
    return Contact(element, at, depth, along, middle, main.frame, thickness)


def _distance(leg: Leg, point: Floats) -> float:
    along = min(max(float((point - leg.start) @ leg.direction), 0.0), leg.length)
    return float(np.linalg.norm(leg.at(along) - point))
