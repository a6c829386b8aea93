# SPDX-License-Identifier: Apache-2.0
"""A table as data: to stdout, which then carries nothing else, or into a file that is none of the inputs."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from brattice.adapters.files import write_file
from brattice.errors import Fault, InputError, UsageError

__all__ = ["print_data", "refuse_input", "write_data"]


def print_data(table: str) -> None:
    """The table on stdout as UTF-8, whatever the terminal's own coding: the same bytes everywhere."""
    sys.stdout.flush()
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(table)
        return
    buffer.write(table.encode("utf-8"))
    buffer.flush()


def refuse_input(csv: str, inputs: Iterable[str | Path], what: str) -> None:
    """The table never takes the place of an input, by whatever name both are called; else a `UsageError`."""
    target = Path(csv)
    for name in inputs:
        if target == Path(name) or (target.exists() and Path(name).exists() and target.samefile(name)):
            raise UsageError(f"--csv {csv} is one of the {what}: name another file for the table")


def write_data(path: Path, table: str) -> None:
    """The table into a file, whole or not at all. Raises `InputError` where the place can't be written."""
    try:
        write_file(path, table.encode("utf-8"))
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(
            Fault(str(path), "", f"a place that can't be written ({reason})", "a file in a folder that is there")
        ) from None
