# SPDX-License-Identifier: Apache-2.0
"""What the printed report says, as data for its template. Everything comes from the report model; nothing is judged."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from brattice.adapters.print.words import SPECS, RowNumbers, head_of, ids_text, picture, reference_of
from brattice.building.words import product_words
from brattice.details.opening import OpeningDetail
from brattice.evidence.codes import SIZE
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Finding, Query, Verdict
from brattice.requirements.requirement import Requirement
from brattice.sketch.penetration import sketch_of
from brattice.usecases.report_model import PenetrationReport, QueryStanding, Report
from brattice.usecases.told import (
    checks_of,
    decision_words,
    fact_groups,
    gap_lines,
    next_step,
    open_kinds,
    other_in_short,
    where_words,
)
from brattice.usecases.words import (
    actuation_asked,
    class_asked,
    code_words,
    count_words,
    document_words,
    fact_words,
    how_known_words,
    opening_words,
    row_value_words,
    sides_words,
    standing_words,
)

__all__ = ["front_data", "section_data"]

_MOST_SETTLE = 12
_NEEDED = {Verdict.PASS: "needed", Verdict.NOT_APPLICABLE: "not needed"}
_METHOD = {
    Verdict.PASS: "may be used",
    Verdict.FAIL: "may not be used",
    Verdict.UNKNOWN: "not known whether it may be used",
    Verdict.NOT_APPLICABLE: "does not apply",
}


def _finding(finding: Finding, rows: RowNumbers) -> dict[str, Any]:
    return {
        "subject": finding.subject,
        "open": finding.open,
        "words": code_words(finding.code),
        "text": finding.text,
        "have": finding.have,
        "need": finding.need,
        "rows": rows.text(finding.rows),
        "code": finding.code,
    }


def _settle(report: Report) -> list[dict[str, Any]]:
    return [
        {
            "text": line.text,
            "ask": line.ask,
            "unlocks": len(line.unlocks),
            "which": ids_text(line.unlocks, 6),
            "holds_up": len(line.holds_up),
            "waiting": "the same" if line.holds_up == line.unlocks else ids_text(line.holds_up, 6),
        }
        for line in report.settle_first[:_MOST_SETTLE]
    ]


def _decisions(report: Report) -> dict[str, Any]:
    return {
        "lowered": [
            {
                "ids": ids_text(low.penetrations),
                "asked": (low.class_text or "class as before")
                + (
                    ""
                    if low.actuation is None
                    else f"; closed by {', '.join(sorted(low.actuation)) or 'nothing asked'}"
                ),
                "by": f"{low.person}, {low.role}",
                "document": _revised(low.document, low.revision, low.on.isoformat()),
                "why": low.why,
            }
            for low in report.lowered
        ],
        "deviations": [
            {
                "ids": ids_text(given.penetrations),
                "what": "; ".join((*map(code_words, given.codes), *(value.text for value in given.accepted or ()))),
                "by": f"{given.person}, {given.role}",
                "document": _revised(given.document, given.revision, given.on.isoformat()),
                "conditions": given.conditions or "none stated",
            }
            for given in report.deviations
        ],
    }


def _revised(document: str, revision: str, on: str) -> str:
    return f"{document}{f' rev. {revision}' if revision else ''}, {on}"


def _register_line(item: PenetrationReport, rows: RowNumbers, number: int) -> dict[str, Any]:
    thing = item.penetration
    decision = decision_words(item)
    return {
        "number": number,
        "id": thing.id,
        "reference": reference_of(thing),
        "state": str(item.state),
        "mark": SPECS[item.state].mark,
        "place": ", ".join(text for text in (fact_words(thing.location.storey), thing.location.words) if text),
        "barrier": f"{fact_words(thing.barrier.wall_type_code)}, {fact_words(thing.barrier.rating)}",
        "duct": f"{fact_words(thing.duct.size)}, {fact_words(thing.duct.system)}",
        "damper": fact_words(thing.damper.product),
        "decision": decision,
        "next": next_step(item),
        "unsure": not rows.unconfirmed.isdisjoint(item.rests_on),
    }


def _queries(report: Report) -> list[dict[str, Any]]:
    parties: dict[str, list[dict[str, Any]]] = {}
    for query in sorted(report.queries, key=lambda query: (-len(query.holds_up), query)):
        standing = report.standing_of(query)
        line = {
            "number": standing.number if standing else "",
            "text": query.missing.text,
            "standing": standing_words(standing),
            "count": len(query.holds_up),
            "ids": ids_text(query.holds_up, 12),
        }
        parties.setdefault(str(query.missing.ask), []).append(line)
    return [{"party": party, "lines": lines} for party, lines in sorted(parties.items())]


def _rows(report: Report) -> list[dict[str, Any]]:
    where: dict[str, list[str]] = {}
    for item in report.penetrations:
        for row in item.rests_on:
            where.setdefault(row, []).append(item.penetration.id)
    return [
        {
            "number": f"{number}{'' if used.confirmed else '†'}",
            "value": "" if isinstance(used.row.value, bool) else row_value_words(used.row),
            "says": used.row.paraphrase,
            "clause": str(used.row.clause),
            "known": how_known_words(used.row, used.confirmed),
            "id": used.row.id,
            "confirmed": used.confirmed,
            "count": len(where.get(used.row.id, ())),
        }
        for number, used in enumerate(report.rows, start=1)
    ]


def front_data(report: Report, volumes: Sequence[Mapping[str, str]] = ()) -> dict[str, Any]:
    """Everything of the report but its sections; `volumes` name the files that hold those (none: this one)."""
    rows = RowNumbers(report)
    done = [item for item in report.penetrations if not item.something_open]
    return {
        **head_of(report),
        "count": count_words(len(report.penetrations), "penetration"),
        "nothing_open": len(done),
        "something_open": len(report.penetrations) - len(done),
        "decided": [item.penetration.id for item in done if decision_words(item)],
        "settle": _settle(report),
        "settle_more": max(0, len(report.settle_first) - _MOST_SETTLE),
        "kinds": [
            {
                "words": kind.words,
                "code": kind.code,
                "count": len(kind.ids),
                "ids": ids_text(kind.ids, 12),
                "text": kind.texts[0][0],
                "more": len(kind.texts) - 1,
            }
            for kind in open_kinds(report)
        ],
        "job_findings": [_finding(finding, rows) for finding in report.job_findings],
        "decisions": _decisions(report),
        "unconfirmed": sum(not rows.unconfirmed.isdisjoint(item.rests_on) for item in report.penetrations),
        "register": [_register_line(item, rows, n) for n, item in enumerate(report.penetrations, start=1)],
        "volumes": list(volumes),
        "queries": _queries(report),
        "installations": [
            {
                "id": tested.id,
                "product": product_words(tested.maker, tested.product),
                "class": tested.class_text,
                "document": document_words(tested.document),
                "origin": str(tested.origin),
            }
            for tested in report.installations
        ],
        "rows": _rows(report),
        "inputs": [
            {"path": given.path, "role": given.role, "sha256": given.sha256, "notes": "; ".join(given.notes)}
            for given in report.inputs
        ],
        "ledger_notes": report.ledger_notes,
        "other_services": [
            {
                "storey": other.storey,
                "service": other.service,
                "size": other.size,
                "guids": " ".join(other.guids),
                "barriers": " ".join(other.barrier_guids),
            }
            for other in report.other_services
        ],
    }


def _asked(requirement: Requirement, rows: RowNumbers) -> list[list[str]]:
    """What is asked, in pairs of what and how."""

    def refs(about: str) -> str:
        parts = [part for part in requirement.parts if part.about == about]
        texts = [text for part in parts for text in (rows.text(part.rows), ", ".join(part.documents)) if text]
        return f" {' '.join(texts)}" if texts else ""

    lines = [["Protection", _NEEDED.get(requirement.needed, "not known whether it is needed")]]
    named = {"class", "actuation", "method"}
    if requirement.needed is not Verdict.NOT_APPLICABLE:
        methods = "; ".join(f"{answer.method}: {_METHOD[answer.verdict]}" for answer in requirement.methods)
        lines += [
            ["Class", f"{class_asked(requirement)}{refs('class')}"],
            ["Closed by", f"{actuation_asked(requirement)}{refs('actuation')}"],
            ["Method", f"{methods or 'not known'}{refs('method')}"],
        ]
    else:
        named = set()
    for part in requirement.parts:
        if part.about not in named:
            extra = " ".join(text for text in (rows.text(part.rows), ", ".join(part.documents)) if text)
            lines.append([part.about.capitalize(), f"{part.asks} {extra}".strip()])
    low = requirement.lowered_by
    if low is not None:
        document = _revised(low.document, low.revision, low.on.isoformat())
        lines.append(["Lowered", f"by {low.person}, {low.role}, on {document}: {low.why}"])
    return lines


def _openings(item: PenetrationReport, tested: TestedInstallation | None, *, size_fails: bool) -> list[list[Any]]:
    """Rows of the table of openings: name, stated, needed, whether it is wrong."""
    opening = item.penetration.opening
    detail: OpeningDetail | None = item.opening
    need = detail.need if detail is not None else None
    unknown = "not given: the size scheduled was not tested" if size_fails else "not known"

    def needed(text: str) -> str:
        return unknown if size_fails or not text else text

    lines: list[list[Any]] = [
        [
            "Framed opening",
            fact_words(opening.framed),
            needed(opening_words(need.least_framed, need.most_framed) if need else ""),
            False,
        ],
        [
            "Finished clear opening",
            fact_words(opening.finished),
            needed(opening_words(need.least_finished, need.most_finished) if need else ""),
            False,
        ],
    ]
    for number, gap in enumerate(gap_lines(item, tested)):
        name = f"Gap {gap.side}"
        if number == 0:
            name += f", from the {fact_words(opening.gaps_from)}"
        wrong = gap.verdict == "not within"
        tested_text = f"{gap.tested}, from the {need.gap_from}" if number == 0 and need else gap.tested
        lines.append([name, f"{gap.stated} – {gap.verdict}" if wrong else gap.stated, tested_text, wrong])
    return lines


def _chosen(item: PenetrationReport, tested: TestedInstallation | None) -> dict[str, Any] | None:
    judgment = item.chosen
    if judgment is None:
        return None
    held = [check for check in checks_of(item) if check.reason.verdict is Verdict.PASS]
    return {
        "id": judgment.installation_id,
        "product": product_words(tested.maker, tested.product) if tested is not None else "",
        "scope": f"{judgment.scope}{' the changes are made' if judgment.changes else ''}",
        "why": item.chosen_why,
        "class": judgment.achieved_class,
        "document": document_words(tested.document) if tested is not None else "",
        "notes": judgment.notes,
        "held": "; ".join(check.name for check in held),
        "held_count": count_words(len(held), "check holds", "checks hold"),
        "changes": [{"text": change.text, "have": change.have, "need": change.need} for change in judgment.changes],
    }


def _others(item: PenetrationReport, installations: Mapping[str, TestedInstallation]) -> list[str]:
    texts = []
    for kind, judgments in (("Another product that would hold: ", item.alternatives), ("", item.others)):
        for judgment in judgments:
            other = other_in_short(judgment, installations)
            one = other.installation
            named = f" ({product_words(one.maker, one.product)})" if one else ""
            why = f": {other.why}" if other.why else ""
            texts.append(f"{kind}{judgment.installation_id}{named}, {judgment.scope}{why}")
    return texts


def _query(query: Query, standing: QueryStanding | None) -> dict[str, str]:
    return {
        "number": "" if standing is None else standing.number,
        "standing": standing_words(standing),
        "ask": str(query.missing.ask),
        "text": query.missing.text,
    }


def _section(
    report: Report,
    item: PenetrationReport,
    number: int,
    installations: Mapping[str, TestedInstallation],
    rows: RowNumbers,
) -> dict[str, Any]:
    thing, spec = item.penetration, SPECS[item.state]
    tested = installations.get(item.chosen.installation_id) if item.chosen is not None else None
    sketch = sketch_of(thing, tested)
    size_fails = any(check.reason.code == SIZE and check.reason.verdict is Verdict.FAIL for check in checks_of(item))
    given = item.deviation
    return {
        "number": number,
        "id": thing.id,
        "state": str(item.state),
        "mark": spec.mark,
        "open": item.something_open,
        "where": where_words(thing),
        "aliases": [f"{kind} {text}" for kind, text in thing.aliases],
        "why": item.state_why,
        "meaning": spec.meaning,
        "findings": [_finding(finding, rows) for finding in item.findings],
        "chosen": _chosen(item, tested),
        "chosen_why": item.chosen_why,
        "judged": ", ".join(f"{count} {scope}" for scope, count in item.judged),
        "others": _others(item, installations),
        "queries": [_query(query, report.standing_of(query)) for query in item.queries],
        "deviation": ""
        if given is None
        else f"Deviation accepted by {given.person}, {given.role}, on "
        f"{_revised(given.document, given.revision, given.on.isoformat())}. Conditions: "
        f"{given.conditions or 'none stated'}. It is not counted as within scope.",
        "asked": _asked(item.requirement, rows),
        "section": picture(sketch.section, f"{sketch.section.title}. {sketch.section.words}"),
        "face": picture(sketch.elevation, f"{sketch.elevation.title}. {sketch.elevation.words}"),
        "notes": sketch.notes,
        "openings": _openings(item, tested, size_fails=size_fails),
        "sides": sides_words(thing) if gap_lines(item, tested) else "",
        "opening_texts": item.opening.texts if item.opening is not None else (),
        "unconfirmed": rows.in_short(row for row in item.rests_on if row in rows.unconfirmed),
        "rests_on": rows.in_short(item.rests_on),
        "facts": [
            [group.origin, "; ".join(f"{name}: {value}" for name, value, _ in group.facts)]
            for group in fact_groups(item.facts)
        ],
        "model_queries": "; ".join(thing.model_queries),
        "remarks": "; ".join(thing.remarks),
    }


def section_data(report: Report, items: Iterable[PenetrationReport]) -> list[dict[str, Any]]:
    """The sections of the penetrations given, in their order in the report."""
    rows = RowNumbers(report)
    installations = {tested.id: tested for tested in report.installations}
    numbers = {item.penetration.id: number for number, item in enumerate(report.penetrations, start=1)}
    return [_section(report, item, numbers[item.penetration.id], installations, rows) for item in items]
