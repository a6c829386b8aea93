# SPDX-License-Identifier: Apache-2.0
"""Downloads: every file that the program wrote for a job, and the button that prints."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from brattice.web.job import RunPage, run_page_of
from brattice.web.office import FileCard
from brattice.web.site import Frame, attachment, desk_of, job_path, see_other, site_of

__all__ = ["DownloadsPage", "FileLine", "router", "size_words"]

router = APIRouter(prefix="/jobs/{job}")


@dataclass(frozen=True)
class FileLine:
    """A file with its address and its size in words."""

    card: FileCard
    address: str
    size: str


@dataclass(frozen=True)
class DownloadsPage:
    """The files by folder, and the run that may go on."""

    folders: tuple[tuple[str, tuple[FileLine, ...]], ...]
    run: RunPage
    address: str


def size_words(size: int) -> str:
    """A size in bytes as people read it: `"980 bytes"`, `"12 kB"`, `"3.4 MB"`."""
    if size < 1000:
        return f"{size} bytes"
    return f"{size / 1000:.0f} kB" if size < 1_000_000 else f"{size / 1_000_000:.1f} MB"


@router.get("/downloads")
def downloads(request: Request) -> Response:
    """Every file that can be downloaded."""
    site, desk = site_of(request), desk_of(request)
    address = job_path(desk, "downloads")
    folders: dict[str, list[FileLine]] = {}
    for card in desk.files():
        line = FileLine(card, f"{address}/{quote(card.name)}", size_words(card.size))
        folders.setdefault(card.name.rpartition("/")[0], []).append(line)
    run = run_page_of(desk)
    page = DownloadsPage(tuple((name, tuple(lines)) for name, lines in folders.items()), run, address)
    refresh = 2 if run.goes_on else 0
    return site.page("downloads.html", page, Frame("Downloads", desk, "downloads", refresh_s=refresh))


@router.get("/downloads/{name:path}")
def download(request: Request, name: str) -> Response:
    """One of these files, to keep."""
    path = desk_of(request).file(name)
    if path is None:
        raise HTTPException(404)
    try:
        return attachment(path.read_bytes(), path.name)
    except OSError:
        raise HTTPException(404) from None


@router.post("/print")
def print_pages(request: Request) -> Response:
    """Begin to print the report; the page of downloads shows how far it is."""
    desk = desk_of(request)
    desk.print_pages()
    return see_other(job_path(desk, "downloads"))
