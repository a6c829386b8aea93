# SPDX-License-Identifier: Apache-2.0
"""The plan of a storey on sheets of one size, at scales that have a name: one sheet, or areas where flags are dense."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.drawing.clip import clipped
from brattice.drawing.layout import Flag, Labels, Placed, place_within
from brattice.drawing.metrics import text_width
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Drawing,
    Fill,
    Ink,
    Item,
    Pen,
    Polygon,
    Polyline,
    Text,
    box_of,
    rectangle,
)
from brattice.sketch.plan import (
    MARK_MM,
    PlanMark,
    PlanPaper,
    barrier_items,
    flag_items,
    flag_width,
    plan_extent,
    scale_bar,
)

__all__ = ["PlanSheet", "draw_key", "draw_sheets", "rating_words"]

_SCALES = (20, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10000)
_EDGE = 9.0
_FOOT = 8.0
_SHARE_OF_FLAGS = 0.3
_LEAST_SPLIT_M = 2.0
_LEAST_AREA_M = 3.0
_ROOM_ABOUT_M = 1.5
_LABEL = 2.1
_KEY_TEXT = 3.0


@dataclass(frozen=True)
class PlanSheet:
    """One sheet of a storey: the area that it shows [m], its drawing in a frame of the size asked, the ids with a flag
    and those that lie in the area and found no room for one. `corner_m` is where the frame's left bottom corner lies.
    """

    number: int
    area: Box
    drawing: Drawing
    corner_m: tuple[float, float]
    shown: tuple[str, ...]
    without_room: tuple[str, ...]


def rating_words(barrier: PlanBarrier) -> str:
    """What stands beside a barrier: its rating as written, "unrated" or "rating?" where it is not known."""
    if barrier.rating_text and barrier.rating_min != 0:
        return barrier.rating_text if barrier.rating_min is not None else f"{barrier.rating_text}?"
    return "unrated" if barrier.rating_min == 0 else "rating?"


def draw_sheets(
    plan: StoreyPlan,
    marks: Sequence[PlanMark],
    width_mm: float,
    height_mm: float,
    also_m: Box | None = None,
) -> tuple[PlanSheet, ...]:
    """The sheets of a storey for a frame of this size [mm].

    One sheet at the largest named scale at which everything fits, as long as each mark finds room for its flag; else
    areas, each at its own scale, until each finds room. Areas without a mark have no sheet.

    Parameters
    ----------
    plan : what is drawn of the building
    marks : the penetrations; each gets one flag on one sheet
    width_mm : width of the frame of each drawing [mm]
    height_mm : its height [mm]
    also_m : what the first sheet has to show besides, as an underlay [m]
    """
    ordered = sorted(marks, key=lambda mark: (-mark.y_m, mark.x_m, mark.id))
    frame = Box(0, 0, width_mm, height_mm)
    extent = plan_extent(plan, ordered)
    if also_m is not None:
        is_empty = not (plan.barriers or plan.ducts or marks)
        extent = also_m if is_empty else _joined(extent, also_m)
    areas = list(_areas(extent, ordered, ordered, frame))
    return tuple(_sheet(number, plan, area, ordered, frame) for number, area in enumerate(areas, start=1))


def _joined(one: Box, other: Box) -> Box:
    return Box(
        min(one.left, other.left),
        min(one.bottom, other.bottom),
        max(one.right, other.right),
        max(one.top, other.top),
    )


@dataclass(frozen=True)
class _Area:
    box: Box
    marks: tuple[PlanMark, ...]
    paper: PlanPaper
    scale: float
    corner: tuple[float, float]
    placed: tuple[Placed | None, ...]


def _scale_of(box: Box, frame: Box) -> float:
    width, height = frame.width - 2 * _EDGE, frame.height - 2 * _EDGE - _FOOT
    ratio = max(box.width * 1000 / width, box.height * 1000 / height)
    return next((float(number) for number in _SCALES if number >= ratio), ratio)


def _areas(box: Box, marks: Sequence[PlanMark], every: Sequence[PlanMark], frame: Box) -> Iterator[_Area]:
    """The area itself where each flag finds room, else those of its two halves."""
    can_split = max(box.width, box.height) > _LEAST_SPLIT_M and len(marks) > 1
    scale = _scale_of(box, frame)
    middle = (box.left + box.right) / 2, (box.bottom + box.top) / 2
    half_w, half_h = frame.width * scale / 2000, (frame.height + _FOOT) * scale / 2000
    corner = middle[0] - half_w, middle[1] - half_h
    paper = PlanPaper(Box(*corner, *corner), scale)
    room = _room(frame)
    flags = [Flag(paper.point((m.x_m, m.y_m)), flag_width(m), MARK_MM, MARK_MM / 2) for m in marks]
    mine = {mark.id for mark in marks}
    points = [paper.point((mark.x_m, mark.y_m)) for mark in every if mark.id not in mine]
    others = [point for point in points if room.left < point[0] < room.right and room.bottom < point[1] < room.top]
    placed: tuple[Placed | None, ...] = ()
    needed = sum((flag.width + 1) * (flag.height + 1) for flag in flags)
    if not can_split or needed <= _SHARE_OF_FLAGS * room.width * room.height:
        placed = place_within(flags, room, others, all_or_none=can_split)
    if len(placed) == len(marks):
        yield _Area(box, tuple(marks), paper, scale, corner, placed)
        return
    for half, inside in _halves(box, marks):
        if inside:
            yield from _areas(_trimmed(half, inside), inside, every, frame)


def _room(frame: Box) -> Box:
    return Box(frame.left + 1, frame.bottom + _FOOT, frame.right - 1, frame.top - 1)


def _halves(box: Box, marks: Sequence[PlanMark]) -> list[tuple[Box, list[PlanMark]]]:
    """The two halves across the longer side, upper or left first, with their marks."""
    if box.width >= box.height:
        cut = (box.left + box.right) / 2
        left = [mark for mark in marks if mark.x_m < cut]
        right = [mark for mark in marks if mark.x_m >= cut]
        return [
            (Box(box.left, box.bottom, cut, box.top), left),
            (Box(cut, box.bottom, box.right, box.top), right),
        ]
    cut = (box.bottom + box.top) / 2
    upper = [mark for mark in marks if mark.y_m >= cut]
    lower = [mark for mark in marks if mark.y_m < cut]
    return [(Box(box.left, cut, box.right, box.top), upper), (Box(box.left, box.bottom, box.right, cut), lower)]


def _trimmed(box: Box, marks: Sequence[PlanMark]) -> Box:
    """The part of an area about its marks, with some room about them, so that it is shown as large as may be."""
    xs, ys = [mark.x_m for mark in marks], [mark.y_m for mark in marks]
    about = Box(min(xs), min(ys), max(xs), max(ys)).grown(_ROOM_ABOUT_M)
    left, right = max(box.left, about.left), min(box.right, about.right)
    bottom, top = max(box.bottom, about.bottom), min(box.top, about.top)
    return Box(left, bottom, max(left, right), max(bottom, top))


def _sheet(number: int, plan: StoreyPlan, area: _Area, every: Sequence[PlanMark], frame: Box) -> PlanSheet:
    paper, room = area.paper, _room(frame)
    items: list[Item] = []
    for duct in plan.ducts:
        items += [Polygon((ring,), Fill.DUCT, Pen.THIN) for ring in clipped(paper.ring(duct), room) if duct]
    items += barrier_items(plan.barriers, paper, room)
    mine = {mark.id for mark in area.marks}
    at = {mark.id: paper.point((mark.x_m, mark.y_m)) for mark in every}
    others = [point for name, point in at.items() if name not in mine and room.holds(Box(*point, *point).grown(0.6))]
    items += [Circle(point, 0.5, Fill.PAPER, Pen.THIN) for point in others]
    found = [(mark, place) for mark, place in zip(area.marks, area.placed, strict=True) if place is not None]
    items += [flag_items(mark, at[mark.id], place) for mark, place in found]
    shown = tuple(sorted(mark.id for mark, _ in found))
    without = [mark for mark, place in zip(area.marks, area.placed, strict=True) if place is None]
    items += [Circle(at[mark.id], 0.45, Fill.INK) for mark in without]
    labels = Labels(room, (place for _, place in found), [*others, *(at[mark.id] for mark in area.marks)])
    items += _rating_labels(plan, paper, room, labels)
    items += scale_bar(area.box.width if area.box.width > 1 else _LEAST_AREA_M, area.scale, (2.0, 1.2))
    drawing = Drawing(
        f"Plan of {plan.storey}",
        f"{len(shown)} penetrations with their flags at 1:{area.scale:g}",
        frame,
        tuple(items),
        area.scale,
    )
    return PlanSheet(number, area.box, drawing, area.corner, shown, tuple(sorted(mark.id for mark in without)))


def _rating_labels(plan: StoreyPlan, paper: PlanPaper, room: Box, labels: Labels) -> list[Item]:
    """The rating beside each wall that is long enough here and has room for it; the hatch says it of all."""
    items: list[Item] = []
    for barrier in plan.barriers:
        if barrier.is_floor:
            continue
        words = rating_words(barrier)
        length = text_width(words, _LABEL)
        parts = [part for ring in barrier.outlines if ring for part in clipped(paper.ring(ring), room)]
        boxes = [box_of([Polyline(part, Pen.THIN)]) for part in parts]
        longest = max(boxes, key=lambda box: max(box.width, box.height), default=None)
        if longest is None or max(longest.width, longest.height) < length * 0.9:
            continue
        is_upright = longest.height > longest.width
        text = next((text for text in _beside(longest, words, is_upright) if labels.take([box_of([text])])), None)
        if text is not None:
            items.append(text)
    return items


def _beside(wall: Box, words: str, is_upright: bool) -> Iterator[Text]:
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        if is_upright:
            y = wall.bottom + wall.height * share
            for x in (wall.left - 0.7, wall.right + 0.7 + _LABEL * 0.73):
                yield Text((x, y), words, _LABEL, Anchor.MIDDLE, Ink.PLAIN, turned=True)
        else:
            x = wall.left + wall.width * share
            for y in (wall.top + 0.7, wall.bottom - 0.7 - _LABEL * 0.73):
                yield Text((x, y), words, _LABEL, Anchor.MIDDLE)


def draw_key(plan: StoreyPlan, sheets: Sequence[PlanSheet], here: int, width_mm: float, height_mm: float) -> Drawing:
    """Where the areas of a storey lie: its barriers, a box and number for each sheet, that of `here` the heavier."""
    extent = plan_extent(plan, [])
    if not plan.barriers and not plan.ducts:
        extent = sheets[0].area
    for sheet in sheets:
        extent = _joined(extent, sheet.area)
    scale = max(extent.width * 1000 / (width_mm - 1), extent.height * 1000 / (height_mm - 1), 1.0)
    paper = PlanPaper(extent, scale)
    items: list[Item] = [
        Polyline((*ring, ring[0]), Pen.FAINT)
        for barrier in plan.barriers
        for ring in map(paper.ring, barrier.outlines)
        if ring
    ]
    labels = Labels(Box(-5, -5, width_mm + 5, height_mm + 5), (), ())
    for sheet in sorted(sheets, key=lambda sheet: (sheet.number == here, sheet.number)):
        (left, bottom), (right, top) = paper.ring(
            ((sheet.area.left, sheet.area.bottom), (sheet.area.right, sheet.area.top))
        )
        pen = Pen.WRONG if sheet.number == here else Pen.THIN
        corners = rectangle(left, bottom, right, top)
        items.append(Polygon((corners,), Fill.NONE, pen))
    for sheet in sorted(sheets, key=lambda sheet: (sheet.number != here, sheet.number)):
        x, y = paper.point(((sheet.area.left + sheet.area.right) / 2, (sheet.area.bottom + sheet.area.top) / 2))
        ink = Ink.STRONG if sheet.number == here else Ink.PLAIN
        text = Text((x, y - _KEY_TEXT * 0.36), str(sheet.number), _KEY_TEXT, Anchor.MIDDLE, ink)
        if labels.take([box_of([text])]) is not None:
            items.append(text)
    return Drawing(
        "Key to the areas", f"{len(sheets)} areas, this is {here}", box_of(items).grown(0.5), tuple(items), scale
    )
