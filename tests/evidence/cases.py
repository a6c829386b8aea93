# SPDX-License-Identifier: Apache-2.0
"""One change to the ordinary pair (which holds in every check), and what one check then comes to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from brattice.building.penetration import Size
from brattice.evidence import Judgment, KeyDates
from brattice.findings import Known, Verdict
from brattice.quantities import Mm
from tests.helpers.installations import installation
from tests.helpers.judging import DATES, judged, requirement
from tests.helpers.penetrations import known, penetration

__all__ = ["CHANGE", "FAIL", "NA", "PASS", "UNKNOWN", "Case", "on", "outcome", "size"]

PASS, FAIL, UNKNOWN, NA = Verdict.PASS, Verdict.FAIL, Verdict.UNKNOWN, Verdict.NOT_APPLICABLE
CHANGE = "change"
"""Fails, and a change cures it."""


@dataclass(frozen=True)
class Case:
    """A check, what it comes to, and what is changed of site, tested installation, requirement and dates."""

    code: str
    outcome: Verdict | str
    site: dict[str, Any] = field(default_factory=dict)
    tested: dict[str, Any] = field(default_factory=dict)
    asked: dict[str, Any] = field(default_factory=dict)
    dates: KeyDates = DATES

    def judgment(self) -> Judgment:
        """The judgment of the changed pair."""
        return judged(penetration(**self.site), installation(**self.tested), requirement(**self.asked), self.dates)


def outcome(judgment: Judgment, code: str) -> Verdict | str:
    """The worst outcome of a check: a failure beyond cure, not known, a change, a pass, or nothing to check."""
    verdicts = [reason.verdict for reason in judgment.reasons if reason.code == code]
    assert verdicts, f"{code} was not made"
    if FAIL in verdicts and code in {change.code for change in judgment.changes}:
        return UNKNOWN if UNKNOWN in verdicts else CHANGE
    return next(item for item in (FAIL, UNKNOWN, PASS, NA) if item in verdicts)


def size(width: float, height: float | None = None) -> Known[Size]:
    """A size as a fact."""
    return known(Size(Mm(width), None if height is None else Mm(height)))


def on(**days: date | None) -> KeyDates:
    """The dates of the ordinary job with some changed."""
    return replace(DATES, **days)
