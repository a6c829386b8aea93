# SPDX-License-Identifier: Apache-2.0
"""Copies of the schedules of a job with columns added, written by a process beside the program."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from brattice.adapters.child import Children, Json, Limits, Reply, run_task
from brattice.adapters.child.registry import Say
from brattice.adapters.files import write_file
from brattice.adapters.workbook.additions import Additions, read_additions, write_additions
from brattice.adapters.workbook.copy_csv import csv_with
from brattice.adapters.workbook.copy_xlsx import workbook_with
from brattice.adapters.workbook.model import Limits as BookLimits
from brattice.errors import InputError

__all__ = ["CopyOf", "add_task", "copied_beside"]

_CHILD = Limits(memory_bytes=3 * 1024**3, seconds=180.0)
_TEXT = {".csv", ".tsv", ".txt"}


@dataclass(frozen=True)
class CopyOf:
    """One copy to be made: from which file, to which, and what makes the additions (asked for once)."""

    source: Path
    target: Path
    additions: Callable[[], Additions]


@contextmanager
def copied_beside(copies: Iterable[CopyOf], stamp: datetime) -> Iterator[list[str]]:
    """While the block runs, a process writes the copies one after the other; the block has ended when both have.

    The list that the block gets says, after its end, what people should know of the copies, also of one that could
    not be made: no copy is written then. The sources are opened in the process alone and never changed.
    """
    children = Children()
    notes: list[str] = []
    with tempfile.TemporaryDirectory(prefix="brattice-") as folder, ThreadPoolExecutor(1) as pool:
        tasks = []
        for number, copy in enumerate(copies):
            told = Path(folder) / f"additions-{number}"
            given = copy.additions()
            write_additions(told, given)
            request = {
                "path": str(copy.source.absolute()),
                "target": str(copy.target.absolute()),
                "additions": str(told),
                "stamp": stamp.isoformat(),
                "limits": asdict(BookLimits()),
            }
            task = pool.submit(run_task, "workbook.add", request, subject=given.file, limits=_CHILD, children=children)
            tasks.append((given.file, task))
        try:
            yield notes
        except BaseException:
            children.stop()
            raise
        for file, task in tasks:
            try:
                notes += [f"copy of {file}: {note}" for note in task.result().value]
            except InputError as error:
                notes += [f"no copy of the schedule with columns added: {fault}" for fault in error.faults]


def add_task(request: Json, folder: Path, say: Say) -> Reply:
    """The child task `workbook.add`: one copy, at its target; the answer is what has to be said about it."""
    given = read_additions(Path(request["additions"]))
    target = Path(request["target"])
    limits = BookLimits(**request["limits"])
    if target.suffix.lower() in _TEXT:
        data, notes = csv_with(request["path"], given, limits)
    else:
        data, notes = workbook_with(request["path"], given, datetime.fromisoformat(request["stamp"]), limits)
    write_file(target, data)
    return Reply(notes)
