# SPDX-License-Identifier: Apache-2.0
"""The enlarged detail of one edge of the opening: barrier layers, lining, gap, seal, casing and fixing, as it is built.

It is cut out of the section, where a circle with its letter marks it (ISO 128, from memory): the lower edge of a wall's
opening (the upper one where the mechanism is below), the right edge of a floor's. Everything in it comes from the same
shape as the section, so that the two can't disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from brattice.building.words import FixingFamily, Handing, MountingPosition, plain
from brattice.details.detail import InstallationDetail
from brattice.drawing.clip import clipped, clipped_line
from brattice.drawing.primitives import Anchor, Box, Circle, Fill, Group, Ink, Item, Layer, Pen, Polygon, Polyline, Text
from brattice.sketch.parts import (
    Across,
    Lines,
    barrier_part,
    damper_part,
    duct_part,
    fixing_part,
    leg_of,
    seal_part,
    wave,
)
from brattice.sketch.shape import Shape
from brattice.sketch.texts import dimension_text
from brattice.sketch.viewing import Canvas, Span, ink_of

__all__ = ["EDGE_ASIDE", "EDGE_LETTER", "draw_edge", "edge_size", "edge_words", "gap_words", "mark_edge"]

EDGE_ASIDE = "inside of the damper casing"
"""What is said of the detail where there is room for it, and nowhere else."""
EDGE_LETTER = "X"
"""The letter of the detail: none that sides of the barrier have."""
_FIXINGS = (
    ("fixing-kind", ""),
    ("fixing-spacing", "apart at most"),
    ("fixing-corner", "from the corner at most"),
    ("fixings-all", "in all"),
)
_LETTER = 4.0
_BESIDE = 15.0
_FAR = 1e7


def _at_high(shape: Shape) -> bool:
    """Whether the edge is the upper one of a wall, or the right one of a floor."""
    return shape.is_floor or shape.drawn_side is Handing.BOTTOM


def _edge(outline: Across, high: bool) -> float:
    """The edge of an outline that the detail shows."""
    return outline.high if high else outline.low


def _outside(shape: Shape) -> bool:
    return shape.position in {MountingPosition.ON_FACE, MountingPosition.REMOTE}


def _window(shape: Shape, lines: Lines) -> tuple[tuple[float, float], tuple[float, float]]:
    """What is shown [mm, real]: from, to along the duct; from, to across."""
    high = _at_high(shape)
    parts = [lines.duct, lines.framed, lines.finished, *([] if _outside(shape) else [lines.casing])]
    edges = [item.high if high else item.low for item in parts]
    inner, outer = (min(edges), max(edges)) if high else (max(edges), min(edges))
    barrier = min(max(0.5 * abs(outer - inner), 45.0), 90.0)
    inward = min(max(0.25 * abs(outer - inner), 22.0), 45.0, 0.45 * (lines.duct.high - lines.duct.low))
    across = (inner - inward, outer + barrier) if high else (outer - barrier, inner + inward)
    beside = max(_BESIDE, 0.12 * shape.half)
    beyond = {-1: beside, 1: beside}
    for face in _faces_with_legs(shape):
        beyond[face] = max(beside, leg_of(1.0) + 4.0)
    return (-shape.half - beyond[-1], shape.half + beyond[1]), across


def _faces_with_legs(shape: Shape) -> tuple[int, ...]:
    """The faces of the barrier that a leg of the fixing stands out from, -1 for side A."""
    if shape.fixing is FixingFamily.SLEEVE_AND_ANGLES:
        return (-1, 1)
    return (1,) if shape.fixing is FixingFamily.REMOTE_SUPPORTED else ()


def _lines(shape: Shape) -> Lines:
    return Lines.of(shape, upright=not shape.is_floor)


def edge_size(shape: Shape) -> tuple[float, float]:
    """Width and height of the detail [mm], dimensions and words aside."""
    along, across = _window(shape, _lines(shape))
    size = along[1] - along[0], across[1] - across[0]
    return (size[1], size[0]) if shape.is_floor else size


def mark_edge(canvas: Canvas, shape: Shape) -> None:
    """The circle about the edge in the section, with the letter of the detail beside it."""
    along, across = _window(shape, _lines(shape))
    x, y = canvas.point(sum(along) / 2, sum(across) / 2)
    radius = max(along[1] - along[0], across[1] - across[0]) / 2 / canvas.scale * 1.08
    if radius < 5.0:  # beside so small a circle there is no room for a letter
        right, below = x - _LETTER * 0.4, y - radius - _LETTER * 0.95
        if shape.is_floor:
            right, below = x + radius + 0.6, y - _LETTER * 0.36
        elif _at_high(shape):
            below = y + radius + _LETTER * 0.35
        _letter(canvas, x, y, radius, right, below)
        return
    right = x + radius * 0.71 + 1.0
    drop = y - radius * 0.71 - _LETTER * 0.75 if not (_at_high(shape) and not shape.is_floor) else y + radius * 0.71
    _letter(canvas, x, y, radius, right, drop)


def _letter(canvas: Canvas, x: float, y: float, radius: float, right: float, drop: float) -> None:
    """A circle and the letter of the detail, its left end at `right`, its base line at `drop` [mm of paper]."""
    canvas.add(Layer.TEXT, Circle((x, y), radius, Fill.NONE, Pen.THIN))
    middle = right + _LETTER * 0.4
    canvas.add(Layer.TEXT, Circle((middle, drop + _LETTER * 0.26), _LETTER * 0.63, Fill.PAPER))
    canvas.add(Layer.TEXT, Text((middle, drop), EDGE_LETTER, _LETTER, Anchor.MIDDLE, Ink.STRONG))


def _cropped(items: Iterable[Item], window: Box) -> Iterator[Item]:
    """What lies within a window; an outline that the window cuts stays open there."""
    for item in items:
        if isinstance(item, Group):
            inside = tuple(_cropped(item.items, window))
            if inside:
                yield Group(item.label, inside, item.link, item.layer)
        elif isinstance(item, Polygon):
            for ring in item.rings:
                for part in clipped(ring, window):
                    if part is ring:
                        yield item
                        continue
                    yield Polygon((part,), item.fill, None)
                    if item.pen is not None:
                        yield from (Polyline(line, item.pen) for line in clipped_line((*ring, ring[0]), window))
        elif isinstance(item, Polyline):
            yield from (Polyline(line, item.pen) for line in clipped_line(item.points, window))


def draw_edge(detail: InstallationDetail, shape: Shape, scale: float) -> Canvas:
    """The edge at 1 : `scale` with the dimensions of gap and barrier, and the words that name its parts."""
    lines = _lines(shape)
    turned = 1 if shape.is_floor else 0
    whole = Canvas(scale, turned)
    along, across = _window(shape, lines)
    barrier_part(whole, shape, lines, lines.low - _FAR, lines.high + _FAR)
    duct_part(whole, detail, shape, lines, (-_FAR, _FAR))
    seal_part(whole, shape, lines)
    damper_part(whole, shape, lines, with_blade=False)
    fixed_at = fixing_part(whole, shape, lines)
    canvas = Canvas(scale, turned)
    (x0, y0), (x1, y1) = whole.point(along[0], across[0]), whole.point(along[1], across[1])
    for item in _cropped(whole.shapes, Box(x0, y0, x1, y1)):
        if isinstance(item, Group):
            canvas.add(item.layer, *item.items)
    high = _at_high(shape)
    far = across[1] if high else across[0]
    wave(canvas, Layer.BARRIER, (-shape.half, shape.half), (far, far))
    _call(canvas, detail, shape, lines, along, across, fixed_at)
    _chains(canvas, detail, shape, lines)
    return canvas


def _call(
    canvas: Canvas,
    detail: InstallationDetail,
    shape: Shape,
    lines: Lines,
    along: tuple[float, float],
    across: tuple[float, float],
    fixed_at: float | None,
) -> None:
    """The words: layers of the barrier, lining, seal, fixing, casing."""
    high, half = _at_high(shape), shape.half
    framed, finished = _edge(lines.framed, high), _edge(lines.finished, high)
    inner = _edge(lines.duct if _outside(shape) else lines.casing, high)
    far = across[1] if high else across[0]
    factor = 2 * half / shape.barrier.drawn
    by_words = {layer.words: layer for layer in sorted(shape.barrier.layers, key=lambda item: -item.start)}
    layers = sorted(by_words.values(), key=lambda item: item.start)
    for number, layer in enumerate(layers):
        share = 0.35 + 0.5 * (number + 0.5) / len(layers)
        canvas.call((layer.start + layer.end) / 2 * factor, framed + (far - framed) * share, layer.words, rank=2)
    if detail.figure("lining") is not None and abs(framed - finished) > 0.01:
        words = f"lining of the reveals: {detail.text('lining')}"
        canvas.call(-half * 0.7, (framed + finished) / 2, words, ("lining",), rank=1, ink=ink_of(detail, "lining"))
    for words, keys, place in _seal_words(detail, shape):
        canvas.call(place, (inner + finished) / 2, words, keys, rank=0, ink=ink_of(detail, *keys))
    if detail.figure("fixing") is not None:
        at = fixed_at if fixed_at is not None else half * 0.5
        spot = finished + (framed - finished) * 0.5 if fixed_at is not None else inner
        leg = leg_of(canvas.scale) * (1 if high else -1)
        if fixed_at is not None and abs(abs(at) - half) < 0.01:
            at, spot = at + (0.6 if at > 0 else -0.6) * canvas.scale * 0.3, framed + leg * 0.5
        canvas.call(
            at,
            spot,
            _fixing_words(detail),
            ("fixing", *(key for key, _ in _FIXINGS)),
            rank=1,
            ink=ink_of(detail, "fixing"),
        )
    if not _outside(shape):
        near = across[0] if high else across[1]
        canvas.call(-0.6 * half, inner + 0.4 * (near - inner), EDGE_ASIDE, rank=4)


def _fixing_words(detail: InstallationDetail) -> str:
    """The family of fixing, and kind, spacing and number of its fixings where they are stated."""
    words = [f"fixing: {detail.text('fixing')}"]
    for key, said in _FIXINGS:
        figure = detail.figure(key)
        if figure is not None and figure.is_settled:
            words.append(f"{said} {figure.text}".strip())
    return "; ".join(words)


def _seal_words(detail: InstallationDetail, shape: Shape) -> list[tuple[str, tuple[str, ...], float]]:
    words = [detail.text("seal-product")]
    for key, name in (("seal-depth", "depth in all"), ("seal-faces", "faces"), ("seal-layers", "layers on each face")):
        if detail.figure(key) is not None:
            words.append(f"{name}: {detail.text(key)}")
    keys = ("seal-product", "seal-depth", "seal-faces", "seal-layers")
    first = shape.seal[0]
    place = first[0] + min(first[1] - first[0], 0.8 * shape.half) * 0.5
    return [("seal: " + "; ".join(words), keys, place)]


def _chains(canvas: Canvas, detail: InstallationDetail, shape: Shape, lines: Lines) -> None:
    """The gap on the right (a floor's: above), the barrier on the far side."""
    high = _at_high(shape)
    gap_key = "gap-right" if shape.is_floor else "gap-top" if high else "gap-bottom"
    base = _edge(lines.casing if plain(detail.text("gap-from")) == "casing" else lines.duct, high)
    finished = _edge(lines.finished, high)
    spans = []
    if detail.figure(gap_key) is not None:
        known = lines.finished.known
        spans.append(Span(min(base, finished), max(base, finished), detail.figure(gap_key), "gap", is_known=known))
    canvas.chain("top" if shape.is_floor else "right", spans)
    thickness = detail.figure("barrier-thickness")
    side = "right" if shape.is_floor else "bottom" if not high else "top"
    canvas.chain(side, [Span(-shape.half, shape.half, thickness, is_known=shape.thickness_known)])


def edge_words(shape: Shape) -> str:
    """Which edge the detail shows."""
    if shape.is_floor:
        return "Right edge of the opening in the section."
    return f"{'Upper' if _at_high(shape) else 'Lower'} edge of the opening in the section."


def gap_words(detail: InstallationDetail) -> str:
    """From where gaps are measured and what was tested of them, as one line; "" where nothing is said of them."""
    figures = [detail.figure(f"gap-{side}") for side in ("left", "right", "top", "bottom")]
    limits = list(dict.fromkeys(item.limit for item in figures if item is not None and item.limit))
    if not any(figures):
        return ""
    words = f"Gaps are measured from: {dimension_text(detail.figure('gap-from'))}"
    return f"{words}; tested: {'; '.join(limits)}." if limits else f"{words}."
