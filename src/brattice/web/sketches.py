# SPDX-License-Identifier: Apache-2.0
"""The sheet of one installation: A3 on a wide window, A4 on a narrow one, and as files to keep. Nothing is issued."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, HTTPException, Request
from markupsafe import Markup
from starlette.responses import Response

from brattice.details.detail import InstallationDetail
from brattice.errors import InputError
from brattice.web.office import SketchKind
from brattice.web.site import Frame, attachment, checked_of, desk_of, job_path, site_of

__all__ = ["FileLink", "SketchPage", "router"]

router = APIRouter(prefix="/jobs/{job}/penetrations/{name}")

_WIDE, _NARROW = "A3", "A4"


@dataclass(frozen=True)
class FileLink:
    """A file to keep: its address and what it is."""

    address: str
    words: str


@dataclass(frozen=True)
class SketchPage:
    """The sheets as drawings for a wide and for a narrow window; `at_size` shows them as large as the paper is."""

    id: str
    detail: InstallationDetail
    place: str
    address: str
    files: tuple[FileLink, ...]
    wide: tuple[Markup, ...]
    narrow: tuple[Markup, ...]
    hatches: Markup
    at_size: bool


def _drawn(sheets: tuple[str, ...]) -> tuple[Markup, ...]:
    return tuple(Markup(text) for text in sheets)  # noqa: S704 - our own drawings, their texts escaped


@router.get("/sketch")
def sketch(request: Request, name: str) -> Response:
    """The sheets of a penetration."""
    site, desk = site_of(request), desk_of(request)
    detailed = checked_of(desk).detailed
    try:
        detail = detailed.detail(name)
    except KeyError:
        raise HTTPException(404) from None
    address, place = job_path(desk, "penetrations", name, "sketch"), f"{job_path(desk, 'places', name)}#installation"
    try:
        wide, narrow = detailed.sketch(name, _WIDE), detailed.sketch(name, _NARROW)
    except InputError as error:
        return site.faults(error, "This installation is not drawn", place, desk)
    files = tuple(
        FileLink(f"{address}.{kind}?paper={paper}", f"{str(kind).upper()}, {paper}")
        for kind in SketchKind
        for paper in (_WIDE, _NARROW)
    )
    at_size = request.query_params.get("size") == "paper"
    hatches = Markup(wide.hatches)  # noqa: S704 - our own drawing
    page = SketchPage(name, detail, place, address, files, _drawn(wide.sheets), _drawn(narrow.sheets), hatches, at_size)
    return site.page("sketch.html", page, Frame(f"Sheet of {name}", desk, "register"))


@router.get("/sketch.{kind}")
def sketch_file(request: Request, name: str, kind: str) -> Response:
    """The sheets of a penetration as a file to keep."""
    site, desk = site_of(request), desk_of(request)
    detailed = checked_of(desk).detailed
    paper = request.query_params.get("paper", _WIDE)
    if kind not in set(SketchKind) or paper not in {_WIDE, _NARROW}:
        raise HTTPException(404)
    try:
        data = detailed.sketch_file(name, SketchKind(kind), paper)
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        place = f"{job_path(desk, 'places', name)}#installation"
        return site.faults(error, "This installation is not drawn", place, desk)
    return attachment(data, f"{name}-{paper}-not-issued.{kind}")
