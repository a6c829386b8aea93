# SPDX-License-Identifier: Apache-2.0
"""How far round each penetration the models are looked through for what stands in a working zone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from brattice.building.schedule import ScheduleRow
from brattice.evidence.product import ProductFacts
from brattice.findings import Known

__all__ = ["zone_reach_mm"]

_BESIDE_MM = 1500.0
"""What casing, duct and door take beside the zone at most [mm]: a duct of 2 m has its edge 1 m off its axis, and a
damper is about half a metre long. Our own policy."""

_MOST_MM = 8000.0
"""No zone is looked into farther off than this [mm]. Our own policy: a slip of the pen (a zone of 70 m) must not make
the models be read whole."""

_ANSWERS = ("/zone-width", "/zone-depth")


def zone_reach_mm(
    rows: Iterable[ScheduleRow], products: Iterable[ProductFacts], answered: Mapping[str, Known[Any]]
) -> float | None:
    """How far from a penetration's centre its working zone may reach [mm]; None where no zone is stated at all.

    Every zone that is stated by a row or an answer is looked for at every place: which row is of which place is not yet
    known when the models are read.
    """
    zones = [0.0]
    asked = any(key.endswith(_ANSWERS) for key in answered)
    answers = [float(fact.value) for key, fact in answered.items() if key.endswith(_ANSWERS)]
    for row in rows:
        detail = row.detail
        if detail.zone_width_mm is None and detail.zone_depth_mm is None:
            continue
        asked = True
        facts = (detail.zone_width_mm, detail.zone_depth_mm, detail.door_distance_mm, detail.door_width_mm)
        zones.append(sum(float(fact.value) for fact in facts if fact is not None))
    if not asked:
        return None
    makers = max((float(item.zone_depth_mm) for item in products if item.zone_depth_mm is not None), default=0.0)
    return min(max(zones) + sum(answers) + makers + _BESIDE_MM, _MOST_MM)
