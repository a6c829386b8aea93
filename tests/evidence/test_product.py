# SPDX-License-Identifier: Apache-2.0
"""Values by size: at a stated size, between, outside, and exactly at a bound. Expected values by hand."""

from __future__ import annotations

import pytest

from brattice.building.penetration import Size
from brattice.evidence.product import (
    LossTable,
    SizePoint,
    by_size,
)
from brattice.quantities import Mm


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


def table(*points: tuple[float, float | None, float], interpolate: bool = False) -> LossTable:
    made = tuple(SizePoint(Mm(w), None if h is None else Mm(h), value) for w, h, value in points)
    return LossTable("table", "table 2", made, interpolate=interpolate)


GRID = ((400.0, 300.0, 10.0), (600.0, 300.0, 20.0), (400.0, 500.0, 30.0), (600.0, 500.0, 60.0))


def test_a_table_answers_at_its_own_sizes_alone() -> None:
    assert by_size(table(*GRID), size(600, 300)).value == 20.0
    between = by_size(table(*GRID), size(500, 300))
    assert between.value is None
    assert "does not say it may be interpolated" in between.why_not
    assert by_size(table(*GRID), size(300, 600)).value is None  # never turned
    assert by_size(table(*GRID), size(400)).value is None  # a round one is another size


@pytest.mark.parametrize(
    ("width", "height", "expected"),
    [
        (500, 400, 30.0),  # the mean of the four corners
        (500, 300, 15.0),  # along one edge
        (400, 400, 20.0),
        (450, 350, (0.75 * 0.75 * 10 + 0.25 * 0.75 * 20 + 0.75 * 0.25 * 30 + 0.25 * 0.25 * 60)),
        (600, 500, 60.0),  # exactly at the last size
        (600.5, 500, None),
        (400, 299.5, None),
    ],
)
def test_between_sizes_a_table_that_allows_it_is_bilinear_and_says_so(
    width: float, height: float, expected: float | None
) -> None:
    """Bilinear interpolation by its textbook weights, worked by hand."""
    found = by_size(table(*GRID, interpolate=True), size(width, height))
    assert found.value == (None if expected is None else pytest.approx(expected))
    if expected is None:
        assert "no four sizes around" in found.why_not
    elif (width, height) != (600, 500):
        assert found.how == "interpolated in table 2, which allows it"


def test_a_hole_in_the_grid_is_not_bridged() -> None:
    assert by_size(table(*GRID[:3], interpolate=True), size(500, 400)).value is None


def test_round_sizes_are_interpolated_along_the_diameter() -> None:
    found = by_size(table((200, None, 4.0), (300, None, 9.0), interpolate=True), size(250))
    assert found.value == pytest.approx(6.5)


def test_formulas_hold_within_their_bounds_and_not_beyond() -> None:
    # a + b·A by hand: 4 + 50 · 0.6 · 0.4 = 16
    formula = LossTable("affine in area", "sheet 4", (), 4.0, 50.0, size(200, 200), size(600, 400))
    assert by_size(formula, size(600, 400)).value == pytest.approx(16.0)
    assert by_size(formula, size(200, 200)).value == pytest.approx(6.0)
    assert by_size(formula, size(600.1, 400)).value is None
    assert by_size(formula, size(200, 199.9)).value is None
    assert by_size(formula, size(400)).value is None  # bounds of rectangular ones say nothing of round ones
    below = LossTable("affine in area", "sheet 4", (), -4.0, 50.0, None, size(600, 400))
    assert by_size(below, size(200, 200)).value is None  # -4 + 2: nothing can weigh that
    constant = LossTable("constant", "sheet 4", (), 0.4, None, None, size(600, 400))
    assert by_size(constant, size(600, 400)).value == 0.4
    assert by_size(constant, size(601, 400)).value is None


def test_where_nothing_is_stated_it_says_so() -> None:
    nothing = by_size(None, size(400, 300))
    assert (nothing.value, nothing.why_not) == (None, "the maker states nothing of it")
