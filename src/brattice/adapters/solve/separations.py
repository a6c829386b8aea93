# SPDX-License-Identifier: Apache-2.0
"""The smallest shift of openings that cures all distances, as a mixed-integer programme (HiGHS).

Two outlines are apart by a distance when there is a direction along which they are. For each pair one of a few
directions has to do: the four axes, diagonals between them, and the direction in which the pair lies now, so that
what is far enough may stay. Along a direction the condition is linear in the shifts; which direction does is a binary
choice with the smallest bound that switches the others off. Shifts are whole steps.

How far anything may move is bounded step by step: when the smallest shift found is within the bound, no smaller one
lies outside it. Pairs come into the programme only once they are too near. Every answer is held against the checker of
the core. Same problem, same answer: bodies and rules are sorted, one thread, a fixed seed, a limit of nodes, no clock.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy

from brattice.details.separations import (
    Aim,
    Body,
    Cure,
    EdgeRule,
    EdgeSide,
    Move,
    PairRule,
    SeparationAnswer,
    SeparationProblem,
    check_answer,
    too_near,
)
from brattice.errors import OwnFault
from brattice.quantities import settled_mm

__all__ = ["ShiftSolver"]

_OUTWARD = {
    EdgeSide.LEFT: (1.0, 0.0),
    EdgeSide.RIGHT: (-1.0, 0.0),
    EdgeSide.BELOW: (0.0, 1.0),
    EdgeSide.ABOVE: (0.0, -1.0),
}
"""The direction from an edge towards the openings."""

_NOISE = 1e-6


class _Quiet(highspy.Highs):
    """HiGHS without its banner, which would stand in the middle of what a command writes."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def _directions(count: int) -> list[tuple[float, float]]:
    found = []
    for number in range(count):
        angle = 2 * math.pi * number / count
        found.append((round(math.cos(angle), 15) + 0.0, round(math.sin(angle), 15) + 0.0))
    return found


def _present(one: Body, other: Body) -> tuple[float, float] | None:
    """The direction in which two outlines lie apart now; None where they overlap or lie straight along an axis."""
    across, up = other.x_mm - one.x_mm, other.y_mm - one.y_mm
    for body in (one, other):
        if body.height_mm is not None:
            across = math.copysign(max(0.0, abs(across) - body.width_mm / 2), across)
            up = math.copysign(max(0.0, abs(up) - body.height_mm / 2), up)
    length = math.hypot(across, up)
    return (across / length, up / length) if across and up else None


@dataclass
class _Programme:
    """One mixed-integer programme: the shifts of movable bodies in steps, and the conditions so far."""

    problem: SeparationProblem
    step_mm: float
    bound: int
    directions: Sequence[tuple[float, float]]
    most_nodes: int
    model: _Quiet = field(init=False)
    shifts: dict[str, tuple[highspy.highs.highs_var, highspy.highs.highs_var]] = field(init=False, default_factory=dict)
    lengths: list[highspy.highs.highs_linear_expression] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        self.model = _Quiet()  # type: ignore[no-untyped-call]
        for name, value in (
            ("threads", 1),
            ("random_seed", 0),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", 0.9),  # shifts are whole steps, so that less than one step apart is the same
            ("mip_feasibility_tolerance", 1e-9),
            ("primal_feasibility_tolerance", 1e-9),
            ("mip_max_nodes", self.most_nodes),
        ):
            self.model.setOptionValue(name, value)
        for body in self.problem.bodies:
            most = self.most_steps(body)
            if most > 0:
                self.shifts[body.name] = (self._shift(most), self._shift(most))

    def most_steps(self, body: Body) -> int:
        """How many steps a body may move each way."""
        if not body.movable:
            return 0
        own = self.bound if body.most_move_mm is None else math.floor(body.most_move_mm / self.step_mm + _NOISE)
        return min(self.bound, own)

    def _shift(self, most: int) -> highspy.highs.highs_var:
        model = self.model
        shift: highspy.highs.highs_var = model.addVariable(lb=-most, ub=most, type=highspy.HighsVarType.kInteger)
        length = model.addVariable(lb=0, ub=most)
        model.addConstr(length - shift >= 0)
        model.addConstr(length + shift >= 0)
        self.lengths.append(1.0 * length)
        return shift

    def _along(
        self, body: Body, direction: tuple[float, float]
    ) -> tuple[highspy.highs.highs_linear_expression | None, float]:
        """How far a body moves along a direction [mm] as an expression, and the most that it can be."""
        pair = self.shifts.get(body.name)
        if pair is None:
            return None, 0.0
        (across, up), (dx, dy) = direction, pair
        reach = (abs(across) + abs(up)) * self.most_steps(body) * self.step_mm
        return (across * self.step_mm) * dx + (up * self.step_mm) * dy, reach

    def add_edge(self, edge: EdgeRule) -> bool:
        """One condition of an edge; False where nothing can meet it."""
        body, direction = self.problem.body(edge.body), _OUTWARD[edge.side]
        across, up = direction
        place = across * body.x_mm + up * body.y_mm
        short = edge.least_mm + (across + up) * edge.at_mm + body.reach_mm(across, up) - place
        moved, reach = self._along(body, direction)
        if moved is None or short > reach + _NOISE:
            return short <= _NOISE
        self.model.addConstr(moved >= short)
        return True

    def add_pair(self, rule: PairRule) -> bool:
        """One condition of a pair; False where nothing can meet it."""
        one, other = self.problem.body(rule.one), self.problem.body(rule.other)
        present = _present(one, other)
        choices = []
        for direction in (*self.directions, *(() if present is None else (present,))):
            across, up = direction
            apart = across * (other.x_mm - one.x_mm) + up * (other.y_mm - one.y_mm)
            short = rule.least_mm + one.reach_mm(across, up) + other.reach_mm(across, up) - apart
            (mine, my_reach), (its, its_reach) = self._along(one, direction), self._along(other, direction)
            reach = my_reach + its_reach
            if short > reach + _NOISE:
                continue
            if mine is None and its is None:
                return True  # both stay, and are far enough
            choice = self.model.addBinary()
            moved = its if mine is None else (-1.0 * mine if its is None else its - mine)
            assert moved is not None
            # Switched off the condition asks for no more than -reach, which always holds.
            self.model.addConstr(moved - (short + reach) * choice >= -reach)
            choices.append(choice)
        if not choices:
            return False
        self.model.addConstr(sum(choices[1:], 1.0 * choices[0]) >= 1)
        return True

    def solve(self, objective: highspy.highs.highs_linear_expression) -> tuple[highspy.HighsModelStatus, float]:
        """Minimises; the status and the value of the best solution (infinite for none)."""
        self.model.minimize(objective)
        status, info = self.model.getModelStatus(), self.model.getInfo()
        has = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        return status, info.objective_function_value if has else math.inf

    def moves(self) -> tuple[Move, ...]:
        """The shifts of the best solution, without those of zero."""
        found = []
        for name, pair in self.shifts.items():
            dx, dy = (settled_mm(round(self.model.val(shift)) * self.step_mm) for shift in pair)
            if dx or dy:
                found.append(Move(name, dx, dy))
        return tuple(sorted(found))


@dataclass(frozen=True)
class ShiftSolver:
    """Finds the smallest shifts in whole steps of `step_mm` [mm].

    `directions` (a multiple of four) are the directions in which a pair may lie apart, beside the one in which it lies
    now: four are the axes, as openings are set out; more find smaller shifts for circles and corners, and take long
    for groups of more than eight. `most_nodes` stops a search that does not end; the answer then says that it is not
    proven.
    """

    step_mm: float = 1.0
    directions: int = 4
    most_nodes: int = 20_000

    def __post_init__(self) -> None:
        if not 0 < self.step_mm < math.inf:
            raise ValueError(f"a step is above zero, not {self.step_mm} mm")
        if self.directions < 4 or self.directions % 4:
            raise ValueError(f"directions are a multiple of four, not {self.directions}")
        if self.most_nodes < 1:
            raise ValueError(f"at least one node is searched, not {self.most_nodes}")

    def cure(self, problem: SeparationProblem, aim: Aim) -> SeparationAnswer:
        """The smallest shifts of movable bodies after which nothing is too near; held against the core's checker."""
        sorted_problem = SeparationProblem(
            tuple(sorted(problem.bodies, key=lambda body: body.name)),
            tuple(sorted({_ordered(rule) for rule in problem.pairs})),
            tuple(sorted(problem.edges)),
        )
        answer = self._search(sorted_problem, aim)
        faults = check_answer(problem, answer)
        if faults:
            raise OwnFault(f"the shifts that were found do not hold: {'; '.join(faults)}")
        return answer

    def _search(self, problem: SeparationProblem, aim: Aim) -> SeparationAnswer:
        near = too_near(problem)
        if not near:
            return SeparationAnswer(Cure.NOTHING_TO_DO, (), True)
        cap = self._cap(problem)
        bound = min(cap, max(1, math.ceil(2 * max(item.least_mm for item in near) / self.step_mm)))
        while True:
            answer, largest = self._within(problem, aim, bound)
            if answer.cure is Cure.NO_ANSWER and bound < cap:
                bound = min(cap, 2 * bound)
            elif answer.cure is Cure.CURED and largest > bound and bound < cap:
                bound = min(cap, largest)
            else:
                return answer

    def _cap(self, problem: SeparationProblem) -> int:
        """Steps enough to lay all bodies out in a row from anywhere among them."""
        xs = [body.x_mm for body in problem.bodies] + [
            edge.at_mm for edge in problem.edges if edge.side in {EdgeSide.LEFT, EdgeSide.RIGHT}
        ]
        ys = [body.y_mm for body in problem.bodies] + [
            edge.at_mm for edge in problem.edges if edge.side in {EdgeSide.BELOW, EdgeSide.ABOVE}
        ]
        sizes = sum(max(body.width_mm, body.height_mm or 0.0) for body in problem.bodies)
        leasts = [rule.least_mm for rule in problem.pairs] + [rule.least_mm for rule in problem.edges]
        span = max(xs) - min(xs) + max(ys) - min(ys)
        return math.ceil((span + sizes + max(leasts) * (len(problem.bodies) + 1)) / self.step_mm)

    def _within(self, problem: SeparationProblem, aim: Aim, bound: int) -> tuple[SeparationAnswer, int]:
        """The best answer with no shift beyond the bound [steps], and what it was minimised to [steps]."""
        none = SeparationAnswer(Cure.NO_ANSWER, (), True)
        active = {(item.one, item.other) for item in too_near(problem)}
        while True:
            programme = _Programme(problem, self.step_mm, bound, _directions(self.directions), self.most_nodes)
            edges = [programme.add_edge(edge) for edge in problem.edges]
            pairs = [programme.add_pair(rule) for rule in problem.pairs if (rule.one, rule.other) in active]
            if not all((*edges, *pairs)) or not programme.shifts:
                return none, 0
            proven, value = self._minimise(programme, aim)
            if value is None:
                return (none if proven else SeparationAnswer(Cure.NOT_FOUND)), 0
            moves = programme.moves()
            more = {(item.one, item.other) for item in too_near(problem, moves)} - active
            if not more:
                return SeparationAnswer(Cure.CURED, moves, proven), value
            active |= more

    def _minimise(self, programme: _Programme, aim: Aim) -> tuple[bool, int | None]:
        """Whether the outcome is proven, and the value [steps] that was made small (None: nothing was found)."""
        total = sum(programme.lengths[1:], programme.lengths[0])
        if aim is Aim.TOTAL:
            status, value = programme.solve(total)
            return _proven(status), None if math.isinf(value) else round(value)
        largest = programme.model.addVariable(lb=0, ub=2 * programme.bound)
        for across, up in zip(programme.lengths[::2], programme.lengths[1::2], strict=True):
            programme.model.addConstr(largest - across - up >= 0)
        status, value = programme.solve(1.0 * largest)
        if math.isinf(value):
            return _proven(status), None
        steps = round(value)
        programme.model.addConstr(largest <= steps)
        again, rest = programme.solve(total)
        if math.isinf(rest):
            raise OwnFault("a largest shift that was just found is none")
        return _proven(status) and _proven(again), steps


def _ordered(rule: PairRule) -> PairRule:
    one, other = sorted((rule.one, rule.other))
    return PairRule(one, other, rule.least_mm)


def _proven(status: highspy.HighsModelStatus) -> bool:
    done = (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
    if status in done:
        return True
    if status in (highspy.HighsModelStatus.kSolutionLimit, highspy.HighsModelStatus.kIterationLimit):
        return False
    raise OwnFault(f"the solver ended with {status.name}")
