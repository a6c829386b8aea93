# SPDX-License-Identifier: Apache-2.0
"""What the drawings and marks of a job say, as facts with their origin."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from brattice.adapters.files import sha256_of
from brattice.adapters.plans.marks import MARKS_FILE, read_marks
from brattice.adapters.plans.sheets import PLANS_FILE, PLANS_FOLDER, PlanFile, read_plan_files
from brattice.building.plan import SurveyedPlace, Underlay
from brattice.findings import Known, Origin

__all__ = ["SurveyRead", "read_survey"]


@dataclass(frozen=True)
class SurveyRead:
    """The drawings under levels, the places that marks state (penetration as named, place), and the files read."""

    underlays: tuple[Underlay, ...] = ()
    places: tuple[tuple[str, Known[SurveyedPlace]], ...] = ()
    files: tuple[tuple[str, str, str], ...] = ()


def _underlay(plan: PlanFile) -> Underlay:
    fit = plan.to_building
    return Underlay(
        f"{PLANS_FOLDER}/{plan.file}",
        plan.level,
        plan.page,
        plan.is_pdf,
        (fit.a, fit.b, fit.east, fit.north),
        plan.points_m,
        tuple(rest * 1000.0 for rest in plan.rest_m),
    )


def read_survey(folder: Path) -> SurveyRead:
    """Everything under `plans/` of a job folder; nothing where it has none. Raises `InputError` with all faults."""
    plans = {plan.file: plan for plan in read_plan_files(folder)}
    marks = read_marks(folder, plans)
    places = []
    for mark in marks:
        plan = plans[mark.plan]
        x, y = plan.place_m(mark.x, mark.y)
        by = f"surveyed by {mark.by}, {mark.on.isoformat()}, on {mark.plan}"
        origin = Origin(MARKS_FILE, f"row {mark.number}: {by}")
        place = SurveyedPlace(round(x, 3), round(y, 3), plan.level, mark.by, mark.on, mark.plan)
        places.append((mark.penetration, Known(place, origin)))
    names = [(PLANS_FILE, "plans under levels")] if plans else []
    names += [(f"{PLANS_FOLDER}/{plan.file}", f"plan under {plan.level}") for plan in plans.values()]
    names += [(MARKS_FILE, "marks on plans")] if marks else []
    files = tuple((name, role, sha256_of(folder / name)) for name, role in names)
    return SurveyRead(tuple(_underlay(plan) for plan in plans.values()), tuple(places), files)
