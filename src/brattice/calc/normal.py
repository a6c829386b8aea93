# SPDX-License-Identifier: Apache-2.0
"""Probabilities of normal errors: an interval, and two sides of one opening that share an error."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import pairwise

import numpy as np

__all__ = ["interval_probability", "round_gap_probability", "side_pair_probability"]

_FAR_SIGMAS = 9.0
"""Beyond so many standard deviations less than 1e-18 is left."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_STEPS = (-9.0, -6.0, -4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 9.0)


def _below(value: float) -> float:
    return 0.5 * math.erfc(-value / math.sqrt(2.0))


def interval_probability(mean: float, sigma: float, least: float, most: float) -> float:
    """The probability that a normal value lies between two ends (both within; either may be infinite).

    A `sigma` of zero is a value without error. Raises ValueError for a sigma below zero.
    """
    if sigma < 0:
        raise ValueError(f"a standard deviation is zero or more, not {sigma}")
    if least > most:
        return 0.0
    if sigma == 0:
        return 1.0 if least <= mean <= most else 0.0
    low, high = (least - mean) / sigma, (most - mean) / sigma
    if low > 0:  # the upper tail from its own side, so that nothing cancels
        return max(0.0, _below(-low) - _below(-high))
    return max(0.0, _below(high) - _below(low))


def _panels(first: float, last: float, breaks: Iterable[float]) -> list[tuple[float, float]]:
    inside = sorted({first, last, *(item for item in breaks if first < item < last)})
    return [(low, high) for low, high in pairwise(inside) if high > low]


def _over_total(
    total: float,
    sigma: float,
    within: tuple[float, float],
    bends: Iterable[float],
    given: Callable[[float], float],
) -> float:
    """The mean of `given` over a normal total, which is zero outside `within` and bends (or steepens) at `bends`."""
    first = max(total - _FAR_SIGMAS * sigma, within[0])
    last = min(total + _FAR_SIGMAS * sigma, within[1])
    if not first < last:
        return 0.0
    cuts = [total + step * sigma for step in _STEPS] + [item for item in bends if math.isfinite(item)]
    answer = 0.0
    for low, high in _panels(first, last, cuts):
        middle, half = (low + high) / 2, (high - low) / 2
        for node, weight in zip(_NODES, _WEIGHTS, strict=True):
            here = float(middle + half * node)
            density = math.exp(-(((here - total) / sigma) ** 2) / 2) / (sigma * math.sqrt(2 * math.pi))
            answer += float(weight) * half * density * given(here)
    return min(1.0, answer)


def side_pair_probability(
    gaps: tuple[float, float],
    one: tuple[float, float],
    other: tuple[float, float],
    sigma_total: float,
    sigma_shift: float,
) -> float:
    """The probability that two opposite gaps both keep their windows.

    `gaps` are the nominal gaps a side; `one` and `other` their windows (least, most; the ends may be infinite). The
    gaps are L = T/2 + S and R = T/2 − S: the error of their sum T (opening less damper, `sigma_total`) is shared half
    and half, that of the shift S (`sigma_shift`) goes to one side and off the other. T and S are independent, so that
    L and R are bivariate normal with the covariance sigma_total²/4 − sigma_shift². Given T, S has to lie in an
    interval; that conditional probability is integrated over T by Gauss-Legendre panels cut where it bends.
    """
    total, shift = gaps[0] + gaps[1], (gaps[0] - gaps[1]) / 2
    (least_one, most_one), (least_other, most_other) = one, other
    if sigma_total == 0:
        least = max(least_one - total / 2, total / 2 - most_other)
        most = min(most_one - total / 2, total / 2 - least_other)
        return interval_probability(shift, sigma_shift, least, most)
    if sigma_shift == 0:
        least = 2 * max(least_one - shift, least_other + shift)
        most = 2 * min(most_one - shift, most_other + shift)
        return interval_probability(total, sigma_total, least, most)

    def given(here: float) -> float:
        least = max(least_one - here / 2, here / 2 - most_other)
        most = min(most_one - here / 2, here / 2 - least_other)
        return interval_probability(shift, sigma_shift, least, most)

    bends = [least_one + most_other, most_one + least_other]
    for root in (least_one - shift, most_one - shift, least_other + shift, most_other + shift):
        bends += [2 * (root + step * sigma_shift) for step in _STEPS]
    return _over_total(total, sigma_total, (least_one + least_other, most_one + most_other), bends, given)


def round_gap_probability(gap: float, window: tuple[float, float], sigma_total: float, sigma_shift: float) -> float:
    """The probability that the gap round a round damper in a round opening keeps its window all round.

    `gap` is the nominal gap, the same all round. The least gap is T/2 − r, the most T/2 + r, where T is the difference
    of the diameters (`sigma_total`) and r the distance of the centres, whose two parts are independent and normal
    (`sigma_shift` each), so that r² is exponential: P(r ≤ c) = 1 − exp(−c²/(2·sigma_shift²)). Integrated over T.
    """
    least, most = window
    total = 2 * gap

    def given(here: float) -> float:
        reach = min(here / 2 - least, most - here / 2)
        if reach < 0:
            return 0.0
        return 1.0 if sigma_shift == 0 else -math.expm1(-(reach**2) / (2 * sigma_shift**2))

    if sigma_total == 0:
        return given(total)
    if sigma_shift == 0:
        return interval_probability(total, sigma_total, 2 * least, 2 * most)
    bends = [least + most]
    for root in (least, most):
        bends += [2 * (root + step * sigma_shift) for step in _STEPS]
    return _over_total(total, sigma_total, (2 * least, 2 * most), bends, given)
