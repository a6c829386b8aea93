# SPDX-License-Identifier: Apache-2.0
"""What passes between us and a child: JSON and plain number arrays in one folder, never pickle.

The folder holds `request.json` (what to do), and after the child `result.json` and, when the task gives
arrays, `arrays.npz`. Both sides use this module, so that the names and the forms stand in one place.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from brattice.errors import Fault

__all__ = [
    "EXIT_DONE",
    "EXIT_FAULTS",
    "EXIT_MEMORY",
    "EXIT_OWN",
    "PROGRESS_MARK",
    "Arrays",
    "Json",
    "Reply",
    "faults_from",
    "read_request",
    "read_result",
    "write_faults",
    "write_request",
    "write_result",
]

Json: TypeAlias = Any
"""A JSON value; its form is checked where it is used."""

Arrays: TypeAlias = Mapping[str, NDArray[Any]]

EXIT_DONE = 0
EXIT_FAULTS = 3
EXIT_OWN = 4
EXIT_MEMORY = 12

PROGRESS_MARK = "::progress "
"""A line on the child's stderr that starts so is news for people; every other line is kept for a crash report."""


@dataclass(frozen=True)
class Reply:
    """What a task hands back: a JSON value and arrays by name."""

    value: Json
    arrays: Arrays = field(default_factory=dict)


def write_request(folder: Path, task: str, request: Json, memory_bytes: int | None, seconds: float) -> None:
    """Put down what the child is to do, and within which limits."""
    body = {"task": task, "request": request, "memory_bytes": memory_bytes, "seconds": seconds}
    (folder / "request.json").write_text(json.dumps(body), encoding="utf-8")


def read_request(folder: Path) -> Json:
    """The request that `write_request` put down."""
    return json.loads((folder / "request.json").read_text(encoding="utf-8"))


def write_result(folder: Path, reply: Reply) -> None:
    """Put down what a task found; the JSON comes last, so that a half-written result is none."""
    if reply.arrays:
        np.savez(folder / "arrays.npz", **dict(reply.arrays), allow_pickle=False)
    text = json.dumps({"value": reply.value, "arrays": sorted(reply.arrays)}, ensure_ascii=True, allow_nan=False)
    (folder / "result.json").write_text(text, encoding="ascii")


def write_faults(folder: Path, faults: tuple[Fault, ...]) -> None:
    """Put down what is wrong with the file that the task was to read."""
    listed = [[fault.file, fault.place, fault.found, fault.expected] for fault in faults]
    (folder / "result.json").write_text(json.dumps({"faults": listed}, ensure_ascii=True), encoding="ascii")


def read_result(folder: Path) -> Reply:
    """What the task found, read without pickle."""
    body = json.loads((folder / "result.json").read_text(encoding="ascii"))
    arrays: dict[str, NDArray[Any]] = {}
    if body["arrays"]:
        with np.load(folder / "arrays.npz", allow_pickle=False) as loaded:
            arrays = {name: loaded[name] for name in body["arrays"]}
    return Reply(body["value"], arrays)


def faults_from(folder: Path) -> tuple[Fault, ...]:
    """The faults that the task put down."""
    body = json.loads((folder / "result.json").read_text(encoding="ascii"))
    return tuple(Fault(*(str(part) for part in row)) for row in body["faults"])
