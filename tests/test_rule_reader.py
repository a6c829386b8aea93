# SPDX-License-Identifier: Apache-2.0
from datetime import date

import pytest

from brattice.adapters.rows import read_rows, shipped_book
from brattice.errors import InputError
from brattice.rows import Condition, NotMet, Op, RowBook, Rule

HEAD = '[source]\nstandard = "X"\njurisdiction = "Here"\n'
PASSPORT = 'paraphrase = "Some words of ours"\nhow_known = "read"\nhandbook = ["0.0"]\n'


def rule_text(asks: str, more: str = "") -> str:
    return f'{HEAD}[[rule]]\nid = "a.b"\ncheck = "gap"\nasks = {asks}\n{PASSPORT}{more}'


def test_a_rule_is_a_row_with_the_value_and_unit_it_asks() -> None:
    (rule,) = read_rows(rule_text('{ fact = "gap", op = ">=", value = 10, unit = "mm" }', 'not_met = "note"'), "x")
    assert isinstance(rule, Rule)
    assert (rule.value, rule.unit, rule.jurisdiction, rule.not_met) == (10, "mm", "Here", NotMet.NOTE)
    assert rule.asks == Condition("gap", Op.AT_LEAST, 10, "mm")
    assert rule.clause.standard == "X"


def test_the_book_gives_the_rules_in_force_by_id_newest_version_first_of_all() -> None:
    one = read_rows(rule_text('{ fact = "gap", op = ">=", value = 10 }', "in_force_to = 2025-12-31"), "x")
    two = read_rows(
        rule_text('{ fact = "gap", op = ">=", value = 20 }', "version = 2\nin_force_from = 2026-01-01"), "x"
    )
    book = RowBook.of((*one, *two))
    assert [rule.value for rule in book.rules(date(2025, 12, 31), "Here")] == [10]
    assert [rule.value for rule in book.rules(date(2026, 1, 1), "Here")] == [20]
    assert book.rules(date(2026, 1, 1), "Elsewhere") == ()


@pytest.mark.parametrize(
    ("asks", "expected"),
    [
        ('{ fact = "gap", op = ">=", value = "ten" }', "expected a number"),
        ('{ fact = "gap", op = "<=", value = true }', "expected a number"),
        ('{ fact = "gap", op = "between", value = [20, 10] }', "expected two numbers, the lower first"),
        ('{ fact = "gap", op = "between", value = [10] }', "expected two numbers, the lower first"),
        ('{ fact = "gap", op = "in", value = "a" }', "expected a list that is not empty"),
        ('{ fact = "gap", op = "subset", value = [] }', "expected a list that is not empty"),
        ('{ fact = "gap", op = "class_satisfies", value = 60 }', "expected a class text"),
        ('{ fact = "gap", op = "==", value = ["a"] }', "a list takes the op 'in' or 'subset'"),
    ],
)
def test_an_op_stands_only_with_a_value_it_can_be_asked_of(asks: str, expected: str) -> None:
    with pytest.raises(InputError, match=expected):
        read_rows(rule_text(asks), "rules.toml")


def test_an_op_outside_the_closed_list_and_a_party_that_does_not_exist_are_refused() -> None:
    with pytest.raises(InputError, match=r"rule\.0\.asks\.op"):
        read_rows(rule_text('{ fact = "gap", op = "!=", value = 10 }'), "rules.toml")
    with pytest.raises(InputError, match="a party"):
        read_rows(rule_text('{ fact = "gap", op = ">=", value = 10 }', 'ask = "somebody"'), "rules.toml")


def test_england_has_rules_and_nowhere_else_gets_them() -> None:
    book = shipped_book()
    assert book.rules(date(2026, 1, 1), "England")
    assert book.rules(date(2026, 1, 1), "Scotland") == ()
