# SPDX-License-Identifier: Apache-2.0
"""The sheets of a standard detail: the drawing that its penetrations share, the table of where it is used, and where
every number comes from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from brattice.drawing.primitives import Box, Group, Ink, Item, Layer, Pen, Polyline
from brattice.drawing.sheet import TITLE_HEIGHT_MM, areas_of, sheet_frame
from brattice.drawing.views import Paper, Sheet
from brattice.quantities import number_text
from brattice.sketch.flow import Block, Flowed, Row, flow
from brattice.sketch.installation import PAPERS, TitleFacts, block_of, installation_sheets
from brattice.sketch.standard import StandardDetail, UsedAt
from brattice.sketch.texts import drawable, folded
from brattice.sketch.viewing import cloud, column_height, text_items

__all__ = ["is_where_used", "standard_sheets", "used_key", "where_used_block"]

_KIND = "Standard detail"
_WHERE_USED = ": where it is used"
_SIZE = 2.6
_PAD = 0.9
_NOTE_STRIP = 6.0
_MOST_LINES = 20
_TITLE_IDS = 6
_BOLD = 0.92
"""Bold letters are wider: they are folded as if there were less room."""

_FIXED = (("Penetration", 19.0), ("Known as", 24.0), ("Storey", 24.0), ("Room, place", 34.0))
_WIDTHS = {
    "grid": 20.0,
    "centre-height": 27.0,
    "sill-height": 27.0,
    "head-height": 27.0,
    "opening-by": 30.0,
    "opening-when": 30.0,
    "phase": 20.0,
    "detector-zone": 20.0,
    "detector": 24.0,
    "panel-address": 22.0,
    "near": 60.0,
}
_WIDTH = 26.0
_HOLDS = 70.0
_READ_FIRST = (
    "Look a penetration up before you build it: what differs from place to place stands here alone. What does not "
    "stand in this table is not built by this sheet."
)


def is_where_used(sheet: Sheet) -> bool:
    """Whether a sheet is one of the table of where a standard detail is used."""
    return sheet.title.endswith(_WHERE_USED)


def used_key(name: str) -> str:
    """The key by which a revision says that the line of a penetration changed."""
    return f"used/{name}"


def _line(cells: Sequence[str], lefts: Sequence[float], rooms: Sequence[float], ink: Ink, first: Ink) -> Row:
    folds = [
        folded(text, room * (_BOLD if number == 0 and first is Ink.STRONG else 1.0), _SIZE, _MOST_LINES)
        for number, (text, room) in enumerate(zip(cells, rooms, strict=True))
    ]
    height = column_height(max(map(len, folds)), _SIZE) + 2 * _PAD
    items: list[Item] = []
    for number, (left, cell) in enumerate(zip(lefts, folds, strict=True)):
        items += text_items(cell, (left + 0.4, -_PAD), _SIZE, first if number == 0 else ink)
    width = lefts[-1] + rooms[-1]
    items.append(Polyline(((0, -height), (width, -height)), Pen.FAINT))
    return Row(height + 0.1, tuple(items), opens=ink is Ink.QUIET)


def _note(text: str, width: float) -> Row:
    rows = folded(text, width * _BOLD, _SIZE, _MOST_LINES)
    items = tuple(text_items(rows, (0.4, -_PAD), _SIZE, Ink.STRONG))
    return Row(column_height(len(rows), _SIZE) + 2 * _PAD, items, opens=True)


def _table(standard: StandardDetail, width: float) -> tuple[list[str], list[float], list[list[str]]]:
    """Headings, widths [mm] and texts; on narrow paper what differs stands together in one column."""
    fixed = [[item.id, item.reference, item.storey, item.place] for item in standard.used]
    columns = [*_FIXED, *((heading, _WIDTHS.get(key, _WIDTH)) for key, heading in standard.columns)]
    texts = [[*begin, *item.texts] for begin, item in zip(fixed, standard.used, strict=True)]
    if sum(room for _, room in columns) > width:
        columns = [*_FIXED, ("What holds here", _HOLDS)]
        texts = [[*begin, _together(standard, item)] for begin, item in zip(fixed, standard.used, strict=True)]
    spare = width / sum(room for _, room in columns)
    return [heading for heading, _ in columns], [room * spare for _, room in columns], texts


def _together(standard: StandardDetail, item: UsedAt) -> str:
    pairs = zip((heading for _, heading in standard.columns), item.texts, strict=True)
    return "; ".join(f"{heading}: {text}" for heading, text in pairs)


def where_used_block(standard: StandardDetail, width: float) -> Block:
    """Where a standard detail is used, for a column of this width [mm]: one line a penetration with what differs there.

    Each line is marked by `used_key`.
    """
    heads, widths, texts = _table(standard, width)
    lefts = [sum(widths[:number]) for number in range(len(widths))]
    rooms = [room - 1.6 for room in widths]
    rows = [_note(_READ_FIRST, width), _line(heads, lefts, rooms, Ink.QUIET, Ink.QUIET)]
    for item, cells in zip(standard.used, texts, strict=True):
        row = _line([text or "–" for text in cells], lefts, rooms, Ink.PLAIN, Ink.STRONG)
        box = Box(-0.4, -row.height + 0.45, width - 0.6, -0.35)
        rows.append(replace(row, marks=((used_key(item.id), box),)))
    return Block(f"{standard.number}{_WHERE_USED}", tuple(rows))


def _words_block(title: str, texts: Sequence[str], width: float) -> Block:
    rows = []
    for text in texts:
        lines = folded(text, width - 1.0, _SIZE, _MOST_LINES)
        rows.append(Row(column_height(len(lines), _SIZE) + _PAD, tuple(text_items(lines, (0.4, -0.45), _SIZE))))
    return Block(title, tuple(rows))


def _blocks(standard: StandardDetail, title: TitleFacts, changes: Sequence[str], width: float) -> Iterator[Block]:
    if changes:
        yield _words_block("Since the revision before", changes, width)
    yield where_used_block(standard, width)
    if title.cautions:
        yield _words_block("Cautions", title.cautions, width)


def _table_sheets(
    standard: StandardDetail, title: TitleFacts, paper: Paper, changed: frozenset[str], changes: Sequence[str]
) -> Iterator[Sheet]:
    inner = areas_of(paper).frame.grown(-3.0)
    above = areas_of(paper).frame.bottom + TITLE_HEIGHT_MM + _NOTE_STRIP + 3.0
    box = Box(inner.left, above, inner.right, inner.top)
    block = block_of(standard.shown, title, 0, 0, "")
    waiting = list(_blocks(standard, title, changes, inner.width))
    while waiting:
        part: Flowed = flow(waiting, [box])
        if not part.items:
            raise ValueError("a row that is higher than a whole sheet")
        waiting = list(part.rest)
        clouds = [cloud(mark, 0.0, 0.3) for mark in dict.fromkeys(at for key, at in part.marks if key in changed)]
        yield Sheet(
            block.number,
            f"{block.title}{_WHERE_USED}",
            paper,
            (),
            (),
            (Group("", (*part.items, *clouds), layer=Layer.TEXT),),
            f"{block.number}: the table of the places where this standard detail is used, and what differs there.",
            title.revision,
        )


def _used_words(standard: StandardDetail) -> str:
    ids = standard.ids
    named = ", ".join(ids[:_TITLE_IDS])
    more = f" and {len(ids) - _TITLE_IDS} more" if len(ids) > _TITLE_IDS else ""
    return f"For {len(ids)} penetrations, see the table: {named}{more}"


def standard_sheets(
    standard: StandardDetail,
    title: TitleFacts,
    *,
    paper: str = "A3",
    changed: frozenset[str] = frozenset(),
    changes: Sequence[str] = (),
) -> tuple[Sheet, ...]:
    """The sheets of a standard detail: the drawing, the table of where it is used, where every number comes from.

    Parameters
    ----------
    standard : the penetrations, which are alike
    title : what the title block says
    paper : "A3" or "A4"
    changed : keys of figures, and those of `used_key`, that differ from the revision before; each has a cloud
    changes : what the table says of the revision before: who joined, who left and where that is drawn now
    """
    size = PAPERS[paper]
    drawn = installation_sheets(standard.shown, title, paper=paper, changed=changed)
    count = next((number for number, sheet in enumerate(drawn) if not sheet.views), len(drawn))
    sheets = (*drawn[:count], *_table_sheets(standard, title, size, changed, changes), *drawn[count:])
    used = drawable(_used_words(standard))
    numbered = []
    for number, sheet in enumerate(sheets, start=1):
        scale = ", ".join(dict.fromkeys(f"1:{number_text(view.denominator)}" for view in sheet.views))
        block = block_of(standard.shown, title, number, len(sheets), scale)
        block = replace(block, kind=_KIND, supplementary=used)
        numbered.append(replace(sheet, frame=sheet_frame(size, block)))
    first = numbered[0]
    return (replace(first, words=f"{first.words} {_used_words(standard)}."), *numbered[1:])
