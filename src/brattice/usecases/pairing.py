# SPDX-License-Identifier: Apache-2.0
"""Two lists of descriptions of the same building, put side by side: by names, by place, then by likeness.

Every step is blind to which list is which, and to the order in them. What two of one list might equally be is paired
with neither. Likeness gives proposals; it pairs nothing for certain.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from brattice.building.words import plain
from brattice.findings import Verdict
from brattice.usecases.likeness import FACTS, ComparedFact, Described
from brattice.usecases.merge import SAME_PLACE_MM

__all__ = ["Best", "Tie", "best_likes", "mutual", "pairs_by_centre", "pairs_by_names", "place_name"]

Pairs = list[tuple[int, int]]

LEAST_AGREED = 5
"""Likeness proposes a pair only where what both say alike weighs as much as a size and a storey together, or more. Our
own policy, as are the two below."""

LEAST_SCORE = 0.3
"""Nothing is proposed under this score: a schedule and a model often state few facts in common."""

_BASE = 1000
_MOST_COMPARED = 2_000_000
"""So many pairs of values of one fact are compared as words may be read; with more, only equal texts agree."""
_NAMED = 5
_LEVEL = re.compile(r"(?:level|lvl|l|)[ .\-]*0*(\d+)", re.IGNORECASE)


@dataclass(frozen=True)
class Tie:
    """Things of both lists that names join, and more of them than one on each side: nothing tells which is which."""

    ones: tuple[int, ...]
    others: tuple[int, ...]


def pairs_by_names(ones: Mapping[int, Iterable[str]], others: Mapping[int, Iterable[str]]) -> tuple[Pairs, list[Tie]]:
    """Pairs that share a name and are joined to nothing else by names; what is joined in any other way is a tie.

    Parameters
    ----------
    ones : the names of each thing of the first list, by its number
    others : those of the second list
    """
    parents: dict[str, str] = {}

    def root(name: str) -> str:
        while (above := parents.setdefault(name, name)) != name:
            parents[name] = name = parents[above]
        return name

    named = [{at: sorted(set(names)) for at, names in side.items()} for side in (ones, others)]
    for side in named:
        for names in side.values():
            for name in names[1:]:
                parents[root(name)] = root(names[0])
    together: dict[str, tuple[list[int], list[int]]] = {}
    for number, side in enumerate(named):
        for at, names in sorted(side.items()):
            if names:
                together.setdefault(root(names[0]), ([], []))[number].append(at)
    pairs: Pairs = []
    ties: list[Tie] = []
    for mine, theirs in together.values():
        if len(mine) == len(theirs) == 1:
            pairs.append((mine[0], theirs[0]))
        elif mine and theirs:
            ties.append(Tie(tuple(mine), tuple(theirs)))
    return sorted(pairs), ties


def place_name(storey: str, words: str) -> str:
    """A storey and a place in words as one name, "" where either is not stated; L02 and "Level 2" are one storey."""
    level = _LEVEL.fullmatch(plain(storey))
    said = "".join(filter(str.isalnum, words.casefold()))
    where = f"level {int(level.group(1))}" if level else plain(storey)
    return f"{where}\x1f{said}" if where and said else ""


_Centres = Mapping[int, tuple[float, float, float]]


def pairs_by_centre(ones: _Centres, others: _Centres) -> Pairs:
    """Pairs whose stated centres [m] are within `SAME_PLACE_MM` of each other, and of no other's of either list."""
    if not ones or not others:
        return []
    theirs = np.array(list(others.values()), dtype=np.float64)
    numbers = list(others)
    near_others = np.zeros(len(numbers), dtype=np.int64)
    found: Pairs = []
    for at, centre in ones.items():
        near = np.flatnonzero(((theirs - np.array(centre)) ** 2).sum(axis=1) * 1e6 <= SAME_PLACE_MM**2)
        near_others[near] += 1
        if len(near) == 1:
            found.append((at, int(near[0])))
    return sorted((at, numbers[other]) for at, other in found if near_others[other] == 1)


def _is_nothing(value: object) -> bool:
    return value is None or value == ""


class _Table:
    """What each pair of values of one fact weighs: three sums kept in one number, and a fourth for "elsewhere"."""

    def __init__(self, fact: ComparedFact, ones: Sequence[Any], others: Sequence[Any], storeys: frozenset[str]) -> None:
        mine, self.of_mine = _coded(ones)
        theirs, self.of_theirs = _coded(others)
        weigh = _weights(fact)
        if len(mine) * len(theirs) > _MOST_COMPARED or fact.name == "place in words":
            self.rows = _Equal(mine, theirs, weigh)
        else:
            table = [[weigh[fact.compare(one, other, storeys)] for other in theirs] for one in mine]
            self.rows = np.array(table, dtype=np.int64).reshape(len(mine), len(theirs))

    def of(self, at: int) -> npt.NDArray[np.int64]:
        """For one thing, what this fact weighs against each of the others."""
        return np.asarray(self.rows[self.of_mine[at]])[self.of_theirs]

    rows: Any


class _Equal:
    """Rows of a table that is too large to keep: equal texts agree, others leave it open."""

    def __init__(self, mine: Sequence[Any], theirs: Sequence[Any], weigh: Mapping[Verdict, int]) -> None:
        self.weigh = weigh
        numbers: dict[Any, int] = {}
        self.mine, self.theirs = (
            np.array([numbers.setdefault(_letters(value), len(numbers)) for value in side], dtype=np.int64)
            for side in (mine, theirs)
        )
        self.stated_mine, self.stated_theirs = (
            np.array([not _is_nothing(value) for value in side], dtype=bool) for side in (mine, theirs)
        )

    def __getitem__(self, code: int) -> npt.NDArray[np.int64]:
        both = self.stated_theirs & self.stated_mine[code]
        either = self.stated_theirs | self.stated_mine[code]
        same = both & (self.theirs == self.mine[code])
        return np.where(same, self.weigh[Verdict.PASS], np.where(either, self.weigh[Verdict.UNKNOWN], 0))


def _letters(value: Any) -> Any:
    return "".join(filter(str.isalnum, value.casefold())) if isinstance(value, str) else value


class _Positions:
    """What the stated centres weigh, by their distance."""

    def __init__(self, fact: ComparedFact, ones: Sequence[Any], others: Sequence[Any]) -> None:
        self.weigh = _weights(fact)
        self.mine, self.stated_mine = _points(ones)
        self.theirs, self.stated_theirs = _points(others)

    def of(self, at: int) -> npt.NDArray[np.int64]:
        """For one thing, what its position weighs against that of each of the others."""
        if not self.stated_mine[at]:
            return np.where(self.stated_theirs, self.weigh[Verdict.UNKNOWN], 0)
        squares = ((self.theirs - self.mine[at]) ** 2).sum(axis=1) * 1e6
        told = np.where(squares <= SAME_PLACE_MM**2, self.weigh[Verdict.PASS], self.weigh[Verdict.FAIL])
        return np.where(self.stated_theirs, told, self.weigh[Verdict.UNKNOWN])


def _points(values: Sequence[Any]) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    points = np.array([(0.0, 0.0, 0.0) if value is None else value for value in values], dtype=np.float64)
    return points.reshape(len(values), 3), np.array([value is not None for value in values], dtype=bool)


def _weights(fact: ComparedFact) -> dict[Verdict, int]:
    elsewhere = _BASE**3 if fact.is_decisive else 0
    return {
        Verdict.PASS: fact.weight,
        Verdict.UNKNOWN: fact.weight * _BASE,
        Verdict.FAIL: fact.weight * _BASE**2 + elsewhere,
        Verdict.NOT_APPLICABLE: 0,
    }


def _coded(values: Sequence[Any]) -> tuple[list[Any], npt.NDArray[np.int64]]:
    numbers: dict[Any, int] = {}
    codes = [numbers.setdefault(value, len(numbers)) for value in values]
    return list(numbers), np.array(codes, dtype=np.int64)


@dataclass(frozen=True)
class Best:
    """What one thing is most like among those of the other list: the score, how many have it, the first of them."""

    score: float = 0.0
    number: int = 0
    first: tuple[int, ...] = ()


def best_likes(ones: Sequence[Described], others: Sequence[Described], storeys: Iterable[str] = ()) -> list[Best]:
    """For each of the first what it is most like among the second, where that is enough to be proposed.

    Parameters
    ----------
    ones : descriptions
    others : those that they are held against
    storeys : names that stand for different storeys of the building
    """
    if not ones or not others:
        return [Best() for _ in ones]
    known = frozenset(map(plain, storeys))
    tables: list[_Table | _Positions] = []
    for fact in FACTS:
        mine, theirs = [fact.of(item) for item in ones], [fact.of(item) for item in others]
        if all(map(_is_nothing, mine)) and all(map(_is_nothing, theirs)):
            continue
        tables.append(_Positions(fact, mine, theirs) if fact.name == "position" else _Table(fact, mine, theirs, known))
    found: list[Best] = []
    for at in range(len(ones)):
        sums = np.zeros(len(others), dtype=np.int64)
        for table in tables:
            sums += table.of(at)
        agrees, unknown, differs = sums % _BASE, sums // _BASE % _BASE, sums // _BASE**2 % _BASE
        scores = agrees / np.maximum(agrees + unknown + differs, 1)
        enough = (agrees >= LEAST_AGREED) & (agrees >= differs) & (sums < _BASE**3) & (scores >= LEAST_SCORE)
        top = float(scores[enough].max()) if enough.any() else 0.0
        best = np.flatnonzero(enough & (scores == top)) if top else np.array([], dtype=np.int64)
        found.append(Best(top, len(best), tuple(int(item) for item in best[:_NAMED])))
    return found


def mutual(ones: Sequence[Best], others: Sequence[Best]) -> Pairs:
    """The pairs of which each is the only one that the other is most like."""
    return [
        (at, best.first[0])
        for at, best in enumerate(ones)
        if best.number == 1 and others[best.first[0]].number == 1 and others[best.first[0]].first[0] == at
    ]
