# SPDX-License-Identifier: Apache-2.0
"""What if: changes that somebody thinks of, and which answers they would change. Nothing is written."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import Response

from brattice.usecases.states import STATES, StateSpec
from brattice.usecases.what_if import AnswerChanged, WhatIf
from brattice.web.forms import read_form
from brattice.web.job import RunPage, run_page_of
from brattice.web.office import ChangeForms
from brattice.web.site import Frame, MessagePage, checked_of, desk_of, job_path, see_other, site_of

__all__ = ["LINES", "AnswerLine", "WhatIfPage", "router"]

router = APIRouter(prefix="/jobs/{job}")

LINES = 3
"""How many changes the form takes at once."""

_MOST = 500
_REACHES = (
    ("", "at these penetrations"),
    ("in-wall-type", "at all in the wall type"),
    ("with-product", "at all with the damper product"),
    ("everywhere", "everywhere"),
    ("wall-type", "in the wall-type sheet, row"),
)
_FIRST = ("product", "maker", "duct-size", "damper-size", "actuation", "class-text", "wall-type", "seal-products")
_SPECS = {spec.state: spec for spec in STATES}


@dataclass(frozen=True)
class AnswerLine:
    """An answer that would be another, with the lines of its states."""

    answer: AnswerChanged
    before: StateSpec
    after: StateSpec


@dataclass(frozen=True)
class WhatIfPage:
    """The form with its choices, the run that may go on, and the last answer."""

    run: RunPage
    address: str
    places: str
    reaches: tuple[tuple[str, str], ...]
    first: tuple[str, ...]
    others: tuple[str, ...]
    wall: tuple[str, ...]
    forms: ChangeForms
    changes: tuple[str, ...]
    result: WhatIf | None
    lines: tuple[AnswerLine, ...]
    there: frozenset[str]
    count: int = LINES


@router.get("/what-if")
def what_if(request: Request) -> Response:
    """The form, and the answer to the last question."""
    site, desk = site_of(request), desk_of(request)
    checked = checked_of(desk)
    run, asked, forms = run_page_of(desk), desk.what_if(), desk.change_forms()
    names = [name for name, _ in forms.at_penetrations]
    result = None if asked is None else asked.result
    answers = () if result is None else result.answers[:_MOST]
    page = WhatIfPage(
        run,
        job_path(desk, "what-if"),
        job_path(desk, "places"),
        _REACHES,
        tuple(name for name in _FIRST if name in names),
        tuple(sorted(name for name in names if name not in _FIRST)),
        tuple(name for name, _ in forms.in_wall_types),
        forms,
        () if asked is None else asked.changes,
        result,
        tuple(AnswerLine(item, _SPECS[item.state_before], _SPECS[item.state_after]) for item in answers),
        frozenset(row.id for row in checked.rows),
    )
    frame = Frame("What if", desk, "what-if", refresh_s=2 if run.goes_on else 0)
    return site.page("what_if.html", page, frame)


@router.post("/what-if")
async def ask(request: Request) -> Response:
    """Judge with the changes of the form; the page then shows how far it is."""
    site, desk = site_of(request), desk_of(request)
    back = job_path(desk, "what-if")
    given = await read_form(request)
    reaches = {value for value, _ in _REACHES}
    changes: list[str] = []
    for number in range(LINES):
        reach, field = given.first(f"reach-{number}"), given.first(f"field-{number}")
        names = " ".join(given.first(f"names-{number}").split())
        value = " ".join(given.first(f"value-{number}").split())
        if not (names or field or value):
            continue
        where = "everywhere" if reach == "everywhere" else f"{reach} {names}".strip()
        if reach not in reaches or "=" in names or not where or not field:
            text = f"Change {number + 1} has to say where (without an equals sign), what is changed, and its new value."
            return site.message(MessagePage("Nothing was judged", text, (), back, "Back"), 422, desk)
        changes.append(f"{where} {field}={value}")
    if not changes:
        text = "Say at least one change: where, what is changed, and its new value."
        return site.message(MessagePage("Nothing was judged", text, (), back, "Back"), 422, desk)
    desk.ask_what_if(changes)
    return see_other(back)
