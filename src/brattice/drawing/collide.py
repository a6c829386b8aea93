# SPDX-License-Identifier: Apache-2.0
"""Whether the texts of a drawing can be read: none on another, none off its paper or its box, none under a line.

Texts are as long as the widest font makes them (`SHEET_FONT`), so that a drawing without a collision here has none in
any output.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from brattice.drawing.metrics import FontMetrics
from brattice.drawing.primitives import (
    Box,
    Circle,
    Drawing,
    Fill,
    Item,
    Pen,
    Point,
    Polygon,
    Polyline,
    Text,
    flat,
    rectangle,
    text_box,
)
from brattice.drawing.sheet import areas_of
from brattice.drawing.sheet_font import SHEET_FONT
from brattice.drawing.views import Sheet

__all__ = ["HEAVY", "Collision", "collisions", "sheet_collisions"]

HEAVY = frozenset({Pen.FRAME, Pen.CUT, Pen.EDGE, Pen.WRONG})
"""The pens whose lines make a text hard to read."""

_Floats = NDArray[np.float64]
_ROUND = 24


@dataclass(frozen=True)
class Collision:
    """One collision: the text, what it meets in words, and the box of the text [mm]."""

    text: str
    meets: str
    box: Box

    def __str__(self) -> str:
        """As a sentence."""
        return f"“{self.text}” at {self.box.left:.1f}, {self.box.bottom:.1f} {self.meets}"


def collisions(
    drawing: Drawing,
    *,
    metrics: FontMetrics = SHEET_FONT,
    apart: float = 0.2,
    heavy: frozenset[Pen] = frozenset(),
) -> tuple[Collision, ...]:
    """What is wrong with the texts of a drawing, in the order of its texts.

    Parameters
    ----------
    drawing : its frame is the room that no text may leave
    metrics : how wide letters are
    apart : the least clear distance of two texts [mm]
    heavy : pens whose lines may not run through a text (`HEAVY`, or none); a line that a later surface of paper hides
        under the text does not count
    """
    things = list(flat(drawing.items))
    texts = [(place, item) for place, item in enumerate(things) if isinstance(item, Text) and item.text.strip()]
    boxes = [text_box(item, metrics) for _, item in texts]
    found: list[tuple[int, Collision]] = []
    for number, (_, item) in enumerate(texts):
        if not drawing.frame.holds(boxes[number]):
            found.append((number, Collision(item.text, "leaves the paper", boxes[number])))
    found += _between_texts([item for _, item in texts], boxes, apart)
    if heavy:
        found += _under_lines(things, texts, boxes, heavy)
    return tuple(collision for _, collision in sorted(found, key=lambda pair: pair[0]))


def sheet_collisions(
    sheet: Sheet, *, metrics: FontMetrics = SHEET_FONT, apart: float = 0.2, heavy: frozenset[Pen] = HEAVY
) -> tuple[Collision, ...]:
    """`collisions` of a whole sheet, and texts of a view that leave its box, or of the sheet that leave its frame."""
    found = list(collisions(sheet.drawing(), metrics=metrics, apart=apart, heavy=heavy))
    for view in sheet.views:
        found += _leaving(view.items, view.box, f"leaves the view “{view.title}”", metrics)
    found += _leaving(sheet.items, areas_of(sheet.paper).frame, "leaves the frame of the sheet", metrics)
    return tuple(found)


def _leaving(items: Iterable[Item], room: Box, words: str, metrics: FontMetrics) -> Iterator[Collision]:
    for item in flat(items):
        if isinstance(item, Text) and item.text.strip():
            box = text_box(item, metrics)
            if not room.holds(box):
                yield Collision(item.text, words, box)


def _as_array(boxes: Sequence[Box]) -> _Floats:
    return np.array([(box.left, box.bottom, box.right, box.top) for box in boxes], dtype=np.float64).reshape(-1, 4)


def _between_texts(texts: Sequence[Text], boxes: Sequence[Box], apart: float) -> Iterator[tuple[int, Collision]]:
    """Pairs of texts that are too near, each pair once: the boxes by their left edges, only neighbours compared."""
    sides = _as_array(boxes)
    order = np.argsort(sides[:, 0], kind="stable")
    sides = sides[order]
    ends = np.searchsorted(sides[:, 0], sides[:, 2] + apart - 1e-9, side="left")
    for n in range(len(order)):
        near = sides[n + 1 : ends[n]]
        meets = (near[:, 1] < sides[n, 3] + apart - 1e-9) & (sides[n, 1] < near[:, 3] + apart - 1e-9)
        for other in np.flatnonzero(meets):
            a, b = sorted((int(order[n]), int(order[n + 1 + other])))
            yield b, Collision(texts[b].text, f"meets the text “{texts[a].text}”", boxes[b])


def _segments(things: Sequence[Item], heavy: frozenset[Pen]) -> Iterator[tuple[int, Pen, Point, Point]]:
    for place, item in enumerate(things):
        if isinstance(item, Polyline) and item.pen in heavy:
            yield from ((place, item.pen, a, b) for a, b in pairwise(item.points))
        elif isinstance(item, Polygon) and item.pen is not None and item.pen in heavy:
            for ring in item.rings:
                yield from ((place, item.pen, a, b) for a, b in pairwise((*ring, *ring[:1])))
        elif isinstance(item, Circle) and item.pen is not None and item.pen in heavy:
            (x, y), r = item.centre, item.radius
            turn = np.linspace(0, 2 * np.pi, _ROUND + 1)
            round_it = [(x + r * float(np.cos(t)), y + r * float(np.sin(t))) for t in turn]
            yield from ((place, item.pen, a, b) for a, b in pairwise(round_it))


def _under_lines(
    things: Sequence[Item],
    texts: Sequence[tuple[int, Text]],
    boxes: Sequence[Box],
    heavy: frozenset[Pen],
) -> Iterator[tuple[int, Collision]]:
    lines = list(_segments(things, heavy))
    if not lines:
        return
    places = np.array([line[0] for line in lines])
    a = np.array([line[2] for line in lines], dtype=np.float64)
    b = np.array([line[3] for line in lines], dtype=np.float64)
    covers = [(place, thing) for place, thing in enumerate(things) if _is_paper(thing)]
    for number, (_, item) in enumerate(texts):
        hits = _crossing(a, b, boxes[number])
        if not hits.any():
            continue
        hidden = max((place for place, cover in covers if _covers(cover, boxes[number])), default=-1)
        seen = np.flatnonzero(hits & (places >= hidden))
        if seen.size:
            pen = lines[int(seen[0])][1]
            yield number, Collision(item.text, f"lies under a line ({pen})", boxes[number])


def _is_paper(item: Item) -> bool:
    """Whether the thing is a surface of paper without holes, which hides what lies below."""
    if isinstance(item, Circle):
        return item.fill is Fill.PAPER
    return isinstance(item, Polygon) and item.fill is Fill.PAPER and len(item.rings) == 1 and len(item.rings[0]) > 2


def _covers(item: Item, box: Box) -> bool:
    """Whether a box lies within a circle or within a convex outline."""
    corners = rectangle(box.left, box.bottom, box.right, box.top)
    if isinstance(item, Circle):
        return all(math.dist(item.centre, corner) <= item.radius for corner in corners)
    if not isinstance(item, Polygon):
        return False
    ring = item.rings[0]
    sides = list(pairwise((*ring, ring[0])))
    turns = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for (ax, ay), (bx, by) in sides for x, y in (*ring, *corners)]
    return all(turn >= -1e-9 for turn in turns) or all(turn <= 1e-9 for turn in turns)


def _crossing(a: _Floats, b: _Floats, box: Box) -> NDArray[np.bool_]:
    """Which segments run through the inside of a box: separating axes, the two of the box and the segment's normal."""
    low, high = np.minimum(a, b), np.maximum(a, b)
    near = (
        (low[:, 0] < box.right) & (high[:, 0] > box.left) & (low[:, 1] < box.top) & (high[:, 1] > box.bottom)
    )  # a level or upright segment on an edge does not count
    if not near.any():
        return near
    middle = np.array([(box.left + box.right) / 2, (box.bottom + box.top) / 2])
    along = b - a
    off = np.abs(along[:, 0] * (middle[1] - a[:, 1]) - along[:, 1] * (middle[0] - a[:, 0]))
    reach = np.abs(along[:, 1]) * box.width / 2 + np.abs(along[:, 0]) * box.height / 2
    answer: NDArray[np.bool_] = near & ((off < reach - 1e-9) | (reach == 0))
    return answer
