# SPDX-License-Identifier: Apache-2.0
"""Rules read from their tables: an op may only stand with a value that it can be asked of."""

from __future__ import annotations

from brattice.adapters.rows.schema import ConditionTable, FileTable, RuleTable, frozen_value
from brattice.errors import Fault
from brattice.findings import Party
from brattice.rows import Clause, Condition, HowKnown, NotMet, Op, RowValue, Rule

__all__ = ["rule_faults", "rule_of"]


def _is_number(value: RowValue) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _expected(condition: Condition) -> str:
    """What the value should have been ("" when it is right)."""
    value = condition.value
    if condition.op in {Op.AT_LEAST, Op.AT_MOST} and not _is_number(value):
        return "a number"
    if condition.op is Op.BETWEEN:
        if not isinstance(value, tuple) or len(value) != 2 or any(isinstance(item, str) for item in value):
            return "two numbers, the lower first"
        low, high = value
        if isinstance(low, str) or isinstance(high, str) or low > high:
            return "two numbers, the lower first"
    if condition.op in {Op.IN, Op.SUBSET} and (not isinstance(value, tuple) or not value):
        return "a list that is not empty"
    if condition.op is Op.CLASS_SATISFIES and not isinstance(value, str):
        return "a class text"
    if condition.op is Op.EQUALS and isinstance(value, tuple):
        return "one value; a list takes the op 'in' or 'subset'"
    return ""


def _condition(table: ConditionTable) -> Condition:
    return Condition(table.fact, Op(table.op), frozen_value(table.value), table.unit)


def rule_of(table: RuleTable, file: FileTable) -> Rule:
    """The rule of a table, with what the file's `[source]` adds to it."""
    asks = _condition(table.asks)
    return Rule(
        id=table.id,
        version=table.version,
        value=asks.value,
        unit=asks.unit,
        clause=Clause(
            table.standard or file.source.standard,
            table.clause,
            file.source.edition if table.edition is None else table.edition,
        ),
        how_known=HowKnown(table.how_known),
        paraphrase=table.paraphrase,
        confidence=table.confidence,
        jurisdiction=file.source.jurisdiction if table.jurisdiction is None else table.jurisdiction,
        in_force_from=table.in_force_from,
        in_force_to=table.in_force_to,
        handbook=tuple(table.handbook),
        check=table.check,
        asks=asks,
        applies_to=tuple(_condition(item) for item in table.applies_to),
        not_met=NotMet(table.not_met),
        question=table.question,
        ask=table.ask,
    )


def rule_faults(rule: Rule, name: str) -> list[Fault]:
    """What is wrong with a rule beyond the shape of its table; `name` is what faults call the file."""
    faults = [
        Fault(name, f"{rule.id}: {item.fact} {item.op.value}", repr(item.value), expected)
        for item in (*rule.applies_to, rule.asks)
        if (expected := _expected(item))
    ]
    if rule.ask not in set(Party):
        faults.append(Fault(name, rule.id, f"ask = {rule.ask!r}", "a party: " + ", ".join(Party)))
    if (rule.not_met is NotMet.ASK) != (rule.question != ""):
        faults.append(
            Fault(name, rule.id, f"question = {rule.question!r}", "a question with not_met = ask, only there")
        )
    return faults
