# SPDX-License-Identifier: Apache-2.0
"""What every page needs: the office, the templates, the frame around a page, and how a page becomes a response."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import HTTPException, Request
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from brattice.errors import Fault, InputError
from brattice.usecases.report_model import CAUTIONS
from brattice.web.access import Access, Refused
from brattice.web.assets import Asset, load_assets
from brattice.web.office import Checked, Desk, Office

__all__ = [
    "NAV",
    "Frame",
    "MessagePage",
    "NavLink",
    "Site",
    "attachment",
    "checked_of",
    "count_words",
    "desk_of",
    "job_path",
    "see_other",
    "site_of",
]


_MOST_NOTICES = 20


@dataclass(frozen=True)
class NavLink:
    """A link to one of a job's pages: its last part, and its words."""

    part: str
    words: str


NAV: tuple[NavLink, ...] = (
    NavLink("", "Overview"),
    NavLink("register", "Register"),
    NavLink("plans", "Plans and lists"),
    NavLink("orders", "Orders and works"),
    NavLink("issues", "Issues"),
    NavLink("queries", "Queries"),
    NavLink("tracker", "Tracker"),
    NavLink("best-opening", "Best opening"),
    NavLink("what-if", "What if"),
    NavLink("reconcile", "Reconciliation"),
    NavLink("schedules", "Schedules"),
    NavLink("downloads", "Downloads"),
    NavLink("sources", "Sources"),
)
"""The pages of a job, as they stand at the top of each."""


@dataclass(frozen=True)
class Frame:
    """What stands around a page: its title, the job it belongs to, and which of `NAV` it is.

    `refresh_s` [s] reloads a page whose reader has no
    script; 0 never does.
    """

    title: str
    desk: Desk | None = None
    here: str = "-"
    refresh_s: int = 0


@dataclass(frozen=True)
class MessagePage:
    """A page that says why something can't be done: a heading, what to do, and the faults of files, all at once."""

    heading: str
    text: str
    faults: tuple[Fault, ...] = ()
    back: str = "/"
    back_words: str = "Back to the start"


def count_words(number: int, one: str, many: str = "") -> str:
    """A number with its noun: `"1 penetration"`, `"3,000 penetrations"`."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"


def job_path(desk: Desk, *parts: str) -> str:
    """The address of a job's page; each part is made fit for an address."""
    return "/".join(("/jobs", quote(desk.card.key, safe=""), *(quote(part, safe="") for part in parts)))


class Site:
    """The office with everything that turns a page into a response."""

    def __init__(self, office: Office, access: Access) -> None:
        self.office = office
        self.access = access
        self.assets: dict[str, Asset] = load_assets(office.styles())
        self._lock = threading.Lock()
        self._notices: dict[str, list[str]] = {}
        self._templates = Environment(
            loader=PackageLoader("brattice.web", "templates"),
            autoescape=True,
            undefined=StrictUndefined,
            finalize=self._shown,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._templates.globals |= {
            "asset": lambda name: f"/static/{name}?v={self.assets[name].version}",
            "cautions": CAUTIONS,
            "count_words": count_words,
            "job_path": job_path,
            "nav": NAV,
            "told": self.told,
            "hatches": Markup(office.hatches()),  # noqa: S704 - our own drawing
            "markup": Markup,
        }

    def _shown(self, value: object) -> object:
        """What a template prints: markup stays, every other text has its acting characters shown."""
        if isinstance(value, Markup):
            return value
        return self.office.shown(value) if isinstance(value, str) else value

    def tell(self, desk: Desk, text: str) -> None:
        """Say once, on the next whole page of a job, what was just done."""
        with self._lock:
            self._notices[desk.card.key] = [*self._notices.get(desk.card.key, []), text][-_MOST_NOTICES:]

    def told(self, desk: Desk | None) -> list[str]:
        """What is to be said on this page, and on no other after it."""
        with self._lock:
            return self._notices.pop(desk.card.key, []) if desk is not None else []

    def text(self, template: str, page: object, frame: Frame) -> str:
        """A page as text."""
        return self._templates.get_template(template).render(page=page, frame=frame)

    def page(self, template: str, page: object, frame: Frame, status: int = 200) -> HTMLResponse:
        """A page as a response."""
        return HTMLResponse(self.text(template, page, frame), status)

    def message(self, page: MessagePage, status: int, desk: Desk | None = None) -> HTMLResponse:
        """A page that says why something can't be done."""
        return self.page("message.html", page, Frame(page.heading, desk), status)

    def say(self, desk: Desk, texts: Iterable[str]) -> None:
        """Say several things once, on the next whole page of a job; of many the first, and how many more."""
        said = list(texts)
        for text in said[: _MOST_NOTICES - 1]:
            self.tell(desk, text)
        if len(said) >= _MOST_NOTICES:
            self.tell(desk, f"and {len(said) - _MOST_NOTICES + 1} more")

    def refused(self, refused: Refused) -> bytes:
        """The page of a request that was refused."""
        page = MessagePage(refused.heading, refused.text, (), "/", "Try again")
        return self.text("message.html", page, Frame(refused.heading)).encode("utf-8", "replace")

    def faults(self, error: InputError, heading: str, back: str, desk: Desk | None = None) -> HTMLResponse:
        """The page of an input that can't be used: every fault with its place and what is expected."""
        text = "Nothing was changed. Put right what is named here and try again."
        return self.message(MessagePage(heading, text, error.faults, back, "Back"), 422, desk)


def site_of(request: Request) -> Site:
    """The site that a request was made to."""
    site = request.app.state.site
    assert isinstance(site, Site)
    return site


def desk_of(request: Request) -> Desk:
    """The job that a request is about; an unknown one is not found."""
    desk = site_of(request).office.desk(str(request.path_params["job"]))
    if desk is None:
        raise HTTPException(404)
    return desk


def checked_of(desk: Desk) -> Checked:
    """What the last check of a job said; before the first one, the page that shows how far it is."""
    checked = desk.checked()
    if checked is None:
        raise HTTPException(303, headers={"Location": job_path(desk)})
    return checked


def attachment(data: bytes, name: str, kind: str = "application/octet-stream") -> Response:
    """A file to keep: the browser stores it under its plain name and shows nothing of it as a page of ours."""
    plain = "".join(char if char.isascii() and (char.isalnum() or char in "._- ") else "_" for char in name).strip(". ")
    head = {
        "Content-Disposition": f"attachment; filename=\"{plain or 'file'}\"; filename*=UTF-8''{quote(name, safe='')}"
    }
    return Response(data, media_type=kind, headers=head)


def see_other(path: str) -> RedirectResponse:
    """Send the browser on to one of our own pages."""
    return RedirectResponse(path, 303)
