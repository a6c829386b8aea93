# SPDX-License-Identifier: Apache-2.0
"""What a job's pages hand out and take in as files: downloads by name, sheets that came back, the tracker now."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path

from brattice.adapters.project import LEDGER_FILE, output_folder, read_ledger
from brattice.adapters.queries import QUERIES_FILE, read_queries
from brattice.adapters.tracker import TRACKER_FILE, TRACKER_SHEET_FILE, read_tracker, tracker_bytes
from brattice.building.queries import QueryEvent, records_of
from brattice.cli import print_, queries, reconcile, tracker
from brattice.cli.clock import stamp_of
from brattice.errors import Fault, InputError
from brattice.usecases.report_model import Report
from brattice.usecases.tracking import is_of_stages, with_tracker
from brattice.web.forms import Upload
from brattice.web.office import FileCard, QueryList

__all__ = ["FOLDERS", "file_cards", "file_of", "on_disk", "query_list", "retracked", "save_tracker_sheet"]

FOLDERS = ("out", queries.FOLDER, tracker.FOLDER, reconcile.FOLDER, print_.FOLDER)
"""The folders of a job whose files can be downloaded."""

_MOST_FILES = 5_000
_WORDS = (
    ("out/register.xlsx", "the register: every penetration with its answer, as a workbook"),
    ("out/register.csv", "the register as a table of text"),
    ("out/findings.json", "every finding with its reasons and origins, for other programs"),
    ("out/report.html", "the whole report as one page that needs nothing else"),
    ("out/schedule/*", "your schedule with columns added at the right and notes where something is wrong"),
    ("out/*.bcf*", "findings as topics for model viewers"),
    ("reconcile/*.xlsx", "what stands only in one source, and what differs"),
    ("queries/*.xlsx", "what is asked of this party, with columns for the answers"),
    ("tracker/*.xlsx", "the stages at each penetration, to type in"),
    ("print/report.pdf", "the report for paper"),
    ("print/plans/*.pdf", "the meeting plan of a level, or its list where no plan is known"),
    ("print/*.pdf", "pages for paper"),
    ("*/manifest.json", "which files of this folder the program wrote, with their SHA-256"),
)


def file_cards(folder: Path) -> tuple[FileCard, ...]:
    """Every plain file in the folders of outputs, by name; links are passed over."""
    found: list[FileCard] = []
    for name in FOLDERS:
        root = folder / name
        if root.is_symlink() or not root.is_dir():
            continue
        for path in sorted(root.rglob("*")):
            inside = path.relative_to(folder)
            linked = any((folder / part).is_symlink() for part in (inside, *inside.parents))
            if linked or not path.is_file() or any(part.startswith(".") for part in inside.parts):
                continue
            text = inside.as_posix()
            words = next((said for pattern, said in _WORDS if fnmatchcase(text, pattern)), "a file of the job")
            found.append(FileCard(text, words, path.stat().st_size))
            if len(found) >= _MOST_FILES:
                return tuple(found)
    return tuple(found)


def file_of(folder: Path, name: str) -> Path | None:
    """The file of a name that stands in the list, and of no other."""
    return folder / name if any(card.name == name for card in file_cards(folder)) else None


@contextmanager
def on_disk(upload: Upload) -> Iterator[Path]:
    """A file that was sent, in a folder of its own for as long as the block lasts."""
    with tempfile.TemporaryDirectory(prefix="brattice-") as folder:
        path = Path(folder) / f"sent.{upload.kind}"
        path.write_bytes(upload.data)
        yield path


def query_list(folder: Path, report: Report) -> QueryList:
    """The list of queries as its file stands, on the date of the last check. Raises `InputError`."""
    path = folder / QUERIES_FILE
    events = read_queries(path) if path.exists() else ()
    by_number: dict[str, list[QueryEvent]] = {}
    for event in events:
        by_number.setdefault(event.number, []).append(event)
    return QueryList(report.as_of, records_of(events), {number: tuple(found) for number, found in by_number.items()})


def retracked(folder: Path, report: Report) -> Report:
    """The report of the last check with the tracker as its record stands now. Raises `InputError`."""
    bare = replace(
        report,
        penetrations=tuple(
            replace(item, tracked=None, findings=tuple(one for one in item.findings if not is_of_stages(one)))
            for item in report.penetrations
        ),
        job_findings=tuple(item for item in report.job_findings if not is_of_stages(item)),
        retired=(),
    )
    return with_tracker(bare, read_tracker(folder / TRACKER_FILE), read_ledger(folder / LEDGER_FILE))


def save_tracker_sheet(folder: Path, report: Report) -> Path:
    """Write the tracker's workbook of a report, as the command does. Raises `InputError`."""
    from brattice import __version__

    data = tracker_bytes(report, read_tracker(folder / TRACKER_FILE), stamp=stamp_of(report.as_of))
    try:
        with output_folder(folder / tracker.FOLDER, version=__version__) as out:
            out.write(TRACKER_SHEET_FILE, data)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError(Fault(str(folder), "", f"a folder that can't be written ({why})", "one that can")) from error
    return folder / tracker.FOLDER / TRACKER_SHEET_FILE
