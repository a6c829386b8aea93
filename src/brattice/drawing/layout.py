# SPDX-License-Identifier: Apache-2.0
"""Labels that keep apart: along a line, and on a plane with leaders to what they name."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from brattice.drawing.primitives import Box, Point

__all__ = ["Flag", "Labels", "Placed", "place_flags", "place_within", "spread"]


def spread(centres: Sequence[float], sizes: Sequence[float], gap: float) -> tuple[float, ...]:
    """New centres for labels along a line, in the order given, none overlapping, moved as little as may be.

    `centres` must not fall; `gap` is the least clear distance between two. Pools of labels that touch are moved
    together to the mean of where they want to be (pool adjacent violators: least squares under order).
    """
    if any(b < a for a, b in pairwise(centres)):
        raise ValueError("the labels must come in order")
    starts = [0.0]
    for one, other in pairwise(sizes):
        starts.append(starts[-1] + one / 2 + gap + other / 2)
    pools: list[tuple[float, int]] = []
    for wanted in (centre - start for centre, start in zip(centres, starts, strict=False)):
        total, count = wanted, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            more, number = pools.pop()
            total, count = total + more, count + number
        pools.append((total, count))
    moved = [total / count for total, count in pools for _ in range(count)]
    return tuple(shift + start for shift, start in zip(moved, starts, strict=False))


@dataclass(frozen=True)
class Flag:
    """A label to be placed: the point it belongs to, and its size. `grip` is how far from its left end the point
    lies when the flag stands on its point (the middle of its mark).
    """

    at: Point
    width: float
    height: float
    grip: float


@dataclass(frozen=True)
class Placed:
    """Where a flag went: its box, and the two ends of its leader (None when it stands on its point)."""

    box: Box
    leader: tuple[Point, Point] | None


_CELL = 12.0
_ANGLES = tuple(
    math.radians(angle) for angle in (45, 315, 135, 225, 70, 290, 110, 250, 20, 340, 160, 200, 90, 270, 0, 180)
)
_REACH = (3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0)
_FAR_REACH = (*_REACH, 34.0, 44.0, 56.0)
_SAMPLE = 1.2


class _Taken:
    """The boxes that are taken, in cells of a grid, so that a question looks at the neighbours alone."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[Box]] = {}

    def _keys(self, box: Box) -> list[tuple[int, int]]:
        columns = range(math.floor(box.left / _CELL), math.floor(box.right / _CELL) + 1)
        rows = range(math.floor(box.bottom / _CELL), math.floor(box.top / _CELL) + 1)
        return [(column, row) for column in columns for row in rows]

    def add(self, box: Box) -> None:
        for key in self._keys(box):
            self._cells.setdefault(key, []).append(box)

    def meeting(self, box: Box) -> list[Box]:
        return [other for key in self._keys(box) for other in self._cells.get(key, ()) if box.meets(other)]

    def is_free(self, box: Box) -> bool:
        return not any(box.meets(other) for key in self._keys(box) for other in self._cells.get(key, ()))


def _on_point(flag: Flag) -> tuple[Box, ...]:
    """The flag on its point: to the right of it, and (mark at the other end) to the left."""
    (x, y), half = flag.at, flag.height / 2
    return (
        Box(x - flag.grip, y - half, x - flag.grip + flag.width, y + half),
        Box(x + flag.grip - flag.width, y - half, x + flag.grip, y + half),
    )


def _about(flag: Flag, reaches: Sequence[float]) -> Iterator[Box]:
    """Places round the point, the nearest first."""
    x, y = flag.at
    for reach in reaches:
        for angle in _ANGLES:
            cx = x + math.cos(angle) * (reach + flag.width / 2)
            cy = y + math.sin(angle) * (reach + flag.height / 2)
            yield Box(cx - flag.width / 2, cy - flag.height / 2, cx + flag.width / 2, cy + flag.height / 2)


def _leader(flag: Flag, box: Box) -> tuple[Point, Point]:
    x, y = flag.at
    end = (min(max(x, box.left), box.right), min(max(y, box.bottom), box.top))
    return (x, y), end


def place_flags(flags: Sequence[Flag], frame: Box, apart: float = 0.4, point: float = 1.2) -> tuple[Placed, ...]:
    """A place for every flag, none overlapping another flag or another flag's point.

    A flag stands on its point where there is room, else near it with a leader, else in a column to the right of
    `frame`, so that no number of flags leaves one without a place. `apart` is the clear distance between flags,
    `point` the width kept free about each point. The answer follows the order of `flags`, which decides who comes
    first.
    """
    taken = _Taken()
    points = _Taken()
    dots = [Box(f.at[0] - point / 2, f.at[1] - point / 2, f.at[0] + point / 2, f.at[1] + point / 2) for f in flags]
    for dot in sorted(set(dots), key=lambda item: (item.left, item.bottom)):
        points.add(dot)
    answer: list[Placed] = []
    waiting: list[int] = []
    for number, flag in enumerate(flags):
        placed = _first_free(flag, dots[number], taken, points, apart)
        if placed is None:
            waiting.append(number)
            placed = Placed(Box(0, 0, 0, 0), None)
        else:
            taken.add(placed.box.grown(apart / 2))
        answer.append(placed)
    column, top = frame.right + 8.0, frame.top
    for number in sorted(waiting, key=lambda item: (-flags[item].at[1], flags[item].at[0], item)):
        flag = flags[number]
        box = Box(column, top - flag.height, column + flag.width, top)
        while not taken.is_free(box.grown(apart / 2)):
            top -= flag.height / 2
            if top < frame.bottom + flag.height:
                column, top = column + flag.width + 2 * apart, frame.top
            box = Box(column, top - flag.height, column + flag.width, top)
        taken.add(box.grown(apart / 2))
        answer[number] = Placed(box, _leader(flag, box))
    return tuple(answer)


def _first_free(
    flag: Flag, dot: Box, taken: _Taken, points: _Taken, apart: float, room: Box | None = None
) -> Placed | None:
    for box in _on_point(flag):
        grown = box.grown(apart / 2)
        inside = room is None or room.holds(grown)
        if inside and taken.is_free(grown) and _free_of_other_points(grown, dot, points):
            return Placed(box, None)
    for box in _about(flag, _REACH if room is None else _FAR_REACH):
        grown = box.grown(apart / 2)
        if room is not None and not room.holds(grown):
            continue
        if taken.is_free(grown) and points.is_free(grown):
            leader = _leader(flag, box)
            if _passes_no_point(leader, dot, points):
                return Placed(box, leader)
    return None


class Labels:
    """Places for further labels where flags stand already: none on a flag, a leader or a point, none outside."""

    def __init__(self, room: Box, flags: Iterable[Placed], points: Iterable[Point], apart: float = 0.4) -> None:
        self._room, self._apart, self._taken = room, apart, _Taken()
        for placed in flags:
            self._taken.add(placed.box)
            for x, y in () if placed.leader is None else _along(*placed.leader):
                self._taken.add(Box(x, y, x, y).grown(0.2))
        for x, y in points:
            self._taken.add(Box(x, y, x, y).grown(0.6))

    def take(self, candidates: Iterable[Box]) -> Box | None:
        """The first of the boxes that is free, which is then taken; None where none is."""
        for box in candidates:
            grown = box.grown(self._apart / 2)
            if self._room.holds(grown) and self._taken.is_free(grown):
                self._taken.add(grown)
                return box
        return None


def _along(start: Point, end: Point) -> list[Point]:
    """Points on a line, near enough to each other that no label slips between."""
    steps = max(1, math.ceil(math.dist(start, end) / _SAMPLE))
    return [
        (start[0] + (end[0] - start[0]) * n / steps, start[1] + (end[1] - start[1]) * n / steps)
        for n in range(steps + 1)
    ]


def place_within(
    flags: Sequence[Flag],
    room: Box,
    others: Sequence[Point] = (),
    apart: float = 0.4,
    point: float = 1.2,
    *,
    all_or_none: bool = False,
) -> tuple[Placed | None, ...]:
    """A place inside `room` for every flag that finds one, None for the others; none overlaps as in `place_flags`.

    `others` are points without a flag that stay free too. With `all_or_none` the search ends at the first flag that
    finds no place: the answer is then ().
    """
    taken, points = _Taken(), _Taken()
    half = point / 2
    dots = [Box(flag.at[0] - half, flag.at[1] - half, flag.at[0] + half, flag.at[1] + half) for flag in flags]
    more = [Box(x - half, y - half, x + half, y + half) for x, y in others]
    for dot in sorted({*dots, *more}, key=lambda item: (item.left, item.bottom)):
        points.add(dot)
    answer: list[Placed | None] = []
    for flag, dot in zip(flags, dots, strict=True):
        placed = _first_free(flag, dot, taken, points, apart, room)
        if placed is None and all_or_none:
            return ()
        if placed is not None:
            taken.add(placed.box.grown(apart / 2))
        answer.append(placed)
    return tuple(answer)


def _passes_no_point(leader: tuple[Point, Point], own: Box, points: _Taken) -> bool:
    """Whether the leader keeps clear of every other point: else it could be read as that one's."""
    (ax, ay), (bx, by) = leader
    around = Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)).grown(0.1)
    length = math.hypot(bx - ax, by - ay)
    for other in points.meeting(around):
        if other == own:
            continue
        x, y = (other.left + other.right) / 2, (other.bottom + other.top) / 2
        if length and abs((bx - ax) * (ay - y) - (ax - x) * (by - ay)) / length < (other.right - other.left) / 2:
            return False
    return True


def _free_of_other_points(box: Box, own: Box, points: _Taken) -> bool:
    return all(other == own for other in points.meeting(box))
