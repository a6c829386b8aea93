# SPDX-License-Identifier: Apache-2.0
"""What the pages ask about numbered issues of a job: what was issued, what the next one would hold, and to make it."""

from __future__ import annotations

import hashlib
import json
import os
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fnmatch import fnmatchcase
from pathlib import Path

from brattice.adapters.issued import ISSUED, IssueRead, read_issues
from brattice.cli.issued import Prepared, Say, keep_issue, prepare_issue
from brattice.errors import Fault, InputError, UsageError
from brattice.usecases.issuing import IssuePlan
from brattice.web.office import FileCard, IssuedView

__all__ = ["DeskIssues", "Looked", "mark_of"]

_WORDS = (
    ("documents.xlsx", "the list of documents: revision, status, in which issue, what changed"),
    ("content.json", "what every document says, for the next issue"),
    ("orders-*", "the order schedule"),
    ("builders-work-*.xlsx", "the builders\u2019 work schedule"),
    ("builders-work-*.dxf", "the openings of a level, as a drawing to lay over its plan"),
    ("cause-and-effect-*", "cause and effect"),
    ("submittals/*", "a technical submittal"),
    ("sketches/dxf/*/where-used-*", "the table of where a standard detail is used, as a drawing"),
    ("sketches/phone/*/where-used-*", "the table of where a standard detail is used, for a telephone"),
    ("sketches/*/where-used-*", "the table of where a standard detail is used, A3"),
    ("sketches/S-*.svg", "a standard detail, A3"),
    ("sketches/dxf/*", "a sketch with real dimensions on named layers"),
    ("sketches/phone/*", "a sketch for a telephone"),
    ("sketches/numbers/*.pdf", "the other numbers of the sketches, and where every number comes from"),
    ("sketches/*.pdf", "the revised sketches of a level, A3"),
    ("sketches/*.svg", "one sketch, A3"),
)

Stamp = tuple[int, int]


@dataclass(frozen=True)
class Looked:
    """What the next issue would hold, the mark that stands for it, and the files it was judged from as they stood."""

    plan: IssuePlan
    mark: str
    inputs: frozenset[str]
    stamps: Mapping[str, Stamp]


def mark_of(plan: IssuePlan) -> str:
    """A word that is another whenever another thing would be issued: number, date, revisions, contents, withdrawals."""
    said = [
        plan.number,
        plan.on.isoformat(),
        [[item.content.number, item.revision, item.content.sha256] for item in plan.revised],
        [[item.content.number, item.issue] for item in plan.withdrawn],
    ]
    return hashlib.sha256(json.dumps(said).encode("ascii")).hexdigest()


class DeskIssues:
    """The issues of a job in a folder. What was read is kept for as long as no file of it has another size or time."""

    def __init__(self, folder: Path, *, workers: int, as_of: date | None) -> None:
        self._folder = folder
        self._workers = workers
        self._as_of = as_of
        self._lock = threading.Lock()
        self._signs: tuple[tuple[str, int, int], ...] | None = None
        self._read: tuple[IssueRead, ...] = ()
        self._looked: Looked | None = None

    def _signs_now(self) -> tuple[tuple[str, int, int], ...]:
        """Name, size and time of everything in the folders of issues (not of one that is being built)."""
        found = []
        place = self._folder / ISSUED
        for name in sorted(os.listdir(place)) if place.is_dir() else ():
            if not (name.isascii() and name.isdigit()):
                continue
            for root, folders, files in os.walk(place / name):
                for part in (*folders, *files):
                    path = Path(root, part)
                    stat = path.lstat()
                    found.append((path.relative_to(place).as_posix(), stat.st_size, stat.st_mtime_ns))
        return (*sorted(found), (ISSUED, int(place.is_symlink()), int(place.exists())))

    def read(self) -> tuple[IssueRead, ...]:
        """Every issue, held against its manifest and the one before. Raises `InputError`."""
        with self._lock:
            try:
                signs = self._signs_now()
            except OSError as error:
                why = error.strerror or "a folder that can't be read"
                raise InputError(Fault(ISSUED, "", why, "the folder of what was issued")) from error
            if signs != self._signs:
                self._signs = None
                self._read = read_issues(self._folder)
                self._signs = signs
            return self._read

    def views(self) -> tuple[IssuedView, ...]:
        """Every issue with its files, the oldest first. Raises `InputError`."""
        return tuple(
            IssuedView(item.issue, self._cards(item.issue.number, item), item.manifest_sha256) for item in self.read()
        )

    def _cards(self, number: str, item: IssueRead) -> tuple[FileCard, ...]:
        cards = []
        for name, _ in item.files:
            words = next((said for pattern, said in _WORDS if fnmatchcase(name, pattern)), "a file of the issue")
            try:
                size = (self._folder / ISSUED / number / name).stat().st_size
            except OSError:
                size = 0  # gone since it was read a moment ago; to ask for it says so
            cards.append(FileCard(name, words, size))
        return tuple(cards)

    def file(self, number: str, name: str) -> bytes | None:
        """A file that the manifest of an issue lists, as it was issued; None for every other name.

        Raises `InputError` when it is no longer as it was.
        """
        item = next((item for item in self.read() if item.issue.number == number), None)
        listed = None if item is None else dict(item.files).get(name)
        if listed is None:
            return None
        where = f"{ISSUED}/{number}/{name}"
        try:
            data = (self._folder / ISSUED / number / name).read_bytes()
        except OSError as error:
            raise InputError(Fault(where, "", "a file that is gone", "the file as it was issued")) from error
        if hashlib.sha256(data).hexdigest() != listed:
            found = "a file that was changed after it was issued"
            raise InputError(Fault(where, "", found, "the file as it was issued; put it back from a copy"))
        return data

    def looked(self) -> Looked | None:
        """What the next issue would hold, as it was looked at last; None before, and after an issue was made."""
        with self._lock:
            return self._looked

    def look(self, say: Say, stamps: Mapping[str, Stamp]) -> Prepared:
        """Compare every document with the last issue and keep what the next one would hold; nothing is written."""
        prepared = prepare_issue(self._folder, say, workers=self._workers, as_of=self._as_of)
        inputs = frozenset(item.path for item in prepared.judged.report.inputs)
        with self._lock:
            self._looked = Looked(prepared.plan, mark_of(prepared.plan), inputs, stamps)
        return prepared

    def make(self, mark: str, say: Say, stamps: Mapping[str, Stamp]) -> None:
        """Make the next issue when it is what `mark` stands for; when nothing changed, nothing is made.

        Raises `InputError`, and `UsageError` when something else would be issued than was looked at.
        """
        prepared = self.look(say, stamps)
        if prepared.plan.is_empty:
            return
        if mark_of(prepared.plan) != mark:
            raise UsageError(
                "Nothing was issued: what would be issued now is something else than was shown and agreed to. "
                "Look through what stands below and issue that."
            )
        keep_issue(self._folder, prepared, say)
        with self._lock:
            self._looked = None
