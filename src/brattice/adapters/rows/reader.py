# SPDX-License-Identifier: Apache-2.0
"""Reads rows from TOML: strict, every fault at once, with file and row id.

A file holds one `[source]` table that its rows share (standard, edition, jurisdiction), `[[row]]` tables and
`[[rule]]` tables; a rule is a row that asks something.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from importlib import resources

from pydantic import ValidationError

from brattice.adapters.rows.rules import rule_faults, rule_of
from brattice.adapters.rows.schema import FileTable, RowTable, frozen_value
from brattice.errors import Fault, InputError
from brattice.rows import Clause, Confirmation, HowKnown, Row, RowBook, Rule

__all__ = ["load_rows", "read_rows", "shipped_book"]


def _row_of(table: RowTable, file: FileTable) -> Row:
    return Row(
        id=table.id,
        version=table.version,
        value=frozen_value(table.value),
        unit=table.unit,
        clause=Clause(
            table.standard or file.source.standard,
            table.clause,
            file.source.edition if table.edition is None else table.edition,
        ),
        how_known=HowKnown(table.how_known),
        paraphrase=table.paraphrase,
        confidence=table.confidence,
        jurisdiction=file.source.jurisdiction if table.jurisdiction is None else table.jurisdiction,
        in_force_from=table.in_force_from,
        in_force_to=table.in_force_to,
        handbook=tuple(table.handbook),
        advice=table.advice,
    )


def _passport_faults(rows: Iterable[Row], name: str) -> list[Fault]:
    faults: list[Fault] = []
    seen: set[tuple[str, int, str]] = set()
    for row in rows:
        if (row.how_known is HowKnown.MEMORY) != (row.confidence != ""):
            faults.append(Fault(name, row.id, f"confidence {row.confidence!r}", "a confidence with memory, only there"))
        if row.how_known is HowKnown.MEMORY and row.confidence == "low" and not row.advice:
            expected = "no low-confidence row ships as a hard rule; `advice = true` where it can only ask or add"
            faults.append(Fault(name, row.id, "confidence 'low'", expected))
        key = (row.id, row.version, row.jurisdiction)
        if key in seen:
            faults.append(Fault(name, row.id, "the same id and version twice", "an id once for each version"))
        seen.add(key)
    return faults


def read_rows(text: str, name: str) -> tuple[Row, ...]:
    """The rows and rules of one TOML text; `name` is what faults call the file.

    Raises `InputError` with all faults.
    """
    try:
        parsed = FileTable.model_validate(tomllib.loads(text))
    except ValidationError as error:
        raise InputError(
            Fault(name, ".".join(str(part) for part in item["loc"]), repr(item["input"])[:60], item["msg"])
            for item in error.errors()
        ) from error
    except ValueError as error:  # TOMLDecodeError, and what Python says of a number of thousands of digits
        raise InputError(Fault(name, "", str(error), "a TOML file")) from error
    rules: list[Rule] = [rule_of(table, parsed) for table in parsed.rule]
    rows: list[Row] = [*(_row_of(table, parsed) for table in parsed.row), *rules]
    faults = _passport_faults(rows, name)
    for rule in rules:
        faults.extend(rule_faults(rule, name))
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
