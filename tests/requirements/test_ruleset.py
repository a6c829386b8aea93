# SPDX-License-Identifier: Apache-2.0
"""Rules asked of facts. The table of outcomes is the one in the module's docstring; the rules here are invented."""

from datetime import date
from typing import Any

import pytest

from brattice.errors import OwnFault
from brattice.findings import Party, Verdict
from brattice.requirements.facts import FactValue
from brattice.requirements.requirement import Rules
from brattice.requirements.ruleset import Facts, RuleSet, answer, holds
from brattice.rows import Clause, Condition, HowKnown, NotMet, Op, RowBook, RowValue, Rule
from tests.helpers.penetrations import known, unknown

PASS, FAIL, NA, UNKNOWN = Verdict.PASS, Verdict.FAIL, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN


def rule(asks: Condition, *applies_to: Condition, **changes: Any) -> Rule:
    passport: dict[str, Any] = {
        "id": "england.invented.rule",
        "version": 1,
        "value": asks.value,
        "unit": asks.unit,
        "clause": Clause("invented"),
        "how_known": HowKnown.READ,
        "paraphrase": "Invented words.",
        "check": "gap",
    }
    return Rule(**(passport | changes), asks=asks, applies_to=applies_to)


def facts(**values: FactValue | None) -> Facts:
    return {name: unknown(f"key/{name}") if value is None else known(value) for name, value in values.items()}


@pytest.mark.parametrize(
    ("op", "asked", "value", "expected"),
    [
        (Op.EQUALS, "wall", "wall", PASS),
        (Op.EQUALS, "wall", "floor", FAIL),
        (Op.EQUALS, True, True, PASS),
        (Op.EQUALS, True, False, FAIL),
        (Op.IN, ("a", "b"), "b", PASS),
        (Op.IN, ("a", "b"), "c", FAIL),
        (Op.AT_LEAST, 120, 121, PASS),
        (Op.AT_LEAST, 120, 120, PASS),  # exactly at the limit
        (Op.AT_LEAST, 120, 119, FAIL),
        (Op.AT_MOST, 120, 120, PASS),  # exactly at the limit
        (Op.AT_MOST, 120, 121, FAIL),
        (Op.AT_LEAST, 0.3, 0.1 + 0.2, PASS),  # compared exactly, never rounded: 0.30000000000000004
        (Op.AT_MOST, 0.3, 0.1 + 0.2, FAIL),
        (Op.BETWEEN, (10, 20), 10, PASS),
        (Op.BETWEEN, (10, 20), 20, PASS),
        (Op.BETWEEN, (10, 20), 9.999, FAIL),
        (Op.BETWEEN, (10, 20), 20.001, FAIL),
        (Op.SUBSET, ("thermal",), frozenset({"thermal", "smoke detection"}), PASS),
        (Op.SUBSET, ("thermal", "smoke detection"), frozenset({"thermal"}), FAIL),
        (Op.SUBSET, ("thermal",), frozenset(), FAIL),
    ],
)
def test_each_op(op: Op, asked: RowValue, value: FactValue, expected: Verdict) -> None:
    assert holds(Condition("x", op, asked), facts(x=value)).verdict is expected
    assert holds(Condition("x", op, asked), facts(x=None)).verdict is UNKNOWN


def test_class_satisfies_asks_the_classes_handed_in() -> None:
    seen: list[tuple[str, str]] = []

    def satisfies(declared: str, required: str) -> Verdict:
        seen.append((declared, required))
        return UNKNOWN

    condition = Condition("x", Op.CLASS_SATISFIES, "E 60")
    assert holds(condition, facts(x="EI 90"), satisfies).verdict is UNKNOWN
    assert seen == [("EI 90", "E 60")]
    with pytest.raises(OwnFault, match="compares classes"):
        holds(condition, facts(x="EI 90"))


HERE = Condition("here", Op.EQUALS, True)
ALSO = Condition("also", Op.EQUALS, True)
ASKS = Condition("gap", Op.AT_LEAST, 10, "mm")


@pytest.mark.parametrize(
    ("here", "also", "gap", "expected", "missing"),
    [
        (True, True, 10.0, PASS, ()),
        (True, True, 9.0, FAIL, ()),
        (True, True, None, UNKNOWN, ("key/gap",)),
        (False, True, 9.0, NA, ()),
        (False, None, None, NA, ()),  # one condition known not to hold settles it
        (None, False, 9.0, NA, ()),
        (None, True, 10.0, PASS, ()),  # whether it applies or not, nothing is wrong
        (None, True, 9.0, UNKNOWN, ("key/here",)),
        (None, True, None, UNKNOWN, ("key/here",)),  # first whether it applies at all
        (None, None, 9.0, UNKNOWN, ("key/also", "key/here")),
    ],
)
def test_the_table_of_outcomes(
    here: bool | None, also: bool | None, gap: float | None, expected: Verdict, missing: tuple[str, ...]
) -> None:
    said = answer(rule(ASKS, HERE, ALSO), facts(here=here, also=also, gap=gap), "P-0001")
    assert said.verdict is expected
    assert tuple(item.key for item in said.missing) == missing
    assert said.rows == ("england.invented.rule",)
    assert said.need == ("" if expected is NA else "at least 10 mm")


def test_not_met_can_mean_to_ask_somebody_or_only_a_note() -> None:
    asked = answer(
        rule(ASKS, not_met=NotMet.ASK, question="Whether 9 mm will do", ask="architect"), facts(gap=9.0), "P-0001"
    )
    assert asked.verdict is UNKNOWN
    assert [(item.key, item.text, item.ask) for item in asked.missing] == [
        ("penetration/P-0001/invented-rule", "Whether 9 mm will do", Party.ARCHITECT)
    ]
    note = answer(rule(ASKS, not_met=NotMet.NOTE), facts(gap=9.0), "P-0001")
    assert (note.code, note.verdict) == ("gap-note", NA)
    met = answer(rule(ASKS, not_met=NotMet.NOTE), facts(gap=10.0), "P-0001")
    assert (met.code, met.verdict) == ("gap", PASS)


def test_a_fact_of_the_wrong_kind_or_that_nobody_makes_is_our_own_fault() -> None:
    with pytest.raises(OwnFault, match="is no number"):
        holds(ASKS, facts(gap="wide"))
    with pytest.raises(OwnFault, match="no fact is called 'gap'"):
        holds(ASKS, facts(here=True))
    rules = Rules("Here", "", date(2026, 1, 1), "non-residential")
    with pytest.raises(OwnFault, match="asks of 'gap', which is no fact"):
        RuleSet.of(RowBook.of([rule(ASKS)]), rules)
