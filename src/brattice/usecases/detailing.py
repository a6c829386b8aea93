# SPDX-License-Identifier: Apache-2.0
"""Detail a judged job: every penetration in numbers and steps, the one thing that sheets, orders and schedules read."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from brattice.details.assemble import Asked, assemble_detail
from brattice.details.detail import InstallationDetail, Standing
from brattice.details.given import said
from brattice.findings import Known, Verdict
from brattice.orders.orders import rejection_of
from brattice.rows import RowBook
from brattice.usecases.check import Material
from brattice.usecases.codes import Outcome
from brattice.usecases.detail_basis import MakerFacts, given_of
from brattice.usecases.job import Job
from brattice.usecases.parties import details_asked_by_rules
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import PenetrationState

__all__ = ["details_of", "state_words", "unless_rejected"]

Progress = Callable[[str], None]

_MAY_BUILD = (PenetrationState.WITHIN_SCOPE, PenetrationState.DEVIATION_ACCEPTED)
_NAMED = {
    PenetrationState.OUTSIDE_SCOPE: Outcome.FAILS,
    PenetrationState.NOT_ENOUGH_KNOWN: Outcome.UNKNOWN,
}
"""Of which findings a state counts the checks."""


def _not_drawn(item: PenetrationReport) -> str:
    """Why a penetration has no damper to detail; "" where it has one."""
    present = item.penetration.damper.present
    if item.state is PenetrationState.TO_BE_SETTLED:
        return "The model leaves open whether a duct passes the barrier here."
    if item.state is PenetrationState.NO_PROTECTION_NEEDED or item.requirement.needed is Verdict.NOT_APPLICABLE:
        return "No damper: no protection is needed here."
    if item.state is PenetrationState.PROTECTED_RUN_PROVEN:
        return "No damper: protected by a run that is stated proven."
    if isinstance(present, Known) and not present.value:
        return "No damper is scheduled here."
    if item.chosen is None:
        return "No tested installation is chosen here."
    return ""


def state_words(item: PenetrationReport) -> str:
    """Why a penetration has its state: not how many checks failed or lacked a fact alone, but what each says."""
    outcome = _NAMED.get(item.state)
    said = [finding.text for finding in item.findings if finding.open and finding.code.endswith(f"-{outcome}")]
    return " ".join(dict.fromkeys((item.state_why, *said)))


def asked_of(item: PenetrationReport) -> Asked:
    """What a detail has to know of the state of its penetration."""
    classes, actuation = item.requirement.class_texts, item.requirement.actuation
    asked = " or ".join(classes.value) if isinstance(classes, Known) else "not known"
    by = (said(actuation.value) or "nothing") if isinstance(actuation, Known) else "not known"
    chosen = item.chosen
    return Asked(
        may_build=item.state in _MAY_BUILD,
        state_why=state_words(item),
        not_drawn=_not_drawn(item),
        class_asked=asked or "none",
        class_held="" if chosen is None else chosen.achieved_class,
        actuation_asked=by,
        changes=() if chosen is None else tuple(change.text for change in chosen.changes),
        deviation="" if item.deviation is None else item.deviation.text,
    )


def unless_rejected(detail: InstallationDetail, job: Job, on: date) -> InstallationDetail:
    """The detail as it is, but not to be built while the technical submittal of its damper stands rejected."""
    rejected = rejection_of(detail, job.submittals, job.order_overrides, on)
    if not rejected or detail.standing is not Standing.TO_BUILD:
        return detail
    return replace(detail, standing=Standing.TO_BE_SETTLED, why=rejected)


def details_of(
    report: Report, material: Material, book: RowBook, *, progress: Progress = lambda _: None
) -> dict[str, InstallationDetail]:
    """The detail of every penetration of a report by its permanent id, in the order of the report.

    Missing facts are asked of the parties that the job names for them, as in the report.
    """
    makers = MakerFacts(material.products, material.seals)
    tested = {item.id: item for item in report.installations}
    progress(f"detailing {len(report.penetrations)} penetrations")
    details = {}
    for item in report.penetrations:
        chosen = None if item.chosen is None else tested.get(item.chosen.installation_id)
        given = given_of(item.penetration, item.requirement, item.chosen, chosen, makers, book)
        given = replace(given, stated_tolerances=material.job.site_tolerances)
        detail = assemble_detail(given, asked_of(item))
        details[item.penetration.id] = unless_rejected(detail, material.job, report.as_of)
    return details_asked_by_rules(details, material.job.parties)
