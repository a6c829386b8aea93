# SPDX-License-Identifier: Apache-2.0
"""What is near, and how far away, measured as the test measured it where that can be told."""

from __future__ import annotations

from brattice.building.penetration import Separation
from brattice.building.words import SeparationFill
from brattice.details.detail import Neighbour
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.given import Given, used
from brattice.evidence.checks_separation import (
    CONSTRUCTION,
    DistancesOfRows,
    apart,
    distance_bounds,
    is_beyond_reach,
    is_too_near,
    neighbour_kind,
)
from brattice.findings import Known, Missing, Unknown, Verdict
from brattice.quantities import mm_text

__all__ = ["neighbours"]


def neighbours(given: Given) -> tuple[Neighbour, ...]:
    """Every neighbour that is stated or modelled, the nearest first; the judgment of the evidence decides."""
    found = [_one(given, item) for item in given.penetration.separations]
    return tuple(
        sorted(found, key=lambda item: (item.clear.value is None, item.clear.value or 0.0, item.kind, item.name))
    )


def _one(given: Given, item: Separation) -> Neighbour:
    kind, tested, name = neighbour_kind(item), given.tested, item.to
    rules = given.book.once(("distances",), lambda: DistancesOfRows.of(given.book))
    held = apart(tested, kind, rules)
    default = "scope.separation.construction" if kind in CONSTRUCTION else "scope.separation.dampers"
    rows: tuple[str, ...] = ("scope.separation.own-test" if held.own else default, "scope.separation.surfaces")
    ends = f"{item.from_surface} to {item.to_surface}"
    start = f"from the {held.from_surface}" if held.from_surface is not None else "surface not stated"
    limit, title = f"at least {mm_text(held.least_mm)}, {start}", f"Clear to {name}"
    distance = item.distance_mm
    if isinstance(distance, Unknown):
        lacks = (distance.missing,)
        clear = Figure("clear", title, None, "mm", TO_BE_SETTLED, "", limit, Verdict.UNKNOWN, rows, (), lacks, ends)
        return Neighbour(name, kind, item.side, clear)
    bounds = distance_bounds(item, tested, held, rules)
    value, note = float(distance.value), f"Measured {ends}."
    if bounds.low == bounds.high and bounds.low:
        value = distance.value + bounds.low
        note = f"Measured {ends}, less {mm_text(-bounds.low)} to the surfaces of the test."
    missing: tuple[Missing, ...] = ()
    batt = isinstance(item.fill, Known) and item.fill.value is SeparationFill.BATT
    not_told = kind == "damper" and isinstance(item.fill, Unknown)
    verdict = Verdict.PASS
    if kind == "damper" and batt:  # however far apart: batt is no construction that could lie between
        verdict, note = Verdict.FAIL, f"{note} Only batt lies between, which is no supporting construction."
        rows = (*rows, "scope.separation.batt")
    elif is_beyond_reach(distance.value, kind, held, rules):
        rows = (*rows, "scope.separation.reach")
    elif is_too_near(distance.value, bounds, held):
        verdict = Verdict.FAIL
    elif not_told or distance.value + bounds.low < held.least_mm:
        verdict = Verdict.UNKNOWN
        about = f"To a {kind}: the distance between the surfaces that the test measured from"
        missing = (given.evidence_lacks(f"separation.{kind}", about),)
        if not_told and isinstance(item.fill, Unknown):
            missing = (item.fill.missing,)
    uses = used(f"clear distance to {name}", distance, "mm")
    clear = Figure("clear", title, value, "mm", mm_text(value), "", limit, verdict, rows, uses, missing, note)
    return Neighbour(name, kind, item.side, clear)
