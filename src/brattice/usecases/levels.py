# SPDX-License-Identifier: Apache-2.0
"""The penetrations of a report by level: which have a place on the storey's plan, and which stand in a list alone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from brattice.building.penetration import Location
from brattice.building.plan import StoreyPlan
from brattice.building.words import plain
from brattice.findings import Known
from brattice.sketch.plan import PlanMark
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.states import STATES

__all__ = ["LevelGroup", "levels_of", "marks_of"]

_MARKS = {spec.state: spec.mark for spec in STATES}
_NUMBER = re.compile(r"(\d{1,18})")


@dataclass(frozen=True)
class LevelGroup:
    """A level with its penetrations. `plan` is None where nothing of it has coordinates; `name` is "" where no level
    is known. `with_place` have a mark on the plan, `without_place` have none.
    """

    name: str
    plan: StoreyPlan | None
    marks: tuple[PlanMark, ...]
    with_place: tuple[PenetrationReport, ...]
    without_place: tuple[PenetrationReport, ...]

    @property
    def count(self) -> int:
        """How many penetrations are on the level."""
        return len(self.with_place) + len(self.without_place)


def _by_nature(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts "Level 2" before "Level 10"."""
    parts = (part for part in _NUMBER.split(text.casefold()) if part)
    return tuple((0, int(part), "") if part.isdecimal() and part.isascii() else (1, 0, part) for part in parts)


def marks_of(report: Report, plan: StoreyPlan) -> tuple[tuple[PlanMark, ...], tuple[str, ...]]:
    """The marks of a plan by the states of the report, and the ids that have no place on it."""
    by_id = {item.penetration.id: item for item in report.penetrations}
    return _marks(plan.penetrations, by_id)


def _marks(ids: Sequence[str], by_id: dict[str, PenetrationReport]) -> tuple[tuple[PlanMark, ...], tuple[str, ...]]:
    marks, without = [], []
    for name in ids:
        item = by_id.get(name)
        spot = _spot(item.penetration.location) if item is not None else None
        if item is None or spot is None:
            without.append(name)
        else:
            marks.append(PlanMark(name, *spot, _MARKS[item.state], str(item.state)))
    return tuple(marks), tuple(without)


def _spot(location: Location) -> tuple[float, float] | None:
    """Where it is in plan [m]: by its centre, else by a mark on a drawing."""
    if location.centre_m is not None:
        return location.centre_m[0], location.centre_m[1]
    return None if location.surveyed is None else (location.surveyed.value.x_m, location.surveyed.value.y_m)


def levels_of(report: Report) -> tuple[LevelGroup, ...]:
    """The levels that have a penetration: those with a plan by height, then the others by name, then none known."""
    by_id = {item.penetration.id: item for item in report.penetrations}
    plans = {plain(plan.storey): plan for plan in report.plans}
    names: dict[str, str] = {plain(plan.storey): plan.storey for plan in report.plans}
    home = {name: key for key, plan in reversed(plans.items()) for name in plan.penetrations}
    members: dict[str, list[PenetrationReport]] = {}
    for item in report.penetrations:
        storey = item.penetration.location.storey
        name = storey.value if isinstance(storey, Known) else ""
        key = home.get(item.penetration.id, plain(name))
        names.setdefault(key, name)
        members.setdefault(key, []).append(item)
    planned = [key for key in names if key in plans]
    others = sorted((key for key in names if key not in plans), key=lambda key: (not key, _by_nature(key), key))
    groups = []
    for key in (*planned, *others):
        items = members.get(key, [])
        plan = plans.get(key)
        mine = {item.penetration.id for item in items}
        marks, _ = _marks([name for name in plan.penetrations if name in mine], by_id) if plan is not None else ((), ())
        flagged = {mark.id for mark in marks}
        if items:
            groups.append(
                LevelGroup(
                    names[key],
                    plan if marks else None,
                    marks,
                    tuple(item for item in items if item.penetration.id in flagged),
                    tuple(item for item in items if item.penetration.id not in flagged),
                )
            )
    return tuple(groups)
