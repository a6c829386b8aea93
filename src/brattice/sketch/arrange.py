# SPDX-License-Identifier: Apache-2.0
"""Where the views of an installation stand and how large: section, face and access in a band, the edge by itself.

Every view has the largest usual scale at which it fits with its dimensions and words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from brattice.details.detail import InstallationDetail
from brattice.drawing.primitives import Box, Ink, Item, Text
from brattice.drawing.views import View
from brattice.quantities import number_text
from brattice.sketch.cuts import (
    access_notes,
    access_size,
    access_words_on_left,
    draw_access,
    draw_section,
    section_size,
)
from brattice.sketch.edge import EDGE_ASIDE, EDGE_LETTER, draw_edge, edge_size, edge_words, gap_words
from brattice.sketch.face import draw_face, face_notes, face_size
from brattice.sketch.shape import Shape
from brattice.sketch.texts import folded
from brattice.sketch.viewing import Canvas, column_height, column_needed, text_items

__all__ = ["Band", "Placed", "band_height", "joined", "place_access", "place_band", "place_edge"]

_SCALES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0)
_BETWEEN = (2.5, 15.0, 25.0)
_TITLE = 3.4
_QUIET = 2.55
_LEADERS = 5.0
_SMALL_ENOUGH = 50.0
_LEAST_BAND = 80.0
_TWO_LINES = 12.5
_LEAST_GAP = 3.0
_LEAST_FACE = 46.0
_LEAST_SECTION = 26.0
_MOST_GAP = 14.0
_BESIDE_ACCESS = 2.5
"""How much smaller the access may be than the section before a smaller scale is taken for all."""


@dataclass(frozen=True)
class Placed:
    """Views at their places, their titles and notes, words that found no room, and how far down they reach."""

    views: tuple[View, ...]
    items: tuple[Item, ...]
    words: tuple[str, ...]
    bottom: float


def joined(parts: Iterable[Placed]) -> Placed:
    """Several as one."""
    every = tuple(parts)
    return Placed(
        tuple(view for part in every for view in part.views),
        tuple(item for part in every for item in part.items),
        tuple(text for part in every for text in part.words),
        min(part.bottom for part in every),
    )


def _scales_from(size: float) -> tuple[float, ...]:
    """Usual scales (ISO 5455, from memory, with three between) from one at which a size [mm at 1:1] may fit."""
    return tuple(scale for scale in sorted((*_SCALES, *_BETWEEN)) if scale >= size)


def _title_room(notes: Sequence[str], width: float) -> float:
    """How high title and notes below a view are [mm]."""
    rows = [row for note in notes for row in folded(note, width, _QUIET, 2)]
    return _TITLE * 1.7 + column_height(len(rows), _QUIET) + 1.0


@dataclass(frozen=True)
class Band:
    """The views of a band at their scales: section, face, and the access where it stands there too.

    `callout` is how wide a column of words is, 0 for none.
    """

    section: Canvas
    face: Canvas
    access: Canvas | None
    notes: tuple[str, ...]
    more: tuple[str, ...]
    callout: float

    @property
    def scale(self) -> float:
        """The scale of section and face."""
        return self.section.scale

    @classmethod
    def fitted(
        cls,
        detail: InstallationDetail,
        shape: Shape,
        box: Box,
        callout: float,
        *,
        with_access: bool,
        most_notes: int | None = None,
    ) -> Band | None:
        """The views at the largest usual scales at which they fit a box side by side; None where none does.

        Without words beside them where that is what it takes to see anything. At most so many notes under the face.
        """
        notes, more = face_notes(detail, shape)
        seen = "from above, model x to the right" if shape.is_floor else "from side A, where the duct comes from"
        notes = (f"Seen {seen}.", *notes)
        if most_notes is not None:
            notes, more = notes[:most_notes], (*notes[most_notes:], *more)

        def tried(width: float) -> Band | None:
            return _fitted(detail, shape, box, (notes, more), width, with_access=with_access)

        made = tried(callout)
        if callout > 0 and (made is None or made.scale > _SMALL_ENOUGH or not with_access):
            larger = tried(0.0)
            if larger is not None and (made is None or larger.scale < made.scale):
                made = larger
        return made


def _fitted(
    detail: InstallationDetail,
    shape: Shape,
    box: Box,
    notes: tuple[tuple[str, ...], tuple[str, ...]],
    callout: float,
    *,
    with_access: bool,
) -> Band | None:
    words = callout + _LEADERS if callout else 0.0
    wide = box.width - words * (2 if with_access else 1)
    ratio = max(
        (section_size(shape)[0] + face_size(detail, shape)[0]) / wide,
        max(section_size(shape)[1], face_size(detail, shape)[1]) / box.height,
    )
    best: Band | None = None
    for scale in _scales_from(ratio):
        made = Band(draw_section(detail, shape, scale), draw_face(detail, shape, scale), None, *notes, callout)
        one, other = made.section.footprint(), made.face.footprint()
        across = max(one.width, _LEAST_SECTION) + max(other.width, _LEAST_FACE) + 2 * _LEAST_GAP
        below = max(_title_room(made.notes, max(other.width, _LEAST_FACE)), _TWO_LINES)
        if _up(made, shape) + below + 4.0 > box.height or across > wide:
            continue
        if callout and column_needed(made.section.callouts, callout) > box.height:
            continue
        if not with_access:
            return made
        access = _access(detail, shape, scale, (wide - across - _LEAST_GAP, box.height))
        if access is None:
            continue
        made = replace(made, access=access)
        if access.scale <= _BESIDE_ACCESS * scale:
            return made
        best = best or made
    return best


def _up(band: Band, shape: Shape) -> float:
    """How high section and face are side by side [mm]; those of a wall stand level."""
    one, other = band.section.footprint(), band.face.footprint()
    if shape.is_floor:
        return max(one.height, other.height)
    return max(one.top, other.top) - min(one.bottom, other.bottom)


def _access(detail: InstallationDetail, shape: Shape, least: float, room: tuple[float, float]) -> Canvas | None:
    """The view of the access at the largest scale, no larger than 1 : `least`, at which it fits a room [mm]."""
    if room[0] < 25:
        return None
    size = access_size(shape)
    for scale in _scales_from(max(least, size[0] / room[0], size[1] / room[1])):
        access = draw_access(detail, shape, scale)
        box = access.footprint()
        head = _title_room(access_notes(detail, shape), max(box.width, _LEAST_FACE))
        if box.width <= room[0] and box.height + head <= room[1]:
            return access
    return None


def band_height(band: Band, detail: InstallationDetail, shape: Shape, most: float) -> float:
    """How high a band has to be for its views and their columns of words [mm]."""
    other = band.face.footprint()
    below = max(_title_room(band.notes, max(other.width, _LEAST_FACE)), _TWO_LINES)
    needed = [_up(band, shape) + below + 4.0, _LEAST_BAND]
    if band.callout > 0:
        needed.append(column_needed(band.section.callouts, band.callout) + 2.0)
    if band.access is not None:
        third = band.access.footprint()
        head = _title_room(access_notes(detail, shape), max(third.width, _LEAST_FACE))
        needed.append(third.height + head + 4.0)
        if band.callout > 0:
            needed.append(column_needed(band.access.callouts, band.callout) + _TWO_LINES)
    return min(max(needed), most)


def _put(
    canvas: Canvas,
    name: str,
    words: Sequence[str],
    at: tuple[float, float],
    bottom: float,
    changed: frozenset[str],
    column: Box | None,
    *,
    on_left: bool = True,
    width: float = 0.0,
    most_right: float = 1e9,
) -> Placed:
    """A view with its origin at a point, its title below it, and the words that found no room in its column."""
    title = f"{name}  1:{number_text(canvas.scale)}"
    room = column if column is not None and column.width > 0 else None
    view, rest = canvas.view(title, " ".join((name, *words)), at, changed, column=room, column_left=on_left)
    box = canvas.footprint()
    left = min(at[0] + box.left, most_right - max(box.width, _LEAST_FACE))
    top = bottom - 2.0
    head = Text((left, top - _TITLE * 0.8), title, _TITLE, ink=Ink.STRONG)
    rows = [row for text in words if text for row in folded(text, width or max(box.width, _LEAST_FACE), _QUIET, 2)]
    below = text_items(rows, (left, top - _TITLE * 1.25), _QUIET, Ink.QUIET)
    end = top - _TITLE * 1.25 - column_height(len(rows), _QUIET)
    return Placed((view,), (head, *below), tuple(item.text for item in rest), end)


def place_band(band: Band, detail: InstallationDetail, shape: Shape, box: Box, changed: frozenset[str]) -> Placed:
    """The views of a band at their places in a box."""
    words = band.callout + _LEADERS if band.callout else 0.0
    one, other = band.section.footprint(), band.face.footprint()
    third = None if band.access is None else band.access.footprint()
    face_width = max(other.width, _LEAST_FACE)
    section_width = max(one.width, _LEAST_SECTION)
    used = words + section_width + face_width + (0.0 if third is None else third.width + words)
    gap = min((box.width - used) / (3 if third is None else 4), _MOST_GAP)
    x = box.left + words + gap
    section_x = x - one.left
    x += section_width + gap
    face_x = x - other.left
    x += face_width + gap
    cut = "Upright along model x; side A below." if shape.is_floor else "Upright; side A on the left."
    below = max(_title_room(band.notes, face_width), _title_room((cut,), section_width + max(gap, 0.0) - 1.0))
    if shape.is_floor:
        tall = max(one.height, other.height)
        roof = box.top - (box.height - below - tall) / 2
        section_y, face_y = roof - (tall - one.height) / 2 - one.top, roof - (tall - other.height) / 2 - other.top
        floor = roof - tall
    else:  # section and face of a wall stand level with each other
        high, low = max(one.top, other.top), min(one.bottom, other.bottom)
        section_y = face_y = box.top - (box.height - below - (high - low)) / 2 - high
        floor = section_y + low
    column = Box(box.left, box.bottom, box.left + band.callout, box.top)
    room = section_width + max(gap, 0.0) - 1.0
    section = _put(band.section, "Section", (cut,), (section_x, section_y), floor, changed, column, width=room)
    face = _put(band.face, "Face", band.notes, (face_x, face_y), floor, changed, None)
    parts = [section, face]
    if band.access is not None:
        beside = Box(x, box.bottom, box.right, box.top)
        parts.append(_put_access(band.access, detail, shape, beside, band.callout, section_y, floor, gap, changed))
    done = joined(parts)
    return replace(done, words=(*band.more, *done.words))


def _put_access(
    canvas: Canvas,
    detail: InstallationDetail,
    shape: Shape,
    room: Box,
    callout: float,
    level: float,
    floor: float | None,
    gap: float,
    changed: frozenset[str],
) -> Placed:
    """The access in a room, level with the section where it may be, its words beside it."""
    box, words = canvas.footprint(), access_notes(detail, shape)
    on_left = access_words_on_left(shape)
    leaders = _LEADERS if callout else 0.0
    if on_left:
        column = Box(room.left + 2.0, room.bottom, room.left + 2.0 + callout, room.top)
        left = column.right + leaders + max(0.0, min(gap, room.right - column.right - leaders - box.width))
    else:
        spare = room.width - callout - leaders - box.width
        left = room.left + max(0.0, min(spare, gap))
        near = min(room.right - callout, left + box.width + leaders + 6.0)
        column = Box(near, room.bottom, near + callout, room.top)
    head = _title_room(words, max(box.width, _LEAST_FACE))
    if level + box.top > room.top or level + box.bottom < room.bottom + head:
        level = room.top - (room.height - head - box.height) / 2 - box.top
    bottom = level + box.bottom
    if floor is not None and floor - room.bottom >= head:
        bottom = min(bottom, floor)
    column = Box(column.left, max(column.bottom, bottom - 1.0), column.right, column.top)
    at = left - box.left, level
    return _put(
        canvas,
        "Access",
        words,
        at,
        bottom,
        changed,
        column,
        on_left=on_left,
        most_right=max(room.right, left + box.width),
    )


def place_access(
    detail: InstallationDetail, shape: Shape, box: Box, callout: float, changed: frozenset[str], least: float
) -> Placed:
    """The access alone in a box, at the largest scale no larger than 1 : `least`."""
    for words in (callout, 0.0):
        canvas = _access(detail, shape, least, (box.width - words - (_LEADERS + 2.0 if words else 0.0), box.height))
        if canvas is not None:
            spare = box.width - words - _LEADERS - canvas.footprint().width
            return _put_access(canvas, detail, shape, box, words, 1e6, None, max(spare / 3, 0.0), changed)
    raise ValueError("no scale shows the access")


def place_edge(detail: InstallationDetail, shape: Shape, box: Box, callout: float, changed: frozenset[str]) -> Placed:
    """The enlarged edge at the top of a box, its words on its left."""
    size = edge_size(shape)
    notes = tuple(text for text in (edge_words(shape), gap_words(detail)) if text)
    for words in (callout, 0.0):
        wide = box.width - words - (_LEADERS if words else 0.0)
        for scale in _scales_from(max(size[0] / wide, size[1] / box.height)):
            canvas = draw_edge(detail, shape, scale)
            foot = canvas.footprint()
            head = _title_room(notes, box.width - 1.0)
            high = foot.height
            if words:
                high = max(high, min(column_needed(canvas.callouts, words), box.height - head))
            if foot.width > wide or high + head > box.height or foot.height + head > box.height:
                continue
            x = box.left + words + (_LEADERS if words else 0.0) + (wide - foot.width) / 2 - foot.left
            y = box.top - (high - foot.height) / 2 - foot.top
            bottom = box.top - high
            column = Box(box.left, bottom, box.left + words, box.top)
            placed = _put(canvas, f"Detail {EDGE_LETTER}", (), (x, y), bottom, changed, column)
            placed = replace(placed, words=tuple(text for text in placed.words if text != EDGE_ASIDE))
            return _under(placed, notes, box.left, bottom, box.width - 1.0)
    raise ValueError("no scale shows the edge")


def _under(placed: Placed, notes: Sequence[str], left: float, bottom: float, width: float) -> Placed:
    """The title and notes of a view at the left of its column."""
    head = placed.items[0]
    assert isinstance(head, Text)
    top = bottom - 2.0
    rows = [row for text in notes for row in folded(text, width, _QUIET, 2)]
    below = text_items(rows, (left, top - _TITLE * 1.25), _QUIET, Ink.QUIET)
    items = (replace(head, at=(left, top - _TITLE * 0.8)), *below)
    return replace(placed, items=items, bottom=top - _TITLE * 1.25 - column_height(len(rows), _QUIET))
