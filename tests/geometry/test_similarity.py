# SPDX-License-Identifier: Apache-2.0
"""The similarity of least squares, held against a solver of linear least squares and against cases by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.geometry.similarity import fit_similarity

numbers = st.floats(-500, 500).map(lambda value: round(value, 2))
pairs = st.lists(st.tuples(numbers, numbers, numbers, numbers), min_size=2, max_size=8)


@given(pairs)
def test_it_is_the_answer_of_a_linear_solver(given_pairs: list[tuple[float, float, float, float]]) -> None:
    given_points = [(x, y) for x, y, _, _ in given_pairs]
    wanted = [(x, y) for _, _, x, y in given_pairs]
    try:
        found, rest = fit_similarity(given_points, wanted)
    except ValueError:
        return
    rows, right = [], []
    for (x, y), (e, n) in zip(given_points, wanted, strict=True):
        rows += [[x, -y, 1, 0], [y, x, 0, 1]]
        right += [e, n]
    solved = np.linalg.lstsq(np.array(rows), np.array(right), rcond=None)
    off = np.array(rows) @ solved[0] - np.array(right)
    assert sum(part**2 for part in rest) == pytest.approx(float(off @ off), abs=1e-5, rel=1e-6)
    for point in given_points:
        assert found.back(found.apply(point)) == pytest.approx(point, abs=max(1e-6, 1e-7 / found.scale))


def test_a_quarter_turn_at_1_to_100_by_hand() -> None:
    # 100 mm to the right on the sheet is 10 m north, 100 mm up is 10 m west
    found, rest = fit_similarity([(0, 0), (100, 0), (0, 100)], [(5, 7), (5, 17), (-5, 7)])
    assert found.apply((50, 0)) == pytest.approx((5, 12))
    assert found.scale == pytest.approx(0.1)
    assert rest == pytest.approx((0, 0, 0))


def test_a_mirrored_sheet_does_not_fit() -> None:
    _, rest = fit_similarity([(0, 0), (100, 0), (0, 100)], [(0, 0), (10, 0), (0, -10)])
    assert max(rest) > 3


@pytest.mark.parametrize(
    ("given_points", "wanted"),
    [([(1, 1)], [(2, 2)]), ([(1, 1), (1, 1)], [(0, 0), (9, 9)]), ([(0, 0), (9, 9)], [(4, 4), (4, 4)])],
)
def test_points_in_one_place_are_refused(
    given_points: list[tuple[float, float]], wanted: list[tuple[float, float]]
) -> None:
    with pytest.raises(ValueError, match="points"):
        fit_similarity(given_points, wanted)
