# SPDX-License-Identifier: Apache-2.0
"""Rules asked of facts: four outcomes, and an unknown applicability is never *not applicable*.

applies    asks       answer
fails      any        not applicable (one condition that is known not to hold is enough)
holds      holds      pass
holds      fails      fail, or not enough known (somebody is to be asked), or a note, as the rule says
holds      unknown    not enough known
unknown    holds      pass: whether it applies or not, nothing is wrong
unknown    else       not enough known
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeVar

from brattice.errors import OwnFault
from brattice.findings import Fact, Known, Missing, Origin, Party, Reason, Unknown, Verdict
from brattice.requirements.facts import FACTS, FactValue
from brattice.requirements.requirement import Rules
from brattice.rows import Condition, NotMet, Op, RowBook, RowValue, Rule

__all__ = ["Answer", "Facts", "RuleSet", "SatisfiesClass", "answer", "applies", "holds"]

Facts = Mapping[str, Fact[FactValue]]

SatisfiesClass = Callable[[str, str], Verdict]
"""Whether a declared class text satisfies a required one (`classes` answers; here it is handed in)."""


@dataclass(frozen=True)
class Answer:
    """The outcome of one condition or of several together, the facts missing, and the origins of those known."""

    verdict: Verdict
    missing: tuple[Missing, ...] = ()
    origins: tuple[Origin, ...] = ()


def _no_classes(declared: str, required: str) -> Verdict:
    raise OwnFault(f"a rule compares classes ({declared!r} with {required!r}) where none was expected")


def _number(value: object, condition: Condition) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise OwnFault(f"{condition.fact} {condition.op}: {value!r} is no number")
    return float(value)


@lru_cache(maxsize=1024)
def _words(value: object) -> frozenset[str]:
    if isinstance(value, frozenset | tuple):
        return frozenset(str(item) for item in value)
    raise OwnFault(f"{value!r} is no list")


def _meets(value: FactValue, condition: Condition) -> bool:
    asked = condition.value
    if condition.op is Op.EQUALS:
        return value == asked
    if condition.op is Op.IN:
        return str(value) in _words(asked)
    if condition.op is Op.SUBSET:
        return _words(asked) <= _words(value)
    given = _number(value, condition)
    if condition.op is Op.AT_LEAST:
        return given >= _number(asked, condition)
    if condition.op is Op.AT_MOST:
        return given <= _number(asked, condition)
    if not isinstance(asked, tuple) or len(asked) != 2:
        raise OwnFault(f"{condition.fact} between {asked!r}: two numbers are needed")
    return _number(asked[0], condition) <= given <= _number(asked[1], condition)


def _met(value: FactValue, condition: Condition, satisfies: SatisfiesClass) -> Verdict:
    if condition.op is Op.CLASS_SATISFIES:
        return satisfies(str(value), str(condition.value))
    return Verdict.PASS if _meets(value, condition) else Verdict.FAIL


def holds(condition: Condition, facts: Facts, satisfies: SatisfiesClass = _no_classes) -> Answer:
    """Whether a condition holds: PASS, FAIL or UNKNOWN with what is missing."""
    fact = facts.get(condition.fact)
    if fact is None:
        raise OwnFault(f"no fact is called {condition.fact!r}")
    if isinstance(fact, Unknown):
        return Answer(Verdict.UNKNOWN, (fact.missing,))
    return Answer(_met(fact.value, condition, satisfies), (), (fact.origin,))


def applies(rule: Rule, facts: Facts) -> Answer:
    """Whether a rule applies: all its conditions together; one that is known not to hold settles it."""
    missing: list[Missing] = []
    origins: list[Origin] = []
    for condition in rule.applies_to:  # as `holds` for each, without a record of each: it is asked very often
        fact = facts.get(condition.fact)
        if fact is None:
            raise OwnFault(f"no fact is called {condition.fact!r}")
        if isinstance(fact, Unknown):
            missing.append(fact.missing)
            continue
        if condition.op is Op.EQUALS:
            met = fact.value == condition.value
        else:
            met = _met(fact.value, condition, _no_classes) is not Verdict.FAIL
        if not met:
            return _NOT
        origins.append(fact.origin)
    return Answer(Verdict.UNKNOWN if missing else Verdict.PASS, _sorted(missing), _sorted(origins))


_S = TypeVar("_S", Missing, Origin)


def _sorted(items: list[_S]) -> tuple[_S, ...]:
    return tuple(sorted(set(items))) if len(items) > 1 else tuple(items)


_NOT = Answer(Verdict.FAIL)


def _text(value: FactValue | RowValue) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset):
        return " and ".join(sorted(value)) or "none"
    if isinstance(value, tuple):
        return ", ".join(str(item) for item in value)
    return str(value)


_FACT_NAMES = frozenset(spec.name for spec in FACTS)
_LABELS = {spec.name: f"{spec.label}: " for spec in FACTS if spec.label}


def _have(condition: Condition, facts: Facts) -> str:
    fact = facts[condition.fact]
    label = _LABELS.get(condition.fact, "")
    return label + (_text(fact.value) if isinstance(fact, Known) else "not known")


def _need(condition: Condition) -> str:
    value = condition.value
    text = " and ".join(str(item) for item in value) if condition.op is Op.SUBSET and isinstance(value, tuple) else ""
    text = text or _text(value)
    if condition.op is Op.IN:
        return f"one of: {text}"
    before = _LABELS.get(condition.fact, "")
    before += {Op.AT_LEAST: "at least ", Op.AT_MOST: "at most ", Op.BETWEEN: "between "}.get(condition.op, "")
    after = f" {condition.unit}" if condition.unit and condition.op is not Op.CLASS_SATISFIES else ""
    return f"{before}{text}{after}"


@lru_cache(maxsize=1024)
def _does_not_apply(check: str, paraphrase: str, rule_id: str) -> Reason:
    return Reason(check, Verdict.NOT_APPLICABLE, paraphrase, rows=(rule_id,))


def answer(rule: Rule, facts: Facts, subject: str, satisfies: SatisfiesClass = _no_classes) -> Reason:
    """What a rule says of the facts at `subject` (a penetration id), by the table of this module."""
    where = applies(rule, facts)
    if where.verdict is Verdict.FAIL:
        return _does_not_apply(rule.check, rule.paraphrase, rule.id)
    asked = holds(rule.asks, facts, satisfies)
    have, need = _have(rule.asks, facts), _need(rule.asks)
    origins = tuple(sorted({origin for origin in (*where.origins, *asked.origins) if origin.file}))

    def reason(verdict: Verdict, missing: Iterable[Missing] = (), code: str = rule.check) -> Reason:
        return Reason(code, verdict, rule.paraphrase, have, need, (rule.id,), tuple(missing), origins)

    if asked.verdict is Verdict.PASS:
        return reason(Verdict.PASS)
    if where.verdict is Verdict.UNKNOWN:
        return reason(Verdict.UNKNOWN, where.missing)
    if asked.verdict is Verdict.UNKNOWN:
        return reason(Verdict.UNKNOWN, asked.missing)
    if rule.not_met is NotMet.ASK:
        key = f"penetration/{subject}/{rule.id.removeprefix('england.').replace('.', '-')}"
        return reason(Verdict.UNKNOWN, (Missing(key, rule.question, Party(rule.ask)),))
    if rule.not_met is NotMet.NOTE:
        return reason(Verdict.NOT_APPLICABLE, (), f"{rule.check}-note")
    return reason(Verdict.FAIL)


@dataclass(frozen=True)
class RuleSet:
    """The rules of one jurisdiction on one date, by the check they speak for."""

    rules: tuple[Rule, ...]

    @classmethod
    def of(cls, book: RowBook, rules: Rules) -> RuleSet:
        """The rules of the book in force for a job; one that asks of a fact nobody makes is our own fault."""

        def made() -> RuleSet:
            found = book.rules(rules.on, rules.jurisdiction)
            for rule in found:
                for condition in (*rule.applies_to, rule.asks):
                    if condition.fact not in _FACT_NAMES:
                        raise OwnFault(f"rule {rule.id!r} asks of {condition.fact!r}, which is no fact")
            return cls(found)

        return book.once(("rule set", rules.on, rules.jurisdiction), made)

    def check(self, code: str) -> tuple[Rule, ...]:
        """The rules that speak for one check, in the order of ids."""
        return self._by_check.get(code, ())

    @cached_property
    def _by_check(self) -> dict[str, tuple[Rule, ...]]:
        checks = dict.fromkeys(rule.check for rule in self.rules)
        return {check: tuple(rule for rule in self.rules if rule.check == check) for check in checks}
