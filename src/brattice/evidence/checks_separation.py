# SPDX-License-Identifier: Apache-2.0
"""The check of distances to neighbours: measured as the test measured them, or only able to show "too near"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from brattice.building.penetration import Penetration, Separation
from brattice.building.words import SeparationFill, Surface
from brattice.evidence.checking import (
    Basis,
    Checked,
    Missed,
    cured,
    evidence_missing,
    failed,
    not_applicable,
    passed,
    unknown,
)
from brattice.evidence.codes import SEPARATION
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known, Unknown
from brattice.quantities import mm_text, number_text
from brattice.requirements.requirement import Requirement
from brattice.rows import RowBook

__all__ = [
    "CONSTRUCTION",
    "Apart",
    "Bounds",
    "Distances",
    "DistancesOfRows",
    "apart",
    "check_separations",
    "distance_bounds",
    "have_text",
    "is_beyond_reach",
    "is_too_near",
    "lies_within",
    "need_text",
    "neighbour_kind",
    "slack",
]

CONSTRUCTION = ("wall", "floor")

_RANK = {Surface.DUCT: 0, Surface.CASING: 1, Surface.FLANGE: 2, Surface.FRAME: 2}
"""How far out a surface stands: the casing encloses the duct, flange and frame stand out beyond the casing."""

_DEFAULT_RANK = 1
"""Where a rule or document names no surface, it is the casing or something farther out, never the duct."""


class Distances(Protocol):
    """What the rows say of distances [mm]: least to dampers and to construction, and how far a damper reaches."""

    @property
    def damper_apart_mm(self) -> float:
        """Least clear distance to another damper [mm]."""
        ...

    @property
    def construction_apart_mm(self) -> float:
        """Least clear distance to a wall or floor that adjoins [mm]."""
        ...

    @property
    def reach_mm(self) -> float:
        """How far anything of a damper stands out beyond its duct at most [mm]."""
        ...


@dataclass(frozen=True)
class DistancesOfRows:
    """`Distances` of a book of rows alone, where no date or jurisdiction is at hand; `Basis` holds the same."""

    damper_apart_mm: float
    construction_apart_mm: float
    reach_mm: float

    @classmethod
    def of(cls, book: RowBook) -> DistancesOfRows:
        """The distances of the rows under `scope.separation.`."""
        rows = ("scope.separation.dampers", "scope.separation.construction", "scope.separation.reach")
        return cls(*(book.number(row) for row in rows))


def lies_within(inner: Surface, outer: Surface) -> bool:
    """Whether one surface is the other or certainly lies within it: the duct lies within all that is round it."""
    if inner is outer:
        return True
    if Surface.FACE in (inner, outer):
        return False
    here, there = _RANK.get(inner), _RANK.get(outer)
    return inner is Surface.DUCT or (here is not None and there is not None and here < there)


@dataclass(frozen=True)
class Apart:
    """The least distance tested to a kind of neighbour, its surfaces (None: not stated), and whose rule it is."""

    least_mm: float
    from_surface: Surface | None
    to_surface: Surface | None
    own: bool


@dataclass(frozen=True)
class Bounds:
    """What can be said of the distance as tested, given the measured one: measured + `low` … measured + `high`."""

    low: float
    high: float


def neighbour_kind(separation: Separation) -> str:
    """ "wall" or "floor" for adjoining construction, "damper" for another penetration."""
    return separation.to if separation.to in CONSTRUCTION else "damper"


def apart(installation: TestedInstallation | None, kind: str, basis: Distances) -> Apart:
    """What holds to a kind of neighbour: the document's own distance, else that of the rows (2.30, 2.31)."""
    for item in () if installation is None else installation.separations:
        if item.to == kind:
            return Apart(item.least_mm, item.from_surface, item.to_surface, True)
    least = basis.construction_apart_mm if kind in CONSTRUCTION else basis.damper_apart_mm
    return Apart(least, None, None, False)


def slack(
    measured: Surface, tested: Surface | None, beyond: tuple[float, ...] | None, reach_mm: float
) -> tuple[float, float]:
    """How much the tested surface lies nearer to the neighbour than the measured one, at least and at most [mm].

    Positive: nearer, so the tested distance is shorter. `reach_mm` bounds how far anything of a damper stands out;
    `beyond` is how far its casing does.
    """
    if measured is tested:
        return 0.0, 0.0
    if {measured, tested} == {Surface.DUCT, Surface.CASING} and beyond is not None:
        near, far = min(beyond), max(beyond)
        return (near, far) if measured is Surface.DUCT else (-far, -near)
    here = _RANK.get(measured)
    there = _DEFAULT_RANK if tested is None else _RANK.get(tested)
    if here is None or there is None:
        return -reach_mm, reach_mm
    if here < there or (tested is None and here <= there):
        return 0.0, reach_mm
    if here > there and tested is not None:
        return -reach_mm, 0.0
    return -reach_mm, reach_mm


def distance_bounds(
    separation: Separation, installation: TestedInstallation | None, limit: Apart, basis: Distances
) -> Bounds:
    """How the distance between the tested surfaces stands to the measured one."""
    beyond = None if installation is None else installation.casing_beyond_mm
    near, far = slack(separation.from_surface, limit.from_surface, beyond, basis.reach_mm)
    if separation.to not in CONSTRUCTION:
        # The neighbour's casing is not this installation's: nothing is known of how far it stands out.
        more_near, more_far = slack(separation.to_surface, limit.to_surface, None, basis.reach_mm)
        near, far = near + more_near, far + more_far
    return Bounds(-far, -near)


def is_too_near(measured_mm: float, bounds: Bounds, limit: Apart) -> bool:
    """Whether a measured distance is less than the least one, whatever is not known of the surfaces between."""
    return measured_mm + bounds.high < limit.least_mm


def is_beyond_reach(measured_mm: float, kind: str, limit: Apart, basis: Distances) -> bool:
    """Whether a measured distance is more than the least one and all that anything of a damper stands out."""
    return measured_mm >= limit.least_mm + (1 if kind in CONSTRUCTION else 2) * basis.reach_mm


def have_text(separation: Separation) -> str:
    """The distance as it was stated or modelled, with its surfaces, in words."""
    distance = mm_text(separation.distance_mm.value) if isinstance(separation.distance_mm, Known) else "not known"
    fill = f", {separation.fill.value} between" if isinstance(separation.fill, Known) else ""
    ends = f"{separation.from_surface} to {separation.to_surface}"
    return f"{distance} to {separation.to}, {ends}{fill if neighbour_kind(separation) == 'damper' else ''}"


def need_text(kind: str, limit: Apart) -> str:
    """The least distance to a kind of neighbour, with its surface and whose rule it is, in words."""
    whose = "as tested" if limit.own else "where the document gives none"
    start = f"from the {limit.from_surface}" if limit.from_surface is not None else "surface not stated"
    return f"at least {number_text(limit.least_mm)} mm to a {kind}, {start} ({whose})"


def _one(separation: Separation, penetration: Penetration, installation: TestedInstallation, basis: Basis) -> Checked:
    kind = neighbour_kind(separation)
    dampers = kind == "damper"
    limit = apart(installation, kind, basis)
    distance, fill, formed = separation.distance_mm, separation.fill, penetration.opening.formed
    bounds = distance_bounds(separation, installation, limit, basis)
    have, need, facts = have_text(separation), need_text(kind, limit), (distance, fill)
    default = "scope.separation.dampers" if dampers else "scope.separation.construction"
    rows = ("scope.separation.own-test" if limit.own else default, "scope.separation.surfaces")
    if isinstance(distance, Known):
        if dampers and isinstance(fill, Known) and fill.value is SeparationFill.BATT:
            text = "Only batt lies between the two dampers, which is no supporting construction: it needs a combined "
            text += "test, or construction between them."
            return failed(SEPARATION, text, have, need, (*rows, "scope.separation.batt"), facts)
        if is_beyond_reach(distance.value, kind, limit, basis):
            text = f"Farther from {separation.to} than anything of a damper reaches."
            return passed(SEPARATION, text, have, need, (*rows, "scope.separation.reach"), facts)
        if is_too_near(distance.value, bounds, limit):
            text = f"Too near to {separation.to}."
            if isinstance(formed, Known) and formed.value:
                text += " The opening is formed already: form it again elsewhere."
                return failed(SEPARATION, text, have, need, rows, (*facts, formed))
            short = limit.least_mm - distance.value - bounds.high
            change = f"Move the damper at least {mm_text(short)} farther from {separation.to}."
            return cured(SEPARATION, text, change, have, need, rows, facts)
    missing: list[Missed] = [distance] if isinstance(distance, Unknown) else []
    if dampers and isinstance(fill, Unknown):
        missing.append(fill)
    if isinstance(distance, Known) and distance.value + bounds.low < limit.least_mm:
        words = f"the surfaces between which the distance to a {kind} is measured; measure between those on site"
        missing.append(evidence_missing(installation, f"separation.{kind}", words))
    if missing:
        text = f"Whether it is far enough from {separation.to}, measured as in the test, is not known."
        return unknown(SEPARATION, text, missing, have, need, rows, facts)
    return passed(SEPARATION, f"As far from {separation.to} as tested.", have, need, rows, facts)


def check_separations(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> tuple[Checked, ...]:
    """Every neighbour as far away as tested, one answer each (trade handbook rows 2.30-2.34, C21-C23, field case 23).

    A distance between other surfaces than the test's can show "too near" where the tested ones lie nearer, and
    "far enough" only where they can't. Batt between two dampers is no supporting construction.
    """
    del requirement
    if not penetration.separations:
        return (not_applicable(SEPARATION, "No neighbour is stated."),)
    found = (_one(item, penetration, installation, basis) for item in penetration.separations)
    return tuple(sorted(found, key=lambda item: (item.reason.have, item.reason.text)))
