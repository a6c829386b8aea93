# SPDX-License-Identifier: Apache-2.0
"""What is ordered, formed, wired and submitted, as it stands after the last check; nothing of it is issued here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Generic, TypeVar

from fastapi import APIRouter, Request
from starlette.responses import Response

from brattice.orders.builders_work import BUILDERS_FIELDS, BuildersWorkRow, OpeningState
from brattice.orders.cause_effect import CAUSE_FIELDS, CauseEffectRow, PointTotal
from brattice.orders.orders import ORDER_FIELDS, Held, OrderLine, OrderTotal
from brattice.orders.submittal import Submittal
from brattice.web.register import by_nature
from brattice.web.site import Frame, NavLink, checked_of, desk_of, job_path, site_of

__all__ = ["SCHEDULES", "BuildersPage", "CausePage", "LineGroup", "OrdersPage", "Part", "SubmittalsPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

SCHEDULES: tuple[NavLink, ...] = (
    NavLink("orders", "Orders"),
    NavLink("builders-work", "Builders\u2019 work"),
    NavLink("cause-and-effect", "Cause and effect"),
    NavLink("submittals", "Technical submittals"),
)
"""The pages that stand together under one link of a job."""

PART_ROWS = 100
"""How many rows a page shows at once."""

_MOST_PAGE = 7
_HEADS = frozenset({"maker", "product", "size", "phase"})
_T = TypeVar("_T")


@dataclass(frozen=True)
class Part(Generic[_T]):
    """A part of many rows: those shown, how many there are, which page of how many, addresses before and after."""

    rows: tuple[_T, ...]
    total: int
    page: int
    pages: int
    before: str
    after: str


def part_of(request: Request, rows: Sequence[_T], address: str) -> Part[_T]:
    """The part of many rows that an address asks for; a page that is not there is the last one."""
    asked = request.query_params.get("page", "1")
    number = int(asked) if asked.isascii() and asked.isdecimal() and len(asked) < _MOST_PAGE else 1
    pages = max(1, -(-len(rows) // PART_ROWS))
    page = min(max(number, 1), pages)
    first = (page - 1) * PART_ROWS
    return Part(
        tuple(rows[first : first + PART_ROWS]),
        len(rows),
        page,
        pages,
        f"{address}?page={page - 1}" if page > 1 else "",
        f"{address}?page={page + 1}" if page < pages else "",
    )


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
    links: tuple[NavLink, ...] = SCHEDULES
    long: frozenset[str] = frozenset({"submittal", "comments", "override"})


@dataclass(frozen=True)
class BuildersPage:
    """The builders' work schedule and what has no row in it."""

    part: Part[BuildersWorkRow]
    counts: tuple[tuple[str, int], ...]
    fields: tuple[tuple[str, str], ...]
    without: tuple[str, ...]
    places: str
    marks: Mapping[OpeningState, str]
    links: tuple[NavLink, ...] = SCHEDULES


@dataclass(frozen=True)
class CausePage:
    """Cause and effect, the totals of its points by trade, and what has no damper."""

    part: Part[CauseEffectRow]
    totals: tuple[PointTotal, ...]
    fields: tuple[tuple[str, str], ...]
    without: tuple[str, ...]
    places: str
    links: tuple[NavLink, ...] = SCHEDULES


@dataclass(frozen=True)
class SubmittalsPage:
    """Every technical submittal with its status, and the penetrations that stand in none."""

    items: tuple[Submittal, ...]
    without: tuple[str, ...]
    places: str
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
        part_of(request, found.held, job_path(desk, "orders")),
        _waits(found.held),
        job_path(desk, "places"),
    )
    return site.page("orders.html", page, Frame("Orders", desk, "orders"))


@router.get("/builders-work")
def builders_work(request: Request) -> Response:
    """The builders' work schedule."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.builders_work
    part = part_of(request, found.rows, job_path(desk, "builders-work"))
    places = job_path(desk, "places")
    page = BuildersPage(part, found.counts, BUILDERS_FIELDS, found.without_damper, places, _MARKS)
    return site.page("builders_work.html", page, Frame("Builders\u2019 work", desk, "orders"))


@router.get("/cause-and-effect")
def cause_and_effect(request: Request) -> Response:
    """Cause and effect."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.cause_effect
    part = part_of(request, found.rows, job_path(desk, "cause-and-effect"))
    page = CausePage(part, found.totals, CAUSE_FIELDS, found.without_damper, job_path(desk, "places"))
    return site.page("cause_effect.html", page, Frame("Cause and effect", desk, "orders"))


@router.get("/submittals")
def submittals(request: Request) -> Response:
    """The technical submittals."""
    site, desk = site_of(request), desk_of(request)
    found = checked_of(desk).detailed.schedules.submittals
    page = SubmittalsPage(found.items, found.without, job_path(desk, "places"))
    return site.page("submittals.html", page, Frame("Technical submittals", desk, "orders"))
