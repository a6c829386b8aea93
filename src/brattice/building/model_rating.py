# SPDX-License-Identifier: Apache-2.0
"""Fire ratings in models are free text: what is certain is read, everything else stays unknown.

Certain are a class by EN 13501-2 that the class tables hold ("EI 60", "REI120", "E 120 / EI 60") and a plain time
with its unit ("90 min", "1 Hour"), which gives minutes and no criteria. Not certain: a bare number, a national class,
a door's class on a wall, a placeholder. Missing is not unrated.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from brattice.classes import OUTSIDE_TABLE, ClassSteps, insulation_minutes, integrity_minutes, read_barrier_class
from brattice.errors import ClassTextError

__all__ = ["NOTHING_SAID", "RatingReader", "RatingReading"]

_MINUTES = re.compile(r"(\d{1,3})\s*(?:min|mins|minute|minutes|minuten)\.?\Z", re.IGNORECASE | re.ASCII)
_HOURS = re.compile(r"(\d(?:[.,]5)?)\s*-?\s*(?:h|hr|hrs|hour|hours)\.?\Z", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, order=True)
class RatingReading:
    """What a rating text says for certain.

    `minutes` is the time of integrity, or the plain time that the text gives; None when nothing is certain.
    `insulation_min` is the time of insulation where a class names it. `criteria` are the letters that the classes
    name; "" where the text gives a time alone: then it is not known what is held for that time.
    """

    text: str
    minutes: int | None = None
    insulation_min: int | None = None
    criteria: str = ""

    @property
    def is_certain(self) -> bool:
        """Whether minutes are known."""
        return self.minutes is not None


NOTHING_SAID = RatingReading("")
"""The reading where a model says nothing of a rating: missing, not unrated."""


class RatingReader:
    """Reads rating texts by the class steps that exist."""

    def __init__(self, steps: ClassSteps) -> None:
        self._steps = steps

    def read(self, text: str) -> RatingReading:
        """What one text says for certain."""
        plain = text.strip()
        timed, hours = _MINUTES.match(plain), _HOURS.match(plain)
        if timed or hours:
            minutes = int(timed[1]) if timed else round(float(hours[1].replace(",", ".")) * 60) if hours else 0
            return RatingReading(text, minutes) if minutes > 0 else RatingReading(text)
        try:
            declared = read_barrier_class(plain, self._steps)
        except ClassTextError:
            return RatingReading(text)
        if any(note.code == OUTSIDE_TABLE for note in declared.notes):
            return RatingReading(text)
        letters = {letter for one in declared.classes for letter in str(one).split()[0] if letter in "REIW"}
        criteria = "".join(letter for letter in "REIW" if letter in letters)
        return RatingReading(text, integrity_minutes(declared), insulation_minutes(declared), criteria)

    def read_all(self, texts: tuple[str, ...]) -> RatingReading:
        """What several places say of one barrier: certain when all that say something agree."""
        said = sorted({text for text in texts if text.strip()})
        if not said:
            return NOTHING_SAID
        readings = [self.read(text) for text in said]
        first = readings[0]
        agree = len({(reading.minutes, reading.insulation_min) for reading in readings}) == 1
        if agree and first.is_certain:
            return RatingReading(" | ".join(said), first.minutes, first.insulation_min, first.criteria)
        return RatingReading(" | ".join(said))
