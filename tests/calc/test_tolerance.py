# SPDX-License-Identifier: Apache-2.0
"""The best nominal opening. Oracles: hand calculations, seeded simulation with the binomial error, the bivariate normal
distribution of scipy, and laws."""

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats  # type: ignore[import-untyped]

from brattice.adapters.rows import shipped_book
from brattice.calc.normal import interval_probability, round_gap_probability, side_pair_probability
from brattice.calc.tolerance import (
    NOT_FOR_ACCEPTING,
    Buildable,
    GapWindow,
    SiteTolerances,
    StatedTolerances,
    best_opening,
    best_round_opening,
    opening_of_size,
    opening_step_mm,
    outside_share,
    round_opening_of_size,
    site_tolerances,
    spread_mm,
    with_stated,
    worst_case_margin_mm,
)

BOOK = shipped_book()
NONE = SiteTolerances(0, 0, 0, 0, 0, 2)
SOME = SiteTolerances(opening_mm=6, damper_mm=2, position_mm=4, centring_mm=3, plumb_mm=0, sigmas=2)
WINDOW = GapWindow(10, 50)
OPEN = GapWindow(10, None)


def test_without_errors_the_middle_of_the_window_is_best() -> None:
    """600 + 30 + 30 by hand; 20 mm are left to either end."""
    best = best_opening(600, WINDOW, WINDOW, NONE)
    assert (best.nominal_mm, best.gap_one_mm, best.gap_other_mm, best.offset_mm) == (660, 30, 30, 0)
    assert (best.spread_mm, best.margin_mm, best.outside_share) == (0, 20, 0)
    assert best.buildable is Buildable.SURE


def test_the_worst_case_by_hand() -> None:
    """Half of 6 and 2, all of 4 and 3: 11 mm; of 20 mm 9 are left."""
    assert spread_mm(SOME) == 11
    best = best_opening(600, WINDOW, WINDOW, SOME)
    assert (best.nominal_mm, best.margin_mm) == (660, 9)
    assert worst_case_margin_mm(30, WINDOW, SOME) == 9
    assert worst_case_margin_mm(48, WINDOW, SOME) == -9


def test_windows_that_differ_put_the_opening_off_the_centre() -> None:
    """Middles 15 and 40 by hand: 55 larger, its centre 12.5 from the damper's, away from the first side."""
    best = best_opening(400, GapWindow(10, 20), GapWindow(30, 50), NONE)
    assert (best.nominal_mm, best.gap_one_mm, best.gap_other_mm, best.offset_mm) == (455, 15, 40, -12.5)
    assert best.margin_mm == 5


@pytest.mark.parametrize(
    ("spread", "margin", "can"),
    [(19.9, 0.1, Buildable.SURE), (20.0, 0.0, Buildable.SURE), (20.1, -0.1, Buildable.NOT_SURE)],
)
def test_exactly_at_the_limit_it_can_be_built(spread: float, margin: float, can: Buildable) -> None:
    best = best_opening(600, WINDOW, WINDOW, SiteTolerances(0, 0, spread, 0, 0, 2))
    assert best.margin_mm == margin
    assert best.buildable is can


def test_tenths_do_not_decide_by_binary_noise() -> None:
    """A window of 0.6 mm and errors of 0.1 + 0.2 mm leave nothing and are enough; in binary 0.1 + 0.2 is more."""
    assert 0.1 + 0.2 > 0.3
    best = best_opening(600, GapWindow(10, 10.6), GapWindow(10, 10.6), SiteTolerances(0, 0, 0.1, 0.2, 0, 2))
    assert (best.margin_mm, best.buildable) == (0, Buildable.SURE)


def test_without_a_most_gap_no_more_is_given_than_is_sure() -> None:
    """10 + 11 a side by hand."""
    best = best_opening(600, OPEN, OPEN, SOME)
    assert (best.nominal_mm, best.margin_mm, best.buildable) == (642, 0, Buildable.SURE)


def test_one_open_side_takes_the_room_of_the_other() -> None:
    """First side 30 with 9 left; the second then 10 + 11 + 9 = 30, by hand."""
    best = best_opening(600, WINDOW, OPEN, SOME)
    assert (best.gap_one_mm, best.gap_other_mm, best.margin_mm) == (30, 30, 9)


def test_without_a_least_gap_a_gap_is_still_never_negative() -> None:
    """0 to 50: middle 25."""
    best = best_opening(600, GapWindow(None, 50), GapWindow(None, 50), NONE)
    assert (best.nominal_mm, best.margin_mm) == (650, 25)


@pytest.mark.parametrize("pair", [(GapWindow(None, None), WINDOW), (WINDOW, GapWindow(None, None))])
def test_no_window_is_no_size(pair: tuple[GapWindow, GapWindow]) -> None:
    best = best_opening(600, *pair, SOME)
    assert best.buildable is Buildable.NOT_KNOWN
    assert (best.nominal_mm, best.margin_mm, best.outside_share) == (None, None, None)
    assert best_round_opening(315, GapWindow(None, None), SOME).buildable is Buildable.NOT_KNOWN


@pytest.mark.parametrize(
    ("casing", "step", "nominal", "margin"),
    [(603, 5, 665, 8), (602, 5, 660, 8), (600, 5, 660, 9), (603, 0, 663, 9), (602.5, 5, 660, 7.75)],
)
def test_sizes_in_steps(casing: float, step: float, nominal: float, margin: float) -> None:
    """By hand: 603 + 60 = 663 lies nearer to 665, a millimetre a side off the middle; a tie takes the smaller."""
    best = best_opening(casing, WINDOW, WINDOW, SOME, step_mm=step)
    assert (best.nominal_mm, best.margin_mm) == (nominal, margin)
    assert best.gap_one_mm == best.gap_other_mm


def test_a_step_never_takes_a_least_gap_away() -> None:
    """600 + 42 = 642 would be 640 by rounding, 1 mm a side too small for sure; it is 645."""
    assert best_opening(600, OPEN, OPEN, SOME, step_mm=5).nominal_mm == 645


def test_the_words_say_what_it_is_for() -> None:
    for window, tolerances in product((WINDOW, GapWindow(10, 20), GapWindow(None, None)), (NONE, SOME)):
        assert NOT_FOR_ACCEPTING in best_opening(600, window, window, tolerances).words
    tight = best_opening(600, GapWindow(10, 20), GapWindow(10, 20), SOME)
    assert "6 mm beyond the tested one" in tight.words  # 5 − 11 by hand
    assert "can't be built for sure" in tight.words


@given(st.floats(0, 20), st.floats(0, 40), st.floats(0, 20), st.floats(0, 40), st.integers(0, 10), st.floats(50, 1500))
def test_no_other_opening_has_more_room(a: float, b: float, c: float, d: float, step: int, casing: float) -> None:
    """A second method: every size of a grid, every place in it."""
    one, other = GapWindow(a, a + b), GapWindow(c, c + d)
    best = best_opening(casing, one, other, SOME, step_mm=step)
    assert best.margin_mm is not None
    assert best.nominal_mm is not None
    span = b + d + 2 * max(step, 1)
    sizes = (
        [k * step for k in range(int((casing + a + c) // step), int((casing + a + c + span) // step) + 1)]
        if step
        else [casing + a + c + share * span for share in np.linspace(0, 1, 41)]
    )
    for size in sizes:
        for gap in np.linspace(0, size - casing, 41):
            rest = size - casing - gap
            if rest >= 0:
                room = min(gap - a, a + b - gap, rest - c, c + d - rest) - 11
                assert room <= best.margin_mm + 1e-9


# The statistical case ------------------------------------------------------------------------------------------------


def simulated(
    gaps: tuple[float, float], one: GapWindow, other: GapWindow, site: SiteTolerances, seed: int, count: int
) -> float:
    """Openings built at random: each error drawn by itself, both gaps measured."""
    chance = np.random.default_rng(seed)

    def error(limit: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return chance.normal(0.0, limit / site.sigmas, count) if limit else np.zeros(count)

    casing = 600 + error(site.damper_mm)
    opening = 600 + sum(gaps) + error(site.opening_mm)
    centre_of_opening = (gaps[1] - gaps[0]) / 2 + error(site.position_mm)
    centre_of_damper = error(site.centring_mm)
    left = (centre_of_damper - casing / 2) - (centre_of_opening - opening / 2)
    right = (centre_of_opening + opening / 2) - (centre_of_damper + casing / 2)
    inside = np.ones(count, dtype=bool)
    for gap, window in ((left, one), (right, other)):
        inside &= gap >= (-math.inf if window.least_mm is None else window.least_mm)
        inside &= gap <= (math.inf if window.most_mm is None else window.most_mm)
    return float(1 - inside.mean())


CASES = [
    ((30.0, 30.0), WINDOW, WINDOW, SOME),
    ((18.0, 18.0), GapWindow(12, 24), GapWindow(12, 24), SOME),
    ((15.0, 40.0), GapWindow(10, 20), GapWindow(30, 50), SOME),
    ((12.0, 12.0), OPEN, OPEN, SOME),
    ((12.0, 30.0), GapWindow(10, None), GapWindow(10, 32), SiteTolerances(10, 2, 1, 1, 0, 2)),
    ((20.0, 20.0), GapWindow(15, 25), GapWindow(15, 25), SiteTolerances(0, 0, 5, 3, 0, 3)),
    ((20.0, 20.0), GapWindow(15, 25), GapWindow(15, 25), SiteTolerances(12, 3, 0, 0, 0, 3)),
    ((5.0, 9.0), GapWindow(10, 20), GapWindow(10, 20), SOME),  # a nominal size outside its windows
]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_the_share_outside_is_that_of_openings_built_at_random(case: int) -> None:
    """Twelve seeds; each within 4.5 standard errors of the binomial, all together within 4.5 of theirs."""
    gaps, one, other, site = CASES[case]
    share = outside_share(*gaps, one, other, site)
    count, seeds = 100_000, range(12)
    shares = [simulated(gaps, one, other, site, 1000 * case + seed, count) for seed in seeds]
    error = math.sqrt(max(share * (1 - share), 1 / count) / count)
    assert max(abs(item - share) for item in shares) < 4.5 * error
    assert abs(float(np.mean(shares)) - share) < 4.5 * error / math.sqrt(len(seeds))


@given(
    st.tuples(st.floats(0, 30), st.floats(0, 30)),
    st.tuples(st.floats(0, 20), st.floats(0.5, 30)),
    st.tuples(st.floats(0, 20), st.floats(0.5, 30)),
    st.floats(0.05, 10),
    st.floats(0.05, 10),
)
@settings(max_examples=150)
def test_the_probability_is_that_of_an_independent_bivariate_normal(
    gaps: tuple[float, float], one: tuple[float, float], other: tuple[float, float], total: float, shift: float
) -> None:
    """Oracle: scipy's bivariate normal with variances T²/4 + S² and covariance T²/4 − S²."""
    ends = (one[0], sum(one)), (other[0], sum(other))
    both, apart = total**2 / 4, shift**2
    given_mean = np.array(gaps)
    law = stats.multivariate_normal(given_mean, [[both + apart, both - apart], [both - apart, both + apart]])
    low, high = np.array([ends[0][0], ends[1][0]]), np.array([ends[0][1], ends[1][1]])
    assert side_pair_probability(gaps, *ends, total, shift) == pytest.approx(
        float(law.cdf(high, lower_limit=low)), abs=2e-5
    )


@given(st.floats(-5, 5), st.floats(0.01, 5), st.floats(-20, 20), st.floats(0, 20))
def test_an_interval_of_the_normal_distribution(mean: float, sigma: float, least: float, width: float) -> None:
    expected = stats.norm.cdf(least + width, mean, sigma) - stats.norm.cdf(least, mean, sigma)
    assert interval_probability(mean, sigma, least, least + width) == pytest.approx(expected, abs=1e-12)


def test_the_tail_is_not_lost() -> None:
    """One side of the normal distribution beyond 8 sigma: 6.22e-16 (tables); 1 − 0.999… would give 6.66e-16 or 0."""
    assert interval_probability(0, 1, 8, math.inf) == pytest.approx(6.22096e-16, rel=1e-5)
    assert interval_probability(0, 1, -math.inf, -8) == pytest.approx(6.22096e-16, rel=1e-5)


@pytest.mark.parametrize("ratio", [1e-6, 1e-4, 1e-2, 1, 1e2, 1e4])
def test_small_errors_beside_large_ones_keep_their_weight(ratio: float) -> None:
    """In the limit one of the two errors alone is left, where the answer is an interval of one normal value."""
    window = (10.0, 20.0)
    found = side_pair_probability((14.0, 14.0), window, window, 6 * min(1, ratio), 3 / max(1, ratio))
    assert 0 < found <= 1
    if ratio <= 1e-4:
        # S alone: −4 to 4 and −6 to 6 by hand, so |S| ≤ 4 with sigma 3
        assert found == pytest.approx(math.erf(4 / 3 / math.sqrt(2)), abs=1e-4)
    if ratio >= 1e4:
        # T alone: 20 ≤ T ≤ 40 about 28 with sigma 6
        expected = stats.norm.cdf(2.0) - stats.norm.cdf(-8 / 6)
        assert found == pytest.approx(expected, abs=1e-4)


def test_without_errors_chance_has_nothing_to_say() -> None:
    assert outside_share(10, 50, WINDOW, WINDOW, NONE) == 0
    assert outside_share(9.999, 50, WINDOW, WINDOW, NONE) == 1
    assert outside_share(0.3, 0.3, GapWindow(0.3, 0.3), GapWindow(0.3, 0.3), NONE) == 0
    assert interval_probability(5, 0, 5, 6) == 1
    assert interval_probability(5, 0, 5.1, 6) == 0
    assert interval_probability(5, 1, 7, 6) == 0


def test_plumb_counts_in_full_on_both_faces() -> None:
    """By hand: 3 mm of plumb make a window of 10 to 50 one of 13 to 47."""
    leaning = SiteTolerances(6, 2, 4, 3, 3, 2)
    narrowed = GapWindow(13, 47)
    assert outside_share(30, 30, WINDOW, WINDOW, leaning) == outside_share(30, 30, narrowed, narrowed, SOME)
    assert best_opening(600, WINDOW, WINDOW, leaning).margin_mm == 6
    wide = SiteTolerances(6, 2, 4, 3, 21, 2)
    assert outside_share(30, 30, WINDOW, WINDOW, wide) == 1


def test_a_certain_opening_misses_rarely() -> None:
    """Room for the worst case is room for 2 sigma of every error at once, so hardly anything is outside."""
    best = best_opening(600, WINDOW, WINDOW, SiteTolerances(10, 2, 7, 7, 0, 2))
    assert best.margin_mm == 0
    assert best.outside_share is not None
    assert best.outside_share < 0.001


tolerances = st.builds(
    SiteTolerances,
    st.floats(0, 15),
    st.floats(0, 5),
    st.floats(0, 10),
    st.floats(0, 10),
    st.floats(0, 5),
    st.sampled_from([1.0, 2.0, 3.0]),
)
windows = st.builds(lambda least, width: GapWindow(least, least + width), st.floats(0, 40), st.floats(0, 60))


@given(windows, windows, tolerances)
def test_looser_work_never_has_more_room(one: GapWindow, other: GapWindow, site: SiteTolerances) -> None:
    looser = SiteTolerances(
        site.opening_mm + 1, site.damper_mm, site.position_mm + 1, site.centring_mm, site.plumb_mm, site.sigmas
    )
    here, there = best_opening(600, one, other, site), best_opening(600, one, other, looser)
    assert here.margin_mm is not None
    assert there.margin_mm is not None
    assert there.margin_mm < here.margin_mm
    if here.buildable is Buildable.NOT_SURE:
        assert there.buildable is Buildable.NOT_SURE


@given(windows, windows, tolerances, st.floats(0, 20))
def test_a_wider_window_never_has_less_room_nor_more_outside(
    one: GapWindow, other: GapWindow, site: SiteTolerances, more: float
) -> None:
    assert one.most_mm is not None
    wider = GapWindow(one.least_mm, one.most_mm + more)
    here, there = best_opening(600, one, other, site), best_opening(600, wider, other, site)
    assert here.margin_mm is not None
    assert there.margin_mm is not None
    assert there.margin_mm >= here.margin_mm
    assert here.gap_one_mm is not None
    assert here.gap_other_mm is not None
    inside = outside_share(here.gap_one_mm, here.gap_other_mm, one, other, site)
    assert outside_share(here.gap_one_mm, here.gap_other_mm, wider, other, site) <= inside + 1e-9


@given(windows, windows, tolerances)
def test_shares_are_shares_and_sides_can_be_swapped(one: GapWindow, other: GapWindow, site: SiteTolerances) -> None:
    here, swapped = best_opening(600, one, other, site), best_opening(600, other, one, site)
    assert here.outside_share is not None
    assert swapped.outside_share is not None
    assert 0 <= here.outside_share <= 1
    assert here.outside_share == pytest.approx(swapped.outside_share, abs=1e-9)
    assert (here.nominal_mm, here.margin_mm) == (swapped.nominal_mm, swapped.margin_mm)


# Round ---------------------------------------------------------------------------------------------------------------


def test_a_round_opening_by_hand() -> None:
    """315 + 2 × 30; half of 6 and 2, and √2 × 7 of place, are taken off 20."""
    best = best_round_opening(315, WINDOW, SOME)
    assert best.nominal_mm == 375
    assert best.margin_mm == pytest.approx(20 - 4 - 7 * math.sqrt(2))
    assert best_round_opening(315, OPEN, NONE, step_mm=5).nominal_mm == 335


@pytest.mark.parametrize(
    ("gap", "window", "site"),
    [
        (30.0, (10.0, 50.0), SOME),
        (18.0, (14.0, 24.0), SOME),
        (20.0, (15.0, 25.0), SiteTolerances(0, 0, 5, 3, 0, 2)),
        (20.0, (15.0, math.inf), SOME),
    ],
)
def test_a_round_opening_as_built_at_random(gap: float, window: tuple[float, float], site: SiteTolerances) -> None:
    share = round_gap_probability(gap, window, site.sigma_total_mm, site.sigma_shift_mm)
    count = 400_000
    chance = np.random.default_rng(7)
    total = 2 * gap + chance.normal(0, site.sigma_total_mm, count)
    apart = np.hypot(chance.normal(0, site.sigma_shift_mm, count), chance.normal(0, site.sigma_shift_mm, count))
    inside = float(np.mean((total / 2 - apart >= window[0]) & (total / 2 + apart <= window[1])))
    assert inside == pytest.approx(share, abs=4.5 * math.sqrt(max(share * (1 - share), 1 / count) / count))


def test_a_wall_out_of_plumb_takes_its_diagonal_off_a_round_window() -> None:
    """5 mm along both axes are 7.07 on the diagonal: of 10 to 50 round 30 mm are left 17.07 to 42.93, by hand."""
    best = round_opening_of_size(375, 315, WINDOW, SiteTolerances(6, 2, 4, 3, 5, 2))
    assert best.outside_share is not None
    narrowed = round_gap_probability(30, (10 + 5 * math.sqrt(2), 50 - 5 * math.sqrt(2)), math.hypot(6, 2) / 2, 2.5)
    assert best.outside_share == pytest.approx(1 - narrowed, rel=1e-6)


def test_a_round_opening_with_one_error_alone() -> None:
    """By the exponential law of r² with sigma 3 and 6 mm of room: 1 − exp(−2); with no place error an interval."""
    assert round_gap_probability(20, (14, 26), 0, 3) == pytest.approx(1 - math.exp(-2))
    assert round_gap_probability(20, (14, 26), 4, 0) == pytest.approx(math.erf(3 / math.sqrt(2)))
    assert round_gap_probability(20, (14, 26), 0, 0) == 1
    assert round_gap_probability(13, (14, 26), 0, 3) == 0


# Rows and bad input --------------------------------------------------------------------------------------------------


def test_common_practice_says_that_it_is() -> None:
    for is_rigid in (True, False):
        site = site_tolerances(BOOK, is_rigid=is_rigid)
        assert len(site.rows) == 6
        for row in map(BOOK.need, site.rows):
            assert row.clause.standard == "common practice"
            assert row.advice
    assert opening_step_mm(BOOK) == BOOK.number("tolerance.step")
    rigid, flexible = (site_tolerances(BOOK, is_rigid=value) for value in (True, False))
    assert rigid.opening_mm > flexible.opening_mm


def test_bad_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a tolerance is zero or more, not -1 mm"):
        SiteTolerances(-1, 0, 0, 0, 0, 2)
    with pytest.raises(ValueError, match="some number of standard deviations, not 0"):
        SiteTolerances(0, 0, 0, 0, 0, 0)
    with pytest.raises(ValueError, match="a window goes upwards, not from 20 to 10 mm"):
        best_opening(600, GapWindow(20, 10), WINDOW, SOME)
    with pytest.raises(ValueError, match="a gap is zero or more, not -1 mm"):
        outside_share(10, 10, GapWindow(-1, 10), WINDOW, SOME)
    with pytest.raises(ValueError, match="a casing's size is above zero, not 0 mm"):
        best_opening(0, WINDOW, WINDOW, SOME)
    with pytest.raises(ValueError, match="a step is zero or more, not -5 mm"):
        best_round_opening(315, WINDOW, SOME, step_mm=-5)
    with pytest.raises(ValueError, match="a standard deviation is zero or more, not -1"):
        interval_probability(0, -1, 0, 1)


def test_what_a_job_states_takes_the_place_of_common_practice_and_its_rows_go() -> None:
    common = site_tolerances(shipped_book(), is_rigid=True)
    own = with_stated(common, StatedTolerances(opening_mm=0.0, plumb_mm=7.0))
    assert (own.opening_mm, own.plumb_mm) == (0.0, 7.0)
    assert (own.damper_mm, own.position_mm, own.centring_mm) == (
        common.damper_mm,
        common.position_mm,
        common.centring_mm,
    )
    assert set(common.rows) - set(own.rows) == {"tolerance.opening.rigid", "tolerance.plumb"}
    assert with_stated(common, StatedTolerances()) == common


def test_an_opening_of_a_given_size_by_hand() -> None:
    """600 mm casing, 40 to 50 mm each side; 700 mm leaves 50 and 50: no room at all, less half of ±4 mm: -2 mm."""
    window = GapWindow(40, 50)
    site = SiteTolerances(4, 0, 0, 0, 0, 2)
    found = opening_of_size(700, 600, window, window, site)
    assert (found.nominal_mm, found.gap_one_mm, found.gap_other_mm, found.margin_mm) == (700, 50, 50, -2)
    assert found.buildable is Buildable.NOT_SURE
    best = opening_of_size(690, 600, window, window, site)
    assert (best.margin_mm, best.buildable) == (3, Buildable.SURE)
    assert opening_of_size(684, 600, window, window, site).margin_mm == 0  # 42 each: exactly at the limit
    assert opening_of_size(684, 600, window, window, site).buildable is Buildable.SURE
    tight = opening_of_size(590, 600, window, window, site)  # smaller than the casing: -5 mm on each side
    assert (tight.gap_one_mm, tight.margin_mm, tight.outside_share) == (-5, -47, 1)


def test_a_round_opening_of_a_given_size_by_hand() -> None:
    """Ø 315, 40 to 50 mm all round, ±2 mm on the opening alone: Ø 405 leaves 45 mm and 5 - 1 = 4 mm of room."""
    window = GapWindow(40, 50)
    site = SiteTolerances(2, 0, 0, 0, 0, 2)
    assert round_opening_of_size(405, 315, window, site).margin_mm == 4
    assert round_opening_of_size(393, 315, window, site).margin_mm == -2  # 39 mm, 1 below, less 1
    assert round_opening_of_size(405, 315, GapWindow(None, None), site).buildable is Buildable.NOT_KNOWN


@pytest.mark.parametrize("step", [0, 5, 7])
def test_the_best_size_answers_as_that_size_does(step: float) -> None:
    """Two ways to one answer: found as the best, or asked for by its size."""
    one, other, site = GapWindow(30, 55), GapWindow(20, 60), SiteTolerances(5, 2, 5, 3, 3, 2)
    best = best_opening(612, one, other, site, step_mm=step)
    assert best.nominal_mm is not None
    assert opening_of_size(best.nominal_mm, 612, one, other, site) == best
    round_best = best_round_opening(315, one, site, step_mm=step)
    assert round_best.nominal_mm is not None
    assert round_opening_of_size(round_best.nominal_mm, 315, one, site) == round_best


def test_a_size_that_is_none_is_refused() -> None:
    for size in (0, -1, float("nan")):
        with pytest.raises(ValueError, match="above zero"):
            opening_of_size(size, 600, GapWindow(40, 50), GapWindow(40, 50), SiteTolerances(5, 2, 5, 3, 3, 2))
