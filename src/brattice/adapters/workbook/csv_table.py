# SPDX-License-Identifier: Apache-2.0
"""A CSV file as a workbook of one sheet: encodings and delimiters as spreadsheet programs write them, bounded."""

from __future__ import annotations

import csv
import hashlib
import io
from pathlib import Path

from brattice.adapters.workbook.model import Cell, CellKind, Limits, Sheet, Workbook, cell_name
from brattice.adapters.workbook.parse import read_bytes
from brattice.errors import Fault, InputError

__all__ = ["decoded", "delimiter_of", "read_csv_table"]

_DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab"}
_EXPECTED = "a CSV file in UTF-8"


def read_csv_table(path: str | Path, *, file: str = "", limits: Limits | None = None) -> Workbook:
    """The table in a CSV file as a `Workbook` of one sheet named "", every cell text (`typed` is False).

    UTF-8 (with or without byte order mark) or UTF-16 with its mark; else Windows-1252, which is noted. The delimiter
    (comma, semicolon, tab) is the one that the heading line holds most of, outside quotes. `file` is what faults call
    the file. Raises `InputError`.
    """
    limits = limits or Limits()
    name = file or str(path)
    data = read_bytes(path, name, limits)
    if not data:
        raise InputError(Fault(name, "", "an empty file", _EXPECTED))
    text, notes = decoded(data, name)
    delimiter = delimiter_of(text)
    cells: list[Cell] = []
    faults: list[Fault] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for number, fields in enumerate(reader, start=1):
            if number > limits.rows:
                raise InputError(Fault(name, "", f"more than {limits.rows:,} rows", "fewer rows"))
            for column, field in enumerate(fields, start=1):
                if not field:
                    continue
                place = f"row {number}, cell {cell_name(number, column)}"
                if column > limits.columns:
                    faults.append(
                        Fault(name, place, "a filled cell far outside", f"at most {limits.columns:,} columns")
                    )
                elif len(field) > limits.text_length:
                    found = f"a text of {len(field):,} characters"
                    faults.append(Fault(name, place, found, f"at most {limits.text_length:,}"))
                else:
                    cells.append(Cell(number, column, CellKind.TEXT, field))
            if len(cells) > limits.cells:
                raise InputError(Fault(name, "", f"more than {limits.cells:,} cells", "a smaller table"))
    except csv.Error as error:
        raise InputError(Fault(name, f"line {reader.line_num}", f"a broken CSV line ({error})", _EXPECTED)) from error
    if faults:
        raise InputError(faults)
    notes.append(f"fields separated by {_DELIMITERS[delimiter]}s")
    return Workbook(name, hashlib.sha256(data).hexdigest(), (Sheet("", tuple(cells)),), typed=False, notes=tuple(notes))


def decoded(data: bytes, name: str) -> tuple[str, list[str]]:
    """The text of a file and what is to be said about its encoding. Raises `InputError`."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return data.decode("utf-16"), ["read as UTF-16"]
        except UnicodeDecodeError as error:
            raise InputError(Fault(name, f"byte {error.start}", "broken UTF-16 text", _EXPECTED)) from error
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise InputError(Fault(name, "", "a workbook under a CSV name", "a CSV file, or a name that ends in .xlsx"))
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        if b"\0" in data:
            raise InputError(Fault(name, f"byte {error.start}", "bytes that are no text", _EXPECTED)) from error
    try:
        return data.decode("cp1252"), ["not UTF-8: read as Windows-1252; look at letters beyond A to Z"]
    except UnicodeDecodeError as error:
        raise InputError(Fault(name, f"byte {error.start}", "text in an unknown encoding", _EXPECTED)) from error


def delimiter_of(text: str) -> str:
    """The delimiter that the first line with anything in it holds most of outside quotes; a comma where none is."""
    line = next((line for line in text.splitlines() if line.strip()), "")
    outside = "".join(part for index, part in enumerate(line.split('"')) if index % 2 == 0)
    return max(_DELIMITERS, key=lambda mark: (outside.count(mark), mark == ","))
