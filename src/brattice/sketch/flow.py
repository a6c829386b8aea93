# SPDX-License-Identifier: Apache-2.0
"""Words on a sheet in columns: rows of known height that run from one column into the next and on to another sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brattice.drawing.primitives import Box, Ink, Item, Pen, Polyline, Text
from brattice.sketch.viewing import moved

__all__ = ["Block", "Flowed", "Row", "flow"]

_TITLE = 3.4
_TITLE_HEIGHT = 5.6
_AFTER = 3.4


@dataclass(frozen=True)
class Row:
    """One row: its height [mm], its items from its left top corner, and the boxes in it of figures by key.

    `opens` says that a row must not stand last in a column: what it opens follows it.
    """

    height: float
    items: tuple[Item, ...]
    marks: tuple[tuple[str, Box], ...] = ()
    opens: bool = False


@dataclass(frozen=True)
class Block:
    """Rows under a title."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Flowed:
    """What found room: items and boxes of figures on the sheet; `rest` are the blocks that did not, from their first
    row without room on; `bottoms` is how far down each column is used.
    """

    items: tuple[Item, ...]
    marks: tuple[tuple[str, Box], ...]
    rest: tuple[Block, ...]
    bottoms: tuple[float, ...]


def _heading(title: str, left: float, top: float, width: float) -> list[Item]:
    return [
        Text((left, top - _TITLE * 0.8), title, _TITLE, ink=Ink.STRONG),
        Polyline(((left, top - _TITLE * 1.18), (left + width, top - _TITLE * 1.18)), Pen.EDGE),
    ]


def flow(blocks: Sequence[Block], columns: Sequence[Box]) -> Flowed:
    """The blocks in the columns, one after the other."""
    items: list[Item] = []
    marks: list[tuple[str, Box]] = []
    bottoms = [column.top for column in columns]
    at = 0
    for number, block in enumerate(blocks):
        first = 0
        while first < len(block.rows):
            if at >= len(columns):
                rest = Block(block.title, block.rows[first:])
                return Flowed(tuple(items), tuple(marks), (rest, *blocks[number + 1 :]), tuple(bottoms))
            column = columns[at]
            top = bottoms[at] - (_AFTER if bottoms[at] < column.top else 0.0)
            last, used = _fitting(block.rows, first, top - column.bottom - _TITLE_HEIGHT)
            if last == first:
                at += 1
                continue
            said = block.title if first == 0 else f"{block.title}, continued"
            items += _heading(said, column.left, top, column.width)
            y = top - _TITLE_HEIGHT
            for row in block.rows[first:last]:
                items += moved(row.items, (column.left, y))
                marks += [(key, _moved(box, column.left, y)) for key, box in row.marks]
                y -= row.height
            bottoms[at] = top - _TITLE_HEIGHT - used
            first = last
            if first < len(block.rows):
                at += 1
    return Flowed(tuple(items), tuple(marks), (), tuple(bottoms))


def _fitting(rows: Sequence[Row], first: int, room: float) -> tuple[int, float]:
    """The row after the last that fits, and the height used; a row that opens others goes with the next."""
    used, last = 0.0, first
    while last < len(rows) and used + rows[last].height <= room:
        used += rows[last].height
        last += 1
    while first < last < len(rows) and rows[last - 1].opens:
        last -= 1
        used -= rows[last].height
    return last, used


def _moved(box: Box, x: float, y: float) -> Box:
    return Box(box.left + x, box.bottom + y, box.right + x, box.top + y)
