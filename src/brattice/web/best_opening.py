# SPDX-License-Identifier: Apache-2.0
"""The best nominal opening under site tolerances: for choosing a size, never for accepting a made opening."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from fastapi import APIRouter, Request
from starlette.datastructures import QueryParams
from starlette.responses import Response

from brattice.errors import Fault, InputError
from brattice.usecases.choose_opening import (
    OPENING_FIELDS,
    AxisChoice,
    OpeningChoice,
    OpeningDraft,
    OpeningField,
    choose_opening,
)
from brattice.web.office import RowPassport
from brattice.web.site import Frame, checked_of, desk_of, job_path, site_of

__all__ = ["BestOpeningPage", "Chart", "InputLine", "chart_of", "router"]

router = APIRouter(prefix="/jobs/{job}")

_MOST_TEXT = 24
_MOST_ID = 60
_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _BOTTOM = 360.0, 176.0, 14.0, 346.0, 30.0, 150.0


@dataclass(frozen=True)
class InputLine:
    """A field of the form with the text that stands in it."""

    field: OpeningField
    text: str


@dataclass(frozen=True)
class Chart:
    """The room that is left against the nominal size, in the units of its drawing: a line, the line of no room, and
    the best size. `zero_y` is None where no room lies beyond the drawing.
    """

    axis: AxisChoice
    line: str
    zero_y: float | None
    best_x: float
    best_y: float
    best_anchor: str
    first: str
    last: str
    width: float = _WIDTH
    height: float = _HEIGHT
    left: float = _LEFT
    right: float = _RIGHT
    top: float = _TOP
    bottom: float = _BOTTOM


@dataclass(frozen=True)
class BestOpeningPage:
    """The form with what stands in it, and the answer where something was asked."""

    address: str
    of: str
    place: str
    groups: tuple[tuple[str, tuple[InputLine, ...]], ...]
    lacks: tuple[str, ...]
    rows: tuple[RowPassport, ...]
    choice: OpeningChoice | None
    charts: tuple[Chart, ...]
    faults: tuple[Fault, ...]


def chart_of(axis: AxisChoice) -> Chart | None:
    """The drawing of an axis; None where nothing is known."""
    if not axis.points:
        return None
    sizes = [point.nominal_mm for point in axis.points]
    rooms = [point.margin_mm for point in axis.points]
    least, most = min(*rooms, 0.0), max(*rooms, 0.0)
    across, up = (sizes[-1] - sizes[0]) or 1.0, (most - least) or 1.0

    def x(size: float) -> float:
        return round(_LEFT + (size - sizes[0]) / across * (_RIGHT - _LEFT), 1)

    def y(room: float) -> float:
        return round(_BOTTOM - (room - least) / up * (_BOTTOM - _TOP), 1)

    best_x = x(axis.best.nominal_mm or 0.0)
    return Chart(
        axis,
        " ".join(f"{x(size)},{y(room)}" for size, room in zip(sizes, rooms, strict=True)),
        y(0.0),
        best_x,
        y(axis.best.margin_mm or 0.0),
        "middle",
        axis.points[0].nominal_text,
        axis.points[-1].nominal_text,
    )


def _number(text: str) -> float | None:
    """A number as people type it; None where it is none. A comma is no decimal point here: it could part thousands."""
    try:
        value = float(text)
    except ValueError:
        return None
    plain = all(char.isascii() and (char.isdigit() or char in ".+-") for char in text)
    return value if plain and math.isfinite(value) else None


def _read(given: QueryParams) -> tuple[dict[str, str], dict[str, float | None], tuple[Fault, ...]]:
    """The texts of the form, the numbers that they are, and what is no number."""
    texts = {field.name: given.get(field.name, "").strip()[:_MOST_TEXT] for field in OPENING_FIELDS}
    values: dict[str, float | None] = {}
    faults = []
    for field in OPENING_FIELDS:
        text = texts[field.name]
        values[field.name] = _number(text) if text else None
        if text and values[field.name] is None:
            faults.append(Fault("the form", field.words, text, "a number like 12.5"))
    return texts, values, tuple(faults)


def _texts(values: Mapping[str, float | None]) -> dict[str, str]:
    return {name: "" if value is None else f"{value:g}" for name, value in values.items()}


def _groups(texts: Mapping[str, str]) -> tuple[tuple[str, tuple[InputLine, ...]], ...]:
    lines = [InputLine(field, texts.get(field.name, "")) for field in OPENING_FIELDS]
    return tuple((words, tuple(found)) for words, found in groupby(lines, lambda line: line.field.group))


@router.get("/best-opening")
def best_opening(request: Request) -> Response:
    """The form, filled in for a penetration where the address names one; with its numbers, the answer."""
    site, desk = site_of(request), desk_of(request)
    detailed = checked_of(desk).detailed
    given = request.query_params
    faults: tuple[Fault, ...] = ()
    try:
        draft = detailed.opening_draft(given.get("of", "").strip()[:_MOST_ID])
    except KeyError:
        draft = detailed.opening_draft("")
        name = given.get("of", "").strip()[:_MOST_ID]
        faults = (Fault("the form", "Of a penetration", name, "the permanent id of a penetration of this job"),)
    asked = any(field.name in given for field in OPENING_FIELDS)
    choice: OpeningChoice | None = None
    texts, values = _texts(draft.values), dict(draft.values)
    if asked:
        texts, values, unread = _read(given)
        faults = (*faults, *unread)
    if not faults and (asked or (draft.of and not draft.lacks)):
        try:
            choice = choose_opening(values)
        except InputError as error:
            faults = error.faults
    page = _page(draft, texts, choice, faults, tuple(detailed.passport(row) for row in draft.rows), desk_path(request))
    return site.page("best_opening.html", page, Frame("Best opening", desk, "best-opening"), 422 if faults else 200)


def desk_path(request: Request) -> str:
    """The address of the page."""
    return job_path(desk_of(request), "best-opening")


def _page(
    draft: OpeningDraft,
    texts: Mapping[str, str],
    choice: OpeningChoice | None,
    faults: tuple[Fault, ...],
    rows: tuple[RowPassport, ...],
    address: str,
) -> BestOpeningPage:
    charts = [chart_of(axis) for axis in choice.axes] if choice is not None else []
    place = f"{address.rpartition('/')[0]}/places/{draft.of}#installation" if draft.of else ""
    drawn = tuple(chart for chart in charts if chart is not None)
    return BestOpeningPage(address, draft.of, place, _groups(texts), draft.lacks, rows, choice, drawn, faults)
