# SPDX-License-Identifier: Apache-2.0
"""Whom a missing fact is asked of: the usual party, or the one that the job's own table names for it.

What a contract decides differs from job to job; the usual parties are common practice (trade handbook row 5.4).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from brattice.details.detail import InstallationDetail
from brattice.findings import Finding, Missing
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.job import PartyRule
from brattice.usecases.report_model import PenetrationReport

__all__ = ["PARTY_RULE", "asked_by_rules", "details_asked_by_rules", "unused_rules"]

PARTY_RULE = "party-rule"

APPROVAL = "submittal/approval"
"""What is asked of whoever answers technical submittals; orders are held for it."""

_T = TypeVar("_T")


class _Asking:
    """Replaces the party in every missing fact of an answer, each fact looked up once."""

    def __init__(self, rules: Sequence[PartyRule]) -> None:
        self._rules = rules
        self._known: dict[Missing, Missing] = {}

    def _missing(self, item: Missing) -> Missing:
        found = self._known.get(item)
        if found is None:
            rule = next((rule for rule in self._rules if rule.takes(item.key)), None)
            found = item if rule is None or rule.ask is item.ask else replace(item, ask=rule.ask)
            self._known[item] = found
        return found

    def within(self, thing: _T) -> _T:
        """The same with every missing fact asked of its party; what holds none is returned as it is."""
        if isinstance(thing, Missing):
            return cast(_T, self._missing(thing))
        if isinstance(thing, tuple):
            items = tuple(self.within(item) for item in thing)
            same = all(one is other for one, other in zip(items, thing, strict=True))
            return thing if same else cast(_T, items)
        if not is_dataclass(thing) or isinstance(thing, type):
            return thing
        changed = {}
        for item in fields(thing):
            value = getattr(thing, item.name)
            after = self.within(value)
            if after is not value:
                changed[item.name] = after
        return cast(_T, replace(thing, **changed)) if changed else thing


def asked_by_rules(reports: Sequence[PenetrationReport], rules: Sequence[PartyRule]) -> tuple[PenetrationReport, ...]:
    """The same answers, with every missing fact asked of the party of the first rule that takes it."""
    if not rules:
        return tuple(reports)
    asking = _Asking(rules)
    return tuple(asking.within(report) for report in reports)


def details_asked_by_rules(
    details: dict[str, InstallationDetail], rules: Sequence[PartyRule]
) -> dict[str, InstallationDetail]:
    """The same details, with every missing fact asked of the party of the first rule that takes it."""
    if not rules:
        return details
    asking = _Asking(rules)
    return {name: asking.within(detail) for name, detail in details.items()}


def unused_rules(reports: Iterable[PenetrationReport], rules: Sequence[PartyRule]) -> tuple[Finding, ...]:
    """A note for each name or pattern that takes no missing fact of the job: a slip of the pen, or settled already."""
    if not rules:
        return ()
    keys = {query.missing.key for report in reports for query in report.queries}
    names = [(rule, name) for rule in rules for name in rule.facts]
    return tuple(
        sorted(
            Finding(
                "brattice.toml",
                finding_code(PARTY_RULE, Outcome.NOTE),
                False,
                f"No fact that is missing now is named {name!r}, which the job asks of the {rule.ask}.",
                name,
                "the key of a missing fact, or the end of one",
            )
            for rule, name in names
            if not any(PartyRule((name,), rule.ask).takes(key) for key in (*keys, APPROVAL))
        )
    )
