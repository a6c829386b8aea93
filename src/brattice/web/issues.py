# SPDX-License-Identifier: Apache-2.0
"""Numbered issues of a job: what was issued, with its files, what the next issue would hold, and the next issue."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from brattice.details.detail import Standing
from brattice.errors import Fault, InputError
from brattice.usecases.issue_words import Change, changes_told
from brattice.usecases.issuing import DocumentKind, IssuedDocument, Revised
from brattice.web.downloads import FileLine, size_words
from brattice.web.forms import read_form
from brattice.web.job import RunPage, run_page_of
from brattice.web.office import Desk, IssuedView, NextIssueView, RunKind, RunStep
from brattice.web.paging import Part, page_asked, part_of
from brattice.web.site import Frame, attachment, desk_of, job_path, see_other, site_of

__all__ = ["ConfirmPage", "IssuedPart", "IssuesPage", "NextLine", "NextPart", "router"]

router = APIRouter(prefix="/jobs/{job}")

MOST = 200
"""How many documents of the next issue are shown; the list of documents that it brings has all."""

MOST_CHANGES = 60
"""How many changes of one document are shown; what it says in full is in the document."""


@dataclass(frozen=True)
class NextLine:
    """A document of the next issue: from which revision to which ("" where it is new), and what changed in words.

    Of many changes `changes` are the first, `more` is how many are left out.
    """

    item: Revised
    before: str
    returns: bool
    changes: tuple[Change, ...]
    more: int


@dataclass(frozen=True)
class NextPart:
    """What the next issue would hold: documents that are new, revised, withdrawn in it, and how many stand."""

    view: NextIssueView
    new: tuple[NextLine, ...]
    revised: tuple[NextLine, ...]
    withdrawn: tuple[IssuedDocument, ...]
    statuses: tuple[tuple[str, int], ...]
    new_count: int
    revised_count: int
    before: str
    most: int = MOST

    @property
    def can_be_issued(self) -> bool:
        """Whether there is something to issue, and nothing changed since it was looked at."""
        return not self.view.plan.is_empty and not self.view.changed


@dataclass(frozen=True)
class IssuedPart:
    """An issue: what it brought, what it withdrew, and its files, by folder ("" for those at its top)."""

    view: IssuedView
    brought: tuple[IssuedDocument, ...]
    withdrawn: tuple[IssuedDocument, ...]
    folders: tuple[tuple[str, tuple[FileLine, ...]], ...]


@dataclass(frozen=True)
class IssuesPage:
    """The issues, the newest first; every document as it stands; the next issue, where it was looked at.

    `faults` say what is no longer as it was issued: then nothing else of the issues is shown, and nothing is issued.
    `made` is the number of the issue that the last run made ("" for none). `there` are permanent ids that have a page.
    """

    run: RunPage
    address: str
    places: str
    issues: tuple[IssuedPart, ...]
    documents: Part[IssuedDocument] | None
    following: NextPart | None
    there: frozenset[str]
    made: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class ConfirmPage:
    """What a press on the button would issue, and how much of it is no order to build or to deliver.

    `to_settle` counts its sketches that are to be settled, `held` the penetrations that its order schedule holds back.
    """

    address: str
    following: NextPart
    to_settle: int
    held: int


def _line(item: Revised) -> NextLine:
    told = changes_told(item)
    past = item.replaces
    return NextLine(
        item,
        "" if past is None else past.revision,
        past is not None and past.withdrawn,
        told[:MOST_CHANGES],
        max(0, len(told) - MOST_CHANGES),
    )


def _following(view: NextIssueView, issues: Iterable[IssuedView]) -> NextPart:
    plan = view.plan
    new = [item for item in plan.revised if item.replaces is None]
    revised = [item for item in plan.revised if item.replaces is not None]
    numbers = [item.issue.number for item in issues]
    statuses = Counter(item.content.status for item in plan.revised if item.content.kind is DocumentKind.SKETCH)
    return NextPart(
        view,
        tuple(_line(item) for item in new[:MOST]),
        tuple(_line(item) for item in revised[:MOST]),
        tuple(item for item in plan.withdrawn if item.issue == plan.number),
        tuple(sorted(statuses.items())),
        len(new),
        len(revised),
        numbers[-1] if numbers else "",
    )


def _issued(view: IssuedView, address: str) -> IssuedPart:
    here = [item for item in view.issue.documents if item.issue == view.issue.number]
    folders: dict[str, list[FileLine]] = {"": []}
    for card in view.files:
        line = FileLine(card, f"{address}/{quote(view.issue.number)}/{quote(card.name)}", size_words(card.size))
        folders.setdefault(card.name.rpartition("/")[0], []).append(line)
    return IssuedPart(
        view,
        tuple(item for item in here if not item.withdrawn),
        tuple(item for item in here if item.withdrawn),
        tuple((name, tuple(lines)) for name, lines in folders.items() if lines),
    )


def _held(following: NextPart) -> int:
    """How many penetrations the order schedule holds back, where it is revised in the next issue."""
    orders = (item.content for item in following.view.plan.revised if item.content.kind is DocumentKind.ORDERS)
    return len({key.split("/")[1] for content in orders for key, _ in content.texts if key.startswith("held/")})


def _places(desk: Desk) -> frozenset[str]:
    checked = desk.checked()
    return frozenset() if checked is None else frozenset(row.id for row in checked.rows)


@router.get("/issues")
def issues(request: Request) -> Response:
    """What was issued, and what the next issue would hold, where that was looked at."""
    site, desk = site_of(request), desk_of(request)
    run, address, found = run_page_of(desk), job_path(desk, "issues"), desk.next_issue()
    frame = Frame("Issues", desk, "issues", refresh_s=2 if run.goes_on else 0)
    places, there = job_path(desk, "places"), _places(desk)
    try:
        past = desk.issues()
    except InputError as error:
        page = IssuesPage(run, address, places, (), None, None, there, "", error.faults)
        return site.page("issues.html", page, frame, 422)
    documents = past[-1].issue.documents if past else ()
    asked = page_asked(request.query_params)
    ended = run.view.kind is RunKind.ISSUE and run.view.step is RunStep.DONE
    page = IssuesPage(
        run,
        address,
        places,
        tuple(_issued(view, address) for view in reversed(past)),
        part_of(documents, asked, lambda page: f"{address}?page={page}") if documents else None,
        None if found is None else _following(found, past),
        there,
        past[-1].issue.number if ended and found is None and past else "",
    )
    return site.page("issues.html", page, frame)


@router.post("/issues/look")
def look(request: Request) -> Response:
    """Begin to compare every document with the last issue; the page shows how far it is."""
    desk = desk_of(request)
    desk.look_at_next()
    return see_other(job_path(desk, "issues"))


@router.get("/issues/confirm")
def confirm(request: Request) -> Response:
    """What would be issued and the date that is judged for, with the button that does it."""
    site, desk = site_of(request), desk_of(request)
    address, found = job_path(desk, "issues"), desk.next_issue()
    following = None if found is None else _following(found, desk.issues())
    if following is None or not following.can_be_issued:
        return see_other(address)
    statuses = dict(following.statuses)
    page = ConfirmPage(address, following, statuses.get(str(Standing.TO_BE_SETTLED), 0), _held(following))
    return site.page("issue_confirm.html", page, Frame("Issue now", desk, "issues"))


@router.post("/issues/issue")
async def issue(request: Request) -> Response:
    """Begin to make the issue that was agreed to; the page of issues shows how far it is."""
    desk = desk_of(request)
    desk.issue_now((await read_form(request)).first("mark"))
    return see_other(job_path(desk, "issues"))


@router.get("/issues/{number}/{name:path}")
def issued_file(request: Request, number: str, name: str) -> Response:
    """A file of an issue, to keep; only what its manifest lists."""
    site, desk = site_of(request), desk_of(request)
    try:
        data = desk.issued_file(number, name)
    except InputError as error:
        return site.faults(error, "This is no longer as it was issued", job_path(desk, "issues"), desk)
    if data is None:
        raise HTTPException(404)
    return attachment(data, f"{number}-{name.rpartition('/')[2]}")
