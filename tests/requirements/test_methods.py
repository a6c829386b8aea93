# SPDX-License-Identifier: Apache-2.0
"""Which of the four methods may be used: trade handbook rows 4.1 to 4.6, 4.18 and 4.19, row by row."""

from typing import Any

import pytest

from brattice.building.words import BarrierRole, SpaceUse, SystemUse
from brattice.findings import Verdict
from tests.helpers.penetrations import penetration, unknown
from tests.requirements.asked import (
    BOTH,
    ENGLAND,
    FAIL,
    METHOD_1,
    METHOD_2,
    METHOD_3,
    METHOD_4,
    PASS,
    SMOKE,
    THERMAL,
    UNKNOWN,
    asked,
    method,
    spaces,
    under,
    value,
    verdict,
)

CORRIDOR, WALL = BarrierRole.PROTECTED_CORRIDOR, BarrierRole.COMPARTMENT_WALL
GENERAL, SLEEPING, ESCAPE = spaces(SpaceUse.GENERAL), spaces(SpaceUse.SLEEPING), spaces(SpaceUse.ESCAPE_ROUTE)
P, F, U = PASS, FAIL, UNKNOWN


@pytest.mark.parametrize(
    ("changes", "expected", "row"),
    [
        ({}, (P, P, P, P), "england.methods"),  # 4.1
        ({"barrier__role": CORRIDOR}, (F, P, P, P), "england.method.escape-route"),  # 4.3
        ({"barrier__role": BarrierRole.PROTECTED_STAIR}, (F, P, P, P), "england.method.escape-route"),
        ({"barrier__role": BarrierRole.FIREFIGHTING_SHAFT}, (F, P, P, P), "england.method.escape-route"),
        ({"spaces": ESCAPE}, (F, P, P, P), "england.method.escape-route"),
        ({"spaces": SLEEPING}, (F, P, P, P), "england.method.sleeping"),  # 4.5
        ({"duct__system": SystemUse.KITCHEN_EXTRACT}, (F, P, P, F), "england.method.kitchen-extract"),  # 4.4
        ({"duct__system": SystemUse.KITCHEN_SUPPLY}, (P, P, P, P), "england.methods"),  # 4.4: supply does get dampers
        ({"duct__system": SystemUse.DWELLING_HOOD}, (U, P, P, U), "england.method.dwelling-hood"),  # 4.4: a query
        ({"duct__system": SystemUse.SMOKE_EXTRACT}, (F, P, P, F), "england.method.smoke-control"),  # 4.18
        ({"duct__system": SystemUse.PRESSURISATION}, (F, P, P, F), "england.method.smoke-control"),
        ({"duct__system": SystemUse.FUME_EXTRACT}, (P, P, P, P), "england.method.fume-extract"),  # 4.19: a note
        (
            {"duct__system": SystemUse.EXTRACT, "spaces": spaces(SpaceUse.ISOLATION_ROOM)},
            (F, P, P, P),
            "england.method.isolation-room",
        ),
        ({"spaces": spaces(SpaceUse.ISOLATION_ROOM)}, (F, P, P, P), "england.method.sleeping"),  # 4.5: patients sleep
        ({"spaces": spaces(SpaceUse.HEALTHCARE)}, (F, P, P, P), "england.method.sleeping"),
        ({"duct__system": SystemUse.APPLIANCE}, (U, P, P, U), "england.method.appliance"),  # 4.23: a query
    ],
)
def test_which_methods_may_be_used(changes: dict[str, Any], expected: tuple[Verdict, ...], row: str) -> None:
    requirement = asked(penetration(**changes))
    assert tuple(method(requirement, item).verdict for item in (METHOD_1, METHOD_2, METHOD_3, METHOD_4)) == expected
    assert row in {name for reason in method(requirement, METHOD_1).reasons for name in reason.rows}


@pytest.mark.parametrize(
    ("changes", "row"),
    [
        ({"duct__system": SystemUse.FUME_EXTRACT}, "england.method.fume-extract"),
        (
            {
                "duct__system": SystemUse.EXTRACT,
                "spaces": spaces(SpaceUse.ISOLATION_ROOM),
                "protection__method": METHOD_4,
            },
            "england.method.isolation-room",
        ),
    ],
)
def test_what_is_not_recommended_is_a_note_that_decides_nothing(changes: dict[str, Any], row: str) -> None:
    fume = penetration(**changes)
    (note,) = [item for item in method(asked(fume), METHOD_1).reasons if item.code == "method-note"]
    assert note.verdict is Verdict.NOT_APPLICABLE
    assert note.rows == (row,)
    assert verdict(fume, "method") is PASS
    assert verdict(fume, "method-note") is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"duct__system": unknown("penetration/P-0001/system")}, "penetration/P-0001/system"),
        ({"spaces": unknown("penetration/P-0001/spaces")}, "penetration/P-0001/spaces"),
        ({"barrier__role": unknown("wall-type/W1/role")}, "wall-type/W1/role"),
        ({"barrier__rating": unknown("model-rating/FW60?")}, "model-rating/FW60?"),
    ],
)
def test_a_fact_that_is_missing_leaves_method_1_open_and_is_asked_for(changes: dict[str, Any], key: str) -> None:
    requirement = asked(penetration(**changes))
    assert method(requirement, METHOD_1).verdict is UNKNOWN
    assert key in {item.key for item in requirement.missing}


def test_a_kitchen_extract_fails_whatever_else_is_missing() -> None:
    requirement = asked(
        penetration(
            duct__system=SystemUse.KITCHEN_EXTRACT,
            spaces=unknown("spaces"),
            barrier__role=unknown("role"),
            barrier__rating=unknown("rating"),
        )
    )
    assert method(requirement, METHOD_1).verdict is FAIL
    assert method(requirement, METHOD_4).verdict is FAIL


# --- sleeping (rows 4.5 and 4.6) -----------------------------------------------------------------------------------

ALL, BY = "unaided, all at once", "unaided, by compartment"


@pytest.mark.parametrize(
    ("role", "stated", "method_1", "actuation_4"),
    [
        (WALL, {}, F, BOTH),
        (WALL, {"evacuation": ALL}, F, BOTH),  # the alarm is not stated: the demand stays
        (WALL, {"evacuation": ALL, "alarm_l1": False}, F, BOTH),
        (WALL, {"alarm_l1": True}, F, BOTH),  # how people leave is not stated
        (WALL, {"evacuation": ALL, "alarm_l1": True}, P, SMOKE),
        (WALL, {"evacuation": BY, "alarm_l1": True}, F, BOTH),  # the duct leaves the fire compartment
        (CORRIDOR, {"evacuation": BY, "alarm_l1": True}, F, SMOKE),  # inside it; an escape route all the same
        (CORRIDOR, {"evacuation": ALL, "alarm_l1": True}, F, SMOKE),
        (CORRIDOR, {}, F, BOTH),
    ],
)
def test_sleeping_asks_both_unless_the_exception_is_stated(
    role: BarrierRole, stated: dict[str, Any], method_1: Verdict, actuation_4: frozenset[str]
) -> None:
    requirement = asked(penetration(barrier__role=role, spaces=SLEEPING), under(**stated))
    assert method(requirement, METHOD_1).verdict is method_1
    assert value(method(requirement, METHOD_4).actuation) == actuation_4
    about = {part.about for part in requirement.parts}
    excepted = len(stated) == 2 and stated["alarm_l1"]
    assert ("sleeping, exception stated" if excepted else "sleeping") in about


def test_by_compartment_with_an_unknown_role_keeps_the_question_open() -> None:
    rules = under(evacuation=BY, alarm_l1=True)
    requirement = asked(penetration(barrier__role=unknown("wall-type/W1/role"), spaces=SLEEPING), rules)
    assert method(requirement, METHOD_1).verdict is UNKNOWN
    assert "wall-type/W1/role" in {item.key for item in requirement.missing}


# --- whether protection is needed ------------------------------------------------------------------------------------


def test_a_barrier_stated_not_to_separate_or_unrated_needs_no_protection() -> None:
    for changes in (
        {"barrier__role": BarrierRole.NOT_SEPARATING},
        {"barrier__role": BarrierRole.NOT_SEPARATING, "barrier__rating": unknown("rating")},
        {"rated": 0, "barrier__role": unknown("role")},
    ):
        requirement = asked(penetration(**changes))
        assert requirement.needed is Verdict.NOT_APPLICABLE
        assert {item.verdict for item in requirement.methods} == {Verdict.NOT_APPLICABLE}
        assert requirement.missing == ()


@pytest.mark.parametrize(
    ("changes", "keys"),
    [
        ({"barrier__role": unknown("wall-type/W1/role")}, {"wall-type/W1/role"}),
        ({"barrier__rating": unknown("wall-type/W1/rating")}, {"wall-type/W1/rating"}),
        # one of the two statements is wrong; neither is taken
        ({"rated": 0}, {"penetration/P-0001/role-and-rating"}),
        # common practice, trade handbook 13.3: ask the fire engineer
        ({"barrier__role": BarrierRole.CAVITY_BARRIER}, {"penetration/P-0001/cavity-barrier"}),
        ({"rated": 0, "barrier__role": BarrierRole.CAVITY_BARRIER}, {"penetration/P-0001/cavity-barrier"}),
    ],
)
def test_whether_protection_is_needed_can_be_unknown(changes: dict[str, Any], keys: set[str]) -> None:
    requirement = asked(penetration(**changes))
    assert requirement.needed is UNKNOWN
    assert {item.verdict for item in requirement.methods} == {UNKNOWN}
    assert {item.key for item in requirement.missing} == keys
    assert value(requirement.class_texts) in keys
    assert value(requirement.actuation) in keys


# --- other rules, and dwellings ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "key", "words"),
    [
        ({"jurisdiction": "Scotland"}, "rules/jurisdiction", "Scotland"),
        ({"jurisdiction": ""}, "rules/jurisdiction", "not stated"),
        ({"edition": "ADB 2006"}, "rules/edition", "ADB 2019 with amendments to 2025"),
        ({"edition": ""}, "rules/edition", "not stated"),
        ({"purpose": "industrial"}, "rules/purpose", "industrial"),
        ({"on": ENGLAND.on.replace(year=2025, day=1)}, "rules/date", "2025-03-01"),  # the day before row 4.30
        ({"edition": "ADB 2019 with amendments to 2026"}, "rules/date", "2026-03-01"),
    ],
)
def test_rules_that_are_not_held_leave_everything_unknown(changes: dict[str, Any], key: str, words: str) -> None:
    requirement = asked(penetration(), under(**changes))
    assert requirement.needed is UNKNOWN
    assert {item.verdict for item in requirement.methods} == {UNKNOWN}
    assert (value(requirement.class_texts), value(requirement.actuation)) == (key, key)
    (missing,) = requirement.missing
    assert missing.key == key
    assert words in missing.text
    assert verdict(penetration(), "scheduled-class", under(**changes)) is UNKNOWN


def test_an_edition_holds_from_its_first_day_and_is_read_without_regard_to_case() -> None:
    rules = under(on=ENGLAND.on.replace(year=2025, day=2), edition="adb 2019  with amendments to 2025")  # row 4.30
    assert asked(penetration(), rules).needed is PASS


def test_a_later_edition_is_shown_with_the_transition() -> None:
    later = under(on=ENGLAND.on.replace(month=9, day=30))  # row 4.31: 30 September 2026
    (part,) = [item for item in asked(penetration(), later).parts if item.about == "edition"]
    assert part.rows == ("england.edition.2026", "england.transition.months")
    before = under(on=ENGLAND.on.replace(month=9, day=29))
    assert "edition" not in {item.about for item in asked(penetration(), before).parts}


@pytest.mark.parametrize("role", list(BarrierRole))
def test_for_dwellings_no_method_is_ever_known_to_be_allowed(role: BarrierRole) -> None:
    requirement = asked(penetration(barrier__role=role), under(purpose="residential"))
    assert PASS not in {item.verdict for item in requirement.methods}
    if role not in {BarrierRole.NOT_SEPARATING, BarrierRole.CAVITY_BARRIER}:
        assert value(requirement.class_texts) == "rules/dwellings"
        assert value(requirement.actuation) == "rules/dwellings"
        assert "rules/dwellings" in {item.key for item in requirement.missing}


def test_a_dwelling_beside_the_barrier_leaves_the_other_rules_not_enough() -> None:
    requirement = asked(penetration(spaces=spaces(SpaceUse.GENERAL, SpaceUse.DWELLING)))
    assert {item.verdict for item in requirement.methods} == {UNKNOWN}
    assert value(requirement.class_texts) == "rules/dwellings"


@pytest.mark.parametrize(
    ("role", "row"),
    [
        (BarrierRole.PROTECTED_STAIR, "england.stair.own-duct"),  # 4.14
        (BarrierRole.PROTECTED_STAIR, "england.stair.duct-through"),  # 4.15
        (BarrierRole.FIREFIGHTING_SHAFT, "england.firefighting-shaft.full"),  # 4.22
        (BarrierRole.PROTECTED_SHAFT, "england.smoke-shaft.vents"),  # 4.27
    ],
)
def test_what_is_held_for_dwellings_is_shown_where_it_belongs(role: BarrierRole, row: str) -> None:
    shown = {
        r for part in asked(penetration(barrier__role=role), under(purpose="residential")).parts for r in part.rows
    }
    assert row in shown
    elsewhere = asked(penetration(), under(purpose="residential")).parts
    assert row not in {r for part in elsewhere for r in part.rows}


def test_a_dwelling_hood_in_dwellings_is_its_own_query_too() -> None:
    requirement = asked(penetration(duct__system=SystemUse.DWELLING_HOOD), under(purpose="residential"))
    assert {item.key for item in requirement.missing} == {
        "rules/dwellings",
        "penetration/P-0001/method-dwelling-hood",
    }


def test_smoke_actuation_brings_the_detectors_and_thermal_alone_does_not() -> None:
    with_smoke = asked(penetration(spaces=ESCAPE, protection__method=METHOD_4))  # 4.13
    assert "england.smoke-detectors" in {row for part in with_smoke.parts for row in part.rows}
    without_smoke = asked(penetration())
    assert value(without_smoke.actuation) == THERMAL
    assert "england.smoke-detectors" not in {row for part in without_smoke.parts for row in part.rows}


@pytest.mark.parametrize(
    ("system", "beside", "shown"),
    [  # 4.16 and 4.17
        (SystemUse.KITCHEN_EXTRACT, GENERAL, {"england.separate-extract.spaces"}),
        (SystemUse.EXTRACT, spaces(SpaceUse.PLANT), {"england.separate-extract.spaces", "england.recirculation"}),
        (SystemUse.EXTRACT, spaces(SpaceUse.CAR_PARK), {"england.separate-extract.spaces", "england.recirculation"}),
        (SystemUse.EXTRACT, GENERAL, {"england.recirculation"}),
        (SystemUse.SUPPLY, spaces(SpaceUse.PLANT), set()),
    ],
)
def test_what_is_asked_of_the_system_is_shown(system: SystemUse, beside: frozenset[SpaceUse], shown: set[str]) -> None:
    rows = {row for part in asked(penetration(duct__system=system, spaces=beside)).parts for row in part.rows}
    assert rows & {"england.separate-extract.spaces", "england.recirculation"} == shown


@pytest.mark.parametrize(
    ("changes", "row", "shown"),
    [  # 4.20 and 4.23
        ({"spaces": spaces(SpaceUse.HEALTHCARE)}, "england.healthcare.fixing", True),
        ({"spaces": spaces(SpaceUse.GENERAL, SpaceUse.ISOLATION_ROOM)}, "england.healthcare.fixing", True),
        ({"spaces": GENERAL}, "england.healthcare.fixing", False),
        ({"spaces": unknown("penetration/P-0001/spaces")}, "england.healthcare.fixing", False),
        ({"duct__system": SystemUse.APPLIANCE}, "england.appliance.duct-walls", True),
        ({}, "england.appliance.duct-walls", False),
    ],
)
def test_what_healthcare_and_appliances_ask_is_shown(changes: dict[str, Any], row: str, shown: bool) -> None:
    rows = {name for part in asked(penetration(**changes)).parts for name in part.rows}
    assert (row in rows) is shown


def test_method_3_says_what_the_ductwork_must_hold() -> None:
    parts = asked(penetration(protection__method=METHOD_3)).parts  # 4.26
    assert "england.method-3.duct" in {row for part in parts for row in part.rows}


def test_an_unknown_system_leaves_the_class_of_method_1_open_and_not_that_of_method_4() -> None:
    system = unknown("penetration/P-0001/system")
    assert value(asked(penetration(duct__system=system)).class_texts) == "penetration/P-0001/system"
    by_smoke = asked(penetration(duct__system=system, protection__method=METHOD_4))
    assert value(by_smoke.class_texts) == ("E 60 (ve i↔o) S",)  # whatever the system, a damper of method 4 asks no less
    assert "penetration/P-0001/system" in {item.key for item in by_smoke.missing}
