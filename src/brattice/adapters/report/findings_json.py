# SPDX-License-Identifier: Apache-2.0
"""`findings.json`: the whole answer as one JSON object, described by `findings.schema.json`."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from importlib import resources
from typing import Any

from brattice.adapters.text import visible_text
from brattice.building.penetration import Sides, Size
from brattice.building.schedule import CellUnread, ScheduleSheet
from brattice.evidence.installation import SideWindows, TestedInstallation
from brattice.evidence.judgment import Change, Judgment
from brattice.findings import Fact, Finding, Known, Missing, Origin, Query, Reason, Unknown, Verdict
from brattice.register.stages import StageEvent, Track
from brattice.requirements.requirement import LoweredRequirement, Requirement
from brattice.usecases.facts import value_text
from brattice.usecases.job import DeviationAccepted
from brattice.usecases.report_model import (
    InputUsed,
    OtherService,
    PenetrationReport,
    QueryStanding,
    Report,
    RowUsed,
    SettleFirst,
)
from brattice.usecases.words import NOT_TESTED, document_words, needed_caution, needed_words, row_value_words

__all__ = ["SCHEMA_ID", "SCHEMA_VERSION", "findings_bytes", "findings_object", "findings_parts", "findings_schema"]

SCHEMA_VERSION = 2
SCHEMA_ID = "urn:brattice:findings:2"

Json = dict[str, Any]


def findings_schema() -> Json:
    """The published JSON Schema (2020-12) of `findings.json`."""
    text = resources.files("brattice.adapters.report").joinpath("findings.schema.json").read_text("utf-8")
    schema: Json = json.loads(text)
    return schema


def findings_bytes(report: Report) -> bytes:
    """The report as the bytes of `findings.json`: UTF-8, in a fixed order, nothing invisible in any text.

    Each item of a list stands on a line of its own, so that two runs can be compared line by line.
    """
    return b"".join(findings_parts(report))


def findings_parts(report: Report) -> Iterator[bytes]:
    """The bytes of `findings.json` one after the other: a large job is never whole in memory."""
    before = "{\n"
    for key, value in _members(report):
        yield f"{before}{_plain(key)}: ".encode()
        before = ",\n"
        if not isinstance(value, list | Iterator):
            yield _plain(value).encode()
            continue
        between = "[\n"
        for item in value:
            yield f"{between}{_plain(item)}".encode()
            between = ",\n"
        yield b"[]" if between == "[\n" else b"\n]"
    yield b"\n}\n"


def _plain(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if text.isprintable() and not _ESCAPED.search(text):
        return text  # the same, found without walking through every value
    return json.dumps(_visible(value), ensure_ascii=False, allow_nan=False)


_ESCAPED = re.compile(r"\\[^\"]")
"""Any escape but that of a quotation mark: what stands behind it may be a character that acts."""


def findings_object(report: Report) -> Json:
    """The report as plain data, in the order in which it is written."""
    return {key: list(value) if isinstance(value, Iterator) else value for key, value in _members(report)}


def _members(report: Report) -> Iterator[tuple[str, Any]]:
    """Key and value of each member of the object; long lists come item by item."""
    yield from {
        "schema": SCHEMA_ID,
        "schema_version": SCHEMA_VERSION,
        "tool_version": report.version,
        "job": {
            "name": report.job_name,
            "invented": report.invented,
            "as_of": report.as_of.isoformat(),
            "jurisdiction": report.jurisdiction,
            "edition": report.edition,
            "purpose": report.purpose,
        },
        "cautions": list(report.cautions),
        "counts": {str(state): count for state, count in report.counts()},
        "something_open": report.something_open,
        "inputs": [_input(item) for item in report.inputs],
        "schedule_sheets": [_sheet(item) for item in report.sheets],
        "job_findings": [{"subject": item.subject, **_finding(item)} for item in report.job_findings],
        "settle_first": [_settle(item) for item in report.settle_first],
        "lowered_requirements": [_lowered(item) for item in report.lowered],
        "deviations_accepted": [_deviation(item) for item in report.deviations],
        "penetrations": (_penetration(item, report) for item in report.penetrations),
        "queries": [_query(item, report) for item in report.queries],
        "other_services": [_other(item) for item in report.other_services],
        "installations": [_installation(item) for item in report.installations],
        "rows_used": [_row(item) for item in report.rows],
        "ledger_notes": list(report.ledger_notes),
        "retired": [
            {"id": item.id, "reference": item.reference, "storey": item.storey, "tracker": _track(item.track)}
            for item in report.retired
        ],
    }.items()


def _visible(value: Any) -> Any:
    if isinstance(value, str):
        return visible_text(value)
    if isinstance(value, dict):
        return {visible_text(key): _visible(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_visible(item) for item in value]
    return value


def _origins(origins: Iterable[Origin]) -> list[Json]:
    return [_origin(item) for item in origins]


def _origin(origin: Origin) -> Json:
    return {"file": origin.file, "place": origin.place, "cells": list(origin.cells)}


def _missing(missing: Missing) -> Json:
    return {"key": missing.key, "text": missing.text, "ask": str(missing.ask)}


def _reason(reason: Reason) -> Json:
    return {
        "check": reason.code,
        "verdict": str(reason.verdict),
        "text": reason.text,
        "have": reason.have,
        "need": reason.need,
        "rows": list(reason.rows),
        "missing": [_missing(item) for item in reason.missing],
        "origins": _origins(reason.origins),
    }


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "open": finding.open,
        "text": finding.text,
        "have": finding.have,
        "need": finding.need,
        "rows": list(finding.rows),
        "origins": _origins(finding.origins),
    }


def _change(change: Change) -> Json:
    return {"check": change.code, "text": change.text, "have": change.have, "need": change.need}


def _judgment(judgment: Judgment) -> Json:
    return {
        "installation": judgment.installation_id,
        "scope": str(judgment.scope),
        "same_product": judgment.same_product,
        "achieved_class": judgment.achieved_class,
        "reasons": [_reason(item) for item in judgment.reasons],
        "changes": [_change(item) for item in judgment.changes],
        "missing": [_missing(item) for item in judgment.missing],
        "notes": list(judgment.notes),
    }


def _judgment_short(judgment: Judgment) -> Json:
    """A judgment that nothing rests on: without the checks that hold."""
    told = [item for item in judgment.reasons if item.verdict in {Verdict.FAIL, Verdict.UNKNOWN}]
    return _judgment(judgment) | {"reasons": [_reason(item) for item in told]}


def _texts(fact: Fact[Any]) -> list[str] | None:
    if isinstance(fact, Unknown):
        return None
    value = fact.value
    return sorted(map(value_text, value)) if isinstance(value, frozenset) else [value_text(item) for item in value]


def _requirement(requirement: Requirement) -> Json:
    return {
        "needed": str(requirement.needed),
        "any_class_of": _texts(requirement.class_texts),
        "actuation": _texts(requirement.actuation),
        "parts": [
            {"about": part.about, "asks": part.asks, "rows": list(part.rows), "documents": list(part.documents)}
            for part in requirement.parts
        ],
        "methods": [
            {
                "method": str(answer.method),
                "verdict": str(answer.verdict),
                "reasons": [_reason(item) for item in answer.reasons],
            }
            for answer in requirement.methods
        ],
        "missing": [_missing(item) for item in requirement.missing],
        "lowered": requirement.lowered_by is not None,
    }


def _size(size: Size | None) -> Json | None:
    return None if size is None else {"width_mm": size.width_mm, "height_mm": size.height_mm}


def _stated_size(fact: Fact[Size]) -> Json | None:
    return _size(fact.value) if isinstance(fact, Known) else None


def _sides(fact: Fact[Sides]) -> Json | None:
    if isinstance(fact, Unknown):
        return None
    sides = fact.value
    return {
        "left_mm": sides.left_mm,
        "right_mm": sides.right_mm,
        "top_mm": sides.top_mm,
        "bottom_mm": sides.bottom_mm,
    }


def _windows(gaps: SideWindows) -> Json:
    sides = (("left", gaps.left), ("right", gaps.right), ("top", gaps.top), ("bottom", gaps.bottom))
    return {name: {"least_mm": window.least, "most_mm": window.most} for name, window in sides}


def _opening(item: PenetrationReport) -> Json:
    facts, detail = item.penetration.opening, item.opening
    return {
        "stated": {
            "finished_clear_opening": _stated_size(facts.finished),
            "framed_opening": _stated_size(facts.framed),
            "gaps": _sides(facts.gaps),
            "gaps_from": str(facts.gaps_from.value) if isinstance(facts.gaps_from, Known) else None,
        },
        "needed": _needed(item),
        "reasons": [] if detail is None else [_reason(reason) for reason in detail.reasons],
        "texts": [] if detail is None else list(detail.texts),
    }


def _needed(item: PenetrationReport) -> Json | None:
    if item.opening is None or item.opening.need is None:
        return None
    need, caution = item.opening.need, needed_caution(item)
    least = most = framed_least = framed_most = None
    if caution != NOT_TESTED:  # a figure for a size that was never tested would be read as one that was
        least, most = need.least_finished, need.most_finished
        framed_least, framed_most = need.least_framed, need.most_framed
    return {
        "shape": str(need.shape),
        "finished_clear_opening": {"least": _size(least), "most": _size(most)},
        "finished_clear_opening_text": needed_words(item, framed=False),
        "framed_opening": {"least": _size(framed_least), "most": _size(framed_most)},
        "framed_opening_text": needed_words(item, framed=True),
        "caution": caution,
        "lining_mm": need.lining_mm,
        "gaps": _windows(need.gaps),
        "gaps_from": str(need.gap_from),
    }


def _penetration(item: PenetrationReport, report: Report) -> Json:
    thing = item.penetration
    return {
        "id": thing.id,
        "state": str(item.state),
        "state_why": item.state_why,
        "key": thing.key,
        "aliases": [{"kind": kind, "text": text} for kind, text in thing.aliases],
        "globalids": {
            "barriers": list(thing.barrier.guids),
            "ducts": list(thing.duct.guids),
            "dampers": list(thing.damper.guids),
            "opening": thing.opening.guid,
        },
        "storey": str(thing.location.storey.value) if isinstance(thing.location.storey, Known) else None,
        "centre_m": list(thing.location.centre_m) if thing.location.centre_m is not None else None,
        "requirement": _requirement(item.requirement),
        "chosen": None if item.chosen is None else _judgment(item.chosen),
        "chosen_why": item.chosen_why,
        "others": [_judgment_short(other) for other in item.others],
        "alternatives": [_judgment_short(other) for other in item.alternatives],
        "judged": [{"scope": scope, "count": count} for scope, count in item.judged],
        "opening": _opening(item),
        "findings": [_finding(finding) for finding in item.findings],
        "queries": [_asked(query, report) for query in item.queries],
        "deviation": None if item.deviation is None else _deviation(item.deviation),
        "rests_on": list(item.rests_on),
        "facts": [{"name": name, "value": value, "origin": origin} for name, value, origin in item.facts],
        "tracker": None if item.tracked is None else _track(item.tracked.track),
        "model_queries": list(thing.model_queries),
        "remarks": list(thing.remarks),
        "row": None
        if item.row is None
        else {"file": item.row.file, "sheet": item.row.sheet, "number": item.row.number},
        "unread": [_unread(cell) for cell in item.unread],
    }


def _unread(cell: CellUnread) -> Json:
    return {
        "key": cell.key,
        "heading": cell.heading,
        "found": cell.found,
        "expected": cell.expected,
        "origin": _origin(cell.origin),
    }


def _sheet(sheet: ScheduleSheet) -> Json:
    return {
        "file": sheet.file,
        "sheet": sheet.name,
        "headings_at": sheet.headings_at,
        "passed": [{"number": row.number, "why": row.why, "text": row.text} for row in sheet.passed],
    }


def _track(track: Track) -> Json:
    return {
        "stages": [
            {
                "stage": str(standing.about),
                "said_twice": standing.differs,
                "entries": [_entry(event) for event in sorted(standing.standing, key=_by_date)],
            }
            for standing in track.stages
            if standing.standing
        ],
        "zone": [event.text for event in track.zone.said],
        "note": [event.text for event in track.note.said],
    }


def _by_date(event: StageEvent) -> tuple[str, str]:
    return event.on.isoformat() if event.on is not None else "", event.entry


def _entry(event: StageEvent) -> Json:
    return {
        "entry": event.entry,
        "step": str(event.step),
        "on": event.on.isoformat() if event.on is not None else None,
        "who": event.who,
        "text": event.text,
        "taken": event.taken.isoformat(),
    }


def _input(item: InputUsed) -> Json:
    return {"path": item.path, "role": item.role, "sha256": item.sha256, "notes": list(item.notes)}


def _settle(item: SettleFirst) -> Json:
    return {
        "text": item.text,
        "ask": item.ask,
        "keys": list(item.keys),
        "unlocks": list(item.unlocks),
        "holds_up": list(item.holds_up),
    }


def _lowered(item: LoweredRequirement) -> Json:
    return {
        "penetrations": list(item.penetrations),
        "class_text": item.class_text,
        "actuation": None if item.actuation is None else sorted(map(str, item.actuation)),
        "person": item.person,
        "role": item.role,
        "document": item.document,
        "revision": item.revision,
        "on": item.on.isoformat(),
        "why": item.why,
    }


def _deviation(item: DeviationAccepted) -> Json:
    return {
        "penetrations": list(item.penetrations),
        "codes": list(item.codes),
        "person": item.person,
        "role": item.role,
        "document": item.document,
        "revision": item.revision,
        "on": item.on.isoformat(),
        "conditions": item.conditions,
    }


def _standing(standing: QueryStanding | None) -> Json:
    if standing is None:
        return {"number": None, "state": None, "due": None}
    due = standing.due.isoformat() if standing.due is not None else None
    return {"number": standing.number, "state": standing.state, "due": due}


def _asked(item: Query, report: Report) -> Json:
    return {**_standing(report.standing_of(item)), **_missing(item.missing)}


def _query(item: Query, report: Report) -> Json:
    return {**_asked(item, report), "holds_up": list(item.holds_up)}


def _other(item: OtherService) -> Json:
    return {
        "key": item.key,
        "storey": item.storey,
        "service": item.service,
        "guids": list(item.guids),
        "barrier_guids": list(item.barrier_guids),
        "size": item.size,
    }


def _installation(item: TestedInstallation) -> Json:
    return {
        "id": item.id,
        "maker": item.maker,
        "product": item.product,
        "class_text": item.class_text,
        "document": document_words(item.document),
        "origin": _origin(item.origin),
    }


def _row(item: RowUsed) -> Json:
    row = item.row
    return {
        "id": row.id,
        "version": row.version,
        "value": list(row.value) if isinstance(row.value, tuple) else row.value,
        "unit": row.unit,
        "value_text": row_value_words(row),
        "standard": row.clause.standard,
        "clause": row.clause.clause,
        "edition": row.clause.edition,
        "how_known": str(row.how_known),
        "confidence": row.confidence,
        "confirmed": item.confirmed,
        "jurisdiction": row.jurisdiction,
        "in_force_from": row.in_force_from.isoformat() if row.in_force_from else None,
        "in_force_to": row.in_force_to.isoformat() if row.in_force_to else None,
        "handbook": list(row.handbook),
        "paraphrase": row.paraphrase,
        "used_by": item.used_by,
    }
