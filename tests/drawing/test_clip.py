# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.drawing.clip import clipped
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
