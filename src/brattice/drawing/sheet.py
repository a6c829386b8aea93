# SPDX-License-Identifier: Apache-2.0
"""The paper of a sheet: its frame, its title block, and the areas that are free for what is drawn.

Frame: borders, centring marks, fields of reference and trimming marks after ISO 5457; title block: fields after
ISO 7200. The numbers are those of the standards as far as memory goes (see docs/drawings.md) and are layout alone:
nothing is judged by them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from brattice.drawing.lettering import LETTERS
from brattice.drawing.metrics import text_width, wrapped
from brattice.drawing.primitives import (
    Anchor,
    Box,
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
from brattice.drawing.views import Paper

__all__ = [
    "TITLE_HEIGHT_MM",
    "TITLE_WIDTH_MM",
    "SheetAreas",
    "TitleBlock",
    "areas_of",
    "columns",
    "fitted",
    "frame_items",
    "rows",
    "sheet_frame",
    "title_block",
]

# ISO 5457, from memory: the filing margin on the left, the others, the width of the border of reference fields, the
# length of a field from the axis outwards, the length of a centring mark, the arms of a trimming mark.
_LEFT, _OTHER, _REFERENCE, _FIELD, _CENTRE, _TRIM = 20.0, 10.0, 5.0, 50.0, 10.0, (10.0, 5.0)
_REFERENCE_TEXT = 3.5

TITLE_WIDTH_MM = 180.0
"""The width of the title block [mm]: ISO 7200, from memory; it fills an A4 sheet from margin to margin."""
TITLE_HEIGHT_MM = 40.0
"""The height of the title block [mm]: four rows of ten."""
_ROW = TITLE_HEIGHT_MM / 4
_NOTE = 6.0
_CAPTION, _VALUE, _LEAST_VALUE = 2.55, 3.0, 2.55
_PAD = 1.2
_BODY_PAD = 3.0


@dataclass(frozen=True)
class TitleBlock:
    """What stands in a title block, all texts final; "" leaves the field open for a hand.

    `owner` is the legal owner or the job, `number` what identifies the sheet, `sheet` like "3 of 12". `note` stands
    where nobody can miss it (that the data are invented, say).
    """

    owner: str
    number: str
    title: str
    supplementary: str = ""
    revision: str = ""
    issued: str = ""
    sheet: str = ""
    kind: str = ""
    status: str = ""
    department: str = ""
    reference: str = ""
    drawn: str = ""
    checked: str = ""
    approved: str = ""
    scale: str = ""
    note: str = ""


@dataclass(frozen=True)
class SheetAreas:
    """The areas of a sheet: within its frame, the title block, and what is free for views and for words.

    `views` and `words` share no area with each other or with the title block. On A3 the words stand in a column
    above the title block (and its note); on A4 they lie below the views. `views` and `words` keep some room from the
    frame.
    """

    frame: Box
    title: Box
    views: Box
    words: Box


def areas_of(paper: Paper) -> SheetAreas:
    """The areas of a sheet of this paper."""
    frame = _frame_box(paper)
    title = Box(frame.right - TITLE_WIDTH_MM, frame.bottom, frame.right, frame.bottom + TITLE_HEIGHT_MM)
    if frame.width - TITLE_WIDTH_MM > TITLE_WIDTH_MM / 2:
        views = Box(frame.left, frame.bottom, title.left, frame.top)
        words = Box(title.left, title.top + _NOTE, frame.right, frame.top)
    else:
        cut = title.top + _NOTE + (frame.top - title.top - _NOTE) * 0.4
        views = Box(frame.left, cut, frame.right, frame.top)
        words = Box(frame.left, title.top + _NOTE, frame.right, cut)
    return SheetAreas(frame, title, views.grown(-_BODY_PAD), words.grown(-_BODY_PAD))


def columns(box: Box, shares: Sequence[float], gap: float = 0.0) -> tuple[Box, ...]:
    """The box cut from left to right into widths in these shares, a gap [mm] between two."""
    room, left, cut = box.width - gap * (len(shares) - 1), box.left, []
    for share in shares:
        width = room * share / sum(shares)
        cut.append(Box(left, box.bottom, left + width, box.top))
        left += width + gap
    return tuple(cut)


def rows(box: Box, shares: Sequence[float], gap: float = 0.0) -> tuple[Box, ...]:
    """The box cut from above to below into heights in these shares, a gap [mm] between two."""
    room, top, cut = box.height - gap * (len(shares) - 1), box.top, []
    for share in shares:
        height = room * share / sum(shares)
        cut.append(Box(box.left, top - height, box.right, top))
        top -= height + gap
    return tuple(cut)


def _frame_box(paper: Paper) -> Box:
    return Box(_LEFT, _OTHER, paper.width - _OTHER, paper.height - _OTHER)


def sheet_frame(paper: Paper, block: TitleBlock) -> tuple[Item, ...]:
    """Frame and title block of a sheet."""
    return (*frame_items(paper), *title_block(block, areas_of(paper).title))


def frame_items(paper: Paper) -> tuple[Item, ...]:
    """The frame of a sheet: its line, the fields of reference, centring and trimming marks."""
    frame = _frame_box(paper)
    outer = frame.grown(_REFERENCE)
    items: list[Item] = list(_trimming(paper))
    items.append(Polygon((rectangle(outer.left, outer.bottom, outer.right, outer.top),), Fill.NONE, Pen.EDGE))
    items += _fields(paper, frame, outer)
    items.append(Polygon((rectangle(frame.left, frame.bottom, frame.right, frame.top),), Fill.NONE, Pen.FRAME))
    x, y = paper.width / 2, paper.height / 2
    inwards = _CENTRE - _REFERENCE - _BODY_PAD
    items += [
        Polyline(((outer.left, y), (frame.left + inwards, y)), Pen.FRAME),
        Polyline(((outer.right, y), (frame.right - inwards, y)), Pen.FRAME),
        Polyline(((x, outer.top), (x, frame.top - inwards)), Pen.FRAME),
        Polyline(((x, outer.bottom), (x, frame.bottom)), Pen.FRAME),
    ]
    return (Group("", tuple(items), layer=Layer.FRAME),)


def _trimming(paper: Paper) -> Iterator[Item]:
    """Two filled rectangles that overlap in each corner, where the sheet is cut."""
    long, short = _TRIM[0] / 2, _TRIM[1] / 2
    for right in (False, True):
        for top in (False, True):
            for a, b in ((long, short), (short, long)):
                x = paper.width - a if right else 0.0
                y = paper.height - b if top else 0.0
                yield Polygon((rectangle(x, y, x + a, y + b),), Fill.INK)


def _cuts(middle: float, start: float, end: float) -> list[float]:
    """Where the fields of reference end: from the axis outwards, what is left over goes to those at the corners."""
    half = round(middle / _FIELD)
    inner = [middle + _FIELD * n for n in range(1 - half, half)]
    return [start, *inner, end]


def _fields(paper: Paper, frame: Box, outer: Box) -> Iterator[Item]:
    both = paper.width > paper.height  # an A4 sheet has its fields above and on the right alone
    middle = _REFERENCE / 2
    drop = _REFERENCE_TEXT * 0.36
    along = _cuts(paper.width / 2, frame.left, frame.right)
    for number, (a, b) in enumerate(pairwise(along), start=1):
        for edge, far, is_shown in ((frame.top, outer.top, True), (frame.bottom, outer.bottom, both)):
            if is_shown:
                y = (edge + far) / 2 - drop
                yield Text(((a + b) / 2, y), str(number), _REFERENCE_TEXT, Anchor.MIDDLE, Ink.QUIET)
                if number > 1:
                    yield Polyline(((a, edge), (a, far)), Pen.EDGE)
    up = _cuts(paper.height / 2, frame.bottom, frame.top)
    for letter, (b, a) in zip(LETTERS, pairwise(reversed(up)), strict=False):
        for edge, far, is_shown in ((frame.right, outer.right, True), (frame.left, outer.left, both)):
            if is_shown:
                x = edge + middle if far > edge else edge - middle
                yield Text((x, (a + b) / 2 - drop), letter, _REFERENCE_TEXT, Anchor.MIDDLE, Ink.QUIET)
                if a > frame.bottom:
                    yield Polyline(((edge, a), (far, a)), Pen.EDGE)


def fitted(
    text: str, width: float, height: float, size: float, least: float, *, bold: bool = False
) -> tuple[float, tuple[str, ...]]:
    """The largest font size [mm] from `size` down to `least` at which a text fits a box, and its lines there.

    Where even the least is too large the last line ends in "…"; () where there is no room for one line.
    """
    tried = size
    while True:
        most = int((height + 0.3 * tried) / (1.3 * tried))
        lines = wrapped(text, width, tried, most, SHEET_FONT, bold=bold) if most > 0 else ()
        is_whole = " ".join(lines) == " ".join(text.split())
        if is_whole or tried <= least:
            return tried, lines
        tried = max(least, tried - 0.2)


def title_block(block: TitleBlock, box: Box) -> tuple[Item, ...]:
    """The title block in its box, and its note in a strip on top of that.

    Texts are broken between words and made smaller before anything is cut off.
    """
    items: list[Item] = [
        Polygon((rectangle(box.left, box.bottom, box.right, box.top),), Fill.PAPER, Pen.FRAME),
    ]
    a, b, c = box.left, box.left + 44, box.left + 122
    tops = [box.top - _ROW * n for n in range(5)]
    cells: list[tuple[float, float, int, int, str, str, bool]] = [
        (a, b, 0, 1, "Responsible department", block.department, False),
        (b, b + 39, 0, 1, "Technical reference", block.reference, False),
        (b + 39, c, 0, 1, "Document type", block.kind, False),
        (c, box.right, 0, 1, "Status", block.status, True),
        (a, b, 1, 2, "Drawn", block.drawn, False),
        (c, box.right, 1, 2, "Number", block.number, True),
        (a, b, 2, 3, "Checked", block.checked, False),
        (c, c + 28, 2, 3, "Scale", block.scale, False),
        (c + 28, box.right, 2, 3, "Date of issue", block.issued, False),
        (a, b, 3, 4, "Approved", block.approved, False),
        (b, c, 3, 4, "Legal owner, job", block.owner, True),
        (c, c + 28, 3, 4, "Revision", block.revision, True),
        (c + 28, box.right, 3, 4, "Sheet", block.sheet, False),
    ]
    for left, right, first, last, caption, value, bold in cells:
        items += _cell(Box(left, tops[last], right, tops[first]), caption, value, bold=bold)
    items += _titles(Box(b, tops[3], c, tops[1]), block)
    if block.note:
        size, lines = fitted(block.note, box.width - 2 * _PAD, 5.0, 3.2, 2.4, bold=True)
        strip = Box(box.left, box.top, box.right, box.top + _NOTE)
        items.append(Polygon((rectangle(strip.left, strip.bottom, strip.right, strip.top),), Fill.PAPER, Pen.FRAME))
        middle = (strip.left + strip.right) / 2, (strip.bottom + strip.top) / 2 - size * 0.36
        items += [Text(middle, line, size, Anchor.MIDDLE, Ink.STRONG) for line in lines[:1]]
    return (Group("Title block", tuple(items), layer=Layer.FRAME),)


def _outline(box: Box) -> Item:
    return Polygon((rectangle(box.left, box.bottom, box.right, box.top),), Fill.NONE, Pen.EDGE)


def _cell(box: Box, caption: str, value: str, *, bold: bool) -> Iterator[Item]:
    yield _outline(box)
    yield Text((box.left + _PAD, box.top - _PAD - _CAPTION * 0.72), caption, _CAPTION, ink=Ink.QUIET)
    below = box.top - _PAD - _CAPTION - 0.5
    yield from _block(Box(box.left + _PAD, box.bottom + 0.7, box.right - _PAD, below), value, _VALUE, bold=bold)


def _titles(box: Box, block: TitleBlock) -> Iterator[Item]:
    yield _outline(box)
    yield Text((box.left + _PAD, box.top - _PAD - _CAPTION * 0.72), "Title", _CAPTION, ink=Ink.QUIET)
    inner = Box(box.left + _PAD, box.bottom + 0.8, box.right - _PAD, box.top - _PAD - _CAPTION - 0.6)
    if not block.supplementary:
        yield from _block(inner, block.title, 4.2, bold=True)
        return
    cut = inner.bottom + inner.height * 0.46
    yield from _block(Box(inner.left, cut, inner.right, inner.top), block.title, 4.2, bold=True)
    yield from _block(Box(inner.left, inner.bottom, inner.right, cut - 0.4), block.supplementary, 2.8, bold=False)


def _block(box: Box, text: str, size: float, *, bold: bool) -> Iterator[Item]:
    """A text in a box from its top."""
    ink = Ink.STRONG if bold else Ink.PLAIN
    used, lines = fitted(text, box.width, box.height, size, min(size, _LEAST_VALUE), bold=bold)
    first: Point = (box.left, box.top - used * 0.74)
    for number, line in enumerate(lines):
        assert text_width(line, used, SHEET_FONT, bold=bold) <= box.width + 1e-9
        yield Text((first[0], first[1] - number * 1.3 * used), line, used, Anchor.START, ink)
