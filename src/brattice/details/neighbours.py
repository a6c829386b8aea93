# SPDX-License-Identifier: Apache-2.0
"""What is near, and how far away, measured as the test measured it where that can be told."""

from __future__ import annotations

from brattice.building.penetration import Separation
from brattice.building.words import SeparationFill, Surface
from brattice.details.detail import Neighbour
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.given import Given, used
from brattice.evidence.checks_separation import CONSTRUCTION, neighbour_kind, slack
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known, Missing, Unknown, Verdict
from brattice.quantities import mm_text

__all__ = ["neighbours"]


def neighbours(given: Given) -> tuple[Neighbour, ...]:
    """Every neighbour that is stated or modelled, the nearest first; the judgment of the evidence decides."""
    found = [_one(given, item) for item in given.penetration.separations]
    return tuple(
        sorted(found, key=lambda item: (item.clear.value is None, item.clear.value or 0.0, item.kind, item.name))
    )


def _limit(
    given: Given, tested: TestedInstallation | None, kind: str
) -> tuple[float, Surface | None, Surface | None, str]:
    """The least distance to a kind of neighbour, its surfaces, and the row that says so ("" where the test does)."""
    for item in tested.separations if tested is not None else ():
        if item.to == kind:
            return item.least_mm, item.from_surface, item.to_surface, "scope.separation.own-test"
    row = "scope.separation.construction" if kind in CONSTRUCTION else "scope.separation.dampers"
    return given.book.number(row), None, None, row


def _one(given: Given, item: Separation) -> Neighbour:
    kind, tested = neighbour_kind(item), given.tested
    least, from_surface, to_surface, row = _limit(given, tested, kind)
    name = item.to
    ends = f"{item.from_surface} to {item.to_surface}"
    start = f"from the {from_surface}" if from_surface is not None else "surface not stated"
    limit = f"at least {mm_text(least)}, {start}"
    rows: tuple[str, ...] = (row, "scope.separation.surfaces")
    distance = item.distance_mm
    if isinstance(distance, Unknown):
        clear = Figure(
            "clear",
            f"Clear to {name}",
            None,
            "mm",
            TO_BE_SETTLED,
            "",
            limit,
            Verdict.UNKNOWN,
            rows,
            (),
            (distance.missing,),
            ends,
        )
        return Neighbour(name, kind, item.side, clear)
    reach = given.book.number("scope.separation.reach")
    beyond = None if tested is None else tested.casing_beyond_mm
    near, far = slack(item.from_surface, from_surface, beyond, reach)
    if kind == "damper":
        more_near, more_far = slack(item.to_surface, to_surface, None, reach)
        near, far = near + more_near, far + more_far
    value, note = float(distance.value), f"Measured {ends}."
    if near == far and near:
        value, note = distance.value - near, f"Measured {ends}, less {mm_text(near)} to the surfaces of the test."
    batt = isinstance(item.fill, Known) and item.fill.value is SeparationFill.BATT
    far_away = distance.value >= least + (2 if kind == "damper" else 1) * reach
    missing: tuple[Missing, ...] = ()
    if kind == "damper" and batt:  # however far apart: batt is no construction that could lie between
        verdict, note = Verdict.FAIL, f"{note} Only batt lies between, which is no supporting construction."
        rows = (*rows, "scope.separation.batt")
    elif far_away:
        verdict, rows = Verdict.PASS, (*rows, "scope.separation.reach")
    elif distance.value - near < least:
        verdict = Verdict.FAIL
    elif distance.value - far < least or (kind == "damper" and isinstance(item.fill, Unknown)):
        verdict = Verdict.UNKNOWN
        about = "the distance between the surfaces that the test measured from"
        asked = item.fill.missing if isinstance(item.fill, Unknown) and kind == "damper" else None
        missing = (asked or given.evidence_lacks(f"separation.{kind}", f"To a {kind}: {about}"),)
    else:
        verdict = Verdict.PASS
    uses = used(f"clear distance to {name}", distance, "mm")
    clear = Figure(
        "clear", f"Clear to {name}", value, "mm", mm_text(value), "", limit, verdict, rows, uses, missing, note
    )
    return Neighbour(name, kind, item.side, clear)
