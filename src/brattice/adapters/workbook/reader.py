# SPDX-License-Identifier: Apache-2.0
"""Read a workbook from outside: bounded, in a child process, as plain data."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from brattice.adapters.child import Limits as ChildLimits
from brattice.adapters.child import run_task
from brattice.adapters.workbook.csv_table import read_csv_table
from brattice.adapters.workbook.model import Limits, Workbook
from brattice.adapters.workbook.parse import from_json

__all__ = ["read_table_file", "read_workbook"]

_CHILD = ChildLimits(memory_bytes=3 * 1024**3, seconds=180.0)


def read_workbook(path: str | Path, *, file: str = "", limits: Limits | None = None) -> Workbook:
    """The workbook (.xlsx, .xlsm) at a path; `file` is what faults and origins call it (the path when empty).

    Raises `InputError` for a file that is missing, too big, encrypted, of another kind, damaged, or that the child
    died of twice.
    """
    name = file or str(path)
    request = {"path": str(Path(path).absolute()), "file": name, "limits": asdict(limits or Limits())}
    return from_json(run_task("workbook.read", request, subject=name, limits=_CHILD).value)


def read_table_file(path: str | Path, *, file: str = "", limits: Limits | None = None) -> Workbook:
    """A workbook or a CSV file, by the ending of its name (.csv, .tsv, .txt are text). Raises `InputError`."""
    if Path(path).suffix.lower() in {".csv", ".tsv", ".txt"}:
        return read_csv_table(path, file=file, limits=limits)
    return read_workbook(path, file=file, limits=limits)
