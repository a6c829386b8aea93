# SPDX-License-Identifier: Apache-2.0
"""The run that command and page share: a job folder judged and detailed, and the numbered issue that comes of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from brattice.cli.schedule_files import (
    BUILDERS_WORK,
    CAUSE_EFFECT,
    ORDERS,
    lines_before,
    makers_of,
    submittal_numbers,
)
from brattice.errors import Fault, InputError

if TYPE_CHECKING:
    from brattice.adapters.issued import IssueFolder, IssueRead
    from brattice.cli.run import JudgedJob
    from brattice.details.detail import InstallationDetail
    from brattice.drawing.views import Sheet
    from brattice.sketch.standard import StandardDetail
    from brattice.usecases.issuing import Content, IssuePlan, Revised
    from brattice.usecases.ordering import Schedules

__all__ = ["Prepared", "keep_issue", "prepare_issue"]

Say = Callable[[str], None]

_PROGRESS_EACH = 25
_SITE, _NUMBERS = "installation sketches", "numbers of the sketches"
_FOR_SITE = ("Steps and hold points", "To be settled first", "Still to be settled", "Asked, held, and shown by")
"""Headings of a sheet that the site works by; sheets with other words alone go into a book of their own."""


@dataclass(frozen=True)
class Prepared:
    """A job that is ready to be issued: judged, detailed, what its documents say, and what the next issue holds.

    `past` are the issues before, each held against its manifest. `submittal_of` names the submittal of a document,
    `standards` the standard details by number, `drawings` the drawing that applies to each penetration.
    """

    judged: JudgedJob
    details: Mapping[str, InstallationDetail]
    schedules: Schedules
    past: tuple[IssueRead, ...]
    plan: IssuePlan
    submittal_of: Mapping[str, int]
    standards: Mapping[str, StandardDetail]
    drawings: Mapping[str, str]


def contents_of(
    details: Mapping[str, InstallationDetail], schedules: Schedules, standards: Iterable[StandardDetail] = ()
) -> tuple[Content, ...]:
    """What every document of a job says; a penetration of a standard detail has no sketch of its own."""
    from brattice.details.detail import Standing
    from brattice.orders.contents import builders_pairs, cause_pairs, order_pairs, submittal_pairs
    from brattice.usecases.issuing import Content, DocumentKind, content_of_detail
    from brattice.usecases.standards import content_of_standard, members_of

    contents = [content_of_standard(item) for item in standards]
    shared = {name for content in contents for name in members_of(content)}
    contents += [
        content_of_detail(detail, f"Installation of {detail.id}")
        for detail in details.values()
        if detail.standing is not Standing.NOT_DRAWN and detail.id not in shared
    ]
    drawings = schedules.drawings
    ordered = [(f"ordered/{name}/drawing", drawings[name]) for name in schedules.orders.by_penetration if drawings]
    formed = [(f"{row.id}/drawing", drawings[row.id]) for row in schedules.builders_work.rows if drawings]
    contents += [
        Content(ORDERS, DocumentKind.ORDERS, "Order schedule", "", (*order_pairs(schedules.orders), *ordered)),
        Content(
            BUILDERS_WORK,
            DocumentKind.BUILDERS_WORK,
            "Builders' work schedule",
            "",
            (*builders_pairs(schedules.builders_work, schedules.overlays), *formed),
        ),
        Content(CAUSE_EFFECT, DocumentKind.CAUSE_EFFECT, "Cause and effect", "", cause_pairs(schedules.cause_effect)),
    ]
    for number, place in submittal_numbers(schedules).items():
        item = schedules.submittals.items[place]
        title = f"{item.product_text} in wall type {item.wall_type}"
        contents.append(
            Content(number, DocumentKind.SUBMITTAL, title, item.status_text, submittal_pairs(item)),
        )
    return tuple(contents)


def prepare_issue(job: Path, say: Say, *, workers: int = 2, as_of: date | None = None) -> Prepared:
    """Judge and detail the job of a folder and compare every document with the last issue; nothing is written.

    Raises `InputError` with every fault of every file, also of what was issued before and is no longer as it was.
    """
    from brattice.adapters.issued import read_issues
    from brattice.cli.gather import standards_for
    from brattice.cli.run import judge_folder
    from brattice.cli.shifts import shifts_of
    from brattice.usecases.detailing import details_of
    from brattice.usecases.issuing import plan_issue
    from brattice.usecases.ordering import schedules_of
    from brattice.usecases.standards import drawings_of, standards_of

    past = read_issues(job)
    last = past[-1].issue if past else None
    judged = judge_folder(job, say, workers=workers, as_of=as_of)
    if last is not None and judged.on < last.on:
        raise InputError(
            Fault(
                f"issued/{last.number}",
                "",
                f"an issue of {last.on.isoformat()}, after {judged.on.isoformat()}, the date that is judged for",
                "a later date (as_of in brattice.toml, or --as-of)",
            )
        )
    book = standards_for(judged.read.job).book
    details = details_of(judged.report, judged.material, book, progress=say)
    before = lines_before(last)
    near = shifts_of(details, judged.read.job, book, say)
    shares = judged.read.job.standard_details
    standards = standards_of(details.values(), last) if shares else ()
    drawings = drawings_of(details, standards)
    schedules = schedules_of(
        judged.report,
        details,
        judged.read.job,
        before=before,
        too_near=near,
        drawings=drawings if shares else None,
    )
    plan = plan_issue(contents_of(details, schedules, standards), last, judged.on)
    by_number = {item.number: item for item in standards}
    return Prepared(judged, details, schedules, past, plan, submittal_numbers(schedules), by_number, drawings)


def sheets_of(prepared: Prepared, revised: Revised, *, paper: str) -> tuple[Sheet, ...]:
    """The sheets of one revised sketch or standard detail on a paper ("A3", "A4"), what changed in clouds."""
    from brattice.building.words import plain
    from brattice.findings import Known
    from brattice.sketch.installation import installation_sheets
    from brattice.sketch.standard_sheets import standard_sheets
    from brattice.usecases.issuing import figures_changed
    from brattice.usecases.standards import changes_of_use, drawings_before, lines_changed
    from brattice.usecases.title_facts import title_of

    report, names = prepared.judged.report, prepared.judged.read.job.title
    title = title_of(report, names, revision=revised.revision, issued=prepared.plan.on)
    changed, number = figures_changed(revised), revised.content.number
    if number in prepared.standards:
        told = changes_of_use(revised, prepared.drawings, drawings_before(prepared.plan))
        changed |= lines_changed(revised)
        return standard_sheets(prepared.standards[number], title, paper=paper, changed=changed, changes=told)
    detail = prepared.details[number]
    storey = detail.penetration.location.storey
    plans = {plain(plan.storey): plan for plan in report.plans}
    plan = plans.get(plain(storey.value)) if isinstance(storey, Known) else None
    return installation_sheets(detail, title, paper=paper, plan=plan, changed=changed)


def _storeys_of(prepared: Prepared, number: str) -> list[str]:
    """The storeys whose books hold the sheets of a sketch, or of a standard detail: each that it is used on."""
    from brattice.findings import Known

    standard = prepared.standards.get(number)
    found = set()
    for name in (number,) if standard is None else standard.ids:
        storey = prepared.details[name].penetration.location.storey
        found.add(storey.value if isinstance(storey, Known) else "Level not known")
    return sorted(found)


def _write_sketches(prepared: Prepared, folder: IssueFolder, say: Say, epoch: int) -> None:
    from brattice.adapters.print.sheets import sheets_pdf
    from brattice.building.file_names import file_part
    from brattice.usecases.issuing import DocumentKind

    kinds = {DocumentKind.SKETCH, DocumentKind.STANDARD}
    revised = [item for item in prepared.plan.revised if item.content.kind in kinds]
    books: dict[tuple[str, str], list[Sheet]] = {}
    for number, item in enumerate(revised, start=1):
        if number == 1 or number % _PROGRESS_EACH == 0 or number == len(revised):
            say(f"drawing sketch {number} of {len(revised)}")
        sheets = sheets_of(prepared, item, paper="A3")
        _write_drawings(folder, f"{item.content.number}-{item.revision}", sheets, sheets_of(prepared, item, paper="A4"))
        for storey in _storeys_of(prepared, item.content.number):
            for sheet in sheets:
                part = _SITE if sheet is sheets[0] or _is_for_site(sheet) else _NUMBERS
                books.setdefault((storey, part), []).append(sheet)
    places = {storey: number for number, storey in enumerate(sorted({storey for storey, _ in books}), start=1)}
    for (storey, part), sheets_here in sorted(books.items()):
        say(f"setting {part} of {storey}")
        title = f"{part.capitalize()}, {storey}, issue {prepared.plan.number}"
        stem = f"{places[storey]:02d}-{file_part(storey, 'storey')}"
        name = f"sketches/{stem}.pdf" if part == _SITE else f"sketches/numbers/{stem}.pdf"
        folder.write(name, sheets_pdf(sheets_here, title=title, epoch=epoch, subject=name))


def _write_drawings(folder: IssueFolder, name: str, sheets: tuple[Sheet, ...], phone: tuple[Sheet, ...]) -> None:
    """The drawing as SVG and DXF and for the telephone; of a standard detail also the table of where it is used."""
    from brattice.adapters.drawing.dxf import sheet_dxf
    from brattice.adapters.drawing.sheet_svg import sheet_svg
    from brattice.sketch.standard_sheets import is_where_used

    folder.write(f"sketches/{name}.svg", sheet_svg(sheets[0]).encode())
    folder.write(f"sketches/dxf/{name}.dxf", sheet_dxf(sheets[0]))
    for place, sheet in enumerate(phone, start=1):
        if place == 1 or (_is_for_site(sheet) and not is_where_used(sheet)):
            stem = name if place == 1 else f"{name}-{place}"
            folder.write(f"sketches/phone/{stem}.svg", sheet_svg(sheet).encode())
    for number, sheet in enumerate(filter(is_where_used, sheets), start=1):
        folder.write(f"sketches/{name}/where-used-{number}.svg", sheet_svg(sheet).encode())
        folder.write(f"sketches/dxf/{name}/where-used-{number}.dxf", sheet_dxf(sheet))
    for number, sheet in enumerate(filter(is_where_used, phone), start=1):
        folder.write(f"sketches/phone/{name}/where-used-{number}.svg", sheet_svg(sheet).encode())


def _is_for_site(sheet: Sheet) -> bool:
    """Whether a further sheet goes on with what the site works by: steps, what is to be settled, what is asked."""
    from brattice.drawing.primitives import Text, flat
    from brattice.sketch.standard_sheets import is_where_used

    return is_where_used(sheet) or any(
        isinstance(item, Text) and item.text.startswith(_FOR_SITE) for item in flat(sheet.drawing().items)
    )


_SAID = {
    ORDERS: "writing the order schedule",
    BUILDERS_WORK: "writing builders' work",
    CAUSE_EFFECT: "writing cause and effect",
}


def _write_schedules(prepared: Prepared, folder: IssueFolder, say: Say) -> None:
    from brattice.cli.clock import stamp_of
    from brattice.usecases.ordering import head_of_schedules

    schedules, stamp = prepared.schedules, stamp_of(prepared.judged.on)
    for item in prepared.plan.revised:
        number = item.content.number
        head = head_of_schedules(prepared.judged.report, item.revision)
        makers = makers_of(number, schedules, head, stamp, prepared.submittal_of.get(number))
        if makers:
            say(_SAID.get(number, f"setting {number}"))
        for maker in makers:
            folder.write(maker.name, maker.make())


def keep_issue(job: Path, prepared: Prepared, say: Say) -> Path:
    """Write the issue that was prepared into `JOB/issued/<number>`, whole or not at all; gives its folder.

    The ids and numbers of queries that it names are saved in the job. Raises `InputError` where the folder can't be
    written, and when nothing is to be issued.
    """
    from brattice import __version__
    from brattice.adapters.issued import issue_folder
    from brattice.adapters.issued.document_list import document_list
    from brattice.adapters.project import LEDGER_FILE, save_ledger
    from brattice.adapters.queries import QUERIES_FILE, save_queries
    from brattice.cli.clock import stamp_of

    if prepared.plan.is_empty:
        raise InputError(Fault("issued", "", "nothing that changed since the last issue", "a change first"))
    stamp = stamp_of(prepared.judged.on)
    issue = prepared.plan.issue()
    try:
        with issue_folder(
            job,
            issue,
            job_name=prepared.judged.report.job_name,
            made_by=f"Brattice {__version__}",
            previous=prepared.past[-1] if prepared.past else None,
            inputs=prepared.judged.report.inputs,
        ) as folder:
            _write_sketches(prepared, folder, say, int(stamp.timestamp()))
            _write_schedules(prepared, folder, say)
            files = _files_by_document(folder.names, prepared.plan.revised)
            folder.write(
                "documents.xlsx", document_list(prepared.plan, prepared.judged.report, files, stamp, prepared.drawings)
            )
            save_ledger(job / LEDGER_FILE, prepared.judged.material.identified.ledger.entries)
            save_queries(job / QUERIES_FILE, prepared.judged.query_events)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(Fault(str(job), "", f"a folder that can't be written ({why})", "one that can")) from error
    return folder.path


def _files_by_document(names: Iterable[str], revised: Iterable[Revised]) -> dict[str, tuple[str, ...]]:
    """The files of each document by its number: those whose name begins with number and revision."""
    stems = {f"{item.content.number}-{item.revision}": item.content.number for item in revised}
    found: dict[str, list[str]] = {}
    for name in sorted(names):
        for part in name.split("/"):
            stem = part.rpartition(".")[0] or part
            whole, _, place = stem.rpartition("-")  # the second sheet for a telephone ends in its number
            number = stems.get(stem) or stems.get(part) or (stems.get(whole) if place.isdecimal() else None)
            if number is not None:
                found.setdefault(number, []).append(name)
                break
    return {number: tuple(items) for number, items in found.items()}
