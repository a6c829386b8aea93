# SPDX-License-Identifier: Apache-2.0
"""What a storey plan shows of the building: barriers and ducts as outlines seen from above."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from brattice.building.north import NO_NORTH, North

__all__ = ["PlanBarrier", "StoreyPlan", "SurveyedPlace", "Underlay"]


@dataclass(frozen=True)
class PlanBarrier:
    """A barrier on a storey plan: its outlines [m] (closed polygons of x, y), rating text, minutes where known."""

    guid: str
    name: str
    rating_text: str
    rating_min: int | None
    is_floor: bool
    outlines: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, slots=True)
class SurveyedPlace:
    """A place in plan [m] that somebody marked on a drawing under a level."""

    x_m: float
    y_m: float
    level: str
    by: str
    on: date
    plan: str

    def __str__(self) -> str:
        return f"x {self.x_m:.3f} m, y {self.y_m:.3f} m on {self.level}"


@dataclass(frozen=True)
class Underlay:
    """A drawing of others under a level: its file in the job, page from 1, whether it is a PDF, and its grid reference.

    `to_building` are a, b, east and north of the similarity from its sheet (x to the right, y up from the top) to
    metres; `points_m` the control points in the building, `rest_mm` how far the similarity leaves each of them [mm].
    """

    file: str
    level: str
    page: int
    is_pdf: bool
    to_building: tuple[float, float, float, float]
    points_m: tuple[tuple[float, float], ...]
    rest_mm: tuple[float, ...]


@dataclass(frozen=True)
class StoreyPlan:
    """What is drawn of a storey: barriers and duct outlines [m]; penetrations are placed by their centre, else by the
    mark that somebody placed on its underlay. `north` is what the models say together.
    """

    storey: str
    elevation_m: float
    barriers: tuple[PlanBarrier, ...]
    ducts: tuple[tuple[tuple[float, float], ...], ...]
    penetrations: tuple[str, ...]
    underlay: Underlay | None = None
    north: North = NO_NORTH
