# SPDX-License-Identifier: Apache-2.0
"""Everything that is ordered, formed, submitted and wired of a judged job, made from its details on one date."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from brattice.details.assemble import waits
from brattice.details.detail import InstallationDetail
from brattice.evidence.codes import GAP, LINING, OPENING_FRAMING, OPENING_SHAPE
from brattice.findings import Party, Verdict
from brattice.orders.builders_work import BuildersWork, builders_work
from brattice.orders.cause_effect import CauseEffect, cause_and_effect
from brattice.orders.compare import ChangeKind, OrderChange, compare_orders
from brattice.orders.orders import OrderLine, OrderSchedule, order_schedule, rejection_of
from brattice.orders.overlay import Overlay, overlays
from brattice.orders.submittal import AskedHere, Submittals, submittals
from brattice.orders.too_near import TooNearGroup
from brattice.usecases.detailing import state_words
from brattice.usecases.job import Job
from brattice.usecases.parties import APPROVAL
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState
from brattice.usecases.words import how_known_words

__all__ = ["ScheduleHead", "Schedules", "clauses_of", "head_of_schedules", "only_its_opening", "schedules_of"]

_OPENING_CHECKS = frozenset({GAP, LINING, OPENING_FRAMING, OPENING_SHAPE})
_NO_DAMPER = (PenetrationState.NO_PROTECTION_NEEDED, PenetrationState.PROTECTED_RUN_PROVEN)
_OPENING_FIGURES = ("gap-", "finished-", "framed-", "existing-off", "lining")


@dataclass(frozen=True)
class ScheduleHead:
    """What stands on every schedule: the job, the date, the revision ("" for one that is not issued), the cautions."""

    job: str
    as_of: date
    version: str
    invented: bool
    cautions: tuple[str, ...]
    revision: str = ""

    @property
    def revision_text(self) -> str:
        """The revision; that it is none where it was not issued."""
        return self.revision or "not issued"


def head_of_schedules(report: Report, revision: str = "") -> ScheduleHead:
    """The head of a report's schedules."""
    return ScheduleHead(report.job_name, report.as_of, report.version, report.invented, report.cautions, revision)


@dataclass(frozen=True)
class Schedules:
    """The order schedule with its changes since the issue before, builders' work with its overlays, submittals, and
    cause and effect. `is_first` says that there was no issue before to compare with. `drawings` is the number of the
    drawing that applies to each penetration, where a job issues standard details (else empty: each has its own sheet).
    """

    orders: OrderSchedule
    changes: tuple[OrderChange, ...]
    is_first: bool
    builders_work: BuildersWork
    overlays: tuple[Overlay, ...]
    submittals: Submittals
    cause_effect: CauseEffect
    drawings: Mapping[str, str] = field(default_factory=dict)

    def drawings_text(self, penetrations: Iterable[str]) -> str:
        """The drawings that apply to penetrations, each once; "" where each has its own sheet."""
        return ", ".join(dict.fromkeys(self.drawings[name] for name in penetrations if name in self.drawings))

    @property
    def changes_text(self) -> str:
        """What the list of changes says as a whole."""
        if self.is_first:
            return "There is no issue before this one to compare with."
        if not self.changes:
            return "Nothing changed since the issue before."
        counts = [
            (kind, len({name for item in self.changes if item.kind is kind for name in item.penetrations}))
            for kind in ChangeKind
        ]
        told = ", ".join(f"{kind} {count}" for kind, count in counts)
        return f"Penetrations that changed since the issue before: {told}."


def only_its_opening(item: PenetrationReport, detail: InstallationDetail) -> bool:
    """Whether forming the opening as the detail has it is all that keeps a penetration from being built.

    While anything else is to be settled first, another damper may be chosen, and with it another opening.
    """
    if item.state is not PenetrationState.WITHIN_SCOPE_IF or item.chosen is None or not item.chosen.changes:
        return False
    by_opening = all(change.code in _OPENING_CHECKS for change in item.chosen.changes)
    wrong = [figure.key for figure in detail.figures if figure.verdict is Verdict.FAIL]
    open_still = [figure for figure in (*detail.figures, *(near.clear for near in detail.neighbours)) if waits(figure)]
    holds = not detail.problems and not open_still
    return by_opening and holds and all(key.startswith(_OPENING_FIGURES) for key in wrong)


def clauses_of(report: Report) -> dict[str, str]:
    """The clause of each row that the answers rest on, with how it is known: `"ADB vol. 2:2019, 9.20 (from …)"`."""
    return {used.row.id: f"{used.row.clause} ({how_known_words(used.row, used.confirmed)})" for used in report.rows}


def schedules_of(
    report: Report,
    details: Mapping[str, InstallationDetail],
    job: Job,
    *,
    before: Sequence[OrderLine] | None = None,
    too_near: Sequence[TooNearGroup] = (),
    drawings: Mapping[str, str] | None = None,
) -> Schedules:
    """All schedules of a judged job; `before` are the order lines of the issue before (None: there was none),
    `too_near` the groups of what is too near (see `usecases.too_near`), `drawings` the numbers of the drawings where
    some penetrations share one.
    """
    items = {item.penetration.id: item for item in report.penetrations}
    opening_only = [
        name
        for name, detail in details.items()
        if name in items
        and only_its_opening(items[name], detail)
        and not rejection_of(detail, job.submittals, job.order_overrides, report.as_of)
    ]
    asked = {
        name: AskedHere(item.requirement, str(item.state), state_words(item))
        for name, item in items.items()
        if name in details
    }
    none = {name for name, item in items.items() if item.state in _NO_DAMPER}
    ask = next((rule.ask for rule in job.parties if rule.takes(APPROVAL)), Party.PRINCIPAL_DESIGNER)
    orders = order_schedule(
        details, job.submittals, job.order_overrides, on=report.as_of, without=none, ask_submittal=ask
    )
    storeys = [plan.storey for plan in sorted(report.plans, key=lambda plan: (plan.elevation_m, plan.storey))]
    work = builders_work(details, opening_only=opening_only, storeys=storeys, without=none, too_near=too_near)
    return Schedules(
        orders=orders,
        changes=() if before is None else compare_orders(orders, before),
        is_first=before is None,
        builders_work=work,
        overlays=overlays(work.rows, details, report.plans),
        submittals=submittals(details, asked, clauses_of(report), job.submittals, on=report.as_of, without=none),
        cause_effect=cause_and_effect(details, without=none),
        drawings=drawings or {},
    )
