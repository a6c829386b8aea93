# SPDX-License-Identifier: Apache-2.0
"""The application: routes, errors as pages, and the guard before them."""

from __future__ import annotations

import sys
from collections.abc import Callable

from fastapi import FastAPI, Request
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response

from brattice.errors import InputError, UsageError
from brattice.web import (
    best_opening,
    downloads,
    issues,
    job,
    orders,
    penetration,
    plans,
    queries,
    reconcile,
    register,
    schedule_files,
    schedules,
    sketches,
    start,
    tracker,
    what_if,
)
from brattice.web.access import ENTER, Access, Guard
from brattice.web.office import Office
from brattice.web.site import MessagePage, Site, site_of

__all__ = ["create_app"]

_YEAR = "public, max-age=31536000, immutable"


def _to_terminal(error: Exception) -> None:
    sys.stderr.write(f"brattice: our own fault: {type(error).__name__}\n")


def create_app(office: Office, access: Access, report: Callable[[Exception], None] = _to_terminal) -> FastAPI:
    """The pages of an office, for whoever `access` lets in; `report` gets what broke in the program itself."""
    app = FastAPI(title="Brattice", openapi_url=None, docs_url=None, redoc_url=None, redirect_slashes=False)
    site = Site(office, access)
    app.state.site = site
    app.add_middleware(Guard, access=access, told=site.refused, report=report)
    app.add_exception_handler(HTTPException, _http_page)
    app.add_exception_handler(InputError, _input_page)
    app.add_exception_handler(UsageError, _usage_page)
    app.add_api_route(ENTER, _enter, methods=["GET"])
    app.add_api_route("/static/{name}", _static, methods=["GET", "HEAD"])
    to_read = (start, job, register, plans, penetration, sketches, orders, schedule_files, downloads)
    to_work_in = (queries, tracker, best_opening, what_if, reconcile, schedules, issues)
    for page in (*to_read, *to_work_in):
        app.include_router(page.router)
    return app


def _enter(request: Request) -> Response:
    """The first link: its word becomes a cookie, and is then gone from the address."""
    site = site_of(request)
    access = site.access
    if not access.is_token(request.query_params.get("token", "")):
        text = "Open the link that the program printed when it was started. A link of an earlier start no longer works."
        return site.message(MessagePage("This link does not open anything", text), 403)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(access.cookie, access.pass_word, httponly=True, samesite="strict", path="/")
    return answer


def _static(request: Request, name: str) -> Response:
    asset = site_of(request).assets.get(name)
    if asset is None:
        raise HTTPException(404)
    is_named = request.query_params.get("v") == asset.version
    return Response(asset.data, media_type=asset.kind, headers={"Cache-Control": _YEAR if is_named else "no-cache"})


def _http_page(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 303 and error.headers:
        return RedirectResponse(error.headers["Location"], 303)
    if error.status_code == 404:
        page = MessagePage("There is no such page", "What the address names is not here, or is here no longer.")
    else:
        page = MessagePage("This can't be done", "Go back and try again.")
    return site_of(request).message(page, error.status_code)


def _input_page(request: Request, error: Exception) -> HTMLResponse:
    assert isinstance(error, InputError)
    return site_of(request).faults(error, "This can't be used as it is", "/")


def _usage_page(request: Request, error: Exception) -> HTMLResponse:
    return site_of(request).message(MessagePage("This can't be done", str(error)), 400)
