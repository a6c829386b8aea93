# SPDX-License-Identifier: Apache-2.0
"""The outlines about one duct, in millimetres from its centre: duct, casing, finished clear and framed opening.

What is not known still has to be drawn somewhere; it is then marked as not known, and a note says so. No number is
ever taken from such an outline.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.penetration import Penetration, Sides, Size
from brattice.building.words import OpeningShape, Surface
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known
from brattice.quantities import number_text

__all__ = ["Edges", "Outlines", "outlines_of"]

_AGREE_MM = 1.0


@dataclass(frozen=True)
class Edges:
    """An outline: distances from the duct's centre, left and bottom negative. `known`: every edge is stated."""

    left: float
    right: float
    bottom: float
    top: float
    known: bool
    is_round: bool = False

    def grown(self, sides: tuple[float, float, float, float], *, known: bool, is_round: bool | None = None) -> Edges:
        """The outline with so much more on its left, right, top and bottom."""
        left, right, top, bottom = sides
        shape = self.is_round if is_round is None else is_round
        return Edges(self.left - left, self.right + right, self.bottom - bottom, self.top + top, known, shape)


@dataclass(frozen=True)
class Outlines:
    """All outlines of one penetration. `size` is the size they are drawn about, None where none is known."""

    size: Size | None
    duct: Edges
    casing: Edges
    finished: Edges
    framed: Edges
    notes: tuple[str, ...]


def _about_centre(size: Size, *, known: bool, is_round: bool) -> Edges:
    width = size.width_mm
    height = size.width_mm if size.height_mm is None else size.height_mm
    return Edges(-width / 2, width / 2, -height / 2, height / 2, known, is_round)


def _four(sides: Sides) -> tuple[float, float, float, float]:
    return sides.left_mm, sides.right_mm, sides.top_mm, sides.bottom_mm


def _duct(penetration: Penetration, notes: list[str]) -> tuple[Size | None, Edges]:
    for fact in (penetration.duct.size, penetration.damper.size):
        if isinstance(fact, Known):
            return fact.value, _about_centre(fact.value, known=True, is_round=fact.value.is_round)
    notes.append("No size is known: the duct is drawn dashed, in no proportion.")
    return None, Edges(-200, 200, -150, 150, known=False)


def _casing(penetration: Penetration, tested: TestedInstallation | None, duct: Edges, notes: list[str]) -> Edges:
    if isinstance(penetration.damper.present, Known) and not penetration.damper.present.value:
        return duct
    if tested is None or tested.casing_beyond_mm is None:
        notes.append("How far the damper casing stands beyond the duct is not stated: drawn on the duct's edges.")
        return duct
    left, right, top, bottom = tested.casing_beyond_mm
    return duct.grown((left, right, top, bottom), known=duct.known)


def _finished(penetration: Penetration, duct: Edges, casing: Edges, has_casing: bool, notes: list[str]) -> Edges:
    facts = penetration.opening
    shape = facts.shape.value is OpeningShape.ROUND if isinstance(facts.shape, Known) else duct.is_round
    size = facts.finished.value if isinstance(facts.finished, Known) else None
    measured = facts.gaps_from.value if isinstance(facts.gaps_from, Known) else None
    surface = duct if measured is Surface.DUCT else casing if measured is Surface.CASING and has_casing else None
    if isinstance(facts.gaps, Known) and surface is not None and surface.known:
        made = surface.grown(_four(facts.gaps.value), known=True, is_round=shape)
        if size is not None and not _agrees(made, size):
            notes.append(
                f"The gaps stated give a finished clear opening of {number_text(made.right - made.left)} × "
                f"{number_text(made.top - made.bottom)} mm, which is not the size stated; drawn by the gaps."
            )
        return made
    if size is not None:
        notes.append("Where the finished clear opening sits to the duct is not known: drawn in the middle, dashed.")
        return _about_centre(size, known=False, is_round=shape)
    notes.append("The finished clear opening is not known: drawn dashed, in no proportion.")
    by = 0.12 * min(casing.right - casing.left, casing.top - casing.bottom)
    return casing.grown((by, by, by, by), known=False, is_round=shape)


def _agrees(made: Edges, size: Size) -> bool:
    height = size.width_mm if size.height_mm is None else size.height_mm
    across, up = made.right - made.left - size.width_mm, made.top - made.bottom - height
    return abs(across) <= _AGREE_MM and abs(up) <= _AGREE_MM


def _framed(penetration: Penetration, finished: Edges, notes: list[str]) -> Edges:
    facts = penetration.opening
    if not isinstance(facts.framed, Known):
        notes.append("The framed opening is not known: drawn dashed on the finished clear opening.")
        return finished.grown((0, 0, 0, 0), known=False)
    size = facts.framed.value
    height = size.width_mm if size.height_mm is None else size.height_mm
    across = (size.width_mm - (finished.right - finished.left)) / 2
    up = (height - (finished.top - finished.bottom)) / 2
    stated = isinstance(facts.finished, Known)
    if min(across, up) < 0:
        notes.append("The framed opening stated is smaller than the finished clear opening drawn.")
    return finished.grown((across, across, up, up), known=finished.known and stated)


def outlines_of(penetration: Penetration, tested: TestedInstallation | None) -> Outlines:
    """The outlines of a penetration, with a note for each that is not known."""
    notes: list[str] = []
    size, duct = _duct(penetration, notes)
    casing = _casing(penetration, tested, duct, notes)
    has_casing = tested is not None and tested.casing_beyond_mm is not None
    finished = _finished(penetration, duct, casing, has_casing, notes)
    framed = _framed(penetration, finished, notes)
    return Outlines(size, duct, casing, finished, framed, tuple(notes))
