# SPDX-License-Identifier: Apache-2.0
"""Where a barrier should be and none is modelled: over, under or beside a rated wall, and at a storey without slab."""

from __future__ import annotations

from brattice.building.finding_places import Found
from brattice.building.places import Draft

__all__ = ["drafts_beside_barriers"]


def drafts_beside_barriers(found: Found) -> list[Draft]:
    """Nothing yet."""
    return []
