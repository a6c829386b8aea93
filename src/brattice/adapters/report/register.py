# SPDX-License-Identifier: Apache-2.0
"""The register as tables: `register.csv` and the sheets of `register.xlsx` print the same rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime

from brattice.adapters.text import csv_text
from brattice.adapters.workbook import OutCell, OutColumn, OutSheet, OutValue, workbook_bytes
from brattice.evidence.installation import TestedInstallation
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import STATES, PenetrationState
from brattice.usecases.tracking import retired_words, said_lines
from brattice.usecases.words import (
    actuation_asked,
    class_asked,
    document_words,
    fact_words,
    how_known_words,
    installation_words,
    needed_words,
    query_words,
    row_value_words,
)

__all__ = ["REGISTER_TITLE", "register_csv", "register_sheets", "register_stamp", "register_workbook"]

REGISTER_TITLE = "Register of penetrations"

_FILLS = {
    PenetrationState.OUTSIDE_SCOPE: "F3D3CE",
    PenetrationState.NOT_ENOUGH_KNOWN: "F7E6C1",
    PenetrationState.WITHIN_SCOPE_IF: "F7F0C1",
    PenetrationState.TO_BE_SETTLED: "E4DCEF",
    PenetrationState.DEVIATION_ACCEPTED: "D6E0EC",
    PenetrationState.PROTECTED_RUN_PROVEN: "D8E8E4",
    PenetrationState.WITHIN_SCOPE: "D9EAD6",
    PenetrationState.NO_PROTECTION_NEEDED: "E9E9E7",
}
Value = str | int
Cells = list[list[OutValue | OutCell]]


@dataclass(frozen=True)
class _Context:
    """What cells need beside their penetration."""

    report: Report
    installations: Mapping[str, TestedInstallation]
    unconfirmed: frozenset[str]


@dataclass(frozen=True)
class _Column:
    """One column of the register: heading, width, what stands in it, note on the heading."""

    heading: str
    width: float
    value: Callable[[PenetrationReport, _Context], Value]
    note: str = ""
    wrap: bool = field(default=True)


def _codes(item: PenetrationReport, *, is_open: bool) -> str:
    return "; ".join(finding.code for finding in item.findings if finding.open is is_open)


def _chosen(item: PenetrationReport, context: _Context) -> str:
    return "" if item.chosen is None else installation_words(context.installations, item.chosen.installation_id)


def _document(item: PenetrationReport, context: _Context) -> str:
    tested = context.installations.get(item.chosen.installation_id) if item.chosen is not None else None
    return "" if tested is None else document_words(tested.document)


_COLUMNS: tuple[_Column, ...] = (
    _Column("Id", 10, lambda p, _: p.penetration.id, "Permanent; never used again."),
    _Column("State", 20, lambda p, _: str(p.state), "One of the closed list on the sheet Read me."),
    _Column("Why", 36, lambda p, _: p.state_why),
    _Column("Storey", 12, lambda p, _: fact_words(p.penetration.location.storey)),
    _Column("Place", 16, lambda p, _: p.penetration.location.words),
    _Column("Other names", 26, lambda p, _: "; ".join(f"{kind}: {text}" for kind, text in p.penetration.aliases)),
    _Column(
        "GlobalIds of ducts and dampers",
        26,
        lambda p, _: " ".join((*p.penetration.duct.guids, *p.penetration.damper.guids)),
    ),
    _Column("GlobalIds of the barrier", 26, lambda p, _: " ".join(p.penetration.barrier.guids)),
    _Column("Barrier", 16, lambda p, _: fact_words(p.penetration.barrier.role)),
    _Column("Wall type", 11, lambda p, _: fact_words(p.penetration.barrier.wall_type_code)),
    _Column("Barrier thickness", 11, lambda p, _: fact_words(p.penetration.barrier.thickness_mm, "thickness_mm")),
    _Column("Barrier rating", 11, lambda p, _: fact_words(p.penetration.barrier.rating)),
    _Column("System", 14, lambda p, _: fact_words(p.penetration.duct.system)),
    _Column("Duct size [mm]", 13, lambda p, _: fact_words(p.penetration.duct.size)),
    _Column("Protection method", 18, lambda p, _: fact_words(p.penetration.protection.method)),
    _Column("Class asked", 22, lambda p, _: class_asked(p.requirement), "Any one of these will do."),
    _Column("Actuation asked", 16, lambda p, _: actuation_asked(p.requirement)),
    _Column("Damper maker", 16, lambda p, _: fact_words(p.penetration.damper.maker)),
    _Column("Damper product", 14, lambda p, _: fact_words(p.penetration.damper.product)),
    _Column("Damper size [mm]", 13, lambda p, _: fact_words(p.penetration.damper.size)),
    _Column("Class scheduled", 18, lambda p, _: fact_words(p.penetration.damper.class_text)),
    _Column("Actuation scheduled", 16, lambda p, _: fact_words(p.penetration.damper.actuation)),
    _Column("Tested installation", 24, _chosen, "The one that the state rests on."),
    _Column("Its document", 34, _document),
    _Column("How it holds", 16, lambda p, _: str(p.chosen.scope) if p.chosen is not None else ""),
    _Column("Class held here", 16, lambda p, _: p.chosen.achieved_class if p.chosen is not None else ""),
    _Column(
        "Changes that bring it in",
        34,
        lambda p, _: "; ".join(change.text for change in p.chosen.changes) if p.chosen is not None else "",
    ),
    _Column("Framed opening stated [mm]", 15, lambda p, _: fact_words(p.penetration.opening.framed)),
    _Column(
        "Framed opening needed",
        22,
        lambda p, _: needed_words(p, framed=True),
        "What the builder forms, before any lining.",
    ),
    _Column("Finished clear opening stated [mm]", 15, lambda p, _: fact_words(p.penetration.opening.finished)),
    _Column(
        "Finished clear opening needed",
        22,
        lambda p, _: needed_words(p, framed=False),
        "What is left once the framed opening is lined.",
    ),
    _Column("Gaps stated", 24, lambda p, _: fact_words(p.penetration.opening.gaps)),
    _Column("Openings: what is wrong", 34, lambda p, _: "; ".join(p.opening.texts) if p.opening is not None else ""),
    _Column("Seal stated", 22, lambda p, _: fact_words(p.penetration.installation.seal_products)),
    _Column("Open findings", 30, lambda p, _: _codes(p, is_open=True), "Codes; the sheet Findings has the words."),
    _Column("Other findings", 24, lambda p, _: _codes(p, is_open=False), "Shown or accepted; nothing is open."),
    _Column(
        "Queries",
        36,
        lambda p, c: "; ".join(query_words(query, c.report.standing_of(query)) for query in p.queries),
        "Number and state in the job's list of queries, whom to ask, what; the sheet Queries has all of them.",
    ),
    _Column(
        "Deviation accepted",
        30,
        lambda p, _: f"{p.deviation.person}, {p.deviation.document}" if p.deviation is not None else "",
    ),
    _Column("Requirement lowered", 14, lambda p, _: "yes" if p.requirement.lowered_by is not None else ""),
    _Column(
        "Said in the tracker",
        34,
        lambda p, _: "; ".join(f"{name} {words}" for name, words in said_lines(p)),
        "Stages, zone and note as people say them; they change no judgment.",
    ),
    _Column(
        "Rests on values not confirmed",
        28,
        lambda p, c: "; ".join(row for row in p.rests_on if row in c.unconfirmed),
        "Ids on the sheet Rows used: from memory or a secondary source, confirmed by nobody.",
    ),
)


def _context(report: Report) -> _Context:
    return _Context(
        report,
        {item.id: item for item in report.installations},
        frozenset(item.row.id for item in report.rows if not item.confirmed),
    )


def register_csv(report: Report) -> bytes:
    """One row a penetration, as the bytes of a CSV file: UTF-8 with byte order mark, no text that acts.

    The cautions stand in a column of their own at the end, the same on every row, so that no copy loses them.
    """
    context = _context(report)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    caution = " ".join(report.cautions)
    writer.writerow([*(column.heading for column in _COLUMNS), "Cautions"])
    for item in report.penetrations:
        values = [column.value(item, context) for column in _COLUMNS]
        writer.writerow([csv_text(str(value)) for value in (*values, caution)])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def _read_me(report: Report) -> OutSheet:
    rows: Cells = [
        [OutCell("Register of penetrations", bold=True)],
        ["Job", report.job_name],
        ["As of", report.as_of.isoformat()],
        ["Rules", f"{report.jurisdiction}, {report.edition}, {report.purpose}"],
        ["Made by", f"Brattice {report.version}"],
    ]
    if report.invented:
        rows.append(["", OutCell("All data is invented; this is no real building.", bold=True)])
    rows += [[], [OutCell("Cautions", bold=True)]]
    rows += [["", text] for text in report.cautions]
    counts = dict(report.counts())
    rows += [[], [OutCell("States", bold=True), OutCell("What it means", bold=True), OutCell("How many", bold=True)]]
    rows += [[OutCell(str(s.state), fill=_FILLS[s.state]), s.meaning, counts[s.state]] for s in STATES]
    rows += [[], [OutCell("Lowered requirements", bold=True)]]
    for low in report.lowered:
        where = ", ".join(low.penetrations)
        signed = f"{low.person}, {low.role}; {low.document} rev. {low.revision}, {low.on.isoformat()}"
        rows.append([where, f"Asked now: {low.class_text or 'no class stated'}. {low.why} By {signed}."])
    if not report.lowered:
        rows.append(["", "None."])
    rows += [[], [OutCell("Deviations accepted", bold=True)]]
    for given in report.deviations:
        signed = f"{given.person}, {given.role}; {given.document} rev. {given.revision}, {given.on.isoformat()}"
        values = "; ".join(value.text for value in given.accepted) or f"{', '.join(given.codes)}, no value stated"
        rows.append([", ".join(given.penetrations), f"{values}. Conditions: {given.conditions} By {signed}."])
    if not report.deviations:
        rows.append(["", "None."])
    if report.retired:
        rows += [[], [OutCell("Retired, with entries in the tracker", bold=True)]]
        rows += [[item.id, retired_words(item)] for item in report.retired]
    if report.ledger_notes:
        rows += [[], [OutCell("Permanent ids", bold=True)]]
        rows += [["", note] for note in report.ledger_notes]
    columns = (OutColumn("", 24, wrap=True), OutColumn("", 100, wrap=True), OutColumn("", 12))
    return OutSheet("Read me", columns, rows, headings=False, filter=False)


def _settle_first(report: Report) -> OutSheet:
    columns = (
        OutColumn("Rank", 7),
        OutColumn("What is missing", 60, wrap=True),
        OutColumn("Whom to ask", 22),
        OutColumn("Get an answer", 12, "Penetrations where nothing else is missing."),
        OutColumn("Which", 50, wrap=True),
        OutColumn("Wait for it", 12, "All penetrations that wait for it, alone or among other facts."),
        OutColumn("Which wait", 50, wrap=True),
    )
    rows: Cells = [
        [
            number,
            line.text,
            line.ask,
            len(line.unlocks),
            ", ".join(line.unlocks),
            len(line.holds_up),
            ", ".join(line.holds_up),
        ]
        for number, line in enumerate(report.settle_first, start=1)
    ]
    return OutSheet("Settle first", columns, rows, frozen_columns=1)


def _penetrations(report: Report) -> OutSheet:
    context = _context(report)
    columns = tuple(OutColumn(item.heading, item.width, item.note, wrap=item.wrap) for item in _COLUMNS)
    rows: Cells = []
    for item in report.penetrations:
        values: list[OutValue | OutCell] = [column.value(item, context) for column in _COLUMNS]
        values[0] = OutCell(item.penetration.id, bold=True)
        values[1] = OutCell(str(item.state), fill=_FILLS[item.state])
        rows.append(values)
    return OutSheet("Penetrations", columns, rows, frozen_columns=2)


def _findings(report: Report) -> OutSheet:
    columns = (
        OutColumn("Id or subject", 20, wrap=True),
        OutColumn("Finding", 26),
        OutColumn("Open", 7),
        OutColumn("What", 60, wrap=True),
        OutColumn("Have", 28, wrap=True),
        OutColumn("Need", 28, wrap=True),
        OutColumn("Rows", 24, wrap=True),
        OutColumn("Where it stands", 34, wrap=True),
    )
    found = [*report.job_findings, *(finding for item in report.penetrations for finding in item.findings)]
    rows: Cells = [
        [
            finding.subject,
            finding.code,
            "open" if finding.open else "",
            finding.text,
            finding.have,
            finding.need,
            "; ".join(finding.rows),
            "; ".join(map(str, finding.origins)),
        ]
        for finding in found
    ]
    return OutSheet("Findings", columns, rows, frozen_columns=1)


def _queries(report: Report) -> OutSheet:
    columns = (
        OutColumn("Number", 10, "Given once to a missing fact, never used again."),
        OutColumn("State", 11, "open, overdue (past its due date) or answered (a note; the source stands as it was)."),
        OutColumn("Due", 12),
        OutColumn("Party", 22),
        OutColumn("What has to be known", 70, wrap=True),
        OutColumn("Held up", 9),
        OutColumn("Which", 60, wrap=True),
        OutColumn("Key", 34, "Names the missing fact once for the whole job."),
    )
    ordered = sorted(report.queries, key=lambda query: (str(query.missing.ask), -len(query.holds_up), query))
    rows: Cells = []
    for query in ordered:
        standing = report.standing_of(query)
        rows.append(
            [
                standing.number if standing else "",
                standing.state if standing else "",
                standing.due if standing else None,
                str(query.missing.ask),
                query.missing.text,
                len(query.holds_up),
                ", ".join(query.holds_up),
                query.missing.key,
            ]
        )
    return OutSheet("Queries", columns, rows, frozen_columns=1)


def _rows_used(report: Report) -> OutSheet:
    columns = (
        OutColumn("Row", 30),
        OutColumn("Value", 24, wrap=True),
        OutColumn("What it says", 60, wrap=True),
        OutColumn("Standard and clause", 36, wrap=True),
        OutColumn("How it is known", 36, wrap=True),
        OutColumn("Confirmed", 10),
        OutColumn("Penetrations", 12, "How many rest on it."),
        OutColumn("Version", 8),
    )
    rows: Cells = [
        [
            item.row.id,
            row_value_words(item.row),
            item.row.paraphrase,
            str(item.row.clause),
            how_known_words(item.row, item.confirmed),
            "yes" if item.confirmed else OutCell("no", fill="F7E6C1"),
            item.used_by,
            item.row.version,
        ]
        for item in report.rows
    ]
    return OutSheet("Rows used", columns, rows, frozen_columns=1)


def _inputs(report: Report) -> OutSheet:
    columns = (
        OutColumn("File", 40, wrap=True),
        OutColumn("Role", 18),
        OutColumn("SHA-256", 68),
        OutColumn("Notes", 60, wrap=True),
    )
    rows: Cells = [[item.path, item.role, item.sha256, "; ".join(item.notes)] for item in report.inputs]
    return OutSheet("Inputs", columns, rows)


def _other_services(report: Report) -> OutSheet:
    columns = (
        OutColumn("Storey", 14),
        OutColumn("Service", 10),
        OutColumn("Size", 14),
        OutColumn("GlobalIds", 34, wrap=True),
        OutColumn("Barriers", 34, wrap=True),
        OutColumn("Key", 40, wrap=True),
    )
    rows: Cells = [
        [item.storey, item.service, item.size, " ".join(item.guids), " ".join(item.barrier_guids), item.key]
        for item in report.other_services
    ]
    return OutSheet("Other services", columns, rows)


def register_workbook(report: Report, *, epoch: int) -> bytes:
    """The bytes of `register.xlsx`; `epoch` (seconds) is the one time in the file."""
    return workbook_bytes(register_sheets(report), stamp=register_stamp(epoch), title=REGISTER_TITLE)


def register_stamp(epoch: int) -> datetime:
    """The one time in `register.xlsx`, from seconds since 1970."""
    return datetime.fromtimestamp(epoch, tz=UTC)


def register_sheets(report: Report) -> Iterator[OutSheet]:
    """The sheets of `register.xlsx`, one after the other."""
    makers = (
        _read_me,
        _settle_first,
        _penetrations,
        _findings,
        _queries,
        _rows_used,
        _inputs,
        _other_services,
    )
    for make in makers:
        yield make(report)
