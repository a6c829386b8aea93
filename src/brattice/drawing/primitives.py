# SPDX-License-Identifier: Apache-2.0
"""What a drawing is made of, in millimetres of paper, x to the right and y up; writers turn it into SVG, PDF or DXF.

A drawing carries its scale, so that a writer that wants real lengths can multiply by it. Texts are final: no writer
makes, rounds or shortens one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from brattice.drawing.metrics import SANS, FontMetrics, text_width

__all__ = [
    "Anchor",
    "Box",
    "Circle",
    "Dimension",
    "Drawing",
    "Fill",
    "Group",
    "Ink",
    "Item",
    "Layer",
    "Pen",
    "Point",
    "Polygon",
    "Polyline",
    "Text",
    "box_of",
    "flat",
    "rectangle",
    "text_box",
]

Point = tuple[float, float]


class Pen(StrEnum):
    """Kinds of line; each writer has one table of widths for them."""

    FRAME = "frame"
    """The frame of a sheet and of its title block: heavier than anything drawn within."""
    CUT = "cut"
    """What the cutting plane goes through: the heaviest."""
    EDGE = "edge"
    """What is seen behind the cut."""
    THIN = "thin"
    """Dimension lines, leaders, layers within a cut."""
    FAINT = "faint"
    """Ducts on a plan, frames: what is there for orientation."""
    AXIS = "axis"
    """Axes and blade lines: long dash, dot."""
    UNKNOWN = "unknown"
    """Where the place or size of an edge is not known: dashed."""
    WRONG = "wrong"
    """Where something is wrong as stated."""


class Fill(StrEnum):
    """What a surface is filled with: hatches of cut materials, ratings of barriers, tones of states."""

    NONE = "none"
    PAPER = "paper"
    METAL = "metal"
    CONCRETE = "concrete"
    MASONRY = "masonry"
    BOARD = "board"
    WOOL = "wool"
    TIMBER = "timber"
    OTHER = "other"
    SEAL = "seal"
    DUCT = "duct"
    RATING_UNKNOWN = "rating-unknown"
    RATING_NONE = "rating-none"
    RATING_LOW = "rating-low"
    RATING_MID = "rating-mid"
    RATING_HIGH = "rating-high"
    RED = "red"
    AMBER = "amber"
    YELLOW = "yellow"
    VIOLET = "violet"
    BLUE = "blue"
    TEAL = "teal"
    GREEN = "green"
    GREY = "grey"
    INK = "ink"


class Ink(StrEnum):
    """How a text stands out."""

    PLAIN = "plain"
    QUIET = "quiet"
    STRONG = "strong"
    WRONG = "wrong"


class Layer(StrEnum):
    """What a thing on a sheet belongs to; writers that know layers (DXF) keep them apart by these names."""

    NONE = ""
    BARRIER = "barrier"
    LINING = "lining"
    DUCT = "duct"
    DAMPER = "damper"
    SEAL = "seal"
    FIXING = "fixing"
    SUPPORT = "support"
    ACCESS = "access"
    NEIGHBOUR = "neighbour"
    DIMENSION = "dimension"
    TEXT = "text"
    FRAME = "frame"


class Anchor(StrEnum):
    """Which end of a text its point is."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True)
class Polyline:
    """An open line through points (a plain line has two)."""

    points: tuple[Point, ...]
    pen: Pen


@dataclass(frozen=True)
class Polygon:
    """A closed outline (first ring) with holes, filled and with a line round it unless `pen` is None."""

    rings: tuple[tuple[Point, ...], ...]
    fill: Fill
    pen: Pen | None = None


@dataclass(frozen=True)
class Circle:
    """A circle, filled and with a line round it unless `pen` is None."""

    centre: Point
    radius: float
    fill: Fill
    pen: Pen | None = None


@dataclass(frozen=True)
class Text:
    """One line of text on the base line at a point; `size` is the font size. `turned` reads from below to above."""

    at: Point
    text: str
    size: float
    anchor: Anchor = Anchor.START
    ink: Ink = Ink.PLAIN
    turned: bool = False

    def width(self, metrics: FontMetrics = SANS) -> float:
        """The length of the text along its own base line."""
        return text_width(self.text, self.size, metrics, bold=self.ink in {Ink.STRONG, Ink.WRONG})


@dataclass(frozen=True)
class Group:
    """Things that belong together: `label` says in words what they show, `link` names what they stand for."""

    label: str
    items: tuple[Item, ...]
    link: str = ""
    layer: Layer = Layer.NONE


@dataclass(frozen=True)
class Dimension:
    """A linear dimension: the two points that are measured, where its line runs, and its final text.

    It measures along x, or along y if `upright`; `line` is the y (or x) of the dimension line. `items` are how it is
    drawn by writers that know no dimensions; `value_mm` is the real length that a writer of real dimensions states
    [mm], None where it is not known (the text then says so). `is_broken` says that its line is broken on paper: what
    is drawn is shorter than what is measured, and the second point alone lies where it is.
    """

    first: Point
    second: Point
    line: float
    upright: bool
    text: str
    value_mm: float | None
    items: tuple[Item, ...]
    is_broken: bool = False


Item = Polyline | Polygon | Circle | Text | Group | Dimension


@dataclass(frozen=True)
class Box:
    """An upright rectangle."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    def grown(self, by: float) -> Box:
        """The box with so much more on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def meets(self, other: Box) -> bool:
        """Whether the two share an area; touching edges do not count."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def holds(self, other: Box, slack: float = 1e-9) -> bool:
        """Whether the other lies within, edges included."""
        return (
            self.left - slack <= other.left
            and self.bottom - slack <= other.bottom
            and other.right <= self.right + slack
            and other.top <= self.top + slack
        )


@dataclass(frozen=True)
class Drawing:
    """A drawing: title, what it shows in words, its paper, its items, and its scale 1 : `denominator`."""

    title: str
    words: str
    frame: Box
    items: tuple[Item, ...]
    denominator: float


def rectangle(left: float, bottom: float, right: float, top: float) -> tuple[Point, ...]:
    """The four corners of an upright rectangle, as a ring."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def flat(items: Iterable[Item]) -> Iterator[Item]:
    """All items with those of groups and dimensions in their place."""
    for item in items:
        if isinstance(item, Group | Dimension):
            yield from flat(item.items)
        else:
            yield item


def text_box(item: Text, metrics: FontMetrics = SANS) -> Box:
    """The box of a text: as long as the metrics say, from the depth below its base line to the height of capitals."""
    width = item.width(metrics)
    start = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[item.anchor]
    up, down = item.size * metrics.cap_height / 1000, item.size * metrics.depth / 1000
    x, y = item.at
    if item.turned:
        return Box(x - up, y + start, x + down, y + start + width)
    return Box(x + start, y - down, x + start + width, y + up)


def box_of(items: Iterable[Item], metrics: FontMetrics = SANS) -> Box:
    """The smallest box that holds all items, texts as wide as the metrics say; an empty box at 0 for nothing."""
    boxes: list[Box] = []
    for item in flat(items):
        if isinstance(item, Text):
            boxes.append(text_box(item, metrics))
        elif isinstance(item, Circle):
            (x, y), r = item.centre, item.radius
            boxes.append(Box(x - r, y - r, x + r, y + r))
        elif not isinstance(item, Group | Dimension):
            points = item.points if isinstance(item, Polyline) else tuple(p for ring in item.rings for p in ring)
            if points:
                xs, ys = [p[0] for p in points], [p[1] for p in points]
                boxes.append(Box(min(xs), min(ys), max(xs), max(ys)))
    if not boxes:
        return Box(0, 0, 0, 0)
    return Box(
        min(box.left for box in boxes),
        min(box.bottom for box in boxes),
        max(box.right for box in boxes),
        max(box.top for box in boxes),
    )
