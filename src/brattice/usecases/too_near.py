# SPDX-License-Identifier: Apache-2.0
"""Which dampers of a judged job are too near, and the smallest shift that cures all of a group.

What is too near is what the check of the evidence fails for its distance, measured as tested. A group is what has to
be solved together: pairs that are too near, and whatever a shift would come too near to. Only what is placed in the
plane of one barrier is solved; everything else is said to be not known.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from brattice.building.penetration import Separation
from brattice.building.words import SeparationFill
from brattice.classes import ClassSteps
from brattice.details.detail import InstallationDetail
from brattice.details.separations import (
    Aim,
    Cure,
    EdgeRule,
    Move,
    PairRule,
    SeparationAnswer,
    SeparationProblem,
    SeparationSolver,
    too_near,
)
from brattice.evidence.checking import Basis
from brattice.evidence.checks_separation import (
    CONSTRUCTION,
    apart,
    distance_bounds,
    have_text,
    is_too_near,
    need_text,
    neighbour_kind,
)
from brattice.findings import Known
from brattice.orders.too_near import ShiftStanding, TooNearGroup
from brattice.orders.words import natural, storey_of, wall_words
from brattice.quantities import mm_text
from brattice.rows import RowBook
from brattice.usecases.job import Job
from brattice.usecases.places import NEAR_MM
from brattice.usecases.plane_of_barrier import MOST_SHIFT_MM, Placed, Plane, edge_rules, pair_rule, place_all, plane_of

__all__ = ["LARGE_GROUP", "MOST_EFFORT", "MOST_IN_GROUP", "MOST_NODES", "too_near_of"]

MOST_IN_GROUP = 12
"""A group of more than so many penetrations is not searched: it takes minutes, and is a matter of the layout. Our own
policy."""

LARGE_GROUP = 5
MOST_EFFORT = 300
"""Groups of `LARGE_GROUP` penetrations and more are searched, the first by name, until the squares of their sizes add
up to so much: twelve of five, four of eight, two of twelve. So a job takes seconds, whatever is in it. Our own
policy."""

MOST_NODES = 100
"""How far one search of a solver goes before it says what it has as not proven [nodes]. Our own policy."""

_MATTERS_MM = 2 * math.sqrt(2) * MOST_SHIFT_MM + NEAR_MM
"""Outlines farther apart than this [mm] can't come too near by any shift of both."""

Progress = Callable[[str], None]


@dataclass(frozen=True)
class _Near:
    """One distance that is too short: whose, to what, in words."""

    one: str
    item: Separation
    text: str

    @property
    def other(self) -> str:
        return self.item.to


def _near(detail: InstallationDetail, basis: Basis) -> list[_Near]:
    """Every neighbour that is certainly nearer than tested, as the check has it."""
    tested, found = detail.tested, []
    if tested is None:
        return []
    for item in detail.penetration.separations:
        kind = neighbour_kind(item)
        limit = apart(tested, kind, basis)
        if not isinstance(item.distance_mm, Known):
            continue
        if is_too_near(item.distance_mm.value, distance_bounds(item, tested, limit, basis), limit):
            text = f"{detail.id} has {have_text(item)}; needs {need_text(kind, limit)}."
            found.append(_Near(detail.id, item, text))
    return found


@dataclass
class _Sets:
    """Names that belong together."""

    parent: dict[str, str] = field(default_factory=dict)

    def find(self, name: str) -> str:
        while (up := self.parent.setdefault(name, name)) != name:
            name = up
        return name

    def join(self, one: str, other: str) -> None:
        first, second = sorted((self.find(one), self.find(other)))
        self.parent[second] = first

    def groups(self) -> list[tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for name in sorted(self.parent):
            found.setdefault(self.find(name), []).append(name)
        return sorted((tuple(sorted(names)) for names in found.values()), key=natural)


@dataclass(frozen=True)
class _Solved:
    """What came out for one group: how far it goes, the shifts, what is not known; the plane they lie in."""

    standing: ShiftStanding
    moves: tuple[Move, ...] = ()
    look: tuple[str, ...] = ()
    plane: Plane | None = None


class _Search:
    """The groups of one job."""

    def __init__(self, details: Mapping[str, InstallationDetail], basis: Basis, solver: SeparationSolver) -> None:
        self.details, self.basis, self.solver = details, basis, solver
        self.near = [item for detail in details.values() for item in _near(detail, basis)]
        self.near_of: dict[str, list[_Near]] = {}
        for item in self.near:
            self.near_of.setdefault(item.one, []).append(item)
        self.placed = place_all(details.values())
        self.on_barrier: dict[str, list[str]] = {}
        for name in self.placed:
            for guid in details[name].penetration.barrier.guids:
                self.on_barrier.setdefault(guid, []).append(name)
        self.solved: dict[tuple[str, ...], _Solved] = {}
        self.effort = 0

    def passes_with(self, one: str, other: str) -> bool:
        """Whether two pass a common barrier."""
        mine, its = (self.details[name].penetration.barrier.guids for name in (one, other))
        return not set(mine).isdisjoint(its)

    def beside(self, name: str) -> set[str]:
        """Everything that is placed in a barrier of this one, as near as shifts of both could matter."""
        mine, found = self.placed[name], set()
        for guid in self.details[name].penetration.barrier.guids:
            for other in self.on_barrier.get(guid, ()):
                its = self.placed[other]
                reach = mine.reach_mm + its.reach_mm + _MATTERS_MM
                if math.dist(mine.centre_m, its.centre_m) * 1000.0 <= reach:
                    found.add(other)
        return found - {name}

    def run(self) -> list[tuple[tuple[str, ...], _Solved]]:
        """Solve; where shifts come too near to something else, take it in and solve again."""
        sets = _Sets()
        for item in self.near:
            sets.find(item.one)
            if item.other not in CONSTRUCTION and item.other in self.details:
                sets.join(item.one, item.other)
        while True:
            groups = sets.groups()
            answers = []
            for members in groups:
                if members not in self.solved:
                    self.solved[members] = self._solve(members)
                answers.append((members, self.solved[members]))
            met = self._met(answers)
            for one, other in met:
                sets.join(one, other)
            if not met:
                return answers

    def _met(self, answers: Sequence[tuple[tuple[str, ...], _Solved]]) -> list[tuple[str, str]]:
        """Pairs of different groups, or of a group and what is in none, that shifts bring too near."""
        moves = {move.name: move for _, solved in answers for move in solved.moves}
        group_of = {name: members for members, _ in answers for name in members}
        met = []
        for members, solved in answers:
            if solved.plane is None:
                continue
            for name in sorted(move.name for move in solved.moves):
                mine = solved.plane.seen(self.placed[name])
                for other in sorted(self.beside(name) - set(members)):
                    theirs = solved.plane.seen(self.placed[other])
                    if mine is None or theirs is None:
                        continue
                    rule = pair_rule(mine, theirs, self.basis)
                    far = self.solved.get(group_of.get(other, ()))
                    both = [moves[name]]
                    if other in moves and far is not None and far.plane is not None:
                        both.append(_turned(moves[other], far.plane, solved.plane))
                    problem = SeparationProblem((mine.body, theirs.body), (rule.rule,))
                    if too_near(problem, tuple(both)):
                        met.append((name, other))
        return met

    def _unplaced(self, members: Sequence[str], bodies: Mapping[str, Placed]) -> list[str]:
        """Why a group can't be laid out in one plane, in words."""
        found = []
        for name in members:
            if name not in self.placed:
                found.append(
                    f"{name}: no model gives its place and the plane of its barrier, or its size is not known."
                )
            elif name not in bodies:
                found.append(f"{name} lies in another plane than {members[0]}.")
        for item in (item for name in members for item in self.near_of.get(name, ())):
            if item.other in CONSTRUCTION:
                continue
            if item.other not in self.details:
                found.append(f"{item.one}: where {item.other} is, is not known.")
            elif item.other in self.placed and item.one in self.placed and not self.passes_with(item.one, item.other):
                one, other = sorted((item.one, item.other))
                found.append(f"{one} and {other} pass no common element of the models.")
        return sorted(set(found))

    def _solve(self, members: tuple[str, ...]) -> _Solved:
        if len(members) > MOST_IN_GROUP:
            text = f"{len(members)} penetrations have to be shifted together; up to {MOST_IN_GROUP} are searched."
            return _Solved(ShiftStanding.NOT_SEARCHED, look=(text,))
        plane = plane_of(self.placed[name] for name in members if name in self.placed)
        bodies = {}
        if plane is not None:
            seen = {name: plane.seen(self.placed[name]) for name in members if name in self.placed}
            bodies = {name: item for name, item in seen.items() if item is not None}
        missing = self._unplaced(members, bodies)
        if missing or plane is None:
            return _Solved(ShiftStanding.NOT_KNOWN, look=tuple(missing))
        look: list[str] = []
        unsure: list[str] = []
        rules: list[PairRule] = []
        edges: list[EdgeRule] = []
        for at, one in enumerate(members):
            for other in members[at + 1 :]:
                found = pair_rule(bodies[one], bodies[other], self.basis)
                unsure += found.unsure
                if found.contradicts:
                    missing.append(found.contradicts)
                rules.append(found.rule)
        for name in members:
            rule = edge_rules(bodies[name], self.basis)
            edges += rule.rules
            unsure += rule.unsure
            missing += rule.unknown
        if missing:
            return _Solved(ShiftStanding.NOT_KNOWN, look=tuple(sorted({*missing, *look})))
        problem = SeparationProblem(tuple(bodies[name].body for name in members), tuple(rules), tuple(edges))
        if len(members) >= LARGE_GROUP:
            effort = len(members) ** 2
            if self.effort + effort > MOST_EFFORT:
                text = (
                    f"Other groups of {LARGE_GROUP} penetrations and more were searched first; no more are in one job."
                )
                return _Solved(ShiftStanding.NOT_SEARCHED, look=(text,))
            self.effort += effort
        answer = self.solver.cure(problem, Aim.TOTAL)
        look += [
            f"Whether {move.name} is formed already is not stated."
            for move in answer.moves
            if not _says(self.details[move.name])
        ]
        return _Solved(_standing(answer, unsure), answer.moves, tuple(sorted({*look, *unsure})), plane)


def _says(detail: InstallationDetail) -> bool:
    return isinstance(detail.penetration.opening.formed, Known)


def _turned(move: Move, its: Plane, here: Plane) -> Move:
    """A shift of one plane in the directions of another of the same barrier."""
    dx, dy = here.turned(its, move.dx_mm, move.dy_mm)
    return Move(move.name, dx, dy)


def _standing(answer: SeparationAnswer, unsure: Sequence[str]) -> ShiftStanding:
    if answer.cure is Cure.NO_ANSWER:
        return ShiftStanding.NONE
    if answer.cure is Cure.NOT_FOUND:
        return ShiftStanding.NOT_FOUND
    if answer.cure is Cure.NOTHING_TO_DO:
        return ShiftStanding.NOT_KNOWN
    if unsure:
        return ShiftStanding.AT_LEAST
    return ShiftStanding.SMALLEST if answer.is_proven else ShiftStanding.NOT_PROVEN


def _batt(item: _Near) -> bool:
    fill = item.item.fill
    return item.other not in CONSTRUCTION and isinstance(fill, Known) and fill.value is SeparationFill.BATT


def _fixed(details: Iterable[InstallationDetail]) -> list[str]:
    found = []
    for detail in details:
        formed = detail.penetration.opening.formed
        if isinstance(formed, Known) and formed.value:
            found.append(f"The opening of {detail.id} is formed already and stays.")
        elif detail.penetration.to_be_settled:
            found.append(f"{detail.id} is to be settled in the models and stays.")
        if detail.deviation:
            found.append(f"{detail.id}: a deviation was accepted.")
    return found


def _group(search: _Search, members: tuple[str, ...], solved: _Solved) -> TooNearGroup:
    details = [search.details[name] for name in members]
    near = [item for name in members for item in search.near_of.get(name, ())]
    look = list(solved.look)
    look += [
        f"Only batt lies between {item.one} and {item.other}, which is no supporting construction: construction has to "
        "lie between them, however far they are apart."
        for item in near
        if _batt(item) and (item.one < item.other or item.other not in members)
    ]
    look += [
        f"{item.one} and {item.other} share an opening: once apart, each needs its own."
        for item in near
        if item.one < item.other and item.other in search.details[item.one].penetration.opening.shared_with
    ]
    look += _fixed(details)
    plane = solved.plane
    shifts = () if plane is None else tuple(plane.words(move.name, move.dx_mm, move.dy_mm) for move in solved.moves)
    if len(shifts) > 1:
        total = sum(move.length_mm for move in solved.moves)
        shifts = (*shifts, f"Together {mm_text(total)}.")
    return TooNearGroup(
        members,
        storey_of(details[0].penetration),
        wall_words(details[0].penetration)[0],
        tuple(item.text for item in near),
        solved.standing,
        shifts,
        plane.seen_text if plane is not None and shifts else "",
        tuple(dict.fromkeys(look)),
        tuple((move.name, move.dx_mm, move.dy_mm) for move in solved.moves),
    )


def too_near_of(
    details: Mapping[str, InstallationDetail],
    job: Job,
    book: RowBook,
    solver: SeparationSolver,
    *,
    progress: Progress = lambda _: None,
) -> tuple[TooNearGroup, ...]:
    """The groups of a job that have a pair, or a damper and a wall or floor, too near; sorted by their names.

    Parameters
    ----------
    details : by permanent id, as judged
    job : its key dates and jurisdiction
    book : the rows that the job is judged by
    solver : finds the shifts
    progress : gets a line of progress where there is something to look for
    """
    steps = book.once(("class-steps",), lambda: ClassSteps.from_book(book))
    basis = Basis.of(job.dates, book, steps, job.rules.jurisdiction)
    search = _Search(details, basis, solver)
    if search.near:
        progress(f"looking for shifts: {len(search.near)} distances are too short")
    return tuple(_group(search, members, solved) for members, solved in search.run())
