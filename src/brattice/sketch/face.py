# SPDX-License-Identifier: Apache-2.0
"""The face of an installation sheet: barrier, opening, damper and what is near, seen from the side the duct comes from.

Floors are seen from above with model x to the right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.building.words import FixingFamily, Handing, MountingPosition, plain
from brattice.details.detail import InstallationDetail, Neighbour
from brattice.details.figures import TO_BE_SETTLED
from brattice.drawing.primitives import (
    Anchor,
    Circle,
    Fill,
    Ink,
    Item,
    Layer,
    Pen,
    Polygon,
    Polyline,
    Text,
    rectangle,
)
from brattice.findings import Verdict
from brattice.sketch.outlines import Edges
from brattice.sketch.parts import leg_of
from brattice.sketch.shape import Shape, shape_of, size_figure
from brattice.sketch.texts import dimension_text
from brattice.sketch.viewing import Canvas, Span

__all__ = ["draw_face", "face_notes", "face_size"]

_SIDES = ("left", "right", "above", "below")
_FAR = 260.0
_FLOOR = "structural floor"
_HEIGHTS = ("sill-height", "centre-height", "head-height")
_MOST_DOTS = 60
_MOST_NEAR = 4
_MODEL_SIDES = "Left and right of what is near: the model seen towards larger x, else y. Hold against the airflow."


@dataclass(frozen=True)
class _Near:
    """A neighbour as it is drawn: how far [mm], and whether that is to measure."""

    thing: Neighbour
    distance: float
    to_measure: bool


def _outer(shape: Shape) -> Edges:
    every = (shape.duct, shape.casing, shape.finished, shape.framed)
    return Edges(
        min(e.left for e in every),
        max(e.right for e in every),
        min(e.bottom for e in every),
        max(e.top for e in every),
        all(e.known for e in every),
    )


def _nearest(detail: InstallationDetail, shape: Shape) -> dict[str, _Near]:
    """The nearest neighbour of each side that is drawn; those farther away are drawn broken."""
    found: dict[str, _Near] = {}
    outer = _outer(shape)
    beyond = max(
        outer.right - shape.casing.right,
        shape.casing.left - outer.left,
        outer.top - shape.casing.top,
        shape.casing.bottom - outer.bottom,
        0.0,
    )
    for item in detail.neighbours:
        if item.side not in _SIDES:
            continue
        value = item.clear.value if item.clear.verdict is not Verdict.UNKNOWN or item.clear.is_settled else None
        near = _Near(item, beyond + 110.0, to_measure=False)
        if value is not None and 0 < value <= _FAR + beyond:
            near = _Near(item, value, to_measure=True)
        have = found.get(item.side)
        if have is None or (item.clear.value or 1e9) < (have.thing.clear.value or 1e9):
            found[item.side] = near
    return found


def _margin(shape: Shape) -> float:
    outer = _outer(shape)
    return min(max(70.0, 0.16 * max(outer.right - outer.left, outer.top - outer.bottom)), 160.0)


def _field(detail: InstallationDetail, shape: Shape) -> Edges:
    """How much of the barrier is drawn."""
    outer, margin = _outer(shape), _margin(shape)
    near = _nearest(detail, shape)

    def far(side: str, casing: float, edge: float, sign: int) -> float:
        plain_edge = edge + sign * margin
        if side not in near:
            return plain_edge
        beyond = casing + sign * (near[side].distance + 0.5 * margin)
        return max(plain_edge, beyond) if sign > 0 else min(plain_edge, beyond)

    return Edges(
        far("left", shape.casing.left, outer.left, -1),
        far("right", shape.casing.right, outer.right, 1),
        far("below", shape.casing.bottom, outer.bottom, -1),
        far("above", shape.casing.top, outer.top, 1),
        True,
    )


def face_size(detail: InstallationDetail, shape: Shape) -> tuple[float, float]:
    """Width and height of the face [mm], dimensions aside."""
    field = _field(detail, shape)
    return field.right - field.left, field.top - field.bottom


def _ring(canvas: Canvas, edges: Edges, fill: Fill, pen: Pen | None) -> Item:
    s = canvas.scale
    if edges.is_round:
        centre = ((edges.left + edges.right) / 2 / s, (edges.bottom + edges.top) / 2 / s)
        return Circle(centre, (edges.right - edges.left) / 2 / s, fill, pen)
    return Polygon((rectangle(edges.left / s, edges.bottom / s, edges.right / s, edges.top / s),), fill, pen)


def _pen(edges: Edges, pen: Pen) -> Pen:
    return pen if edges.known else Pen.UNKNOWN


def draw_face(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """The face at 1 : `scale` with the dimensions of openings, gaps and clear distances."""
    canvas = Canvas(scale)
    field = _field(detail, shape)
    canvas.add(Layer.BARRIER, _ring(canvas, field, Fill.OTHER, Pen.FAINT))
    _draw_near(canvas, detail, shape, field)
    if shape.framed != shape.finished:
        canvas.add(Layer.LINING, _ring(canvas, shape.framed, Fill.BOARD, _pen(shape.framed, Pen.EDGE)))
    outside = shape.position in {MountingPosition.ON_FACE, MountingPosition.REMOTE}
    canvas.add(
        Layer.SEAL,
        _ring(canvas, shape.finished, Fill.SEAL if shape.seal_known else Fill.PAPER, _pen(shape.finished, Pen.CUT)),
    )
    _draw_fixing(canvas, detail, shape)
    _draw_mechanism(canvas, shape)
    if not outside:
        canvas.add(Layer.DAMPER, _ring(canvas, shape.casing, Fill.METAL, _pen(shape.casing, Pen.CUT)))
    canvas.add(Layer.DUCT, _ring(canvas, shape.duct, Fill.PAPER, _pen(shape.duct, Pen.EDGE)))
    _draw_sections(canvas, shape)
    _draw_rods(canvas, shape, field)
    reach = 2.6 * scale
    for a, b in (((-reach, 0.0), (reach, 0.0)), ((0.0, -reach), (0.0, reach))):
        canvas.line(Layer.DUCT, Pen.THIN, a, b)
    _letter_near(canvas, detail, shape, field)
    _chains(canvas, detail, shape)
    if _has_heights_drawn(detail, shape):
        _heights(canvas, detail, shape, field)
    return canvas


def _has_heights_drawn(detail: InstallationDetail, shape: Shape) -> bool:
    """Whether heights are drawn: those of a wall whose texts are short; words of any length stand in a note."""
    texts = [dimension_text(detail.figure(key)) for key in _HEIGHTS if detail.figure(key) is not None]
    return not shape.is_floor and all(len(text) <= len(TO_BE_SETTLED) for text in texts)


def _heights(canvas: Canvas, detail: InstallationDetail, shape: Shape, field: Edges) -> None:
    """Sill, centre and head above the structural floor, which lies below a break."""
    marks = []
    for key, words, place in (
        ("sill-height", "sill", shape.finished.bottom),
        ("centre-height", "centre", 0.0),
        ("head-height", "head", shape.finished.top),
    ):
        figure = detail.figure(key)
        if figure is not None:
            # at the view's edge where the line would cross the mark of what is near on the left
            is_clear = place / canvas.scale > 4.0 or place / canvas.scale < -4.0
            reach = shape.finished.left if is_clear and not shape.finished.is_round else None
            marks.append((place, reach, words, figure))
    canvas.heights(marks, field.bottom, _FLOOR)


def _draw_sections(canvas: Canvas, shape: Shape) -> None:
    """The lines between the sections of a unit of several, drawn in equal parts."""
    across, up = shape.sections
    duct = shape.duct
    for number in range(1, across):
        x = duct.left + (duct.right - duct.left) * number / across
        canvas.line(Layer.DAMPER, Pen.EDGE, (x, duct.bottom), (x, duct.top))
    for number in range(1, up):
        y = duct.bottom + (duct.top - duct.bottom) * number / up
        canvas.line(Layer.DAMPER, Pen.EDGE, (duct.left, y), (duct.right, y))


def _draw_fixing(canvas: Canvas, detail: InstallationDetail, shape: Shape) -> None:
    """Angles or frame about the opening, as far as the face shows them."""
    leg = leg_of(canvas.scale)
    shows = {
        FixingFamily.SLEEVE_AND_ANGLES,
        FixingFamily.FRAME_IN_OPENING,
        FixingFamily.INSTALLATION_FRAME,
        FixingFamily.FACE_FIXED,
        FixingFamily.SHAFT_WALL_FIXING,
    }
    if shape.fixing in shows:
        around = shape.framed.grown((leg, leg, leg, leg), known=shape.framed.known)
        canvas.add(
            Layer.FIXING,
            Polyline(_closed(canvas, around), Pen.EDGE if around.known else Pen.UNKNOWN)
            if not around.is_round
            else _ring(canvas, around, Fill.NONE, Pen.EDGE),
        )
        _draw_fixings(canvas, detail, shape, 0.6 * leg)


def _draw_fixings(canvas: Canvas, detail: InstallationDetail, shape: Shape, off: float) -> None:
    """A dot for each fixing on the leg, where their number is settled: as many as it says, in equal parts."""
    framed, s = shape.framed, canvas.scale
    spots: list[tuple[float, float]] = []
    if framed.is_round:
        count, radius = _count(detail, "fixings-round"), (framed.right - framed.left) / 2 + off
        x, y = (framed.left + framed.right) / 2, (framed.bottom + framed.top) / 2
        turns = [2 * math.pi * n / count for n in range(count)]
        spots = [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]
    else:
        corner = detail.value("fixing-corner") or 0.0
        for x in _equal(framed.left + corner, framed.right - corner, _count(detail, "fixings-wide")):
            spots += [(x, framed.bottom - off), (x, framed.top + off)]
        for y in _equal(framed.bottom + corner, framed.top - corner, _count(detail, "fixings-high")):
            spots += [(framed.left - off, y), (framed.right + off, y)]
    canvas.add(Layer.FIXING, *(Circle((x / s, y / s), 0.4, Fill.INK) for x, y in spots))


def _count(detail: InstallationDetail, key: str) -> int:
    """A number of fixings, 0 where nobody says it or it is not one to draw."""
    figure = detail.figure(key)
    value = detail.value(key)
    return (
        int(value) if figure is not None and figure.is_settled and value is not None and 0 < value <= _MOST_DOTS else 0
    )


def _equal(start: float, end: float, count: int) -> list[float]:
    """So many places from one end to the other in equal parts, one in the middle."""
    if count < 2 or end < start:
        return [(start + end) / 2] * min(count, 1)
    return [start + (end - start) * n / (count - 1) for n in range(count)]


def _closed(canvas: Canvas, edges: Edges) -> tuple[tuple[float, float], ...]:
    s = canvas.scale
    ring = rectangle(edges.left / s, edges.bottom / s, edges.right / s, edges.top / s)
    return (*ring, ring[0])


def _draw_mechanism(canvas: Canvas, shape: Shape) -> None:
    """The mechanism behind the barrier: dashed where hidden, as everything that is not seen."""
    out = shape.beyond if shape.beyond is not None else 3.0 * canvas.scale
    casing, side = shape.casing, shape.drawn_side
    middle = ((casing.left + casing.right) / 2, (casing.bottom + casing.top) / 2)
    tall = min(0.2 * (casing.top - casing.bottom), 90.0)
    wide = min(0.2 * (casing.right - casing.left), 90.0)
    a = {
        Handing.LEFT: (casing.left - out, casing.left, middle[1] - tall, middle[1] + tall),
        Handing.RIGHT: (casing.right, casing.right + out, middle[1] - tall, middle[1] + tall),
        Handing.TOP: (middle[0] - wide, middle[0] + wide, casing.top, casing.top + out),
        Handing.BOTTOM: (middle[0] - wide, middle[0] + wide, casing.bottom - out, casing.bottom),
    }[side]
    s = canvas.scale
    canvas.add(Layer.DAMPER, Polygon((rectangle(a[0] / s, a[2] / s, a[1] / s, a[3] / s),), Fill.NONE, Pen.UNKNOWN))


def _draw_rods(canvas: Canvas, shape: Shape, field: Edges) -> None:
    if not shape.rods:
        return
    inset = min(0.08 * (shape.casing.right - shape.casing.left), 30.0)
    for x in (shape.casing.left + inset, shape.casing.right - inset):
        canvas.line(Layer.SUPPORT, Pen.EDGE, (x, shape.casing.top), (x, field.top))


def _draw_near(canvas: Canvas, detail: InstallationDetail, shape: Shape, field: Edges) -> None:
    """Walls and floors as hatched strips, other penetrations as dashed outlines, each at its clear distance."""
    s = canvas.scale
    for side, near in _nearest(detail, shape).items():
        sign = 1 if side in {"right", "above"} else -1
        across = side in {"left", "right"}
        start = {
            "left": shape.casing.left,
            "right": shape.casing.right,
            "above": shape.casing.top,
            "below": shape.casing.bottom,
        }[side] + sign * near.distance
        end = {"left": field.left, "right": field.right, "above": field.top, "below": field.bottom}[side]
        is_built = near.thing.kind in {"wall", "floor"}
        if across:
            span = (field.bottom, field.top) if is_built else (shape.casing.bottom * 0.7, shape.casing.top * 0.7)
            box = (min(start, end), span[0], max(start, end), span[1])
        else:
            span = (field.left, field.right) if is_built else (shape.casing.left * 0.7, shape.casing.right * 0.7)
            box = (span[0], min(start, end), span[1], max(start, end))
        known = near.thing.clear.is_settled
        fill = (Fill.CONCRETE if near.thing.kind == "floor" else Fill.MASONRY) if is_built else Fill.DUCT
        pen = Pen.EDGE if known and is_built else Pen.UNKNOWN
        canvas.add(Layer.NEIGHBOUR, Polygon((rectangle(*(value / s for value in box)),), fill, pen))


def _letter_near(canvas: Canvas, detail: InstallationDetail, shape: Shape, field: Edges) -> None:
    """The letter of each neighbour that is drawn, outside of all that is drawn, on its side."""
    s = canvas.scale
    for side, near in _nearest(detail, shape).items():
        number = next(n for n, item in enumerate(detail.neighbours) if item is near.thing)
        if number < _MOST_NEAR:
            off = 3.4 * s
            at = {
                "left": (field.left - off, 0.0),
                "right": (field.right + off, 0.0),
                "above": (0.0, field.top + off),
                "below": (0.0, field.bottom - off),
            }[side]
            x, y = at[0] / s, at[1] / s
            canvas.add(
                Layer.TEXT,
                Circle((x, y), 2.6, Fill.PAPER, Pen.EDGE),
                Text((x, y - 0.95), _mark(number), 2.6, Anchor.MIDDLE, Ink.STRONG),
            )


def _mark(number: int) -> str:
    """The mark of a neighbour: no letter, as sides of the barrier and details have those."""
    return f"N{number + 1}"


def face_notes(detail: InstallationDetail, shape: Shape | None = None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The words below the face: heights, grid, and what is near, lettered as in the drawing; and those without room.

    Of what is near: name, side, clear distance, the least that was tested; and from where its sides are seen, as no
    model says from where the duct comes.
    """
    shape = shape_of(detail) if shape is None else shape
    drawn = _nearest(detail, shape)
    notes = []
    heights = [
        f"{word} {dimension_text(detail.figure(key))}"
        for word, key in (("sill", "sill-height"), ("centre", "centre-height"), ("head", "head-height"))
        if detail.figure(key) is not None
    ]
    if heights and not _has_heights_drawn(detail, shape):
        notes.append(f"Above the structural floor: {', '.join(heights)}.")
    if detail.figure("grid") is not None:
        notes.append(f"Grid: {detail.text('grid')}")
    more = []
    for number, item in enumerate(detail.neighbours):
        near = drawn.get(item.side)
        limit = f" ({item.clear.limit})" if item.clear.limit else ""
        name = item.name if plain(item.name) == item.kind else f"{item.kind} {item.name}"
        words = f"{name}, {item.side or 'side not stated'}: clear {item.clear.text}{limit}"
        is_drawn = near is not None and near.thing is item and number < _MOST_NEAR
        if near is None or near.thing is not item:
            words += ", not drawn"
        elif not near.to_measure:
            words += ", not drawn to measure"
        if number < _MOST_NEAR:
            notes.append(f"{_mark(number)}  {words}" if is_drawn else f"Near: {words}")
        else:
            more.append(f"near: {words}")
    if not shape.is_floor and any(item.side in {"left", "right"} for item in detail.neighbours):
        notes.append(_MODEL_SIDES)
    return tuple(notes), tuple(more)


def _chains(canvas: Canvas, detail: InstallationDetail, shape: Shape) -> None:
    from_casing = plain(detail.text("gap-from")) == "casing"
    base = shape.casing if from_casing else shape.duct
    for upright in (False, True):
        low_key, high_key = ("gap-bottom", "gap-top") if upright else ("gap-left", "gap-right")
        a, b = ("bottom", "top") if upright else ("left", "right")
        inner, outer = (getattr(base, a), getattr(base, b)), (getattr(shape.finished, a), getattr(shape.finished, b))
        nominal = (getattr(shape.duct, a), getattr(shape.duct, b))
        size = size_figure(detail, "duct", height=upright) or size_figure(detail, "damper", height=upright)
        is_own = abs((inner[1] - inner[0]) - (nominal[1] - nominal[0])) < 0.01
        side = "right" if upright else "bottom"
        spans = []
        for key, ends in ((low_key, (outer[0], inner[0])), (high_key, (inner[1], outer[1]))):
            if detail.figure(key) is not None:
                spans.append(Span(min(ends), max(ends), detail.figure(key), is_known=shape.finished.known))
        spans.append(Span(*inner, size if is_own else None, "" if is_own else "casing"))
        canvas.chain(side, spans)
        if not is_own and size is not None:
            canvas.chain(side, [Span(*nominal, size)])
        for what, edges in (("finished", shape.finished), ("framed", shape.framed)):
            figure = size_figure(detail, what, height=upright)
            if figure is None or (upright and edges.is_round):
                continue
            words = f"{what} Ø" if edges.is_round else what
            ends = (getattr(edges, a), getattr(edges, b))
            span = Span(*ends, figure, words, is_known=edges.known)
            # on the right the lines would cross the gaps' texts
            reach = None if upright or edges.is_round else edges.top
            canvas.chain("right" if upright else "top", [span], reach)
