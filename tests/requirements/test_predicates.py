# SPDX-License-Identifier: Apache-2.0
"""The named predicates, each over its whole table; the rows of the trade handbook stand beside them."""

from datetime import date

import pytest

from brattice.building.words import Actuation, BarrierRole, SpaceUse, SystemUse
from brattice.findings import Fact, Known
from brattice.requirements.predicates import (
    insulated_minutes,
    is_air_transfer,
    is_dwelling,
    is_escape_route,
    is_healthcare,
    is_isolation_room,
    is_sleeping,
    is_sleeping_excepted,
    is_thermally_released,
)
from brattice.requirements.requirement import Rules
from tests.helpers.penetrations import known, rating, unknown

ESCAPE_ROLES = ("protected corridor", "protected stair", "firefighting shaft")
NO_ROLE, NO_SPACES = unknown("role"), unknown("spaces")


def told(fact: Fact[bool]) -> bool | str:
    """True, False or the key of what is missing."""
    return fact.value if isinstance(fact, Known) else fact.missing.key


@pytest.mark.parametrize(
    ("role", "spaces", "expected"),
    [  # trade handbook row 4.3: a role, or a space beside, is enough; both are needed for a no
        (BarrierRole.PROTECTED_CORRIDOR, {SpaceUse.GENERAL}, True),
        (BarrierRole.PROTECTED_CORRIDOR, None, True),
        (BarrierRole.COMPARTMENT_WALL, {SpaceUse.GENERAL, SpaceUse.ESCAPE_ROUTE}, True),
        (None, {SpaceUse.ESCAPE_ROUTE}, True),
        (BarrierRole.COMPARTMENT_WALL, {SpaceUse.GENERAL}, False),
        (BarrierRole.COMPARTMENT_WALL, None, "spaces"),
        (None, {SpaceUse.GENERAL}, "role"),
        (None, None, "spaces"),
    ],
)
def test_an_escape_route(role: BarrierRole | None, spaces: set[SpaceUse] | None, expected: bool | str) -> None:
    told_role = NO_ROLE if role is None else known(role)
    told_spaces = NO_SPACES if spaces is None else known(frozenset(spaces))
    assert told(is_escape_route(told_role, told_spaces, ESCAPE_ROLES)) == expected


def test_an_isolation_room_is_healthcare_and_healthcare_is_not_always_one() -> None:
    isolation, ward = known(frozenset({SpaceUse.ISOLATION_ROOM})), known(frozenset({SpaceUse.HEALTHCARE}))
    assert (told(is_healthcare(isolation)), told(is_isolation_room(isolation))) == (True, True)
    assert (told(is_healthcare(ward)), told(is_isolation_room(ward))) == (True, False)
    assert told(is_healthcare(known(frozenset({SpaceUse.GENERAL})))) is False
    assert (told(is_healthcare(NO_SPACES)), told(is_isolation_room(NO_SPACES))) == ("spaces", "spaces")


def test_sleeping_and_dwellings_are_told_by_the_spaces_alone() -> None:
    bedroom, flat = known(frozenset({SpaceUse.SLEEPING})), known(frozenset({SpaceUse.DWELLING}))
    assert (told(is_sleeping(bedroom)), told(is_dwelling(bedroom))) == (True, False)
    assert (told(is_sleeping(flat)), told(is_dwelling(flat))) == (False, True)
    for use in (SpaceUse.HEALTHCARE, SpaceUse.ISOLATION_ROOM):  # patients may sleep there: never taken for a no
        assert told(is_sleeping(known(frozenset({SpaceUse.GENERAL, use})))) is True
    assert (told(is_sleeping(NO_SPACES)), told(is_dwelling(NO_SPACES))) == ("spaces", "spaces")


@pytest.mark.parametrize(
    ("evacuation", "alarm_l1", "role", "expected"),
    [  # trade handbook row 4.6: lifted only by a statement
        ("", None, BarrierRole.PROTECTED_CORRIDOR, False),
        ("unaided, all at once", None, BarrierRole.PROTECTED_CORRIDOR, False),
        ("unaided, all at once", False, BarrierRole.PROTECTED_CORRIDOR, False),
        ("", True, BarrierRole.PROTECTED_CORRIDOR, False),
        ("in some other way", True, BarrierRole.PROTECTED_CORRIDOR, False),
        ("unaided, all at once", True, BarrierRole.COMPARTMENT_WALL, True),
        ("unaided, all at once", True, None, True),
        ("unaided, by compartment", True, BarrierRole.PROTECTED_CORRIDOR, True),
        ("unaided, by compartment", True, BarrierRole.COMPARTMENT_WALL, False),
        ("unaided, by compartment", True, BarrierRole.PROTECTED_STAIR, False),
        ("unaided, by compartment", True, None, "role"),
    ],
)
def test_the_exception_for_unaided_escape(
    evacuation: str, alarm_l1: bool | None, role: BarrierRole | None, expected: bool | str
) -> None:
    rules = Rules("England", "", date(2026, 1, 1), "non-residential", evacuation=evacuation, alarm_l1=alarm_l1)
    told_role = NO_ROLE if role is None else known(role)
    assert told(is_sleeping_excepted(rules, told_role, ("protected corridor",))) == expected


@pytest.mark.parametrize(
    ("present", "actuation", "expected"),
    [  # trade handbook row 4.18
        (True, {Actuation.THERMAL}, True),
        (True, {Actuation.THERMAL, Actuation.SMOKE_DETECTION}, True),
        (True, {Actuation.SMOKE_DETECTION}, False),
        (True, None, "actuation"),
        (False, {Actuation.THERMAL}, False),
        (False, None, False),
        (None, {Actuation.SMOKE_DETECTION}, False),
        (None, {Actuation.THERMAL}, "present"),
        (None, None, "present"),
    ],
)
def test_a_thermally_released_damper(
    present: bool | None, actuation: set[Actuation] | None, expected: bool | str
) -> None:
    told_present = unknown("present") if present is None else known(present)
    told_actuation = unknown("actuation") if actuation is None else known(frozenset(actuation))
    assert told(is_thermally_released(told_present, told_actuation)) == expected


def test_air_transfer_and_insulated_minutes() -> None:
    assert told(is_air_transfer(known(SystemUse.TRANSFER))) is True
    assert told(is_air_transfer(known(SystemUse.SUPPLY))) is False
    assert told(is_air_transfer(unknown("system"))) == "system"
    assert insulated_minutes(known(rating(120, 60))) == known(60)
    assert insulated_minutes(known(rating(60, 0))) == known(0)  # integrity alone
    assert insulated_minutes(unknown("rating")) == unknown("rating")
