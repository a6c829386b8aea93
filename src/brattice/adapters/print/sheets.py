# SPDX-License-Identifier: Apache-2.0
"""Sheets as one PDF file: each on a page of its own size, its lines a picture, its texts set as text.

A text within a picture costs the typesetter several times the memory of one that it sets itself, so the picture of a
sheet holds lines and surfaces alone, and each text is put where the core placed it. Texts that follow each other down a
column are set together. A reader who can't see the sheet hears its texts in their order, after the
words of the picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from brattice.adapters.drawing import svg_document
from brattice.adapters.print.fonts import printable_line
from brattice.adapters.print.look import PRINT
from brattice.adapters.print.typeset import typeset
from brattice.drawing.primitives import Anchor, Dimension, Drawing, Group, Ink, Item, Text, flat
from brattice.drawing.views import Sheet

__all__ = ["sheets_pdf"]

_ANCHORS = {Anchor.START: 0, Anchor.MIDDLE: 1, Anchor.END: 2}
_INKS = {Ink.PLAIN: 0, Ink.QUIET: 1, Ink.STRONG: 2, Ink.WRONG: 3}
_SAME = 1e-3
_LINES_APART = 3.0
_NO_NAME = "A sheet"


def sheets_pdf(sheets: Sequence[Sheet], *, title: str, epoch: int, subject: str) -> bytes:
    """The sheets as the bytes of one PDF file, in their order: PDF/A-2a and PDF/UA-1 as far as the typesetter checks.

    Parameters
    ----------
    sheets : one or more
    title : the title of the document
    epoch : the one time in the file [s since 1970]
    subject : what is printed, for messages

    Raises
    ------
    ValueError : there is no sheet
    InputError : the pages need more memory or time than they may
    OwnFault : the template can't be set
    """
    if not sheets:
        raise ValueError("no sheet to print")
    files: dict[str, bytes] = {}
    marks: dict[str, list[list[Any]]] = {}
    pages = []
    for number, sheet in enumerate(sheets, start=1):
        drawing = sheet.drawing()
        if sheet.paper.name not in marks:
            marks[sheet.paper.name] = list(_runs(sheet.paper.height, filter(_is_ornament, sheet.frame)))
        name = f"sheet-{number}.svg"
        bare = Drawing(drawing.title, drawing.words, drawing.frame, tuple(_without_texts(drawing.items)), 1.0)
        files[name] = svg_document(bare, PRINT).encode()
        pages.append(
            {
                "file": name,
                "width": sheet.paper.width,
                "height": sheet.paper.height,
                "name": printable_line(drawing.title) or _NO_NAME,
                "alt": _words(sheet),
                "marks": sheet.paper.name,
                "texts": list(_runs(sheet.paper.height, _said(sheet))),
            }
        )
    data = {"title": title, "sheets": pages, "marks": marks}
    return typeset("sheets", data, epoch=epoch, subject=subject, files=files)


def _is_ornament(item: Item) -> bool:
    """Whether a part of a frame says nothing of its sheet: the letters and numbers of its fields."""
    return isinstance(item, Group) and not item.label


def _said(sheet: Sheet) -> Iterator[Item]:
    """What a sheet says, in the order in which it is heard: its title block, its views, its notes."""
    yield from (item for item in sheet.frame if not _is_ornament(item))
    for view in sheet.views:
        yield from view.items
    yield from sheet.items


def _words(sheet: Sheet) -> str:
    """What the picture of a sheet shows, in words."""
    views = [f"{view.title}{f': {view.words}' if view.words else ''}" for view in sheet.views]
    parts = [sheet.words or f"{sheet.number} {sheet.title}".strip() or _NO_NAME, *views]
    return " ".join(f"{part.rstrip('.')}." for part in map(printable_line, parts) if part)


def _without_texts(items: Iterable[Item]) -> Iterator[Item]:
    """Lines and surfaces; groups and dimensions are opened, so that lines of one pen stand together."""
    for item in items:
        if isinstance(item, Group | Dimension):
            yield from _without_texts(item.items)
        elif not isinstance(item, Text):
            yield item


@dataclass
class _Run:
    """Lines of text under each other in one column, the same distance apart."""

    first: Text
    lines: list[str]
    pitch: float

    def takes(self, item: Text) -> bool:
        """Whether the text is the next line; the second decides the distance."""
        if (
            item.turned
            or item.anchor is not Anchor.START
            or replace(item, at=self.first.at, text="") != replace(self.first, text="")
        ):
            return False
        if abs(item.at[0] - self.first.at[0]) > _SAME:
            return False
        down = self.first.at[1] - item.at[1]
        if len(self.lines) == 1:
            return 0 < down < _LINES_APART * item.size
        return abs(down - self.pitch * len(self.lines)) < _SAME


def _runs(height: float, items: Iterable[Item]) -> Iterator[list[Any]]:
    """The texts in their order: x and y from the left top corner, lines, size, anchor, ink, turned, distance [mm]."""
    run: _Run | None = None
    for item in flat(items):
        if not isinstance(item, Text):
            continue
        line = printable_line(item.text)
        if not line:
            continue
        if run is not None and run.takes(item):
            if len(run.lines) == 1:
                run.pitch = run.first.at[1] - item.at[1]
            run.lines.append(line)
            continue
        if run is not None:
            yield _row(run, height)
        run = _Run(item, [line], 0.0)
    if run is not None:
        yield _row(run, height)


def _row(run: _Run, height: float) -> list[Any]:
    x, y = run.first.at
    first = run.first
    return [
        round(x, 3),
        round(height - y, 3),
        run.lines,
        round(first.size, 3),
        _ANCHORS[first.anchor],
        _INKS[first.ink],
        first.turned,
        round(run.pitch, 3),
    ]
