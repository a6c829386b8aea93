# SPDX-License-Identifier: Apache-2.0
"""Everything that a job folder names is read here and becomes the material of a check. Nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from brattice.adapters.child import memory_limit_note
from brattice.adapters.evidence import EvidenceLoaded, load_all_evidence
from brattice.adapters.files import sha256_of
from brattice.adapters.foreign import Mapping, mapping_beside, read_foreign, read_mapping
from brattice.adapters.ifc import IfcModels
from brattice.adapters.plans import SurveyRead, read_survey
from brattice.adapters.project import JOB_FILE, LEDGER_FILE, JobRead, read_job, read_ledger
from brattice.adapters.queries import QUERIES_FILE, read_answer, read_queries
from brattice.adapters.rows import shipped_book
from brattice.adapters.sheets import FileRead, ScheduleRead, read_schedules, read_wall_types, repeated_names
from brattice.adapters.tracker import TRACKER_FILE, read_tracker
from brattice.building.schedule import ScheduleRow, ScheduleSheet
from brattice.building.wall_type import WallType
from brattice.classes import ClassSteps
from brattice.cli.job_words import faults_of_words
from brattice.errors import Fault, InputError
from brattice.findings import Finding, Known
from brattice.register.stages import StageEvent
from brattice.usecases.answers import answered_facts, with_answers
from brattice.usecases.check import Material, Standards
from brattice.usecases.codes import Outcome, finding_code
from brattice.usecases.find_places import find_places
from brattice.usecases.identify import identify, with_ids
from brattice.usecases.job import Job
from brattice.usecases.known_products import unnamed_products
from brattice.usecases.places import FromModels, from_models
from brattice.usecases.report_model import InputUsed
from brattice.usecases.zones import zone_reach_mm

__all__ = ["gather", "schedules_of", "standards_for"]

Say = Callable[[str], None]


def standards_for(job: Job) -> Standards:
    """The shipped rows and rules with the job's confirmations, and the class steps."""
    book = shipped_book(job.confirmations)
    return Standards(book, ClassSteps.from_book(book))


class _Faults:
    """Collects the faults of every reader, so that they come all at once."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def keep(self, error: InputError) -> None:
        self.found += error.faults

    def stop(self) -> None:
        if self.found:
            raise InputError(self.found)


def _wall_types(read: Iterable[WallType], job: Job) -> dict[str, WallType]:
    types = {item.code: item for item in read}
    twice = sorted(item.code for item in job.wall_types if item.code in types)
    if twice:
        raise InputError(
            Fault(JOB_FILE, "wall_type", f"{code!r}, which a wall-type sheet states too", "one row for each code")
            for code in twice
        )
    types.update({item.code: item for item in job.wall_types})
    return types


def schedules_of(folder: Path, job: Job, steps: ClassSteps) -> ScheduleRead:
    """All schedules of a job: ours strictly, those of others by the mapping that stands beside them.

    Raises `InputError` with every fault of every file.
    """
    faults = _Faults()
    foreign: list[tuple[Path, str, Mapping]] = []
    for name in job.schedules:
        beside = mapping_beside(folder / name)
        if beside.exists():
            try:
                foreign.append((folder / name, name, read_mapping(beside, beside.relative_to(folder).as_posix())))
            except InputError as error:
                faults.keep(error)
    rows: list[ScheduleRow] = []
    files: list[FileRead] = []
    sheets: list[ScheduleSheet] = []
    unmapped = [name for name in job.schedules if not mapping_beside(folder / name).exists()]
    ours = partial(read_schedules, [(folder / name, name) for name in unmapped])
    for read in (ours, partial(read_foreign, foreign, steps)):
        try:
            found = read()
            rows += found.rows
            files += found.files
            sheets += found.sheets
        except InputError as error:
            faults.keep(error)
    if foreign and not faults.found:
        faults.found += repeated_names(rows)
    faults.stop()
    mappings = {item.file: FileRead(item.file, item.sha256, ()) for _, _, item in foreign}
    ordered = sorted(rows, key=lambda row: (row.reference, row.origin))
    return ScheduleRead(tuple(ordered), tuple(sorted([*files, *mappings.values()])), tuple(sorted(sheets)))


def gather(folder: Path, say: Say, workers: int, on: date | None = None) -> tuple[JobRead, Material]:
    """All that a job folder holds, read and identified. Raises `InputError` with every fault of every file.

    `on` is the date that is judged for in place of the job's own.
    """
    read = read_job(folder)
    job = read.job if on is None else replace(read.job, rules=replace(read.job.rules, on=on))
    faults = _Faults()
    standards = standards_for(job)
    faults.found += faults_of_words(job, standards.book, standards.steps)
    inputs = [InputUsed(JOB_FILE, "job", read.sha256)]
    rows: tuple[ScheduleRow, ...] = ()
    sheets_read: tuple[ScheduleSheet, ...] = ()
    types: dict[str, WallType] = {}
    evidence = EvidenceLoaded((), ())
    found = FromModels((), (), (), ())
    if note := memory_limit_note():
        say(note)
    say(f"reading the sheets: {', '.join((*job.schedules, *job.wall_type_sheets)) or 'none'}")
    try:
        schedules = schedules_of(folder, job, standards.steps)
        rows = schedules.rows
        sheets_read = schedules.sheets
        inputs += [InputUsed(item.path, "schedule", item.sha256, item.notes) for item in schedules.files]
    except InputError as error:
        faults.keep(error)
    try:
        sheets = read_wall_types([(folder / name, name) for name in job.wall_type_sheets])
        types = _wall_types(sheets.wall_types, job)
        inputs += [InputUsed(item.path, "wall types", item.sha256, item.notes) for item in sheets.files]
    except InputError as error:
        faults.keep(error)
    answered: dict[str, Known[Any]] = {}
    try:
        answered = answered_facts(read_queries(folder / QUERIES_FILE), read_answer)
        types = with_answers(types, answered)
    except InputError as error:
        faults.keep(error)
    stages: tuple[StageEvent, ...] = ()
    try:
        stages = read_tracker(folder / TRACKER_FILE)
    except InputError as error:
        faults.keep(error)
    say(f"reading tested installations: {', '.join(job.evidence) or 'none'}")
    try:
        evidence = load_all_evidence(folder, job.evidence, standards.steps)
        inputs += [InputUsed(name, "evidence", sha256_of(folder / name)) for name in evidence.files]
    except InputError as error:
        faults.keep(error)
    findings: tuple[Finding, ...] = ()
    if job.models:
        say(f"reading the models: {', '.join(item.path for item in job.models)}")
        names = [item.path for item in job.models]
        try:
            reach = zone_reach_mm(rows, evidence.products, answered)
            model = find_places(names, IfcModels(say, workers, root=folder), standards.steps, say, reach_mm=reach)
            found = from_models(model, job, types)
            inputs += [
                InputUsed(item.path, f"model, {item.role}", sha256_of(folder / item.path)) for item in job.models
            ]
            findings += tuple(
                Finding(names[0], finding_code("model", Outcome.NOTE), False, text) for text in found.warnings
            )
            findings += tuple(
                Finding(names[0], finding_code("model", Outcome.FAILS), True, text) for text in found.lacks
            )
        except InputError as error:
            faults.keep(error)
    survey = SurveyRead()
    try:
        survey = read_survey(folder)
        inputs += [InputUsed(*item) for item in survey.files]
    except InputError as error:
        faults.keep(error)
    faults.stop()
    within = standards.book.number("ledger.match-within")
    identified = identify(rows, found.places, read_ledger(folder / LEDGER_FILE), match_within_mm=within)
    if not identified.tied and not found.lacks:
        text = "Nothing was judged: no model shows a penetration and no schedule has a row."
        findings += (Finding(JOB_FILE, finding_code("model", Outcome.FAILS), True, text),)
    job, unknown = with_ids(job, identified.names(), JOB_FILE)
    material = Material(
        job=job,
        identified=identified,
        wall_types=types,
        installations=evidence.installations,
        inputs=tuple(inputs),
        other_services=found.other_services,
        plans=found.plans,
        findings=findings + unknown + unnamed_products(evidence.products, evidence.installations),
        answered=answered,
        stages=stages,
        sheets=sheets_read,
        dampers=found.dampers,
        underlays=survey.underlays,
        marks=survey.places,
        products=evidence.products,
        seals=evidence.seals,
    )
    return replace(read, job=job), material
