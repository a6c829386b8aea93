# SPDX-License-Identifier: Apache-2.0
"""Where north is, as the models say it: one direction, none, or several that contradict each other.

IFC4 (IfcGeometricRepresentationContext.TrueNorth, IfcMapConversion) gives two ways to say it. Where a map conversion
states how the x axis lies on the map, that counts: beside one the standard takes true north for information only. A
model that says neither does not say where north is: the standard's default, the y axis, is what programs write nothing
for, also where the building was turned to the paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from brattice.quantities import number_text

__all__ = ["NO_NORTH", "North", "NorthSaid", "north_of"]

_AGREE_DEG = 1.0
"""Models whose norths differ by no more say the same [deg]. Our own policy: an arrow of a few millimetres shows no
less, and grid north and true north lie about as far apart."""


@dataclass(frozen=True, order=True)
class NorthSaid:
    """What one file says: a direction in the plane of the model (x, y; of any length), and by what it says it."""

    file: str
    x: float
    y: float
    by: str

    @property
    def angle_deg(self) -> float:
        """From the model's y axis, clockwise, 0 to below 360 [deg]."""
        return round(math.degrees(math.atan2(self.x, self.y)) % 360.0, 3) % 360.0


@dataclass(frozen=True)
class North:
    """North for the sheets of a job: the angle from the model's y axis, clockwise [deg]; None where it is not known.

    `text` says it for people, and why where it is not known.
    """

    angle_deg: float | None
    text: str

    @property
    def short(self) -> str:
        """The same where there is little room."""
        return "North: not known." if self.angle_deg is None else "North: by the arrow."


NO_NORTH = North(None, "North: not known.")
"""The north of models that do not say it."""


def north_of(said: Iterable[NorthSaid]) -> North:
    """The north that several files say together; those that say nothing are not among them."""
    every = sorted(set(said))
    if not every:
        return NO_NORTH
    first = every[0]
    if any(_apart(first.angle_deg, other.angle_deg) > _AGREE_DEG for other in every):
        words = "; ".join(dict.fromkeys(f"{one.file} {_degrees(one.angle_deg)}" for one in every))
        return North(None, f"North: not known; the models disagree ({words} clockwise from model y).")
    angle = first.angle_deg
    by = " and ".join(sorted({one.by for one in every}))
    where = "along model y" if angle == 0 else f"{_degrees(angle)} clockwise from model y"
    return North(angle, f"North: {where}, by {by} of the models.")


def _degrees(angle: float) -> str:
    return f"{number_text(angle, 1)}°"


def _apart(one: float, other: float) -> float:
    apart = abs(one - other) % 360.0
    return min(apart, 360.0 - apart)
