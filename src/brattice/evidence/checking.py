# SPDX-License-Identifier: Apache-2.0
"""What every check is made of: its outcome, the change that cures it, and what all checks share.

A check comes out by what is certain: it fails when it fails whatever the missing facts turn out to be, it passes when
it passes whatever they turn out to be, and else it is *not enough known*. So taking a fact away never makes a pass.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from brattice.building.penetration import Penetration
from brattice.building.words import SupportingConstruction
from brattice.classes import ClassSteps, Declaration, Family, read_class
from brattice.errors import ClassTextError
from brattice.evidence.codes import CHANGE_WEIGHTS
from brattice.evidence.dates import KeyDates
from brattice.evidence.installation import TestedInstallation, Window
from brattice.evidence.judgment import Change
from brattice.evidence.standards import Editions
from brattice.findings import Fact, Known, Missing, Origin, Party, Reason, Unknown, Verdict
from brattice.quantities import number_text
from brattice.rows import Row, RowBook

__all__ = [
    "DENSE_KINDS",
    "FRAMED_KINDS",
    "NAMED_KINDS",
    "Basis",
    "Checked",
    "Missed",
    "cured",
    "declaration",
    "evidence_missing",
    "failed",
    "known_origins",
    "listed",
    "not_applicable",
    "passed",
    "unknown",
    "wall_fact",
    "window_text",
]


@dataclass(frozen=True)
class Checked:
    """What one check came to: the reason, and the change that cures it when it failed and can be cured."""

    reason: Reason
    change: Change | None = None


@dataclass(frozen=True)
class Basis:
    """What is judged by: dates of the job, rows, class steps, jurisdiction; limits are taken from the rows once."""

    dates: KeyDates
    book: RowBook
    steps: ClassSteps
    jurisdiction: str
    damper_apart_mm: float
    construction_apart_mm: float
    reach_mm: float
    most_angle_deg: float
    editions: Mapping[str, Editions]
    national_standards: tuple[str, ...]
    standards_of_others: frozenset[str]

    @classmethod
    def of(cls, dates: KeyDates, book: RowBook, steps: ClassSteps, jurisdiction: str = "England") -> Basis:
        """The basis of a book of rows; a row that is not there is our own fault (`OwnFault`)."""

        def words(row_id: str) -> tuple[str, ...]:
            value = book.need(row_id, None, jurisdiction).value
            return tuple(str(item) for item in value) if isinstance(value, tuple) else (str(value),)

        dampers = words("product.standards.fire-damper") + words("product.standards.smoke-control-damper")
        return cls(
            dates,
            book,
            steps,
            jurisdiction,
            damper_apart_mm=book.number("scope.separation.dampers"),
            construction_apart_mm=book.number("scope.separation.construction"),
            reach_mm=book.number("scope.separation.reach"),
            most_angle_deg=book.number("scope.angle"),
            editions={standard: Editions.of(book, standard) for standard in dampers},
            national_standards=words("product.standards.national"),
            standards_of_others=frozenset({*dampers, *words("product.standards.of-others")}),
        )

    def holds(self, row_id: str) -> bool:
        """Whether a row of this id is held for the jurisdiction."""
        return any(row.jurisdiction in {"", self.jurisdiction} for row in self.book.rows.get(row_id, ()))

    def day(self, row_id: str) -> date:
        """The date that a row holds."""
        return date.fromisoformat(str(self.book.need(row_id, None, self.jurisdiction).value))

    def stands(self, standard: str, edition: str) -> Row | None:
        """The row that says that results of a superseded edition stand; None where none says so."""
        edition = edition.casefold().replace("+", "-").replace(":", "-")
        return self.book.find(f"edition-stands.{standard.casefold().replace(' ', '-')}.{edition}")

    def words(self, row_id: str, on: date | None = None) -> tuple[str, ...]:
        """The words that a row holds."""
        value = self.book.need(row_id, on, self.jurisdiction).value
        return tuple(str(item) for item in value) if isinstance(value, tuple) else (str(value),)


@lru_cache(maxsize=4096)
def _declaration(text: str, family: Family, steps: ClassSteps) -> Declaration | None:
    try:
        return read_class(text, family, steps)
    except ClassTextError:
        return None


def declaration(text: str, family: Family, basis: Basis) -> Declaration | None:
    """The classes that a text states for a family, or None where it can't be read."""
    return _declaration(text, family, basis.steps)


def passed(
    code: str, text: str, have: str = "", need: str = "", rows: tuple[str, ...] = (), facts: Iterable[Any] = ()
) -> Checked:
    """The check passed."""
    return Checked(Reason(code, Verdict.PASS, text, have, need, rows, (), known_origins(facts)))


def failed(
    code: str, text: str, have: str = "", need: str = "", rows: tuple[str, ...] = (), facts: Iterable[Any] = ()
) -> Checked:
    """The check failed, and no change within the same product, barrier and duct cures it."""
    return Checked(Reason(code, Verdict.FAIL, text, have, need, rows, (), known_origins(facts)))


def cured(
    code: str,
    text: str,
    change: str,
    have: str = "",
    need: str = "",
    rows: tuple[str, ...] = (),
    facts: Iterable[Any] = (),
) -> Checked:
    """The check failed as things stand; the change says what to do about it."""
    reason = Reason(code, Verdict.FAIL, text, have, need, rows, (), known_origins(facts))
    return Checked(reason, Change(code, CHANGE_WEIGHTS[code], change, have, need))


def not_applicable(code: str, text: str, have: str = "", facts: Iterable[Any] = ()) -> Checked:
    """There is nothing to check here."""
    return Checked(Reason(code, Verdict.NOT_APPLICABLE, text, have, "", (), (), known_origins(facts)))


Missed = Missing | Unknown
"""A missing fact as such, or a fact of the penetration that is not known."""


def unknown(
    code: str,
    text: str,
    missing: Iterable[Missed],
    have: str = "",
    need: str = "",
    rows: tuple[str, ...] = (),
    facts: Iterable[Any] = (),
) -> Checked:
    """The check can't be decided without the missing facts."""
    named = tuple(sorted({item.missing if isinstance(item, Unknown) else item for item in missing}))
    return Checked(Reason(code, Verdict.UNKNOWN, text, have, need, rows, named, known_origins(facts)))


def known_origins(facts: Iterable[Any]) -> tuple[Origin, ...]:
    """Where the known ones among some facts come from; a tested installation stands for its own origin."""
    found = {item.origin for item in facts if isinstance(item, Known | TestedInstallation)}
    return tuple(sorted(found))


def evidence_missing(installation: TestedInstallation, field: str, words: str) -> Missing:
    """What the document of an installation, as entered, does not say."""
    return Missing(
        f"evidence/{installation.id}/{field}",
        f"What {installation.document.reference} says of {installation.id}: {words}",
        Party.DAMPER_SUPPLIER,
    )


def window_text(window: Window, unit: str = "mm") -> str:
    """A window in words: `"20 to 50 mm"`."""
    if window.least is not None and window.most is not None:
        if window.least == window.most:
            return f"{number_text(window.least)} {unit}"
        return f"{number_text(window.least)} to {number_text(window.most)} {unit}"
    if window.least is not None:
        return f"at least {number_text(window.least)} {unit}"
    return f"at most {number_text(window.most)} {unit}" if window.most is not None else "any"


def wall_fact(penetration: Penetration, name: str) -> Fact[Any]:
    """A fact of the wall type of a penetration; unknown as long as its code or its row is."""
    wall = penetration.barrier.wall_type
    if wall is not None:
        found: Fact[Any] = getattr(wall, name)
        return found
    code = penetration.barrier.wall_type_code
    if isinstance(code, Unknown):
        return code
    return Unknown(
        Missing(
            f"wall-type/{code.value}/row", f"The row of wall type {code.value} in the wall-type sheet", Party.ARCHITECT
        )
    )


def listed(words: Sequence[str]) -> str:
    """Words in a row: `"a, b or c"`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}" if words else "none"


FRAMED_KINDS = frozenset(
    {
        SupportingConstruction.FLEXIBLE_WALL,
        SupportingConstruction.SHAFT_WALL,
        SupportingConstruction.DOUBLE_STUD_WALL,
        SupportingConstruction.TIMBER_WALL,
    }
)
"""Walls that are told by their boards, studs and filling."""

DENSE_KINDS = frozenset({SupportingConstruction.RIGID_WALL, SupportingConstruction.RIGID_FLOOR})
"""Construction that is told by its thickness and density."""

NAMED_KINDS = frozenset(
    {
        SupportingConstruction.PANEL_WALL,
        SupportingConstruction.COMPOSITE_DECK,
        SupportingConstruction.TIMBER_FLOOR,
        SupportingConstruction.CAVITY_BARRIER,
        SupportingConstruction.OTHER,
    }
)
"""Construction that is told by what it is made of; the words of document and wall type have to agree."""
