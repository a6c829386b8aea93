# SPDX-License-Identifier: Apache-2.0
"""Dampers that are too near as they are printed: what is too near, the shift that would cure it, what is not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["SHIFT_ADVICE", "TOO_NEAR_FIELDS", "ShiftStanding", "TooNearGroup"]

SHIFT_ADVICE: tuple[str, ...] = (
    (
        "A shift is advice to the services designer: moving the opening moves its duct. Routes, supports, access, "
        "other services and the framing or reinforcement of the barrier have to be looked at again. Nothing is "
        "approved by it."
    ),
    (
        "Shifts are whole millimetres in the plane of the barrier; openings are set apart level or upright, or the way "
        "they lie now. The smallest is the least sum over all openings; another of the same sum may do as well."
    ),
    "Openings that are formed stay where they are. Pipes, cables and structure are not looked at.",
)
"""What stands with every list of shifts."""

TOO_NEAR_FIELDS: tuple[tuple[str, str], ...] = (
    ("penetrations", "Penetrations"),
    ("storey", "Storey"),
    ("wall", "Wall or floor type"),
    ("near", "Too near"),
    ("standing", "What was found"),
    ("shift", "Shift that cures all"),
    ("seen", "Seen"),
    ("look", "To be settled or looked at"),
)
"""What is said of each group: key and heading, in the order in which they are printed."""


class ShiftStanding(StrEnum):
    """How far a shift may be relied on."""

    SMALLEST = "smallest shift, proven"
    NOT_PROVEN = "a shift; a smaller one may do"
    AT_LEAST = "at least this shift; whether it is enough is not known"
    NONE = "no shift within reach cures all"
    NOT_FOUND = "the search was stopped before a shift was found"
    NOT_SEARCHED = "not searched: too many together"
    NOT_KNOWN = "not enough known for a shift"


@dataclass(frozen=True)
class TooNearGroup:
    """Penetrations that have to be shifted together. `near`, `shifts` and `look` are sentences, one a line.

    `moved` are the shifts as numbers: id, to the right, upwards [mm].
    """

    penetrations: tuple[str, ...]
    storey: str
    wall: str
    near: tuple[str, ...]
    standing: ShiftStanding
    shifts: tuple[str, ...] = ()
    seen: str = ""
    look: tuple[str, ...] = ()
    moved: tuple[tuple[str, float, float], ...] = ()

    @property
    def texts(self) -> Mapping[str, str]:
        """What is printed, by the keys of `TOO_NEAR_FIELDS`."""
        return {
            "penetrations": ", ".join(self.penetrations),
            "storey": self.storey,
            "wall": self.wall,
            "near": "\n".join(self.near),
            "standing": str(self.standing),
            "shift": "\n".join(self.shifts),
            "seen": self.seen,
            "look": "\n".join(self.look),
        }
