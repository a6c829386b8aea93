# SPDX-License-Identifier: Apache-2.0
"""Wall types: the build-up of a wall or floor as one row of the wall-type sheet, every value a fact."""

from __future__ import annotations

import re
from dataclasses import dataclass

from brattice.building.words import SupportingConstruction
from brattice.findings import Fact
from brattice.quantities import KgPerM3, Mm

__all__ = ["Rating", "WallType"]


@dataclass(frozen=True, slots=True)
class Rating:
    """The fire resistance of a barrier: minutes of integrity and insulation; None where that criterion is not held.

    `text` is the text it was read from. A barrier that is known to be unrated has 0 and None.
    """

    integrity_min: int
    insulation_min: int | None
    text: str

    @property
    def is_unrated(self) -> bool:
        """Whether the barrier is known to have no fire resistance."""
        return self.integrity_min == 0

    @property
    def names_criteria(self) -> bool:
        """Whether its text names what is held ("E 60", "REI 120"), not a time alone ("60", "1 hour")."""
        return re.search(r"(?<![a-z])r?ei?w?(?![a-z])", self.text.casefold()) is not None


@dataclass(frozen=True)
class WallType:
    """A wall type or floor type.

    `board_layers` counts the layers on each side (side A, side B). `material` is the masonry, concrete or panel
    in words. `opening_framing` says how openings in it are framed, `lining_mm` how thick the lining of the
    framed opening is on each reveal [mm] (0 = unlined).
    """

    code: str
    kind: Fact[SupportingConstruction]
    thickness_mm: Fact[Mm]
    density_kg_m3: Fact[KgPerM3]
    material: Fact[str]
    board_type: Fact[str]
    board_thickness_mm: Fact[Mm]
    board_layers: Fact[tuple[int, int]]
    stud_size_mm: Fact[Mm]
    stud_spacing_mm: Fact[Mm]
    cavity_fill: Fact[str]
    opening_framing: Fact[str]
    lining_mm: Fact[Mm]
    rating: Fact[Rating]
    revision: Fact[str]
