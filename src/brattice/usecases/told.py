# SPDX-License-Identifier: Apache-2.0
"""What is told of one penetration, in the words that every output shares; no judgment is made here."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from brattice.building.penetration import Penetration
from brattice.details.opening import side_gaps
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judgment import Judgment, Scope
from brattice.findings import Fact, Known, Reason, Verdict
from brattice.sketch.texts import window_text
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState
from brattice.usecases.words import NOT_KNOWN, code_words, fact_words

__all__ = [
    "Check",
    "FactGroup",
    "GapLine",
    "OpenKind",
    "OtherLine",
    "checks_of",
    "decision_words",
    "fact_groups",
    "gap_lines",
    "next_step",
    "open_kinds",
    "other_in_short",
    "where_words",
]

_COLUMN = re.compile(r", (columns? '.*)\Z", re.DOTALL)
_ORDER = {Verdict.FAIL: 0, Verdict.UNKNOWN: 1, Verdict.PASS: 2, Verdict.NOT_APPLICABLE: 3}


@dataclass(frozen=True)
class OpenKind:
    """What is open of one kind: the finding code, it in words, each text with its ids (most first), and all ids."""

    code: str
    words: str
    texts: tuple[tuple[str, tuple[str, ...]], ...]
    ids: tuple[str, ...]


@dataclass(frozen=True)
class GapLine:
    """The gap on one side."""

    side: str
    stated: str
    tested: str
    verdict: str


@dataclass(frozen=True)
class Check:
    """One check of the judgment that was chosen."""

    name: str
    reason: Reason
    cured: bool


@dataclass(frozen=True)
class OtherLine:
    """Another judgment in short."""

    judgment: Judgment
    installation: TestedInstallation | None
    why: str


@dataclass(frozen=True)
class FactGroup:
    """Facts of one origin: (name, value, column)."""

    origin: str
    facts: tuple[tuple[str, str, str], ...]


def open_kinds(report: Report) -> tuple[OpenKind, ...]:
    """The kinds of open findings at penetrations, the most frequent first."""
    where: dict[str, dict[str, None]] = {}
    texts: dict[str, dict[str, dict[str, None]]] = {}
    for item in report.penetrations:
        for finding in item.findings:
            if finding.open:
                where.setdefault(finding.code, {})[item.penetration.id] = None
                texts.setdefault(finding.code, {}).setdefault(finding.text, {})[item.penetration.id] = None
    kinds = []
    for code, ids in where.items():
        told = sorted(((text, tuple(names)) for text, names in texts[code].items()), key=lambda line: -len(line[1]))
        kinds.append(OpenKind(code, code_words(code), tuple(told), tuple(ids)))
    return tuple(sorted(kinds, key=lambda kind: (-len(kind.ids), kind.code)))


def checks_of(item: PenetrationReport) -> tuple[Check, ...]:
    """The checks of the judgment that was chosen and of the opening, failing ones first; none without one."""
    if item.chosen is None:
        return ()
    cured = {change.code for change in item.chosen.changes}
    reasons = [*item.chosen.reasons, *(item.opening.reasons if item.opening is not None else ())]
    shown = [reason for reason in reasons if reason.verdict is not Verdict.NOT_APPLICABLE]
    ordered = sorted(shown, key=lambda reason: _ORDER[reason.verdict])
    return tuple(
        Check(
            reason.code.replace("-", " ").capitalize(), reason, reason.code in cured and reason.verdict is Verdict.FAIL
        )
        for reason in ordered
    )


def other_in_short(judgment: Judgment, installations: Mapping[str, TestedInstallation]) -> OtherLine:
    """Another judgment in short: why it does not hold, or what would bring it in."""
    cured = {change.code for change in judgment.changes}
    against = [
        item.text
        for item in judgment.reasons
        if item.verdict is Verdict.UNKNOWN or (item.verdict is Verdict.FAIL and item.code not in cured)
    ]
    if judgment.scope is Scope.WITHIN_IF:
        against = [change.text for change in judgment.changes]
    return OtherLine(judgment, installations.get(judgment.installation_id), " ".join(against))


def gap_lines(item: PenetrationReport, tested: TestedInstallation | None) -> tuple[GapLine, ...]:
    """The gap on each side as stated and as tested; none where neither is there."""
    stated = item.penetration.opening.gaps
    if tested is None and not isinstance(stated, Known):
        return ()
    verdicts = {Verdict.PASS: "within", Verdict.FAIL: "not within", Verdict.UNKNOWN: "not known"}
    lines = []
    for gap in side_gaps(item.penetration, tested):
        text = "not known"
        if isinstance(stated, Known):
            text = f"{getattr(stated.value, f'{gap.side}_mm'):g} mm"
        tested_text = window_text(gap.window)
        lines.append(
            GapLine(gap.side, text, f"{tested_text} mm" if tested_text else "not stated", verdicts.get(gap.verdict, ""))
        )
    return tuple(lines)


def fact_groups(facts: Sequence[tuple[str, str, str]]) -> tuple[FactGroup, ...]:
    """Facts by the file, sheet and row (or element) they come from, in the order in which each first comes."""
    groups: dict[str, list[tuple[str, str, str]]] = {}
    for name, value, origin in facts:
        where = _COLUMN.search(origin)
        head, column = (origin[: where.start()], where.group(1)) if where else (origin, "")
        groups.setdefault(head, []).append((name, value, column))
    return tuple(FactGroup(origin, tuple(items)) for origin, items in groups.items())


def where_words(thing: Penetration) -> str:
    """One line that says where it is and what passes what."""
    barrier, duct = thing.barrier, thing.duct
    words = [_told(thing.location.storey, "storey")]
    if thing.location.words:
        words.append(thing.location.words)
    words += [
        f"duct {_told(duct.size, 'size')}",
        _told(duct.system, "system"),
        f"through: {_told(barrier.role, 'role of the barrier')}",
        f"wall type {_told(barrier.wall_type_code, '')}",
        f"rated {_told(barrier.rating, '')}",
    ]
    return " · ".join(words)


def _told(fact: Fact[Any], name: str) -> str:
    text = fact_words(fact)
    return f"{name} {text}".strip() if text == NOT_KNOWN else text


def decision_words(item: PenetrationReport) -> str:
    """The decisions by people that the answer rests on; "" for none."""
    texts = []
    low, given = item.requirement.lowered_by, item.deviation
    if low is not None:
        texts.append(f"What is asked was lowered by {low.person}, {low.role}, on {low.document}.")
    if given is not None:
        kept = f"; conditions: {given.conditions}" if given.conditions else ""
        texts.append(f"A deviation was accepted by {given.person}, {given.role}, on {given.document}{kept}.")
    return " ".join(texts)


def next_step(item: PenetrationReport) -> str:
    """What the list says comes next; where nothing is open, that this is no approval, so that no line reads as one."""
    if item.chosen is not None and item.chosen.changes and item.state is PenetrationState.WITHIN_SCOPE_IF:
        return " ".join(change.text for change in item.chosen.changes)
    open_texts = [finding.text for finding in item.findings if finding.open]
    if open_texts:
        more = f" (and {len(open_texts) - 1} more)" if len(open_texts) > 1 else ""
        return f"{open_texts[0]}{more}"
    if item.state is PenetrationState.DEVIATION_ACCEPTED:
        return "Nothing else is open; not an approval."
    return "No check failed; not an approval." if item.chosen is not None else "Nothing is open; not an approval."
