# SPDX-License-Identifier: Apache-2.0
"""A job as its folder states it: which models, schedules and evidence, under which rules, with which decisions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fnmatch import fnmatchcase

from brattice.building.wall_type import Rating, WallType
from brattice.calc.tolerance import NONE_STATED, StatedTolerances
from brattice.evidence.dates import NO_DATES, KeyDates
from brattice.findings import Party
from brattice.orders.decisions import OrderOverride, SubmittalDecision
from brattice.requirements.requirement import Rules
from brattice.rows import Confirmation

__all__ = [
    "NO_NAMES",
    "AcceptedValue",
    "DeviationAccepted",
    "Job",
    "KeyDates",
    "ModelRef",
    "PartyRule",
    "Pin",
    "TitleNames",
]


@dataclass(frozen=True)
class ModelRef:
    """A model of the job: path relative to the job folder, and its role ("architecture", "services" …)."""

    path: str
    role: str


@dataclass(frozen=True)
class Pin:
    """A choice made by hand: this installation for this penetration, and why."""

    penetration: str
    installation: str
    why: str


@dataclass(frozen=True)
class PartyRule:
    """Facts that the job asks of a party: names or patterns (`*`) of the keys of missing facts.

    A pattern with `/` is held against the whole key (`wall-type/*/rating`), one without against its last part.
    """

    facts: tuple[str, ...]
    ask: Party

    def takes(self, key: str) -> bool:
        """Whether a missing fact of a key is asked of this party."""
        return any(fnmatchcase(key if "/" in item else key.rpartition("/")[2], item) for item in self.facts)


@dataclass(frozen=True)
class AcceptedValue:
    """What was accepted: a finding code, what was there and what was needed, in the finding's own words."""

    code: str
    have: str
    need: str

    @property
    def text(self) -> str:
        """Code, value and what was needed on one line."""
        return f"{self.code}: {self.have} (needed: {self.need})" if self.need else f"{self.code}: {self.have}"


@dataclass(frozen=True)
class DeviationAccepted:
    """A deviation that a named person accepted for named penetrations, finding codes and values.

    A code without a value in `accepted` accepts nothing: what was accepted is not known.
    """

    penetrations: tuple[str, ...]
    codes: tuple[str, ...]
    person: str
    role: str
    document: str
    revision: str
    on: date
    conditions: str
    accepted: tuple[AcceptedValue, ...] = ()

    @property
    def text(self) -> str:
        """What was accepted, by whom, on what, when, on which conditions; it is printed wherever it is rested on."""
        values = "; ".join(value.text for value in self.accepted) or "no value stated"
        return (
            f"Deviation accepted by {self.person}, {self.role}, on {self.document} revision {self.revision}, "
            f"{self.on.isoformat()}. Conditions: {self.conditions or 'none stated'}. Accepted: {values}."
        )


@dataclass(frozen=True)
class TitleNames:
    """What the title blocks of issued sheets say of the job: whose it is, its number, who drew, checked, approved.

    "" where it is not stated: the field stays empty, to be signed by hand.
    """

    owner: str = ""
    project: str = ""
    department: str = ""
    drawn: str = ""
    checked: str = ""
    approved: str = ""


NO_NAMES = TitleNames()
"""The title block of a job that states none."""


@dataclass(frozen=True)
class Job:
    """One job. Paths are relative to its folder; `ratings` maps rating texts of models to what they mean.

    `model_wall_types` maps the type names of model elements to wall type codes; `wall_types` are those that the job
    file itself states, `wall_type_sheets` the files that state others. `standard_details` lets penetrations that are
    alike in every number share a sheet when they are issued.
    """

    name: str
    rules: Rules
    models: tuple[ModelRef, ...] = ()
    schedules: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    ratings: tuple[tuple[str, Rating], ...] = ()
    model_wall_types: tuple[tuple[str, str], ...] = ()
    maker_order: tuple[str, ...] = ()
    pins: tuple[Pin, ...] = ()
    parties: tuple[PartyRule, ...] = ()
    deviations: tuple[DeviationAccepted, ...] = ()
    dates: KeyDates = NO_DATES
    confirmations: tuple[Confirmation, ...] = ()
    invented: bool = False
    wall_types: tuple[WallType, ...] = ()
    wall_type_sheets: tuple[str, ...] = ()
    submittals: tuple[SubmittalDecision, ...] = ()
    order_overrides: tuple[OrderOverride, ...] = ()
    title: TitleNames = NO_NAMES
    site_tolerances: StatedTolerances = NONE_STATED
    standard_details: bool = False
