# SPDX-License-Identifier: Apache-2.0
"""Normative values as data rows with a passport, and the book they stand in.

No normative number stands in code: a room is handed a `RowBook` and asks it for a row by id, for a
jurisdiction and a date. Rows are read by `adapters.rows`; a project can confirm a row.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cached_property
from typing import Any, TypeVar

from brattice.errors import OwnFault

__all__ = ["Clause", "Condition", "Confirmation", "HowKnown", "NotMet", "Op", "Row", "RowBook", "RowValue", "Rule"]

_T = TypeVar("_T")

RowValue = int | float | str | bool | tuple[int, ...] | tuple[float, ...] | tuple[str, ...]


class HowKnown(StrEnum):
    """How the value of a row is known."""

    READ = "read"
    SECONDARY = "secondary"
    MEMORY = "memory"


@dataclass(frozen=True)
class Clause:
    """Where a value stands: standard or document, clause ("" when not known), edition ("" when not known)."""

    standard: str
    clause: str = ""
    edition: str = ""

    def __str__(self) -> str:
        head = f"{self.standard}:{self.edition}" if self.edition else self.standard
        return f"{head}, {self.clause}" if self.clause else head


@dataclass(frozen=True)
class Row:
    """One normative value with its passport.

    `confidence` is "high", "medium" or "low" and says how sure we are where `how_known` is memory ("" else).
    `jurisdiction` is "" where a value holds everywhere. `handbook` names the rows of the trade handbook
    that it was taken from. `paraphrase` is our own wording, never a standard's. `advice` marks a value that may
    add to a quantity or raise a question, but never fails or passes anything.
    """

    id: str
    version: int
    value: RowValue
    unit: str
    clause: Clause
    how_known: HowKnown
    paraphrase: str
    confidence: str = ""
    jurisdiction: str = ""
    in_force_from: date | None = None
    in_force_to: date | None = None
    handbook: tuple[str, ...] = ()
    advice: bool = False

    def holds(self, on: date, jurisdiction: str) -> bool:
        """Whether the row is in force on a date (both ends included) and in a jurisdiction."""
        if self.jurisdiction not in {"", jurisdiction}:
            return False
        if self.in_force_from is not None and on < self.in_force_from:
            return False
        return self.in_force_to is None or on <= self.in_force_to


class Op(StrEnum):
    """The closed list of what a rule can ask of a fact; anything else is a named predicate in Python.

    `SUBSET`: all of the row's words are among the fact's. `BETWEEN`: both ends included. `CLASS_SATISFIES`: the
    fact is a class text that satisfies the row's.
    """

    EQUALS = "=="
    IN = "in"
    AT_LEAST = ">="
    AT_MOST = "<="
    BETWEEN = "between"
    SUBSET = "subset"
    CLASS_SATISFIES = "class_satisfies"


@dataclass(frozen=True)
class Condition:
    """One fact by name, what is asked of it, and the value with its unit."""

    fact: str
    op: Op
    value: RowValue
    unit: str = ""


class NotMet(StrEnum):
    """What it means when a rule is not met: it fails, somebody has to be asked, or it is only shown."""

    FAILS = "fails"
    ASK = "ask"
    NOTE = "note"


@dataclass(frozen=True)
class Rule(Row):
    """A row that asks something: where all of `applies_to` hold, `asks` must hold. `check` is the code it speaks for.

    `value` and `unit` are those of `asks`. Where not meeting it means that somebody has to be asked, `question` says
    what ("Whether …") and `ask` whom.
    """

    check: str = field(kw_only=True)
    asks: Condition = field(kw_only=True)
    applies_to: tuple[Condition, ...] = field(kw_only=True, default=())
    not_met: NotMet = field(kw_only=True, default=NotMet.FAILS)
    question: str = field(kw_only=True, default="")
    ask: str = field(kw_only=True, default="fire engineer")


@dataclass(frozen=True)
class Confirmation:
    """Somebody compared a row with the document itself: who, when, from which copy."""

    row_id: str
    version: int
    who: str
    when: date
    copy: str


@dataclass(frozen=True)
class RowBook:
    """Shipped and confirmed rows, as an argument like date and jurisdiction."""

    rows: Mapping[str, tuple[Row, ...]]
    confirmations: Mapping[str, Confirmation] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Iterable[Row], confirmations: Iterable[Confirmation] = ()) -> RowBook:
        """A book of rows; several rows may share an id (other dates or jurisdictions)."""
        by_id: dict[str, list[Row]] = {}
        for row in rows:
            by_id.setdefault(row.id, []).append(row)
        return cls(
            {key: tuple(group) for key, group in sorted(by_id.items())},
            {item.row_id: item for item in confirmations},
        )

    def find(self, row_id: str, on: date | None = None, jurisdiction: str = "") -> Row | None:
        """The row of an id that holds on a date in a jurisdiction, or None.

        Without a date the row must be undated by nature (a class step, say): the newest version answers.
        """
        return self.once(("find", row_id, on, jurisdiction), lambda: self._newest(row_id, on, jurisdiction))

    def _newest(self, row_id: str, on: date | None, jurisdiction: str) -> Row | None:
        group = self.rows.get(row_id, ())
        holding = [row for row in group if on is None or row.holds(on, jurisdiction)]
        return max(holding, key=lambda row: row.version, default=None)

    def under(self, prefix: str) -> tuple[Row, ...]:
        """All rows, of any date and jurisdiction, whose id begins so; in the order of ids and versions."""
        return self.once(
            ("under", prefix),
            lambda: tuple(row for row_id, rows in self.rows.items() if row_id.startswith(prefix) for row in rows),
        )

    def once(self, name: tuple[Hashable, ...], make: Callable[[], _T]) -> _T:
        """What `make` makes of the rows, made once for a name: each penetration asks for the same."""
        if name not in self._made:
            self._made[name] = make()
        made: _T = self._made[name]
        return made

    @cached_property
    def _made(self) -> dict[tuple[Hashable, ...], Any]:
        return {}

    def need(self, row_id: str, on: date | None = None, jurisdiction: str = "") -> Row:
        """The row of an id that holds; a missing one is our own fault (`OwnFault`)."""
        row = self.find(row_id, on, jurisdiction)
        if row is None:
            raise OwnFault(f"no row {row_id!r} holds on {on} in {jurisdiction or 'any jurisdiction'}")
        return row

    def number(self, row_id: str, on: date | None = None, jurisdiction: str = "") -> float:
        """The value of a row that holds one number."""
        value = self.need(row_id, on, jurisdiction).value
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise OwnFault(f"row {row_id!r} holds no number: {value!r}")
        return float(value)

    def numbers(self, row_id: str, on: date | None = None, jurisdiction: str = "") -> tuple[float, ...]:
        """The value of a row that holds several numbers."""
        value = self.need(row_id, on, jurisdiction).value
        if not isinstance(value, tuple) or any(isinstance(item, str) for item in value):
            raise OwnFault(f"row {row_id!r} holds no numbers: {value!r}")
        return tuple(float(item) for item in value)

    def integers(self, row_id: str, on: date | None = None, jurisdiction: str = "") -> tuple[int, ...]:
        """The value of a row that holds whole numbers."""
        value = self.need(row_id, on, jurisdiction).value
        if not isinstance(value, tuple) or not all(isinstance(item, int) for item in value):
            raise OwnFault(f"row {row_id!r} holds no whole numbers: {value!r}")
        return tuple(int(item) for item in value)

    def rules(self, on: date, jurisdiction: str) -> tuple[Rule, ...]:
        """The rules in force on a date in a jurisdiction, the newest version of each, in the order of ids."""
        holding = (self.find(row_id, on, jurisdiction) for row_id in self._rule_ids)
        return tuple(row for row in holding if isinstance(row, Rule))

    @cached_property
    def _rule_ids(self) -> tuple[str, ...]:
        return tuple(
            sorted(row_id for row_id, group in self.rows.items() if any(isinstance(row, Rule) for row in group))
        )

    def is_confirmed(self, row: Row) -> bool:
        """Whether the row was read in its source by us, or confirmed (in this version) by the project."""
        given = self.confirmations.get(row.id)
        return row.how_known is HowKnown.READ or (given is not None and given.version == row.version)
