# SPDX-License-Identifier: Apache-2.0
"""What a place is, told from several facts: the named predicates that no single row can ask.

Each is three-valued: `Known(True)`, `Known(False)`, or `Unknown` with the one fact that would settle it. A fact that
is enough by itself settles it whatever else is missing.
"""

from __future__ import annotations

from collections.abc import Collection

from brattice.building.wall_type import Rating
from brattice.building.words import Actuation, BarrierRole, SpaceUse, SystemUse
from brattice.findings import Fact, Known, Origin
from brattice.requirements.requirement import Rules

__all__ = [
    "ALL_AT_ONCE",
    "BY_COMPARTMENT",
    "insulated_minutes",
    "is_air_transfer",
    "is_dwelling",
    "is_escape_route",
    "is_kitchen",
    "is_sleeping",
    "is_sleeping_excepted",
    "is_thermally_released",
]

ALL_AT_ONCE = "unaided, all at once"
BY_COMPARTMENT = "unaided, by compartment"

_STRATEGY = Origin("brattice.toml", "escape")


def is_escape_route(
    role: Fact[BarrierRole], spaces: Fact[frozenset[SpaceUse]], escape_roles: Collection[str]
) -> Fact[bool]:
    """Whether the barrier protects an escape route: its role says so, or a space beside it is one.

    `escape_roles` are the roles that say so by themselves (a row). Both facts are needed to say no.
    """
    if isinstance(role, Known) and role.value in escape_roles:
        return Known(True, role.origin)
    if isinstance(spaces, Known) and SpaceUse.ESCAPE_ROUTE in spaces.value:
        return Known(True, spaces.origin)
    if not isinstance(spaces, Known):
        return spaces
    if not isinstance(role, Known):
        return role
    return Known(False, spaces.origin)


def is_sleeping(spaces: Fact[frozenset[SpaceUse]]) -> Fact[bool]:
    """Whether people sleep beside the barrier: patients may, wherever a space of healthcare is stated."""
    if not isinstance(spaces, Known):
        return spaces
    sleeping = {SpaceUse.SLEEPING, SpaceUse.HEALTHCARE, SpaceUse.ISOLATION_ROOM}
    return Known(bool(spaces.value & sleeping), spaces.origin)


def is_kitchen(spaces: Fact[frozenset[SpaceUse]]) -> Fact[bool]:
    """Whether a commercial kitchen lies beside the barrier."""
    return Known(SpaceUse.COMMERCIAL_KITCHEN in spaces.value, spaces.origin) if isinstance(spaces, Known) else spaces


def is_healthcare(spaces: Fact[frozenset[SpaceUse]]) -> Fact[bool]:
    """Whether a space beside the barrier is one of healthcare; an isolation room is one."""
    if not isinstance(spaces, Known):
        return spaces
    return Known(bool(spaces.value & {SpaceUse.HEALTHCARE, SpaceUse.ISOLATION_ROOM}), spaces.origin)


def is_isolation_room(spaces: Fact[frozenset[SpaceUse]]) -> Fact[bool]:
    """Whether an isolation room of healthcare lies beside the barrier."""
    return Known(SpaceUse.ISOLATION_ROOM in spaces.value, spaces.origin) if isinstance(spaces, Known) else spaces


def is_dwelling(spaces: Fact[frozenset[SpaceUse]]) -> Fact[bool]:
    """Whether a space beside the barrier is a dwelling, for which almost no rules are held."""
    return Known(SpaceUse.DWELLING in spaces.value, spaces.origin) if isinstance(spaces, Known) else spaces


def is_sleeping_excepted(rules: Rules, role: Fact[BarrierRole], inside_roles: Collection[str]) -> Fact[bool]:
    """Whether the stated exception lifts what sleeping asks here (trade handbook row 4.6).

    It is lifted only by a statement: unaided escape with category L1 alarm, and how people leave. What is not stated
    lifts nothing. `inside_roles` are the roles of barriers inside one fire compartment (a row).
    """
    if rules.alarm_l1 is not True or rules.evacuation not in {ALL_AT_ONCE, BY_COMPARTMENT}:
        return Known(False, _STRATEGY)
    if rules.evacuation == ALL_AT_ONCE:
        return Known(True, _STRATEGY)
    return Known(role.value in inside_roles, role.origin) if isinstance(role, Known) else role


def is_thermally_released(present: Fact[bool], actuation: Fact[frozenset[Actuation]]) -> Fact[bool]:
    """Whether a damper that closes on heat stands here: no damper, or one known not to, is a no."""
    if isinstance(present, Known) and not present.value:
        return Known(False, present.origin)
    if isinstance(actuation, Known) and Actuation.THERMAL not in actuation.value:
        return Known(False, actuation.origin)
    if not isinstance(present, Known):
        return present
    return Known(True, actuation.origin) if isinstance(actuation, Known) else actuation


def is_air_transfer(system: Fact[SystemUse]) -> Fact[bool]:
    """Whether air passes here without a duct system: a transfer grille or an open duct end."""
    return Known(system.value is SystemUse.TRANSFER, system.origin) if isinstance(system, Known) else system


def insulated_minutes(rating: Fact[Rating]) -> Fact[int]:
    """The minutes for which a barrier holds integrity and insulation both (the "EI" of an REI) [min]."""
    if not isinstance(rating, Known):
        return rating
    return Known(min(rating.value.integrity_min, rating.value.insulation_min or 0), rating.origin)
