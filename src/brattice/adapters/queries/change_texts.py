# SPDX-License-Identifier: Apache-2.0
"""Changes as somebody writes them, read strictly: values by the readers of the schedule and the wall-type sheet.

    P-0007 duct-size=600x400                one penetration, by permanent id, reference or alias
    P-0007; FD-12 actuation=thermal         several, separated by ;
    in-wall-type W3 seal-products=…         every penetration in a wall type
    with-product Vane 60M product=Vane 60R  every penetration with a damper product
    everywhere support=drop rods            every penetration
    wall-type W3 board-layers=2; 2          one cell of the wall-type sheet

The first `name=` after the place begins the value; nothing after it, or a word that says nothing, empties the cell.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from brattice.adapters.queries.answer_values import expected_of, read_answer, says_nothing
from brattice.adapters.text import one_line
from brattice.errors import Fault, InputError
from brattice.usecases.changes import CHANGE_FIELDS, INSTALLATION, WALL_TYPE_CHANGE_FIELDS, WHAT_IF, Change, Reach

__all__ = ["CHANGE_FORMS", "read_changes", "value_expected"]

CHANGE_FORMS = "PLACE NAME=VALUE, like 'P-0007 duct-size=600x400' or 'wall-type W3 board-layers=2; 2'"
"""The form of one change, as messages say it."""

_CHANGE = re.compile(r"(?P<where>\S.*?)\s+(?P<field>[A-Za-z][A-Za-z0-9_-]*)\s*=(?P<value>.*)\Z", re.DOTALL)
_REACHES = {
    "wall-type": Reach.WALL_TYPE,
    "in-wall-type": Reach.IN_WALL_TYPE,
    "with-product": Reach.WITH_PRODUCT,
}
_UNITS = ("-mm", "-kg-m3")


def _where(text: str) -> tuple[Reach, tuple[str, ...]]:
    """What stands before the field: which reach, and the names."""
    if text.casefold() == "everywhere":
        return Reach.EVERYWHERE, ()
    first, _, rest = text.partition(" ")
    reach = _REACHES.get(first.casefold())
    names = text if reach is None else rest
    return reach or Reach.PENETRATIONS, tuple(name for part in names.split(";") if (name := one_line(part)))


def _field(text: str, allowed: Iterable[str]) -> str:
    """The field that a name means, with hyphens or underlines, with or without its unit; "" for none."""
    known = set(allowed)
    name = text.casefold().replace("_", "-")
    bare = next((name.removesuffix(unit) for unit in _UNITS if name.endswith(unit)), name)
    return next((item for item in (name, bare) if item in known), "")


def value_expected(reach: Reach, field: str) -> str:
    """What may stand as the value of a field, in words."""
    if field == INSTALLATION:
        return "the id of a tested installation that is loaded"
    return expected_of(_key(reach, field))


def _key(reach: Reach, field: str) -> str:
    """A key that names the field, for the reader of values."""
    return f"wall-type/any/{field}" if reach is Reach.WALL_TYPE else f"penetration/any/{field}"


def _read(text: str, faults: list[Fault]) -> Change | None:
    shown = one_line(text, 200)
    match = _CHANGE.match(text.strip())
    if match is None:
        faults.append(Fault(WHAT_IF, shown, "no change", CHANGE_FORMS))
        return None
    reach, names = _where(one_line(match["where"]))
    allowed = WALL_TYPE_CHANGE_FIELDS if reach is Reach.WALL_TYPE else CHANGE_FIELDS
    field = _field(match["field"], allowed)
    if not names and reach is not Reach.EVERYWHERE:
        faults.append(Fault(WHAT_IF, shown, "no name of a place", CHANGE_FORMS))
    if not field:
        given = match["field"].casefold().replace("_", "-")
        near = [item for item in allowed if item.endswith(f"-{given}")]
        near = near or difflib.get_close_matches(given, allowed, n=1, cutoff=0.6)
        hint = f"; did you mean {' or '.join(map(repr, near))}?" if near else ""
        faults.append(Fault(WHAT_IF, shown, repr(match["field"]), f"one of {', '.join(allowed)}{hint}"))
        return None
    value: object = one_line(match["value"])
    if says_nothing(str(value)):
        return Change(reach, names, field, None, shown)
    if field != INSTALLATION:
        value = read_answer(_key(reach, field), match["value"])
        if isinstance(value, Fault):
            faults.append(Fault(WHAT_IF, shown, value.found, value.expected))
            return None
    return Change(reach, names, field, value, shown)


def read_changes(texts: Iterable[str]) -> tuple[Change, ...]:
    """The changes that texts state; the forms are those of this module's head.

    Raises `InputError` with every fault of every text, each with what is allowed.
    """
    faults: list[Fault] = []
    found = [_read(text, faults) for text in texts]
    if faults:
        raise InputError(faults)
    return tuple(change for change in found if change is not None)
