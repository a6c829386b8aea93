# SPDX-License-Identifier: Apache-2.0
"""The page of one penetration: everything that the report says of it, and its installation in numbers and steps."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse

from brattice.web.installation import InstallationPart, installation_of
from brattice.web.site import Frame, checked_of, desk_of, job_path, site_of

__all__ = ["PenetrationPage", "router"]

router = APIRouter(prefix="/jobs/{job}")


@dataclass(frozen=True)
class PenetrationPage:
    """What is said and drawn of a penetration, and its neighbours in the register ("" for none)."""

    id: str
    body: Markup
    before: str
    before_address: str
    after: str
    after_address: str
    installation: InstallationPart


@router.get("/places/{name}")
def penetration(request: Request, name: str) -> HTMLResponse:
    """The page of a penetration by its permanent id."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    try:
        body = Markup(checked.penetration(name))  # noqa: S704 - made by the report
    except KeyError:
        raise HTTPException(404) from None
    ids = [row.id for row in checked.rows]
    at = ids.index(name)
    before = ids[at - 1] if at else ""
    after = ids[at + 1] if at + 1 < len(ids) else ""
    page = PenetrationPage(
        name,
        body,
        before,
        job_path(desk, "places", before) if before else "",
        after,
        job_path(desk, "places", after) if after else "",
        installation_of(
            checked.detailed,
            name,
            job_path(desk, "penetrations", name, "sketch"),
            f"{job_path(desk, 'best-opening')}?{urlencode({'of': name})}",
        ),
    )
    return site.page("penetration.html", page, Frame(f"{name}, {desk.card.name}", desk, "register"))
