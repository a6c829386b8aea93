# SPDX-License-Identifier: Apache-2.0
"""What is added to a copy of one table of somebody else, as plain data: made by the program, read by its child."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Additions", "SheetAdditions", "read_additions", "write_additions"]


@dataclass(frozen=True)
class SheetAdditions:
    """What one sheet gets: its name ("" in a table of text), the last row of its headings, the texts of each row by
    the key of the added column, and the notes of its cells by name of the cell.
    """

    name: str
    headings_at: int
    rows: Mapping[int, Mapping[str, str]]
    notes: Mapping[str, str]


@dataclass(frozen=True)
class Additions:
    """What the copy of one file gets: the file as the job calls it, the SHA-256 of the bytes that were judged, its
    sheets, and the lines of the sheet of notes (what, text).
    """

    file: str
    sha256: str
    sheets: tuple[SheetAdditions, ...]
    lines: tuple[tuple[str, str], ...]


def _records(given: Additions) -> Iterator[object]:
    yield {"file": given.file, "sha256": given.sha256, "lines": given.lines}
    for sheet in given.sheets:
        yield {"name": sheet.name, "headings_at": sheet.headings_at, "notes": sheet.notes, "rows": len(sheet.rows)}
        yield from ([number, texts] for number, texts in sheet.rows.items())


def write_additions(path: Path, given: Additions) -> None:
    """Put additions down, a row a line, so that they are never whole in one text."""
    with path.open("w", encoding="ascii", newline="\n") as stream:
        stream.writelines(f"{json.dumps(record)}\n" for record in _records(given))


def read_additions(path: Path) -> Additions:
    """The additions that `write_additions` put down."""
    sheets: list[SheetAdditions] = []
    with path.open(encoding="ascii") as stream:
        head = json.loads(next(stream))
        for line in stream:
            told = json.loads(line)
            rows = dict(json.loads(next(stream)) for _ in range(told["rows"]))
            sheets.append(SheetAdditions(told["name"], told["headings_at"], rows, told["notes"]))
    lines = tuple((what, text) for what, text in head["lines"])
    return Additions(head["file"], head["sha256"], tuple(sheets), lines)
