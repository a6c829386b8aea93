# SPDX-License-Identifier: Apache-2.0
"""Which way north is, as a file states it: by its map conversion, else by its true north; none has a default here."""

from __future__ import annotations

import math
from typing import Any

from brattice.adapters.child.wire import Json

__all__ = ["north_said"]


def north_said(file: Any) -> list[Json] | None:
    """[x, y, by what] of the first main context that states north; None where none does.

    A direction of no length, or with a part that is no number, states nothing.
    """
    contexts = [
        one
        for one in file.by_type("IfcGeometricRepresentationContext")
        if not one.is_a("IfcGeometricRepresentationSubContext")
    ]
    for context in contexts:
        for operation in getattr(context, "HasCoordinateOperation", None) or ():
            if operation.is_a("IfcMapConversion"):
                along, across = operation.XAxisAbscissa, operation.XAxisOrdinate
                # the x axis lies (along, across) on the map, so that the map's north (0, 1) lies (across, along) here
                if found := _direction((across, along)):
                    return [*found, "map conversion"]
    for context in contexts:
        if context.TrueNorth is not None and (found := _direction(tuple(context.TrueNorth.DirectionRatios)[:2])):
            return [*found, "true north"]
    return None


def _direction(parts: tuple[Any, ...]) -> tuple[float, float] | None:
    if len(parts) != 2 or any(part is None or not math.isfinite(part) for part in parts):
        return None
    x, y = (float(part) for part in parts)
    length = math.hypot(x, y)
    return (x / length, y / length) if length > 1e-9 else None
