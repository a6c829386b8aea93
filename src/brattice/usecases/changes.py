# SPDX-License-Identifier: Apache-2.0
"""Changes that somebody thinks of, applied to what was read of a job: as if the sheet said so. Nothing is written.

A change of a penetration takes the place of what its schedule row states; a change of a wall type takes the place of
one cell of its row in the wall-type sheet. Models and answers keep what they say: where they say otherwise, the same
contradiction comes about as if the sheet had been edited.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from brattice.building.queries import PENETRATION_FIELDS, field_of_key, query_key
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import WallType
from brattice.building.wall_types import WALL_TYPE_FIELDS, wall_type_of
from brattice.building.words import plain
from brattice.errors import Fault, InputError
from brattice.findings import Known, Origin, Unknown
from brattice.usecases.answers import with_answers
from brattice.usecases.check import Material
from brattice.usecases.combine import SOURCES
from brattice.usecases.facts import value_text
from brattice.usecases.job import Pin
from brattice.usecases.report_model import Report
from brattice.usecases.tie import Tied

__all__ = [
    "CHANGE_FIELDS",
    "INSTALLATION",
    "WALL_TYPE_CHANGE_FIELDS",
    "WHAT_IF",
    "Applied",
    "Change",
    "Changed",
    "Reach",
    "apply_changes",
    "short_name",
]

WHAT_IF = "what if"
"""The file that the origin of a changed fact names: no file says so yet."""

INSTALLATION = "installation"
"""The one change that is no fact: which tested installation the job pins."""

CHANGE_FIELDS = (*(name for name in PENETRATION_FIELDS if name != "separation-fill"), INSTALLATION)
"""What can be changed at a penetration; the facts are called as in the list of queries."""

_ELSEWHERE = {
    "barrier-role": ("role",),
    "wall-type": ("wall_type_code",),
    "framed-opening": ("framed",),
    "finished-clear-opening": ("finished",),
    "protection-method": ("method",),
    "spaces": ("space_a", "space_b"),
}
"""The facts that the fields of a schedule row call otherwise."""

_NOT_STATED = "not stated"
_NAMES_SHOWN = 12


class Reach(StrEnum):
    """Where a change holds."""

    PENETRATIONS = "penetrations"
    """At penetrations that are named: by permanent id, reference or alias."""
    WALL_TYPE = "wall type"
    """In a row of the wall-type sheet."""
    IN_WALL_TYPE = "penetrations in a wall type"
    WITH_PRODUCT = "penetrations with a damper product"
    EVERYWHERE = "every penetration"


@dataclass(frozen=True)
class Change:
    """One change: where, which fact (of `CHANGE_FIELDS` or `WALL_TYPE_CHANGE_FIELDS`), its value; None empties it.

    `text` is the change as somebody wrote it; messages about it name it so.
    """

    reach: Reach
    names: tuple[str, ...]
    field: str
    value: Any
    text: str


@dataclass(frozen=True)
class Changed:
    """One cell that is another now: a penetration's id or "wall type CODE", the fact, what it was and is, as text.

    `origin` is where the old value stands ("" where none was stated); `reaches` are the penetrations that use it.
    """

    subject: str
    field: str
    was: str
    origin: str
    now: str
    reaches: tuple[str, ...]


@dataclass(frozen=True)
class Applied:
    """The material with the changes in it, and every cell that is another now."""

    material: Material
    changed: tuple[Changed, ...]


def short_name(field: str) -> str:
    """The name of a wall type's field as a change names it: `"board_layers"` is `"board-layers"`."""
    return field.removesuffix("_mm").removesuffix("_kg_m3").replace("_", "-")


WALL_TYPE_CHANGE_FIELDS = tuple(short_name(name) for name in WALL_TYPE_FIELDS)
"""What can be changed of a wall type; called as in the list of queries."""


def _row_fields(field: str) -> tuple[str, ...]:
    return _ELSEWHERE.get(field, (field.replace("-", "_"),))


def _shown(names: Iterable[str]) -> str:
    listed = sorted(names)
    more = f" and {len(listed) - _NAMES_SHOWN} more" if len(listed) > _NAMES_SHOWN else ""
    return ", ".join(listed[:_NAMES_SHOWN]) + more if listed else "none"


def _near(name: str, known: Iterable[str]) -> str:
    by_plain = {plain(item): item for item in known}
    near = difflib.get_close_matches(plain(name), by_plain, n=1, cutoff=0.6)
    return f"; did you mean {by_plain[near[0]]!r}?" if near else ""


class _Places:
    """Which penetrations and wall types a change means, in the job as it is."""

    def __init__(self, material: Material, before: Report) -> None:
        self.material = material
        self.names = dict(material.identified.names())
        folded: dict[str, set[str]] = {}
        for name, permanent_id in self.names.items():
            folded.setdefault(plain(name), set()).add(permanent_id)
        self.folded = {name: min(ids) for name, ids in folded.items() if len(ids) == 1}
        self.ids = tuple(item.penetration.id for item in before.penetrations)
        self.by_wall: dict[str, list[str]] = {}
        self.by_product: dict[str, list[str]] = {}
        for item in before.penetrations:
            for fact, index in (
                (item.penetration.barrier.wall_type_code, self.by_wall),
                (item.penetration.damper.product, self.by_product),
            ):
                if isinstance(fact, Known):
                    index.setdefault(fact.value, []).append(item.penetration.id)

    def wall_code(self, name: str) -> str:
        """The code of a wall type that the sheets have or a penetration names; "" for none."""
        known = {*self.material.wall_types, *self.by_wall}
        if name in known:
            return name
        same = [code for code in known if plain(code) == plain(name)]
        return same[0] if len(same) == 1 else ""

    def of(self, change: Change, faults: list[Fault]) -> tuple[str, ...]:
        """The ids that a change means; a name that means none is a fault."""
        if change.reach is Reach.EVERYWHERE:
            return self.ids
        found: list[str] = []
        for name in change.names:
            if change.reach is Reach.PENETRATIONS:
                one = self.names.get(name) or self.folded.get(plain(name))
                if one is None:
                    expected = "a permanent id, a reference of the schedule or an alias that means one penetration"
                    faults.append(Fault(WHAT_IF, change.text, repr(name), expected + _near(name, self.names)))
                else:
                    found.append(one)
                continue
            index = self.by_wall if change.reach is Reach.IN_WALL_TYPE else self.by_product
            what = "the wall type" if change.reach is Reach.IN_WALL_TYPE else "the product"
            same = [ids for known, ids in index.items() if plain(known) == plain(name)]
            if not same:
                expected = f"{what} of a penetration: {_shown(index)}"
                faults.append(Fault(WHAT_IF, change.text, repr(name), expected))
            found += [one for ids in same for one in ids]
        return tuple(sorted(set(found)))


def _origin(subject: str, field: str) -> Origin:
    return Origin(WHAT_IF, f"{field} of {subject}")


def _empty_row(permanent_id: str) -> ScheduleRow:
    return ScheduleRow(Origin(WHAT_IF, f"a row for {permanent_id}"), permanent_id)


def _derived_damper(row: ScheduleRow) -> bool:
    """Whether that a damper is to be here was read from the product or class that the row names."""
    present = row.damper_present
    return present is not None and any(
        fact is not None and fact.origin == present.origin for fact in (row.product, row.class_text)
    )


def _with_facts(row: ScheduleRow, permanent_id: str, values: Mapping[str, Any]) -> ScheduleRow:
    """The row as its reader would give it with these values (by field name of a change) in its cells."""
    derived = _derived_damper(row)
    facts: dict[str, Any] = {}
    for field, value in values.items():
        for name in _row_fields(field):
            old = getattr(row, name)
            if field != "spaces" and isinstance(old, Known) and old.value == value:
                continue
            facts[name] = None if value is None else Known(value, _origin(permanent_id, field))
    if values.get("run-proven") is True and row.run_document is None:
        facts["run_document"] = Known("a document that is not named yet", _origin(permanent_id, "run-proven"))
    changed = replace(row, **facts)
    if "damper-present" in values or not (derived or changed.damper_present is None):
        return changed
    named = changed.product or changed.class_text
    return replace(changed, damper_present=None if named is None else Known(True, named.origin))


def _contradicts_itself(row: ScheduleRow) -> str:
    """What a schedule's reader would refuse in the changed row; "" where it holds together."""
    absent = row.damper_present is not None and not row.damper_present.value
    if absent and (row.product is not None or row.class_text is not None):
        return "no damper beside a damper product or class; change damper-present, or empty product and class-text"
    return ""


def _text(value: Any, field: str) -> str:
    return _NOT_STATED if value is None else value_text(value, field)


def _row_value(row: ScheduleRow | None, field: str) -> Known[Any] | None:
    if row is None:
        return None
    fact: Known[Any] | None = row.spaces if field == "spaces" else getattr(row, _row_fields(field)[0])
    return fact


def _changed_rows(
    material: Material, wanted: Mapping[str, Mapping[str, Change]], faults: list[Fault]
) -> tuple[tuple[Tied, ...], list[Changed]]:
    tied: list[Tied] = []
    told: list[Changed] = []
    for item in material.identified.tied:
        permanent_id = material.identified.ledger.ids[item.key]
        changes = {field: change for field, change in wanted.get(permanent_id, {}).items() if field != INSTALLATION}
        cells = []
        for field, change in sorted(changes.items()):
            was = _row_value(item.row, field)
            if (None if was is None else was.value) != change.value:
                name = _row_fields(field)[0]
                origin = "" if was is None else str(was.origin)
                old, new = _text(None if was is None else was.value, name), _text(change.value, name)
                cells.append(Changed(permanent_id, field, old, origin, new, (permanent_id,)))
        if not cells:
            tied.append(item)
            continue
        values = {cell.field: changes[cell.field].value for cell in cells}
        row = _with_facts(item.row or _empty_row(permanent_id), permanent_id, values)
        fault = _contradicts_itself(row)
        if fault:
            text = "; ".join(dict.fromkeys(changes[cell.field].text for cell in cells))
            faults.append(
                Fault(WHAT_IF, text, f"at {permanent_id} {fault.partition(';')[0]}", fault.partition("; ")[2])
            )
        tied.append(replace(item, row=row))
        told += cells
    return tuple(tied), told


def _changed_pins(
    material: Material, wanted: Mapping[str, Mapping[str, Change]], faults: list[Fault]
) -> tuple[tuple[Pin, ...], list[Changed]]:
    pins = {item.penetration: item for item in material.job.pins}
    known = sorted(item.id for item in material.installations)
    told: list[Changed] = []
    for permanent_id, changes in sorted(wanted.items()):
        change = changes.get(INSTALLATION)
        if change is None:
            continue
        if change.value is not None and change.value not in known:
            expected = f"a tested installation that is loaded: {_shown(known)}"
            faults.append(Fault(WHAT_IF, change.text, repr(change.value), expected))
            continue
        was = pins.get(permanent_id)
        if (None if was is None else was.installation) == change.value:
            continue
        if change.value is None:
            pins.pop(permanent_id)
        else:
            pins[permanent_id] = Pin(permanent_id, change.value, WHAT_IF)
        old = "none pinned" if was is None else was.installation
        origin = "" if was is None else f"pinned: {was.why}"
        now = "none pinned" if change.value is None else change.value
        told.append(Changed(permanent_id, INSTALLATION, old, origin, now, (permanent_id,)))
    return tuple(pin for _, pin in sorted(pins.items())), told


def _with_field(wall: WallType, name: str, fact: object) -> WallType:
    changed: dict[str, Any] = {name: fact}
    return replace(wall, **changed)


def _changed_walls(
    material: Material, wanted: Mapping[str, Mapping[str, Change]], places: _Places
) -> tuple[dict[str, WallType], list[Changed]]:
    types = dict(material.wall_types)
    told: list[Changed] = []
    for code, changes in sorted(wanted.items()):
        wall = types.get(code) or wall_type_of(code, {})
        mine: set[str] = set()
        reaches = tuple(places.by_wall.get(code, ()))
        for short, change in sorted(changes.items()):
            name = next(item for item in WALL_TYPE_FIELDS if short_name(item) == short)
            was = getattr(wall, name)
            known = was.value if isinstance(was, Known) else None
            if known == change.value and not (isinstance(was, Unknown) and was.missing.key.endswith(SOURCES)):
                continue
            empty = getattr(wall_type_of(code, {}), name)
            fact = empty if change.value is None else Known(change.value, _origin(f"wall type {code}", short))
            wall = _with_field(wall, name, fact)
            mine.add(name)
            origin = str(was.origin) if isinstance(was, Known) else ""
            told.append(
                Changed(f"wall type {code}", short, _text(known, name), origin, _text(change.value, name), reaches)
            )
        if not mine:
            continue
        # An answer to a query stays one more source of what was changed, as it would beside the edited sheet.
        answers = {}
        for key, answer in material.answered.items():
            named = field_of_key(query_key(key))
            if named is not None and (named.kind, named.subject) == ("wall-type", code) and named.name in mine:
                answers[key] = answer
        types[code] = with_answers({code: wall}, answers)[code]
    return types, told


def apply_changes(material: Material, before: Report, changes: Sequence[Change]) -> Applied:
    """The material as if the schedule, the wall-type sheet and the pins said what the changes say.

    The order of the changes does not matter: each means the job as it is, and two that set one fact to different
    values are a fault. `before` is the report of `check_job` on the material.

    Raises
    ------
    InputError : a name that means nothing in the job, a fact set twice, a row that would contradict itself; all at once
    """
    faults: list[Fault] = []
    places = _Places(material, before)
    cells: dict[str, dict[str, Change]] = {}
    walls: dict[str, dict[str, Change]] = {}

    def want(where: dict[str, dict[str, Change]], subject: str, change: Change) -> None:
        first = where.setdefault(subject, {}).setdefault(change.field, change)
        if first.value != change.value:
            one, other = sorted((first.text, change.text))
            faults.append(Fault(WHAT_IF, other, f"{change.field} of {subject} set twice (also by {one!r})", "once"))

    for change in changes:
        allowed = WALL_TYPE_CHANGE_FIELDS if change.reach is Reach.WALL_TYPE else CHANGE_FIELDS
        if change.field not in allowed:
            expected = f"one of {', '.join(allowed)}"
            faults.append(Fault(WHAT_IF, change.text, repr(change.field), expected))
            continue
        if change.reach is not Reach.WALL_TYPE:
            for permanent_id in places.of(change, faults):
                want(cells, permanent_id, change)
            continue
        for name in change.names:
            code = places.wall_code(name)
            if code:
                want(walls, code, change)
            else:
                known = {*material.wall_types, *places.by_wall}
                expected = f"a wall type of the job: {_shown(known)}"
                faults.append(Fault(WHAT_IF, change.text, f"the wall type {name!r}", expected))
    tied, told = _changed_rows(material, cells, faults)
    pins, of_pins = _changed_pins(material, cells, faults)
    types, of_walls = _changed_walls(material, walls, places)
    if faults:
        raise InputError(set(faults))
    changed = replace(
        material,
        job=replace(material.job, pins=pins),
        identified=replace(material.identified, tied=tied),
        wall_types=types,
    )
    return Applied(changed, tuple(sorted((*told, *of_pins, *of_walls), key=lambda item: (item.subject, item.field))))
