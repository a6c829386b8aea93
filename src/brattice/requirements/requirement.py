# SPDX-License-Identifier: Apache-2.0
"""What the code asks at one penetration, every part with the rows that say so."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from brattice.building.words import Actuation, ProtectionMethod
from brattice.findings import Fact, Missing, Reason, Verdict

__all__ = ["Demand", "LoweredRequirement", "MethodAnswer", "Requirement", "RequirementPart", "Rules"]


@dataclass(frozen=True, slots=True)
class Demand:
    """A demand of the fire strategy above the code's. Empty fields of where it holds mean "everywhere".

    `class_text` and `actuation` are what it asks ("" and None ask nothing).
    """

    document: str
    revision: str
    storeys: tuple[str, ...] = ()
    roles: tuple[str, ...] = ()
    wall_types: tuple[str, ...] = ()
    penetrations: tuple[str, ...] = ()
    class_text: str = ""
    actuation: frozenset[Actuation] | None = None


@dataclass(frozen=True, slots=True)
class LoweredRequirement:
    """An override that lowers what is asked at named penetrations; shown on every output."""

    penetrations: tuple[str, ...]
    class_text: str
    actuation: frozenset[Actuation] | None
    person: str
    role: str
    document: str
    revision: str
    on: date
    why: str


@dataclass(frozen=True, slots=True)
class Rules:
    """Which rules are asked: jurisdiction, edition and date, with the job's own demands and overrides.

    `purpose` is "non-residential" or "residential". `evacuation` and `alarm_l1` describe the exception for unaided
    escape (handbook 4.6): `evacuation` is "unaided, all at once" or "unaided, by compartment"; "" means not stated.
    """

    jurisdiction: str
    edition: str
    on: date
    purpose: str
    demands: tuple[Demand, ...] = ()
    lowered: tuple[LoweredRequirement, ...] = ()
    evacuation: str = ""
    alarm_l1: bool | None = None


@dataclass(frozen=True, slots=True)
class MethodAnswer:
    """Whether one protection method may be used here, and why.

    `class_texts` and `actuation` are what a damper of this method must hold here (None where the method has no
    damper, or nothing is asked); demands of the fire strategy and an override are taken up in them.
    """

    method: ProtectionMethod
    verdict: Verdict
    reasons: tuple[Reason, ...]
    class_texts: Fact[tuple[str, ...]] | None = None
    actuation: Fact[frozenset[Actuation]] | None = None


@dataclass(frozen=True, order=True, slots=True)
class RequirementPart:
    """One thing that is asked: what in words, and the rows and documents that ask it."""

    about: str
    asks: str
    rows: tuple[str, ...] = ()
    documents: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Requirement:
    """What is asked at one penetration.

    `needed` is PASS when protection is needed, NOT_APPLICABLE when the barrier is known not to be fire-separating,
    UNKNOWN when that can't be told. `class_texts` are alternatives: any one of them will do (canonical texts); none
    where no damper will do. Where the method is stated and may be used, they and `actuation` are what it asks.
    `rules` are those it was asked under.
    """

    penetration_id: str
    needed: Verdict
    methods: tuple[MethodAnswer, ...]
    class_texts: Fact[tuple[str, ...]]
    actuation: Fact[frozenset[Actuation]]
    parts: tuple[RequirementPart, ...]
    missing: tuple[Missing, ...] = ()
    lowered_by: LoweredRequirement | None = None
    rules: Rules | None = None
