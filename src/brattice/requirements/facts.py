# SPDX-License-Identifier: Apache-2.0
"""The facts that rules can ask of, by name: the closed list, and their values at one penetration."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from brattice.building.penetration import Penetration
from brattice.building.words import ProtectionMethod
from brattice.findings import Fact, Known, Origin
from brattice.requirements.predicates import (
    insulated_minutes,
    is_air_transfer,
    is_escape_route,
    is_isolation_room,
    is_kitchen,
    is_sleeping,
    is_sleeping_excepted,
    is_thermally_released,
)
from brattice.requirements.requirement import Rules
from brattice.rows import RowBook, RowValue

__all__ = ["FACTS", "FactSpec", "FactValue", "candidate", "facts_at"]

FactValue = bool | int | float | str | frozenset[str]


@dataclass(frozen=True)
class FactSpec:
    """One name that a rule can ask of, what stands behind it, and what people call it where it is a yes or no."""

    name: str
    meaning: str
    label: str = ""


FACTS: tuple[FactSpec, ...] = (
    FactSpec("purpose", "What the job's rules are for: non-residential or residential."),
    FactSpec("method", "The protection method that is asked about."),
    FactSpec("barrier.role", "What the fire strategy makes of the barrier."),
    FactSpec("barrier.minutes", "Minutes for which the barrier holds integrity and insulation both [min]."),
    FactSpec("duct.system", "What the duct system does."),
    FactSpec("duct.transfer", "Whether air passes without a duct system.", "air transfer without a duct"),
    FactSpec("place.escape-route", "Whether the barrier protects an escape route, by its role or a space beside it."),
    FactSpec("place.commercial-kitchen", "Whether a commercial kitchen lies beside the barrier."),
    FactSpec("place.isolation-room", "Whether an isolation room of healthcare lies beside the barrier."),
    FactSpec("place.sleeping", "Whether people sleep beside the barrier."),
    FactSpec("place.sleeping-excepted", "Whether a stated exception lifts what sleeping asks."),
    FactSpec("damper.present", "Whether a damper is scheduled or modelled.", "damper"),
    FactSpec("damper.thermal", "Whether a damper that closes on heat stands here.", "thermally released damper"),
    FactSpec("damper.actuation", "What makes the damper close."),
    FactSpec("damper.class", "The class that the schedule claims for the damper, as written."),
    FactSpec(
        "protection.run-proven",
        "Whether the whole protected run is stated proven on a document.",
        "whole run stated proven",
    ),
    FactSpec("installation.position", "Where the damper sits to the barrier."),
    FactSpec("installation.access-door", "Whether there is an access door at the damper.", "access door"),
)


def _words(value: RowValue) -> frozenset[str]:
    return frozenset(str(item) for item in value) if isinstance(value, tuple) else frozenset({str(value)})


def _word(fact: Fact[StrEnum]) -> Fact[FactValue]:
    return Known(str(fact.value), fact.origin) if isinstance(fact, Known) else fact


def candidate(method: ProtectionMethod) -> Fact[FactValue]:
    """A method as the fact that a rule is asked about, whatever the schedule says; it comes from no file."""
    return Known(str(method), Origin(""))


def facts_at(penetration: Penetration, rules: Rules, book: RowBook) -> Mapping[str, Fact[FactValue]]:
    """Every fact of `FACTS` at a penetration; the escape and compartment roles come from the book's rows."""
    role = penetration.barrier.role
    damper = penetration.damper
    escape = _words(book.need("england.escape-route.roles", rules.on, rules.jurisdiction).value)
    inside = _words(book.need("england.sleeping.inside-compartment-roles", rules.on, rules.jurisdiction).value)
    actuation = damper.actuation
    return {
        "purpose": Known(rules.purpose, Origin("brattice.toml", "purpose")),
        "method": _word(penetration.protection.method),
        "barrier.role": _word(role),
        "barrier.minutes": insulated_minutes(penetration.barrier.rating),
        "duct.system": _word(penetration.duct.system),
        "duct.transfer": is_air_transfer(penetration.duct.system),
        "place.escape-route": is_escape_route(role, penetration.spaces, escape),
        "place.commercial-kitchen": is_kitchen(penetration.spaces),
        "place.isolation-room": is_isolation_room(penetration.spaces),
        "place.sleeping": is_sleeping(penetration.spaces),
        "place.sleeping-excepted": is_sleeping_excepted(rules, role, inside),
        "damper.present": damper.present,
        "damper.thermal": is_thermally_released(damper.present, actuation),
        "damper.actuation": (
            Known(frozenset(str(item) for item in actuation.value), actuation.origin)
            if isinstance(actuation, Known)
            else actuation
        ),
        "damper.class": damper.class_text,
        "protection.run-proven": penetration.protection.run_proven,
        "installation.position": _word(penetration.installation.position),
        "installation.access-door": penetration.installation.access_door,
    }
