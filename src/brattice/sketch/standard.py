# SPDX-License-Identifier: Apache-2.0
"""Standard details: penetrations that are alike in every number that is drawn and in every step share one sheet.

Where it is used stands in a table; what differs from place to place (grid, heights, addresses, neighbours) stands
there too and never on the shared drawing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from brattice.details.detail import InstallationDetail, Standing
from brattice.drawing.primitives import Ink, Pen, Polyline, Text
from brattice.findings import Known
from brattice.sketch.flow import Block, Row
from brattice.sketch.texts import folded
from brattice.sketch.viewing import column_height, text_items

__all__ = ["OF_THE_PLACE", "StandardDetail", "standard_details", "where_used_block"]

OF_THE_PLACE = frozenset(
    {
        "centre-height",
        "sill-height",
        "head-height",
        "grid",
        "opening-by",
        "opening-when",
        "existing-off",
        "phase",
        "quantity",
        "delivery",
        "detector-zone",
        "panel-address",
        "access-side",
    }
)
"""The figures that say where and when, not what is built: they stand in the table of a standard detail."""

_SIZE = 2.6
_HEADS = (
    ("Penetration", 0.16),
    ("Storey", 0.14),
    ("Place, grid", 0.3),
    ("Sill", 0.12),
    ("Head", 0.12),
    ("Address", 0.16),
)


@dataclass(frozen=True)
class StandardDetail:
    """Penetrations that share a drawing: `number` like "S-01", the detail that is drawn, and all that are like it."""

    number: str
    shown: InstallationDetail
    used: tuple[InstallationDetail, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """The permanent ids of the penetrations that it holds for."""
        return tuple(item.id for item in self.used)


def _key(detail: InstallationDetail) -> tuple[object, ...]:
    """All that a sheet shows of an installation save where it is."""
    barrier, tested = detail.penetration.barrier, detail.tested
    code = barrier.wall_type_code
    return (
        detail.standing,
        detail.class_asked,
        detail.class_held,
        detail.actuation_asked,
        detail.deviation,
        detail.changes,
        detail.problems,
        code.value if isinstance(code, Known) else None,
        None if tested is None else (tested.id, tested.document.reference, tested.document.revision),
        tuple(sorted(
            (item.key, item.text, item.limit, item.verdict) for item in detail.figures if item.key not in OF_THE_PLACE
        )),
        tuple((step.trade, step.text, step.hold) for step in detail.steps),
        tuple((near.kind, near.side, near.clear.text, near.clear.limit) for near in detail.neighbours),
    )  # fmt: skip


def standard_details(details: Iterable[InstallationDetail]) -> tuple[StandardDetail, ...]:
    """The groups of two or more that are alike, each in the order of ids; what is like no other is in none.

    Details that are not drawn, or that still lack something, share nothing: each has its own list to settle. Nor does
    one that rests on an accepted deviation: that was accepted for its place.
    """
    groups: dict[tuple[object, ...], list[InstallationDetail]] = {}
    for detail in sorted(details, key=lambda item: item.id):
        if detail.standing is Standing.TO_BUILD and not detail.deviation:
            groups.setdefault(_key(detail), []).append(detail)
    shared = [group for group in groups.values() if len(group) > 1]
    return tuple(
        StandardDetail(f"S-{number:02}", group[0], tuple(group)) for number, group in enumerate(shared, start=1)
    )


def where_used_block(standard: StandardDetail, width: float) -> Block:
    """Where a standard detail is used: one line a penetration with what differs there."""
    lefts, x = [], 0.0
    for _, share in _HEADS:
        lefts.append(x)
        x += share * width
    rooms = [share * width - 1.5 for _, share in _HEADS]
    rows = [_row([head for head, _ in _HEADS], lefts, rooms, Ink.QUIET, width)]
    for detail in standard.used:
        location = detail.penetration.location
        storey = location.storey.value if isinstance(location.storey, Known) else "not known"
        place = ", ".join(text for text in (location.words, detail.text("grid")) if text)
        said = [
            detail.id,
            storey,
            place,
            *(detail.text(key) for key in ("sill-height", "head-height", "panel-address")),
        ]
        rows.append(_row(said, lefts, rooms, Ink.PLAIN, width))
    return Block(f"Standard detail {standard.number}: where it is used", tuple(rows))


def _row(texts: list[str], lefts: list[float], rooms: list[float], ink: Ink, width: float) -> Row:
    cells = [folded(text, room, _SIZE, 3) for text, room in zip(texts, rooms, strict=True)]
    height = column_height(max(map(len, cells)), _SIZE) + 0.9
    items: list[Text | Polyline] = []
    for left, cell in zip(lefts, cells, strict=True):
        items += [item for item in text_items(cell, (left + 0.4, -0.45), _SIZE, ink) if isinstance(item, Text)]
    items.append(Polyline(((0, -height), (width, -height)), Pen.FAINT))
    return Row(height, tuple(items), opens=ink is Ink.QUIET)
