# SPDX-License-Identifier: Apache-2.0
"""One installation in numbers: openings, gaps and what is wrong with an opening that exists."""

from brattice.details.opening import OpeningDetail, OpeningNeed, SideGap, detail_opening, opening_need, side_gaps

__all__ = ["OpeningDetail", "OpeningNeed", "SideGap", "detail_opening", "opening_need", "side_gaps"]
