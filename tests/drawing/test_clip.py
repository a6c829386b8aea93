# SPDX-License-Identifier: Apache-2.0
import math
import random
from itertools import pairwise

import pytest
import shapely

from brattice.drawing.clip import clipped, clipped_line
from brattice.drawing.primitives import Box

WINDOW = Box(0, 0, 10, 10)


def area(ring: tuple[tuple[float, float], ...]) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2


def test_what_is_within_stays_as_it_is() -> None:
    ring = ((1, 1), (9, 1), (9, 9.0))
    assert clipped(ring, WINDOW) == (ring,)


def test_what_is_outside_is_gone() -> None:
    assert clipped(((11, 0), (12, 0), (12, 5)), WINDOW) == ()
    assert clipped(((10, 0), (12, 0), (12, 5), (10, 5)), WINDOW) == ()  # at the limit: an edge alone


def test_a_u_that_reaches_out_leaves_its_two_legs() -> None:
    # by hand: legs 2 wide from y 8 to 10, the bow above the window
    ring = ((1, 8), (3, 8), (3, 12), (6, 12), (6, 8), (8, 8), (8, 14), (1, 14))
    parts = clipped(tuple((float(x), float(y)) for x, y in ring), WINDOW)
    assert len(parts) == 2
    assert sum(map(area, parts)) == pytest.approx(8)


def test_a_line_that_is_within_stays_as_it_is() -> None:
    line = ((0, 0), (10, 10), (2.0, 10))
    assert clipped_line(line, WINDOW) == (line,)


def test_a_line_that_leaves_and_comes_back_is_two_lines() -> None:
    # by hand: out through the upper edge at x 4 and back in at x 6
    line = ((2, 5), (5, 12.5), (8, 5))
    parts = clipped_line(line, WINDOW)
    assert [[(round(x, 9), round(y, 9)) for x, y in part] for part in parts] == [
        [(2, 5), (4, 10)],
        [(6, 10), (8, 5)],
    ]


def test_a_corner_within_keeps_a_line_in_one() -> None:
    assert clipped_line(((-5, 5), (5, 5), (5, 15)), WINDOW) == (((0, 5), (5, 5), (5, 10)),)


def test_a_line_outside_or_touching_in_one_point_is_gone() -> None:
    assert clipped_line(((11, 0), (11, 9)), WINDOW) == ()
    assert clipped_line(((-1, 11), (11, 11)), WINDOW) == ()
    assert clipped_line(((-5, 5), (5, -5)), Box(0, 0, 10, 10)) == ()  # at the limit: the corner alone


@pytest.mark.parametrize("seed", range(20))
def test_lines_are_cut_as_shapely_cuts_them(seed: int) -> None:
    chance = random.Random(seed)
    line = tuple((chance.uniform(-8, 18), chance.uniform(-8, 18)) for _ in range(6))
    wanted = shapely.intersection(shapely.LineString(line), shapely.box(0, 0, 10, 10)).length
    ours = sum(math.dist(a, b) for part in clipped_line(line, WINDOW) for a, b in pairwise(part))
    assert math.isclose(ours, wanted, abs_tol=1e-9)
