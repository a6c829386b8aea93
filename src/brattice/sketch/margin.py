# SPDX-License-Identifier: Apache-2.0
"""What stands at the foot of an installation sheet: key plan, legend of hatches and lines, scale bars, cautions."""

from __future__ import annotations

from collections.abc import Sequence

from brattice.building.north import NO_NORTH, North
from brattice.building.penetration import Penetration
from brattice.building.plan import StoreyPlan
from brattice.drawing.clip import clipped
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Fill,
    Group,
    Ink,
    Item,
    Layer,
    Pen,
    Polygon,
    Polyline,
    Text,
    flat,
    rectangle,
)
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.signs import north_arrow
from brattice.findings import Missing, Party, Unknown
from brattice.quantities import number_text
from brattice.sketch.plan import PlanPaper, barrier_items, plan_extent
from brattice.sketch.texts import folded
from brattice.sketch.viewing import column_height, moved, text_items

__all__ = ["USED_AT_SEVERAL", "cautions", "cautions_height", "key_plan", "legend", "place_of", "scale_bars"]

_SMALL = 2.55
_HEAD = 2.8
_ARROW = 2.8
_LEGEND_STEP = 3.7
_ARROW_ROOM = 6.4
_BARS_MM = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000, 100000, 200000, 500000)

USED_AT_SEVERAL = Unknown(
    Missing("used-at-several", "Where it is: a standard detail is used at several places", Party.CLIENT)
)
"""The storey of what is drawn for several places: a table says where they are, and no key plan is drawn."""

_HATCHES: tuple[tuple[Fill, str], ...] = (
    (Fill.CONCRETE, "concrete"),
    (Fill.MASONRY, "masonry"),
    (Fill.BOARD, "board, lining"),
    (Fill.WOOL, "mineral wool"),
    (Fill.TIMBER, "timber"),
    (Fill.SEAL, "penetration seal"),
    (Fill.METAL, "metal"),
    (Fill.DUCT, "duct, neighbour"),
    (Fill.OTHER, "barrier, seen"),
)
_LINES: tuple[tuple[Pen, str], ...] = (
    (Pen.AXIS, "line of the closed blade"),
    (Pen.UNKNOWN, "hidden, or not settled"),
    (Pen.FAINT, "working zone, open blade"),
)


def _head(words: str, box: Box) -> list[Item]:
    return [Text((box.left, box.top - _HEAD * 0.8), words, _HEAD, ink=Ink.STRONG)]


def place_of(penetration: Penetration) -> tuple[float, float] | None:
    """Where a penetration is in plan [m]: by the model, else by a mark on a drawing; None where nobody says."""
    location = penetration.location
    if location.centre_m is not None:
        return location.centre_m[0], location.centre_m[1]
    if location.surveyed is not None:
        return location.surveyed.value.x_m, location.surveyed.value.y_m
    return None


def key_plan(penetration: Penetration, plan: StoreyPlan | None, box: Box) -> tuple[Item, ...]:
    """Where on its storey the penetration is: the walls of the storey and one mark; says so where that is not known."""
    if penetration.location.storey == USED_AT_SEVERAL:
        most = int((box.height - _HEAD * 1.3) / (_SMALL * 1.22))
        rows = folded(penetration.location.words, box.width, _SMALL, max(most, 1))
        return (*_head("Where it is used", box), *text_items(rows, (box.left, box.top - _HEAD * 1.3), _SMALL))
    place = place_of(penetration)
    if plan is None or place is None or not (plan.barriers or plan.ducts):
        why = "no plan of the storey" if plan is None else "its place on the storey is not known"
        rows = folded(f"Not drawn: {why}.", box.width, _SMALL, 3)
        return (*_head("Key plan", box), *text_items(rows, (box.left, box.top - _HEAD * 1.3), _SMALL))
    title = folded(f"Key plan, {plan.storey}", box.width, _HEAD * 1.08, 1)[0]
    turned = plan.north.angle_deg
    beside = 0.0 if turned is None else 2 * _ARROW_ROOM
    room = Box(box.left, box.bottom, box.right - beside, box.top - _HEAD * 1.5)
    extent = plan_extent(plan, [])
    extent = Box(
        min(extent.left, place[0]), min(extent.bottom, place[1]), max(extent.right, place[0]), max(extent.top, place[1])
    )
    ratio = max(extent.width * 1000 / (room.width - 4), extent.height * 1000 / (room.height - 4), 1.0)
    paper = PlanPaper(extent, ratio)
    right, top = paper.point((extent.right, extent.top))
    shift = (room.left + (room.width - right) / 2, room.top - 2 - top)
    window = Box(-1, -1, right + 1, top + 1)
    items: list[Item] = [
        Polygon((part,), Fill.DUCT, Pen.FAINT)
        for duct in plan.ducts if duct
        for part in clipped(paper.ring(duct), window)
    ]  # fmt: skip
    items += barrier_items(plan.barriers, paper, window)
    at = paper.point(place)
    items += [
        Circle(at, 2.4, Fill.NONE, Pen.CUT),
        Polyline(((at[0] - 3.6, at[1]), (at[0] + 3.6, at[1])), Pen.EDGE),
        Polyline(((at[0], at[1] - 3.6), (at[0], at[1] + 3.6)), Pen.EDGE),
    ]
    arrow = () if turned is None else north_arrow((box.right - _ARROW_ROOM, room.top - _ARROW_ROOM), turned, _ARROW)
    return (*_head(title, box), Group("key plan", moved(items, shift), layer=Layer.FRAME), *arrow)


def legend(drawn: Sequence[Item], box: Box) -> tuple[Item, ...]:
    """What the hatches and lines on this sheet mean: those alone that it uses."""
    fills = {item.fill for item in flat(drawn) if isinstance(item, Polygon | Circle)}
    pens = {item.pen for item in flat(drawn) if isinstance(item, Polyline | Polygon | Circle)}
    items: list[Item] = _head("Hatches and lines", box)
    used: list[tuple[Fill | Pen, str]] = [(fill, words) for fill, words in _HATCHES if fill in fills]
    used += [(pen, words) for pen, words in _LINES if pen in pens]
    y = box.top - _HEAD * 1.6
    # where many are used they stand closer: none is left out
    step = min(_LEGEND_STEP, (y - box.bottom) / len(used)) if used else _LEGEND_STEP
    for mark, words in used:
        if isinstance(mark, Fill):
            items.append(Polygon((rectangle(box.left, y - step + 1.0, box.left + 8, y),), mark, Pen.THIN))
        else:
            items.append(Polyline(((box.left, y - 1.4), (box.left + 8, y - 1.4)), mark))
        items.append(Text((box.left + 9.5, y - 2.1), words, _SMALL))
        y -= step
    return tuple(items)


def scale_bars(scales: Sequence[float], box: Box, north: North = NO_NORTH) -> tuple[Item, ...]:
    """One bar a scale, and what is said of north; nobody should measure on paper all the same."""
    items: list[Item] = _head("Scales and directions", box)
    y = box.top - _HEAD * 1.5
    names = [Text((0, 0), f"1:{number_text(scale)}", _SMALL, ink=Ink.STRONG).width(SHEET_FONT) for scale in scales]
    before = max(9.0, max(names, default=0.0) + 2.6)
    for scale in dict.fromkeys(scales):
        longest = (box.width - before - 7) * scale
        length = next((bar for bar in reversed(_BARS_MM) if bar <= longest), _BARS_MM[0])
        paper = length / scale
        if y - 7 < box.bottom:
            break
        items.append(Text((box.left, y - 3.9), f"1:{number_text(scale)}", _SMALL, ink=Ink.STRONG))
        x = box.left + before
        items.append(Polygon((rectangle(x, y - 4.0, x + paper / 2, y - 3.0),), Fill.INK, Pen.THIN))
        items.append(Polygon((rectangle(x + paper / 2, y - 4.0, x + paper, y - 3.0),), Fill.PAPER, Pen.THIN))
        items.append(Text((x, y - 2.2), "0", _SMALL, Anchor.MIDDLE, Ink.QUIET))
        items.append(Text((x + paper, y - 2.2), f"{number_text(length)}", _SMALL, Anchor.MIDDLE, Ink.QUIET))
        y -= 6.2
    for texts in (("Dimensions in millimetres decide; do not measure on the sheet.",), (north.text, north.short)):
        folds = (folded(text, box.width, _SMALL, 3) for text in texts)
        fitting = (rows for rows in folds if y - column_height(len(rows), _SMALL) >= box.bottom)
        rows = next(fitting, None)
        if rows is None:
            break
        items += text_items(rows, (box.left, y), _SMALL, Ink.QUIET)
        y -= column_height(len(rows), _SMALL) + 0.6
    return tuple(items)


def cautions(texts: Sequence[str], box: Box) -> tuple[Item, ...]:
    """The cautions, whole, in a size that can be read on site."""
    rows = [row for text in texts for row in folded(text, box.width, _SMALL)]
    return (*_head("Cautions", box), *text_items(rows, (box.left, box.top - _HEAD * 1.3), _SMALL))


def cautions_height(texts: Sequence[str], width: float) -> float:
    """How high the cautions are in a column of this width [mm]."""
    rows = [row for text in texts for row in folded(text, width, _SMALL)]
    return _HEAD * 1.3 + column_height(len(rows), _SMALL)
