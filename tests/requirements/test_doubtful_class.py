# SPDX-License-Identifier: Apache-2.0
"""A rule that may apply and would ask a higher class leaves the class open; the rule here is made for the test."""

from __future__ import annotations

from dataclasses import replace

from brattice.adapters.rows import load_rows
from brattice.classes import ClassSteps
from brattice.findings import Known, Unknown
from brattice.requirements import require
from brattice.rows import Condition, Op, RowBook, Rule
from tests.helpers.penetrations import penetration, unknown
from tests.requirements.asked import ENGLAND


def book(value: str) -> RowBook:
    rows = load_rows()
    rule = next(row for row in rows if row.id == "england.class.fire-damper" and isinstance(row, Rule))
    door = Condition("installation.access-door", Op.EQUALS, False)
    more = replace(
        rule, id="england.class.made-up", applies_to=(*rule.applies_to, door), asks=replace(rule.asks, value=value)
    )
    return RowBook.of((*rows, more))


def test_a_class_that_a_rule_may_raise_is_not_known() -> None:
    made = book("E 120")
    steps = ClassSteps.from_book(made)

    def asked(door: object, rows: RowBook = made) -> Known[tuple[str, ...]] | Unknown:
        return require(penetration(installation__access_door=door), ENGLAND, rows, steps).class_texts

    held, raised, left_open = asked(True), asked(False), asked(unknown("penetration/P-0001/access-door"))
    assert isinstance(held, Known)
    assert isinstance(raised, Known)
    assert held.value != raised.value
    assert isinstance(left_open, Unknown)
    assert left_open.missing.key == "penetration/P-0001/access-door"
    same = asked(unknown("penetration/P-0001/access-door"), book("E 60"))  # asks no more: nothing is open
    assert same == held
