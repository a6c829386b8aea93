# SPDX-License-Identifier: Apache-2.0
"""How like two described places are: a plain score, and the facts that agree, that differ and that can't be told.

Likeness ties nothing. It says which two descriptions may be of one place, so that a person can be asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import Orientation, SystemUse, plain
from brattice.findings import Known, Verdict
from brattice.quantities import Mm, number_text
from brattice.usecases.combine import agree
from brattice.usecases.facts import value_text
from brattice.usecases.merge import SAME_PLACE_MM, ModelFacts

__all__ = ["Compared", "Described", "Likeness", "described_place", "described_row", "likeness"]

_WEIGHTS = {
    "position": 4,
    "size": 3,
    "storey": 2,
    "place in words": 2,
    "wall type": 2,
    "orientation": 1,
    "thickness": 1,
    "rating": 1,
    "system": 1,
}
"""What each fact weighs: the more it tells one place from another, the more. Our own policy."""

_DECISIVE = ("position", "storey")
"""What differs for certain in one of these is elsewhere, however like it is otherwise."""

_LEVEL = re.compile(r"(level|lvl|l|floor|storey|story|)[ .\-]*0*(\d+)", re.IGNORECASE)
_OF_LEVEL = {"level": "level", "lvl": "level", "l": "level", "floor": "floor", "storey": "floor", "story": "floor"}


@dataclass(frozen=True)
class Described:
    """What is stated of where a place is and of what passes it there; None or "" where nothing is.

    `name` is what it is called in texts. Lengths in mm, the centre [m] in the coordinates of the models.
    """

    name: str
    storey: str = ""
    words: str = ""
    centre_m: tuple[float, float, float] | None = None
    size: Size | None = None
    orientation: Orientation | None = None
    wall_type: str = ""
    thickness_mm: Mm | None = None
    rating: Rating | None = None
    system: SystemUse | None = None


@dataclass(frozen=True, order=True)
class Compared:
    """One fact as each of the two states it, as text; "" where one does not."""

    fact: str
    one: str
    other: str


@dataclass(frozen=True)
class Likeness:
    """How like two places are. `score` is the share (0 … 1, by weight) of what either states that both say alike.

    `unknown` holds what only one of them states, and what two wordings leave in doubt.
    """

    score: float
    agreeing: tuple[Compared, ...]
    differing: tuple[Compared, ...]
    unknown: tuple[Compared, ...]

    @property
    def is_possible(self) -> bool:
        """Whether both may be one place: neither elsewhere for certain, nor more unlike than like."""
        if any(item.fact in _DECISIVE for item in self.differing):
            return False
        return _weight(self.agreeing) >= _weight(self.differing)

    @property
    def is_whole(self) -> bool:
        """Whether something agrees and nothing that both state differs."""
        return bool(self.agreeing) and not self.differing


def _weight(items: Iterable[Compared]) -> int:
    return sum(_WEIGHTS[item.fact] for item in items)


def _value(fact: object) -> Any:
    return fact.value if isinstance(fact, Known) else None


def _of_wall(wall_types: Mapping[str, WallType], code: str) -> tuple[Mm | None, Rating | None]:
    wall = wall_types.get(code)
    return (None, None) if wall is None else (_value(wall.thickness_mm), _value(wall.rating))


def described_row(row: ScheduleRow, wall_types: Mapping[str, WallType]) -> Described:
    """A schedule's row as a description; what it leaves out its wall type says. The duct's size, else the damper's."""
    code = _value(row.wall_type_code) or ""
    thickness, rating = _of_wall(wall_types, code)
    return Described(
        row.reference,
        _value(row.storey) or "",
        row.words,
        _value(row.centre_m),
        _value(row.duct_size or row.damper_size),
        _value(row.orientation),
        code,
        thickness if row.thickness_mm is None else row.thickness_mm.value,
        rating if row.rating is None else row.rating.value,
        _value(row.system),
    )


def described_place(place: ModelFacts, name: str, wall_types: Mapping[str, WallType]) -> Described:
    """A place of the models as a description; what the models leave out its wall type says."""
    code = _value(place.wall_type_code) or ""
    thickness, rating = _of_wall(wall_types, code)
    return Described(
        name,
        _value(place.storey) or "",
        "",
        place.centre_m,
        _value(place.size),
        _value(place.orientation),
        code,
        thickness if place.thickness_mm is None else place.thickness_mm.value,
        rating if place.rating is None else place.rating.value,
    )


def _storeys(one: str, other: str, storeys: frozenset[str]) -> Verdict:
    """Whether two texts name one storey; UNKNOWN where they may. `storeys` are plain names of different storeys."""
    a, b = plain(one), plain(other)
    if a == b:
        return Verdict.PASS
    if a in storeys and b in storeys:
        return Verdict.FAIL
    first, second = _LEVEL.fullmatch(a), _LEVEL.fullmatch(b)
    if first is None or second is None:
        return Verdict.UNKNOWN
    kinds = {_OF_LEVEL.get(match.group(1), "") for match in (first, second)} - {""}
    if len(kinds) > 1:  # the first floor is level 1 to some and level 2 to others
        return Verdict.UNKNOWN
    return Verdict.PASS if int(first.group(2)) == int(second.group(2)) else Verdict.FAIL


def _words(one: str, other: str) -> Verdict:
    """Places in words agree where letters and figures do; other words may still mean the same place."""
    a, b = ("".join(filter(str.isalnum, text.casefold())) for text in (one, other))
    return Verdict.PASS if a == b else Verdict.UNKNOWN


def _near(one: tuple[float, float, float], other: tuple[float, float, float]) -> Verdict:
    squares = sum((a - b) ** 2 for a, b in zip(one, other, strict=True))
    return Verdict.PASS if float(squares**0.5) * 1000 <= SAME_PLACE_MM else Verdict.FAIL


def _centre_text(centre: tuple[float, float, float]) -> str:
    return ", ".join(f"{axis} {number_text(value, 2)}" for axis, value in zip("xyz", centre, strict=True)) + " m"


def likeness(one: Described, other: Described, storeys: Iterable[str] = ()) -> Likeness:
    """How like two described places are. It does not matter which is which.

    Parameters
    ----------
    one : a description
    other : the one it is held against
    storeys : names that stand for different storeys of the building, as the models name them
    """
    known = frozenset(map(plain, storeys))
    facts: tuple[tuple[str, Any, Any, Callable[[Any, Any], Verdict], Callable[[Any], str]], ...] = (
        ("position", one.centre_m, other.centre_m, _near, _centre_text),
        ("size", one.size, other.size, agree, value_text),
        ("storey", one.storey, other.storey, lambda a, b: _storeys(a, b, known), str),
        ("place in words", one.words, other.words, _words, str),
        ("wall type", one.wall_type, other.wall_type, agree, str),
        ("orientation", one.orientation, other.orientation, agree, value_text),
        ("thickness", one.thickness_mm, other.thickness_mm, agree, lambda value: value_text(value, "thickness_mm")),
        ("rating", one.rating, other.rating, agree, value_text),
        ("system", one.system, other.system, agree, value_text),
    )
    found: dict[Verdict, list[Compared]] = {Verdict.PASS: [], Verdict.FAIL: [], Verdict.UNKNOWN: []}
    for name, first, second, same, text in facts:
        states = [value is not None and value != "" for value in (first, second)]
        if not any(states):
            continue
        verdict = same(first, second) if all(states) else Verdict.UNKNOWN
        found[verdict].append(
            Compared(name, *(text(v) if is_ else "" for v, is_ in zip((first, second), states, strict=True)))
        )
    whole = sum(_weight(items) for items in found.values())
    score = _weight(found[Verdict.PASS]) / whole if whole else 0.0
    return Likeness(round(score, 3), *(tuple(found[item]) for item in (Verdict.PASS, Verdict.FAIL, Verdict.UNKNOWN)))
