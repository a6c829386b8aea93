# SPDX-License-Identifier: Apache-2.0
"""Reconciliation: the schedule against the models and their dampers, and a schedule against a revision before it."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import Response

from brattice.errors import Fault, InputError
from brattice.usecases.reconciled import CAUTIONS_OF_MATCHING, Alone, Pair, Reconciliation
from brattice.web.forms import read_form
from brattice.web.job import RunPage, run_page_of
from brattice.web.site import Frame, MessagePage, checked_of, desk_of, job_path, see_other, site_of

__all__ = ["ReconcilePage", "router"]

router = APIRouter(prefix="/jobs/{job}")

MOST = 300
"""How many entries of a list are shown; the workbook has all."""


@dataclass(frozen=True)
class ReconcilePage:
    """What can be held against what, the run that may go on, and the last answer with its workbook ("" for none)."""

    run: RunPage
    address: str
    places: str
    earlier: tuple[str, ...]
    result: Reconciliation | None
    differing: tuple[Pair, ...]
    proposed: tuple[Pair, ...]
    alone: tuple[tuple[str, tuple[Alone, ...], int], ...]
    there: frozenset[str]
    workbook: str
    cautions: tuple[str, ...]
    faults: tuple[Fault, ...] = ()
    most: int = MOST


@router.get("/reconcile")
def reconcile(request: Request) -> Response:
    """What can be held against what, and what was found last."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    run, found = run_page_of(desk), desk.reconciled()
    faults: tuple[Fault, ...] = ()
    try:
        earlier = tuple(name for card in desk.schedules(look=False) for name in card.kept)
    except InputError as error:
        earlier, faults = (), error.faults
    result = None if found is None else found.result
    alone: tuple[tuple[str, tuple[Alone, ...], int], ...] = ()
    if result is not None:
        sides = ((result.one, result.only_one), (result.other, result.only_other))
        alone = tuple((name, items[:MOST], len(items)) for name, items in sides)
    page = ReconcilePage(
        run,
        job_path(desk, "reconcile"),
        job_path(desk, "places"),
        earlier,
        result,
        () if result is None else tuple(pair for pair in result.differing if pair.facts)[:MOST],
        () if result is None else result.proposed[:MOST],
        alone,
        frozenset(row.id for row in checked.rows),
        "" if found is None else f"{job_path(desk, 'downloads')}/{found.file}",
        CAUTIONS_OF_MATCHING,
        faults,
    )
    frame = Frame("Reconciliation", desk, "reconcile", refresh_s=2 if run.goes_on else 0)
    return site.page("reconcile.html", page, frame)


@router.post("/reconcile")
async def begin(request: Request) -> Response:
    """Hold the schedule against the models, or against an earlier file; the page then shows how far it is."""
    site, desk = site_of(request), desk_of(request)
    back = job_path(desk, "reconcile")
    before = (await read_form(request)).first("before")
    if before and before not in {name for card in desk.schedules(look=False) for name in card.kept}:
        text = "Choose one of the files that are kept of earlier revisions."
        return site.message(MessagePage("Nothing was compared", text, (), back, "Back"), 422, desk)
    desk.reconcile(before)
    return see_other(back)
