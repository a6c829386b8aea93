# SPDX-License-Identifier: Apache-2.0
"""A sheet of paper and the views on it, each at a scale of its own; writers turn a sheet into SVG, PDF or DXF.

Everything lies in millimetres of the sheet, x to the right and y up from the left bottom corner of the trimmed paper.
A view's items lie there too: a writer of real lengths takes the distance from the corner of the view's box times its
denominator.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.drawing.primitives import Box, Drawing, Group, Item

__all__ = ["A3", "A4", "Paper", "Sheet", "View"]


@dataclass(frozen=True)
class Paper:
    """A size of paper as it lies before the reader: its name, width and height [mm]."""

    name: str
    width: float
    height: float

    @property
    def box(self) -> Box:
        """The trimmed sheet."""
        return Box(0.0, 0.0, self.width, self.height)


A3 = Paper("A3", 420.0, 297.0)
"""On its long side: the sheet for the wall of the site office."""
A4 = Paper("A4", 210.0, 297.0)
"""Upright: the sheet for a telephone or a clipboard."""


@dataclass(frozen=True)
class View:
    """One view on a sheet: its title, its box, its scale 1 : `denominator`, its items in millimetres of the sheet.

    `words` says what it shows to somebody who can't see it. A view without a scale (a key, a table) is no view but
    belongs to the items of the sheet.
    """

    title: str
    box: Box
    denominator: float
    items: tuple[Item, ...]
    words: str = ""

    def real(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point of the sheet in real millimetres from the left bottom corner of the view's box."""
        return (point[0] - self.box.left) * self.denominator, (point[1] - self.box.bottom) * self.denominator


@dataclass(frozen=True)
class Sheet:
    """A sheet: its number and title, its paper, its frame with the title block, its views, and all else on it.

    `words` says in a sentence or two what the sheet shows; it is what a reader hears who can't see it. `revision`
    is the index of the revision, "" for the first issue.
    """

    number: str
    title: str
    paper: Paper
    frame: tuple[Item, ...]
    views: tuple[View, ...]
    items: tuple[Item, ...] = ()
    words: str = ""
    revision: str = ""

    def drawing(self) -> Drawing:
        """The whole sheet as one drawing on paper, each view a group with its words."""
        views = tuple(Group(view.words or view.title, view.items) for view in self.views)
        items = (*self.frame, *views, *self.items)
        return Drawing(f"{self.number} {self.title}".strip(), self.words, self.paper.box, items, 1.0)
