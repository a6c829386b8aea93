# SPDX-License-Identifier: Apache-2.0
"""Fire ratings in models are free text: what is certain is read, everything else stays unknown.

Certain are a class by EN 13501-2 with criteria and minutes ("EI 60", "REI120", "REI 90-M") and a plain time with
its unit ("90 min", "1 Hour", "2 HR"); the second gives minutes, no criteria. Not certain: a bare number, a
national class, a door's class on a wall, a placeholder. Missing is not unrated.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["RatingReading", "read_rating", "read_ratings"]

_CLASS = re.compile(r"^(R?)(E)(I?)(W?)\s*[-–]?\s*(\d{2,3})(?:\s*-?\s*(?:M|S|C))?$")
_MINUTES = re.compile(r"^(\d{2,3})\s*(?:min|mins|minute|minutes|minuten)\.?$", re.IGNORECASE)
_HOURS = re.compile(r"^(\d(?:[.,]5)?)\s*-?\s*(?:h|hr|hrs|hour|hours)\.?$", re.IGNORECASE)
_STEPS = re.compile(r"\s*[/;,+]\s*")
_LONGEST_MIN = 360


@dataclass(frozen=True, order=True)
class RatingReading:
    """What a rating text says for certain: minutes, and whether integrity and insulation are named.

    `minutes` is None when nothing is certain. `criteria` is "" where the text gives a time alone.
    """

    text: str
    minutes: int | None = None
    criteria: str = ""

    @property
    def is_certain(self) -> bool:
        """Whether minutes are known."""
        return self.minutes is not None


def read_rating(text: str) -> RatingReading:
    """Read one text; several classes with the same minutes ("REI 60/EI 60") agree, others do not."""
    parts = [part for part in _STEPS.split(text.strip()) if part]
    readings = [_read_part(part) for part in parts]
    minutes = {reading[0] for reading in readings if reading is not None}
    if not readings or None in readings or len(minutes) != 1:
        return RatingReading(text)
    criteria = [set(reading[1]) for reading in readings if reading is not None]
    common = set.intersection(*criteria)
    return RatingReading(text, minutes.pop(), "".join(letter for letter in "REIW" if letter in common))


def read_ratings(texts: tuple[str, ...]) -> RatingReading:
    """Read what several places say of one barrier: certain when all that say something agree."""
    said = sorted({text for text in texts if text.strip()})
    if not said:
        return RatingReading("")
    readings = [read_rating(text) for text in said]
    joined = " | ".join(said)
    if len({(reading.minutes, reading.criteria) for reading in readings}) == 1 and readings[0].is_certain:
        return RatingReading(joined, readings[0].minutes, readings[0].criteria)
    return RatingReading(joined)


def _read_part(part: str) -> tuple[int, str] | None:
    found = _CLASS.match(part.strip())
    if found:
        minutes = int(found[5])
        return (minutes, "".join(found[k] for k in range(1, 5))) if 10 <= minutes <= _LONGEST_MIN else None
    timed = _MINUTES.match(part.strip())
    if timed:
        minutes = int(timed[1])
        return (minutes, "") if minutes <= _LONGEST_MIN else None
    hours = _HOURS.match(part.strip())
    if hours:
        minutes = round(float(hours[1].replace(",", ".")) * 60)
        return (minutes, "") if 0 < minutes <= _LONGEST_MIN else None
    return None
