# SPDX-License-Identifier: Apache-2.0
"""One installation in numbers: openings, gaps and what is wrong with an opening that exists."""

from brattice.details.opening import OpeningDetail, OpeningNeed, detail_opening, opening_need

__all__ = ["OpeningDetail", "OpeningNeed", "detail_opening", "opening_need"]
