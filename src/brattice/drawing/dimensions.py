# SPDX-License-Identifier: Apache-2.0
"""Dimension chains: ticks on one line, extension lines, and texts that keep apart however short the spans are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brattice.drawing.layout import spread
from brattice.drawing.primitives import Anchor, Ink, Item, Pen, Point, Polyline, Text

__all__ = ["Span", "chain"]

_TICK = 0.8
_BEYOND = 1.0
_TEXT_OFF = 0.8
_LEAST_APART = 0.8


@dataclass(frozen=True)
class Span:
    """One dimension: from, to (paper mm along the chain), its final text, and whether it is not known or wrong."""

    start: float
    end: float
    text: str
    ink: Ink = Ink.PLAIN
    pen: Pen = Pen.THIN


def chain(
    spans: Sequence[Span],
    line: float,
    *,
    upright: bool,
    size: float,
    reach_from: float | None = None,
    outward: int = 1,
) -> tuple[Item, ...]:
    """A chain of dimensions on a line: horizontal at y = `line`, or `upright` at x = `line`.

    Texts stand level, so that nobody has to turn a page: above a horizontal line (below with `outward` -1), right of
    an upright one (left with `outward` -1). Short spans push their texts apart and a thin leader shows whose text it
    is. `reach_from` is where extension lines begin (None: no extension lines). Spans come in order.
    """
    items: list[Item] = []

    def at(along: float, off: float) -> Point:
        return (line + off, along) if upright else (along, line + off)

    for place in sorted({edge for span in spans for edge in (span.start, span.end)}):
        a, b = (line - _TICK, place - _TICK), (line + _TICK, place + _TICK)
        items.append(Polyline((a, b) if upright else ((a[1], a[0]), (b[1], b[0])), Pen.THIN))
        if reach_from is not None:
            beyond = _BEYOND if line > reach_from else -_BEYOND
            start, end = reach_from + beyond * 0.6, line + beyond
            items.append(
                Polyline(((start, place), (end, place)) if upright else ((place, start), (place, end)), Pen.THIN)
            )
    items += [Polyline((at(span.start, 0), at(span.end, 0)), span.pen) for span in spans]
    centres = [(span.start + span.end) / 2 for span in spans]
    extents = [size * 0.95 if upright else Text((0, 0), span.text, size, ink=span.ink).width() for span in spans]
    moved = spread(centres, extents, _LEAST_APART if upright else 1.6)
    for span, centre, place in zip(spans, centres, moved, strict=True):
        is_pushed = abs(place - centre) > (0.3 if upright else 0.6)
        off = outward * (_TEXT_OFF + (2.0 if is_pushed else 0.0))
        if is_pushed:
            items.append(Polyline((at(centre, 0), at(place, off - outward * 0.4)), Pen.THIN))
        if upright:
            anchor = Anchor.START if outward > 0 else Anchor.END
            spot = (line + off, place - size * 0.36)
        else:
            anchor = Anchor.MIDDLE
            spot = (place, line + off if outward > 0 else line + off - size * 0.73)
        items.append(Text(spot, span.text, size, anchor, span.ink))
    return tuple(items)
