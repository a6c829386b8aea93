# SPDX-License-Identifier: Apache-2.0
"""Dampers that are too near to each other or to a wall or floor, and the smallest shift of openings that cures all.

Everything lies in the plane of the barrier, seen along its normal: x to the right, y upwards. An outline is a rectangle
or a circle. A least distance holds between the outlines that are given; where the test measured from surfaces that
stand out farther (trade handbook 2.30a), whoever states the problem adds how far.

This room holds the problem and the checker; what finds the shifts is behind `SeparationSolver`. A proposal is for the
designer to decide: ducts, structure and other services have their say.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import Protocol

from brattice.calc.exact import as_stated
from brattice.quantities import mm_text

__all__ = [
    "Aim",
    "Body",
    "Cure",
    "EdgeRule",
    "EdgeSide",
    "Move",
    "PairRule",
    "SeparationAnswer",
    "SeparationProblem",
    "SeparationSolver",
    "TooNear",
    "check_answer",
    "clear_distance_mm",
    "too_near",
]


class EdgeSide(StrEnum):
    """On which side of all openings an adjoining wall or floor lies."""

    LEFT = "left"
    RIGHT = "right"
    BELOW = "below"
    ABOVE = "above"


class Aim(StrEnum):
    """What is made as small as it can be."""

    TOTAL = "total shift"
    """The sum of all |dx| + |dy|."""
    LARGEST = "largest shift"
    """The largest |dx| + |dy| of one opening; the total is made small after it."""


class Cure(StrEnum):
    """How the search for shifts came out."""

    NOTHING_TO_DO = "nothing is too near"
    CURED = "these shifts cure all"
    NO_ANSWER = "no shift cures all"
    NOT_FOUND = "the search was stopped before an answer was found"


@dataclass(frozen=True, order=True)
class Body:
    """One outline: its name, centre, width and height [mm]; `height_mm` None is a circle whose diameter is the width.

    A body that is not `movable` (an opening that was formed, a column) stays where it is; `most_move_mm` bounds |dx|
    and |dy| of the others where something is known.
    """

    name: str
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float | None
    movable: bool = True
    most_move_mm: float | None = None

    def __post_init__(self) -> None:
        for size in (self.width_mm, self.height_mm):
            if size is not None and not 0 < size < math.inf:
                raise ValueError(f"{self.name}: an outline has a size above zero, not {size} mm")
        if not (math.isfinite(self.x_mm) and math.isfinite(self.y_mm)):
            raise ValueError(f"{self.name}: a place is two numbers, not {self.x_mm}, {self.y_mm}")
        if self.most_move_mm is not None and not self.most_move_mm >= 0:
            raise ValueError(f"{self.name}: a shift is bounded by zero or more, not {self.most_move_mm} mm")

    def reach_mm(self, across: float, up: float) -> float:
        """How far the outline reaches from its centre in a direction of length one [mm]."""
        if self.height_mm is None:
            return self.width_mm / 2
        return abs(across) * self.width_mm / 2 + abs(up) * self.height_mm / 2


@dataclass(frozen=True, order=True)
class PairRule:
    """Two bodies by name and the least clear distance between their outlines [mm]."""

    one: str
    other: str
    least_mm: float


@dataclass(frozen=True, order=True)
class EdgeRule:
    """For one body: an adjoining wall or floor, its side and place (x of a side, else y) [mm], the least distance."""

    body: str
    name: str
    side: EdgeSide
    at_mm: float
    least_mm: float


@dataclass(frozen=True)
class SeparationProblem:
    """Bodies, and the least distances of pairs and to edges. Names are used once; a rule names bodies that exist."""

    bodies: tuple[Body, ...]
    pairs: tuple[PairRule, ...]
    edges: tuple[EdgeRule, ...] = ()
    _by_name: Mapping[str, Body] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_name = {body.name: body for body in self.bodies}
        if len(by_name) != len(self.bodies):
            raise ValueError("two bodies of one name")
        for rule in self.pairs:
            if rule.one == rule.other:
                raise ValueError(f"{rule.one}: no distance to itself")
        named = {name for rule in self.pairs for name in (rule.one, rule.other)} | {rule.body for rule in self.edges}
        if named - set(by_name):
            raise ValueError(f"no body of the name {min(named - set(by_name))!r}")
        for least in (*(rule.least_mm for rule in self.pairs), *(rule.least_mm for rule in self.edges)):
            if not 0 <= least < math.inf:
                raise ValueError(f"a least distance is zero or more, not {least} mm")
        object.__setattr__(self, "_by_name", by_name)

    def body(self, name: str) -> Body:
        """The body of a name; KeyError for none."""
        return self._by_name[name]


@dataclass(frozen=True, order=True)
class TooNear:
    """A pair, or a body and an edge, whose clear distance is less than the least [mm]; 0 where they overlap."""

    one: str
    other: str
    clear_mm: float
    least_mm: float

    @property
    def text(self) -> str:
        """For people."""
        return f"{self.one} to {self.other}: {mm_text(self.clear_mm)} clear, at least {mm_text(self.least_mm)} needed"


@dataclass(frozen=True, order=True)
class Move:
    """How far one body is shifted: to the right and upwards [mm]."""

    name: str
    dx_mm: float
    dy_mm: float

    @property
    def length_mm(self) -> float:
        """|dx| + |dy| [mm]."""
        return abs(self.dx_mm) + abs(self.dy_mm)


@dataclass(frozen=True)
class SeparationAnswer:
    """The shifts that were found, sorted by name, without those of zero; `is_proven` that no smaller ones would do.

    Proven within what was searched: whole steps, and distances taken along the solver's directions.
    """

    cure: Cure
    moves: tuple[Move, ...] = ()
    is_proven: bool = False

    @property
    def total_mm(self) -> float:
        """The sum of all |dx| + |dy| [mm]."""
        return math.fsum(move.length_mm for move in self.moves)

    @property
    def largest_mm(self) -> float:
        """The largest |dx| + |dy| of one body [mm]; 0 where nothing moves."""
        return max((move.length_mm for move in self.moves), default=0.0)


class SeparationSolver(Protocol):
    """Finds the smallest shifts; its answers are always held against `check_answer`."""

    def cure(self, problem: SeparationProblem, aim: Aim) -> SeparationAnswer:
        """The smallest shifts of movable bodies after which nothing is too near."""
        ...


_Place = tuple[Fraction, Fraction]


def _place(body: Body, moves: Mapping[str, Move]) -> _Place:
    x, y = as_stated(body.x_mm), as_stated(body.y_mm)
    move = moves.get(body.name)
    return (x, y) if move is None else (x + as_stated(move.dx_mm), y + as_stated(move.dy_mm))


def _halves(body: Body) -> _Place:
    """Half width and height of the part that is a rectangle: nothing of a circle, which is all rounding."""
    if body.height_mm is None:
        return Fraction(0), Fraction(0)
    return as_stated(body.width_mm) / 2, as_stated(body.height_mm) / 2


def _radius(body: Body) -> Fraction:
    return as_stated(body.width_mm) / 2 if body.height_mm is None else Fraction(0)


@dataclass(frozen=True)
class _Apart:
    """The square of the distance between two cores (rectangles or centres), what their circles take off it, overlap."""

    square: Fraction
    rounding: Fraction
    overlap: bool

    @property
    def clear_mm(self) -> float:
        return max(0.0, math.sqrt(self.square) - float(self.rounding))

    def is_less_than(self, least_mm: float) -> bool:
        return self.overlap or self.square < (self.rounding + as_stated(least_mm)) ** 2


def _apart(one: Body, other: Body, moves: Mapping[str, Move]) -> _Apart:
    (x, y), (u, v) = _place(one, moves), _place(other, moves)
    (a, b), (c, d) = _halves(one), _halves(other)
    across, up = abs(u - x) - a - c, abs(v - y) - b - d
    nothing = Fraction(0)
    square = max(nothing, across) ** 2 + max(nothing, up) ** 2
    return _Apart(square, _radius(one) + _radius(other), across < 0 and up < 0)


def clear_distance_mm(one: Body, other: Body) -> float:
    """The clear distance between two outlines [mm], 0 where they overlap."""
    return _apart(one, other, {}).clear_mm


def _edge_clear(body: Body, rule: EdgeRule, moves: Mapping[str, Move]) -> Fraction:
    x, y = _place(body, moves)
    width = as_stated(body.width_mm) / 2
    height = width if body.height_mm is None else as_stated(body.height_mm) / 2
    at = as_stated(rule.at_mm)
    return {
        EdgeSide.LEFT: x - width - at,
        EdgeSide.RIGHT: at - x - width,
        EdgeSide.BELOW: y - height - at,
        EdgeSide.ABOVE: at - y - height,
    }[rule.side]


def _faults(problem: SeparationProblem, moves: Mapping[str, Move]) -> tuple[TooNear, ...]:
    found = []
    for rule in problem.pairs:
        apart = _apart(problem.body(rule.one), problem.body(rule.other), moves)
        if apart.is_less_than(rule.least_mm):
            first, second = sorted((rule.one, rule.other))
            found.append(TooNear(first, second, apart.clear_mm, rule.least_mm))
    for edge in problem.edges:
        gap = _edge_clear(problem.body(edge.body), edge, moves)
        if gap < as_stated(edge.least_mm):
            found.append(TooNear(edge.body, edge.name, max(0.0, float(gap)), edge.least_mm))
    return tuple(sorted(found))


def too_near(problem: SeparationProblem, moves: tuple[Move, ...] = ()) -> tuple[TooNear, ...]:
    """All pairs and edges that are too near, sorted, after `moves` have been made.

    Exact: straight between rectangles and circles, diagonals included, in the decimals as stated; at the least
    distance it is not too near.
    """
    return _faults(problem, {move.name: move for move in moves})


def check_answer(problem: SeparationProblem, answer: SeparationAnswer) -> tuple[str, ...]:
    """Everything that is wrong with an answer, in words; empty where it holds. Knows nothing of how it was found."""
    faults = []
    names = [move.name for move in answer.moves]
    known = {body.name: body for body in problem.bodies}
    if len(set(names)) != len(names):
        faults.append("one body is shifted twice")
    for move in answer.moves:
        body = known.get(move.name)
        if body is None:
            faults.append(f"{move.name}: no body of that name")
        elif not body.movable:
            faults.append(f"{move.name}: is formed already and was shifted")
        elif body.most_move_mm is not None and max(abs(move.dx_mm), abs(move.dy_mm)) > body.most_move_mm:
            faults.append(f"{move.name}: shifted farther than {mm_text(body.most_move_mm)}")
    moves = tuple(move for move in answer.moves if move.name in known)
    left = too_near(problem, moves)
    if answer.cure in {Cure.CURED, Cure.NOTHING_TO_DO}:
        faults += [item.text for item in left]
    elif moves:
        faults.append("shifts without a cure")
    if answer.cure is Cure.NOTHING_TO_DO and answer.moves:
        faults.append("shifts where nothing was too near")
    return tuple(faults)
