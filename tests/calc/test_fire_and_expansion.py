# SPDX-License-Identifier: Apache-2.0
"""The fire curve and the growth of steel. Oracles: printed temperatures (DW/144), worked values of the trade handbook
(6.23, C33 to C36), the continuity of the law of EN 1993-1-2, and its mean slope."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.calc.expansion import check_joint, elongation_mm, relative_elongation, steel_law
from brattice.calc.fire_curve import fire_curve, furnace_temperature_c
from brattice.findings import Verdict

CURVE = fire_curve(shipped_book())
LAW = steel_law(shipped_book())


@pytest.mark.parametrize(
    ("minutes", "degrees"), [(60, 945.3), (90, 1006.0), (120, 1049.0), (240, 1152.8)]
)  # trade handbook C36
def test_furnace_temperatures(minutes: float, degrees: float) -> None:
    assert furnace_temperature_c(minutes, CURVE) == pytest.approx(degrees, abs=0.05)


@pytest.mark.parametrize(("minutes", "degrees"), [(60, 945), (120, 1049), (240, 1153)])  # DW/144, as printed
def test_furnace_temperatures_as_printed(minutes: float, degrees: float) -> None:
    given_degrees = furnace_temperature_c(minutes, CURVE)
    assert given_degrees is not None
    assert round(given_degrees) == degrees


def test_the_curve_starts_cold_and_ends_where_the_row_says() -> None:
    assert furnace_temperature_c(0, CURVE) == 20
    assert furnace_temperature_c(240, CURVE) is not None
    for outside in (-0.001, 240.001, math.nan, math.inf):
        assert furnace_temperature_c(outside, CURVE) is None


@pytest.mark.parametrize(("degrees", "growth"), [(600, 25.2), (800, 33.0), (945, 38.1)])  # C33, C34, C35
def test_three_metres_of_duct(degrees: float, growth: float) -> None:
    assert elongation_mm(3000, degrees, LAW) == pytest.approx(growth, abs=0.05)


@pytest.mark.parametrize(
    ("degrees", "per_metre"),
    [(400, 5.20), (600, 8.40), (750, 11.0), (860, 11.0), (945, 12.7), (1006, 13.9), (1049, 14.8)],
)  # trade handbook 6.23
def test_growth_of_a_metre(degrees: float, per_metre: float) -> None:
    assert elongation_mm(1000, degrees, LAW) == pytest.approx(per_metre, abs=0.05)


def test_a_long_rod_drops_by_almost_two_centimetres() -> None:
    assert elongation_mm(1500, 945, LAW) == pytest.approx(19, abs=0.1)  # trade handbook 6.25


def test_a_constant_coefficient_would_be_wrong() -> None:
    """C33: 1.2e-5 for each of 580 K gives 20.9 mm, four millimetres short."""
    constant = 3000 * 1.2e-5 * 580
    assert constant == pytest.approx(20.9, abs=0.05)
    grown = elongation_mm(3000, 600, LAW)
    assert grown is not None
    assert grown > constant + 4


def test_the_law_is_zero_at_20_and_joins_at_its_ends() -> None:
    """EN 1993-1-2 measures from 20 °C; its pieces meet within 1e-5."""
    assert relative_elongation(20, LAW) == 0
    below, at = relative_elongation(749.9999, LAW), relative_elongation(750, LAW)
    assert below is not None
    assert at == 0.011
    assert below == pytest.approx(at, abs=1e-5)
    last, after = relative_elongation(860, LAW), relative_elongation(860.0001, LAW)
    assert last == 0.011
    assert after == pytest.approx(0.011, abs=1e-8)


@pytest.mark.parametrize("degrees", [19.99, 1200.01, -5, math.nan, math.inf])
def test_outside_the_law_there_is_no_number(degrees: float) -> None:
    assert relative_elongation(degrees, LAW) is None
    assert elongation_mm(3000, degrees, LAW) is None
    check = check_joint(3000, degrees, 1000, LAW)
    assert (check.verdict, check.growth_mm) == (Verdict.UNKNOWN, None)
    assert "20 to 1200 °C" in check.text


def test_the_ends_of_the_law_are_inside() -> None:
    assert relative_elongation(1200, LAW) == pytest.approx(2e-5 * 1200 - 6.2e-3)


@pytest.mark.parametrize(
    ("travel", "verdict", "words"),
    [
        (32.9, Verdict.FAIL, "the joint travels 32.9 mm"),
        (33.0, Verdict.UNKNOWN, "for the test to say"),  # exactly at the limit: 3000 × 0.011
        (50.0, Verdict.UNKNOWN, "for the test to say"),
        (None, Verdict.UNKNOWN, "not stated"),
    ],
)
def test_a_joint_can_fail_and_never_passes(travel: float | None, verdict: Verdict, words: str) -> None:
    check = check_joint(3000, 800, travel, LAW)
    assert check.verdict is verdict
    assert words in check.text
    assert check.growth_mm == pytest.approx(33.0)


def test_the_limit_of_a_joint_is_met_in_decimals() -> None:
    """1100 mm × (2e-5 × 900 − 6.2e-3) = 12.98 mm by hand; in binary fractions the product comes out larger."""
    assert 1100 * (2e-5 * 900 - 6.2e-3) > 12.98
    assert check_joint(1100, 900, 12.98, LAW).verdict is Verdict.UNKNOWN
    assert check_joint(1100, 900, 12.979999, LAW).verdict is Verdict.FAIL


def test_bad_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a length is zero or more, not -1 mm"):
        elongation_mm(-1, 100, LAW)
    with pytest.raises(ValueError, match="a length is zero or more, not inf mm"):
        elongation_mm(math.inf, 100, LAW)
    with pytest.raises(ValueError, match="a joint's travel is zero or more, not -1 mm"):
        check_joint(3000, 800, -1, LAW)


@given(st.floats(20, 1200), st.floats(20, 1200), st.floats(0, 50_000))
def test_hotter_is_never_shorter_but_for_the_seam(one: float, other: float, length: float) -> None:
    """The seam at 750 °C is 8.4e-6 high (0.0110084 against 0.011), by the standard's own coefficients."""
    low, high = sorted((one, other))
    shorter, longer = elongation_mm(length, low, LAW), elongation_mm(length, high, LAW)
    assert shorter is not None
    assert longer is not None
    assert shorter <= longer + 8.5e-6 * length + 1e-9
