# SPDX-License-Identifier: Apache-2.0
"""What a storey plan shows of the building: barriers and ducts as outlines seen from above."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["PlanBarrier", "StoreyPlan"]


@dataclass(frozen=True)
class PlanBarrier:
    """A barrier on a storey plan: its outlines [m] (closed polygons of x, y), rating text, minutes where known."""

    guid: str
    name: str
    rating_text: str
    rating_min: int | None
    is_floor: bool
    outlines: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True)
class StoreyPlan:
    """What is drawn of a storey: barriers and duct outlines [m]; penetrations are placed by their centre."""

    storey: str
    elevation_m: float
    barriers: tuple[PlanBarrier, ...]
    ducts: tuple[tuple[tuple[float, float], ...], ...]
    penetrations: tuple[str, ...]
