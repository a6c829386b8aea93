# SPDX-License-Identifier: Apache-2.0
"""Who may talk to the pages: this machine, this program's own pages, whoever holds the first link.

A program on loopback can be reached by every page that the user's browser has open. So each request has to name us as
its host (a foreign name that points to loopback is refused), has to carry the cookie that the first link was exchanged
for, and where it changes something has to come from one of our own pages.
"""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["ENTER", "HEADERS", "STATIC", "Access", "Guard", "Refused", "new_access"]

ENTER = "/enter"
"""The path of the first link."""

STATIC = "/static/"
"""What lies below holds nothing of a job and is given without the cookie."""

_SAFE = frozenset({"GET", "HEAD"})
_METHODS = frozenset({"GET", "HEAD", "POST"})

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)

HEADERS: tuple[tuple[str, str], ...] = (
    ("Content-Security-Policy", POLICY),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
)
"""What stands in the head of every response."""


@dataclass(frozen=True)
class Access:
    """What opens the pages: `token` stands in the first link, `pass_word` in the cookie it is exchanged for.

    `hosts` are the names, with port, under which the program may be asked. `most_bytes` bounds the body of a request.
    """

    token: str
    pass_word: str
    cookie: str
    hosts: frozenset[str]
    most_bytes: int = 64 * 1024 * 1024

    def is_token(self, given: str) -> bool:
        """Whether this is the word of the first link; it takes as long for a wrong word as for the right one."""
        return secrets.compare_digest(given.encode("utf-8", "replace"), self.token.encode())

    def may_pass(self, cookies: Iterable[str]) -> bool:
        """Whether one of the cookie headers holds what the first link was exchanged for."""
        for header in cookies:
            try:
                morsel = SimpleCookie(header).get(self.cookie)
            except CookieError:
                continue
            if morsel is not None and secrets.compare_digest(morsel.value.encode(), self.pass_word.encode()):
                return True
        return False


def new_access(port: int, hosts: Iterable[str]) -> Access:
    """An access with fresh secrets for a program that listens on `port` under these names."""
    # Cookies don't tell ports apart: two programs on one machine need two names.
    return Access(
        secrets.token_urlsafe(32),
        secrets.token_urlsafe(32),
        f"brattice-{port}",
        frozenset(f"{host}:{port}" for host in hosts),
    )


@dataclass(frozen=True)
class Refused:
    """Why a request is refused: the status, a heading, and what to do."""

    status: int
    heading: str
    text: str


_STRANGE_HOST = Refused(421, "Not under this name", "Open the link that the program printed when it was started.")
_STRANGE_PAGE = Refused(403, "Not from another page", "This was asked by another page or program. Nothing was done.")
_NO_PASS = Refused(
    403,
    "The first link is needed",
    "Open the link that the program printed when it was started. A link of an earlier start no longer works.",
)
_NO_METHOD = Refused(405, "This can't be asked", "Only pages and forms of this program are answered.")
_TOO_LARGE = Refused(413, "Too much at once", "What was sent is larger than this program takes. Nothing was kept.")
_OWN_FAULT = Refused(
    500,
    "Our own fault",
    "Something in the program broke. Nothing half-written is left. Go back and try again; if it comes back, report it "
    "with what you did.",
)

Told = Callable[[Refused], bytes]


class _TooMuch(Exception):
    """The body of a request is larger than what is taken."""


def _of_own(origin: str, host: str) -> bool:
    parts = urlsplit(origin)
    return parts.scheme == "http" and parts.netloc.casefold() == host


def _refused(scope: Scope, access: Access) -> Refused | None:
    """Why a request is refused; None where it may go on."""
    headers = Headers(scope=scope)
    hosts = headers.getlist("host")
    host = hosts[0].casefold() if len(hosts) == 1 else ""
    if host not in access.hosts:
        return _STRANGE_HOST
    method, path = scope["method"], scope["path"]
    if method not in _METHODS:
        return _NO_METHOD
    site, mode = headers.get("sec-fetch-site"), headers.get("sec-fetch-mode")
    origin = headers.get("origin", "null")
    if method in _SAFE:
        # Another page may lead here (then it shows nothing to that page), but may not load our parts as its own.
        if site in {"cross-site", "same-site"} and mode != "navigate":
            return _STRANGE_PAGE
    elif site not in {None, "same-origin"} or (origin == "null" and site is None):
        return _STRANGE_PAGE
    if origin != "null" and not _of_own(origin, host):
        return _STRANGE_PAGE
    if path != ENTER and not path.startswith(STATIC) and not access.may_pass(headers.getlist("cookie")):
        return _NO_PASS
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length[:20]) > access.most_bytes:
        return _TOO_LARGE
    return None


class Guard:
    """Stands before the pages: refuses what may not come in, bounds what is sent, heads every response.

    `told` makes the page that says why a request was refused; `report` gets what broke, for the terminal.
    """

    def __init__(self, app: ASGIApp, access: Access, told: Told, report: Callable[[Exception], None]) -> None:
        self._app = app
        self._access = access
        self._told = told
        self._report = report

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        started = False
        taken = 0

        async def headed(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                head = MutableHeaders(scope=message)
                for name, value in HEADERS:
                    head[name] = value
                head.setdefault("Cache-Control", "no-store")
            await send(message)

        async def bounded() -> Message:
            nonlocal taken
            message = await receive()
            if message["type"] == "http.request":
                taken += len(message.get("body", b""))
                if taken > self._access.most_bytes:
                    raise _TooMuch
            return message

        refused = _refused(scope, self._access)
        if refused is None:
            try:
                await self._app(scope, bounded, headed)
            except _TooMuch:
                refused = _TOO_LARGE
            except Exception as error:
                self._report(error)
                refused = _OWN_FAULT
        if refused is not None and not started:
            await self._send(refused, headed, scope["method"] == "HEAD")

    async def _send(self, refused: Refused, send: Callable[[Message], Awaitable[None]], is_head: bool) -> None:
        body = self._told(refused)
        head = [(b"content-type", b"text/html; charset=utf-8"), (b"content-length", str(len(body)).encode())]
        await send({"type": "http.response.start", "status": refused.status, "headers": head})
        await send({"type": "http.response.body", "body": b"" if is_head else body})
