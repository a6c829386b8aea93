# SPDX-License-Identifier: Apache-2.0
"""The start page: the jobs that are there, and the place to drop a schedule."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from brattice.web.forms import UploadKind, read_form
from brattice.web.intake import ScheduleStep
from brattice.web.office import Desk, JobCard
from brattice.web.site import Frame, MessagePage, job_path, see_other, site_of

__all__ = ["StartPage", "router"]

router = APIRouter()


@dataclass(frozen=True)
class StartPage:
    """The jobs that are there, and where new ones are made."""

    jobs: tuple[JobCard, ...]
    folder: str


@router.get("/")
def start(request: Request) -> Response:
    """The start page; a program that serves one job goes straight to it."""
    site = site_of(request)
    jobs = site.office.jobs()
    if site.office.only_one and jobs:
        desk = site.office.desk(jobs[0].key)
        if desk is not None:
            return see_other(job_path(desk))
    return site.page("start.html", StartPage(jobs, site.office.folder), Frame("Start"))


@router.post("/jobs")
async def begin(request: Request) -> Response:
    """Make a job of a schedule that was dropped."""
    site = site_of(request)
    given = await read_form(request, (UploadKind.XLSX, UploadKind.CSV))
    if site.office.only_one or not given.files:
        text = "Choose a schedule (XLSX or CSV) first." if not given.files else "This program serves one job alone."
        return site.message(MessagePage("No job was made", text), 422)
    (schedule,) = given.files
    name = given.first("name") or schedule.name.rpartition(".")[0]
    desk = await run_in_threadpool(site.office.begin, name, schedule)
    site.tell(desk, f"The job was made in {desk.card.folder}, with {schedule.name}.")
    return see_other(await run_in_threadpool(_next, desk))


def _next(desk: Desk) -> str:
    """Where to go after a drop: to the first schedule of which a person has to say how it is read, else to the job."""
    for card in desk.schedules():
        if card.step is not ScheduleStep.OURS:
            return job_path(desk, "schedules", str(card.number))
    return job_path(desk)
