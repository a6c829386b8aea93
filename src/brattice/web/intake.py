# SPDX-License-Identifier: Apache-2.0
"""What the pages are told of a schedule on its way in, and what a person says of it: the mapping, typed.

ScheduleCard     a schedule of the job, and whether a person still has to say how it is read
MappingView      one schedule with its mapping as it stands or is proposed, and what it reads with it
MappingGiven     the mapping as somebody chose it in the form
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from brattice.errors import Fault

__all__ = [
    "ColumnGiven",
    "ColumnView",
    "KeyChoice",
    "MappingGiven",
    "MappingView",
    "MeaningView",
    "ReadingView",
    "ScheduleCard",
    "ScheduleStep",
    "SheetView",
    "UnreadView",
]


class ScheduleStep(StrEnum):
    """How far a schedule of a job is."""

    TO_MAP = "how it is read has to be settled"
    MAPPED = "read by its mapping"
    OURS = "a sheet of our own form, read as it is"
    INCOMING = "a newer file waits to be taken"
    BROKEN = "can't be read"


@dataclass(frozen=True)
class ScheduleCard:
    """A schedule of a job, counted from 1: its path in the job, how far it is, what is wrong, the files kept of it."""

    number: int
    path: str
    step: ScheduleStep
    why: str = ""
    kept: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetView:
    """A sheet of the workbook: name ("" in a table of text), rows that hold something, whether hidden, whether read."""

    name: str
    rows: int
    hidden: bool
    chosen: bool


@dataclass(frozen=True)
class KeyChoice:
    """A key that a heading may be mapped to: the key, its words, the group it stands in.

    `unit` says what units it takes: "length", "time" or "".
    """

    key: str
    words: str
    group: str
    unit: str = ""
    order: bool = False


@dataclass(frozen=True)
class MeaningView:
    """What a heading may mean: the key, how sure (0 to 1), why."""

    key: str
    score: float
    why: str


@dataclass(frozen=True)
class ColumnView:
    """A heading of theirs with its column's letters, what it is mapped to ("" for kept as text), and why.

    `score` goes from 0 to 1, and is None where a person settled it. `is_open` says that a person has to settle it,
    `is_new` that an earlier revision had it not.
    """

    letter: str
    heading: str
    key: str
    unit: str
    order: str
    score: float | None
    why: str
    others: tuple[MeaningView, ...]
    examples: tuple[str, ...]
    is_open: bool = False
    is_new: bool = False


@dataclass(frozen=True)
class UnreadView:
    """A cell that was not read: where, under which heading, what stands there, what would be read."""

    cell: str
    heading: str
    found: str
    expected: str


@dataclass(frozen=True)
class ReadingView:
    """What is read with a mapping: how many rows, the first of them as they were read, and what was not.

    `heads` are the words of the keys, `rows` (number of the row, a text a key, the cells not read). `passed` are rows
    taken for no penetration: (number, why, text). Of long lists the first stand here; the counts are of all.
    """

    count: int
    heads: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    unread_count: int
    unread: tuple[UnreadView, ...]
    passed_count: int
    passed: tuple[tuple[int, str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ColumnGiven:
    """What somebody chose for a heading; no key keeps it as text."""

    heading: str
    key: str
    unit: str = ""
    order: str = ""


@dataclass(frozen=True)
class MappingGiven:
    """The mapping as somebody chose it: sheets, the first row of the headings (from 1), how many rows they take …

    `shown_sheet`, `shown_first` and `shown_count` are those that `columns` were shown for: where they differ from what
    is chosen now, other headings stand there, and the columns are proposed anew.
    """

    sheets: tuple[str, ...]
    first: int
    count: int
    hidden_rows: str
    merged_cells: str
    formulas: str
    totals: bool
    notes: bool
    repeated_headings: bool
    columns: tuple[ColumnGiven, ...]
    shown_sheet: str = ""
    shown_first: int = 0
    shown_count: int = 0


@dataclass(frozen=True)
class MappingView:
    """A schedule with its mapping. `incoming` says that a newer file waits; `replaces` is what it takes the place of.

    `ours` says that the sheet is of our own form and needs no mapping. `gone` are headings of the mapping that the
    file has no longer: (heading, its key, what it may be called now). `faults` say what is wrong with what was chosen.
    """

    number: int
    path: str
    incoming: bool
    ours: bool
    saved: bool
    sheets: tuple[SheetView, ...]
    first: int
    count: int
    hidden_rows: str
    merged_cells: str
    formulas: str
    totals: bool
    notes: bool
    repeated_headings: bool
    columns: tuple[ColumnView, ...]
    gone: tuple[tuple[str, str, str], ...]
    said: tuple[str, ...]
    faults: tuple[Fault, ...]
    keys: tuple[KeyChoice, ...]
    reading: ReadingView | None
    top: tuple[tuple[int, tuple[str, ...]], ...] = ()
    keeps: str = ""

    @property
    def open_count(self) -> int:
        """How many headings a person has to settle."""
        return sum(column.is_open for column in self.columns)
