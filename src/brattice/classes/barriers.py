# SPDX-License-Identifier: Apache-2.0
"""Classes of walls and floors as other rooms use them: a text in, minutes out."""

from __future__ import annotations

from brattice.classes.reading import read_class
from brattice.classes.steps import ClassSteps
from brattice.classes.values import Declaration, Family

__all__ = ["insulation_minutes", "integrity_minutes", "read_barrier_class"]


def read_barrier_class(text: str, steps: ClassSteps) -> Declaration:
    """The class of a wall or floor, as in `EI 60`, `REI 120`, `E 60 / EI 30`; raises `ClassTextError`."""
    return read_class(text, Family.BARRIER, steps)


def integrity_minutes(declared: Declaration) -> int:
    """How long a declaration holds integrity [min]: the longest of its classes."""
    return max(item.minutes for item in declared.classes)


def insulation_minutes(declared: Declaration) -> int | None:
    """How long a declaration holds insulation [min]; None when no class of it does."""
    return max((item.minutes for item in declared.classes if item.insulated), default=None)
