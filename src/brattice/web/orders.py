# SPDX-License-Identifier: Apache-2.0
"""What is ordered, formed, wired and submitted, as it stands after the last check; nothing of it is issued here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, zip_longest
from typing import TypeVar

from fastapi import APIRouter, Request
from starlette.responses import Response

from brattice.orders.builders_work import BUILDERS_FIELDS, BuildersWorkRow, OpeningState
from brattice.orders.cause_effect import CAUSE_FIELDS, CauseEffectRow, PointTotal
from brattice.orders.orders import ORDER_FIELDS, Held, OrderLine, OrderTotal
from brattice.orders.submittal import Submittal
from brattice.orders.too_near import SHIFT_ADVICE, TOO_NEAR_FIELDS, TooNearGroup
from brattice.usecases.issuing import DocumentKind
from brattice.web.paging import Part, page_asked, part_of
from brattice.web.register import by_nature
from brattice.web.schedule_files import ScheduleFiles, files_of
from brattice.web.site import Frame, NavLink, checked_of, desk_of, job_path, site_of
from brattice.web.sketches import FileLink

__all__ = [
    "SCHEDULES",
    "BuildersPage",
    "CausePage",
    "LineGroup",
    "OrdersPage",
    "SubmittalsPage",
    "TooNearPage",
    "router",
]

router = APIRouter(prefix="/jobs/{job}")

SCHEDULES: tuple[NavLink, ...] = (
    NavLink("orders", "Orders"),
    NavLink("builders-work", "Builders\u2019 work"),
    NavLink("too-near", "Too near"),
    NavLink("cause-and-effect", "Cause and effect"),
    NavLink("submittals", "Technical submittals"),
)
"""The pages that stand together under one link of a job."""

_HEADS = frozenset({"maker", "product", "size", "phase"})
_T = TypeVar("_T")


def _part(request: Request, rows: Sequence[_T], address: str) -> Part[_T]:
    return part_of(rows, page_asked(request.query_params), lambda page: f"{address}?page={page}")


@dataclass(frozen=True)
class LineGroup:
    """The lines of an order to one maker in one phase, and how many dampers they are."""

    maker: str
    phase: str
    quantity: int
    lines: tuple[OrderLine, ...]


@dataclass(frozen=True)
class OrdersPage:
    """The order schedule: lines by maker and phase, totals, what is held, and how many are held up by whom.

    `fields` are the keys and headings of what a line says beside maker, phase, product and size; `long` are the keys
    of texts that need a row of their own.
    """

    groups: tuple[LineGroup, ...]
    fields: tuple[tuple[str, str], ...]
    totals: tuple[OrderTotal, ...]
    quantity: int
    held: Part[Held]
    waits: tuple[tuple[str, int], ...]
    places: str
    files: ScheduleFiles
    links: tuple[NavLink, ...] = SCHEDULES
    long: frozenset[str] = frozenset({"submittal", "comments", "override"})


@dataclass(frozen=True)
class BuildersPage:
    """The builders' work schedule and what has no row in it; how many groups are too near, and where they stand."""

    part: Part[BuildersWorkRow]
    counts: tuple[tuple[str, int], ...]
    fields: tuple[tuple[str, str], ...]
    without: tuple[str, ...]
    places: str
    marks: Mapping[OpeningState, str]
    near: int
    near_address: str
    files: ScheduleFiles
    links: tuple[NavLink, ...] = SCHEDULES


@dataclass(frozen=True)
class TooNearPage:
    """What is too near, in groups; how many groups stand how, and what has to be known of every shift."""

    part: Part[TooNearGroup]
    counts: tuple[tuple[str, int], ...]
    places: str
    headings: Mapping[str, str]
    advice: tuple[str, ...] = SHIFT_ADVICE
    links: tuple[NavLink, ...] = SCHEDULES


@dataclass(frozen=True)
class CausePage:
    """Cause and effect, the totals of its points by trade, and what has no damper."""

    part: Part[CauseEffectRow]
    totals: tuple[PointTotal, ...]
    fields: tuple[tuple[str, str], ...]
    without: tuple[str, ...]
    places: str
    files: ScheduleFiles
    links: tuple[NavLink, ...] = SCHEDULES


@dataclass(frozen=True)
class SubmittalsPage:
    """Every technical submittal with its file (None where none is handed out), and the penetrations in none."""

    items: tuple[tuple[Submittal, FileLink | None], ...]
    without: tuple[str, ...]
    places: str
    files: ScheduleFiles
    links: tuple[NavLink, ...] = SCHEDULES


_MARKS = {
    OpeningState.FORM: "form",
    OpeningState.FORM_AGAIN: "again",
    OpeningState.AS_BUILT: "built",
    OpeningState.HELD: "held",
}


def _groups(lines: Sequence[OrderLine]) -> tuple[LineGroup, ...]:
    def key(line: OrderLine) -> tuple[str, str]:
        return line.texts["maker"], line.texts["phase"]

    ordered = sorted(lines, key=lambda line: (*map(by_nature, key(line)), line.number))
    groups = ((*words, tuple(found)) for words, found in groupby(ordered, key))
    return tuple(LineGroup(maker, phase, sum(line.quantity for line in found), found) for maker, phase, found in groups)


def _waits(held: Sequence[Held]) -> tuple[tuple[str, int], ...]:
    """How many held dampers wait for each party."""
    parties = [{reason.ask_text for reason in item.reasons if reason.ask_text} for item in held]
    names = sorted({name for found in parties for name in found})
    return tuple((name, sum(name in found for found in parties)) for name in names)


@router.get("/orders")
def orders(request: Request) -> Response:
    """The order schedule."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.orders
    page = OrdersPage(
        _groups(found.lines),
        tuple(field for field in ORDER_FIELDS if field[0] not in _HEADS),
        found.totals,
        found.quantity,
        _part(request, found.held, job_path(desk, "orders")),
        _waits(found.held),
        job_path(desk, "places"),
        files_of(desk, DocumentKind.ORDERS),
    )
    return site.page("orders.html", page, Frame("Orders", desk, "orders"))


@router.get("/builders-work")
def builders_work(request: Request) -> Response:
    """The builders' work schedule."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.builders_work
    part = _part(request, found.rows, job_path(desk, "builders-work"))
    places = job_path(desk, "places")
    near = len(found.too_near)
    page = BuildersPage(
        part,
        found.counts,
        BUILDERS_FIELDS,
        found.without_damper,
        places,
        _MARKS,
        near,
        job_path(desk, "too-near"),
        files_of(desk, DocumentKind.BUILDERS_WORK),
    )
    return site.page("builders_work.html", page, Frame("Builders\u2019 work", desk, "orders"))


@router.get("/too-near")
def too_near(request: Request) -> Response:
    """What is nearer than it was tested, and the smallest shift that cures it."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.builders_work.too_near
    part = _part(request, found, job_path(desk, "too-near"))
    counts = tuple(sorted(Counter(str(group.standing) for group in found).items()))
    page = TooNearPage(part, counts, job_path(desk, "places"), dict(TOO_NEAR_FIELDS))
    return site.page("too_near.html", page, Frame("Too near", desk, "orders"))


@router.get("/cause-and-effect")
def cause_and_effect(request: Request) -> Response:
    """Cause and effect."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.cause_effect
    part = _part(request, found.rows, job_path(desk, "cause-and-effect"))
    files = files_of(desk, DocumentKind.CAUSE_EFFECT)
    page = CausePage(part, found.totals, CAUSE_FIELDS, found.without_damper, job_path(desk, "places"), files)
    return site.page("cause_effect.html", page, Frame("Cause and effect", desk, "orders"))


@router.get("/submittals")
def submittals(request: Request) -> Response:
    """The technical submittals."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.submittals
    files = files_of(desk, DocumentKind.SUBMITTAL)
    items = tuple(zip_longest(found.items, files.now[: len(found.items)]))
    page = SubmittalsPage(items, found.without, job_path(desk, "places"), files)
    return site.page("submittals.html", page, Frame("Technical submittals", desk, "orders"))
