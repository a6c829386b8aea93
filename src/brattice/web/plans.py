# SPDX-License-Identifier: Apache-2.0
"""Where the penetrations are: a plan a storey where a model gives one, lists by level and place for all."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse

from brattice.usecases.states import STATES, StateSpec
from brattice.web.office import Checked, PlanPart
from brattice.web.register import by_nature
from brattice.web.site import Frame, checked_of, desk_of, job_path, site_of

__all__ = ["Level", "ListEntry", "Place", "PlacesPage", "PlanLink", "PlanPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

_SPECS = {spec.state: spec for spec in STATES}


@dataclass(frozen=True)
class PlanLink:
    """A storey that has a plan."""

    storey: str
    address: str
    chosen: bool
    count: int


@dataclass(frozen=True)
class ListEntry:
    """A penetration in a list; `is_open` says whether somebody has to do something there."""

    id: str
    address: str
    spec: StateSpec
    mark: Markup
    duct: str
    next_step: str
    is_open: bool


@dataclass(frozen=True)
class Place:
    """A grid reference, room or zone as the schedule words it ("" where it says none), with its penetrations."""

    words: str
    entries: tuple[ListEntry, ...]


@dataclass(frozen=True)
class Level:
    """A level with its places; `plan` is the address of its plan, "" for none."""

    storey: str
    plan: str
    count: int
    open_count: int
    places: tuple[Place, ...]


@dataclass(frozen=True)
class PlacesPage:
    """All levels, and the storeys that have a plan."""

    plans: tuple[PlanLink, ...]
    levels: tuple[Level, ...]


@dataclass(frozen=True)
class PlanPage:
    """One plan."""

    plans: tuple[PlanLink, ...]
    part: PlanPart
    drawing: Markup
    legend: Markup
    states: Markup
    without_place: Markup


def _links(checked: Checked, base: str, chosen: int = 0) -> tuple[PlanLink, ...]:
    return tuple(
        PlanLink(plan.storey, f"{base}/{number}", number == chosen, len(plan.penetrations))
        for number, plan in enumerate(checked.report.plans, start=1)
    )


def _levels(checked: Checked, plans: tuple[PlanLink, ...], places: str) -> tuple[Level, ...]:
    marks = {name: Markup(text) for name, text in checked.marks.items()}  # noqa: S704 - the report's own marks
    levels: dict[str, dict[str, list[ListEntry]]] = {}
    still_open = {item.penetration.id for item in checked.report.penetrations if item.something_open}
    for row in checked.rows:
        spec = _SPECS[row.state]
        entry = ListEntry(
            row.id, f"{places}/{row.id}", spec, marks[spec.mark], row.duct, row.next_step, row.id in still_open
        )
        levels.setdefault(row.storey, {}).setdefault(row.words, []).append(entry)
    with_plan = {link.storey: link.address for link in plans}
    return tuple(
        Level(
            storey,
            with_plan.get(storey, ""),
            sum(len(entries) for entries in found.values()),
            sum(entry.is_open for entries in found.values() for entry in entries),
            tuple(
                Place(words, tuple(found[words]))
                for words in sorted(found, key=lambda text: (not text, by_nature(text), text))
            ),
        )
        for storey, found in sorted(levels.items(), key=lambda item: (by_nature(item[0]), item[0]))
    )


@router.get("/plans")
def places(request: Request) -> HTMLResponse:
    """Lists by level and place, and the storeys that have a plan."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    plans = _links(checked, job_path(desk, "plans"))
    page = PlacesPage(plans, _levels(checked, plans, job_path(desk, "places")))
    return site.page("places.html", page, Frame("Plans and lists", desk, "plans"))


@router.get("/plans/{number}")
def plan(request: Request, number: str) -> HTMLResponse:
    """The plan of one storey."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    wanted = int(number) if number.isascii() and number.isdecimal() and len(number) < 6 else 0
    if not 1 <= wanted <= len(checked.report.plans):
        raise HTTPException(404)
    part = checked.plan(wanted)
    page = PlanPage(
        _links(checked, job_path(desk, "plans"), wanted),
        part,
        *(Markup(text) for text in (part.drawing, part.legend, part.states, part.without_place)),  # noqa: S704 - drawn by the report
    )
    return site.page("plan.html", page, Frame(f"Plan of {part.storey}", desk, "plans"))
