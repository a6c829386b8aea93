# SPDX-License-Identifier: Apache-2.0
"""The smallest shifts that cure all distances. Oracles: hand calculations, every combination of a small grid."""

import itertools
import random

import numpy as np
import pytest

from brattice.adapters.solve import ShiftSolver
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


def all_pairs(bodies: tuple[Body, ...], least: float = 200) -> tuple[PairRule, ...]:
    return tuple(PairRule(one.name, other.name, least) for one, other in itertools.combinations(bodies, 2))


def group(*bodies: Body, edges: tuple[EdgeRule, ...] = ()) -> SeparationProblem:
    return SeparationProblem(bodies, all_pairs(bodies), edges)


def row(*gaps: float, fixed: tuple[int, ...] = ()) -> SeparationProblem:
    x, bodies = 0.0, []
    for number, gap in enumerate((*gaps, 0.0)):
        bodies.append(Body(f"P-{number}", x, 0, 400, 300, number not in fixed))
        x += 400 + gap
    return group(*bodies)


def solved(problem: SeparationProblem, aim: Aim = Aim.TOTAL, **settings: int) -> SeparationAnswer:
    answer = ShiftSolver(**settings).cure(problem, aim)
    assert check_answer(problem, answer) == ()
    return answer


@pytest.mark.parametrize(
    ("gaps", "total", "largest"),
    [
        ((150,), 50, 25),  # one by 50, or both by 25
        ((150, 150), 100, 50),  # the outer two by 50 each
        ((200, 150), 50, 25),
        ((199,), 1, 1),
        ((150, 250), 50, 25),
    ],
)
def test_rows_by_hand(gaps: tuple[float, ...], total: float, largest: float) -> None:
    """In a row of 400 × 300 sideways is always shorter than 300 + 200 up."""
    smallest = solved(row(*gaps))
    assert (smallest.cure, smallest.total_mm, smallest.is_proven) == (Cure.CURED, total, True)
    assert solved(row(*gaps), Aim.LARGEST).largest_mm == largest


def test_the_least_largest_shift_comes_with_the_least_total() -> None:
    """Gaps 150 and 150: 50 each side is the least largest, and 100 the least total that has it."""
    answer = solved(row(150, 150), Aim.LARGEST)
    assert (answer.largest_mm, answer.total_mm) == (50, 100)


def test_what_is_far_enough_stays() -> None:
    answer = solved(row(200, 300))
    assert (answer.cure, answer.moves, answer.is_proven) == (Cure.NOTHING_TO_DO, (), True)


def test_formed_openings_stay_and_the_others_give_way() -> None:
    answer = solved(row(150, 150, fixed=(0, 2)))
    # the middle one can't keep 200 to both sideways; up by 300 + 200 (or down)
    assert answer.total_mm == 500
    assert [move.name for move in answer.moves] == ["P-1"]


def test_two_formed_openings_can_not_be_cured() -> None:
    problem = row(150, fixed=(0, 1))
    for aim in Aim:
        answer = solved(problem, aim)
        assert (answer.cure, answer.moves, answer.is_proven) == (Cure.NO_ANSWER, (), True)


def test_between_two_walls_there_is_no_answer() -> None:
    """Two of 400 with 75 + 200 + 75 need 1150; the shaft has 1149, and 450 of height for 300 + 2 × 75."""
    bodies = Body("A", 300, 225, 400, 300), Body("B", 800, 225, 400, 300)

    def shaft(width: float) -> SeparationProblem:
        edges = tuple(
            EdgeRule(body.name, side.value, side, at, 75)
            for body in bodies
            for side, at in (
                (EdgeSide.LEFT, 0.0),
                (EdgeSide.RIGHT, width),
                (EdgeSide.BELOW, 0.0),
                (EdgeSide.ABOVE, 450.0),
            )
        )
        return group(*bodies, edges=edges)

    assert solved(shaft(1149)).cure is Cure.NO_ANSWER
    fits = solved(shaft(1150))
    # A to 75 + 200 = 275 and B to 1150 − 75 − 200 = 875, by hand
    assert fits.moves == (Move("A", -25, 0), Move("B", 75, 0))


def test_a_floor_lifts_and_a_bound_holds() -> None:
    """30 mm off the floor: 45 up. With 44 allowed there is no answer."""

    def low(most: float | None) -> SeparationProblem:
        body = Body("A", 0, 180, 400, 300, True, most)
        return SeparationProblem((body,), (), (EdgeRule("A", "floor", EdgeSide.BELOW, 0, 75),))

    assert solved(low(None)).moves == (Move("A", 0, 45),)
    assert solved(low(45)).moves == (Move("A", 0, 45),)
    assert solved(low(44)).cure is Cure.NO_ANSWER
    assert solved(low(44.9)).cure is Cure.NO_ANSWER


def test_a_formed_opening_too_near_a_wall_can_not_be_cured() -> None:
    body = Body("A", 0, 180, 400, 300, False)
    problem = SeparationProblem((body,), (), (EdgeRule("A", "floor", EdgeSide.BELOW, 0, 75),))
    assert solved(problem).cure is Cure.NO_ANSWER


def test_a_far_shift_is_found_and_proven() -> None:
    """A column of 4 m to get round: the search has to widen. Sideways: half of 4000 and 400, and 200: 2400 by hand."""
    column = Body("column", 0, 0, 4000, 10_000, False)
    answer = solved(group(column, Body("A", 0, 0, 400, 300)))
    assert (answer.total_mm, answer.is_proven) == (2400, True)


def test_one_long_shift_goes_before_short_ones_that_come_to_more() -> None:
    """A lacks 500 to B, and C stands 200 from B: 500 of A alone; 400 of A would take 100 of B and of C besides.

    A first search goes as far as twice the least distance, 400, and finds the 600.
    """
    answer = solved(group(*(Body(name, x, 0, 400, 1000) for name, x in (("A", 0), ("B", 100), ("C", 700)))))
    assert (answer.moves, answer.is_proven) == ((Move("A", -500, 0),), True)


def test_neighbours_are_pushed_on() -> None:
    """A chain: the first is formed, the next three each hand on what they lack; 50 + 100 + 150 by hand."""
    assert solved(row(150, 150, 150, fixed=(0,))).total_mm == 300


def test_a_pair_that_is_far_enough_over_the_corner_may_stay_so() -> None:
    """A and B lie 150 across and 150 up, 212 apart: enough. C pushes B 10 up and so farther from A."""
    a, b = Body("A", 0, 0, 400, 300), Body("B", 550, 450, 400, 300)
    c = Body("C", 550, -40, 400, 300, False)  # 190 below B
    answer = solved(group(a, b, c))
    assert Move("B", 0, 10) in answer.moves


def test_more_directions_find_shorter_shifts_of_circles() -> None:
    """Circles of 200 with centres 280 and 280 apart are 396 − 200 = 196 clear; along the diagonal 4 mm are short.

    Eight directions have the diagonal: (dx + dy)/√2 ≥ 4.02 takes 6 whole millimetres. Over the axes it takes 120.
    """
    circles = group(Body("A", 0, 0, 200, None, False), Body("B", 280, 280, 200, None))
    assert solved(circles, directions=8).total_mm == 6
    # The direction in which they lie now is always one of those searched.
    assert solved(circles, directions=4).total_mm == 6


def test_the_order_of_the_problem_does_not_change_the_answer() -> None:
    bodies = row(150, 120, 180).bodies
    answers = {solved(group(*order)).moves for order in itertools.permutations(bodies)}
    assert len(answers) == 1


def test_nothing_is_written_to_the_terminal(capfd: pytest.CaptureFixture[str]) -> None:
    solved(row(150, 150))
    assert capfd.readouterr() == ("", "")


def test_a_search_that_is_stopped_says_so() -> None:
    chance = random.Random(3)
    bodies = [Body(f"P-{n}", n * 300 + chance.randint(-50, 50), chance.randint(-50, 50), 400, 300) for n in range(7)]
    answer = ShiftSolver(directions=16, most_nodes=1).cure(group(*bodies), Aim.TOTAL)
    assert not answer.is_proven
    assert answer.cure in {Cure.CURED, Cure.NOT_FOUND}


def test_bad_settings_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a step is above zero, not 0 mm"):
        ShiftSolver(step_mm=0)
    with pytest.raises(ValueError, match="directions are a multiple of four, not 6"):
        ShiftSolver(directions=6)
    with pytest.raises(ValueError, match="at least one node is searched, not 0"):
        ShiftSolver(most_nodes=0)


# Every combination of a small grid ------------------------------------------------------------------------------------

STEP, MOST = 50, 100


def every_combination(problem: SeparationProblem) -> tuple[float, float, float, float]:
    """The smallest total and largest shift over all combinations: straight, and along the axes alone (inf: none)."""
    steps = np.arange(-MOST, MOST + 1, STEP, dtype=float)
    free = [body for body in problem.bodies if body.movable]
    grids = np.meshgrid(*([steps] * (2 * len(free))), indexing="ij")
    shift = {body.name: (grids[2 * n].ravel(), grids[2 * n + 1].ravel()) for n, body in enumerate(free)}
    nothing = np.zeros(grids[0].size)
    straight = np.ones(grids[0].size, dtype=bool)
    axes = straight.copy()
    for rule in problem.pairs:
        one, other = problem.body(rule.one), problem.body(rule.other)
        moved = [shift.get(body.name, (nothing, nothing)) for body in (one, other)]
        across = np.abs(other.x_mm + moved[1][0] - one.x_mm - moved[0][0]) - (one.width_mm + other.width_mm) / 2
        up = (
            np.abs(other.y_mm + moved[1][1] - one.y_mm - moved[0][1])
            - ((one.height_mm or 0) + (other.height_mm or 0)) / 2
        )
        straight &= np.hypot(np.maximum(across, 0), np.maximum(up, 0)) >= rule.least_mm
        axes &= np.maximum(across, up) >= rule.least_mm
    for edge in problem.edges:
        body = problem.body(edge.body)
        assert edge.side is EdgeSide.BELOW
        clear = body.y_mm + shift.get(body.name, (nothing, nothing))[1] - (body.height_mm or 0) / 2 - edge.at_mm
        straight &= clear >= edge.least_mm
        axes &= clear >= edge.least_mm
    lengths = np.array([np.abs(dx) + np.abs(dy) for dx, dy in shift.values()])
    total, largest = lengths.sum(axis=0), lengths.max(axis=0)
    return (
        float(total[straight].min(initial=np.inf)),
        float(total[axes].min(initial=np.inf)),
        float(largest[straight].min(initial=np.inf)),
        float(largest[axes].min(initial=np.inf)),
    )


def by_chance(seed: int) -> SeparationProblem:
    """Three or four small openings on a grid of 50 mm, sometimes one formed, sometimes a floor."""
    chance = random.Random(seed)
    number = chance.choice((3, 3, 4))
    fixed = chance.randrange(number) if number == 4 or chance.random() < 0.5 else -1
    bodies = tuple(
        Body(
            f"P-{n}",
            n * 350 + 50 * chance.randint(-2, 2),
            50 * chance.randint(-4, 4),
            100 * chance.randint(1, 2),
            100 * chance.randint(1, 2),
            n != fixed,
            MOST,
        )
        for n in range(number)
    )
    edges = tuple(EdgeRule(body.name, "floor", EdgeSide.BELOW, -350, 75) for body in bodies) if seed % 2 else ()
    return group(*bodies, edges=edges)


def test_small_groups_against_every_combination() -> None:
    """The answer lies between the straight optimum and that of the axes, and where these are one it is that one."""
    cures, equal = dict.fromkeys(Cure, 0), 0
    for seed in range(60):
        problem = by_chance(seed)
        straight, axes, straight_largest, axes_largest = every_combination(problem)
        for aim, low, high in ((Aim.TOTAL, straight, axes), (Aim.LARGEST, straight_largest, axes_largest)):
            answer = ShiftSolver(step_mm=STEP).cure(problem, aim)
            assert check_answer(problem, answer) == ()
            assert answer.is_proven
            cures[answer.cure] += 1
            if answer.cure is Cure.NO_ANSWER:
                assert high == np.inf, seed
                continue
            value = answer.total_mm if aim is Aim.TOTAL else answer.largest_mm
            assert low <= value <= high, seed
            equal += low == high
        assert (too_near(problem) == ()) == (straight == 0)
    assert equal > 60
    assert min(cures[Cure.CURED], cures[Cure.NO_ANSWER], cures[Cure.NOTHING_TO_DO]) >= 5
