# SPDX-License-Identifier: Apache-2.0
"""The plan of one storey: barriers by their rating, ducts, and a flag with mark and id for every penetration."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.drawing.clip import clipped
from brattice.drawing.layout import Flag, Placed, place_flags
from brattice.drawing.marks import mark_items
from brattice.drawing.metrics import shortened, text_width
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Drawing,
    Fill,
    Group,
    Ink,
    Item,
    Pen,
    Point,
    Polygon,
    Polyline,
    Text,
    box_of,
    rectangle,
)
from brattice.quantities import number_text

__all__ = [
    "MARK_MM",
    "PlanMark",
    "PlanPaper",
    "RatingBand",
    "barrier_items",
    "draw_plan",
    "flag_items",
    "flag_width",
    "plan_extent",
    "rating_band",
    "rating_legend",
    "scale_bar",
]

_TEXT = 3.0
MARK_MM = 3.5
"""How wide and high the mark of a state is on a plan [mm]."""
_FLAG_PAD = 0.5
_WIDTH = 300.0
_MOST_WIDTH = 900.0
_ID_MOST = 28.0
_SHARE_OF_FLAGS = 0.22
_LEAST_BARRIER = 0.7
_SCALES = (20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 2500, 5000, 10000)
_BARS_M = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200)


class RatingBand(StrEnum):
    """How plans tell ratings apart."""

    UNKNOWN = "rating not known"
    UNRATED = "unrated"
    BELOW_60 = "below 60 min"
    FROM_60 = "60 to 119 min"
    FROM_120 = "120 min and more"


_FILLS = {
    RatingBand.UNKNOWN: (Fill.RATING_UNKNOWN, Pen.UNKNOWN),
    RatingBand.UNRATED: (Fill.RATING_NONE, Pen.FAINT),
    RatingBand.BELOW_60: (Fill.RATING_LOW, Pen.THIN),
    RatingBand.FROM_60: (Fill.RATING_MID, Pen.THIN),
    RatingBand.FROM_120: (Fill.RATING_HIGH, Pen.THIN),
}


def rating_band(minutes: int | None) -> RatingBand:
    """The band of a rating [min]; None is not known, 0 is unrated. The bands sort a picture and judge nothing."""
    if minutes is None:
        return RatingBand.UNKNOWN
    if minutes <= 0:
        return RatingBand.UNRATED
    if minutes < 60:
        return RatingBand.BELOW_60
    return RatingBand.FROM_60 if minutes < 120 else RatingBand.FROM_120


@dataclass(frozen=True)
class PlanMark:
    """A penetration on a plan: its id, place [m], the mark of its state and the state in words."""

    id: str
    x_m: float
    y_m: float
    mark: str
    words: str


def plan_extent(plan: StoreyPlan, marks: Sequence[PlanMark]) -> Box:
    """The box of everything that a plan draws [m]; a point at 0 for nothing."""
    points = [point for barrier in plan.barriers for outline in barrier.outlines for point in outline]
    points += [point for duct in plan.ducts for point in duct]
    points += [(mark.x_m, mark.y_m) for mark in marks]
    xs, ys = [p[0] for p in points] or [0.0], [p[1] for p in points] or [0.0]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _scale(extent: Box, marks: Sequence[PlanMark]) -> float:
    """The denominator at which the storey fits the paper; more flags than it has room for make the paper larger."""
    width, height = max(extent.width, 0.5) * 1000, max(extent.height, 0.5) * 1000
    flags = sum((flag_width(mark) + 1) * (MARK_MM + 1) for mark in marks)
    needed = math.sqrt(flags / _SHARE_OF_FLAGS * width / height)
    paper = min(max(_WIDTH, needed), _MOST_WIDTH)
    ratio = max(width / paper, height / (paper * 1.3))
    return next((number for number in _SCALES if number >= ratio), ratio)


def _label(mark: PlanMark) -> str:
    return shortened(mark.id, _ID_MOST, _TEXT)


def flag_width(mark: PlanMark) -> float:
    """How wide a flag is with its mark and id [mm of paper]."""
    return MARK_MM + _FLAG_PAD + text_width(_label(mark), _TEXT) + _FLAG_PAD


class PlanPaper:
    """Turns metres of the building into millimetres of paper."""

    def __init__(self, extent: Box, scale: float) -> None:
        self._left, self._bottom, self._factor = extent.left, extent.bottom, 1000 / scale

    def point(self, point: Point) -> Point:
        """A place [m] on the paper [mm]."""
        return (point[0] - self._left) * self._factor, (point[1] - self._bottom) * self._factor

    def ring(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """An outline [m] on the paper [mm]."""
        return tuple(self.point(point) for point in points)


def _thickened(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """An outline that would vanish at this scale, drawn as wide as the least that is seen."""
    box = box_of([Polyline(ring, Pen.THIN)])
    grow_x = max(0.0, (_LEAST_BARRIER - box.width) / 2)
    grow_y = max(0.0, (_LEAST_BARRIER - box.height) / 2)
    if not grow_x and not grow_y:
        return ring
    return rectangle(box.left - grow_x, box.bottom - grow_y, box.right + grow_x, box.top + grow_y)


def barrier_items(barriers: Sequence[PlanBarrier], paper: PlanPaper, window: Box | None = None) -> list[Item]:
    """Floors as thin outlines below, walls filled by their rating, the higher on top; only what is in `window`."""
    items: list[Item] = []
    for barrier in barriers:
        if barrier.is_floor:
            rings = _within(map(paper.ring, barrier.outlines), window)
            items += [Polyline((*ring, ring[0]), Pen.FAINT) for ring in rings]
    walls = [barrier for barrier in barriers if not barrier.is_floor]
    for barrier in sorted(walls, key=lambda item: -1 if item.rating_min is None else item.rating_min):
        fill, pen = _FILLS[rating_band(barrier.rating_min)]
        thick = (_thickened(paper.ring(outline)) for outline in barrier.outlines if outline)
        items += [Polygon((ring,), fill, pen) for ring in _within(thick, window)]
    return items


def _within(rings: Iterable[tuple[Point, ...]], window: Box | None) -> list[tuple[Point, ...]]:
    given = [ring for ring in rings if ring]
    return given if window is None else [part for ring in given for part in clipped(ring, window)]


def flag_items(mark: PlanMark, at: Point, placed: Placed) -> Group:
    """The flag of a mark: plate, mark and id, with a leader to its point where it does not stand on it."""
    box = placed.box
    items: list[Item] = []
    if placed.leader is not None:
        items += [Circle(at, 0.45, Fill.INK), Polyline(placed.leader, Pen.THIN)]
    is_mirrored = placed.leader is None and at[0] - box.left > box.right - at[0]
    middle = (box.bottom + box.top) / 2
    mark_x = box.right - MARK_MM / 2 if is_mirrored else box.left + MARK_MM / 2
    text_x = mark_x - MARK_MM / 2 - _FLAG_PAD if is_mirrored else mark_x + MARK_MM / 2 + _FLAG_PAD
    anchor = Anchor.END if is_mirrored else Anchor.START
    far_x = box.left if is_mirrored else box.right
    plate = sorted((mark_x, far_x))
    items.append(Polygon((rectangle(plate[0], box.bottom + 0.15, plate[1], box.top - 0.15),), Fill.PAPER))
    items += mark_items(mark.mark, (mark_x, middle), MARK_MM)
    items.append(Text((text_x, middle - _TEXT * 0.36), _label(mark), _TEXT, anchor, Ink.STRONG))
    return Group(f"{mark.id}: {mark.words}", tuple(items), mark.id)


def scale_bar(extent_m: float, scale: float, at: Point) -> list[Item]:
    """A bar of a round length, at most a quarter of `extent_m` [m], at 1 : `scale`; `at` is its left bottom end."""
    length = next((bar for bar in reversed(_BARS_M) if bar <= max(extent_m, 0.4) / 4), _BARS_M[0])
    paper = length * 1000 / scale
    x, y = at
    return [
        Polygon((rectangle(x, y, x + paper / 2, y + 0.9),), Fill.INK, Pen.THIN),
        Polygon((rectangle(x + paper / 2, y, x + paper, y + 0.9),), Fill.PAPER, Pen.THIN),
        Text((x, y + 1.8), "0", _TEXT, ink=Ink.QUIET),
        Text((x + paper, y + 1.8), f"{number_text(length)} m", _TEXT, Anchor.MIDDLE, Ink.QUIET),
    ]


def draw_plan(plan: StoreyPlan, marks: Sequence[PlanMark]) -> Drawing:
    """The plan of a storey with a flag for every mark, none on another; flags carry their id as link."""
    ordered = sorted(marks, key=lambda mark: (-mark.y_m, mark.x_m, mark.id))
    extent = plan_extent(plan, ordered)
    scale = _scale(extent, ordered)
    paper = PlanPaper(extent, scale)
    items = [Polygon((paper.ring(duct),), Fill.DUCT, Pen.FAINT) for duct in plan.ducts if duct]
    drawn: list[Item] = [*items, *barrier_items(plan.barriers, paper)]
    top = paper.point((extent.right, extent.top))
    frame = Box(0, 0, *top)
    points = [paper.point((mark.x_m, mark.y_m)) for mark in ordered]
    flags = [Flag(point, flag_width(mark), MARK_MM, MARK_MM / 2) for point, mark in zip(points, ordered, strict=True)]
    placed = place_flags(flags, frame)
    groups = [flag_items(mark, point, where) for mark, point, where in zip(ordered, points, placed, strict=True)]
    below = box_of([*drawn, *groups]).bottom
    drawn += [*groups, *scale_bar(extent.width, scale, (0.0, min(below, 0.0) - 7.0))]
    return Drawing(
        f"Plan of {plan.storey}",
        f"{len(plan.barriers)} barriers, {len(ordered)} penetrations",
        box_of(drawn).grown(2.0),
        tuple(drawn),
        scale,
    )


def rating_legend(bands: Iterable[RatingBand]) -> Drawing:
    """What the fills of barriers mean, in one line."""
    items: list[Item] = []
    x = 0.0
    wanted = set(bands)
    for band in RatingBand:
        if band not in wanted:
            continue
        fill, pen = _FILLS[band]
        items.append(Polygon((rectangle(x, 0, x + 8, 2.4),), fill, pen))
        text = Text((x + 9.2, 0.15), str(band), 3.3)
        items.append(text)
        x += 9.2 + text.width() + 6
    return Drawing("Ratings of barriers", "", box_of(items).grown(0.5), tuple(items), 1)
