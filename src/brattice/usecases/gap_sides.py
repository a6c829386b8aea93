# SPDX-License-Identifier: Apache-2.0
"""Left and right of a modelled opening: no model says from where the duct comes, so uneven gaps may be mirrored."""

from __future__ import annotations

from brattice.building.penetration import Penetration
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Known, Missing, Party, Reason, Verdict
from brattice.quantities import mm_text
from brattice.usecases.combine import AGREE_MM

__all__ = ["GAP_SIDES", "check_gap_sides"]

GAP_SIDES = "gap-sides"


def check_gap_sides(penetration: Penetration, installation: TestedInstallation) -> Reason:
    """Whether it is known which gap is left and which right, where the test tells the two apart.

    A schedule states the sides as the test has them. A modelled gap that is the same on both sides, or a test with the
    same window and casing on both, leaves nothing to mix up.
    """
    gaps = penetration.opening.gaps
    if not isinstance(gaps, Known) or not gaps.origin.place.startswith("GlobalId "):
        return Reason(GAP_SIDES, Verdict.NOT_APPLICABLE, "The gaps a side are not taken from a model.")
    windows, beyond = installation.seal.gaps, installation.casing_beyond_mm
    even_test = windows.left == windows.right and (beyond is None or beyond[0] == beyond[1])
    left, right = gaps.value.left_mm, gaps.value.right_mm
    have, need = f"left {mm_text(left)}, right {mm_text(right)}", "the sides as the test has them"
    if even_test or abs(left - right) <= AGREE_MM:
        return Reason(GAP_SIDES, Verdict.PASS, "Nothing depends on which side is left.", have, need)
    missing = Missing(
        f"penetration/{penetration.id}/gap-sides",
        f"Which gap of {penetration.id} is left and which is right, seen as the test has it",
        Party.DUCTWORK_CONTRACTOR,
    )
    text = "The test tells left and right apart, and a model does not say from which side the duct comes."
    return Reason(GAP_SIDES, Verdict.UNKNOWN, text, have, need, (), (missing,), (gaps.origin, installation.origin))
