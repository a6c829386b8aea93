# SPDX-License-Identifier: Apache-2.0
"""One installation in numbers: openings, gaps and what is wrong with an opening that exists."""

from brattice.details.detail import HoldPoint, InstallationDetail, Neighbour, Standing, Step
from brattice.details.figures import TO_BE_SETTLED, Figure, Used
from brattice.details.opening import OpeningDetail, OpeningNeed, SideGap, detail_opening, opening_need, side_gaps

__all__ = [
    "TO_BE_SETTLED",
    "Figure",
    "HoldPoint",
    "InstallationDetail",
    "Neighbour",
    "OpeningDetail",
    "OpeningNeed",
    "SideGap",
    "Standing",
    "Step",
    "Used",
    "detail_opening",
    "opening_need",
    "side_gaps",
]
