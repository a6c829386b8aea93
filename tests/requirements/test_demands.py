# SPDX-License-Identifier: Apache-2.0
"""Demands of the fire strategy raise and never lower; an override lowers only when complete, and is always visible."""

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest

from brattice.building.penetration import Penetration
from brattice.building.words import BarrierRole, Orientation, SpaceUse
from brattice.findings import Verdict
from tests.helpers.penetrations import penetration, rating, unknown
from tests.requirements.asked import (
    BOTH,
    FAIL,
    METHOD_1,
    METHOD_4,
    PASS,
    SMOKE,
    THERMAL,
    UNKNOWN,
    asked,
    demand,
    lowered,
    method,
    overall,
    spaces,
    under,
    value,
    verdict,
)


@pytest.mark.parametrize(
    ("demanded", "expected"),
    [  # joined with the code's E 60 of a 60-minute wall (row 4.7): the order of classes by hand, handbook 1.4
        ("E 120", "E 120 (ve i↔o)"),
        ("E 30", "E 60 (ve i↔o)"),  # less than the code asks: nothing is lowered
        ("EI 60", "EI 60 (ve i↔o)"),
        ("EI 30", "EI 30 (ve i↔o) / E 60 (ve i↔o)"),  # both must hold; neither gives the other
        ("E 60 S", "E 60 (ve i↔o) S"),
        ("EI 60 S", "EI 60 (ve i↔o) S"),
        ("EI 120 (ve i→o)", "EI 120 (ve i→o) / E 60 (ve i↔o)"),  # one side alone
        ("E 60 (500 Pa)", "E 60 (ve i↔o) (500 Pa)"),
        ("EI 90 (ho i↔o)", "EI 90 (ve i↔o)"),  # asked of the barrier that is there
    ],
)
def test_the_class_meets_the_code_and_the_demand(demanded: str, expected: str) -> None:
    requirement = asked(penetration(), under(demands=(demand(demanded),)))
    assert value(requirement.class_texts) == (expected,)
    (part,) = [item for item in requirement.parts if item.about == "demand of the fire strategy"]
    assert part.documents == ("FS-01 fire strategy revision C",)


def test_a_set_of_classes_that_meets_both_is_enough() -> None:
    rules = under(demands=(demand("EI 30"),))
    assert verdict(penetration(damper__class_text="E 60 (ve i↔o) / EI 30 (ve i↔o)"), "scheduled-class", rules) is PASS
    assert verdict(penetration(damper__class_text="EI 30 (ve i↔o)"), "scheduled-class", rules) is FAIL
    assert verdict(penetration(damper__class_text="E 60 (ve i↔o)"), "scheduled-class", rules) is FAIL


@pytest.mark.parametrize("demanded", [THERMAL, SMOKE, BOTH, frozenset(), None])
def test_actuation_is_all_that_code_and_demand_ask(demanded: Any) -> None:
    requirement = asked(penetration(), under(demands=(demand(actuation=demanded),)))
    assert value(requirement.actuation) == THERMAL | (demanded or frozenset())


HERE: dict[str, Any] = {
    "storeys": ("Level 1",),
    "roles": ("compartment wall",),
    "wall_types": ("W1",),
    "penetrations": ("P-0001",),
}
ELSEWHERE: dict[str, Any] = {
    "storeys": ("Level 2",),
    "roles": ("protected shaft", "protected stair"),
    "wall_types": ("W2",),
    "penetrations": ("P-0002",),
}


@pytest.mark.parametrize("field", list(HERE))
def test_a_demand_holds_where_it_says_and_nowhere_else(field: str) -> None:
    here = under(demands=(demand("E 120", **{field: HERE[field]}),))
    elsewhere = under(demands=(demand("E 120", **{field: ELSEWHERE[field]}),))
    only_one = under(demands=(demand("E 120", **(HERE | {field: ELSEWHERE[field]})),))
    assert value(asked(penetration(), here).class_texts) == ("E 120 (ve i↔o)",)
    assert value(asked(penetration(), elsewhere).class_texts) == ("E 60 (ve i↔o)",)
    assert value(asked(penetration(), only_one).class_texts) == ("E 60 (ve i↔o)",)


def without_known(fact: str) -> Penetration:
    changes: dict[str, Any] = {fact: unknown("the-place")}
    return penetration(**changes)


@pytest.mark.parametrize(
    ("field", "fact"),
    [
        ("storeys", "location__storey"),
        ("wall_types", "barrier__wall_type_code"),
    ],
)
def test_a_demand_that_may_hold_leaves_open_what_it_would_change_and_nothing_else(field: str, fact: str) -> None:
    place = without_known(fact)
    raising = under(demands=(demand("E 120", **{field: HERE[field]}),))
    requirement = asked(place, raising)
    assert value(requirement.class_texts) == "the-place"
    assert "the-place" in {item.key for item in requirement.missing}
    assert value(requirement.actuation) == THERMAL
    idle = under(demands=(demand("E 30", **{field: HERE[field]}),))
    assert value(asked(place, idle).class_texts) == ("E 60 (ve i↔o)",)
    smoke = under(demands=(demand(actuation=SMOKE, **{field: HERE[field]}),))
    assert value(asked(place, smoke).actuation) == "the-place"


def test_a_demand_that_cannot_be_read_is_asked_for_and_nothing_is_passed() -> None:
    for text in ("sixty minutes", "E 75", "E 90 (ved i↔o) S 1000 C10000 AA multi"):
        rules = under(demands=(demand(text),))
        requirement = asked(penetration(), rules)
        assert value(requirement.class_texts) == "demand/FS-01 fire strategy/class"
        assert text in requirement.missing[0].text
        assert overall(penetration(), rules) is UNKNOWN


def test_the_order_of_demands_does_not_matter() -> None:
    demands = (demand("EI 30"), demand("E 90 S"), demand("E 60 (500 Pa)"), demand(actuation=SMOKE))
    answers = {repr(asked(penetration(), under(demands=order))).split("rules=")[0] for order in permutations(demands)}
    assert len(answers) == 1


def test_a_part_names_the_documents_that_ask_it_and_no_others() -> None:
    rules = under(demands=(demand("E 90"), replace(demand(actuation=SMOKE), document="FS-02 alarm strategy")))
    documents = {part.about: part.documents for part in asked(penetration(), rules).parts}
    assert documents["class"] == ("FS-01 fire strategy revision C",)
    assert documents["actuation"] == ("FS-02 alarm strategy revision C",)
    assert documents["method"] == ()


# --- overrides that lower ------------------------------------------------------------------------------------------


def test_a_complete_override_replaces_class_and_actuation_and_is_carried_along() -> None:
    corridor = penetration(
        barrier__role=BarrierRole.PROTECTED_CORRIDOR, protection__method=METHOD_4, damper__class_text="E 30 (ve i↔o) S"
    )
    override = lowered("E 30 S", THERMAL)
    rules = under(lowered=(override,), demands=(demand("EI 120"),))
    requirement = asked(corridor, rules)
    assert requirement.lowered_by == override
    assert value(requirement.class_texts) == ("E 30 (ve i↔o) S",)
    assert value(requirement.actuation) == THERMAL
    (part,) = [item for item in requirement.parts if item.about == "lowered requirement"]
    assert part.documents == ("FS-17 letter revision B",)
    parts = {item.about: (item.asks, item.rows, item.documents) for item in requirement.parts}
    assert parts["class"] == ("E 30 (ve i↔o) S", (), ("FS-17 letter revision B",))  # no row asks this: a person does
    assert parts["actuation"] == ("thermal", (), ("FS-17 letter revision B",))
    for word in ("R. Invented", "fire engineer", "2026-02-01", "sprinklers throughout", "E 30 S"):
        assert word in part.asks
    assert verdict(corridor, "scheduled-class", rules) is PASS
    assert verdict(corridor, "scheduled-actuation", rules) is PASS


def test_an_override_of_class_and_actuation_permits_no_method() -> None:
    corridor = penetration(barrier__role=BarrierRole.PROTECTED_CORRIDOR)
    requirement = asked(corridor, under(lowered=(lowered("E 30", THERMAL),)))
    assert method(requirement, METHOD_1).verdict is FAIL


def test_an_override_lowers_what_it_names_and_no_more() -> None:
    only_class = asked(penetration(rated=120), under(lowered=(lowered("E 60"),)))
    assert (value(only_class.class_texts), value(only_class.actuation)) == (("E 60 (ve i↔o)",), THERMAL)
    place = penetration(spaces=spaces(SpaceUse.ESCAPE_ROUTE), protection__method=METHOD_4)
    only_actuation = asked(place, under(lowered=(lowered(actuation=THERMAL),)))
    assert value(only_actuation.class_texts) == ("E 60 (ve i↔o) S",)
    assert value(only_actuation.actuation) == THERMAL
    elsewhere = asked(penetration(id="P-0002", rated=120), under(lowered=(lowered("E 60"),)))
    assert (value(elsewhere.class_texts), elsewhere.lowered_by) == (("E 120 (ve i↔o)",), None)


@pytest.mark.parametrize("field", ["person", "role", "document", "revision"])
def test_an_incomplete_override_lowers_nothing_and_is_asked_for(field: str) -> None:
    blank: dict[str, Any] = {field: " "}
    rules = under(lowered=(lowered("E 60", **blank),))
    requirement = asked(penetration(rated=120), rules)
    assert requirement.lowered_by is None
    assert value(requirement.class_texts) == ("E 120 (ve i↔o)",)
    assert [item.key.split("/")[-1] for item in requirement.missing] == [field]


def test_an_override_that_states_neither_class_nor_actuation_lowers_nothing() -> None:
    requirement = asked(penetration(rated=120), under(lowered=(lowered(),)))
    assert requirement.lowered_by is None
    assert [item.key for item in requirement.missing] == ["lowered/FS-17 letter/class"]


def test_two_overrides_that_differ_lower_nothing_until_one_is_left() -> None:
    rules = under(lowered=(lowered("E 60"), lowered("E 90", revision="C")))
    requirement = asked(penetration(rated=120), rules)
    assert requirement.lowered_by is None
    assert value(requirement.class_texts) == ("E 120 (ve i↔o)",)
    assert [item.key for item in requirement.missing] == ["penetration/P-0001/lowered"]
    same_twice = asked(penetration(rated=120), under(lowered=(lowered("E 60"), lowered("E 60"))))
    assert value(same_twice.class_texts) == ("E 60 (ve i↔o)",)


def test_an_override_whose_class_cannot_be_read_passes_nothing() -> None:
    requirement = asked(penetration(), under(lowered=(lowered("half an hour"),)))
    assert value(requirement.class_texts) == "lowered/FS-17 letter/class"
    assert "lowered/FS-17 letter/class" in {item.key for item in requirement.missing}


def test_an_override_is_visible_even_where_nothing_is_asked_or_no_rules_are_held() -> None:
    for place, rules in (
        (penetration(barrier__role=BarrierRole.NOT_SEPARATING), under()),
        (penetration(), under(jurisdiction="Wales")),
        (penetration(), under(purpose="residential")),
        (penetration(barrier__orientation=unknown("orientation")), under()),
    ):
        with_it = asked(place, under(**{**_fields(rules), "lowered": (lowered("E 60"),)}))
        assert with_it.lowered_by == lowered("E 60")


def _fields(rules: Any) -> dict[str, Any]:
    return {"jurisdiction": rules.jurisdiction, "purpose": rules.purpose}


def test_a_lowered_class_is_asked_for_the_barrier_that_is_there() -> None:
    floor = penetration(barrier__orientation=Orientation.FLOOR)
    requirement = asked(floor, under(lowered=(lowered("E 30"),)))
    assert value(requirement.class_texts) == ("E 30 (ho i↔o)",)


@pytest.mark.parametrize("name", ["Level 1", "LEVEL 1", " level  1"])
def test_a_demand_is_not_lost_by_capitals_or_blanks(name: str) -> None:
    there = penetration(location__storey="Level 1")
    assert (
        asked(there, under(demands=(demand("E 120", storeys=(name,)),))).class_texts
        == asked(there, under(demands=(demand("E 120"),))).class_texts
    )


@pytest.mark.parametrize(
    "nothing",
    [
        {"barrier__role": BarrierRole.NOT_SEPARATING},
        {"barrier__role": unknown("role"), "barrier__rating": rating(0, text="unrated")},
    ],
)
def test_a_demand_by_name_where_nothing_is_needed_is_a_contradiction(nothing: dict[str, Any]) -> None:
    place = penetration(**nothing)
    assert asked(place, under(demands=(demand("EI 60"),))).needed is Verdict.NOT_APPLICABLE
    named = asked(place, under(demands=(demand("EI 60", penetrations=("P-0001",)),)))
    assert named.needed is UNKNOWN
    assert "penetration/P-0001/role-and-demand" in {item.key for item in named.missing}
