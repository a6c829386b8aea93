# SPDX-License-Identifier: Apache-2.0
"""A value that a maker states by size, taken at one size: only where it is stated, never beyond."""

from __future__ import annotations

from brattice.building.penetration import Size
from brattice.evidence.product import LossTable, by_size

__all__ = ["value_at"]


def value_at(table: LossTable | None, size: Size) -> float | None:
    """The table's value at a size, in the table's unit; None where it is not stated for that size.

    A table answers at its own sizes, and between them only where its maker allows it, as `evidence.product.by_size`.
    """
    return by_size(table, size).value
