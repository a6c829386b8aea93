# SPDX-License-Identifier: Apache-2.0
"""The one model that every output is made from: register, findings and report print it and compute nothing.

Everything in it is sorted; two runs on the same input give the same model.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property

from brattice.building.penetration import Penetration
from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.building.queries import QueryRecord, is_overdue, query_key
from brattice.building.schedule import CellUnread, ScheduleSheet
from brattice.details.opening import OpeningDetail
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.judgment import Judgment
from brattice.findings import Finding, Query
from brattice.register.stages import Stage, Track
from brattice.requirements.requirement import LoweredRequirement, Requirement
from brattice.rows import Row
from brattice.usecases.job import DeviationAccepted
from brattice.usecases.states import STATES, PenetrationState

__all__ = [
    "CAUTIONS",
    "InputUsed",
    "OtherService",
    "PenetrationReport",
    "PlanBarrier",
    "QueryStanding",
    "Report",
    "RetiredTrack",
    "RowAt",
    "RowUsed",
    "SettleFirst",
    "StoreyPlan",
    "Tracked",
    "with_numbers",
]

CAUTIONS: tuple[str, ...] = (
    "This is an aid to competent people. It does not approve, certify or inspect anything.",
    (
        "The tested instructions of the damper's maker, the fire strategy, local codes and building control come "
        "before anything written here; where they differ, they are right."
    ),
    (
        "Within scope means: no check that was made failed and none lacked a fact. It is as good as the facts "
        "entered; what was not entered or could not be read is never counted as a pass."
    ),
    (
        "Some values come from memory or from secondary sources and are marked so; have them confirmed before an order "
        "or a design depends on them."
    ),
)
"""Printed in every output."""


@dataclass(frozen=True, order=True, slots=True)
class InputUsed:
    """A file that was read: path in the job, role, SHA-256 of its bytes, what was noted about it."""

    path: str
    role: str
    sha256: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, order=True, slots=True)
class OtherService:
    """A pipe or cable through a barrier: listed, not judged."""

    key: str
    storey: str
    service: str
    guids: tuple[str, ...]
    barrier_guids: tuple[str, ...]
    size: str


@dataclass(frozen=True, order=True)
class RowAt:
    """Where a row of a schedule stands: file, sheet ("" in a table of text), number of the row."""

    file: str
    sheet: str
    number: int

    def __str__(self) -> str:
        where = f"sheet '{self.sheet}', row {self.number}" if self.sheet else f"row {self.number}"
        return f"{self.file}, {where}"


@dataclass(frozen=True)
class Tracked:
    """What people say was done at a penetration, and the stages that an open finding is about."""

    track: Track
    doubtful: tuple[Stage, ...] = ()


@dataclass(frozen=True)
class RetiredTrack:
    """What people said of a penetration that no source has any more; reference and storey as they last were."""

    track: Track
    reference: str = ""
    storey: str = ""

    @property
    def id(self) -> str:
        """The permanent id."""
        return self.track.penetration


@dataclass(frozen=True, slots=True)
class PenetrationReport:
    """Everything that is said about one penetration.

    `chosen` is the judgment that the state rests on, `chosen_why` the rule that chose it; `others` are the next
    best, `alternatives` those of other products that would hold. `facts` are (name, value, origin) as text.
    `tracked` is None where nobody said anything in the tracker. `row` is where its row of a schedule stands (None
    without one), `unread` the cells of that row that were not read.
    """

    penetration: Penetration
    state: PenetrationState
    state_why: str
    requirement: Requirement
    chosen: Judgment | None
    chosen_why: str
    others: tuple[Judgment, ...]
    alternatives: tuple[Judgment, ...]
    judged: tuple[tuple[str, int], ...]
    opening: OpeningDetail | None
    findings: tuple[Finding, ...]
    queries: tuple[Query, ...]
    facts: tuple[tuple[str, str, str], ...]
    deviation: DeviationAccepted | None = None
    tracked: Tracked | None = None
    row: RowAt | None = None
    unread: tuple[CellUnread, ...] = ()
    _rests_on: list[tuple[str, ...]] = field(default_factory=list, init=False, repr=False, compare=False)

    @property
    def something_open(self) -> bool:
        """Whether somebody has to do something here: by its state, or for what people say in the tracker."""
        return any(spec.state is self.state and spec.open for spec in STATES) or any(
            item.open for item in self.findings
        )

    @property
    def rests_on(self) -> tuple[str, ...]:
        """The ids of all rows that the answer rests on, passed checks included; sorted."""
        if self._rests_on:  # every output asks for it
            return self._rests_on[0]
        reasons = [reason for method in self.requirement.methods for reason in method.reasons]
        if self.chosen is not None:
            reasons += self.chosen.reasons
        if self.opening is not None:
            reasons += self.opening.reasons
        used = [row for reason in reasons for row in reason.rows]
        used += [row for part in self.requirement.parts for row in part.rows]
        used += [row for finding in self.findings for row in finding.rows]
        self._rests_on.append(tuple(sorted(set(used))))
        return self._rests_on[0]


@dataclass(frozen=True, order=True, slots=True)
class RowUsed:
    """A data row that an answer rests on, and whether anybody confirmed it."""

    row: Row
    confirmed: bool
    used_by: int


@dataclass(frozen=True, slots=True)
class SettleFirst:
    """One line of the first page: a missing fact, and the penetrations that get an answer once it is known.

    `unlocks` are those where it is the only thing missing; `holds_up` all that wait for it.
    """

    text: str
    ask: str
    keys: tuple[str, ...]
    unlocks: tuple[str, ...]
    holds_up: tuple[str, ...]


@dataclass(frozen=True, order=True)
class QueryStanding:
    """Where a query stands in the job's list: its number, the key of the missing fact, "open", "overdue" or "answered"
    (or "withdrawn"), the due date and the last answer where there are such.
    """

    number: str
    key: str
    state: str
    due: date | None = None
    answer: str = ""


@dataclass(frozen=True)
class Report:
    """The whole answer for a job. `standings` are its queries by number, once the list of queries was brought up to it
    (see `with_numbers`). `sheets` are those of the schedules, with the rows that were passed over.
    """

    job_name: str
    invented: bool
    as_of: date
    version: str
    jurisdiction: str
    edition: str
    purpose: str
    inputs: tuple[InputUsed, ...]
    penetrations: tuple[PenetrationReport, ...]
    job_findings: tuple[Finding, ...]
    queries: tuple[Query, ...]
    settle_first: tuple[SettleFirst, ...]
    other_services: tuple[OtherService, ...]
    plans: tuple[StoreyPlan, ...]
    installations: tuple[TestedInstallation, ...]
    rows: tuple[RowUsed, ...]
    lowered: tuple[LoweredRequirement, ...]
    deviations: tuple[DeviationAccepted, ...]
    ledger_notes: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS
    standings: tuple[QueryStanding, ...] = ()
    retired: tuple[RetiredTrack, ...] = ()
    sheets: tuple[ScheduleSheet, ...] = ()

    @cached_property
    def _by_key(self) -> dict[str, QueryStanding]:
        return {item.key: item for item in self.standings}

    def standing_of(self, query: Query) -> QueryStanding | None:
        """Where a query of this report stands in the job's list; None while it has no number."""
        return self._by_key.get(query_key(query.missing.key))

    def counts(self) -> tuple[tuple[PenetrationState, int], ...]:
        """How many penetrations are in each state, in the order of the table of states; zeros included."""
        states = [item.state for item in self.penetrations]
        return tuple((state, states.count(state)) for state in PenetrationState)

    @property
    def something_open(self) -> bool:
        """Whether anything is left to do: an open finding or a query."""
        return bool(self.queries) or any(
            finding.open for finding in self.job_findings + tuple(f for p in self.penetrations for f in p.findings)
        )


def with_numbers(report: Report, records: Iterable[QueryRecord]) -> Report:
    """The report with the number, state and due date of each query that it asks, on its own date.

    `records` are those of the job's list after the report's questions were added to it.
    """
    asked = {query_key(query.missing.key) for query in report.queries}
    standings = [
        QueryStanding(
            record.number,
            record.key,
            "overdue" if is_overdue(record, report.as_of) else str(record.state),
            record.due,
            record.answer.text if record.answer is not None else "",
        )
        for record in records
        if record.key in asked
    ]
    return replace(report, standings=tuple(sorted(standings)))
