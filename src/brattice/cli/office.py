# SPDX-License-Identifier: Apache-2.0
"""The office behind the pages: jobs in folders of this machine, checked by the same functions as the commands."""

from __future__ import annotations

import os
import re
import sys
import threading
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import MappingProxyType

from brattice.adapters.files import only_run_in
from brattice.adapters.project import JOB_FILE, create_job, job_template
from brattice.adapters.queries import QUERIES_FILE
from brattice.adapters.report import HATCHES, Fragments, Links, fragment_css
from brattice.adapters.text import one_line, visible_text
from brattice.cli.clock import the_date
from brattice.cli.exits import plain
from brattice.cli.new import edition_on
from brattice.cli.run import judge_folder, keep_judged
from brattice.errors import BratticeError, Fault, InputError
from brattice.usecases.report_model import Report
from brattice.usecases.states import STATES
from brattice.web.forms import Upload
from brattice.web.office import JobCard, PlanPart, RegisterRow, RunStep, RunView

__all__ = ["CheckedReport", "FolderDesk", "LocalOffice", "file_name", "job_key"]

_LINES_KEPT = 400
_LEFT_OUT = frozenset({"out", "queries"})
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

    def __init__(self, number: int, report: Report, key: str) -> None:
        base = f"/jobs/{key}"
        self._number = number
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
            run = self._run
            return RunView(run.number, run.step, tuple(self._lines), run.faults, run.own_fault)

    def check(self) -> RunView:
        """Begin a check in the background, unless one is going on."""
        with self._lock:
            if self._run.step is not RunStep.RUNNING and not self._ends:
                number = self._run.number + 1
                self._run, self._lines = RunView(number, RunStep.RUNNING), []
                self._thread = threading.Thread(target=self._checked, args=(number,), name="check", daemon=True)
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
        used = {item.path for item in done.checked.report.inputs} | {QUERIES_FILE}
        evidence = tuple({name.partition("/")[0] + "/" for name in used if "/" in name})
        now = _stamps(self.folder)
        came = {name for name in now.keys() - done.stamps.keys() if name.startswith(evidence)}
        went = {name for name in used & done.stamps.keys() if now.get(name) != done.stamps[name]}
        return tuple(sorted(came | went))

    def take(self, report: Report) -> None:
        """Take a report that was made elsewhere as that of a finished check."""
        with self._lock:
            number = self._run.number + 1
            self._done = _Done(CheckedReport(number, report, self._key), _stamps(self.folder))
            self._run = RunView(number, RunStep.DONE)

    def _say(self, text: str) -> None:
        if self._ends and threading.current_thread() is self._thread:
            raise _Ended
        with self._lock:
            self._lines = [*self._lines, visible_text(text)][-_LINES_KEPT:]

    def _checked(self, number: int) -> None:
        """The check itself; however it ends, the run says so."""
        try:
            with only_run_in(self.folder):
                stamps = _stamps(self.folder)
                judged = judge_folder(self.folder, self._say, workers=self._workers, as_of=self._as_of)
                self._say("writing the outputs")
                notes = keep_judged(self.folder, judged)
                if (listed := _stamp(self.folder / QUERIES_FILE)) is not None:
                    stamps[QUERIES_FILE] = listed
            for note in notes:
                self._say(note)
            self._say("making the pages")
            done = _Done(CheckedReport(number, judged.report, self._key), stamps)
        except InputError as error:
            self._end(RunView(number, RunStep.STOPPED, faults=error.faults))
        except BratticeError as error:
            self._end(RunView(number, RunStep.STOPPED, own_fault=str(error)))
        except _Ended:
            self._end(RunView(number, RunStep.STOPPED))
        except Exception as error:
            told = f"{type(error).__name__}: {error}"
            print(f"brattice: our own fault: {plain(told)}", file=sys.stderr)
            self._end(RunView(number, RunStep.STOPPED, own_fault=told))
        else:
            self._end(RunView(number, RunStep.DONE), done)

    def _end(self, run: RunView, done: _Done | None = None) -> None:
        with self._lock:
            self._run = run
            self._done = done or self._done


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
            return self._add(target)

    def _free(self, key: str) -> Path:
        """A folder that is not there yet: the name, else the name with the first number that is free."""
        assert self._folder is not None
        count, target = 1, self._folder / key
        while os.path.lexists(target):
            count += 1
            target = self._folder / f"{key}-{count}"
        return target

    def styles(self) -> str:
        """The styles that markup of the report needs."""
        return fragment_css()

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
