# SPDX-License-Identifier: Apache-2.0
"""Which dampers are too near, and the checker of shifts. Sources: EN 1366-2 13.6 as the trade handbook 2.30 and 2.31
restate it (C21, C22); distances by Pythagoras by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, box

from brattice.details.separations import (
    Body,
    Cure,
    EdgeRule,
    EdgeSide,
    Move,
    PairRule,
    SeparationAnswer,
    SeparationProblem,
    TooNear,
    check_answer,
    clear_distance_mm,
    too_near,
)


def side_by_side(gap: float, *, movable: bool = True) -> SeparationProblem:
    one = Body("P-1", 0, 0, 400, 300)
    other = Body("P-2", 400 + gap, 0, 400, 300, movable)
    return SeparationProblem((one, other), (PairRule("P-1", "P-2", 200),))


def test_two_dampers_180_apart_are_too_near() -> None:
    """Trade handbook C21."""
    (found,) = too_near(side_by_side(180))
    assert (found.one, found.other, found.clear_mm, found.least_mm) == ("P-1", "P-2", 180, 200)
    assert found.text == "P-1 to P-2: 180 mm clear, at least 200 mm needed"


@pytest.mark.parametrize(("gap", "number"), [(199.999, 1), (200, 0), (200.001, 0)])
def test_exactly_at_the_least_distance_it_is_not_too_near(gap: float, number: int) -> None:
    assert len(too_near(side_by_side(gap))) == number


def test_a_damper_60_from_the_soffit_is_too_near() -> None:
    """Trade handbook C22: top at 150, soffit at 210."""
    body = Body("P-1", 0, 0, 400, 300)
    problem = SeparationProblem((body,), (), (EdgeRule("P-1", "soffit", EdgeSide.ABOVE, 210, 75),))
    assert too_near(problem) == (TooNear("P-1", "soffit", 60, 75),)


@pytest.mark.parametrize(
    ("side", "at"), [(EdgeSide.LEFT, -275), (EdgeSide.RIGHT, 275), (EdgeSide.BELOW, -225), (EdgeSide.ABOVE, 225)]
)
def test_each_side_exactly_at_75(side: EdgeSide, at: float) -> None:
    """Half of 400 × 300 and 75, by hand."""
    body = Body("P-1", 0, 0, 400, 300)
    inward = 0.01 if at < 0 else -0.01
    assert too_near(SeparationProblem((body,), (), (EdgeRule("P-1", "wall", side, at, 75),))) == ()
    assert len(too_near(SeparationProblem((body,), (), (EdgeRule("P-1", "wall", side, at + inward, 75),)))) == 1


def test_corners_and_circles_by_pythagoras() -> None:
    """Corners 30 across and 40 up are 50 apart; circles of 100 with centres 300 and 400 apart are 400 clear."""
    assert clear_distance_mm(Body("A", 0, 0, 100, 100), Body("B", 130, 140, 100, 100)) == 50
    assert clear_distance_mm(Body("A", 0, 0, 100, None), Body("B", 300, 400, 100, None)) == 400
    # circle of 100 off a corner at (50, 50): centre at (80, 90), 50 from the corner, touching
    assert clear_distance_mm(Body("A", 0, 0, 100, 100), Body("B", 80, 90, 100, None)) == 0
    assert clear_distance_mm(Body("A", 0, 0, 100, 100), Body("B", 20, 20, 100, 100)) == 0


def test_overlap_is_too_near_even_where_no_distance_is_asked() -> None:
    over = SeparationProblem((Body("A", 0, 0, 100, 100), Body("B", 99, 0, 100, 100)), (PairRule("A", "B", 0),))
    touching = SeparationProblem((Body("A", 0, 0, 100, 100), Body("B", 100, 0, 100, 100)), (PairRule("A", "B", 0),))
    assert len(too_near(over)) == 1
    assert too_near(touching) == ()


sizes, places = st.integers(1, 500), st.integers(-800, 800)


@given(places, places, sizes, st.none() | sizes, sizes, st.none() | sizes)
def test_distances_are_those_of_an_independent_library(
    x: int, y: int, w: int, h: int | None, u: int, v: int | None
) -> None:
    """shapely; its circles are fine polygons that lie within ours."""
    bodies = Body("A", 0, 0, w, h), Body("B", x, y, u, v)
    shapes = [
        Point(body.x_mm, body.y_mm).buffer(body.width_mm / 2, quad_segs=256)
        if body.height_mm is None
        else box(
            body.x_mm - body.width_mm / 2,
            body.y_mm - body.height_mm / 2,
            body.x_mm + body.width_mm / 2,
            body.y_mm + body.height_mm / 2,
        )
        for body in bodies
    ]
    assert clear_distance_mm(*bodies) == pytest.approx(shapes[0].distance(shapes[1]), abs=0.02)


def cured(*moves: Move, cure: Cure = Cure.CURED) -> SeparationAnswer:
    return SeparationAnswer(cure, moves, True)


def test_the_checker_takes_a_cure_and_measures_it() -> None:
    answer = cured(Move("P-1", -15, 0), Move("P-2", 5, 0))
    assert check_answer(side_by_side(180), answer) == ()
    assert (answer.total_mm, answer.largest_mm) == (20, 15)
    assert cured().largest_mm == 0


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (cured(Move("P-2", 19, 0)), "199 mm clear"),
        (cured(Move("P-2", 10, 0), Move("P-2", 10, 0)), "shifted twice"),
        (cured(Move("P-9", 20, 0)), "no body of that name"),
        (cured(cure=Cure.NOTHING_TO_DO), "180 mm clear"),
        (cured(Move("P-2", 20, 0), cure=Cure.NO_ANSWER), "shifts without a cure"),
        (cured(Move("P-2", 20, 0), cure=Cure.NOTHING_TO_DO), "shifts where nothing was too near"),
    ],
)
def test_the_checker_finds_what_is_wrong(answer: SeparationAnswer, words: str) -> None:
    assert any(words in fault for fault in check_answer(side_by_side(180), answer))


def test_what_is_formed_and_what_is_bounded_does_not_move() -> None:
    answer = cured(Move("P-2", 20, 0))
    assert check_answer(side_by_side(180, movable=False), answer) == ("P-2: is formed already and was shifted",)
    bodies = Body("P-1", 0, 0, 400, 300), Body("P-2", 580, 0, 400, 300, True, 19.9)
    bounded = SeparationProblem(bodies, (PairRule("P-1", "P-2", 200),))
    assert check_answer(bounded, answer) == ("P-2: shifted farther than 19.9 mm",)


def test_bad_problems_are_refused_in_words() -> None:
    body = Body("A", 0, 0, 100, 100)
    with pytest.raises(ValueError, match="two bodies of one name"):
        SeparationProblem((body, body), ())
    with pytest.raises(ValueError, match="no body of the name 'B'"):
        SeparationProblem((body,), (PairRule("A", "B", 200),))
    with pytest.raises(ValueError, match="A: no distance to itself"):
        SeparationProblem((body,), (PairRule("A", "A", 200),))
    with pytest.raises(ValueError, match="a least distance is zero or more, not -1 mm"):
        SeparationProblem((body,), (), (EdgeRule("A", "wall", EdgeSide.LEFT, 0, -1),))
    with pytest.raises(ValueError, match="A: an outline has a size above zero, not 0 mm"):
        Body("A", 0, 0, 100, 0)
    with pytest.raises(ValueError, match="A: a place is two numbers"):
        Body("A", math.nan, 0, 100, 100)
    with pytest.raises(ValueError, match="A: a shift is bounded by zero or more, not -1 mm"):
        Body("A", 0, 0, 100, 100, True, -1)
