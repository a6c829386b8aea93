# SPDX-License-Identifier: Apache-2.0
"""The port of the pages: what they ask of the program, with typed answers. It is implemented where commands are.

    Office            the jobs that are served
    └── Desk          one job: its runs, its last finished check
        └── Checked   what one finished check said; it never changes, so a page can hold on to it

Markup that comes through the port is made by the templates of the report (it is safe as it stands, its links lead to
these pages); every other text is plain and is escaped by the page that prints it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from brattice.errors import Fault
from brattice.usecases.report_model import Report
from brattice.usecases.states import PenetrationState
from brattice.web.forms import Upload

__all__ = ["Checked", "Desk", "JobCard", "Office", "PlanPart", "RegisterRow", "RunStep", "RunView"]


class RunStep(StrEnum):
    """How far a run of a check is."""

    NONE = "not checked yet"
    RUNNING = "being checked"
    DONE = "checked"
    STOPPED = "stopped"


@dataclass(frozen=True)
class RunView:
    """A run of a check as it stands: the lines of its progress, and what stopped it.

    `number` counts the runs since the program was started (0: none yet). `faults` are those of files, all at once;
    `own_fault` says what broke in the program itself.
    """

    number: int
    step: RunStep
    lines: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    own_fault: str = ""


@dataclass(frozen=True)
class JobCard:
    """A job by the word that stands for it in addresses, its name, and its folder as people know it."""

    key: str
    name: str
    folder: str


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """One penetration as a row of the register; the texts are those of the report's list.

    `asked` are the parties that a query of it goes to. `find` holds the words by which it is found, without capitals.
    """

    id: str
    state: PenetrationState
    storey: str
    words: str
    barrier: str
    duct: str
    damper: str
    decision: str
    next_step: str
    unconfirmed: bool
    asked: tuple[str, ...]
    find: str


@dataclass(frozen=True)
class PlanPart:
    """The plan of a storey as markup: the drawing, its legends, and the penetrations that have no place on it."""

    storey: str
    drawing: str
    legend: str
    states: str
    without_place: str


class Checked(Protocol):
    """What one finished check said. `number` is that of its run; `marks` are markup by the mark of a state."""

    @property
    def number(self) -> int:
        """The number of the run."""
        ...

    @property
    def report(self) -> Report:
        """The report model that all outputs are made from."""
        ...

    @property
    def rows(self) -> tuple[RegisterRow, ...]:
        """Every penetration, in the order of the report."""
        ...

    @property
    def marks(self) -> Mapping[str, str]:
        """The mark of each state as markup."""
        ...

    def section(self, name: str) -> str:
        """A section of the report as markup: cautions, glance, settle, kinds, decisions, unconfirmed, queries, back."""
        ...

    def penetration(self, penetration_id: str) -> str:
        """Everything about one penetration as markup, its heading of the first rank. Raises `KeyError`."""
        ...

    def plan(self, number: int) -> PlanPart:
        """The plan of a storey, counted from 1 in the order of the report."""
        ...


class Desk(Protocol):
    """One job."""

    @property
    def card(self) -> JobCard:
        """What it is called."""
        ...

    def run(self) -> RunView:
        """The last run, or the one that is going on."""
        ...

    def check(self) -> RunView:
        """Begin a check in the background, unless one is going on; gives the run that goes on."""
        ...

    def checked(self) -> Checked | None:
        """What the last finished check said; None before the first."""
        ...

    def changed(self) -> tuple[str, ...]:
        """The files of the job that changed since the last finished check began, sorted."""
        ...


class Office(Protocol):
    """The jobs that are served, and what all pages share."""

    @property
    def only_one(self) -> bool:
        """Whether the program was started for one job: then there is no page to begin another."""
        ...

    def jobs(self) -> tuple[JobCard, ...]:
        """Every job, sorted by name."""
        ...

    @property
    def folder(self) -> str:
        """Where new jobs are made, as people know it; "" where none can be made."""
        ...

    def begin(self, name: str, schedule: Upload) -> Desk:
        """Make a new job of this name with a schedule, in a folder of its own. Raises `InputError`.

        Nothing is ever overwritten: a name that is taken gets a number.
        """
        ...

    def desk(self, key: str) -> Desk | None:
        """The job that the word in an address stands for, where there is one."""
        ...

    def styles(self) -> str:
        """The styles that markup of the report needs."""
        ...

    def hatches(self) -> str:
        """What drawings refer to, as markup; it stands once in a page that shows one."""
        ...

    def shown(self, text: str) -> str:
        """A text from outside with every character shown that can't be seen or would act."""
        ...
