# SPDX-License-Identifier: Apache-2.0
"""The tracker: the stages of the job at each penetration, by level and zone, to look at and to type in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from fastapi import APIRouter, HTTPException, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import QueryParams
from starlette.responses import Response

from brattice.errors import Fault, InputError
from brattice.findings import Finding
from brattice.register.stages import STAGES, About, Remark, Stage
from brattice.usecases.stages_taken import Typed
from brattice.usecases.tracking import StageCell, TrackerRow
from brattice.web.forms import FormGiven, FormLimits, read_form
from brattice.web.office import TrackerView
from brattice.web.paging import PAGE_ROWS, Part, page_asked, part_of
from brattice.web.register import Choice, choices
from brattice.web.site import Frame, MessagePage, attachment, checked_of, desk_of, job_path, see_other, site_of
from brattice.web.take_back import take_back

__all__ = ["StageField", "TrackPage", "TrackerFilter", "TrackerLine", "TrackerPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

_MOST_TEXT = 200
_FORM = FormLimits(files=0, fields=PAGE_ROWS + 20)
_FILE = "what was typed"


@dataclass(frozen=True)
class TrackerFilter:
    """What is asked of the tracker: words, a level, a zone, a stage that is not said yet, contradictions alone."""

    words: str = ""
    level: str = ""
    zone: str = ""
    lacks: str = ""
    contradicted: bool = False
    page: int = 1

    @classmethod
    def of(cls, given: QueryParams) -> TrackerFilter:
        """The filter that an address says; what it can't mean is passed over."""
        lacks = given.get("lacks", "")
        return cls(
            " ".join(given.get("find", "")[:_MOST_TEXT].split()),
            given.get("level", "")[:_MOST_TEXT],
            given.get("zone", "")[:_MOST_TEXT],
            lacks if lacks in {str(stage) for stage in Stage} else "",
            given.get("contradicted", "") == "on",
            page_asked(given),
        )

    def query(self, page: int) -> str:
        """The filter as the end of an address, for a page of it."""
        pairs = [("find", self.words), ("level", self.level), ("zone", self.zone), ("lacks", self.lacks)]
        pairs += [("contradicted", "on" if self.contradicted else ""), ("page", str(page) if page > 1 else "")]
        text = urlencode([(name, value) for name, value in pairs if value])
        return f"?{text}" if text else ""

    def fits(self, row: TrackerRow) -> bool:
        """Whether a row is one of those asked for."""
        text = " ".join((row.id, *row.references, row.place, row.zone, row.wall_type, row.size, row.state, row.note))
        lacking = not self.lacks or any(cell.stage == self.lacks and cell.shown.on is None for cell in row.stages)
        return (
            lacking
            and (not self.level or (row.level or _NO_LEVEL) == self.level)
            and (not self.zone or row.zone == self.zone)
            and (not self.contradicted or any(item.open for item in row.findings))
            and all(word in text.casefold() for word in self.words.casefold().split())
        )


_NO_LEVEL = "not known"


@dataclass(frozen=True)
class TrackerLine:
    """A row with the address of its own page."""

    row: TrackerRow
    address: str


@dataclass(frozen=True)
class TrackerPage:
    """One page of the tracker: the part of what is found, how many rows there are; `retired` are of no source now."""

    filter: TrackerFilter
    part: Part[TrackerLine]
    total: int
    address: str
    levels: tuple[Choice, ...]
    zones: tuple[Choice, ...]
    stages: tuple[Stage, ...]
    counts: tuple[tuple[str, tuple[int, ...], int], ...]
    contradictions: tuple[tuple[TrackerLine, Finding], ...]
    retired: tuple[TrackerRow, ...]
    mark: str
    today: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class StageField:
    """One stage in the form of a penetration: its name in the form, what is shown, what it means."""

    name: str
    cell: StageCell
    on: str
    meaning: str


@dataclass(frozen=True)
class TrackPage:
    """The stages of one penetration, to type in."""

    row: TrackerRow
    fields: tuple[StageField, ...]
    address: str
    back: str
    place: str
    mark: str
    findings: tuple[Finding, ...]


def _shown_on(cell: StageCell) -> str:
    return cell.shown.on.isoformat() if isinstance(cell.shown.on, date) else cell.shown.on or ""


def _counts(rows: Sequence[TrackerRow]) -> tuple[tuple[str, tuple[int, ...], int], ...]:
    """Each level and zone with how many penetrations have each stage said, and how many there are."""
    groups: dict[tuple[str, str], list[TrackerRow]] = {}
    for row in rows:
        groups.setdefault((row.level or _NO_LEVEL, row.zone), []).append(row)
    order = [choice.value for choice in choices((level for level, _ in groups), "", "")]
    found = sorted(groups.items(), key=lambda item: (order.index(item[0][0]), item[0][1]))
    return tuple(
        (
            f"{level}, {zone}" if zone else level,
            tuple(sum(row.stages[at].shown.on is not None for row in mine) for at in range(len(Stage))),
            len(mine),
        )
        for (level, zone), mine in found
    )


def _page(view: TrackerView, asked: TrackerFilter, address: str) -> TrackerPage:
    found = [row for row in view.rows if asked.fits(row)]
    part = part_of(found, asked.page, lambda page: f"{address}{asked.query(page)}", PAGE_ROWS)
    lines = {row.id: TrackerLine(row, f"{address}/{row.id}") for row in (*view.rows, *view.retired)}
    return TrackerPage(
        filter=asked,
        part=part.each(lambda row: lines[row.id]),
        total=len(view.rows),
        address=address,
        levels=choices((row.level or _NO_LEVEL for row in view.rows), asked.level, "none now"),
        zones=choices((row.zone for row in view.rows if row.zone), asked.zone, "none now"),
        stages=tuple(Stage),
        counts=_counts(view.rows),
        contradictions=tuple(
            (lines[row.id], item) for row in (*view.rows, *view.retired) for item in row.findings if item.open
        ),
        retired=view.retired,
        mark=view.mark,
        today=view.on.isoformat(),
    )


@router.get("/tracker")
def tracker(request: Request) -> Response:
    """The tracker as its address asks."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    address = job_path(desk, "tracker")
    frame = Frame("Tracker", desk, "tracker")
    try:
        view = desk.tracker()
    except InputError as error:
        return site.faults(error, "The tracker can't be read", job_path(desk), desk)
    return site.page("tracker.html", _page(view, TrackerFilter.of(request.query_params), address), frame)


def _row_of(view: TrackerView, name: str) -> TrackerRow:
    row = next((item for item in (*view.rows, *view.retired) if item.id == name), None)
    if row is None:
        raise HTTPException(404)
    return row


@router.get("/tracker/{name}")
def track(request: Request, name: str) -> Response:
    """The stages of one penetration, to type in."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    try:
        view = desk.tracker()
    except InputError as error:
        return site.faults(error, "The tracker can't be read", job_path(desk), desk)
    row = _row_of(view, name)
    fields = tuple(
        StageField(f"{at}", cell, _shown_on(cell), spec.meaning)
        for at, (cell, spec) in enumerate(zip(row.stages, STAGES, strict=True))
    )
    here = any(item.id == name for item in checked.rows)
    page = TrackPage(
        row,
        fields,
        job_path(desk, "tracker", name),
        job_path(desk, "tracker"),
        job_path(desk, "places", name) if here else "",
        view.mark,
        tuple(item for item in row.findings if item.open),
    )
    return site.page("track.html", page, Frame(f"Stages of {name}", desk, "tracker"))


def _typed_on(text: str) -> date | str | None:
    """What was typed as a date: a date, a word, or nothing."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        return text.casefold()


def _typed(row: TrackerRow, form: FormGiven) -> list[Typed]:
    """What the form of one penetration says, each place held against what it showed."""
    found: list[Typed] = []

    def put(about: About, base: tuple[str, ...], **said: object) -> None:
        place = f"{row.id}, {about}"
        found.append(Typed(_FILE, place, row.id, about, base, facts=row.facts, **said))  # type: ignore[arg-type]

    for at, cell in enumerate(row.stages):
        if f"on-{at}" in form.fields:
            on = _typed_on(form.first(f"on-{at}"))
            put(cell.stage, cell.entries, on=on, who=form.first(f"who-{at}"), text=form.first(f"text-{at}"))
    if "zone" in form.fields:
        put(Remark.ZONE, row.zone_entries, text=form.first("zone"), given=row.zone_given)
    if "note" in form.fields:
        put(Remark.NOTE, row.note_entries, text=form.first("note"))
    return found


@router.post("/tracker/{name}/typed")
async def typed_one(request: Request, name: str) -> Response:
    """Take what was typed of one penetration."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    back = job_path(desk, "tracker", name)
    try:
        form = await read_form(request, (), _FORM)
        view = await run_in_threadpool(desk.tracker)
        typed = _typed(_row_of(view, name), form)
        said = await run_in_threadpool(desk.type_stages, typed, form.first("mark"))
    except InputError as error:
        return site.faults(error, "Nothing was taken", back, desk)
    site.say(desk, said)
    return see_other(back)


@router.post("/tracker/typed")
async def typed_many(request: Request) -> Response:
    """Take one stage for all rows that were ticked."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    back = job_path(desk, "tracker")
    try:
        form = await read_form(request, (), _FORM)
        ids = dict.fromkeys(form.fields.get("id", ()))
        stage = next((item for item in Stage if str(item) == form.first("stage")), None)
        on = _typed_on(form.first("on"))
        if not ids or stage is None or on is None or not form.first("who"):
            text = "Tick the penetrations, and say the stage, its date and who did it."
            return site.message(MessagePage("Nothing was taken", text, (), back, "Back"), 422, desk)
        view = await run_in_threadpool(desk.tracker)
        at = list(Stage).index(stage)
        typed: list[Typed] = []
        for name in ids:
            row = _row_of(view, name)
            who, text = form.first("who"), form.first("text")
            place = f"{name}, {stage}"
            typed.append(Typed(_FILE, place, name, stage, row.stages[at].entries, on, who, text, facts=row.facts))
        said = await run_in_threadpool(desk.type_stages, typed, form.first("mark"))
    except InputError as error:
        return site.faults(error, "Nothing was taken", back, desk)
    site.say(desk, said)
    return see_other(f"{back}{_kept_filter(form)}")


def _kept_filter(form: FormGiven) -> str:
    """The filter that the page had, so that it is the same page again."""
    asked = TrackerFilter.of(QueryParams(form.first("shown")))
    return asked.query(asked.page)


@router.post("/tracker/sheet")
def sheet(request: Request) -> Response:
    """Write the tracker's workbook and hand it out."""
    site, desk = site_of(request), desk_of(request)
    checked_of(desk)
    try:
        path = desk.tracker_sheet()
        return attachment(path.read_bytes(), path.name)
    except InputError as error:
        return site.faults(error, "No sheet was written", job_path(desk, "tracker"), desk)


@router.post("/tracker/take")
async def take(request: Request) -> Response:
    """Take what was typed in a workbook that came back."""
    desk = desk_of(request)
    back = job_path(desk, "tracker")
    return await take_back(request, desk.take_tracker, "Nothing was taken", back) or see_other(back)
