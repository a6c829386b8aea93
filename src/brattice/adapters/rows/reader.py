# SPDX-License-Identifier: Apache-2.0
"""Reads rows from TOML: strict, every fault at once, with file and row id.

A file holds one `[source]` table that its rows share (standard, edition, jurisdiction) and `[[row]]` tables.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from datetime import date
from importlib import resources
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from brattice.errors import Fault, InputError
from brattice.rows import Clause, Confirmation, HowKnown, Row, RowBook, RowValue

__all__ = ["load_rows", "read_rows", "shipped_book"]


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class _Source(_Strict):
    standard: str
    edition: str = ""
    jurisdiction: str = ""


class _Row(_Strict):
    id: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.\-]*$")]
    version: int = 1
    value: bool | int | float | str | list[int] | list[float] | list[str]
    unit: str
    paraphrase: Annotated[str, Field(min_length=8)]
    how_known: Literal["read", "secondary", "memory"]
    confidence: Literal["", "high", "medium", "low"] = ""
    clause: str = ""
    standard: str = ""
    edition: str | None = None
    jurisdiction: str | None = None
    in_force_from: date | None = None
    in_force_to: date | None = None
    handbook: list[str] = []


class _File(_Strict):
    source: _Source
    row: list[_Row]


def _frozen(value: bool | int | float | str | list[int] | list[float] | list[str]) -> RowValue:
    if not isinstance(value, list):
        return value
    whole = tuple(item for item in value if isinstance(item, int))
    words = tuple(item for item in value if isinstance(item, str))
    if len(whole) == len(value):
        return whole
    if len(words) == len(value):
        return words
    return tuple(float(item) for item in value)


def read_rows(text: str, name: str) -> tuple[Row, ...]:
    """The rows of one TOML text; `name` is what faults call the file. Raises `InputError` with all faults."""
    try:
        parsed = _File.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise InputError(Fault(name, "", str(error), "a TOML file")) from error
    except ValidationError as error:
        raise InputError(
            Fault(name, ".".join(str(part) for part in item["loc"]), repr(item["input"])[:60], item["msg"])
            for item in error.errors()
        ) from error
    faults: list[Fault] = []
    rows: list[Row] = []
    for item in parsed.row:
        if (item.how_known == "memory") != (item.confidence != ""):
            faults.append(
                Fault(name, item.id, f"confidence {item.confidence!r}", "a confidence with memory, only there")
            )
        if item.how_known == "memory" and item.confidence == "low":
            faults.append(Fault(name, item.id, "confidence 'low'", "no low-confidence row ships as a hard rule"))
        rows.append(
            Row(
                id=item.id,
                version=item.version,
                value=_frozen(item.value),
                unit=item.unit,
                clause=Clause(
                    item.standard or parsed.source.standard,
                    item.clause,
                    parsed.source.edition if item.edition is None else item.edition,
                ),
                how_known=HowKnown(item.how_known),
                paraphrase=item.paraphrase,
                confidence=item.confidence,
                jurisdiction=parsed.source.jurisdiction if item.jurisdiction is None else item.jurisdiction,
                in_force_from=item.in_force_from,
                in_force_to=item.in_force_to,
                handbook=tuple(item.handbook),
            )
        )
    seen: set[tuple[str, int, str]] = set()
    for row in rows:
        key = (row.id, row.version, row.jurisdiction)
        if key in seen:
            faults.append(Fault(name, row.id, "the same id and version twice", "an id once for each version"))
        seen.add(key)
    if faults:
        raise InputError(faults)
    return tuple(rows)


def load_rows() -> tuple[Row, ...]:
    """All rows that ship with the program, in the order of file names."""
    folder = resources.files("brattice.adapters.rows").joinpath("data")
    files = sorted((item for item in folder.iterdir() if item.name.endswith(".toml")), key=lambda item: item.name)
    return tuple(row for item in files for row in read_rows(item.read_text("utf-8"), item.name))


def shipped_book(confirmations: Iterable[Confirmation] = ()) -> RowBook:
    """The book of shipped rows, with a project's confirmations."""
    return RowBook.of(load_rows(), confirmations)
