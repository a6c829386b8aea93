# SPDX-License-Identifier: Apache-2.0
"""Write a large workbook in a process beside the program, which does something else in the meantime.

The same function writes it there, from the same cells: the bytes are those that the program would write itself. When
that process ends badly, the program does.
"""

from __future__ import annotations

import gc
import json
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import Any, NoReturn

from brattice.adapters.child import Children, Json, Limits, Reply, run_task
from brattice.adapters.child.registry import Say
from brattice.adapters.workbook.writer import OutCell, OutColumn, OutSheet, OutValue, write_workbook
from brattice.errors import InputError, OwnFault

__all__ = ["write_task", "written_beside"]

_CHILD = Limits(memory_bytes=3 * 1024**3, seconds=600.0, deaths=1)
_DATE_TIME, _DATE = "dt", "d"


@contextmanager
def written_beside(
    path: Path, make_sheets: Callable[[], Iterable[OutSheet]], *, stamp: datetime, title: str = ""
) -> Iterator[None]:
    """While the block runs, a process writes a workbook at a path; the block has ended when both have.

    The cells pass row by row through a file, so that neither side holds all of them. Raises `OSError` when the
    workbook can't be written.
    """
    children = Children()
    with tempfile.TemporaryDirectory(prefix="brattice-") as folder, ThreadPoolExecutor(1) as pool:
        cells = Path(folder) / "cells"
        with cells.open("w", encoding="ascii", newline="\n") as stream:
            for sheet in make_sheets():
                stream.writelines(f"{json.dumps(line)}\n" for line in _lines(sheet))
        request = {"path": str(path.absolute()), "cells": str(cells), "stamp": stamp.isoformat(), "title": title}
        task = pool.submit(run_task, "workbook.write", request, subject=path.name, limits=_CHILD, children=children)
        try:
            yield
        except BaseException:
            children.stop()
            raise
        try:
            task.result()
        except InputError:
            write_workbook(path, make_sheets(), stamp=stamp, title=title)


def write_task(request: Json, folder: Path, say: Say) -> Reply:
    """The child task `workbook.write`: the workbook of a request, at its path."""
    gc.set_threshold(50_000, 20, 100)  # the writer leaves rings behind with each row; few are old
    gc.enable()  # a child goes without
    stamp = datetime.fromisoformat(request["stamp"])
    with Path(request["cells"]).open(encoding="ascii") as stream:
        write_workbook(str(request["path"]), _sheets(stream), stamp=stamp, title=str(request["title"]))
    return Reply(None)


class _RowsOnce(Sequence[Sequence[OutValue | OutCell]]):
    """So many rows that are read one after the other, once."""

    def __init__(self, lines: Iterator[str], count: int) -> None:
        self._lines, self._count = lines, count

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[Sequence[OutValue | OutCell]]:
        for _ in range(self._count):
            yield [_cell(cell) for cell in json.loads(next(self._lines))]

    def __getitem__(self, place: object) -> NoReturn:
        raise OwnFault("rows that come one after the other have no place")


def _lines(sheet: OutSheet) -> Iterator[Json]:
    """A sheet as JSON values: what stands before its rows, then each row."""
    told = {name: getattr(sheet, name) for name in OutSheet.__dataclass_fields__ if name not in {"columns", "rows"}}
    yield {**told, "columns": [asdict(column) for column in sheet.columns], "rows": len(sheet.rows)}
    for row in sheet.rows:
        yield [_cell_json(cell) for cell in row]


def _sheets(lines: Iterator[str]) -> Iterator[OutSheet]:
    for line in lines:
        told: dict[str, Any] = json.loads(line)
        columns = tuple(OutColumn(**{**item, "choices": tuple(item["choices"])}) for item in told.pop("columns"))
        rows: Sequence[Sequence[OutValue | OutCell]] = _RowsOnce(lines, told.pop("rows"))
        yield OutSheet(columns=columns, rows=list(rows) if told["fit_rows"] else rows, **told)


def _value_json(value: OutValue) -> Json:
    if isinstance(value, datetime):
        return {_DATE_TIME: value.isoformat()}
    return {_DATE: value.isoformat()} if isinstance(value, date) else value


def _value(given: Json) -> OutValue:
    if not isinstance(given, dict):
        value: OutValue = given
        return value
    ((kind, text),) = given.items()
    return datetime.fromisoformat(text) if kind == _DATE_TIME else date.fromisoformat(text)


def _cell_json(cell: OutValue | OutCell) -> Json:
    if not isinstance(cell, OutCell):
        return _value_json(cell)
    return [_value_json(cell.value), cell.fill, cell.ink, cell.bold, list(cell.choices)]


def _cell(given: Json) -> OutValue | OutCell:
    if not isinstance(given, list):
        return _value(given)
    value, fill, ink, bold, choices = given
    return OutCell(_value(value), fill, ink, bold, tuple(choices))
