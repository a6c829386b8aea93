# SPDX-License-Identifier: Apache-2.0
"""Ratings as people type them under the heading of a sheet: read only where they are certain.

A sheet has told its user which forms it takes, so a bare number is minutes here. The free text of models, where it
could be anything, is read by `model_rating`.
"""

from __future__ import annotations

import re

from brattice.building.wall_type import Rating

__all__ = ["RATING_FORMS", "rating_from_text"]

RATING_FORMS = "minutes (60), E 60, EI 60, REI 120, E 120 / EI 60, or unrated"
"""The forms that `rating_from_text` reads, for messages."""

_MOST_MIN = 360
_MINUTES = re.compile(r"(\d{1,3})(?: ?(?:min|mins|minutes))?\.?\Z", re.ASCII)
_HOURS = re.compile(r"(\d) ?(?:h|hr|hrs|hour|hours)\Z", re.ASCII)
_CLASS = re.compile(r"(r?ei?) ?(\d{1,3})\Z", re.ASCII)
_UNRATED = frozenset({"unrated", "not rated", "no rating", "no fire resistance", "none", "nil", "0"})


def rating_from_text(text: str) -> Rating | None:
    """The rating that a text states for certain, or None.

    Minutes (or hours) alone claim integrity and no insulation: whoever needs insulation has to be told. Of several
    classes each criterion has its longest time, and EI t includes E t.
    """
    plain = " ".join(text.split()).casefold()
    if plain in _UNRATED:
        return Rating(0, None, text)
    minutes, hours = _MINUTES.match(plain), _HOURS.match(plain)
    if minutes or hours:
        number = int(minutes.group(1)) if minutes else 60 * int(hours.group(1)) if hours else 0
        return Rating(number, None, text) if 0 < number <= _MOST_MIN else None
    integrity = insulation = 0
    for part in re.split(r"[/,+&]", plain):
        match = _CLASS.match(part.strip())
        if match is None or not 0 < int(match.group(2)) <= _MOST_MIN:
            return None
        integrity = max(integrity, int(match.group(2)))
        if match.group(1).endswith("i"):
            insulation = max(insulation, int(match.group(2)))
    return Rating(integrity, insulation or None, text)
