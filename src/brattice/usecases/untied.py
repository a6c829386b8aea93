# SPDX-License-Identifier: Apache-2.0
"""Rows and places that nobody tied: which of them may be one. It is asked; nothing is tied by likeness.

A row that names nothing of the models stands beside the place that it may mean: one damper counts twice, and neither
answer holds for it. So each such row says which untied places are like it, and each place which rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt

from brattice.building.ledger import schedule_key
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import WallType
from brattice.building.words import plain
from brattice.findings import Reason, Verdict
from brattice.quantities import number_text
from brattice.usecases.likeness import FACTS, Described, Likeness, described_place, described_row, likeness
from brattice.usecases.merge import SAME_PLACE_MM
from brattice.usecases.tie import Tied, is_not_modelled, tie_missing

__all__ = ["with_likely_ties"]

_NAMED = 5
"""As many of those that are alike are named, the most like first; the others are counted."""

_Cell = tuple[int, int, int]


@dataclass(frozen=True)
class _Like:
    """Something that another may be: its name, its number in the list, and how like it is."""

    name: str
    index: int
    like: Likeness

    @property
    def order(self) -> tuple[float, bool, str]:
        return -self.like.score, not self.like.is_whole, self.name


@dataclass
class _Found:
    """What one row or place may be: the most like ones, how many there are, and how many agree in everything.

    `is_untold` says that there is something of which nothing tells whether it is this.
    """

    best: list[_Like] = field(default_factory=list)
    number: int = 0
    whole: int = 0
    is_untold: bool = False

    def take(self, like: Likeness, index: int, described: Sequence[Described]) -> None:
        """Take up one more that it may be."""
        if not like.agreeing:
            self.is_untold = True
            return
        self.number += 1
        self.whole += like.is_whole
        self.best = sorted([*self.best, _Like(described[index].name, index, like)], key=lambda item: item.order)
        del self.best[_NAMED:]

    def and_those(self, other: _Found) -> _Found:
        """Both together."""
        best = sorted([*self.best, *other.best], key=lambda item: item.order)[:_NAMED]
        untold = self.is_untold or other.is_untold
        return _Found(best, self.number + other.number, self.whole + other.whole, untold)


@dataclass(frozen=True)
class _Groups:
    """Rows or places by their description: what says the same is compared once. Rows without a centre meet places,
    so that it matters whether a place has one and not where.

    `members` are the indices of each description, ascending by name; `ranks` the place of its first name in the order
    of all names.
    """

    described: Sequence[Described]
    alike: tuple[Described, ...]
    members: tuple[tuple[int, ...], ...]
    ranks: npt.NDArray[np.int64]
    sizes: npt.NDArray[np.int64]


def _groups(described: Sequence[Described], indices: Iterable[int]) -> _Groups:
    alike: dict[Described, list[int]] = {}
    ranks: dict[Described, int] = {}
    for rank, index in enumerate(sorted(indices, key=lambda at: described[at].name)):
        somewhere = None if described[index].centre_m is None else (0.0, 0.0, 0.0)
        group = replace(described[index], name="", centre_m=somewhere)  # that a centre is stated counts, not which
        alike.setdefault(group, []).append(index)
        ranks.setdefault(group, rank)
    members = tuple(tuple(together) for together in alike.values())
    sizes = np.array([len(together) for together in members], dtype=np.int64)
    return _Groups(described, tuple(alike), members, np.array(list(ranks.values()), dtype=np.int64), sizes)


_BASE = 1000
"""More than all facts weigh together: three sums are kept in one number."""


class _Weighing:
    """What every pair of descriptions weighs: each value of a fact is held against each other value once."""

    def __init__(self, ones: _Groups, others: _Groups, storeys: Sequence[str]) -> None:
        self.tables = []
        known = frozenset(map(plain, storeys))
        self.number = len(others.alike)
        for fact in FACTS:
            mine, of_mine = _coded([fact.of(item) for item in ones.alike])
            theirs, of_theirs = _coded([fact.of(item) for item in others.alike])
            elsewhere = _BASE**3 if fact.is_decisive else 0
            kinds = {Verdict.PASS: 1, Verdict.UNKNOWN: _BASE, Verdict.NOT_APPLICABLE: 0}
            factors = {it: fact.weight * kind for it, kind in kinds.items()}
            factors[Verdict.FAIL] = fact.weight * _BASE**2 + elsewhere
            table = np.array(
                [[factors[fact.compare(one, other, known)] for other in theirs] for one in mine], dtype=np.int64
            )
            if table.any():
                self.tables.append((table, of_mine, of_theirs))

    def of(self, at: int) -> tuple[npt.NDArray[Any], npt.NDArray[Any], npt.NDArray[Any], npt.NDArray[Any]]:
        """For one description, against all others: what agrees, what differs, what can't be told, what is elsewhere."""
        sums = np.zeros(self.number, dtype=np.int64)
        for table, of_mine, of_theirs in self.tables:
            sums += table[of_mine[at]][of_theirs]
        return sums % _BASE, sums // _BASE**2 % _BASE, sums // _BASE % _BASE, sums >= _BASE**3


def _coded(values: Sequence[Any]) -> tuple[list[Any], npt.NDArray[np.int64]]:
    """The distinct values, and which of them each is."""
    numbers: dict[Any, int] = {}
    codes = [numbers.setdefault(value, len(numbers)) for value in values]
    return list(numbers), np.array(codes, dtype=np.int64)


def _of_groups(ones: _Groups, others: _Groups, storeys: Sequence[str]) -> list[_Found]:
    """What each description of one kind may be among those of the other."""
    found = [_Found() for _ in ones.alike]
    if not ones.alike or not others.alike:
        return found
    weighing = _Weighing(ones, others, storeys)
    for at, one in enumerate(ones.alike):
        agrees, differs, untold, elsewhere = weighing.of(at)
        possible = (agrees >= differs) & ~elsewhere
        told = possible & (agrees > 0)
        whole = told & (differs == 0)
        scores = agrees / np.maximum(agrees + differs + untold, 1)
        candidates = np.flatnonzero(told)
        order = np.lexsort((others.ranks[candidates], ~whole[candidates], -scores[candidates]))
        best = []
        for group in candidates[order[:_NAMED]]:
            like = likeness(one, others.alike[group], storeys)
            best += [_Like(others.described[index].name, index, like) for index in others.members[group][:_NAMED]]
        found[at] = _Found(
            sorted(best, key=lambda item: item.order)[:_NAMED],
            int(others.sizes[told].sum()),
            int(others.sizes[whole].sum()),
            bool((possible & ~told).any()),
        )
    return found


def _cell(centre: tuple[float, float, float]) -> _Cell:
    """The cube of `SAME_PLACE_MM` a side that a centre stands in."""
    x, y, z = (math.floor(value * 1000 / SAME_PLACE_MM) for value in centre)
    return x, y, z


def _about(cell: _Cell) -> Iterable[_Cell]:
    x, y, z = cell
    return ((x + dx, y + dy, z + dz) for dx, dy, dz in product((-1, 0, 1), repeat=3))


def _compare(
    rows: Sequence[Described], places: Sequence[Described], storeys: Sequence[str]
) -> tuple[list[_Found], list[_Found]]:
    """What each row may be, and what each place. A row that states its centre is compared near there alone."""
    of_rows = [_Found() for _ in rows]
    of_places = [_Found() for _ in places]
    row_groups = _groups(rows, (at for at, row in enumerate(rows) if row.centre_m is None))
    place_groups = _groups(places, range(len(places)))
    for one, other, found in ((row_groups, place_groups, of_rows), (place_groups, row_groups, of_places)):
        for members, of_group in zip(one.members, _of_groups(one, other, storeys), strict=True):
            for index in members:
                found[index] = of_group.and_those(found[index])
    cells: dict[_Cell | None, list[int]] = {}
    for at, place in enumerate(places):
        cells.setdefault(None if place.centre_m is None else _cell(place.centre_m), []).append(at)
    for index, row in enumerate(rows):
        if row.centre_m is None:
            continue
        near = [at for cell in (*_about(_cell(row.centre_m)), None) for at in cells.get(cell, ())]
        for at in near:
            like = likeness(row, places[at], storeys)
            if like.is_possible:
                of_rows[index].take(like, at, places)
                of_places[at].take(likeness(places[at], row, storeys), index, rows)
    return of_rows, of_places


def _told(item: _Like) -> str:
    """One that it may be, in words: how like it is, what is the same, what differs."""
    same = ", ".join(f"{fact.fact} {fact.one}" for fact in item.like.agreeing)
    differs = ", ".join(f"{fact.fact} {fact.other} there and {fact.one} here" for fact in item.like.differing)
    score = number_text(item.like.score, 2)
    return f"{item.name} (likeness {score}: same {same}{f'; but {differs}' if differs else ''})"


def _listed(found: _Found, what: str) -> str:
    left = found.number - len(found.best)
    text = "; ".join(map(_told, found.best))
    return f"{text}; and {left} more {what}" if left else text


def _scores(found: _Found) -> str:
    return ", ".join(f"{item.name} ({number_text(item.like.score, 2)})" for item in found.best)


def _only(found: _Found, of_places: Sequence[_Found]) -> str:
    """Whether one place alone agrees in everything, and this row alone with it."""
    if not found.whole:
        return ""
    if found.whole > 1:
        return f" {found.whole} places agree in everything that both state."
    only = next(item for item in found.best if item.like.is_whole)
    others = "and no other row does with it" if of_places[only.index].whole == 1 else "but other rows do with it too"
    return f" Only {only.name} agrees in everything that both state, {others}."


def _asked_row(item: Tied, row: ScheduleRow, found: _Found, of_places: Sequence[_Found]) -> Tied:
    if found.best:
        text = f"This row may be a place of the models: {_listed(found, 'places')}."
        text += _only(found, of_places)
    else:
        text = "Nothing that this row states tells which place of the models it is, or that it is none of them."
    before = item.reasons
    reason = Reason(
        "tie",
        Verdict.UNKNOWN,
        " ".join([*(reason.text for reason in before), text]),
        "; ".join(filter(None, [*(reason.have for reason in before), _scores(found)])),
        f"its place by GlobalId or permanent id; the key {schedule_key(row.reference)} where no model shows it",
        (),
        (tie_missing(row),),
        (row.origin,),
    )
    return replace(item, reasons=(reason,))


def _asked_place(item: Tied, found: _Found, rows: Sequence[ScheduleRow]) -> Tied:
    asked = [rows[like.index] for like in found.best]
    reason = Reason(
        "tie",
        Verdict.UNKNOWN,
        f"A row that is tied to no place may be this one: {_listed(found, 'rows')}.",
        _scores(found),
        "one row that names it by GlobalId or permanent id",
        (),
        tuple(sorted(tie_missing(row) for row in asked)),
        tuple(sorted(row.origin for row in asked)),
    )
    return replace(item, reasons=(*item.reasons, reason))


def with_likely_ties(
    tied: Sequence[Tied], ids: Mapping[str, str], wall_types: Mapping[str, WallType], storeys: Iterable[str] = ()
) -> tuple[Tied, ...]:
    """The same rows and places, those untied with a question where they may be one; without models nothing changes.

    A row that states that no model shows it is asked nothing. The order of rows and places changes nothing.

    Parameters
    ----------
    tied : rows and places, together or alone
    ids : permanent id by key
    wall_types : by code; what a row or a place leaves out, its wall type says
    storeys : the names of the models' storeys
    """
    rows = [(at, item.row) for at, item in enumerate(tied) if item.place is None and item.row is not None]
    rows = [(at, row) for at, row in rows if not is_not_modelled(row)]
    places = [(at, item.place) for at, item in enumerate(tied) if item.row is None and item.place is not None]
    if not rows or not places:
        return tuple(tied)
    of_rows, of_places = _compare(
        [described_row(row, wall_types) for _, row in rows],
        [described_place(place, ids[place.key], wall_types) for _, place in places],
        tuple(storeys),
    )
    asked = list(tied)
    in_order = [row for _, row in rows]
    for (at, row), found in zip(rows, of_rows, strict=True):
        if found.best or found.is_untold:
            asked[at] = _asked_row(tied[at], row, found, of_places)
    for (at, _), found in zip(places, of_places, strict=True):
        if found.best:
            asked[at] = _asked_place(tied[at], found, in_order)
    return tuple(asked)
