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

__all__ = ["FACTS", "Compared", "ComparedFact", "Described", "Likeness", "described_place", "described_row", "likeness"]

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
        if any(_BY_NAME[item.fact].is_decisive for item in self.differing):
            return False
        return _weight(self.agreeing) >= _weight(self.differing)

    @property
    def is_whole(self) -> bool:
        """Whether something agrees and nothing that both state differs."""
        return bool(self.agreeing) and not self.differing


def _weight(items: Iterable[Compared]) -> int:
    return sum(_BY_NAME[item.fact].weight for item in items)


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


def _words(one: str, other: str, _storeys: frozenset[str]) -> Verdict:
    """Places in words agree where letters and figures do; other words may still mean the same place."""
    a, b = ("".join(filter(str.isalnum, text.casefold())) for text in (one, other))
    return Verdict.PASS if a == b else Verdict.UNKNOWN


def _near(one: tuple[float, float, float], other: tuple[float, float, float], _storeys: frozenset[str]) -> Verdict:
    squares = sum((a - b) ** 2 for a, b in zip(one, other, strict=True))
    return Verdict.PASS if float(squares**0.5) * 1000 <= SAME_PLACE_MM else Verdict.FAIL


def _centre_text(centre: tuple[float, float, float]) -> str:
    return ", ".join(f"{axis} {number_text(value, 2)}" for axis, value in zip("xyz", centre, strict=True)) + " m"


@dataclass(frozen=True)
class ComparedFact:
    """One fact by which descriptions are compared: its name, weight, how it is read, compared and written.

    What differs for certain in a decisive one is elsewhere.
    """

    name: str
    weight: int
    of: Callable[[Described], Any]
    same: Callable[[Any, Any, frozenset[str]], Verdict]
    write: Callable[[Any], str] = value_text
    is_decisive: bool = False

    def compare(self, one: Any, other: Any, storeys: frozenset[str]) -> Verdict:
        """Whether two values agree; UNKNOWN where one is not stated, NOT_APPLICABLE where neither is.

        `storeys` are plain names of different storeys.
        """
        stated = [not _is_nothing(value) for value in (one, other)]
        if not all(stated):
            return Verdict.UNKNOWN if any(stated) else Verdict.NOT_APPLICABLE
        return self.same(one, other, storeys)

    def text(self, value: Any) -> str:
        """A value as people read it, "" where it is not stated."""
        return "" if _is_nothing(value) else self.write(value)


def _is_nothing(value: object) -> bool:
    return value is None or value == ""


def _agree(one: object, other: object, _storeys: frozenset[str]) -> Verdict:
    return agree(one, other)


FACTS: tuple[ComparedFact, ...] = (
    ComparedFact("position", 4, lambda it: it.centre_m, _near, _centre_text, is_decisive=True),
    ComparedFact("size", 3, lambda it: it.size, _agree),
    ComparedFact("storey", 2, lambda it: it.storey, _storeys, is_decisive=True),
    ComparedFact("place in words", 2, lambda it: it.words, _words),
    ComparedFact("wall type", 2, lambda it: it.wall_type, _agree),
    ComparedFact("orientation", 1, lambda it: it.orientation, _agree),
    ComparedFact("thickness", 1, lambda it: it.thickness_mm, _agree, lambda value: value_text(value, "thickness_mm")),
    ComparedFact("rating", 1, lambda it: it.rating, _agree),
    ComparedFact("system", 1, lambda it: it.system, _agree),
)
"""The facts that are compared. A fact weighs more the more it tells one place from another: our own policy."""

_BY_NAME = {fact.name: fact for fact in FACTS}


def likeness(one: Described, other: Described, storeys: Iterable[str] = ()) -> Likeness:
    """How like two described places are. It does not matter which is which.

    Parameters
    ----------
    one : a description
    other : the one it is held against
    storeys : names that stand for different storeys of the building, as the models name them
    """
    found: dict[Verdict, list[Compared]] = {Verdict.PASS: [], Verdict.FAIL: [], Verdict.UNKNOWN: []}
    known = frozenset(map(plain, storeys))
    for fact in FACTS:
        first, second = fact.of(one), fact.of(other)
        verdict = fact.compare(first, second, known)
        if verdict is not Verdict.NOT_APPLICABLE:
            found[verdict].append(Compared(fact.name, fact.text(first), fact.text(second)))
    whole = sum(_weight(items) for items in found.values())
    score = _weight(found[Verdict.PASS]) / whole if whole else 0.0
    return Likeness(round(score, 3), *(tuple(found[item]) for item in (Verdict.PASS, Verdict.FAIL, Verdict.UNKNOWN)))
