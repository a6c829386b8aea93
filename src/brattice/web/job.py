# SPDX-License-Identifier: Apache-2.0
"""The front page of a job, its sources, and the run of a check."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from brattice.errors import InputError
from brattice.usecases.report_model import Report
from brattice.usecases.states import STATES, StateSpec
from brattice.web.intake import ScheduleStep
from brattice.web.office import Checked, Desk, RunStep, RunView
from brattice.web.site import Frame, checked_of, desk_of, job_path, see_other, site_of

__all__ = ["JobPage", "RunPage", "SourcesPage", "StateCount", "router", "run_page_of"]

router = APIRouter(prefix="/jobs/{job}")

_SECTIONS = ("settle", "kinds", "decisions")


@dataclass(frozen=True)
class StateCount:
    """How many penetrations are in a state, and the register's address with them alone."""

    spec: StateSpec
    mark: Markup
    count: int
    address: str


@dataclass(frozen=True)
class RunPage:
    """A run as the page shows it. `changed` are files newer than what the page says; `ever` says that a check ended."""

    view: RunView
    changed: tuple[str, ...]
    address: str
    goes_on: bool
    ever: bool


@dataclass(frozen=True)
class JobPage:
    """The front page of a job; without a finished check it has the run alone.

    `waiting` are schedules that a person has to settle first: (path, how far it is, address).
    """

    run: RunPage
    report: Report | None
    states: tuple[StateCount, ...]
    open_count: int
    sections: tuple[Markup, ...]
    waiting: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True)
class SourcesPage:
    """What the answers rest on, as in the report."""

    sections: tuple[Markup, ...]


def _states(checked: Checked, register: str) -> tuple[StateCount, ...]:
    counts = dict(checked.report.counts())
    return tuple(
        StateCount(
            spec,
            Markup(checked.marks[spec.mark]),  # noqa: S704 - the report's own mark
            counts[spec.state],
            f"{register}?state={spec.mark}",
        )
        for spec in STATES
    )


def run_page_of(desk: Desk) -> RunPage:
    """The run of a job as a page shows it."""
    view = desk.run()
    goes_on = view.step is RunStep.RUNNING
    return RunPage(view, () if goes_on else desk.changed(), job_path(desk), goes_on, desk.checked() is not None)


def _waiting(desk: Desk, *, look: bool) -> tuple[tuple[str, str, str], ...]:
    try:
        cards = desk.schedules(look=look)
    except InputError:
        return ()  # the check says what is wrong with the job file
    steps = {ScheduleStep.TO_MAP, ScheduleStep.INCOMING}
    return tuple(
        (card.path, str(card.step), job_path(desk, "schedules", str(card.number)))
        for card in cards
        if card.step in steps
    )


@router.get("")
def front(request: Request) -> Response:
    """The front page of a job."""
    site, desk = site_of(request), desk_of(request)
    run, checked = run_page_of(desk), desk.checked()
    waiting = () if run.goes_on else _waiting(desk, look=checked is None)
    if checked is None:
        page = JobPage(run, None, (), 0, (), waiting)
    else:
        states = _states(checked, job_path(desk, "register"))
        page = JobPage(
            run,
            checked.report,
            states,
            sum(item.something_open for item in checked.report.penetrations),
            tuple(Markup(checked.section(name)) for name in _SECTIONS),  # noqa: S704 - made by the report
            waiting,
        )
    frame = Frame(desk.card.name, desk, "", refresh_s=2 if run.goes_on else 0)
    return site.page("job.html", page, frame)


@router.get("/run")
def run(request: Request, after: int = -1) -> Response:
    """How far the run is, for the page that waits for it; when run number `after` has ended, the page loads anew."""
    site, desk = site_of(request), desk_of(request)
    page = run_page_of(desk)
    answer = site.page("run.html", page, Frame("Run", desk))
    if not page.goes_on and after >= 0:
        answer.headers["HX-Refresh"] = "true"
    return answer


@router.post("/check")
def check(request: Request) -> Response:
    """Check the job again; its front page then shows how far the run is."""
    desk = desk_of(request)
    desk.check()
    return see_other(job_path(desk))


@router.get("/sources")
def sources(request: Request) -> HTMLResponse:
    """Cautions, values that nobody confirmed, tested installations, values and files, as in the report."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    names = ("cautions", "unconfirmed", "back")
    page = SourcesPage(tuple(Markup(checked.section(name)) for name in names))  # noqa: S704 - made by the report
    return site.page("sources.html", page, Frame("Sources", desk, "sources"))
