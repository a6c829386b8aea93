# SPDX-License-Identifier: Apache-2.0
"""The office behind the pages: jobs in folders of this machine, checked by the same functions as the commands."""

from __future__ import annotations

import os
import re
import sys
import threading
import tomllib
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType

from brattice.adapters.drawing import sheet_css
from brattice.adapters.files import only_run_in
from brattice.adapters.issued import ISSUED
from brattice.adapters.project import JOB_FILE, create_job, job_template
from brattice.adapters.queries import QUERIES_FILE, party_file, value_expected
from brattice.adapters.report import HATCHES, Fragments, Links, fragment_css
from brattice.adapters.text import one_line, visible_text
from brattice.adapters.tracker import TRACKER_FILE
from brattice.cli import desk_files
from brattice.cli.answers import take_answers_of
from brattice.cli.clock import stamp_of, the_date
from brattice.cli.desk_issues import DeskIssues
from brattice.cli.detailed import DetailedJob, detail_job
from brattice.cli.exits import plain
from brattice.cli.intake import INCOMING, Intake
from brattice.cli.new import edition_on
from brattice.cli.print_ import FOLDER as PRINT_FOLDER
from brattice.cli.print_ import printed
from brattice.cli.queries import FOLDER as QUERIES_FOLDER
from brattice.cli.queries import keep_asked, write_queries
from brattice.cli.reconcile import FOLDER as RECONCILE_FOLDER
from brattice.cli.reconcile import reconcile_of, write_reconciled
from brattice.cli.run import judge_folder, keep_judged
from brattice.cli.schedule_files import FileMaker, flat_name, lines_before, makers_as_they_stand
from brattice.cli.tracker import FOLDER as TRACKER_FOLDER
from brattice.cli.tracker import TrackerTaken, record_typed, take_tracker
from brattice.cli.what_if import what_if_of
from brattice.errors import BratticeError, Fault, InputError, UsageError
from brattice.findings import Party
from brattice.orders.compare import compare_orders
from brattice.usecases.changes import CHANGE_FIELDS, WALL_TYPE_CHANGE_FIELDS, Reach
from brattice.usecases.issuing import DocumentKind, Issue
from brattice.usecases.ordering import head_of_schedules
from brattice.usecases.report_model import Report
from brattice.usecases.stages_taken import Typed
from brattice.usecases.states import STATES
from brattice.usecases.tracking import retired_rows, tracker_rows
from brattice.web.forms import Upload
from brattice.web.intake import MappingGiven, MappingView, ScheduleCard, ScheduleStep
from brattice.web.office import (
    ChangeForms,
    FileCard,
    IssuedView,
    JobCard,
    NextIssueView,
    PlanPart,
    QueryList,
    ReconciledView,
    RegisterRow,
    RunKind,
    RunStep,
    RunView,
    ScheduleFile,
    TrackerView,
    WhatIfView,
)

__all__ = ["CheckedReport", "FolderDesk", "LocalOffice", "file_name", "job_key"]

_LINES_KEPT = 400
_LEFT_OUT = frozenset({"out", QUERIES_FOLDER, TRACKER_FOLDER, PRINT_FOLDER, RECONCILE_FOLDER, INCOMING, ISSUED})
_JOIN_S = 3.0
_NAME_MOST = 120
_KEY_MOST = 60
_DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))})
"""Names that Windows keeps for devices, whatever stands behind a dot."""

Stamp = tuple[int, int]


def job_key(name: str) -> str:
    """The word that stands for a job in addresses and names its folder: small letters, digits and hyphens."""
    plain_letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    key = re.sub(r"[^a-z0-9]+", "-", plain_letters.lower()).strip("-")[:_KEY_MOST].strip("-") or "job"
    return f"{key}-job" if key in _DEVICES else key


def file_name(upload: Upload) -> str:
    """The name under which a file that was sent is kept: made of its own, and never a path."""
    return f"{job_key(upload.name.rpartition('.')[0])}.{upload.kind}"


class CheckedReport:
    """A finished check: the report, its register in short, and its parts as they are asked for."""

    def __init__(self, number: int, report: Report, key: str, detailed: DetailedJob) -> None:
        base = f"/jobs/{key}"
        self._number = number
        self._detailed = detailed
        self._report = report
        links = Links(f"{base}/places/", f"{base}/sources#r", f"{base}#decisions", f"{base}/sources#values")
        self._fragments = Fragments(report, links)
        self._rows = tuple(
            RegisterRow(
                line.id,
                line.spec.state,
                line.storey,
                line.words,
                line.barrier,
                line.duct,
                line.damper,
                line.decision,
                line.next_step,
                line.unconfirmed,
                line.asked,
                line.find,
            )
            for line in self._fragments.lines()
        )
        self._marks = MappingProxyType({spec.mark: self._fragments.mark(spec.mark) for spec in STATES})

    @property
    def number(self) -> int:
        """The number of the run."""
        return self._number

    @property
    def report(self) -> Report:
        """The report model that all outputs are made from."""
        return self._report

    @property
    def rows(self) -> tuple[RegisterRow, ...]:
        """Every penetration, in the order of the report."""
        return self._rows

    @property
    def detailed(self) -> DetailedJob:
        """Its installations in numbers."""
        return self._detailed

    @property
    def marks(self) -> Mapping[str, str]:
        """The mark of each state as markup."""
        return self._marks

    def section(self, name: str) -> str:
        """A section of the report as markup."""
        return self._fragments.section(name)

    def penetration(self, penetration_id: str) -> str:
        """Everything about one penetration as markup. Raises `KeyError`."""
        return self._fragments.penetration(penetration_id)

    def plan(self, number: int) -> PlanPart:
        """The plan of a storey, counted from 1."""
        drawn = self._fragments.plan(number)
        return PlanPart(drawn.storey, drawn.drawing, drawn.legend, drawn.states, drawn.without_place)


class _Ended(BaseException):
    """The program ends while a check goes on: what is begun is undone."""


@dataclass
class _Done:
    """What the last finished check left behind: its answer, and its files as they stood when it began."""

    checked: CheckedReport
    stamps: Mapping[str, Stamp]


def _stamp(path: Path) -> Stamp | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns


def _stamps(folder: Path) -> dict[str, Stamp]:
    """Size and time of every file of a job but its outputs, by its path in the job."""
    found: dict[str, Stamp] = {}
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        stamp = _stamp(path) if path.is_file() and inside.parts[0] not in _LEFT_OUT else None
        if stamp is not None and not any(part.startswith(".") for part in inside.parts):
            found[inside.as_posix()] = stamp
    return found


def _changed(folder: Path, inputs: Iterable[str], stamps: Mapping[str, Stamp]) -> tuple[str, ...]:
    """The files that changed since they had these stamps, of those that were read and in their folders, sorted."""
    used = {*inputs, QUERIES_FILE, TRACKER_FILE}
    evidence = tuple({name.partition("/")[0] + "/" for name in used if "/" in name})
    now = _stamps(folder)
    came = {name for name in now.keys() - stamps.keys() if name.startswith(evidence)}
    went = {name for name in used & (stamps.keys() | {TRACKER_FILE}) if now.get(name) != stamps.get(name)}
    return tuple(sorted(came | went))


class FolderDesk:
    """A job in a folder. One check of it goes on at a time, in a thread of its own; pages are read meanwhile."""

    def __init__(self, folder: Path, key: str, *, workers: int = 2, as_of: date | None = None) -> None:
        self.folder = folder
        self._key = key
        self._workers = workers
        self._as_of = as_of
        self._lock = threading.Lock()
        self._lines: list[str] = []
        self._run = RunView(0, RunStep.NONE)
        self._done: _Done | None = None
        self._thread: threading.Thread | None = None
        self._ends = False
        self._intake: Intake | None = None
        self._asked: WhatIfView | None = None
        self._tracked: TrackerView | None = None
        self._reconciled: ReconciledView | None = None
        self._issues = DeskIssues(folder, workers=workers, as_of=as_of)

    @property
    def card(self) -> JobCard:
        """What it is called: by the job file where that can be read, else by its folder."""
        name = self.folder.resolve().name
        try:
            told = tomllib.loads((self.folder / JOB_FILE).read_text("utf-8")).get("name")
            name = told if isinstance(told, str) and told.strip() else name
        except (OSError, ValueError, RecursionError):
            pass
        return JobCard(self._key, one_line(name, _NAME_MOST), str(self.folder))

    def run(self) -> RunView:
        """The last run, or the one that is going on."""
        with self._lock:
            return replace(self._run, lines=tuple(self._lines))

    def check(self) -> RunView:
        """Begin a check in the background, unless a run goes on."""
        return self._begin(RunKind.CHECK, self._checked)

    def print_pages(self) -> RunView:
        """Begin to print the report as PDF in the background, unless a run goes on."""
        return self._begin(RunKind.PRINT, self._printed)

    def ask_what_if(self, changes: Sequence[str]) -> RunView:
        """Begin to judge with changes in the background, unless a run goes on; nothing is written."""
        asked = tuple(changes)

        def judged(number: int) -> None:
            del number
            with self._lock:
                self._asked = WhatIfView(asked, None)
            result = what_if_of(self.folder, asked, self._say, self._workers, self._as_of)
            with self._lock:
                self._asked = WhatIfView(asked, result)

        return self._begin(RunKind.WHAT_IF, judged)

    def what_if(self) -> WhatIfView | None:
        """The last question what if that was asked."""
        with self._lock:
            return self._asked

    def reconcile(self, before: str = "") -> RunView:
        """Begin to hold the schedules against the models, or one against a kept file, unless a run goes on."""

        def compared(number: int) -> None:
            del number
            with only_run_in(self.folder):
                given = self._in().earlier(before) if before else None
                if given is None:
                    result = reconcile_of(self.folder, self._say, workers=self._workers, as_of=self._as_of)
                else:
                    result = reconcile_of(
                        self.folder, self._say, before=given.file, mapping=given.mapping, schedule=given.schedule
                    )
                path = write_reconciled(result, self.folder / RECONCILE_FOLDER)
            with self._lock:
                self._reconciled = ReconciledView(result, f"{RECONCILE_FOLDER}/{path.name}")

        return self._begin(RunKind.RECONCILE, compared)

    def reconciled(self) -> ReconciledView | None:
        """What the last reconciliation found."""
        with self._lock:
            return self._reconciled

    def _schedule_makers(self, kinds: Iterable[DocumentKind], last: Issue | None = None) -> Iterator[FileMaker]:
        checked = self.checked()
        if checked is None:
            return
        schedules, before = checked.detailed.schedules, lines_before(last)
        if before is not None:
            schedules = replace(schedules, changes=compare_orders(schedules.orders, before), is_first=False)
        head, stamp = head_of_schedules(checked.report), stamp_of(checked.report.as_of)
        for kind in kinds:
            yield from makers_as_they_stand(kind, schedules, head, stamp)

    def schedule_files(self, kind: DocumentKind) -> tuple[ScheduleFile, ...]:
        """The files of a schedule as the last check left it, not issued."""
        return tuple(ScheduleFile(flat_name(item.name), item.words) for item in self._schedule_makers((kind,)))

    def schedule_file(self, name: str) -> bytes:
        """One of them, made now; the orders say what changed since the last issue."""
        past = self._issues.read()
        for item in self._schedule_makers(DocumentKind, past[-1].issue if past else None):
            if flat_name(item.name) == name:
                return item.make()
        raise KeyError(name)

    def issues(self) -> tuple[IssuedView, ...]:
        """What was issued, the oldest first, held against its manifests."""
        return self._issues.views()

    def issued_file(self, number: str, name: str) -> bytes | None:
        """A file that an issue's manifest lists, just as it was issued."""
        return self._issues.file(number, name)

    def look_at_next(self) -> RunView:
        """Begin to compare every document with the last issue in the background, unless a run goes on."""

        def looked(number: int) -> None:
            del number
            with only_run_in(self.folder):
                self._issues.look(self._say, _stamps(self.folder))

        return self._begin(RunKind.LOOK, looked)

    def next_issue(self) -> NextIssueView | None:
        """What the next issue would hold, as it was looked at last."""
        found = self._issues.looked()
        if found is None:
            return None
        return NextIssueView(found.plan, found.mark, _changed(self.folder, found.inputs, found.stamps))

    def issue_now(self, mark: str) -> RunView:
        """Begin to make the next issue, if it is the one of this mark, unless a run goes on."""

        def issued(number: int) -> None:
            del number
            with only_run_in(self.folder):
                self._issues.make(mark, self._say, _stamps(self.folder))

        return self._begin(RunKind.ISSUE, issued)

    def _begin(self, kind: RunKind, work: Callable[[int], _Done | None]) -> RunView:
        with self._lock:
            if self._run.step is not RunStep.RUNNING and not self._ends:
                number = self._run.number + 1
                self._run, self._lines = RunView(number, RunStep.RUNNING, kind=kind), []
                self._thread = threading.Thread(target=self._go, args=(number, kind, work), name=kind, daemon=True)
                self._thread.start()
        return self.run()

    def wait(self) -> None:
        """Wait until no check goes on."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def close(self) -> None:
        """End a check that goes on, at its next step; nothing half-written is left."""
        self._ends = True
        thread = self._thread
        if thread is not None:
            thread.join(_JOIN_S)

    def checked(self) -> CheckedReport | None:
        """What the last finished check said."""
        with self._lock:
            return self._done.checked if self._done is not None else None

    def changed(self) -> tuple[str, ...]:
        """The files that changed since the last finished check began, sorted."""
        with self._lock:
            done = self._done
        if done is None:
            return ()
        return _changed(self.folder, {item.path for item in done.checked.report.inputs}, done.stamps)

    def take(self, report: Report, detailed: DetailedJob) -> None:
        """Take a report that was made and detailed elsewhere as that of a finished check."""
        with self._lock:
            number = self._run.number + 1
            self._done = _Done(CheckedReport(number, report, self._key, detailed), _stamps(self.folder))
            self._run = RunView(number, RunStep.DONE)

    def _say(self, text: str) -> None:
        if self._ends and threading.current_thread() is self._thread:
            raise _Ended
        with self._lock:
            self._lines = [*self._lines, visible_text(text)][-_LINES_KEPT:]

    def _checked(self, number: int) -> _Done:
        """The check itself."""
        with only_run_in(self.folder):
            stamps = _stamps(self.folder)
            judged = judge_folder(self.folder, self._say, workers=self._workers, as_of=self._as_of)
            detailed = detail_job(judged, self._say)
            self._say("writing the outputs")
            notes = keep_judged(self.folder, judged)
            if (listed := _stamp(self.folder / QUERIES_FILE)) is not None:
                stamps[QUERIES_FILE] = listed
        for note in notes:
            self._say(note)
        self._say("making the pages")
        return _Done(CheckedReport(number, judged.report, self._key, detailed), stamps)

    def _printed(self, number: int) -> None:
        del number
        with only_run_in(self.folder):
            printed(self.folder, self.folder / PRINT_FOLDER, self._say, workers=self._workers, as_of=self._as_of)

    def _go(self, number: int, kind: RunKind, work: Callable[[int], _Done | None]) -> None:
        """A run; however it ends, its view says so."""
        stopped = RunView(number, RunStep.STOPPED, kind=kind)
        try:
            done = work(number)
        except InputError as error:
            self._end(replace(stopped, faults=error.faults))
        except UsageError as error:
            self._end(replace(stopped, told=str(error)))
        except BratticeError as error:
            self._end(replace(stopped, own_fault=str(error)))
        except _Ended:
            self._end(stopped)
        except Exception as error:
            told = f"{type(error).__name__}: {error}"
            print(f"brattice: our own fault: {plain(told)}", file=sys.stderr)
            self._end(replace(stopped, own_fault=told))
        else:
            self._end(RunView(number, RunStep.DONE, kind=kind), done)

    def _end(self, run: RunView, done: _Done | None = None) -> None:
        with self._lock:
            self._run = run
            self._done = done or self._done

    def _report(self) -> Report:
        """The report of the last finished check. Raises `KeyError` before the first."""
        checked = self.checked()
        if checked is None:
            raise KeyError("no check")
        return checked.report

    def _in(self) -> Intake:
        if self._intake is None:
            self._intake = Intake(self.folder, lambda: the_date(None) if self._as_of is None else self._as_of)
        return self._intake

    def schedules(self, *, look: bool = True) -> tuple[ScheduleCard, ...]:
        """The schedules of the job, sorted by path."""
        return self._in().cards(look=look)

    def put_schedule(self, number: int, upload: Upload) -> str:
        """Let the next revision of a schedule wait for its mapping."""
        return self._in().put(number, upload)

    def drop_schedule(self, number: int) -> None:
        """Put the waiting file of a schedule aside; it is kept."""
        self._in().drop(number)

    def mapping(self, number: int, given: MappingGiven | None = None) -> MappingView:
        """A schedule with its mapping."""
        return self._in().view(number, given)

    def save_mapping(self, number: int, given: MappingGiven) -> MappingView | None:
        """Keep a mapping and take the waiting file; None when all is kept, else what is wrong."""
        return self._in().save(number, given)

    def take_schedule(self, number: int) -> None:
        """Take a waiting file that needs no mapping."""
        self._in().take_own(number)

    def queries(self) -> QueryList:
        """The list of queries as its file stands."""
        return desk_files.query_list(self.folder, self._report())

    def ask_details(self) -> int:
        """Ask what the sheets of the last check leave to be settled. Raises `KeyError` before the first."""
        checked = self.checked()
        if checked is None:
            raise KeyError("no check yet")
        with only_run_in(self.folder):
            return keep_asked(self.folder, checked.detailed.asked, checked.report.as_of)

    def party_sheet(self, party: Party) -> Path:
        """Write the workbooks of all parties and give that of one."""
        write_queries(self.folder, as_of=self._as_of)
        path = self.folder / QUERIES_FOLDER / party_file(party)
        if not path.is_file():
            raise InputError(Fault(path.name, "", f"no query for the {party}", "a party that is asked something"))
        return path

    def take_answers(self, upload: Upload) -> tuple[str, ...]:
        """Take the answers of a workbook that came back."""
        with desk_files.on_disk(upload) as path:
            given = take_answers_of(self.folder, [(path, upload.name)], as_of=self._as_of)
        count = f"{given.count} {'answer' if given.count == 1 else 'answers'} taken from {upload.name}"
        return (f"{count} on {given.on.isoformat()}.", *given.notes)

    def tracker(self) -> TrackerView:
        """The tracker against the last check."""
        with self._lock:
            done = self._done
        if done is None:
            raise KeyError("no check")
        mark = self._tracker_mark()
        held = self._tracked
        if held is None or held.mark != mark:
            report = desk_files.retracked(self.folder, done.checked.report)
            held = self._tracked = TrackerView(mark, report.as_of, tracker_rows(report), retired_rows(report))
        return held

    def _tracker_mark(self) -> str:
        """What changes with each check and each change of the record."""
        checked, stamp = self.checked(), _stamp(self.folder / TRACKER_FILE)
        return f"{checked.number if checked is not None else 0}-{'-'.join(map(str, stamp or ()))}"

    def type_stages(self, typed: Iterable[Typed], mark: str) -> tuple[str, ...]:
        """Take what was typed on a page that showed the tracker of this mark."""
        if mark != self._tracker_mark():
            what = "a page that shows what stood there before somebody else typed, or before the last check"
            raise InputError(Fault("the page", "", what, "the page as it is now: open it again and type there"))
        return _told(record_typed(self.folder, typed, as_of=self._as_of), "the page")

    def tracker_sheet(self) -> Path:
        """Write the tracker's workbook as the page shows it."""
        with only_run_in(self.folder):
            report = desk_files.retracked(self.folder, self._report())
            return desk_files.save_tracker_sheet(self.folder, report)

    def take_tracker(self, upload: Upload) -> tuple[str, ...]:
        """Take what was typed in a workbook that came back."""
        with desk_files.on_disk(upload) as path:
            taken = take_tracker(self.folder, [path], as_of=self._as_of, called=upload.name)
        return _told(taken, upload.name)

    def files(self) -> tuple[FileCard, ...]:
        """Every file that can be downloaded."""
        return desk_files.file_cards(self.folder)

    def file(self, name: str) -> Path | None:
        """The file of a name in `files`."""
        return desk_files.file_of(self.folder, name)

    def change_forms(self) -> ChangeForms:
        """What can be changed."""
        return ChangeForms(
            tuple((name, value_expected(Reach.PENETRATIONS, name)) for name in CHANGE_FIELDS),
            tuple((name, value_expected(Reach.WALL_TYPE, name)) for name in WALL_TYPE_CHANGE_FIELDS),
        )


def _told(done: TrackerTaken, source: str) -> tuple[str, ...]:
    taken = done.taken
    count = f"{len(taken.events)} {'entry' if len(taken.events) == 1 else 'entries'} taken from {source}"
    return (f"{count} on {done.received.isoformat()}.", *taken.asks, *taken.notes)


class LocalOffice:
    """One job, or all jobs below one folder."""

    def __init__(
        self, *, job: Path | None = None, folder: Path | None = None, workers: int = 2, as_of: date | None = None
    ) -> None:
        self._folder = folder
        self._workers = workers
        self._as_of = as_of
        self._lock = threading.Lock()
        self._desks: dict[str, FolderDesk] = {}
        if job is not None:
            self._add(job)

    def _add(self, folder: Path) -> FolderDesk:
        key = plain_key = job_key(folder.resolve().name)
        count = 1
        while key in self._desks:
            count += 1
            key = f"{plain_key}-{count}"
        desk = FolderDesk(folder, key, workers=self._workers, as_of=self._as_of)
        self._desks[key] = desk
        return desk

    @property
    def folder(self) -> str:
        """Where new jobs are made; "" where the program was started for one job."""
        return "" if self._folder is None else str(self._folder)

    @property
    def only_one(self) -> bool:
        """Whether the program was started for one job."""
        return self._folder is None

    def _look(self) -> None:
        """Take in the jobs that came into the folder, and let go those that went."""
        if self._folder is None:
            return
        try:
            there = sorted(path for path in self._folder.iterdir() if (path / JOB_FILE).is_file())
        except OSError:
            there = []
        with self._lock:
            for key, desk in list(self._desks.items()):
                if desk.folder not in there and desk.run().step is not RunStep.RUNNING:
                    del self._desks[key]
            known = {desk.folder for desk in self._desks.values()}
            for path in there:
                if path not in known:
                    self._add(path)

    def jobs(self) -> tuple[JobCard, ...]:
        """Every job, sorted by name."""
        self._look()
        cards = [desk.card for desk in list(self._desks.values())]
        return tuple(sorted(cards, key=lambda card: (card.name.casefold(), card.key)))

    def desk(self, key: str) -> FolderDesk | None:
        """The job that a word in an address stands for."""
        if key not in self._desks:
            self._look()
        return self._desks.get(key)

    def begin(self, name: str, schedule: Upload) -> FolderDesk:
        """Make a new job of this name with a schedule, in a folder of its own; nothing is overwritten."""
        if self._folder is None:
            raise InputError(Fault("job", "", "a program that serves one job", "`brattice serve` without a job"))
        on = the_date(None) if self._as_of is None else self._as_of
        title = one_line(name, _NAME_MOST) or "Job"
        inside = f"schedule/{file_name(schedule)}"
        text = job_template(title, edition_on(on) or "to be named", on, (inside,), ())
        with self._lock:
            target = self._free(job_key(title))
            create_job(target, text, {inside: schedule.data})
            desk = self._add(target)
        # A sheet of our own form says by itself how it is read; any other is mapped by a person first.
        if all(card.step is ScheduleStep.OURS for card in desk.schedules()):
            desk.check()
        return desk

    def _free(self, key: str) -> Path:
        """A folder that is not there yet: the name, else the name with the first number that is free."""
        assert self._folder is not None
        count, target = 1, self._folder / key
        while os.path.lexists(target):
            count += 1
            target = self._folder / f"{key}-{count}"
        return target

    def styles(self) -> str:
        """The styles that markup of the report and of sheets needs."""
        return f"{fragment_css()}\n{sheet_css('.sheets')}"

    def hatches(self) -> str:
        """What drawings refer to, as markup."""
        return HATCHES

    def shown(self, text: str) -> str:
        """A text from outside with every character shown that can't be seen or would act."""
        return visible_text(text)

    def close(self) -> None:
        """End what goes on."""
        for desk in self._desks.values():
            desk.close()
