# SPDX-License-Identifier: Apache-2.0
"""The port of the pages: what they ask of the program, with typed answers. It is implemented where commands are.

    Office            the jobs that are served
    └── Desk          one job: its runs, its last finished check, what goes in and what comes out
        └── Checked   what one finished check said; it never changes, so a page can hold on to it
            └── Detailed   its installations in numbers and steps, and what is ordered, formed and wired of them

Markup that comes through the port is made by the templates of the report (it is safe as it stands, its links lead to
these pages); every other text is plain and is escaped by the page that prints it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Protocol

from brattice.building.queries import QueryEvent, QueryRecord
from brattice.details.detail import InstallationDetail
from brattice.errors import Fault
from brattice.findings import Party
from brattice.usecases.choose_opening import OpeningDraft
from brattice.usecases.issuing import DocumentKind, Issue, IssuePlan
from brattice.usecases.ordering import Schedules
from brattice.usecases.reconciled import Reconciliation
from brattice.usecases.report_model import Report
from brattice.usecases.stages_taken import Typed
from brattice.usecases.states import PenetrationState
from brattice.usecases.tracking import TrackerRow
from brattice.usecases.what_if import WhatIf
from brattice.web.forms import Upload
from brattice.web.intake import MappingGiven, MappingView, ScheduleCard

__all__ = [
    "ChangeForms",
    "Checked",
    "Desk",
    "Detailed",
    "FileCard",
    "IssuedView",
    "JobCard",
    "NextIssueView",
    "Office",
    "PlanPart",
    "QueryList",
    "ReconciledView",
    "RegisterRow",
    "RowPassport",
    "RunKind",
    "RunStep",
    "RunView",
    "ScheduleFile",
    "SketchKind",
    "SketchView",
    "TrackerView",
    "WhatIfView",
]


class RunStep(StrEnum):
    """How far a run of a check is."""

    NONE = "not checked yet"
    RUNNING = "being checked"
    DONE = "checked"
    STOPPED = "stopped"


class RunKind(StrEnum):
    """What a run does, as pages name it."""

    CHECK = "check"
    PRINT = "printing"
    WHAT_IF = "what-if"
    RECONCILE = "reconciliation"
    LOOK = "look at the next issue"
    ISSUE = "making of an issue"


@dataclass(frozen=True)
class RunView:
    """A run as it stands: what it does, the lines of its progress, and what stopped it.

    `number` counts the runs since the program was started (0: none yet). `faults` are those of files, all at once;
    `own_fault` says what broke in the program itself, `told` what was asked wrongly.
    """

    number: int
    step: RunStep
    lines: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    own_fault: str = ""
    kind: RunKind = RunKind.CHECK
    told: str = ""


@dataclass(frozen=True)
class QueryList:
    """The job's list of queries on a date, by number, each with all that ever happened to it."""

    on: date
    records: tuple[QueryRecord, ...]
    events: Mapping[str, tuple[QueryEvent, ...]]


@dataclass(frozen=True)
class TrackerView:
    """The tracker as its record stands now, held against the judgments of the last check.

    `mark` is another when either is another: what is typed on a page belongs to what that page showed.
    """

    mark: str
    on: date
    rows: tuple[TrackerRow, ...]
    retired: tuple[TrackerRow, ...]


@dataclass(frozen=True)
class FileCard:
    """A file that can be downloaded: its name with the folder ("out/register.xlsx"), what it is, its size [bytes]."""

    name: str
    words: str
    size: int


@dataclass(frozen=True)
class ScheduleFile:
    """A file of a schedule as it stands, made when it is asked for: its name, and what it is."""

    name: str
    words: str


@dataclass(frozen=True)
class IssuedView:
    """A numbered issue: its documents, the files that its manifest lists (by names inside it), the manifest's hash."""

    issue: Issue
    files: tuple[FileCard, ...]
    manifest_sha256: str


@dataclass(frozen=True)
class NextIssueView:
    """What the next issue would hold as it was looked at last, and the mark that stands for just that.

    `changed` are files that changed since: what would be issued may be something else now.
    """

    plan: IssuePlan
    mark: str
    changed: tuple[str, ...]


@dataclass(frozen=True)
class WhatIfView:
    """The last question what if: the changes as they were written, and the answer; None where it stopped."""

    changes: tuple[str, ...]
    result: WhatIf | None


@dataclass(frozen=True)
class ReconciledView:
    """What was held against what last, and the name of its workbook among the files of the job."""

    result: Reconciliation
    file: str


@dataclass(frozen=True)
class ChangeForms:
    """What can be changed in a what-if, as (name, what may stand there): at penetrations, in wall types' rows."""

    at_penetrations: tuple[tuple[str, str], ...]
    in_wall_types: tuple[tuple[str, str], ...]


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


@dataclass(frozen=True)
class RowPassport:
    """A value that a figure rests on, in words: its row's id, value with unit, clause, how it is known, what it says.

    All but the id are "" where no row of that id is loaded.
    """

    id: str
    value: str = ""
    clause: str = ""
    how_known: str = ""
    says: str = ""


class SketchKind(StrEnum):
    """The kinds of files that a sheet can be had as; the value is the ending of their names."""

    PDF = "pdf"
    SVG = "svg"
    DXF = "dxf"


@dataclass(frozen=True)
class SketchView:
    """The sheets of an installation as markup, each an `svg`, and the hatches that they refer to (once in a page)."""

    sheets: tuple[str, ...]
    hatches: str


class Detailed(Protocol):
    """The installations of one finished check, detailed once, and the schedules that are made from them."""

    @property
    def schedules(self) -> Schedules:
        """Orders, builders' work, submittals, cause and effect, as they stand: nothing of it is issued."""
        ...

    def detail(self, penetration_id: str) -> InstallationDetail:
        """The installation of a penetration. Raises `KeyError`."""
        ...

    def passport(self, row_id: str) -> RowPassport:
        """The value of a row that a figure names."""
        ...

    def opening_draft(self, penetration_id: str = "") -> OpeningDraft:
        """Numbers to choose an opening by, of a penetration or ("") in general. Raises `KeyError`."""
        ...

    def sketch(self, penetration_id: str, paper: str) -> SketchView:
        """The sheets of an installation on "A3" or "A4". They are not issued, and say so.

        Raises `KeyError`, and `InputError` where it is not drawn.
        """
        ...

    def sketch_file(self, penetration_id: str, kind: SketchKind, paper: str) -> bytes:
        """The sheets of an installation as a file, all of them as PDF, else the drawing alone; raises as `sketch`."""
        ...


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
    def detailed(self) -> Detailed:
        """Its installations in numbers."""
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

    def schedules(self, *, look: bool = True) -> tuple[ScheduleCard, ...]:
        """The schedules of the job, sorted by path. Raises `InputError`.

        Without a look into the files (which may take its time), one that has no mapping is taken for one of our own.
        """
        ...

    def put_schedule(self, number: int, upload: Upload) -> str:
        """Let the next revision of a schedule wait for its mapping; gives the schedule's path. Raises `InputError`."""
        ...

    def drop_schedule(self, number: int) -> None:
        """Put the waiting file of a schedule aside; it is kept. Raises `InputError`."""
        ...

    def mapping(self, number: int, given: MappingGiven | None = None) -> MappingView:
        """A schedule with its mapping. Raises `KeyError` where there is none, `InputError` where it can't be read."""
        ...

    def save_mapping(self, number: int, given: MappingGiven) -> MappingView | None:
        """Keep a mapping and take the waiting file; None when all is kept, else what is wrong. Raises `InputError`."""
        ...

    def take_schedule(self, number: int) -> None:
        """Take a waiting file that needs no mapping. Raises `InputError`."""
        ...

    def queries(self) -> QueryList:
        """The list of queries as its file stands; empty before the first check. Raises `InputError`."""
        ...

    def ask_details(self) -> int:
        """Ask what the sheets of the last check leave to be settled; how many of these queries are open then.

        Raises `InputError`, `KeyError` before the first check.
        """
        ...

    def party_sheet(self, party: Party) -> Path:
        """Write the workbooks of all parties, as the command does, and give that of one. Raises `InputError`."""
        ...

    def take_answers(self, upload: Upload) -> tuple[str, ...]:
        """Take the answers of a workbook that came back; gives what there is to say. Raises `InputError`."""
        ...

    def tracker(self) -> TrackerView:
        """The tracker against the last check. Raises `InputError`, `KeyError` before the first check."""
        ...

    def type_stages(self, typed: Iterable[Typed], mark: str) -> tuple[str, ...]:
        """Take what was typed on a page that showed the tracker of this mark; gives notes. Raises `InputError`."""
        ...

    def tracker_sheet(self) -> Path:
        """Write the tracker's workbook as the page shows it. Raises `InputError`, `KeyError` before the first check."""
        ...

    def take_tracker(self, upload: Upload) -> tuple[str, ...]:
        """Take what was typed in a workbook that came back; gives notes. Raises `InputError`."""
        ...

    def files(self) -> tuple[FileCard, ...]:
        """Every file that can be downloaded, by name."""
        ...

    def file(self, name: str) -> Path | None:
        """The file of a name in `files`; None for every other name."""
        ...

    def print_pages(self) -> RunView:
        """Begin to print the report as PDF in the background, unless a run goes on."""
        ...

    def ask_what_if(self, changes: Sequence[str]) -> RunView:
        """Begin to judge with changes in the background, unless a run goes on; nothing is written."""
        ...

    def what_if(self) -> WhatIfView | None:
        """The last question what if that was asked; None before the first."""
        ...

    def reconcile(self, before: str = "") -> RunView:
        """Begin to hold the schedules against the models, or one against a kept file, unless a run goes on."""
        ...

    def reconciled(self) -> ReconciledView | None:
        """What the last reconciliation found; None before the first."""
        ...

    def schedule_files(self, kind: DocumentKind) -> tuple[ScheduleFile, ...]:
        """The files of a schedule as the last check left it, not issued; none before the first check."""
        ...

    def schedule_file(self, name: str) -> bytes:
        """One of them, made now and kept nowhere. Raises `InputError`, `KeyError` for every other name."""
        ...

    def issues(self) -> tuple[IssuedView, ...]:
        """What was issued, the oldest first, held against its manifests. Raises `InputError`."""
        ...

    def issued_file(self, number: str, name: str) -> bytes | None:
        """A file that an issue's manifest lists, just as it was issued; None for all else. Raises `InputError`."""
        ...

    def look_at_next(self) -> RunView:
        """Begin to compare every document with the last issue in the background, unless a run goes on."""
        ...

    def next_issue(self) -> NextIssueView | None:
        """What the next issue would hold, as it was looked at last; None before, and after an issue was made."""
        ...

    def issue_now(self, mark: str) -> RunView:
        """Begin to make the next issue, if it is the one of this mark, unless a run goes on."""
        ...

    def change_forms(self) -> ChangeForms:
        """What can be changed."""
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
