# SPDX-License-Identifier: Apache-2.0
"""A value that a maker states by size, taken at one size: only where it is stated, never beyond, never between."""

from __future__ import annotations

from brattice.building.penetration import Size
from brattice.calc.pressure import cross_section_m2
from brattice.evidence.product import LossTable

__all__ = ["value_at"]


def value_at(table: LossTable | None, size: Size) -> float | None:
    """The table's value at a size, in the table's unit; None where it is not stated for that size.

    A table answers at its own points alone: between two sizes nobody stated anything.
    """
    if table is None or not _within(size, table.least, table.most):
        return None
    if table.kind == "table":
        at = (size.width_mm, size.height_mm)
        return next((point.value for point in table.points if (point.width_mm, point.height_mm) == at), None)
    if table.a is None:
        return None
    if table.kind == "constant":
        return table.a
    return None if table.b is None else table.a + table.b * cross_section_m2(size.width_mm, size.height_mm)


def _within(size: Size, least: Size | None, most: Size | None) -> bool:
    for bound, is_least in ((least, True), (most, False)):
        if bound is None:
            continue
        if bound.is_round != size.is_round:
            return False
        pairs = [(size.width_mm, bound.width_mm)]
        if size.height_mm is not None and bound.height_mm is not None:
            pairs.append((size.height_mm, bound.height_mm))
        if any((have < limit) if is_least else (have > limit) for have, limit in pairs):
            return False
    return True
