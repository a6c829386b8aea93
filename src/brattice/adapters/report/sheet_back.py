# SPDX-License-Identifier: Apache-2.0
"""What each schedule of a job gets back: the texts of the added columns, notes on cells, the sheet of notes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath

from brattice.adapters.workbook import ADDED, Additions, CopyOf, SheetAdditions
from brattice.findings import Finding, Origin
from brattice.usecases.report_model import PenetrationReport, Report, RowAt
from brattice.usecases.states import STATES
from brattice.usecases.words import actuation_asked, class_asked, count_words, query_words

__all__ = ["BACK", "LARGE", "additions_of", "copies_of", "copy_names"]

BACK = "schedule"
"""The folder of the copies, in the folder of outputs."""

LARGE = 5_000
"""A workbook with more rows than this gets its copy only when it is asked for: loading and saving one takes a while."""

_MOST_NOTES = 3_000
"""Notes on the cells of one sheet; a spreadsheet program becomes slow with more."""

_NOTE_LENGTH = 1_500


def copy_names(files: Iterable[str]) -> dict[str, str]:
    """The name of each file's copy in the folder of outputs; its place in the job's folder "schedule" is kept."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for file in sorted(files):
        path = PurePosixPath(file)
        name = PurePosixPath(*path.parts[1:]) if len(path.parts) > 1 and path.parts[0] == BACK else path
        count, answer = 1, name
        while answer.as_posix().casefold() in taken:
            count += 1
            answer = name.with_name(f"{name.stem} ({count}){name.suffix}")
        taken.add(answer.as_posix().casefold())
        found[file] = f"{BACK}/{answer.as_posix()}"
    return found


def copies_of(report: Report, job: Path, folder: Path, *, large: bool = False) -> tuple[list[CopyOf], list[str]]:
    """The copies to be made of the schedules of a report, from the job's folder into the folder of outputs, and what
    has to be said of those that are not made: `large` is whether large workbooks get one too.
    """
    copies: list[CopyOf] = []
    passed: list[str] = []
    rows = Counter(item.row.file for item in report.penetrations if item.row is not None)
    for file, name in copy_names({sheet.file for sheet in report.sheets if sheet.headings_at}).items():
        if rows[file] > LARGE and not large and not _is_text(file):
            passed.append(
                f"{file} has {rows[file]:,} rows: no copy with columns added was made; "
                "`brattice check JOB --copies` makes it"
            )
            continue
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        copies.append(CopyOf(job / file, target, lambda file=file: additions_of(report, file)))  # type: ignore[misc]
    return copies, passed


def _is_text(file: str) -> bool:
    return PurePosixPath(file).suffix.lower() in {".csv", ".tsv", ".txt"}


def additions_of(report: Report, file: str) -> Additions:
    """What the copy of one schedule gets. Nothing is said that does not stand in the report."""
    by_row: dict[RowAt, list[PenetrationReport]] = {}
    for item in report.penetrations:
        if item.row is not None and item.row.file == file:
            by_row.setdefault(item.row, []).append(item)
    is_text = _is_text(file)
    sheets: list[SheetAdditions] = []
    lines = list(_lines(report, file))
    for sheet in report.sheets:
        if sheet.file != file or not sheet.headings_at:
            continue
        items = {at.number: found for at, found in by_row.items() if at.sheet == sheet.name}
        rows = {number: _texts(report, items[number], is_text=is_text) for number in sorted(items)}
        if is_text:
            rows |= {row.number: {"cautions": f"Row passed over: {row.why}."} for row in sheet.passed}
        notes = {} if is_text else _notes(file, sheet.name, items)
        if len(notes) > _MOST_NOTES:
            text = f"Sheet '{sheet.name}': {_MOST_NOTES:,} of {len(notes):,} cells have a note; the columns say all."
            lines.append(("About this copy", text))
            notes = dict(list(notes.items())[:_MOST_NOTES])
        where = f"Sheet '{sheet.name}', row" if sheet.name else "Row"
        lines += [("Row passed over", f"{where} {row.number}: {row.why}: {row.text}") for row in sheet.passed]
        sheets.append(SheetAdditions(sheet.name, sheet.headings_at, rows, notes))
    sha256 = next(item.sha256 for item in report.inputs if item.path == file and item.role == "schedule")
    return Additions(file, sha256, tuple(sheets), tuple(lines))


def _finding(finding: Finding) -> str:
    return f"{finding.code}{'' if finding.open else ' (noted)'}: {finding.text}"


def _texts(report: Report, items: list[PenetrationReport], *, is_text: bool) -> dict[str, str]:
    """The text of each added column for the penetrations of one row."""

    def joined(texts: Iterable[str]) -> str:
        return "\n".join(dict.fromkeys(text for text in texts if text))

    found = {
        "id": joined(item.penetration.id for item in items),
        "state": joined(str(item.state) for item in items),
        "findings": joined(_finding(finding) for item in items for finding in item.findings),
        "queries": joined(_query(report, item) for item in items),
        "class": joined(class_asked(item.requirement) for item in items),
        "actuation": joined(actuation_asked(item.requirement) for item in items),
        "unread": joined(
            f"{', '.join(cell.origin.cells) or cell.heading}: {cell.found!r}; expected: {cell.expected}"
            for item in items
            for cell in item.unread
        ),
    }
    return {**found, "cautions": " ".join(report.cautions)} if is_text else found


def _query(report: Report, item: PenetrationReport) -> str:
    lines = []
    for query in item.queries:
        standing = report.standing_of(query)
        whole = query_words(query, standing)
        lines.append(whole.removesuffix(f": {query.missing.text}") if standing is not None else whole)
    return "\n".join(lines)


def _notes(file: str, sheet: str, items: dict[int, list[PenetrationReport]]) -> dict[str, str]:
    """Notes by cell: what is open about it. Cells that were not read come first, then by row.

    What is not known and is said of many cells in the same words (a wall type that has no row) is said at the first.
    """
    in_order = [item for number in sorted(items) for item in items[number]]
    found: dict[str, list[str]] = {}

    def cells(origins: Iterable[Origin]) -> Iterator[str]:
        for origin in origins:
            if origin.file == file and origin.place.startswith(f"sheet '{sheet}', row "):
                yield from origin.cells

    def note(cell: str, text: str) -> None:
        texts = found.setdefault(cell, [])
        if text not in texts:
            texts.append(text)

    for item in in_order:
        for unread in item.unread:
            for cell in cells([unread.origin]):
                note(cell, f"Not read: {unread.found!r}. Expected: {unread.expected}")
    alike: dict[str, list[str]] = {}
    for item in in_order:
        for finding in item.findings:
            if not finding.open or finding.code == "cell-unknown":
                continue
            text = f"{finding.code}: {finding.text}"
            for cell in cells(finding.origins):
                if finding.code.endswith("-unknown"):
                    alike.setdefault(text, []).append(cell)
                else:
                    note(cell, text)
    for text, named in alike.items():
        others = len(set(named)) - 1
        same = f" The same holds for {count_words(others, 'other cell')}." if others else ""
        note(named[0], text + same)
    return {cell: _short("\n".join(texts)) for cell, texts in found.items()}


def _short(text: str) -> str:
    rest = "\n… the added columns say the rest"
    return text if len(text) <= _NOTE_LENGTH else text[: _NOTE_LENGTH - len(rest)] + rest


def _lines(report: Report, file: str) -> Iterator[tuple[str, str]]:
    """The sheet of notes below its title."""
    yield "Job", report.job_name
    yield "Judged for", report.as_of.isoformat()
    yield "Rules", f"{report.jurisdiction}, {report.edition}, {report.purpose}"
    yield "Made by", f"Brattice {report.version}"
    yield "Copy of", file
    for item in report.inputs:
        if item.path == file and item.role == "schedule":
            yield "SHA-256 of what was read", item.sha256
    if report.invented:
        yield "", "All data is invented; this is no real building."
    for caution in report.cautions:
        yield "Caution", caution
    yield (
        "About this copy",
        (
            "Columns were added at the right, notes on cells, and this sheet. No cell, format or formula was changed; "
            "only rows without a height of their own were made higher. Formulas show what they last showed."
        ),
    )
    yield (
        "About this copy",
        "It may be edited and come back as the next revision: what was added is known by its headings and not read.",
    )
    for column in ADDED:
        if column.key != "cautions":
            yield column.heading, column.note
    counts = dict(report.counts())
    for spec in STATES:
        yield f"State: {spec.state}", f"{spec.meaning} ({counts[spec.state]:,} in the job)"
