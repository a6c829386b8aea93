# SPDX-License-Identifier: Apache-2.0
"""A schedule row and the facts of one place of a model, for tests; all invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from brattice.building.penetration import Sides, Size
from brattice.building.schedule import ScheduleRow
from brattice.building.words import OpeningShape, Orientation, Service
from brattice.findings import Known, Origin
from brattice.quantities import Degrees, Mm
from brattice.usecases.merge import ModelFacts

__all__ = ["MODEL", "SHEET", "place", "row", "said"]

MODEL = Origin("models/services.ifc", "duct-1")
SHEET = Origin("schedule/schedule.xlsx", "sheet 'Schedule', row 5")


def said(value: Any) -> Known[Any]:
    """A value that the schedule states."""
    return Known(value, SHEET)


def row(reference: str = "FD-01", **changes: Any) -> ScheduleRow:
    """A row that states nothing but its reference and what is given; plain values of facts become known."""
    plain = {"aliases", "duct_guids", "damper_guids", "barrier_guids", "words", "key", "permanent_id", "shared_with"}
    plain |= {"distances", "remarks", "origin", "detail"}
    given: dict[str, Any] = {name: value if name in plain else said(value) for name, value in changes.items()}
    return replace(ScheduleRow(SHEET, reference), **given)


def place(key: str = "k-1", **changes: Any) -> ModelFacts:
    """A 600 × 400 duct through a 150 mm wall with an opening of 50 mm all round."""
    ordinary = ModelFacts(
        key=key,
        storey=Known("Level 1", MODEL),
        centre_m=(1.0, 2.0, 3.0),
        orientation=Known(Orientation.WALL, MODEL),
        wall_type_code=None,
        thickness_mm=Known(Mm(150), MODEL),
        rating=None,
        rating_unread=None,
        service=Service.DUCT,
        size=Known(Size(Mm(600), Mm(400)), MODEL),
        angle_deg=Known(Degrees(0), MODEL),
        damper_present=None,
        blade_offset_mm=None,
        position=None,
        opening_shape=Known(OpeningShape.RECTANGULAR, MODEL),
        framed=Known(Size(Mm(700), Mm(500)), MODEL),
        framed_gaps=Known(Sides(Mm(50), Mm(50), Mm(50), Mm(50)), MODEL),
        other_services=None,
        separations=(),
        barrier_guids=("wall-1",),
        duct_guids=("duct-1",),
        damper_guids=(),
        opening_guid="opening-1",
        queries=(),
        to_be_settled=False,
    )
    return replace(ordinary, **changes)
