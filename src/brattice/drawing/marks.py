# SPDX-License-Identifier: Apache-2.0
"""The marks that tell states on plans and in lists: one shape each, so that colour is never needed to tell them."""

from __future__ import annotations

import math

from brattice.drawing.primitives import Circle, Fill, Item, Pen, Point, Polygon, Polyline

__all__ = ["MARKS", "mark_items"]

MARKS: dict[str, Fill] = {
    "cross": Fill.RED,
    "question": Fill.AMBER,
    "triangle": Fill.YELLOW,
    "diamond": Fill.VIOLET,
    "hexagon": Fill.BLUE,
    "square": Fill.TEAL,
    "circle": Fill.GREEN,
    "dot": Fill.GREY,
}
"""Each mark and its tone."""


def _ring(centre: Point, radius: float, corners: int, first_deg: float) -> tuple[Point, ...]:
    angles = [math.radians(first_deg + 360 * number / corners) for number in range(corners)]
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles)


def mark_items(mark: str, centre: Point, size: float) -> tuple[Item, ...]:
    """The items of a mark about a centre, at most `size` [mm] wide and high. An unknown mark is a plain circle."""
    x, y = centre
    half = size / 2
    tone = MARKS.get(mark, Fill.PAPER)
    if mark == "cross":
        a, b = half * 0.98, half * 0.34
        corner = half - b
        ring = tuple(
            (x + px, y + py)
            for px, py in (
                (0, b), (corner, a), (a, corner), (b, 0), (a, -corner), (corner, -a),
                (0, -b), (-corner, -a), (-a, -corner), (-b, 0), (-a, corner), (-corner, a),
            )
        )  # fmt: skip
        return (Polygon((ring,), tone, Pen.THIN),)
    if mark == "question":
        hook = tuple(
            (x + half * 0.42 * math.cos(math.radians(a)), y + half * (0.22 + 0.36 * math.sin(math.radians(a))))
            for a in (170, 125, 80, 35, -10, -50)
        )
        return (
            Circle(centre, half, tone, Pen.THIN),
            Polyline((*hook, (x, y - half * 0.2), (x, y - half * 0.3)), Pen.EDGE),
            Circle((x, y - half * 0.62), half * 0.13, Fill.INK),
        )
    if mark == "triangle":
        return (Polygon((((x - half, y - half * 0.85), (x + half, y - half * 0.85), (x, y + half)),), tone, Pen.THIN),)
    if mark == "diamond":
        return (Polygon((_ring(centre, half, 4, 90),), tone, Pen.THIN),)
    if mark == "hexagon":
        return (Polygon((_ring(centre, half, 6, 0),), tone, Pen.THIN),)
    if mark == "square":
        return (Polygon((_ring(centre, half * 1.2, 4, 45),), tone, Pen.THIN),)
    if mark == "dot":
        return (Circle(centre, half * 0.5, tone, Pen.THIN),)
    return (Circle(centre, half * 0.92, tone, Pen.THIN),)
