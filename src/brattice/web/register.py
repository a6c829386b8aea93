# SPDX-License-Identifier: Apache-2.0
"""The register: every penetration of a job as a table that is searched and filtered, some hundred rows a page.

The filter stands in the address, so that a view can be kept and sent on; without script the same form works.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.datastructures import QueryParams
from starlette.responses import HTMLResponse

from brattice.usecases.states import STATES, StateSpec
from brattice.web.office import Checked, RegisterRow
from brattice.web.paging import PAGE_ROWS, Part, page_asked, part_of
from brattice.web.site import Frame, checked_of, desk_of, job_path, site_of

__all__ = [
    "Choice",
    "RegisterFilter",
    "RegisterLine",
    "RegisterPage",
    "StateChoice",
    "by_nature",
    "choices",
    "router",
]

_MOST_TEXT = 200
_PARTS = re.compile(r"(\d+)")
_SPECS = {spec.state: spec for spec in STATES}

router = APIRouter(prefix="/jobs/{job}")


@dataclass(frozen=True)
class RegisterFilter:
    """What is asked of the register: words that have to be found, marks of states, a level, a party, a page from 1.

    Nothing in a part leaves that part open.
    """

    words: str = ""
    marks: tuple[str, ...] = ()
    level: str = ""
    party: str = ""
    page: int = 1

    @classmethod
    def of(cls, given: QueryParams) -> RegisterFilter:
        """The filter that an address says; what it can't mean is passed over."""
        known = [spec.mark for spec in STATES]
        return cls(
            " ".join(given.get("find", "")[:_MOST_TEXT].split()),
            tuple(mark for mark in known if mark in given.getlist("state")),
            given.get("level", "")[:_MOST_TEXT],
            given.get("party", "")[:_MOST_TEXT],
            page_asked(given),
        )

    def query(self, page: int) -> str:
        """The filter as the end of an address, for a page of it; "" where nothing is asked."""
        pairs = [("find", self.words), *(("state", mark) for mark in self.marks), ("level", self.level)]
        pairs += [("party", self.party), ("page", str(page) if page > 1 else "")]
        text = urlencode([(name, value) for name, value in pairs if value])
        return f"?{text}" if text else ""

    def fits(self, row: RegisterRow) -> bool:
        """Whether a row is one of those asked for."""
        return (
            (not self.marks or _SPECS[row.state].mark in self.marks)
            and (not self.level or row.storey == self.level)
            and (not self.party or self.party in row.asked)
            and all(word in row.find for word in self.words.casefold().split())
        )


@dataclass(frozen=True)
class StateChoice:
    """A state to choose, with its mark and how many penetrations are in it."""

    spec: StateSpec
    mark: Markup
    count: int
    chosen: bool


@dataclass(frozen=True)
class Choice:
    """A level or a party to choose."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True)
class RegisterLine:
    """A row with its address and the mark of its state."""

    row: RegisterRow
    address: str
    spec: StateSpec
    mark: Markup


@dataclass(frozen=True)
class RegisterPage:
    """One page of the register: the part of what is found, and how many rows there are in all."""

    filter: RegisterFilter
    part: Part[RegisterLine]
    total: int
    address: str
    states: tuple[StateChoice, ...]
    levels: tuple[Choice, ...]
    parties: tuple[Choice, ...]


def by_nature(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts "Level 2" before "Level 10", and what is not known last."""
    if text == "not known":
        return ((2, 0, ""),)
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in _PARTS.split(text.casefold()))


def choices(values: Iterable[str], chosen: str, gone: str) -> tuple[Choice, ...]:
    """The values to choose from; one that an old address names and that is gone stands there too, and says so."""
    ordered = sorted(set(values), key=lambda value: (by_nature(value), value))
    found = [Choice(value, value, value == chosen) for value in ordered]
    if chosen and chosen not in ordered:
        found.append(Choice(chosen, f"{chosen} ({gone})", True))
    return tuple(found)


def _page(checked: Checked, asked: RegisterFilter, base: str, places: str) -> RegisterPage:
    rows: Sequence[RegisterRow] = checked.rows
    found = [row for row in rows if asked.fits(row)]
    part = part_of(found, asked.page, lambda page: f"{base}{asked.query(page)}", PAGE_ROWS)
    counts = dict(checked.report.counts())
    marks = {name: Markup(text) for name, text in checked.marks.items()}  # noqa: S704 - the report's own marks
    return RegisterPage(
        filter=asked,
        part=part.each(
            lambda row: RegisterLine(row, f"{places}/{row.id}", _SPECS[row.state], marks[_SPECS[row.state].mark])
        ),
        total=len(rows),
        address=base,
        states=tuple(
            StateChoice(spec, marks[spec.mark], counts[spec.state], spec.mark in asked.marks)
            for spec in STATES
            if counts[spec.state] or spec.mark in asked.marks
        ),
        levels=choices((row.storey for row in rows), asked.level, "none now"),
        parties=choices((party for row in rows for party in row.asked), asked.party, "nothing asked now"),
    )


@router.get("/register")
def register(request: Request) -> HTMLResponse:
    """The register as its address asks; for a part of the page that is exchanged, that part alone."""
    site, desk = site_of(request), desk_of(request)
    base = job_path(desk, "register")
    page = _page(checked_of(desk), RegisterFilter.of(request.query_params), base, job_path(desk, "places"))
    frame = Frame("Register", desk, "register")
    if request.headers.get("HX-Request") != "true" or request.headers.get("HX-History-Restore-Request") == "true":
        return site.page("register.html", page, frame)
    answer = site.page("register_part.html", page, frame)
    answer.headers["HX-Replace-Url"] = f"{base}{page.filter.query(page.part.page)}"
    return answer
