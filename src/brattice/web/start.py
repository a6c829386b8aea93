# SPDX-License-Identifier: Apache-2.0
"""The start page: the jobs that are there, and the place to drop a schedule."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import Response

from brattice.web.office import JobCard
from brattice.web.site import Frame, job_path, see_other, site_of

__all__ = ["StartPage", "router"]

router = APIRouter()


@dataclass(frozen=True)
class StartPage:
    """The jobs that are there."""

    jobs: tuple[JobCard, ...]


@router.get("/")
def start(request: Request) -> Response:
    """The start page; a program that serves one job goes straight to it."""
    site = site_of(request)
    jobs = site.office.jobs()
    if site.office.only_one and jobs:
        desk = site.office.desk(jobs[0].key)
        if desk is not None:
            return see_other(job_path(desk))
    return site.page("start.html", StartPage(jobs), Frame("Start"))
