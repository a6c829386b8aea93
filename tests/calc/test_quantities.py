# SPDX-License-Identifier: Apache-2.0
"""Quantities of an installation. Oracles: hand calculations, and a count of fixings placed one by one."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.calc.quantities import (
    WASTE_KINDS,
    angle_length_m,
    area_mm2,
    board_area_m2,
    fixings_along,
    fixings_round,
    perimeter_mm,
    rods_length_m,
    seal_volume_l,
    units_needed,
    waste_share,
    with_waste,
)

BOOK = shipped_book()


def test_seal_round_a_damper_by_hand() -> None:
    """(700 × 500 − 600 × 400) mm² = 0.11 m²; 50 mm deep on both faces: 11 l; as two layers of batt 22 l."""
    assert seal_volume_l((700, 500), (600, 400), 50, 2, 1) == pytest.approx(11.0)
    assert seal_volume_l((700, 500), (600, 400), 50, 2, 2) == pytest.approx(22.0)


def test_seal_round_a_round_damper_in_a_square_opening_by_hand() -> None:
    """0.4² − π/4·0.315² = 0.16 − 0.07793 = 0.08207 m²; 100 mm deep once: 8.207 l."""
    assert seal_volume_l((400, 400), (315, None), 100, 1, 1) == pytest.approx(8.207, abs=0.001)


def test_an_opening_that_fits_exactly_needs_no_seal() -> None:
    assert seal_volume_l((600, 400), (600, 400), 100, 2, 1) == 0


def test_board_angles_and_rods_by_hand() -> None:
    # 2 × (0.75 + 0.55) m × 0.12 m × 2 layers
    assert board_area_m2((750, 550), 120, 2) == pytest.approx(0.624)
    # 2 × (0.6 + 0.4) m + 8 × 0.04 m, on two faces
    assert angle_length_m((600, 400), 40, 2) == pytest.approx(4.64)
    assert angle_length_m((315, None), 40, 1) == pytest.approx(math.pi * 0.315)
    assert rods_length_m(4, 850) == pytest.approx(3.4)
    assert area_mm2(200, None) == pytest.approx(31_415.93, abs=0.01)
    assert perimeter_mm(600, 400) == 2000


# By hand: 600 long, 50 from the ends leaves 500; 150 apart needs 4 spaces, 5 fixings; 125 apart exactly 4 spaces too.
@pytest.mark.parametrize(
    ("length", "apart", "end", "number"),
    [
        (600, 150, 50, 5),
        (600, 125, 50, 5),
        (600, 124.9, 50, 6),
        (100, 150, 50, 1),
        (101, 150, 50, 2),
        (600, 500, 50, 2),
    ],
)
def test_fixings_along_a_side(length: float, apart: float, end: float, number: int) -> None:
    assert fixings_along(length, apart, end) == number


def test_fixings_round_a_damper_by_hand() -> None:
    """5 on 600 and 3 on 400 (300 by 150 is two spaces), twice, on two faces: 32. π·315 = 989.6 by 150: 7."""
    assert fixings_round((600, 400), 150, 50, 2) == 32
    assert fixings_round((315, None), 150, 50, 1) == 7


@given(st.integers(1, 3000), st.integers(20, 400), st.integers(0, 100))
def test_fixings_placed_one_by_one(length: int, apart: int, end: int) -> None:
    """A second method: from the first fixing on, step by step, until the last place is reached."""
    place, last, number = end, length - end, 1
    while place < last:
        place = min(place + apart, last)
        number += 1
    assert fixings_along(length, apart, end) == number


def test_each_waste_is_advice_of_common_practice() -> None:
    for kind in WASTE_KINDS:
        share, row = waste_share(BOOK, kind)
        passport = BOOK.need(row)
        assert passport.clause.standard == "common practice"
        assert passport.advice
        assert passport.confidence in {"low", "medium"}
        assert 0 < share < 1


def test_waste_is_added_exactly() -> None:
    """The share of the row on 11 l, by hand."""
    share, row = waste_share(BOOK, "seal")
    assert share == 0.15
    added = with_waste(11, "seal", BOOK)
    assert (added.net, added.gross, added.row) == (11, 12.65, row)


@pytest.mark.parametrize(
    ("quantity", "unit", "number"), [(12.65, 5, 3), (15, 5, 3), (15.001, 5, 4), (0, 5, 0), (0.3, 0.1, 3)]
)
def test_whole_units(quantity: float, unit: float, number: int) -> None:
    assert units_needed(quantity, unit) == number


def test_bad_quantities_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="an opening is larger than the casing in it"):
        seal_volume_l((500, 400), (600, 400), 50, 2, 1)
    with pytest.raises(ValueError, match="depth is zero or more, not -1"):
        seal_volume_l((700, 500), (600, 400), -1, 2, 1)
    with pytest.raises(ValueError, match="width is zero or more, not -1"):
        area_mm2(-1, None)
    with pytest.raises(ValueError, match="height is zero or more, not inf"):
        perimeter_mm(1, math.inf)
    with pytest.raises(ValueError, match="a spacing is above zero, not 0 mm"):
        fixings_along(600, 0, 50)
    with pytest.raises(ValueError, match="a spacing is above zero, not 0 mm"):
        fixings_round((315, None), 0, 50, 1)
    with pytest.raises(ValueError, match="a unit holds something, not 0"):
        units_needed(1, 0)
    with pytest.raises(ValueError, match="not of 'paint'"):
        waste_share(BOOK, "paint")
    with pytest.raises(ValueError, match="quantity is zero or more, not -1"):
        with_waste(-1, "seal", BOOK)
