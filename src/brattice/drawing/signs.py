# SPDX-License-Identifier: Apache-2.0
"""The signs that stand on a sheet: numbered balloons, the north arrow, scale bars, revision clouds, legends."""

from __future__ import annotations

import math
from collections.abc import Sequence

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
    Point,
    Polygon,
    Polyline,
    Text,
    rectangle,
)
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import View

__all__ = ["balloon", "caption", "hatch_legend", "north_arrow", "revision_cloud", "scale_bar"]

_SMALL = 2.2
_CAP = SHEET_FONT.cap_height / 1000
_BALLOON = 2.6
_DOT = 0.45
_ARC = 3.0
_BAR = 1.2
_BARS_MM = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000)
"""Lengths that a scale bar may show [mm]: round ones, a layout choice."""


def balloon(
    at: Point, text: str, to: Point | None = None, *, radius: float = _BALLOON, hold: bool = False
) -> tuple[Item, ...]:
    """A numbered balloon at a point, with a leader that ends in a dot on what it names; a hold point is a diamond."""
    x, y = at
    items: list[Item] = []
    if to is not None and math.dist(at, to) > radius:
        away = math.dist(at, to)
        edge = radius * 1.1 if hold else radius
        start = (x + (to[0] - x) * edge / away, y + (to[1] - y) * edge / away)
        items += [Polyline((start, to), Pen.THIN), Circle(to, _DOT, Fill.INK)]
    if hold:
        r = radius * 1.35
        items.append(Polygon((((x + r, y), (x, y + r), (x - r, y), (x, y - r)),), Fill.PAPER, Pen.EDGE))
    else:
        items.append(Circle(at, radius, Fill.PAPER, Pen.EDGE))
    size = radius * 1.1
    wide = Text((0, 0), text, size, ink=Ink.STRONG).width(SHEET_FONT)
    most = radius * (1.5 if not hold else 1.25)
    if wide > most:
        size *= most / wide
    items.append(Text((x, y - size * _CAP / 2), text, size, Anchor.MIDDLE, Ink.STRONG))
    return (Group("", tuple(items), layer=Layer.TEXT),)


def north_arrow(at: Point, angle_deg: float | None, radius: float = 6.0) -> tuple[Item, ...]:
    """North on a plan: the angle [degrees] from up on the sheet, clockwise; None says that it is not known."""
    x, y = at
    if angle_deg is None:
        words = "north not known"
        return (
            Group(
                words,
                (
                    Circle(at, radius * 0.6, Fill.NONE, Pen.UNKNOWN),
                    Text((x, y - 3.0 * _CAP / 2), "?", 3.0, Anchor.MIDDLE, Ink.STRONG),
                    Text((x, y - radius * 0.6 - 1.0 - _SMALL * _CAP), words, _SMALL, Anchor.MIDDLE, Ink.QUIET),
                ),
                layer=Layer.TEXT,
            ),
        )
    turn = math.radians(angle_deg)

    def out(along: float, across: float) -> Point:
        return (
            x + along * math.sin(turn) + across * math.cos(turn),
            y + along * math.cos(turn) - across * math.sin(turn),
        )

    tip, tail, left, right = (
        out(radius, 0),
        out(-radius * 0.5, 0),
        out(-radius, -0.55 * radius),
        out(-radius, 0.55 * radius),
    )
    letter = out(radius + 2.2, 0)
    items = (
        Polygon(((tip, tail, left),), Fill.INK, Pen.THIN),
        Polygon(((tip, tail, right),), Fill.PAPER, Pen.THIN),
        Text((letter[0], letter[1] - 3.0 * _CAP / 2), "N", 3.0, Anchor.MIDDLE, Ink.STRONG),
    )
    return (Group("north", items, layer=Layer.TEXT),)


def scale_bar(at: Point, denominator: float, most_mm: float = 60.0) -> tuple[Item, ...]:
    """A bar of a round real length, at most `most_mm` long on paper, in four fields; `at` is its left bottom end.

    Its texts are real lengths in millimetres. () where even the shortest is too long.
    """
    fitting = [real for real in _BARS_MM if real / denominator <= most_mm]
    if not fitting:
        return ()
    real = fitting[-1]
    x, y = at
    step = real / denominator / 4
    items: list[Item] = [
        Polygon(
            (rectangle(x + n * step, y, x + (n + 1) * step, y + _BAR),), Fill.PAPER if n % 2 else Fill.INK, Pen.THIN
        )
        for n in range(4)
    ]
    above = y + _BAR + 0.9
    items += [
        Text((x, above), "0", _SMALL, Anchor.MIDDLE),
        Text((x + 4 * step, above), f"{real} mm", _SMALL, Anchor.MIDDLE),
    ]
    return (Group(f"a bar of {real} mm", tuple(items), layer=Layer.TEXT),)


def revision_cloud(box: Box, index: str = "") -> tuple[Item, ...]:
    """A cloud round a box, its arcs outwards, and the index of the revision in a triangle at its right top corner."""
    corners = rectangle(box.left, box.bottom, box.right, box.top)
    points: list[Point] = []
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        length = math.dist(a, b)
        count = max(1, round(length / _ARC))
        ux, uy = ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (1.0, 0.0)
        step = length / count
        for n in range(count):
            cx, cy = a[0] + ux * step * (n + 0.5), a[1] + uy * step * (n + 0.5)
            for k in range(7):
                t = math.pi * k / 6
                along, out = -math.cos(t) * step / 2, math.sin(t) * step * 0.35
                points.append((cx + ux * along + uy * out, cy + uy * along - ux * out))
    items: list[Item] = [Polyline((*points, points[0]), Pen.EDGE)]
    if index:
        x, y = box.right + 1.4, box.top + 1.4
        mark = ((x - 2.9, y - 1.9), (x + 2.9, y - 1.9), (x, y + 3.3))
        items.append(Polygon((mark,), Fill.PAPER, Pen.EDGE))
        size = min(2.4, 2.4 * 2.6 / max(Text((0, 0), index, 2.4, ink=Ink.STRONG).width(SHEET_FONT), 0.1))
        items.append(Text((x, y - 1.3), index, size, Anchor.MIDDLE, Ink.STRONG))
    return (Group(f"changed in revision {index}" if index else "changed", tuple(items), layer=Layer.TEXT),)


def hatch_legend(
    entries: Sequence[tuple[Fill, str]], at: Point, size: float = 2.4, pitch: float = 5.2
) -> tuple[Item, ...]:
    """What the hatches mean: a swatch and its words for each, from the left top corner `at` downwards."""
    x, y = at
    items: list[Item] = []
    for number, (fill, words) in enumerate(entries):
        top = y - number * pitch
        items.append(Polygon((rectangle(x, top - 3.6, x + 8.0, top),), fill, Pen.EDGE))
        items.append(Text((x + 9.6, top - 1.8 - size * _CAP / 2), words, size))
    return (Group("hatches", tuple(items), layer=Layer.TEXT),)


def caption(view: View, size: float = 3.4) -> tuple[Item, ...]:
    """The title of a view and its scale, at the left bottom of its box, underlined."""
    x, y = view.box.left, view.box.bottom
    title = Text((x, y + 1.6), view.title, size, ink=Ink.STRONG)
    end = x + title.width(SHEET_FONT) + 3.0
    scale = Text((end, y + 1.6), f"1:{view.denominator:g}", size * 0.8)
    line = Polyline(((x, y + 0.4), (end + scale.width(SHEET_FONT), y + 0.4)), Pen.EDGE)
    return (Group("", (title, scale, line), layer=Layer.TEXT),)
