# SPDX-License-Identifier: Apache-2.0
"""Where the penetrations are: a plan a storey where a model gives one, lists by level and place for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse

from brattice.usecases.states import STATES, StateSpec
from brattice.web.office import Checked, Desk, PlanPart, RegisterRow
from brattice.web.register import PAGE_ROWS, by_nature
from brattice.web.site import Frame, checked_of, desk_of, job_path, site_of

__all__ = ["Level", "LevelPage", "ListEntry", "Place", "PlacesPage", "PlanPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

_SPECS = {spec.state: spec for spec in STATES}


@dataclass(frozen=True)
class Level:
    """A level: how many penetrations, at how many something is open, the addresses of its plan and list ("": none)."""

    storey: str
    count: int
    open_count: int
    plan: str
    list: str


@dataclass(frozen=True)
class PlacesPage:
    """All levels, from the lowest by their names' order."""

    levels: tuple[Level, ...]


@dataclass(frozen=True)
class ListEntry:
    """A penetration in a list."""

    id: str
    address: str
    spec: StateSpec
    duct: str
    barrier: str


@dataclass(frozen=True)
class Place:
    """A grid reference, room or zone as the schedule words it ("" where it says none), with its penetrations."""

    words: str
    entries: tuple[ListEntry, ...]


@dataclass(frozen=True)
class LevelPage:
    """The list of one level, so many entries a page; `before` and `after` are addresses ("": none)."""

    level: Level
    levels: tuple[Level, ...]
    places: tuple[Place, ...]
    page: int
    pages: int
    before: str
    after: str


@dataclass(frozen=True)
class PlanPage:
    """One plan."""

    level: Level
    levels: tuple[Level, ...]
    part: PlanPart
    drawing: Markup
    legend: Markup
    states: Markup
    without_place: Markup


def _number(text: str) -> int:
    """A number from an address; 0 for what is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 6 else 0


def _levels(checked: Checked, desk: Desk) -> tuple[Level, ...]:
    plans = {plan.storey: number for number, plan in enumerate(checked.report.plans, start=1)}
    rows: dict[str, list[RegisterRow]] = {storey: [] for storey in plans}
    for row in checked.rows:
        rows.setdefault(row.storey, []).append(row)
    ordered = sorted(rows, key=lambda storey: (by_nature(storey), storey))
    return tuple(
        Level(
            storey,
            len(rows[storey]),
            sum(_SPECS[row.state].open for row in rows[storey]),
            job_path(desk, "plans", str(plans[storey])) if storey in plans else "",
            job_path(desk, "lists", str(number)) if rows[storey] else "",
        )
        for number, storey in enumerate(ordered, start=1)
    )


def _places(rows: Sequence[RegisterRow], desk: Desk) -> tuple[Place, ...]:
    entries = (
        (
            row.words,
            ListEntry(
                row.id,
                job_path(desk, "places", row.id),
                _SPECS[row.state],
                row.duct,
                row.barrier,
            ),
        )
        for row in rows
    )
    return tuple(
        Place(words, tuple(entry for _, entry in group)) for words, group in groupby(entries, key=lambda item: item[0])
    )


@router.get("/plans")
def places(request: Request) -> HTMLResponse:
    """The levels, with the plan and the list of each."""
    site, desk = site_of(request), desk_of(request)
    page = PlacesPage(_levels(checked_of(desk), desk))
    return site.page("places.html", page, Frame("Plans and lists", desk, "plans"))


@router.get("/lists/{number}")
def level_list(request: Request, number: str) -> HTMLResponse:
    """The penetrations of one level, by grid, room or zone."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    levels = _levels(checked, desk)
    wanted = _number(number)
    if not 1 <= wanted <= len(levels):
        raise HTTPException(404)
    level = levels[wanted - 1]
    rows = sorted(
        (row for row in checked.rows if row.storey == level.storey),
        key=lambda row: (not row.words, by_nature(row.words), row.words),
    )
    pages = max(1, -(-len(rows) // PAGE_ROWS))
    at = min(max(1, _number(request.query_params.get("page", "1"))), pages)
    shown = rows[(at - 1) * PAGE_ROWS : at * PAGE_ROWS]
    page = LevelPage(
        level,
        levels,
        _places(shown, desk),
        at,
        pages,
        f"{level.list}?page={at - 1}" if at > 1 else "",
        f"{level.list}?page={at + 1}" if at < pages else "",
    )
    return site.page("list.html", page, Frame(f"List of {level.storey}", desk, "plans"))


@router.get("/plans/{number}")
def plan(request: Request, number: str) -> HTMLResponse:
    """The plan of one storey."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    wanted = _number(number)
    if not 1 <= wanted <= len(checked.report.plans):
        raise HTTPException(404)
    part = checked.plan(wanted)
    levels = _levels(checked, desk)
    storey = checked.report.plans[wanted - 1].storey
    page = PlanPage(
        next(level for level in levels if level.storey == storey),
        levels,
        part,
        Markup(part.drawing),  # noqa: S704 - drawn by the report, as the next three
        Markup(part.legend),  # noqa: S704
        Markup(part.states),  # noqa: S704
        Markup(part.without_place),  # noqa: S704
    )
    return site.page("plan.html", page, Frame(f"Plan of {part.storey}", desk, "plans"))
