# SPDX-License-Identifier: Apache-2.0
"""How one view of an installation sheet is put together: outlines by layer, dimension chains, words with leaders.

A view is drawn about its own origin and moved to its place on the sheet afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from brattice.details.detail import InstallationDetail
from brattice.details.figures import Figure
from brattice.drawing.layout import spread
from brattice.drawing.metrics import text_width
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Dimension,
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
    box_of,
    rectangle,
    text_box,
)
from brattice.drawing.views import View
from brattice.sketch.texts import SHEET, dimension_text, folded

__all__ = [
    "BODY",
    "LINE",
    "Callout",
    "Canvas",
    "Span",
    "cloud",
    "column_height",
    "column_needed",
    "ink_of",
    "moved",
    "text_items",
]

BODY = 2.8
"""The size of words on a sheet [mm]."""
LINE = BODY * 1.22
"""From one line of words to the next [mm]."""
_DIM = 3.0
_TICK = 0.9
_BEYOND = 1.2
_BETWEEN = 1.4
_CALLOUT_GAP = 1.5


@dataclass(frozen=True)
class Span:
    """One dimension of a chain: from and to [mm, real], its figure, and words that may stand before its text."""

    start: float
    end: float
    figure: Figure | None
    words: str = ""
    is_known: bool = True

    @property
    def text(self) -> str:
        """What the dimension says."""
        return f"{self.words} {dimension_text(self.figure)}".strip() if self.figure is not None else self.words

    @property
    def ink(self) -> Ink:
        """Bold where it is to be settled."""
        return Ink.STRONG if self.figure is not None and not self.figure.is_settled else Ink.PLAIN


@dataclass(frozen=True)
class Callout:
    """A few words that name a point [mm of paper]; `keys` are the figures that they say; the lowest rank goes first."""

    at: Point
    text: str
    keys: tuple[str, ...] = ()
    ink: Ink = Ink.PLAIN
    rank: int = 5


def ink_of(detail: InstallationDetail, *keys: str) -> Ink:
    """Bold where one of these figures is to be settled."""
    figures = [detail.figure(key) for key in keys]
    return Ink.STRONG if any(item is not None and not item.is_settled for item in figures) else Ink.PLAIN


def moved(items: Iterable[Item], by: Point) -> tuple[Item, ...]:
    """Items moved on the paper."""
    return tuple(_moved(item, by) for item in items)


def _moved(item: Item, by: Point) -> Item:
    def at(point: Point) -> Point:
        return point[0] + by[0], point[1] + by[1]

    if isinstance(item, Polyline):
        return replace(item, points=tuple(map(at, item.points)))
    if isinstance(item, Polygon):
        return replace(item, rings=tuple(tuple(map(at, ring)) for ring in item.rings))
    if isinstance(item, Circle):
        return replace(item, centre=at(item.centre))
    if isinstance(item, Text):
        return replace(item, at=at(item.at))
    if isinstance(item, Group):
        return replace(item, items=moved(item.items, by))
    line = item.line + (by[0] if item.upright else by[1])
    return replace(item, first=at(item.first), second=at(item.second), line=line, items=moved(item.items, by))


def text_items(
    lines: Sequence[str], at: Point, size: float = BODY, ink: Ink = Ink.PLAIN, pitch: float = 1.22
) -> list[Item]:
    """Lines of words below a point: their left top corner."""
    x, y = at
    return [Text((x, y - size * (0.78 + pitch * number)), line, size, ink=ink) for number, line in enumerate(lines)]


def column_height(lines: int, size: float = BODY, pitch: float = 1.22) -> float:
    """How high so many lines are [mm]."""
    return size * (1.02 + pitch * (lines - 1)) if lines else 0.0


def cloud(box: Box, off: float = 0.35, bulge: float = 0.45) -> Item:
    """A revision cloud about a box, so far off it, its arcs bulging outwards by `bulge` [mm]."""
    around = box.grown(off)
    corners = rectangle(around.left, around.bottom, around.right, around.top)
    points: list[Point] = []
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        length = math.hypot(bx - ax, by - ay)
        count = max(1, round(length / 2.4))
        ux, uy = (bx - ax) / length, (by - ay) / length
        for number in range(count):
            for step in range(6):
                t = (number + step / 6) / count * length
                out = bulge * math.sin(math.pi * step / 6)
                points.append((ax + ux * t + uy * out, ay + uy * t - ux * out))
    return Group("changed since the revision before", (Polyline((*points, points[0]), Pen.EDGE),), layer=Layer.TEXT)


@dataclass(frozen=True)
class _Along:
    """Where a dimension runs [mm of paper]: its line, where extension lines start, which way is out, its text."""

    line: float
    start: float
    out: int
    clear: float
    upright: bool
    is_turned: bool
    middle: float
    place: float
    is_pushed: bool

    def at(self, along: float, off: float) -> Point:
        """A point so far along the line and so far off it."""
        return (self.line + off, along) if self.upright else (along, self.line + off)


def _broken(line: float, low: float, high: float, pen: Pen) -> list[Item]:
    """An upright dimension line that is broken near its lower end."""
    at = low + min(2.4, (high - low) / 2)
    return [
        Polyline(((line, low), (line, at - 0.5)), pen),
        Polyline(((line - 1.3, at - 1.0), (line + 1.3, at)), Pen.THIN),
        Polyline(((line - 1.3, at), (line + 1.3, at + 1.0)), Pen.THIN),
        Polyline(((line, at + 0.5), (line, high)), pen),
    ]


class Canvas:
    """Collects what one view shows. Lengths are real millimetres about the view's origin until they are drawn.

    `turned` says how (along the duct, across) lie on paper: 0 along to the right and across up, 1 along up and across
    to the right, -1 along to the right and across down.
    """

    def __init__(self, scale: float, turned: int = 0) -> None:
        self.scale = scale
        self.turned = turned
        self._layers: dict[Layer, list[Item]] = {}
        self._dimensions: list[Item] = []
        self.callouts: list[Callout] = []
        self.marks: list[tuple[str, Box]] = []
        self._edge: dict[str, float] = {}
        self.overlays: list[Item] = []

    def point(self, along: float, across: float) -> Point:
        """A place on the paper [mm]."""
        a, b = along / self.scale, across / self.scale
        return (b, a) if self.turned == 1 else (a, -b) if self.turned == -1 else (a, b)

    def add(self, layer: Layer, *items: Item) -> None:
        """Items on a layer."""
        self._layers.setdefault(layer, []).extend(items)

    def area(
        self, layer: Layer, along: tuple[float, float], across: tuple[float, float], fill: Fill, pen: Pen | None
    ) -> None:
        """A filled rectangle."""
        (a, b), (c, d) = along, across
        self.add(layer, Polygon((tuple(self.point(*p) for p in ((a, c), (b, c), (b, d), (a, d))),), fill, pen))

    def line(self, layer: Layer, pen: Pen, *points: Point) -> None:
        """A line through points."""
        self.add(layer, Polyline(tuple(self.point(*point) for point in points), pen))

    def call(
        self, along: float, across: float, text: str, keys: tuple[str, ...] = (), *, rank: int = 5, ink: Ink = Ink.PLAIN
    ) -> None:
        """Words that name a place."""
        self.callouts.append(Callout(self.point(along, across), text, keys, ink, rank))

    @property
    def shapes(self) -> tuple[Item, ...]:
        """All outlines, each layer a group; what was added first to a layer lies lowest."""
        return tuple(Group("", tuple(items), layer=layer) for layer, items in self._layers.items())

    @property
    def extent(self) -> Box:
        """What the outlines take on paper, words and dimensions aside."""
        return box_of((*self.shapes, *self.overlays), SHEET)

    def _edge_of(self, side: str) -> float:
        if not self._edge:
            box = self.extent
            self._edge = {"left": box.left, "right": box.right, "top": box.top, "bottom": box.bottom}
        return self._edge[side]

    def chain(self, side: str, spans: Sequence[Span], reach: float | None = None) -> None:
        """One chain of dimensions on a side of the view ("top", "bottom", "left", "right"), outside of those before.

        Spans are in real millimetres along paper x or paper y. A single upright dimension reads from the right; all
        other texts stand level, and short spans push theirs apart with a leader to what they measure. Extension lines
        begin at the edge of the view, or at `reach` [mm, real] where that is given.
        """
        if not spans:
            return
        upright = side in {"left", "right"}
        out = 1 if side in {"right", "top"} else -1
        edge = self._edge_of(side)
        ordered = sorted(spans, key=lambda span: (span.start + span.end, span.start))
        middles = [(span.start + span.end) / 2 / self.scale for span in ordered]
        widths = [text_width(span.text, _DIM, SHEET, bold=span.ink is Ink.STRONG) for span in ordered]
        is_turned = upright and len(ordered) == 1
        sizes = [_DIM * 1.02] * len(ordered) if upright and not is_turned else widths
        places = spread(middles, sizes, 0.9 if upright else _BETWEEN)
        pushed = [
            not is_turned
            and (
                abs(place - middle) > (0.4 if upright else 0.8)
                or (not upright and width > abs(span.end - span.start) / self.scale - 1.6)
            )
            for place, middle, width, span in zip(places, middles, widths, ordered, strict=True)
        ]
        # a text that is longer than what it measures stands outside, clear of strokes and extension lines
        is_long = is_turned and widths[0] > abs(ordered[0].end - ordered[0].start) / self.scale - 2.0
        clear = 2.4 if any(pushed) or is_long else 0.0
        line = edge + out * (3.6 if not is_turned else 2.4 + (_DIM if out > 0 and not is_long else 0.6))
        start = out * 0.6 + (edge if reach is None else reach / self.scale)
        for span, middle, place, is_pushed in zip(ordered, middles, places, pushed, strict=True):
            along = _Along(line, start, out, clear, upright, is_turned, middle, place, is_pushed)
            self._dimensions.append(self._dimension(span, along))
        if is_turned:
            self._edge[side] = line + out * (1.2 if out > 0 and not is_long else 2.6 + _DIM)
        else:
            self._edge[side] = line + out * (clear + (1.9 + max(widths) if upright else 1.6 + _DIM))
        before, after = ("bottom", "top") if upright else ("left", "right")
        first, last = ordered[0].start / self.scale - _TICK, max(span.end for span in ordered) / self.scale + _TICK
        low = min(first, *(p - n / 2 - 0.6 for p, n in zip(places, sizes, strict=True)))
        high = max(last, *(p + n / 2 + 0.6 for p, n in zip(places, sizes, strict=True)))
        self._edge[before], self._edge[after] = min(self._edge_of(before), low), max(self._edge_of(after), high)

    def heights(self, marks: Sequence[tuple[float, float | None, str, Figure]], low: float, floor: str) -> None:
        """Running heights above a level that lies below the view, on its left: their line is broken.

        Each mark is (place up the view [mm, real], from where its extension line starts [mm, real along x; None: the
        edge of the view], words, figure); `low` is where the view ends below [mm, real], `floor` names the level.
        """
        if not marks:
            return
        left = self._edge_of("left")
        line, base = left - 4.0, low / self.scale - 6.0
        ordered = sorted(marks, key=lambda mark: mark[0])
        texts = [f"{words} {dimension_text(figure)}".strip() for _, _, words, figure in ordered]
        inks = [Ink.PLAIN if figure.is_settled else Ink.STRONG for *_, figure in ordered]
        widths = [text_width(text, _DIM, SHEET, bold=ink is Ink.STRONG) for text, ink in zip(texts, inks, strict=True)]
        middles = [mark[0] / self.scale for mark in ordered]
        places = spread(middles, [_DIM * 1.02] * len(ordered), 0.9)
        before = base
        for (_, reach, _, figure), text, ink, y, place in zip(ordered, texts, inks, middles, places, strict=True):
            start = (left if reach is None else reach / self.scale) - 0.6
            pen = Pen.THIN if figure.is_settled else Pen.UNKNOWN
            tick = _TICK * 0.7
            items: list[Item] = [
                Polyline(((line - tick, y - tick), (line + tick, y + tick)), Pen.EDGE),
                Polyline(((start, y), (line - _BEYOND, y)), Pen.THIN),
            ]
            if before == base:
                items += _broken(line, base, y, pen)
            else:
                items.append(Polyline(((line, before), (line, y)), pen))
            away = line - 1.9
            if abs(place - y) > 0.4:
                items.append(Polyline(((line - _BEYOND, y), (away - 1.4, place)), Pen.THIN))
                away -= 2.0
            shown = Text((away, place - _DIM * 0.36), text, _DIM, Anchor.END, ink)
            items.append(shown)
            self.marks.append((figure.key, text_box(shown, SHEET)))
            value = figure.value if figure.is_settled else None
            ends = (line, base), (start, y)
            self._dimensions.append(Dimension(*ends, line, True, text, value, tuple(items), is_broken=True))
            before = y
        name = Text((line + 2.6, base - 2.6 - BODY * 0.8), floor, BODY, Anchor.END)
        self._dimensions += [
            *(Polyline(((line - 7.4 + n * 2.2, base), (line - 9.0 + n * 2.2, base - 1.6)), Pen.THIN) for n in range(5)),
            Polyline(((line - 9.0, base), (line + 2.6, base)), Pen.CUT),
            Polyline(((line - _TICK * 0.7, base - _TICK * 0.7), (line + _TICK * 0.7, base + _TICK * 0.7)), Pen.EDGE),
            name,
        ]
        self._edge["left"] = min(line - 4.0 - max(widths), text_box(name, SHEET).left)

    def letter(self, along: float, across: float, text: str) -> None:
        """A letter in a circle, over all else."""
        x, y = self.point(along, across)
        size = 2.8
        self.overlays += [
            Circle((x, y), 2.2, Fill.PAPER, Pen.EDGE),
            Text((x, y - size * 0.36), text, size, Anchor.MIDDLE, Ink.STRONG),
        ]

    def _dimension(self, span: Span, along: _Along) -> Dimension:
        a, b = span.start / self.scale, span.end / self.scale
        at, out, line = along.at, along.out, along.line
        items: list[Item] = []
        for end in (a, b):
            tick = _TICK * 0.7
            items.append(Polyline((at(end - tick, -tick), at(end + tick, tick)), Pen.EDGE))
            items.append(Polyline((at(end, along.start - line), at(end, out * _BEYOND)), Pen.THIN))
        known = span.is_known and (span.figure is None or span.figure.is_settled)
        items.append(Polyline((at(a, 0), at(b, 0)), Pen.THIN if known else Pen.UNKNOWN))
        off = out * ((1.0 if not along.upright else 1.9) + along.clear)
        if along.is_pushed:
            items.append(Polyline((at(along.middle, 0), at(along.place, off - out * 0.9)), Pen.THIN))
        if along.is_turned:
            off = (1.5 + _DIM * 0.73 if out > 0 else -2.1) if along.clear else -0.9
            text = Text((line + off, along.place), span.text, _DIM, Anchor.MIDDLE, span.ink, turned=True)
        elif along.upright:
            anchor = Anchor.START if out > 0 else Anchor.END
            text = Text((line + off, along.place - _DIM * 0.36), span.text, _DIM, anchor, span.ink)
        else:
            y = line + off if out > 0 else line + off - _DIM * 0.73
            text = Text((along.place, y), span.text, _DIM, Anchor.MIDDLE, span.ink)
        items.append(text)
        if span.figure is not None:
            self.marks.append((span.figure.key, text_box(text, SHEET)))
        value = None if span.figure is None or not known else span.figure.value
        first = (along.start, a) if along.upright else (a, along.start)
        second = (along.start, b) if along.upright else (b, along.start)
        return Dimension(first, second, line, along.upright, span.text, value, tuple(items))

    def footprint(self) -> Box:
        """What outlines and dimensions take on paper."""
        return box_of((*self.shapes, *self._dimensions, *self.overlays), SHEET)

    def view(
        self,
        title: str,
        words: str,
        at: Point,
        changed: frozenset[str],
        *,
        column: Box | None = None,
        column_left: bool = True,
    ) -> tuple[View, tuple[Callout, ...]]:
        """The view with its origin at a point of the sheet, its words in a column, and the words without room there."""
        items: list[Item] = list(moved((*self.shapes,), at))
        if self._dimensions:
            items.append(Group("dimensions", moved(self._dimensions, at), layer=Layer.DIMENSION))
        marks = [(key, _box_moved(box, at)) for key, box in self.marks]
        rest: tuple[Callout, ...] = tuple(self.callouts)
        if column is not None:
            made, more, rest = _column(self.callouts, at, column, on_left=column_left)
            items.append(Group("", tuple(made), layer=Layer.TEXT))
            marks += more
        if self.overlays:
            items.append(Group("", moved(self.overlays, at), layer=Layer.TEXT))
        items += [cloud(box) for key, box in marks if key in changed]
        box = box_of(items, SHEET)
        return View(title, box, self.scale, tuple(items), words), rest


def _box_moved(box: Box, by: Point) -> Box:
    return Box(box.left + by[0], box.bottom + by[1], box.right + by[0], box.top + by[1])


def _column(
    callouts: Sequence[Callout], at: Point, column: Box, *, on_left: bool
) -> tuple[list[Item], list[tuple[str, Box]], tuple[Callout, ...]]:
    """Words in one column in the order of what they name, with leaders; those of highest rank go where room lacks."""
    kept = sorted(callouts, key=lambda item: item.rank)
    left_out: list[Callout] = []

    while kept and column_needed(kept, column.width) > column.height:
        left_out.insert(0, kept.pop())
    sign = 1 if on_left else -1
    near, knee = (column.right + 0.8, column.right + 3.5) if on_left else (column.left - 0.8, column.left - 3.5)
    ordered, centres = _uncrossed(
        sorted(kept, key=lambda item: (item.at[1], sign * item.at[0], item.text)), at, column, knee
    )
    rows = [_folded_in(item, column.width) for item in ordered]
    heights = [column_height(len(row)) for row in rows]
    items: list[Item] = []
    marks: list[tuple[str, Box]] = []
    for item, row, height, centre in zip(ordered, rows, heights, centres, strict=True):
        target = (item.at[0] + at[0], item.at[1] + at[1])
        items.append(Circle(target, 0.45, Fill.INK))
        items.append(Polyline((target, (knee, centre), (near, centre)), Pen.THIN))
        lines = []
        for number, line in enumerate(row):
            spot = (column.right if on_left else column.left, centre + height / 2 - BODY * (0.78 + 1.22 * number))
            lines.append(Text(spot, line, BODY, Anchor.END if on_left else Anchor.START, item.ink))
        items += lines
        marks += [(key, box_of(lines, SHEET)) for key in item.keys]
    return items, marks, tuple(left_out)


def _uncrossed(ordered: list[Callout], at: Point, column: Box, knee: float) -> tuple[list[Callout], Sequence[float]]:
    """Words in an order in which no two leaders cross, where exchanging neighbours finds one; and their centres."""

    def centres_of(order: Sequence[Callout]) -> list[float]:
        sizes = [column_height(len(_folded_in(item, column.width))) for item in order]
        # exchanged words want to stand in the order that they are in now
        wanted = [item.at[1] + at[1] for item in order]
        for number in range(1, len(wanted)):
            wanted[number] = max(wanted[number], wanted[number - 1])
        return _within(wanted, sizes, column.bottom, column.top)

    def crossings(order: Sequence[Callout], centres: Sequence[float]) -> int:
        ends = [((item.at[0] + at[0], item.at[1] + at[1]), (knee, y)) for item, y in zip(order, centres, strict=True)]
        return sum(_cross(*one, *other) for one, other in combinations(ends, 2))

    centres = centres_of(ordered)
    count = crossings(ordered, centres)
    for _ in range(len(ordered)):
        if count == 0:
            break
        tries = []
        for number in range(len(ordered) - 1):
            other = [*ordered[:number], ordered[number + 1], ordered[number], *ordered[number + 2 :]]
            moved_to = centres_of(other)
            tries.append((crossings(other, moved_to), number, other, moved_to))
        best = min(tries, key=lambda one: one[:2])
        if best[0] >= count:
            break
        count, _, ordered, centres = best
    return ordered, centres


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two straight lines cross inside of both."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def column_needed(callouts: Sequence[Callout], width: float) -> float:
    """How high a column has to be for words [mm]."""
    return sum(column_height(len(_folded_in(item, width))) + _CALLOUT_GAP for item in callouts)


def _folded_in(item: Callout, width: float) -> tuple[str, ...]:
    room = width * (1.0 if item.ink is Ink.PLAIN else 0.92)  # bold letters are wider
    return folded(item.text, room, BODY, 6)


def _within(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Centres near those wanted, in their order, apart, and between two ends (which have room for all)."""
    centres = list(spread(wanted, sizes, _CALLOUT_GAP))
    floor = low
    for number, size in enumerate(sizes):
        centres[number] = max(centres[number], floor + size / 2)
        floor = centres[number] + size / 2 + _CALLOUT_GAP
    roof = high
    for number in reversed(range(len(sizes))):
        centres[number] = min(centres[number], roof - sizes[number] / 2)
        roof = centres[number] - sizes[number] / 2 - _CALLOUT_GAP
    return centres
