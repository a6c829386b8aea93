# SPDX-License-Identifier: Apache-2.0
"""Judging in tests: the ordinary penetration, what is asked of it, an installation that holds, dates that suit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from brattice.adapters.rows import shipped_book
from brattice.building.penetration import Penetration
from brattice.building.words import Actuation
from brattice.classes import ClassSteps
from brattice.evidence import Judgment, KeyDates, judge
from brattice.evidence.checking import Basis
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Fact, Known, Origin, Reason, Unknown, Verdict
from brattice.requirements import Requirement
from tests.helpers.installations import installation
from tests.helpers.penetrations import ORDINARY

__all__ = ["BASIS", "BOOK", "DATES", "STEPS", "judged", "reasons_of", "requirement", "the_reason"]

BOOK = shipped_book()
STEPS = ClassSteps.from_book(BOOK)
DATES = KeyDates(date(2026, 1, 5), date(2026, 2, 2), date(2026, 3, 2), date(2026, 9, 1))
BASIS = Basis.of(DATES, BOOK, STEPS)
_RULES = Origin("rules")


def requirement(
    class_text: str | tuple[str, ...] | Unknown = "E 60 (ve i↔o)",
    actuation: frozenset[Actuation] | Unknown = frozenset({Actuation.THERMAL}),
    **changes: Any,
) -> Requirement:
    """What is asked: a class (or several that will do) and what makes the damper close."""
    texts = (class_text,) if isinstance(class_text, str) else class_text
    asked: Fact[tuple[str, ...]] = texts if isinstance(texts, Unknown) else Known(texts, _RULES)
    closing: Fact[frozenset[Actuation]] = actuation if isinstance(actuation, Unknown) else Known(actuation, _RULES)
    return replace(Requirement("P-0001", Verdict.PASS, (), asked, closing, ()), **changes)


def judged(
    penetration: Penetration = ORDINARY,
    tested: TestedInstallation | None = None,
    asked: Requirement | None = None,
    dates: KeyDates = DATES,
) -> Judgment:
    """The judgment of a pair; what is not given is the ordinary one, which holds."""
    return judge(
        penetration,
        requirement() if asked is None else asked,
        installation() if tested is None else tested,
        dates,
        BOOK,
        STEPS,
    )


def reasons_of(judgment: Judgment, code: str) -> tuple[Reason, ...]:
    """The reasons of one check."""
    return tuple(reason for reason in judgment.reasons if reason.code == code)


def the_reason(judgment: Judgment, code: str) -> Reason:
    """The one reason of a check."""
    (only,) = reasons_of(judgment, code)
    return only
