# SPDX-License-Identifier: Apache-2.0
"""The face of an opening: framed and finished clear opening, casing and duct, the gap on each side."""

from __future__ import annotations

from brattice.building.penetration import Penetration, Size
from brattice.building.words import Surface
from brattice.details.opening import SideGap, side_gaps
from brattice.drawing.dimensions import Span, chain
from brattice.drawing.primitives import (
    Circle,
    Drawing,
    Fill,
    Ink,
    Item,
    Pen,
    Point,
    Polygon,
    Polyline,
    box_of,
    rectangle,
)
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Fact, Known
from brattice.sketch.outlines import Edges, Outlines
from brattice.sketch.texts import gap_ink, gap_text, length_text

__all__ = ["elevation_of", "elevation_size", "outer_edges"]

TEXT = 2.9
_MARGIN = 0.16


def outer_edges(outlines: Outlines) -> Edges:
    """The outermost of all outlines [mm]."""
    every = (outlines.duct, outlines.casing, outlines.finished, outlines.framed)
    return Edges(
        min(item.left for item in every),
        max(item.right for item in every),
        min(item.bottom for item in every),
        max(item.top for item in every),
        all(item.known for item in every),
    )


def elevation_size(outlines: Outlines) -> tuple[float, float]:
    """Width and height of what is drawn [mm], dimensions aside."""
    outer = outer_edges(outlines)
    return (outer.right - outer.left) * (1 + 2 * _MARGIN), (outer.top - outer.bottom) * (1 + 2 * _MARGIN)


def _shape(edges: Edges, scale: float, fill: Fill, pen: Pen) -> Item:
    pen = pen if edges.known else Pen.UNKNOWN
    if edges.is_round:
        centre = ((edges.left + edges.right) / 2 / scale, (edges.bottom + edges.top) / 2 / scale)
        return Circle(centre, (edges.right - edges.left) / 2 / scale, fill, pen)
    ring = rectangle(edges.left / scale, edges.bottom / scale, edges.right / scale, edges.top / scale)
    return Polygon((ring,), fill, pen)


def _same(one: Edges, other: Edges) -> bool:
    return (one.left, one.right, one.bottom, one.top) == (other.left, other.right, other.bottom, other.top)


def stated_gaps(penetration: Penetration) -> tuple[float | None, ...]:
    """The gaps as stated (left, right, top, bottom) [mm], each None where not stated."""
    facts = penetration.opening.gaps
    if not isinstance(facts, Known):
        return (None, None, None, None)
    sides = facts.value
    return sides.left_mm, sides.right_mm, sides.top_mm, sides.bottom_mm


def base_text(penetration: Penetration, value: float | None) -> str:
    """The size that gaps start from, named where it is not the duct's own."""
    surface = penetration.opening.gaps_from
    is_duct = not isinstance(surface, Known) or surface.value is Surface.DUCT
    return length_text(value) if is_duct else f"casing {length_text(value)}"


def gap_span(gap: SideGap, stated: float | None, start: float, end: float) -> Span:
    """The dimension of one gap."""
    pen = Pen.WRONG if gap_ink(gap) is Ink.WRONG else Pen.THIN if stated is not None else Pen.UNKNOWN
    return Span(start, end, gap_text(gap, stated), gap_ink(gap), pen)


def _measured(penetration: Penetration, outlines: Outlines) -> Edges:
    """The outline that the stated gaps start from."""
    surface = penetration.opening.gaps_from
    is_duct = not isinstance(surface, Known) or surface.value is Surface.DUCT
    return outlines.duct if is_duct else outlines.casing


def size_value(fact: Fact[Size], *, height: bool) -> float | None:
    """Width or height [mm] of a size that is a fact; the diameter for both of a round one."""
    if not isinstance(fact, Known):
        return None
    size = fact.value
    return size.height_mm if height and size.height_mm is not None else size.width_mm


def elevation_of(
    penetration: Penetration,
    tested: TestedInstallation | None,
    outlines: Outlines,
    scale: float,
    *,
    is_floor: bool,
) -> Drawing:
    """The face of the opening of a penetration at 1 : `scale`."""
    duct, casing, finished, framed = outlines.duct, outlines.casing, outlines.finished, outlines.framed
    outer = outer_edges(outlines)
    far = max(outer.right - outer.left, outer.top - outer.bottom) * _MARGIN * 0.6
    frame = [value / scale for value in (outer.left - far, outer.bottom - far, outer.right + far, outer.top + far)]
    items: list[Item] = [Polygon((rectangle(*frame),), Fill.OTHER, Pen.FAINT)]
    if not _same(framed, finished):
        items.append(_shape(framed, scale, Fill.BOARD, Pen.EDGE))
    is_sealed = isinstance(penetration.installation.seal_products, Known)
    items.append(_shape(finished, scale, Fill.SEAL if is_sealed else Fill.PAPER, Pen.CUT))
    if not _same(casing, duct):
        items.append(_shape(casing, scale, Fill.METAL, Pen.THIN))
    items.append(_shape(duct, scale, Fill.DUCT, Pen.EDGE))
    items += _axes(duct, scale)

    gaps = dict(zip(("left", "right", "top", "bottom"), side_gaps(penetration, tested), strict=True))
    stated = dict(zip(("left", "right", "top", "bottom"), stated_gaps(penetration), strict=True))
    base = _measured(penetration, outlines)
    size = outlines.size
    width = None if size is None else base.right - base.left
    height = None if size is None else base.top - base.bottom
    below, left = frame[1] - 3.5, frame[0] - 3.5
    items += chain(
        _ordered(
            [
                gap_span(gaps["left"], stated["left"], finished.left / scale, base.left / scale),
                Span(base.left / scale, base.right / scale, base_text(penetration, width)),
                gap_span(gaps["right"], stated["right"], base.right / scale, finished.right / scale),
            ]
        ),
        below,
        upright=False,
        size=TEXT,
        reach_from=frame[1],
        outward=-1,
    )
    items += chain(
        _ordered(
            [
                gap_span(gaps["bottom"], stated["bottom"], finished.bottom / scale, base.bottom / scale),
                Span(base.bottom / scale, base.top / scale, length_text(height)),
                gap_span(gaps["top"], stated["top"], base.top / scale, finished.top / scale),
            ]
        ),
        left,
        upright=True,
        size=TEXT,
        reach_from=frame[0],
        outward=-1,
    )
    facts = penetration.opening
    for number, (name, fact, edges) in enumerate(
        (("finished", facts.finished, finished), ("framed", facts.framed, framed))
    ):
        off = 3.5 + number * 5.2
        across, up = size_value(fact, height=False), size_value(fact, height=True)
        items += chain(
            [Span(edges.left / scale, edges.right / scale, f"{name} {length_text(across)}")],
            frame[3] + off,
            upright=False,
            size=TEXT,
            reach_from=frame[3],
        )
        items += chain(
            [Span(edges.bottom / scale, edges.top / scale, length_text(up))],
            frame[2] + 3.5 + number * 8.5,
            upright=True,
            size=TEXT,
            reach_from=frame[2],
        )
    seen = "from above, model x to the right" if is_floor else "from the side the duct comes from"
    return Drawing(
        "Face of the opening",
        f"{penetration.id} seen {seen}; lengths in millimetres",
        box_of(items).grown(1.0),
        tuple(items),
        scale,
    )


def _ordered(spans: list[Span]) -> list[Span]:
    """Spans by their middle, so that an opening that cuts into the duct is still drawn."""
    return sorted(spans, key=lambda span: span.start + span.end)


def _axes(duct: Edges, scale: float) -> list[Item]:
    middle: Point = ((duct.left + duct.right) / 2 / scale, (duct.bottom + duct.top) / 2 / scale)
    reach = 2.2
    return [
        Polyline(((middle[0] - reach, middle[1]), (middle[0] + reach, middle[1])), Pen.THIN),
        Polyline(((middle[0], middle[1] - reach), (middle[0], middle[1] + reach)), Pen.THIN),
    ]
