# SPDX-License-Identifier: Apache-2.0
"""The cut through a barrier at one penetration: build-up, duct, casing, blade, gap with its seal, openings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brattice.building.penetration import Penetration, Size
from brattice.building.words import MountingPosition, SupportKind
from brattice.details.opening import side_gaps
from brattice.drawing.dimensions import Span, chain
from brattice.drawing.layout import spread
from brattice.drawing.metrics import wrapped
from brattice.drawing.primitives import (
    Drawing,
    Fill,
    Ink,
    Item,
    Pen,
    Point,
    Polygon,
    Polyline,
    Text,
    box_of,
)
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Fact, Known
from brattice.quantities import number_text, size_text
from brattice.sketch.barrier import BarrierCut
from brattice.sketch.elevation import TEXT, gap_span, outer_edges, size_value, stated_gaps
from brattice.sketch.outlines import Edges, Outlines
from brattice.sketch.texts import length_text

__all__ = ["section_of", "section_size"]

_CALLOUT_WIDTH = 46.0
_NOTE_CASING = "How long the casing is, is not stated: its ends are drawn without measure."


@dataclass(frozen=True)
class _Across:
    """One outline across the duct in the cut [mm]: low and high edge."""

    low: float
    high: float
    known: bool


@dataclass(frozen=True)
class _Callout:
    """A few words that name a point of the drawing."""

    at: Point
    text: str
    ink: Ink = Ink.PLAIN


def _across(edges: Edges, *, is_floor: bool) -> _Across:
    return _Across(edges.left, edges.right, edges.known) if is_floor else _Across(edges.bottom, edges.top, edges.known)


def _stub(outlines: Outlines, cut: BarrierCut) -> float:
    """How much duct is drawn on each side of the barrier [mm]."""
    outer = outer_edges(outlines)
    return max(cut.drawn * 0.7, 0.3 * min(outer.right - outer.left, outer.top - outer.bottom), 120.0)


def _margin(outlines: Outlines, *, is_floor: bool) -> float:
    """How much barrier is drawn beyond the outermost outline [mm]."""
    edges = _across(outer_edges(outlines), is_floor=is_floor)
    return max(60.0, 0.2 * (edges.high - edges.low))


def section_size(outlines: Outlines, cut: BarrierCut, *, is_floor: bool) -> tuple[float, float]:
    """Width and height of what is drawn [mm], dimensions and words aside."""
    along = cut.drawn + 2 * _stub(outlines, cut)
    edges = _across(outer_edges(outlines), is_floor=is_floor)
    across = edges.high - edges.low + 2 * _margin(outlines, is_floor=is_floor)
    return (across, along) if is_floor else (along, across)


class _Cut:
    """Collects the items of one cut; turns (along, across) in mm into paper."""

    def __init__(self, scale: float, *, is_floor: bool) -> None:
        self.scale = scale
        self.is_floor = is_floor
        self.items: list[Item] = []

    def point(self, along: float, across: float) -> Point:
        a, b = along / self.scale, across / self.scale
        return (b, a) if self.is_floor else (a, b)

    def area(self, along: tuple[float, float], across: tuple[float, float], fill: Fill, pen: Pen | None) -> None:
        (a, b), (c, d) = along, across
        ring = (self.point(a, c), self.point(b, c), self.point(b, d), self.point(a, d))
        self.items.append(Polygon((ring,), fill, pen))

    def line(self, pen: Pen, *points: tuple[float, float]) -> None:
        self.items.append(Polyline(tuple(self.point(*point) for point in points), pen))


def _break(cut: _Cut, along: float, low: float, high: float) -> None:
    """The line where something drawn goes on."""
    middle, step = (low + high) / 2, 1.1 * cut.scale
    if high - low < 3 * step:
        cut.line(Pen.THIN, (along, low), (along, high))
        return
    cut.line(
        Pen.THIN,
        (along, low),
        (along, middle - step),
        (along + step * 0.8, middle - step / 3),
        (along - step * 0.8, middle + step / 3),
        (along, middle + step),
        (along, high),
    )


def _value(fact: Fact[object]) -> object | None:
    return fact.value if isinstance(fact, Known) else None


def _draw_barrier(cut: _Cut, barrier: BarrierCut, framed: _Across, low: float, high: float) -> None:
    half = barrier.drawn / 2
    pen = Pen.CUT if barrier.thickness is not None else Pen.UNKNOWN
    for side, (a, b) in (("low", (low, framed.low)), ("high", (framed.high, high))):
        for layer in barrier.layers:
            cut.area((layer.start, layer.end), (a, b), layer.fill, Pen.THIN)
        edge = b if side == "low" else a
        far = a if side == "low" else b
        cut.line(pen, (-half, far), (-half, edge))
        cut.line(pen, (half, far), (half, edge))
        cut.line(pen if framed.known else Pen.UNKNOWN, (-half, edge), (half, edge))
        if barrier.is_framed and len(barrier.layers) > 1:
            cavity = barrier.layers[-1]
            inner = edge - 2 * cut.scale * 0.5 if side == "low" else edge + 2 * cut.scale * 0.5
            cut.line(Pen.EDGE, (cavity.start, inner), (cavity.start, edge), (cavity.end, edge), (cavity.end, inner))
        _break_across(cut, far, -half, half)


def _break_across(cut: _Cut, across: float, start: float, end: float) -> None:
    """The line where the barrier goes on."""
    beyond, step = 1.6 * cut.scale, 1.1 * cut.scale
    middle = (start + end) / 2
    cut.line(
        Pen.THIN,
        (start - beyond, across),
        (middle - step, across),
        (middle - step / 3, across + step * 0.8),
        (middle + step / 3, across - step * 0.8),
        (middle + step, across),
        (end + beyond, across),
    )


def _seal_layers(penetration: Penetration, drawn: float, notes: list[str]) -> tuple[tuple[float, float], ...] | None:
    """Where the seal sits along the duct [mm]; None where its depth is not known."""
    depth, faces = _value(penetration.installation.seal_depth_mm), _value(penetration.installation.seal_faces)
    if not isinstance(depth, int | float):
        notes.append("The depth of the seal is not known: the gap is left open in the drawing.")
        return None
    if depth >= drawn:
        return ((-drawn / 2, drawn / 2),)
    if faces == 2:
        if 2 * depth >= drawn:
            return ((-drawn / 2, drawn / 2),)
        notes.append("The depth of the seal is drawn at each of the two faces.")
        return ((-drawn / 2, -drawn / 2 + depth), (drawn / 2 - depth, drawn / 2))
    notes.append("On which face the seal is made is not stated: drawn on the left (in a floor, below).")
    return ((-drawn / 2, -drawn / 2 + depth),)


def _seal_words(penetration: Penetration) -> str:
    facts = penetration.installation
    products = _value(facts.seal_products)
    named = ", ".join(map(str, products)) if isinstance(products, tuple) and products else "product not known"
    depth, faces = _value(facts.seal_depth_mm), _value(facts.seal_faces)
    words = [f"seal: {named}"]
    words.append(f"depth {number_text(depth)}" if isinstance(depth, int | float) else "depth ?")
    if isinstance(faces, int):
        words.append("1 face" if faces == 1 else f"{faces} faces")
    return ", ".join(words)


def _draw_gap(
    cut: _Cut,
    finished: _Across,
    casing: _Across,
    drawn: float,
    layers: Sequence[tuple[float, float]] | None,
    *,
    is_named: bool,
) -> None:
    """The gap on both sides of the duct: hatched where the seal is named and its depth known, else left open."""
    known = finished.known and casing.known and is_named
    for a, b in ((finished.low, casing.low), (casing.high, finished.high)):
        if b <= a:
            continue
        if layers is None:
            cut.area((-drawn / 2, drawn / 2), (a, b), Fill.NONE, Pen.UNKNOWN)
        else:
            for start, end in layers:
                cut.area((start, end), (a, b), Fill.SEAL if is_named else Fill.NONE, Pen.THIN if known else Pen.UNKNOWN)


def _casing_place(penetration: Penetration, drawn: float, stub: float, notes: list[str]) -> tuple[float, float, bool]:
    """Start and end of the casing along the duct [mm], and whether its position is known."""
    position = _value(penetration.installation.position)
    half, out = drawn / 2, stub * 0.34
    notes.append(_NOTE_CASING)
    if position is MountingPosition.ON_FACE:
        notes.append("On which face the damper sits is not stated: drawn on the right (in a floor, above).")
        return half, half + 2 * out, True
    if position is MountingPosition.REMOTE:
        notes.append("How far from the barrier the remote damper sits is not stated: drawn without measure.")
        return half + 0.9 * out, half + 2.5 * out, True
    if position is None:
        notes.append("The position of the damper to the barrier is not known: drawn in the barrier, dashed.")
        return -half - out, half + out, False
    return -half - out, half + out, True


def _draw_duct(cut: _Cut, duct: _Across, stub: float, drawn: float) -> None:
    end = drawn / 2 + stub
    pen = Pen.EDGE if duct.known else Pen.UNKNOWN
    cut.area((-end, end), (duct.low, duct.high), Fill.DUCT, None)
    for edge in (duct.low, duct.high):
        cut.line(pen, (-end, edge), (end, edge))
    for along in (-end, end):
        _break(cut, along, duct.low, duct.high)


def _blade(penetration: Penetration, casing: tuple[float, float, bool], notes: list[str]) -> tuple[float, bool, str]:
    """Where the closed blade is drawn along the duct [mm], whether that is known, and its words."""
    offset = _value(penetration.damper.blade_offset_mm)
    start, end, _ = casing
    middle = (start + end) / 2
    if not isinstance(offset, int | float):
        notes.append("Where the closed blade stands to the middle of the barrier is not known: drawn dashed.")
        return middle, False, "blade line, closed: place ?"
    if offset == 0:
        return 0.0, True, "blade line, closed: in the middle of the barrier"
    notes.append(
        "The sign of the blade's offset is the maker's: drawn to the right (in a floor, upwards) where it is +."
    )
    return float(offset), True, f"blade line, closed: {number_text(offset)} off the middle of the barrier"


def _damper_words(penetration: Penetration, *, placed: bool) -> str:
    size, product = _value(penetration.damper.size), _value(penetration.damper.product)
    words = ["damper casing" if _value(penetration.damper.present) is True else "not stated whether there is a damper"]
    words.append(product if isinstance(product, str) and product else "product not known")
    words.append(size_text(size.width_mm, size.height_mm) if isinstance(size, Size) else "size ?")
    return ", ".join([*words, *([] if placed else ["position ?"])])


def _draw_damper(
    cut: _Cut,
    penetration: Penetration,
    casing: _Across,
    place: tuple[float, float, bool],
    callouts: list[_Callout],
    notes: list[str],
) -> None:
    start, end, placed = place
    present = _value(penetration.damper.present)
    pen = Pen.CUT if casing.known and placed and present is True else Pen.UNKNOWN
    cut.area((start, end), (casing.low, casing.high), Fill.NONE, pen)
    along, known, words = _blade(penetration, place, notes)
    beyond = 1.2 * cut.scale
    cut.line(
        Pen.AXIS if known and present is True else Pen.UNKNOWN,
        (along, casing.low - beyond),
        (along, casing.high + beyond),
    )
    at = cut.point(end, casing.low + 0.25 * (casing.high - casing.low))
    callouts.append(_Callout(at, _damper_words(penetration, placed=placed)))
    callouts.append(_Callout(cut.point(along, casing.low + 0.62 * (casing.high - casing.low)), words))


def _draw_rods(
    cut: _Cut,
    penetration: Penetration,
    casing: _Across,
    place: tuple[float, float, bool],
    high: float,
    callouts: list[_Callout],
) -> None:
    support = _value(penetration.installation.support)
    if support not in {SupportKind.DROP_RODS, SupportKind.BOTH} or cut.is_floor:
        return
    start, end, _ = place
    step = 0.12 * (end - start)
    for along in (start + step, end - step):
        cut.line(Pen.EDGE, (along, casing.high), (along, high))
    callouts.append(
        _Callout(cut.point(end - step, high - 0.1 * (high - casing.high)), "drop rods, drawn without measure")
    )


def _callout_items(callouts: Sequence[_Callout], left: float) -> list[Item]:
    """The words in one column, in the order of what they name, each with its leader."""
    ordered = sorted(callouts, key=lambda item: (item.at[1], item.at[0], item.text))
    rows = [wrapped(item.text, _CALLOUT_WIDTH, TEXT) for item in ordered]
    heights = [len(row) * TEXT * 1.2 for row in rows]
    centres = spread([item.at[1] for item in ordered], heights, 1.6)
    items: list[Item] = []
    for item, row, height, centre in zip(ordered, rows, heights, centres, strict=True):
        items.append(Polyline((item.at, (left - 4.0, centre), (left - 0.8, centre)), Pen.THIN))
        first = centre + height / 2 - TEXT * 0.93
        items += [
            Text((left, first - number * TEXT * 1.2), line, TEXT, ink=item.ink) for number, line in enumerate(row)
        ]
    return items


def _chains(
    cut: _Cut, penetration: Penetration, tested: TestedInstallation | None, barrier: BarrierCut, outlines: Outlines
) -> None:
    """The dimensions: thickness, gaps and size across the duct, finished clear and framed opening."""
    is_floor, scale = cut.is_floor, cut.scale
    box = box_of(cut.items)
    gaps = side_gaps(penetration, tested)
    stated = stated_gaps(penetration)
    low, high = (0, 1) if is_floor else (3, 2)
    surface = penetration.opening.gaps_from
    edges = outlines.casing if isinstance(surface, Known) and str(surface.value) != "duct" else outlines.duct
    base = _across(edges, is_floor=is_floor)
    finished = _across(outlines.finished, is_floor=is_floor)
    framed = _across(outlines.framed, is_floor=is_floor)
    size = None if outlines.size is None else base.high - base.low
    spans = sorted(
        (
            gap_span(gaps[low], stated[low], finished.low / scale, base.low / scale),
            Span(base.low / scale, base.high / scale, length_text(size)),
            gap_span(gaps[high], stated[high], base.high / scale, finished.high / scale),
        ),
        key=lambda span: span.start + span.end,
    )
    facts = penetration.opening
    half = barrier.drawn / 2 / scale
    thick = Span(
        -half, half, length_text(barrier.thickness), pen=Pen.THIN if barrier.thickness is not None else Pen.UNKNOWN
    )
    openings = [
        (f"finished {length_text(size_value(facts.finished, height=not is_floor))}", finished),
        (f"framed {length_text(size_value(facts.framed, height=not is_floor))}", framed),
    ]
    if is_floor:
        cut.items += chain(spans, box.bottom - 3.5, upright=False, size=TEXT, reach_from=box.bottom, outward=-1)
        for number, (text, part) in enumerate(openings):
            span = Span(part.low / scale, part.high / scale, text)
            cut.items += chain([span], box.top + 3.5 + 5.2 * number, upright=False, size=TEXT, reach_from=box.top)
        cut.items += chain([thick], box.left - 3.5, upright=True, size=TEXT, reach_from=box.left, outward=-1)
        return
    width = max(Text((0, 0), span.text, TEXT, ink=span.ink).width() for span in spans)
    line = box.left - 3.5
    cut.items += chain(spans, line, upright=True, size=TEXT, reach_from=box.left, outward=-1)
    for number, (text, part) in enumerate(openings):
        off = line - 5.5 - width - number * 5.0
        span = Span(part.low / scale, part.high / scale, "")
        cut.items += chain([span], off, upright=True, size=TEXT, reach_from=box.left)
        middle = (part.low + part.high) / 2 / scale
        words = Text((0, 0), text, TEXT)
        cut.items.append(Text((off - 0.9, middle - words.width() / 2), text, TEXT, turned=True))
    cut.items += chain([thick], box.top + 3.0, upright=False, size=TEXT, reach_from=box.top)


def section_of(
    penetration: Penetration,
    tested: TestedInstallation | None,
    outlines: Outlines,
    barrier: BarrierCut,
    scale: float,
    *,
    is_floor: bool,
) -> tuple[Drawing, tuple[str, ...]]:
    """The cut through the barrier of a penetration at 1 : `scale`, with notes on what it does not show to measure."""
    cut = _Cut(scale, is_floor=is_floor)
    notes: list[str] = []
    callouts: list[_Callout] = []
    duct = _across(outlines.duct, is_floor=is_floor)
    casing = _across(outlines.casing, is_floor=is_floor)
    finished = _across(outlines.finished, is_floor=is_floor)
    framed = _across(outlines.framed, is_floor=is_floor)
    outer = _across(outer_edges(outlines), is_floor=is_floor)
    margin, stub = _margin(outlines, is_floor=is_floor), _stub(outlines, barrier)
    low, high = outer.low - margin, outer.high + margin
    half = barrier.drawn / 2

    _draw_barrier(cut, barrier, framed, low, high)
    if framed.high > finished.high or finished.low > framed.low:
        pen = Pen.EDGE if framed.known else Pen.UNKNOWN
        cut.area((-half, half), (framed.low, finished.low), Fill.BOARD, pen)
        cut.area((-half, half), (finished.high, framed.high), Fill.BOARD, pen)
    _draw_duct(cut, duct, stub, barrier.drawn)
    no_damper = isinstance(penetration.damper.present, Known) and not penetration.damper.present.value
    position = _value(penetration.installation.position)
    in_gap = duct if no_damper or position in {MountingPosition.ON_FACE, MountingPosition.REMOTE} else casing
    layers = _seal_layers(penetration, barrier.drawn, notes)
    is_named = isinstance(penetration.installation.seal_products, Known)
    _draw_gap(cut, finished, in_gap, barrier.drawn, layers, is_named=is_named)
    if no_damper:
        callouts.append(_Callout(cut.point(half + 0.3 * stub, duct.low), "no damper: the duct passes through"))
    else:
        place = _casing_place(penetration, barrier.drawn, stub, notes)
        _draw_damper(cut, penetration, casing, place, callouts, notes)
        _draw_rods(cut, penetration, casing, place, high, callouts)

    gap_at = half if layers is None else layers[-1][1]
    callouts += [
        _Callout(cut.point(gap_at * 0.7, (in_gap.high + finished.high) / 2), _seal_words(penetration)),
        _Callout(
            cut.point(half + stub * 0.8, duct.high - 0.06 * (duct.high - duct.low)),
            f"duct {length_words(outlines)}",
        ),
    ]
    seen: set[str] = set()
    for number, layer in enumerate(sorted(barrier.layers, key=lambda item: -item.end)):
        if layer.words not in seen:
            seen.add(layer.words)
            along = (layer.start + layer.end) / 2
            callouts.append(
                _Callout(cut.point(along, framed.high + margin * (0.75 - 0.3 * min(number, 1))), layer.words)
            )
    if framed.high > finished.high:
        callouts.append(
            _Callout(
                cut.point(half * 0.5, (framed.low + finished.low) / 2),
                f"lining {number_text(finished.low - framed.low) if framed.known else '?'}",
            )
        )
    _chains(cut, penetration, tested, barrier, outlines)
    box = box_of(cut.items)
    cut.items += _callout_items(callouts, box.right + 6.0)
    seen_from = "along model x, seen level" if is_floor else "upright"
    drawing = Drawing(
        "Cut through the barrier",
        f"{penetration.id}, {barrier.title}, cut {seen_from}; lengths in millimetres",
        box_of(cut.items).grown(1.0),
        tuple(cut.items),
        scale,
    )
    return drawing, tuple(notes)


def length_words(outlines: Outlines) -> str:
    """The duct's size in words."""
    size = outlines.size
    return "size ?" if size is None else size_text(size.width_mm, size.height_mm)
