# SPDX-License-Identifier: Apache-2.0
"""Check a job: every penetration from its sources to its state, and the one report model that all outputs print."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from brattice.building.penetration import Penetration
from brattice.building.plan import SurveyedPlace, Underlay
from brattice.building.schedule import ScheduleRow, ScheduleSheet
from brattice.building.wall_type import WallType
from brattice.building.words import PROTECTED_BY_RUN, plain
from brattice.classes import ClassSteps
from brattice.details import detail_opening
from brattice.details.checks import failing_reasons
from brattice.evidence import Judge, with_revisions
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.product import ProductFacts, SealFacts
from brattice.findings import Finding, Known, Reason, Verdict
from brattice.orders.decisions import standing_on
from brattice.register.stages import StageEvent
from brattice.requirements import check_scheduled, require
from brattice.rows import RowBook
from brattice.selection import Choice, choose
from brattice.usecases.as_scheduled import (
    PlacesStated,
    beside_the_gap,
    check_one_place,
    check_opening_size,
    check_order_facts,
)
from brattice.usecases.assess import Answers, assess, queries_together
from brattice.usecases.claims import check_claimed_class, check_damper_size, check_product, check_schedule_row
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.detail_basis import MakerFacts, given_of
from brattice.usecases.gap_sides import check_gap_sides
from brattice.usecases.identify import Identified
from brattice.usecases.job import Job
from brattice.usecases.merge import merge_penetration
from brattice.usecases.modelled_dampers import ModelledDamper
from brattice.usecases.parties import asked_by_rules, unused_rules
from brattice.usecases.report_model import InputUsed, OtherService, PenetrationReport, Report, RowUsed, StoreyPlan
from brattice.usecases.separations import told_distances
from brattice.usecases.settle import rank_missing
from brattice.usecases.surveyed import marked_places, reference_findings, with_survey, with_underlays
from brattice.usecases.tracking import with_tracker
from brattice.usecases.unread import check_cells, passed_rows
from brattice.usecases.untied import with_likely_ties

__all__ = ["Material", "Standards", "check_job"]

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Standards:
    """What is judged by: the book of rows and rules, the class steps that exist."""

    book: RowBook
    steps: ClassSteps


@dataclass(frozen=True)
class Material:
    """All that was read for a job, its penetrations identified; the job names them by their permanent ids.

    `answered` are the facts that answers to queries state, by the key of the missing fact; those of wall types are
    settled in `wall_types` already. `stages` are the entries of the tracker, `sheets` those that the rows stand in,
    `dampers` all that the models hold. `products` and `seals` are what makers state beside their tests.
    """

    job: Job
    identified: Identified
    wall_types: Mapping[str, WallType]
    installations: tuple[TestedInstallation, ...]
    inputs: tuple[InputUsed, ...] = ()
    other_services: tuple[OtherService, ...] = ()
    plans: tuple[StoreyPlan, ...] = ()
    findings: tuple[Finding, ...] = ()
    answered: Mapping[str, Known[Any]] = field(default_factory=dict)
    stages: tuple[StageEvent, ...] = ()
    sheets: tuple[ScheduleSheet, ...] = ()
    dampers: tuple[ModelledDamper, ...] = ()
    underlays: tuple[Underlay, ...] = ()
    marks: tuple[tuple[str, Known[SurveyedPlace]], ...] = ()
    products: tuple[ProductFacts, ...] = ()
    seals: tuple[SealFacts, ...] = ()


def _shared(material: Material, names: Mapping[str, str]) -> Mapping[str, frozenset[str]]:
    """With whom each penetration shares its hole: what a row says holds for both, and so does one modelled opening."""
    ids = material.identified.ledger.ids
    shared: dict[str, set[str]] = {}
    in_hole: dict[str, set[str]] = {}
    for item in material.identified.tied:
        mine = ids[item.key]
        for other in item.row.shared_with if item.row is not None else ():
            theirs = names.get(other, other)
            if theirs == mine:  # a slip of the pen for somebody else: that is no hole of its own
                theirs = "another, which its row does not name"
            shared.setdefault(mine, set()).add(theirs)
            shared.setdefault(theirs, set()).add(mine)
        if item.place is not None and item.place.opening_guid:
            in_hole.setdefault(item.place.opening_guid, set()).add(mine)
    for together in in_hole.values():
        for mine in together:
            shared.setdefault(mine, set()).update(together)
    return {mine: frozenset(others - {mine}) for mine, others in shared.items()}


@dataclass(frozen=True)
class _Merged:
    """A penetration from its sources, what merging them found, and its row of a schedule."""

    penetration: Penetration
    reasons: tuple[Reason, ...]
    row: ScheduleRow | None


def _merged(material: Material, marked: Mapping[str, Known[SurveyedPlace]], book: RowBook) -> list[_Merged]:
    merged = []
    names = material.identified.names()
    ids = material.identified.ledger.ids
    shared = _shared(material, names)
    told = told_distances(((ids[item.key], item.row) for item in material.identified.tied), names)
    storeys = (plan.storey for plan in material.plans)
    for item in with_likely_ties(material.identified.tied, ids, material.wall_types, storeys):
        permanent_id = ids[item.key]
        penetration, reasons = merge_penetration(
            permanent_id, item.row, item.place, material.wall_types, material.answered, told[permanent_id]
        )
        opening = replace(penetration.opening, shared_with=tuple(sorted(shared.get(permanent_id, ()))))
        penetration = replace(penetration, opening=opening)
        cells = check_cells(item.row, penetration, material.answered)
        penetration, asked = with_survey(penetration, marked.get(permanent_id), book)
        merged.append(_Merged(penetration, item.reasons + reasons + cells + asked, item.row))
    return sorted(merged, key=lambda item: item.penetration.id)


def _answers(
    found: _Merged,
    material: Material,
    judge: Judge,
    standards: Standards,
    places: PlacesStated,
    stated_by_makers: MakerFacts,
) -> Answers:
    job, penetration, merged = material.job, found.penetration, found.reasons
    requirement = require(penetration, job.rules, standards.book, standards.steps)
    scheduled = check_scheduled(penetration, requirement, standards.book, standards.steps)
    scheduled += (check_schedule_row(penetration), check_one_place(penetration, places))
    hole = check_opening_size(penetration)
    method = penetration.protection.method
    by_run = isinstance(method, Known) and method.value in PROTECTED_BY_RUN
    absent = isinstance(penetration.damper.present, Known) and not penetration.damper.present.value
    if penetration.to_be_settled or requirement.needed is Verdict.NOT_APPLICABLE or by_run or absent:
        return Answers(penetration, requirement, (*scheduled, hole), merged, None, None, (), row=found.row)
    pin = next((item.installation for item in job.pins if item.penetration == penetration.id), "")
    judgments, counts = judge.candidates(penetration, requirement, pin)
    makers = {item.id: item.maker for item in material.installations}
    choice: Choice = choose(judgments, makers=makers, maker_order=job.maker_order, pin=pin)
    opening, chosen = None, None
    if choice.judgment is not None:
        chosen = next(item for item in material.installations if item.id == choice.judgment.installation_id)
        reach = standards.book.number("scope.separation.reach")
        opening = detail_opening(penetration, chosen, reach_mm=reach)
        scheduled += (check_claimed_class(penetration, chosen, standards.steps), check_gap_sides(penetration, chosen))
        given = given_of(penetration, requirement, choice.judgment, chosen, stated_by_makers, standards.book)
        scheduled += failing_reasons(given)
    judged = () if choice.judgment is None else choice.judgment.reasons
    scheduled += (
        check_product(penetration, chosen, is_pinned=bool(pin)),
        check_damper_size(penetration),
        beside_the_gap(hole, judged),
        check_order_facts(penetration, standards.book, chosen if pin else None),
    )
    return Answers(penetration, requirement, scheduled, merged, choice, opening, counts, pin, found.row)


def _unknown_places(material: Material, reports: Sequence[PenetrationReport]) -> tuple[Finding, ...]:
    """Demands and submittals that name what this job has not: a slip of the pen would lift them without a word."""
    storeys = [plan.storey for plan in material.plans]
    storeys += [fact.value for item in reports if isinstance(fact := item.penetration.location.storey, Known)]
    known = {"storey": storeys, "wall type": list(material.wall_types)}
    findings = set()
    for demand in material.job.rules.demands:
        for kind, names in (("storey", demand.storeys), ("wall type", demand.wall_types)):
            held = {plain(name) for name in known[kind]}
            findings |= {
                Finding(
                    "brattice.toml",
                    finding_code("job-name", Outcome.FAILS),
                    True,
                    f"A demand of {demand.document} names the {kind} {name!r}, which this job has not.",
                    name,
                    f"a {kind} of the job",
                )
                for name in names
                if plain(name) not in held
            }
    return tuple(sorted(findings | _unknown_submittals(material, reports)))


def _unknown_submittals(material: Material, reports: Sequence[PenetrationReport]) -> set[Finding]:
    """Submittals of a product or a wall type that this job has not: what they approve would stay held, unexplained."""
    walls = [plain(name) for name in material.wall_types]
    products = [plain(f"{item.maker} {item.product}") for item in material.installations]
    for item in reports:
        code, damper = item.penetration.barrier.wall_type_code, item.penetration.damper
        if isinstance(code, Known):
            walls.append(plain(code.value))
        if isinstance(damper.maker, Known) and isinstance(damper.product, Known):
            products.append(plain(f"{damper.maker.value} {damper.product.value}"))
    findings = set()
    for given in material.job.submittals:
        named = (("product", f"{given.maker} {given.product}", products), ("wall type", given.wall_type, walls))
        findings |= {
            Finding(
                "brattice.toml",
                finding_code("job-name", Outcome.FAILS),
                True,
                f"A submittal on {given.document} names the {kind} {name!r}, which this job has not.",
                name,
                f"a {kind} of the job",
            )
            for kind, name, known in named
            if plain(name) not in known
        }
    return findings


def _decided_by(job: Job, on: date) -> tuple[Job, tuple[Finding, ...]]:
    """The job with the decisions that stood on a date, and a finding for each that came later."""
    later = [(item.document, item.on, item.penetrations) for item in job.deviations if item.on > on]
    later += [(item.document, item.on, item.penetrations) for item in job.rules.lowered if item.on > on]
    submittals, overrides = standing_on(job.submittals, job.order_overrides, on)
    later += [(item.document, item.on, item.penetrations) for item in job.order_overrides if item not in overrides]
    later += [
        (item.document, item.on, (f"{item.maker} {item.product} in {item.wall_type}",))
        for item in job.submittals
        if item not in submittals
    ]
    standing = replace(
        job,
        deviations=tuple(item for item in job.deviations if item.on <= on),
        rules=replace(job.rules, lowered=tuple(item for item in job.rules.lowered if item.on <= on)),
        submittals=submittals,
        order_overrides=overrides,
    )
    findings = tuple(
        Finding(
            "brattice.toml",
            finding_code("decision-date", Outcome.FAILS),
            True,
            f"{document} of {day.isoformat()} came after {on.isoformat()}, the date that is judged for; it decides "
            f"nothing at {', '.join(places)} yet.",
            day.isoformat(),
            f"a decision of {on.isoformat()} or before",
        )
        for document, day, places in sorted(later)
    )
    return standing, findings


def _rows_used(reports: Iterable[PenetrationReport], job: Job, book: RowBook) -> tuple[RowUsed, ...]:
    used: Counter[str] = Counter()
    for report in reports:
        used.update(report.rests_on)
    found = []
    for row_id, count in used.items():
        row = book.find(row_id, job.rules.on, job.rules.jurisdiction) or book.find(row_id)
        if row is not None:
            found.append(RowUsed(row, book.is_confirmed(row), count))
    return tuple(sorted(found, key=lambda item: (item.confirmed, -item.used_by, item.row.id)))


def _plans(plans: Iterable[StoreyPlan], reports: Sequence[PenetrationReport]) -> tuple[StoreyPlan, ...]:
    on_storey: dict[str, list[str]] = {}
    for report in reports:
        location = report.penetration.location
        has_place = location.centre_m is not None or location.surveyed is not None
        if has_place and isinstance(location.storey, Known):
            on_storey.setdefault(plain(location.storey.value), []).append(report.penetration.id)
    return tuple(replace(plan, penetrations=tuple(on_storey.get(plain(plan.storey), ()))) for plan in plans)


def check_job(
    material: Material, standards: Standards, *, as_of: date, version: str, progress: Progress = lambda _: None
) -> Report:
    """The whole answer for a job on a date. The order of rows, places and installations changes nothing."""
    job, undecided = _decided_by(material.job, as_of)
    installations = with_revisions(material.installations)
    material = replace(material, job=job, installations=installations, findings=material.findings + undecided)
    marked, unmeant = marked_places(material.marks, material.identified.names())
    material = replace(
        material,
        plans=with_underlays(material.plans, material.underlays),
        findings=material.findings + unmeant + reference_findings(material.underlays, standards.book),
    )
    merged = _merged(material, marked, standards.book)
    progress(f"judging {len(merged)} penetrations against {len(material.installations)} tested installations")
    judge = Judge(
        material.installations,
        job.dates,
        standards.book,
        standards.steps,
        jurisdiction=job.rules.jurisdiction,
        maker_order=job.maker_order,
    )
    places = PlacesStated.of(found.penetration for found in merged)
    makers = MakerFacts(material.products, material.seals)
    reports = tuple(
        assess(_answers(found, material, judge, standards, places, makers), job.deviations) for found in merged
    )
    reports = asked_by_rules(reports, job.parties)
    settle = rank_missing(reports)
    report = Report(
        job_name=job.name,
        invented=job.invented,
        as_of=as_of,
        version=version,
        jurisdiction=job.rules.jurisdiction,
        edition=job.rules.edition,
        purpose=job.rules.purpose,
        inputs=tuple(sorted(material.inputs)),
        penetrations=reports,
        job_findings=tuple(
            sorted(
                (
                    *material.findings,
                    *passed_rows(material.sheets),
                    *_unknown_places(material, reports),
                    *unused_rules(reports, job.parties),
                )
            )
        ),
        queries=queries_together(query for report in reports for query in report.queries),
        settle_first=settle,
        other_services=tuple(sorted(material.other_services)),
        plans=_plans(material.plans, reports),
        installations=tuple(sorted(material.installations, key=lambda item: item.id)),
        rows=_rows_used(reports, job, standards.book),
        lowered=job.rules.lowered,
        deviations=job.deviations,
        ledger_notes=material.identified.ledger.notes,
        sheets=tuple(sorted(material.sheets)),
    )
    return with_tracker(report, material.stages, material.identified.ledger.entries)
