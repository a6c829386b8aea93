# SPDX-License-Identifier: Apache-2.0
"""Many rows, page by page: which page an address asks for, its rows, and where the pages before and after are."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

__all__ = ["PAGE_ROWS", "PART_ROWS", "Part", "page_asked", "part_of"]

PAGE_ROWS = 200
"""How many rows of a list of short rows stand on one page."""

PART_ROWS = 100
"""How many rows of a list of long rows stand on one page."""

_MOST_DIGITS = 6
_T = TypeVar("_T")
_U = TypeVar("_U")


@dataclass(frozen=True)
class Part(Generic[_T]):
    """A part of many rows: those shown, how many there are, which page of how many, addresses before and after.

    `first` counts from 1 among all rows; 0 where there is none.
    """

    rows: tuple[_T, ...]
    total: int
    page: int
    pages: int
    first: int
    before: str
    after: str

    @property
    def last(self) -> int:
        """The place of the last row shown, from 1."""
        return self.first + len(self.rows) - 1 if self.rows else 0

    def each(self, make: Callable[[_T], _U]) -> Part[_U]:
        """The same part with something made of each row that is shown."""
        made = tuple(map(make, self.rows))
        return Part(made, self.total, self.page, self.pages, self.first, self.before, self.after)


def page_asked(given: Mapping[str, str]) -> int:
    """The page that an address asks for, from 1; the first where it means nothing."""
    text = given.get("page", "1")
    return int(text) or 1 if text.isascii() and text.isdecimal() and len(text) <= _MOST_DIGITS else 1


def part_of(rows: Sequence[_T], page: int, address: Callable[[int], str], size: int = PART_ROWS) -> Part[_T]:
    """A page of many rows; one that is not there is the nearest that is. `address` gives that of another page."""
    pages = max(1, -(-len(rows) // size))
    page = min(max(page, 1), pages)
    first = (page - 1) * size
    shown = tuple(rows[first : first + size])
    return Part(
        shown,
        len(rows),
        page,
        pages,
        first + 1 if shown else 0,
        address(page - 1) if page > 1 else "",
        address(page + 1) if page < pages else "",
    )
