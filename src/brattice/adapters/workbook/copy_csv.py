# SPDX-License-Identifier: Apache-2.0
"""A copy of somebody's CSV file with columns added; every line of theirs stays as it is, ours come after it."""

from __future__ import annotations

import codecs
import csv
import hashlib
import io
from collections.abc import Mapping
from pathlib import Path

from brattice.adapters.text import csv_text
from brattice.adapters.workbook.added import ADDED, HEADINGS_WITHIN, column_key
from brattice.adapters.workbook.additions import Additions
from brattice.adapters.workbook.csv_table import decoded, delimiter_of
from brattice.adapters.workbook.model import Limits
from brattice.adapters.workbook.parse import read_bytes
from brattice.errors import Fault, InputError

__all__ = ["csv_with"]


def csv_with(path: str | Path, given: Additions, limits: Limits) -> tuple[bytes, list[str]]:
    """The bytes of the CSV file at a path with columns added, and what has to be said about the copy.

    Delimiter, encoding and line ends are theirs. A character of ours that their encoding lacks is written as "?".
    Raises `InputError` for a file that is not the one that was judged.
    """
    data = read_bytes(path, given.file, limits)
    if hashlib.sha256(data).hexdigest() != given.sha256:
        raise InputError(
            Fault(given.file, "", "another file than the one that was judged", "no change while a check runs")
        )
    text, _ = decoded(data, given.file)
    mark = delimiter_of(text)
    records = _records(text, mark)
    ours = {
        column
        for _, fields in records[:HEADINGS_WITHIN]
        for column, said in enumerate(fields)
        if column_key(said) is not None
    }
    width = max((len(fields) - len([at for at in ours if at < len(fields)]) for _, fields in records), default=0)
    (sheet,) = given.sheets
    notes: list[str] = []
    out: list[str] = []
    encoding, bom = _encoding(data)
    for number, (line, fields) in enumerate(records, start=1):
        if number == sheet.headings_at:
            texts: Mapping[str, str] = {column.key: column.heading for column in ADDED}
        else:
            texts = sheet.rows.get(number, {})
        end = line[len(line.rstrip("\r\n")) :]
        own = line[: len(line) - len(end)]
        if any(at < len(fields) for at in ours):
            kept = [said for at, said in enumerate(fields) if at not in ours]
            own, count = _line(kept, mark), len(kept)
        else:
            count = len(fields)
        if not texts:
            out.append(own + end)
            continue
        more = _line([csv_text(texts.get(column.key, "").replace("\n", "; ")) for column in ADDED], mark)
        shown = more.encode(encoding, "replace").decode(encoding)
        if shown != more and not notes:
            notes.append("characters that the encoding of the file lacks were written as '?' in the added columns")
        out.append(own + mark * (width - count + (1 if own or count else 0)) + shown + (end or _ending(text)))
    return bom + "".join(out).encode(encoding), notes


def _line(fields: list[str], mark: str) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=mark, lineterminator="").writerow(fields)
    return out.getvalue()


def _records(text: str, mark: str) -> list[tuple[str, list[str]]]:
    """Each record as it stands in the file, its line end with it, and its fields."""
    lines = io.StringIO(text, newline="").readlines()
    reader = csv.reader(iter(lines), delimiter=mark, strict=True)
    found: list[tuple[str, list[str]]] = []
    at = 0
    for fields in reader:
        found.append(("".join(lines[at : reader.line_num]), fields))
        at = reader.line_num
    return found


def _ending(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _encoding(data: bytes) -> tuple[str, bytes]:
    """The encoding of a file that was read, and the mark that stands before its text."""
    for bom, name in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ):
        if data.startswith(bom):
            return name, bom
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252", b""
    return "utf-8", b""
