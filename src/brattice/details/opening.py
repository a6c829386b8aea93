# SPDX-License-Identifier: Apache-2.0
"""The framed opening and the finished clear opening of one installation, in numbers."""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.penetration import Size
from brattice.building.words import OpeningShape, Surface
from brattice.evidence.installation import SideWindows
from brattice.findings import Reason
from brattice.quantities import Mm

__all__ = ["OpeningDetail", "OpeningNeed"]


@dataclass(frozen=True)
class OpeningNeed:
    """What has to be built: least and most finished clear opening, the framed opening that leaves it once lined."""

    shape: OpeningShape
    least_finished: Size
    most_finished: Size | None
    least_framed: Size | None
    most_framed: Size | None
    lining_mm: Mm | None
    gaps: SideWindows
    gap_from: Surface


@dataclass(frozen=True)
class OpeningDetail:
    """What is needed, and what is wrong with the opening that exists or is modelled; `texts` are for people."""

    need: OpeningNeed | None
    reasons: tuple[Reason, ...]
    texts: tuple[str, ...]
