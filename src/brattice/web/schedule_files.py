# SPDX-License-Identifier: Apache-2.0
"""Files of a schedule: those of the issue that brought its revision, and what stands now as files not issued."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from brattice.errors import InputError
from brattice.usecases.issuing import DocumentKind, IssuedDocument
from brattice.web.office import Desk, FileCard
from brattice.web.site import attachment, checked_of, desk_of, job_path, site_of
from brattice.web.sketches import FileLink

__all__ = ["ScheduleFiles", "files_of", "router"]

router = APIRouter(prefix="/jobs/{job}/schedule-files")


@dataclass(frozen=True)
class ScheduleFiles:
    """The files of a schedule as it stands, and of each issue that brought what stands issued of it, newest first.

    `amiss` says that what was issued is no longer as it was: then no file is handed out.
    """

    now: tuple[FileLink, ...]
    issued: tuple[tuple[str, tuple[FileLink, ...]], ...]
    issues: str
    amiss: bool = False


def _is_of(card: FileCard, document: IssuedDocument) -> bool:
    """Whether a file of an issue is one of a document: its name begins with number and revision."""
    stem = f"{document.content.number}-{document.revision}"
    return any(part == stem or part.rpartition(".")[0] == stem for part in card.name.split("/"))


def files_of(desk: Desk, kind: DocumentKind) -> ScheduleFiles:
    """The files of a kind of schedule of a job."""
    here, issues = job_path(desk, "schedule-files"), job_path(desk, "issues")
    now = tuple(
        FileLink(f"{here}/{quote(item.name)}", f"{_ending(item.name)}: {item.words}")
        for item in desk.schedule_files(kind)
    )
    try:
        past = desk.issues()
    except InputError:
        return ScheduleFiles((), (), issues, amiss=True)
    documents = past[-1].issue.documents if past else ()
    mine = [item for item in documents if item.content.kind is kind and not item.withdrawn]
    found = []
    for view in reversed(past):
        number = view.issue.number
        brought = [item for item in mine if item.issue == number]
        links = tuple(
            FileLink(f"{issues}/{quote(number)}/{quote(card.name)}", card.name.removeprefix("submittals/"))
            for item in brought
            for card in view.files
            if _is_of(card, item)
        )
        if links:
            found.append((f"Issue {number} of {view.issue.on.isoformat()}", links))
    return ScheduleFiles(now, tuple(found), issues)


def _ending(name: str) -> str:
    return name.rpartition(".")[2].upper()


@router.get("/{name}")
async def schedule_file(request: Request, name: str) -> Response:
    """A file of a schedule as it stands, to keep; its name and its first words say that it is not issued."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    try:
        data = await run_in_threadpool(desk.schedule_file, name)
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        return site.faults(error, "This file is not made", job_path(desk, "orders"), desk)
    return attachment(data, name)
