# SPDX-License-Identifier: Apache-2.0
"""One penetration drawn: the cut through its barrier and the face of its opening, each at a usual scale.

Walls are cut upright and looked at from the side the duct comes from; floors are cut along model x and looked at
from above. What is not known is dashed and has "?" for its dimension.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.building.words import Orientation
from brattice.drawing.primitives import Drawing
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known
from brattice.sketch.barrier import barrier_cut
from brattice.sketch.elevation import elevation_of, elevation_size
from brattice.sketch.outlines import outlines_of
from brattice.sketch.section import section_of, section_size

__all__ = ["Sketch", "sketch_of"]

_DENOMINATORS = (2, 5, 10, 15, 20, 25, 50, 100, 200)
_SECTION_PAPER = (60.0, 72.0)
_ELEVATION_PAPER = (52.0, 52.0)


@dataclass(frozen=True)
class Sketch:
    """The drawings of one penetration, and what is said below them: what is not known or drawn without measure."""

    section: Drawing
    elevation: Drawing
    notes: tuple[str, ...]


def _scale(size: tuple[float, float], paper: tuple[float, float]) -> float:
    """The largest usual scale (its denominator) at which a size [mm] fits on the paper."""
    ratio = max(size[0] / paper[0], size[1] / paper[1])
    return next((number for number in _DENOMINATORS if number >= ratio), ratio)


def sketch_of(penetration: Penetration, tested: TestedInstallation | None) -> Sketch:
    """The cut and the face of a penetration as it is stated; `tested` is the installation that was chosen, if any."""
    outlines = outlines_of(penetration, tested)
    cut = barrier_cut(penetration)
    is_floor = (
        isinstance(penetration.barrier.orientation, Known)
        and penetration.barrier.orientation.value is Orientation.FLOOR
    )
    cut_scale = _scale(section_size(outlines, cut, is_floor=is_floor), _SECTION_PAPER)
    section, notes = section_of(penetration, tested, outlines, cut, cut_scale, is_floor=is_floor)
    face_scale = _scale(elevation_size(outlines), _ELEVATION_PAPER)
    elevation = elevation_of(penetration, tested, outlines, face_scale, is_floor=is_floor)
    return Sketch(section, elevation, (*cut.notes, *outlines.notes, *notes))
