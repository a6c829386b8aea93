# SPDX-License-Identifier: Apache-2.0
"""Laws of this room, over penetrations and rules drawn at random."""

from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from brattice.adapters.rows import load_rows
from brattice.building.penetration import Penetration
from brattice.building.words import (
    Actuation,
    BarrierRole,
    MountingPosition,
    Orientation,
    ProtectionMethod,
    SpaceUse,
    SystemUse,
)
from brattice.classes import Family, read_class, satisfies
from brattice.findings import Known, Unknown, Verdict, all_of
from brattice.requirements.asking import require
from brattice.requirements.requirement import Demand, Requirement, Rules
from brattice.requirements.scheduled import check_scheduled
from brattice.rows import RowBook
from tests.helpers.penetrations import penetration, rating, unknown, with_facts, without
from tests.requirements.asked import (
    FAIL,
    METHOD_1,
    METHOD_4,
    NA,
    PASS,
    THERMAL,
    UNKNOWN,
    asked,
    book,
    checked,
    demand,
    lowered,
    overall,
    steps,
    under,
)

CLASSES = (
    "E 30 (ve i↔o)",
    "E 60",
    "E 60 (ve i↔o)",
    "E 60 (ve ho i↔o) S",
    "EI 60 (ho i↔o)",
    "E 120 (ve i→o) S",
    "EI 120 (ve ho i↔o) S",
    "EI 240 (ve ho i↔o) S",
    "unreadable",
)
RATINGS = (0, 20, 30, 60, 61, 90, 120, 121, 180, 240, 241)
REMOVABLE = (
    "barrier__role",
    "barrier__rating",
    "barrier__orientation",
    "barrier__wall_type_code",
    "location__storey",
    "duct__system",
    "spaces",
    "damper__present",
    "damper__class_text",
    "damper__actuation",
    "protection__method",
    "protection__run_proven",
    "installation__position",
    "installation__access_door",
)


def maybe(values: st.SearchStrategy[Any], key: str) -> st.SearchStrategy[Any]:
    """A value, or a fact that is missing (one time in five or so)."""
    return st.one_of(values, values, values, values, st.just(unknown(key)))


@st.composite
def penetrations(draw: st.DrawFn) -> Penetration:
    made: dict[str, Any] = {
        "barrier__role": draw(maybe(st.sampled_from(BarrierRole), "role")),
        "barrier__rating": draw(maybe(st.sampled_from(RATINGS).map(rating), "rating")),
        "barrier__orientation": draw(maybe(st.sampled_from(Orientation), "orientation")),
        "duct__system": draw(maybe(st.sampled_from(SystemUse), "system")),
        "spaces": draw(maybe(st.frozensets(st.sampled_from(SpaceUse), min_size=1, max_size=2), "spaces")),
        "damper__present": draw(maybe(st.booleans(), "present")),
        "damper__class_text": draw(maybe(st.sampled_from(CLASSES), "class")),
        "damper__actuation": draw(maybe(st.frozensets(st.sampled_from(Actuation)), "actuation")),
        "protection__method": draw(maybe(st.sampled_from(ProtectionMethod), "method")),
        "protection__run_proven": draw(maybe(st.booleans(), "run")),
        "installation__position": draw(maybe(st.sampled_from(MountingPosition), "position")),
        "installation__access_door": draw(maybe(st.booleans(), "door")),
    }
    return penetration(**made)


DEMANDS = st.builds(
    demand,
    class_text=st.sampled_from(["", "E 30", "EI 60", "E 90 S", "EI 120 (ve i→o)", "E 60 (500 Pa)", "unreadable"]),
    actuation=st.one_of(st.none(), st.frozensets(st.sampled_from(Actuation))),
    storeys=st.sampled_from([(), ("Level 1",), ("Level 2",)]),
    wall_types=st.sampled_from([(), ("W1",)]),
    roles=st.sampled_from([(), ("protected corridor", "compartment wall")]),
)


@st.composite
def rule_choices(draw: st.DrawFn) -> Rules:
    return under(
        purpose=draw(st.sampled_from(["non-residential"] * 4 + ["residential"])),
        evacuation=draw(st.sampled_from(["", "unaided, all at once", "unaided, by compartment"])),
        alarm_l1=draw(st.sampled_from([None, True, False])),
        demands=tuple(draw(st.lists(DEMANDS, max_size=2))),
        lowered=draw(st.sampled_from([(), (), (), (lowered("E 30"),)])),
    )


def by_code(place: Penetration, rules: Rules) -> dict[str, Verdict]:
    return {
        code: all_of(reason.verdict for reason in reasons)
        for code, reasons in checked(place, rules).items()
        if not code.endswith("-note")
    }


@settings(max_examples=400, deadline=None)
@given(penetrations(), rule_choices(), st.sampled_from(REMOVABLE))
def test_removing_a_fact_never_turns_a_fail_or_an_unknown_into_a_pass(
    place: Penetration, rules: Rules, name: str
) -> None:
    less = without(place, name)
    before, after = asked(place, rules), asked(less, rules)
    for one, other in zip(before.methods, after.methods, strict=True):
        assert not (one.verdict in {FAIL, UNKNOWN} and other.verdict is PASS), one.method
    assert not (before.needed is UNKNOWN and after.needed is PASS)
    checks, checks_after = by_code(place, rules), by_code(less, rules)
    for code, verdict in checks.items():
        assert not (verdict in {FAIL, UNKNOWN} and checks_after.get(code) is PASS), code
    if overall(place, rules) in {FAIL, UNKNOWN} and after.needed is not NA:
        assert overall(less, rules) in {FAIL, UNKNOWN}


@settings(max_examples=300, deadline=None)
@given(penetrations(), rule_choices())
def test_no_protection_needed_rests_on_a_statement(place: Penetration, rules: Rules) -> None:
    if asked(place, rules).needed is NA:
        role, rated = place.barrier.role, place.barrier.rating
        not_separating = isinstance(role, Known) and role.value is BarrierRole.NOT_SEPARATING
        assert not_separating or (isinstance(rated, Known) and rated.value.is_unrated)


def satisfied(declared: str, required: str) -> bool:
    held, need = (read_class(text, Family.FIRE_DAMPER, steps()) for text in (declared, required))
    return satisfies(held, need).verdict is PASS


def asks_no_less(more: Requirement, less: Requirement) -> None:
    """For each method by damper: whoever meets `more` meets `less`."""
    for one, other in zip(more.methods, less.methods, strict=True):
        if isinstance(one.class_texts, Known) and isinstance(other.class_texts, Known):
            for text in one.class_texts.value:
                assert all(satisfied(text, required) for required in other.class_texts.value)
            if not other.class_texts.value:
                assert not one.class_texts.value
        if isinstance(one.actuation, Known) and isinstance(other.actuation, Known):
            assert one.actuation.value >= other.actuation.value


@settings(max_examples=300, deadline=None)
@given(penetrations(), rule_choices(), st.sampled_from(RATINGS[1:]), st.sampled_from(RATINGS[1:]))
def test_a_stricter_barrier_never_asks_for_less(place: Penetration, rules: Rules, one: int, other: int) -> None:
    low, high = sorted((one, other))
    rules = replace(rules, lowered=())
    weak = penetration_rated(place, low)
    strong = penetration_rated(place, high)
    asks_no_less(asked(strong, rules), asked(weak, rules))


def penetration_rated(place: Penetration, minutes: int) -> Penetration:
    fact = Known(rating(minutes), penetration().barrier.rating.origin)  # type: ignore[union-attr]
    return replace(place, barrier=replace(place.barrier, rating=fact))


@settings(max_examples=300, deadline=None)
@given(penetrations(), rule_choices(), DEMANDS)
def test_a_demand_never_lowers(place: Penetration, rules: Rules, more: Demand) -> None:
    rules = replace(rules, lowered=())
    before = asked(place, rules)
    after = asked(place, replace(rules, demands=(*rules.demands, more)))
    asks_no_less(after, before)
    for one, other in zip(before.methods, after.methods, strict=True):
        assert not (one.verdict in {FAIL, UNKNOWN} and other.verdict is PASS)


@settings(max_examples=200, deadline=None)
@given(penetrations(), rule_choices(), st.permutations(range(3)), st.lists(DEMANDS, min_size=3, max_size=3))
def test_the_order_of_demands_never_matters(
    place: Penetration, rules: Rules, order: list[int], demands: list[Demand]
) -> None:
    straight = asked(place, replace(rules, demands=tuple(demands)))
    shuffled = asked(place, replace(rules, demands=tuple(demands[at] for at in order)))
    assert replace(straight, rules=None) == replace(shuffled, rules=None)


@settings(max_examples=200, deadline=None)
@given(penetrations(), rule_choices())
def test_a_lowered_requirement_is_always_visible(place: Penetration, rules: Rules) -> None:
    override = lowered("E 30")
    with_it = asked(place, replace(rules, lowered=(override,)))
    assert with_it.lowered_by == override
    if with_it.needed is not NA:
        assert "lowered requirement" in {part.about for part in with_it.parts}
    assert asked(place, replace(rules, lowered=())).lowered_by is None


ESCAPE_ROLES = (BarrierRole.PROTECTED_CORRIDOR, BarrierRole.PROTECTED_STAIR, BarrierRole.FIREFIGHTING_SHAFT)


@settings(max_examples=300, deadline=None)
@given(penetrations(), rule_choices(), st.data())
def test_on_an_escape_route_a_thermal_link_alone_always_fails(
    place: Penetration, rules: Rules, data: st.DataObject
) -> None:
    by_role = data.draw(st.booleans())
    changes: dict[str, Any] = {
        "damper__actuation": THERMAL,
        "damper__present": True,
        "protection__method": data.draw(maybe(st.sampled_from([METHOD_1, METHOD_4]), "method")),
        "duct__system": SystemUse.SUPPLY,
    }
    if by_role:
        changes["barrier__role"] = data.draw(st.sampled_from(ESCAPE_ROLES))
    else:
        changes["spaces"] = frozenset({SpaceUse.ESCAPE_ROUTE})
        changes["barrier__role"] = data.draw(
            maybe(st.sampled_from([BarrierRole.COMPARTMENT_WALL, BarrierRole.PROTECTED_SHAFT]), "role")
        )
    thermal = with_facts(place, **changes)
    rules = replace(rules, purpose="non-residential", lowered=())
    rated = thermal.barrier.rating
    beyond = isinstance(rated, Known) and rated.value.integrity_min > 240
    if asked(thermal, rules).needed is NA or beyond:
        return
    assert by_code(thermal, rules)["scheduled-actuation"] is FAIL


@settings(max_examples=200, deadline=None)
@given(penetrations(), rule_choices())
def test_every_unknown_names_what_is_missing_and_asks_for_it(place: Penetration, rules: Rules) -> None:
    requirement = asked(place, rules)
    keys = {item.key for item in requirement.missing}
    for item in requirement.methods:
        for reason in item.reasons:
            assert (reason.verdict is UNKNOWN) == bool(reason.missing)
    for fact in (requirement.class_texts, requirement.actuation):
        if isinstance(fact, Unknown):
            assert fact.missing.key in keys
    if requirement.needed is UNKNOWN:
        assert keys


def test_the_order_of_rows_never_matters() -> None:
    shuffled = RowBook.of(reversed(load_rows()))
    for role in BarrierRole:
        for system in SystemUse:
            place = penetration(barrier__role=role, duct__system=system)
            rules = under(on=date(2026, 10, 1))
            straight, other = asked(place, rules), require(place, rules, shuffled, steps())
            assert straight == other
            assert check_scheduled(place, straight, book(), steps()) == check_scheduled(place, other, shuffled, steps())
