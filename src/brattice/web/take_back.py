# SPDX-License-Identifier: Apache-2.0
"""A workbook that somebody filled in comes back: taken whole, or refused with every fault."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from fastapi import Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from brattice.errors import InputError
from brattice.web.forms import Upload, UploadKind, read_form
from brattice.web.site import MessagePage, desk_of, site_of

__all__ = ["take_back"]


async def take_back(
    request: Request, take: Callable[[Upload], Iterable[str]], heading: str, back: str
) -> Response | None:
    """Take the workbook that was sent and say on the next page what there is to say; a page where it was not taken.

    `heading` is that of the page that says why nothing was taken, `back` where it leads.
    """
    site, desk = site_of(request), desk_of(request)
    try:
        given = await read_form(request, (UploadKind.XLSX,))
        if not given.files:
            page = MessagePage(heading, "Choose the workbook that came back first.", (), back, "Back")
            return site.message(page, 422, desk)
        said = await run_in_threadpool(take, given.files[0])
    except InputError as error:
        return site.faults(error, heading, back, desk)
    site.say(desk, said)
    return None
