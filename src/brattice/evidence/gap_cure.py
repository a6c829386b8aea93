# SPDX-License-Identifier: Apache-2.0
"""What would cure a gap that is not as tested: another size of the finished clear opening, or the same one moved."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.building.penetration import Penetration
from brattice.building.words import Orientation
from brattice.findings import Known
from brattice.quantities import mm_text, number_text

__all__ = ["AxisGaps", "axes_of", "faults_text", "moves_text", "over_text", "size_off_mm"]

_BY = 0.1
"""To what the moves are printed [mm]: those of number_text."""


@dataclass(frozen=True)
class AxisGaps:
    """The two gaps of one direction, low (left or bottom) and high (right or top), with the window of each [mm]."""

    sides: tuple[str, str]
    gaps: tuple[float, float]
    low: tuple[float, float]
    high: tuple[float, float]

    @property
    def holds(self) -> bool:
        """Whether each of the two gaps lies in its window."""
        return all(least <= gap <= most for gap, (least, most) in zip(self.gaps, (self.low, self.high), strict=True))

    @property
    def size_off(self) -> float:
        """By how much the finished clear opening is over (above 0) or under (below 0) any size that would do [mm]."""
        return size_off_mm(sum(self.gaps), sum(self.gaps), (self.low, self.high))

    @property
    def move(self) -> tuple[float, float]:
        """From where to where the opening may be moved towards its low side so that both gaps lie in their windows."""
        (first, second), low, high = self.gaps, self.low, self.high
        return max(low[0] - first, second - high[1]), min(low[1] - first, second - high[0])

    def moved(self, by: float) -> str:
        """The two gaps once the opening is moved so much towards its low side."""
        first, second = self.gaps[0] + by, self.gaps[1] - by
        return f"{self.sides[0]} {number_text(first)}, {self.sides[1]} {number_text(second)} mm"


def size_off_mm(low: float, high: float, windows: tuple[tuple[float, float], tuple[float, float]]) -> float:
    """How far a sum of both gaps, known to lie from `low` to `high`, is over (+) or under (-) the windows [mm]."""
    least, most = sum(window[0] for window in windows), sum(window[1] for window in windows)
    return high - least if high < least else low - most if low > most else 0.0


def axes_of(values: tuple[float, ...], limits: tuple[tuple[float, float], ...]) -> tuple[AxisGaps, AxisGaps]:
    """The gaps (left, right, top, bottom) from the tested surface, with their windows, by direction."""
    left, right, top, bottom = values
    return (
        AxisGaps(("left", "right"), (left, right), limits[0], limits[1]),
        AxisGaps(("bottom", "top"), (bottom, top), limits[3], limits[2]),
    )


def over_text(off: float, upright: bool) -> str:
    """So much too wide, narrow, high or low: `"12 mm too wide"`; "" where the size fits."""
    words = (("narrow", "wide"), ("low", "high"))[upright]
    return f"{mm_text(abs(off))} too {words[off > 0]}" if off else ""


def _towards(penetration: Penetration, axis: AxisGaps, by: float) -> str:
    """The words for a move towards the low side (by > 0) or the high side; up and down are said of walls alone."""
    side = axis.sides[0] if by > 0 else axis.sides[1]
    if side in {"left", "right"}:
        return f"to the {side}"
    standing = penetration.barrier.orientation
    if isinstance(standing, Known) and standing.value is Orientation.WALL:
        return "up" if side == "top" else "down"
    return f"towards its {side} side"


def _least_move(axis: AxisGaps) -> float:
    """The smallest move that does [mm, signed], rounded away from the fault as long as that does too."""
    first, last = axis.move
    if first > 0:
        rounded = math.ceil(round(first / _BY, 6)) * _BY
        return rounded if rounded <= last else first
    rounded = -math.ceil(round(-last / _BY, 6)) * _BY
    return rounded if rounded >= first else last


def _leaves_nothing(axis: AxisGaps, by: float) -> bool:
    """Whether a move leaves no gap to speak of where the window asks for one, however small."""
    after = (axis.gaps[0] + by, axis.gaps[1] - by)
    return any(gap < _BY / 2 and least > 0 for gap, (least, _) in zip(after, (axis.low, axis.high), strict=True))


def _move_text(penetration: Penetration, axis: AxisGaps) -> str:
    least, middle = _least_move(axis), sum(axis.move) / 2
    where = _towards(penetration, axis, least)
    if _leaves_nothing(axis, least):
        text = f"more than {mm_text(abs(least))} {where}"
    else:
        text = f"{mm_text(abs(least))} {where} (then {axis.moved(least)})"
    if abs(middle - least) < _BY:
        return text
    words = "centres it" if axis.low == axis.high else "brings it to the middle of its windows"
    return f"{text}; {mm_text(abs(middle))} {words} (then {axis.moved(middle)})"


def faults_text(axes: tuple[AxisGaps, AxisGaps]) -> str:
    """What is wrong with the finished clear opening, width before height: its size, by how much, or its place."""
    sizes = [over_text(axis.size_off, upright) for axis, upright in zip(axes, (False, True), strict=True)]
    wrong = " and ".join(text for text in sizes if text)
    off_centre = any(not axis.holds and not axis.size_off for axis in axes)
    if not wrong:
        return "The size of the finished clear opening would do; where it stands would not." if off_centre else ""
    return f"As stated, the finished clear opening is {wrong} for the tested gaps."


def moves_text(penetration: Penetration, axes: tuple[AxisGaps, AxisGaps]) -> str:
    """The moves that bring every side into its window where the size would do, width before height; "" for none."""
    moves = [_move_text(penetration, axis) for axis in axes if not axis.holds and not axis.size_off]
    return ", and ".join(moves)
