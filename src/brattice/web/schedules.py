# SPDX-License-Identifier: Apache-2.0
"""Schedules: drop the next revision, see how a sheet is read, settle it by eye, check."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, HTTPException, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from brattice.errors import Fault, InputError
from brattice.web.forms import FormGiven, FormLimits, UploadKind, read_form
from brattice.web.intake import ColumnGiven, ColumnView, KeyChoice, MappingGiven, MappingView, ScheduleCard
from brattice.web.office import Desk
from brattice.web.site import Frame, MessagePage, desk_of, job_path, see_other, site_of

__all__ = ["MappingPage", "SchedulesPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

_MOST_COLUMNS = 1_000
_FORM = FormLimits(files=0, fields=4 * _MOST_COLUMNS + 50, field_bytes=40_000)
_UNITS = (
    ("", "–"),
    ("mm", "mm"),
    ("cm", "cm"),
    ("m", "m"),
    ("in", "inches"),
    ("in cells", "each cell has its own"),
    ("min", "minutes"),
    ("h", "hours"),
)
_ORDERS = (("", "–"), ("width-height", "width × height"), ("height-width", "height × width"))


@dataclass(frozen=True)
class SchedulesPage:
    """The schedules of a job; `faults` are those of its job file, which then names none."""

    cards: tuple[ScheduleCard, ...]
    address: str
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class MappingPage:
    """One schedule with its mapping, and the choices of the form."""

    view: MappingView
    address: str
    groups: tuple[tuple[str, tuple[KeyChoice, ...]], ...]
    words: dict[str, str]
    units: tuple[tuple[str, str], ...]
    orders: tuple[tuple[str, str], ...]

    def needs(self, column: ColumnView) -> str:
        """What a column is in need of, for its class: "open" or "new", else ""."""
        return "open" if column.is_open else "new" if column.is_new else ""


def _number(request: Request) -> int:
    text = str(request.path_params["number"])
    if not (text.isascii() and text.isdecimal() and len(text) < 6):
        raise HTTPException(404)
    return int(text)


def _page(desk: Desk, view: MappingView) -> MappingPage:
    groups: dict[str, list[KeyChoice]] = {}
    for key in view.keys:
        groups.setdefault(key.group, []).append(key)
    return MappingPage(
        view,
        job_path(desk, "schedules", str(view.number)),
        tuple((name, tuple(keys)) for name, keys in groups.items()),
        {key.key: key.words for key in view.keys},
        _UNITS,
        _ORDERS,
    )


def _shown(request: Request, desk: Desk, view: MappingView, status: int = 200) -> Response:
    title = f"How {view.path.rpartition('/')[2]} is read"
    return site_of(request).page("mapping.html", _page(desk, view), Frame(title, desk, "schedules"), status)


def _given(form: FormGiven) -> MappingGiven:
    """The mapping that a form states; what it can't mean is said by whoever reads it."""

    def whole(name: str) -> int:
        text = form.first(name)
        return int(text) if text.isascii() and text.isdecimal() and len(text) < 7 else 0

    columns: list[ColumnGiven] = []
    for number in range(_MOST_COLUMNS):
        if f"heading-{number}" not in form.fields:
            break
        heading = form.fields[f"heading-{number}"][0]
        names = ("key", "unit", "order")
        columns.append(ColumnGiven(heading, *(form.first(f"{name}-{number}") for name in names)))
    shown = form.fields.get("shown-sheet", ("",))[0]
    return MappingGiven(
        sheets=form.fields.get("sheet", (shown,)),
        first=whole("first") or 1,
        count=whole("count") or 1,
        hidden_rows=form.first("hidden-rows") or "read",
        merged_cells=form.first("merged-cells") or "fill down",
        formulas=form.first("formulas") or "not read",
        totals=bool(form.first("totals")),
        notes=bool(form.first("notes")),
        repeated_headings=bool(form.first("repeated-headings")),
        columns=tuple(columns),
        shown_sheet=shown,
        shown_first=whole("shown-first"),
        shown_count=whole("shown-count"),
    )


@router.get("/schedules")
def schedules(request: Request) -> Response:
    """The schedules of a job, each with the place to drop its next revision."""
    site, desk = site_of(request), desk_of(request)
    address = job_path(desk, "schedules")
    try:
        page = SchedulesPage(desk.schedules(), address)
    except InputError as error:
        page = SchedulesPage((), address, error.faults)
    return site.page("schedules.html", page, Frame("Schedules", desk, "schedules"))


@router.get("/schedules/{number}")
def mapping(request: Request) -> Response:
    """How a schedule is read."""
    desk = desk_of(request)
    try:
        view = desk.mapping(_number(request))
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        heading = "This schedule can't be read"
        return site_of(request).faults(error, heading, job_path(desk, "schedules"), desk)
    return _shown(request, desk, view)


@router.post("/schedules/{number}/file")
async def put(request: Request) -> Response:
    """Take the next revision of a schedule in; it waits until somebody has said how it is read."""
    site, desk, number = site_of(request), desk_of(request), _number(request)
    back = job_path(desk, "schedules")
    try:
        given = await read_form(request, (UploadKind.XLSX, UploadKind.CSV))
        if not given.files:
            return site.message(
                MessagePage("Nothing was taken", "Choose a schedule first.", (), back, "Back"), 422, desk
            )
        path = await run_in_threadpool(desk.put_schedule, number, given.files[0])
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        return site.faults(error, "Nothing was taken", back, desk)
    site.tell(desk, f"{given.files[0].name} waits to take the place of {path}. Look at how it is read, then take it.")
    return see_other(job_path(desk, "schedules", str(number)))


@router.post("/schedules/{number}/mapping")
async def settle(request: Request) -> Response:
    """Look again with what is chosen, or keep it and check."""
    site, desk, number = site_of(request), desk_of(request), _number(request)
    back = job_path(desk, "schedules", str(number))
    try:
        form = await read_form(request, (), _FORM)
        given = _given(form)
        if form.first("do") != "save":
            return _shown(request, desk, await run_in_threadpool(desk.mapping, number, given))
        wrong = await run_in_threadpool(desk.save_mapping, number, given)
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        return site.faults(error, "Nothing was kept", back, desk)
    if wrong is not None:
        return _shown(request, desk, wrong, 422)
    site.tell(desk, "The mapping is kept with the job; the job is checked with it.")
    desk.check()
    return see_other(job_path(desk))


@router.post("/schedules/{number}/take")
def take(request: Request) -> Response:
    """Take a waiting file of our own form, and check."""
    site, desk, number = site_of(request), desk_of(request), _number(request)
    try:
        desk.take_schedule(number)
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        return site.faults(error, "Nothing was taken", job_path(desk, "schedules"), desk)
    desk.check()
    return see_other(job_path(desk))


@router.post("/schedules/{number}/drop")
def drop(request: Request) -> Response:
    """Put a waiting file aside."""
    site, desk, number = site_of(request), desk_of(request), _number(request)
    try:
        desk.drop_schedule(number)
    except KeyError:
        raise HTTPException(404) from None
    except InputError as error:
        return site.faults(error, "Nothing was changed", job_path(desk, "schedules"), desk)
    site.tell(desk, "The newer file was not taken. It is kept with the job.")
    return see_other(job_path(desk, "schedules"))
