# SPDX-License-Identifier: Apache-2.0
"""The builders' work overlay of a storey: each framed opening in plan, at its wall, in the coordinates of the models.

In plan an opening of a wall is a rectangle as long as the opening is wide and as deep as the wall is thick; one of a
floor is its own shape. What has no place, no wall in the plan or no settled size is listed and not placed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.building.words import plain
from brattice.details.detail import InstallationDetail
from brattice.findings import Known
from brattice.orders.builders_work import BuildersWorkRow, OpeningState

__all__ = ["OVERLAY_LAYERS", "Overlay", "OverlayOpening", "overlays"]

Point = tuple[float, float]

OVERLAY_LAYERS: Mapping[OpeningState, str] = {
    OpeningState.FORM: "BUILDERS-WORK-FORM",
    OpeningState.FORM_AGAIN: "BUILDERS-WORK-RE-FORM",
    OpeningState.AS_BUILT: "BUILDERS-WORK-AS-BUILT",
    OpeningState.HELD: "BUILDERS-WORK-HELD",
}
"""The layer of an opening by its state; texts and barriers have layers of their own."""

_MM_PER_M = 1000.0
_FACE_SLACK_MM = 60.0
"""How far beyond half its thickness a wall's face may lie from the centre of a hole [mm]: finishes, rounding."""


@dataclass(frozen=True)
class OverlayOpening:
    """One framed opening in plan: a closed outline [mm], or a circle where `radius_mm` is given.

    `centre_mm` is in the world coordinates of the models; `texts` are printed beside it, as its row has them.
    """

    id: str
    state: OpeningState
    centre_mm: Point
    outline_mm: tuple[Point, ...]
    radius_mm: float | None
    texts: tuple[str, ...]

    @property
    def layer(self) -> str:
        """The layer that it is drawn on."""
        return OVERLAY_LAYERS[self.state]


@dataclass(frozen=True)
class Overlay:
    """One storey: openings that are placed, outlines of its barriers [mm], and what is not placed with why."""

    storey: str
    openings: tuple[OverlayOpening, ...]
    barriers_mm: tuple[tuple[Point, ...], ...]
    not_placed: tuple[tuple[str, str], ...]


def _to_segment(point: Point, a: Point, b: Point) -> float:
    """The distance of a point to a segment, in its unit."""
    (x, y), (ax, ay), (bx, by) = point, a, b
    length = math.hypot(bx - ax, by - ay)
    if length == 0.0:
        return math.hypot(x - ax, y - ay)
    along = max(0.0, min(1.0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length**2))
    return math.hypot(x - ax - along * (bx - ax), y - ay - along * (by - ay))


def _direction(barriers: Iterable[PlanBarrier], centre: Point, thickness_mm: float) -> Point | None:
    """The direction of a wall at a place, as a unit vector: that of its longest face there; None without one."""
    faces = []
    for barrier in barriers:
        for outline in barrier.outlines:
            mm = [(x * _MM_PER_M, y * _MM_PER_M) for x, y in outline]
            for a, b in zip(mm, [*mm[1:], *mm[:1]], strict=True):
                length = math.hypot(b[0] - a[0], b[1] - a[1])
                if length > 0.0 and _to_segment(centre, a, b) <= thickness_mm / 2 + _FACE_SLACK_MM:
                    faces.append((length, (b[0] - a[0]) / length, (b[1] - a[1]) / length))
    if not faces:
        return None
    _, x, y = max(faces, key=lambda face: (round(face[0], 3), abs(face[1]), face[1], face[2]))
    return x, y


def _rectangle(centre: Point, along: Point, length: float, depth: float) -> tuple[Point, ...]:
    (x, y), (ux, uy) = centre, along
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(
        (x + a * ux * length / 2 - b * uy * depth / 2, y + a * uy * length / 2 + b * ux * depth / 2) for a, b in corners
    )


def _placed(row: BuildersWorkRow, detail: InstallationDetail, plan: StoreyPlan | None) -> OverlayOpening | str:
    """The opening of a row in plan, or why it is not placed."""
    where = detail.penetration.location.centre_m
    if where is None:
        return "No model says where it is."
    round_, width, height = (detail.value(f"framed-{side}") for side in ("diameter", "width", "height"))
    across = round_ if round_ is not None else width
    if across is None or (round_ is None and height is None):
        return "The size of its framed opening is to be settled."
    centre = where[0] * _MM_PER_M, where[1] * _MM_PER_M
    level = () if row.is_floor else (f"centre {row.texts['centre']}",)
    texts = (row.id, f"framed {row.texts['framed']}", *level, str(row.state))
    if row.is_floor:
        if round_ is not None:
            return OverlayOpening(row.id, row.state, centre, (), round_ / 2, texts)
        plane = detail.penetration.location.plane
        if plane is None and across != height:
            return "No model says which way the width of its opening lies."
        along = (1.0, 0.0) if plane is None else (plane.right[0], plane.right[1])
        return OverlayOpening(row.id, row.state, centre, _rectangle(centre, along, across, height or 0.0), None, texts)
    thickness = detail.penetration.barrier.thickness_mm
    if not isinstance(thickness, Known):
        return "The thickness of its wall is not known."
    guids = set(detail.penetration.barrier.guids)
    mine = [item for item in plan.barriers if item.guid in guids] if plan is not None else []
    wall = _direction(mine, centre, thickness.value)
    if wall is None:
        return "No plan shows its wall there."
    return OverlayOpening(row.id, row.state, centre, _rectangle(centre, wall, across, thickness.value), None, texts)


def _outlines(plan: StoreyPlan | None) -> tuple[tuple[Point, ...], ...]:
    """The outlines of a plan's walls [mm]; floors would lie over everything."""
    if plan is None:
        return ()
    return tuple(
        tuple((x * _MM_PER_M, y * _MM_PER_M) for x, y in outline)
        for barrier in plan.barriers
        if not barrier.is_floor
        for outline in barrier.outlines
    )


def overlays(
    rows: Sequence[BuildersWorkRow], details: Mapping[str, InstallationDetail], plans: Iterable[StoreyPlan]
) -> tuple[Overlay, ...]:
    """The overlays of a job, one a storey in the order of the rows of its builders' work schedule."""
    by_name = {plain(plan.storey): plan for plan in plans}
    storeys: dict[str, list[BuildersWorkRow]] = {}
    for row in rows:
        storeys.setdefault(plain(row.texts["storey"]), []).append(row)
    made = []
    for name, mine in storeys.items():
        storey, plan = mine[0].texts["storey"], by_name.get(name)
        found = [(row.id, _placed(row, details[row.id], plan)) for row in mine]
        made.append(
            Overlay(
                storey,
                tuple(item for _, item in found if isinstance(item, OverlayOpening)),
                _outlines(plan),
                tuple((name, item) for name, item in found if isinstance(item, str)),
            )
        )
    return tuple(made)
