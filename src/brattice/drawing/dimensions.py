# SPDX-License-Identifier: Apache-2.0
"""Dimension chains: ticks on one line, extension lines, and texts that keep apart however short the spans are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brattice.drawing.layout import spread
from brattice.drawing.primitives import Anchor, Dimension, Ink, Item, Pen, Point, Polyline, Text
from brattice.drawing.sheet_font import SHEET_FONT

__all__ = ["Span", "chain", "dimension_chain"]

_TICK = 0.8
_BEYOND = 1.0
_TEXT_OFF = 0.8
_LEAST_APART = 0.8
_SIDE_BY_SIDE = 1.4
_RAISED = 2.2
_ASIDE = 1.4


@dataclass(frozen=True)
class Span:
    """One dimension: from, to (paper mm along the chain), its final text, and whether it is not known or wrong.

    `value_mm` is the real length that the text says [mm]; None where it is not known.
    """

    start: float
    end: float
    text: str
    ink: Ink = Ink.PLAIN
    pen: Pen = Pen.THIN
    value_mm: float | None = None


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


def dimension_chain(
    spans: Sequence[Span],
    line: float,
    *,
    upright: bool,
    size: float,
    reach_from: float | None = None,
    outward: int | None = None,
    level: bool = False,
) -> tuple[Dimension, ...]:
    """A chain of dimensions, each a `Dimension` with its real length, after ISO 129-1: texts along their lines.

    Texts stand above a horizontal line and left of an upright one, where they read from the right (with `level` they
    read from below, on the right of the line). A text that its span has no room for stands beside the chain at its
    ends, else it is raised with a leader. Oblique strokes end the lines.

    Parameters
    ----------
    spans : in order along the chain, not overlapping
    line : y of a horizontal dimension line, x of an upright one [mm of paper]
    upright : whether lengths run along y
    size : font size [mm]
    reach_from : where extension lines begin, the edge of what is measured; None for no extension lines
    outward : the side of the line on which texts stand, 1 above or right, -1 below or left; None for the usual one
    level : upright chains only: texts read from below
    """
    if not spans:
        return ()
    is_level = level and upright
    side = outward if outward is not None else -1 if upright and not level else 1
    texts = _placed_texts(spans, line, upright=upright, size=size, outward=side, level=is_level)
    seen: set[float] = set()
    answer = []
    for span, (more, ends) in zip(spans, texts, strict=True):
        items: list[Item] = []
        for edge in (span.start, span.end):
            if edge not in seen:
                seen.add(edge)
                items += _stroke_and_reach(edge, line, reach_from, upright=upright)
        start, end = min(span.start, ends[0]), max(span.end, ends[1])
        items.append(Polyline((_turned(start, line, upright=upright), _turned(end, line, upright=upright)), span.pen))
        begin = line if reach_from is None else reach_from
        first, second = (_turned(edge, begin, upright=upright) for edge in (span.start, span.end))
        answer.append(Dimension(first, second, line, upright, span.text, span.value_mm, (*items, *more)))
    return tuple(answer)


def _turned(along: float, across: float, *, upright: bool) -> Point:
    return (across, along) if upright else (along, across)


def _stroke_and_reach(edge: float, line: float, reach_from: float | None, *, upright: bool) -> list[Item]:
    """The oblique stroke at one end of a dimension, and its extension line."""
    x, y = (line, edge) if upright else (edge, line)
    items: list[Item] = [Polyline(((x - _TICK, y - _TICK), (x + _TICK, y + _TICK)), Pen.EDGE)]
    if reach_from is not None:
        beyond = _BEYOND if line > reach_from else -_BEYOND
        ends = _turned(edge, reach_from + beyond, upright=upright), _turned(edge, line + beyond, upright=upright)
        items.append(Polyline(ends, Pen.THIN))
    return items


def _placed_texts(
    spans: Sequence[Span], line: float, *, upright: bool, size: float, outward: int, level: bool
) -> list[tuple[tuple[Item, ...], tuple[float, float]]]:
    """For each span its text with what leads to it, and how far along the chain its dimension line has to reach."""
    cap = size * SHEET_FONT.cap_height / 1000
    lengths = [cap if level else Text((0, 0), span.text, size, ink=span.ink).width(SHEET_FONT) for span in spans]
    wanted, is_aside = [], []
    for number, (span, length) in enumerate(zip(spans, lengths, strict=True)):
        is_short = length + 0.6 > span.end - span.start
        centre, aside = (span.start + span.end) / 2, False
        if is_short and number == len(spans) - 1:
            centre, aside = span.end + _ASIDE + length / 2, True
        elif is_short and number == 0:
            centre, aside = span.start - _ASIDE - length / 2, True
        wanted.append(centre)
        is_aside.append(aside)
    moved = spread(wanted, lengths, _LEAST_APART if level else _SIDE_BY_SIDE)
    answer: list[tuple[tuple[Item, ...], tuple[float, float]]] = []
    for span, length, place, aside in zip(spans, lengths, moved, is_aside, strict=True):
        middle = (span.start + span.end) / 2
        is_within = span.start <= place - length / 2 and place + length / 2 <= span.end
        is_beyond = aside and (place - length / 2 >= span.end or place + length / 2 <= span.start)
        is_raised = not (is_within or is_beyond)
        off = _TEXT_OFF + (_RAISED if is_raised else 0.0)
        items: list[Item] = []
        if is_raised:
            ends = _turned(middle, line, upright=upright), _turned(place, line + outward * (off - 0.4), upright=upright)
            items.append(Polyline(ends, Pen.THIN))
        items.append(_text(span, place, line, off * outward, cap, size, upright=upright, level=level))
        reach = (place - length / 2, place + length / 2) if is_beyond else (middle, middle)
        answer.append((tuple(items), reach))
    return answer


def _text(
    span: Span, place: float, line: float, off: float, cap: float, size: float, *, upright: bool, level: bool
) -> Text:
    anchor = Anchor.MIDDLE
    if not upright:
        at = (place, line + off if off > 0 else line + off - cap)
    elif level:
        anchor = Anchor.START if off > 0 else Anchor.END
        at = (line + off, place - cap / 2)
    else:
        at = (line + off + cap if off > 0 else line + off, place)
    return Text(at, span.text, size, anchor, span.ink, turned=upright and not level)
