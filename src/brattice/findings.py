# SPDX-License-Identifier: Apache-2.0
"""How answers are written down: facts with their origin, verdicts, reasons, findings and queries.

Nothing here is a bare true or false. A fact is `Known` with an origin or `Unknown` with what is missing;
an answer is a `Verdict` of four outcomes with the reasons for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Generic, TypeVar

__all__ = [
    "CodeSpec",
    "Fact",
    "Finding",
    "Known",
    "Missing",
    "Origin",
    "Party",
    "Query",
    "Reason",
    "Unknown",
    "Verdict",
    "all_of",
]

T_co = TypeVar("T_co", covariant=True)


class Party(StrEnum):
    """Whom a question goes to; the contract decides, these are the defaults (handbook 5.4)."""

    CLIENT = "client"
    PRINCIPAL_DESIGNER = "principal designer"
    FIRE_ENGINEER = "fire engineer"
    ARCHITECT = "architect"
    SERVICES_DESIGNER = "services designer"
    PRINCIPAL_CONTRACTOR = "principal contractor"
    DUCTWORK_CONTRACTOR = "ductwork contractor"
    DRY_LINER = "dry-liner or builder"
    FIRESTOPPER = "firestopper"
    DAMPER_SUPPLIER = "damper supplier"
    COMMISSIONING = "commissioning"
    BUILDING_CONTROL = "building control"


@dataclass(frozen=True, order=True, slots=True)
class Origin:
    """Where a value comes from: a file and the place in it (sheet and row, key path, GlobalId and property).

    `cells` are the cells of a sheet that `place` names, like "C12"; they say no more than it does and are not compared.
    """

    file: str
    place: str = ""
    cells: tuple[str, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        return f"{self.file}, {self.place}" if self.place else self.file


@dataclass(frozen=True, order=True, slots=True)
class Missing:
    """A fact that is not known: its stable key, what is missing in words, and whom to ask.

    The key names the fact once for the whole job ("wall-type/W3/rating", "penetration/P-0007/seal"), so that
    one answer can settle many penetrations.
    """

    key: str
    text: str
    ask: Party


@dataclass(frozen=True, slots=True)
class Known(Generic[T_co]):
    """A value and where it comes from."""

    value: T_co
    origin: Origin


@dataclass(frozen=True, slots=True)
class Unknown:
    """No value, and which fact is missing."""

    missing: Missing


Fact = Known[T_co] | Unknown


class Verdict(StrEnum):
    """The four outcomes of any check."""

    PASS = "pass"  # noqa: S105 - an outcome, not a password
    FAIL = "fail"
    NOT_APPLICABLE = "not applicable"
    UNKNOWN = "not enough known"


def all_of(verdicts: Iterable[Verdict]) -> Verdict:
    """The verdict of several checks together: one fail fails, else one unknown leaves it unknown.

    Without any check that applied the answer is *not applicable*, never a pass.
    """
    seen = set(verdicts)
    for verdict in (Verdict.FAIL, Verdict.UNKNOWN, Verdict.PASS):
        if verdict in seen:
            return verdict
    return Verdict.NOT_APPLICABLE


@dataclass(frozen=True, order=True, slots=True)
class Reason:
    """Why a check came out as it did: the check's code, what is there, what is needed, the rows that say so.

    `verdict` is the outcome of this one check; `missing` names the facts when it is *not enough known*.
    """

    code: str
    verdict: Verdict
    text: str
    have: str = ""
    need: str = ""
    rows: tuple[str, ...] = ()
    missing: tuple[Missing, ...] = ()
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, order=True, slots=True)
class Finding:
    """One thing to know about a penetration (or, with `subject` a wall type or a file, about the job).

    `open` says that somebody has to do something before the penetration can be right.
    """

    subject: str
    code: str
    open: bool
    text: str
    have: str = ""
    need: str = ""
    rows: tuple[str, ...] = ()
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, order=True, slots=True)
class Query:
    """A question to a party: the missing fact, every penetration it holds up (sorted ids), the checks that ask."""

    missing: Missing
    holds_up: tuple[str, ...]
    checks: tuple[str, ...] = ()


@dataclass(frozen=True, order=True, slots=True)
class CodeSpec:
    """One line of the table of finding codes: the code, what it means, whom it concerns first."""

    code: str
    meaning: str
    ask: Party
