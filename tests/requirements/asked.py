# SPDX-License-Identifier: Apache-2.0
"""What the tests of this room share: England's rules on a date, the shipped book, and short ways to ask."""

from dataclasses import replace
from datetime import date
from functools import cache
from typing import Any

from brattice.adapters.rows import shipped_book
from brattice.building.penetration import Penetration
from brattice.building.words import Actuation, ProtectionMethod, SpaceUse
from brattice.classes import ClassSteps
from brattice.findings import Fact, Known, Reason, Verdict, all_of
from brattice.requirements.asking import require
from brattice.requirements.requirement import Demand, LoweredRequirement, MethodAnswer, Requirement, Rules
from brattice.requirements.scheduled import check_scheduled
from brattice.rows import RowBook

METHOD_1 = ProtectionMethod.FIRE_DAMPER
METHOD_2 = ProtectionMethod.ENCLOSURE
METHOD_3 = ProtectionMethod.FIRE_RESISTING_DUCT
METHOD_4 = ProtectionMethod.FIRE_AND_SMOKE_DAMPER

THERMAL = frozenset({Actuation.THERMAL})
SMOKE = frozenset({Actuation.SMOKE_DETECTION})
BOTH = THERMAL | SMOKE

PASS, FAIL, NA, UNKNOWN = Verdict.PASS, Verdict.FAIL, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN

ENGLAND = Rules("England", "ADB 2019 with amendments to 2025", date(2026, 3, 1), "non-residential")


@cache
def book() -> RowBook:
    return shipped_book()


@cache
def steps() -> ClassSteps:
    return ClassSteps.from_book(book())


def under(**changes: Any) -> Rules:
    return replace(ENGLAND, **changes)


def spaces(*uses: SpaceUse) -> frozenset[SpaceUse]:
    return frozenset(uses)


def asked(penetration: Penetration, rules: Rules = ENGLAND) -> Requirement:
    return require(penetration, rules, book(), steps())


def checked(penetration: Penetration, rules: Rules = ENGLAND) -> dict[str, list[Reason]]:
    """The reasons of what is scheduled, by code."""
    found: dict[str, list[Reason]] = {}
    for reason in check_scheduled(penetration, asked(penetration, rules), book(), steps()):
        found.setdefault(reason.code, []).append(reason)
    return found


def verdict(penetration: Penetration, code: str, rules: Rules = ENGLAND) -> Verdict | None:
    """The verdict of one check; None where it was not made."""
    reasons = checked(penetration, rules).get(code)
    return all_of(reason.verdict for reason in reasons) if reasons else None


def overall(penetration: Penetration, rules: Rules = ENGLAND) -> Verdict:
    """All checks together with what the requirement itself leaves open."""
    requirement = asked(penetration, rules)
    reasons = check_scheduled(penetration, requirement, book(), steps())
    verdicts = [requirement.needed, *(reason.verdict for reason in reasons)]
    return all_of([*verdicts, UNKNOWN] if requirement.missing else verdicts)


def method(requirement: Requirement, which: ProtectionMethod) -> MethodAnswer:
    return next(item for item in requirement.methods if item.method is which)


def value(fact: Fact[Any] | None) -> Any:
    """A fact's value, or the key of what is missing."""
    assert fact is not None
    return fact.value if isinstance(fact, Known) else fact.missing.key


def demand(class_text: str = "", actuation: frozenset[Actuation] | None = None, **where: Any) -> Demand:
    return Demand("FS-01 fire strategy", "C", class_text=class_text, actuation=actuation, **where)


def lowered(class_text: str = "", actuation: frozenset[Actuation] | None = None, **changes: Any) -> LoweredRequirement:
    stated: dict[str, Any] = {
        "penetrations": ("P-0001",),
        "person": "R. Invented",
        "role": "fire engineer",
        "document": "FS-17 letter",
        "revision": "B",
        "on": date(2026, 2, 1),
        "why": "sprinklers throughout",
    }
    return LoweredRequirement(class_text=class_text, actuation=actuation, **(stated | changes))
