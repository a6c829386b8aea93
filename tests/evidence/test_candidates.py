# SPDX-License-Identifier: Apache-2.0
from __future__ import annotations

from brattice.building.words import FixingFamily, Joint
from brattice.evidence import Judge, Scope, judge
from brattice.evidence.installation import Window
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK, DATES, STEPS, requirement
from tests.helpers.penetrations import ORDINARY, unknown, with_facts

HOLDS = installation(id="A-holds")
CHANGED = installation(id="B-joint", joints=frozenset({Joint.SLIP_JOINT}))
MORE_CHANGED = installation(id="C-fixing", fixing=FixingFamily.CAST_IN)
TOO_SMALL = installation(id="D-small", sizes__width=Window(200, 599))
OTHER_HOLDS = installation(id="E-other", maker="Foss", product="FC")
OTHER_FAILS = installation(id="F-other", maker="Foss", product="FC", class_text="E 30 (ve i↔o)")
ALL = (OTHER_FAILS, MORE_CHANGED, HOLDS, OTHER_HOLDS, TOO_SMALL, CHANGED)


def test_own_installations_and_others_that_hold_are_judged_in_full_and_all_are_counted() -> None:
    judgments, counts = Judge(ALL, DATES, BOOK, STEPS).candidates(ORDINARY, requirement())
    assert [item.installation_id for item in judgments] == ["A-holds", "B-joint", "C-fixing", "D-small", "E-other"]
    assert counts == (("within scope", 2), ("within scope if", 2), ("not enough known", 0), ("outside scope", 2))
    for item in judgments:
        tested = next(one for one in ALL if one.id == item.installation_id)
        assert item == judge(ORDINARY, requirement(), tested, DATES, BOOK, STEPS)


def test_a_pinned_installation_is_judged_even_of_another_product_that_fails() -> None:
    judgments, _ = Judge(ALL, DATES, BOOK, STEPS).candidates(ORDINARY, requirement(), pin="F-other")
    (pinned,) = (item for item in judgments if item.installation_id == "F-other")
    assert (pinned.scope, pinned.same_product) == (Scope.OUTSIDE, False)
    assert len(Judge(ALL, DATES, BOOK, STEPS).candidates(ORDINARY, requirement(), pin="nobody's")[0]) == 5


def test_of_many_equals_the_makers_first_in_the_projects_order_are_kept() -> None:
    many = [installation(id=f"{maker}-{n:02}", maker=maker) for maker in ("Foss", "Harrow") for n in range(30)]
    free = with_facts(ORDINARY, damper__maker=unknown(), damper__product=unknown())
    ids = [item.installation_id for item in Judge(many, DATES, BOOK, STEPS).candidates(free, requirement())[0]]
    assert ids == [f"Foss-{n:02}" for n in range(24)]
    ordered = Judge(many, DATES, BOOK, STEPS, maker_order=("Harrow",)).candidates(free, requirement())[0]
    assert [item.installation_id for item in ordered] == [f"Harrow-{n:02}" for n in range(24)]
