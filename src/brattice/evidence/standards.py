# SPDX-License-Identifier: Apache-2.0
"""The standard and edition that a document names, read, and held against the editions that are known.

National adoptions are the same standard: "BS EN 15650:2010" is EN 15650, edition 2010.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from brattice.evidence.installation import Document
from brattice.rows import Row, RowBook

__all__ = ["EDITION_ROWS", "Editions", "Named", "edition_of", "is_of", "named_by", "year_of"]

EDITION_ROWS = "edition."
"""How the ids of rows begin that each hold one edition of a standard."""

_EUROPEAN = re.compile(r"(?:[A-ZÖ.]{2,6}[ -]+){0,2}?EN[ -]?(\d{3,5}(?:-\d{1,2})?)(?: ?: ?(\d.*))?\Z")
_EDITION = re.compile(r"((?:19|20)\d{2})(?:-\d{2})?((?:\+A\d:(?:19|20)\d{2})*)\Z", re.ASCII)
_YEAR = re.compile(r"(?:19|20)\d{2}", re.ASCII)


@dataclass(frozen=True)
class Named:
    """What a document names: a European standard ("" for none) and its edition ("" where none can be read).

    `agree` is False where the standard's own text names another edition than the document's.
    """

    standard: str
    edition: str
    agree: bool = True


def edition_of(text: str) -> str:
    """An edition as rows write it: `"2005 + A1:2009"` is `"2005+A1:2009"`; "" for what is none."""
    match = _EDITION.match("".join(text.upper().split()))
    return f"{match.group(1)}{match.group(2)}" if match else ""


def named_by(document: Document) -> Named:
    """The standard and edition that a document names."""
    match = _EUROPEAN.match(" ".join(document.standard.split()).upper())
    if match is None:
        return Named("", "")
    edition, within = edition_of(document.edition), match.group(2)
    return Named(f"EN {match.group(1)}", edition, within is None or edition_of(within) == edition)


def is_of(text: str, names: Iterable[str]) -> str:
    """The one of some national standards that a text names, with any part and year of it; "" for none."""
    plain = " ".join(text.split()).upper()
    for name in names:
        if re.match(rf"{re.escape(name)}(?:[ :-]+(?:PARTS? ?)?\d+)*\Z", plain):
            return name
    return ""


@dataclass(frozen=True)
class Editions:
    """The known editions of one standard, the oldest first."""

    rows: tuple[Row, ...]

    @classmethod
    def of(cls, book: RowBook, standard: str) -> Editions:
        """Those that a book of rows holds of a standard like "EN 15650"."""
        start = f"{EDITION_ROWS}{standard.casefold().replace(' ', '-')}."
        found = [max(group, key=lambda row: row.version) for key, group in book.rows.items() if key.startswith(start)]
        return cls(tuple(sorted(found, key=lambda row: (_years(str(row.value)), str(row.value)))))

    @property
    def texts(self) -> tuple[str, ...]:
        """The editions as texts."""
        return tuple(str(row.value) for row in self.rows)

    def row(self, edition: str) -> Row | None:
        """The row of an edition; None where it is not known."""
        return next((row for row in self.rows if row.value == edition), None)

    def after(self, edition: str) -> Row | None:
        """The row of the next newer edition; None for the newest."""
        place = self.texts.index(edition)
        return self.rows[place + 1] if place + 1 < len(self.rows) else None


def _years(edition: str) -> Sequence[int]:
    return [int(year) for year in _YEAR.findall(edition)]


def year_of(edition: str) -> int:
    """The year in which an edition came out, with its amendments."""
    return max(_years(edition))
