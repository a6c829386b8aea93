# SPDX-License-Identifier: Apache-2.0
"""The strict schema of a row file: one `[source]`, `[[row]]` tables, `[[rule]]` tables."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from brattice.rows import RowValue

__all__ = ["ConditionTable", "FileTable", "RowTable", "RuleTable", "SourceTable", "TomlValue", "frozen_value"]

TomlValue = bool | int | float | str | list[int] | list[float] | list[str]


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class SourceTable(_Strict):
    """What the rows of a file share."""

    standard: str
    edition: str = ""
    jurisdiction: str = ""


class _Passport(_Strict):
    id: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.\-]*$")]
    version: int = 1
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


class RowTable(_Passport):
    """A value with its passport."""

    value: TomlValue
    unit: str
    advice: bool = False


class ConditionTable(_Strict):
    """A fact, what is asked of it, and the value."""

    fact: str
    op: Literal["==", "in", ">=", "<=", "between", "subset", "class_satisfies"]
    value: TomlValue
    unit: str = ""


class RuleTable(_Passport):
    """A rule with its passport: where it applies, what it asks, and what it means when that is not met."""

    check: Annotated[str, Field(pattern=r"^[a-z0-9\-]+$")]
    applies_to: list[ConditionTable] = []
    asks: ConditionTable
    not_met: Literal["fails", "ask", "note"] = "fails"
    question: str = ""
    ask: str = "fire engineer"


class FileTable(_Strict):
    """A whole file."""

    source: SourceTable
    row: list[RowTable] = []
    rule: list[RuleTable] = []


def frozen_value(value: TomlValue) -> RowValue:
    """A value as rows hold it: lists become tuples of one kind."""
    if not isinstance(value, list):
        return value
    whole = tuple(item for item in value if isinstance(item, int))
    words = tuple(item for item in value if isinstance(item, str))
    if len(whole) == len(value):
        return whole
    if len(words) == len(value):
        return words
    return tuple(float(item) for item in value)
