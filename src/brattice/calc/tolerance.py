# SPDX-License-Identifier: Apache-2.0
"""The nominal opening with most room under site tolerances. For choosing a size, never for accepting a made opening.

One pair of opposite sides at a time (left and right, or top and bottom), or the gap all round a round damper. The
tested window of each side bounds its gap; opening, damper and setting each come out a little off.

What a tolerance ±t means: in the worst case every error may reach ±t at once; for the share expected outside the
errors are independent and normal, and t is `sigmas` standard deviations. A wall out of plumb (or a reveal out of
square) is no scatter from damper to damper: both faces of the wall have to keep the window, so that it counts in full
both times. The opening is set out and the damper set by their centres: an error of size is shared by both sides half
and half, an error of place goes to one side and off the other.

An opening that was made is measured and held against the tested window itself; nothing here makes it right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

from brattice.calc.exact import as_stated
from brattice.calc.normal import round_gap_probability, side_pair_probability
from brattice.quantities import mm_text, number_text
from brattice.rows import RowBook

__all__ = [
    "NONE_STATED",
    "NOT_FOR_ACCEPTING",
    "BestOpening",
    "Buildable",
    "GapWindow",
    "SiteTolerances",
    "StatedTolerances",
    "best_opening",
    "best_round_opening",
    "opening_of_size",
    "opening_step_mm",
    "outside_share",
    "round_opening_of_size",
    "site_tolerances",
    "spread_mm",
    "with_stated",
    "worst_case_margin_mm",
]

NOT_FOR_ACCEPTING = (
    "For choosing a nominal size only: an opening that was made is measured and held against the tested gap itself."
)
"""Stands wherever a nominal size from here is shown."""

# Many dampers of a job share windows and tolerances.
_side_pair = lru_cache(maxsize=4096)(side_pair_probability)
_round_gap = lru_cache(maxsize=4096)(round_gap_probability)


class Buildable(StrEnum):
    """Whether an opening of the nominal size keeps the tested window for sure within the tolerances."""

    SURE = "can be built for sure within these tolerances"
    NOT_SURE = "can't be built for sure within these tolerances"
    NOT_KNOWN = "not known: no tested gap on one side"


@dataclass(frozen=True)
class GapWindow:
    """The tested gap of one side [mm], both ends within; None where the document sets no end."""

    least_mm: float | None
    most_mm: float | None


@dataclass(frozen=True)
class SiteTolerances:
    """How far things may come out, each ± [mm], and how many standard deviations that is (see the module).

    `opening_mm` and `damper_mm` are of the whole size, `position_mm` of the opening's centre, `centring_mm` of the
    damper in its place, `plumb_mm` how far the wall shifts the opening from face to face. `rows` are those that the
    values came from, () where the job states its own.
    """

    opening_mm: float
    damper_mm: float
    position_mm: float
    centring_mm: float
    plumb_mm: float
    sigmas: float
    rows: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for value in (self.opening_mm, self.damper_mm, self.position_mm, self.centring_mm, self.plumb_mm):
            if not 0 <= value < math.inf:
                raise ValueError(f"a tolerance is zero or more, not {value} mm")
        if not 0 < self.sigmas < math.inf:
            raise ValueError(f"a tolerance is some number of standard deviations, not {self.sigmas}")

    @property
    def sigma_total_mm(self) -> float:
        """The standard deviation of opening less damper [mm]."""
        return math.hypot(self.opening_mm, self.damper_mm) / self.sigmas

    @property
    def sigma_shift_mm(self) -> float:
        """The standard deviation of the damper's place in the opening [mm], along one axis."""
        return math.hypot(self.position_mm, self.centring_mm) / self.sigmas


@dataclass(frozen=True)
class StatedTolerances:
    """What a job states of its site tolerances, each ± [mm] as in `SiteTolerances`; None where it states none."""

    opening_mm: float | None = None
    damper_mm: float | None = None
    position_mm: float | None = None
    centring_mm: float | None = None
    plumb_mm: float | None = None


NONE_STATED = StatedTolerances()
"""The tolerances of a job that states none."""


@dataclass(frozen=True)
class BestOpening:
    """A nominal size to form [mm] for one pair of sides, and how sure it is. For choosing, never for accepting.

    `gap_one_mm` and `gap_other_mm` are the nominal gaps; `offset_mm` is how far the opening's centre lies from the
    damper's towards the first side. `spread_mm` is how far a gap may come out from its nominal value in the worst
    case, `margin_mm` the smallest room that is then left to an end of a window: negative where it can't be built for
    sure. `outside_share` is the share (0 to 1) of such installations expected to miss a window. All are None where
    nothing is known. `words` say it for people.
    """

    nominal_mm: float | None
    gap_one_mm: float | None
    gap_other_mm: float | None
    offset_mm: float | None
    spread_mm: float
    margin_mm: float | None
    outside_share: float | None
    buildable: Buildable
    words: str


def with_stated(common: SiteTolerances, stated: StatedTolerances) -> SiteTolerances:
    """The tolerances of common practice, with what the job states in their place; rows that no value rests on go."""
    given = {item.name: value for item in fields(stated) if (value := getattr(stated, item.name)) is not None}
    gone = {name.removesuffix("_mm") for name in given}  # of "tolerance.opening.rigid" the second part
    return replace(common, **given, rows=tuple(row for row in common.rows if row.split(".")[1] not in gone))


def site_tolerances(book: RowBook, *, is_rigid: bool) -> SiteTolerances:
    """The tolerances of common practice from the rows under `tolerance.`, where the job states none of its own."""
    opening = f"tolerance.opening.{'rigid' if is_rigid else 'flexible'}"
    rows = (opening, "tolerance.damper", "tolerance.position", "tolerance.centring", "tolerance.plumb")
    size, damper, position, centring, plumb = (book.number(row) for row in rows)
    sigmas = book.number("tolerance.sigmas")
    return SiteTolerances(size, damper, position, centring, plumb, sigmas, (*rows, "tolerance.sigmas"))


def opening_step_mm(book: RowBook) -> float:
    """The step in which nominal sizes of openings are given [mm] (row `tolerance.step`)."""
    return book.number("tolerance.step")


def spread_mm(tolerances: SiteTolerances) -> float:
    """How far a gap may come out from its nominal value in the worst case [mm]: half of a size, all of a place."""
    return float(_spread(tolerances))


def _spread(tolerances: SiteTolerances) -> Fraction:
    sizes = as_stated(tolerances.opening_mm) + as_stated(tolerances.damper_mm)
    places = as_stated(tolerances.position_mm) + as_stated(tolerances.centring_mm) + as_stated(tolerances.plumb_mm)
    return sizes / 2 + places


_Ends = tuple[Fraction, Fraction | None]


def _ends(window: GapWindow) -> _Ends:
    """The ends of a window; without a least one a gap is still never below nothing."""
    for end in (window.least_mm, window.most_mm):
        if end is not None and not 0 <= end < math.inf:
            raise ValueError(f"a gap is zero or more, not {end} mm")
    least = Fraction(0) if window.least_mm is None else as_stated(window.least_mm)
    most = None if window.most_mm is None else as_stated(window.most_mm)
    if most is not None and most < least:
        raise ValueError(f"a window goes upwards, not from {window.least_mm} to {window.most_mm} mm")
    return least, most


def _room(gap: Fraction, ends: _Ends) -> Fraction:
    """The room from a gap to the nearer end of its window; negative outside."""
    least, most = ends
    return gap - least if most is None else min(gap - least, most - gap)


def worst_case_margin_mm(gap_mm: float, window: GapWindow, tolerances: SiteTolerances) -> float:
    """The room that is left from a nominal gap [mm] to the nearer end of its window in the worst case [mm].

    Negative: it may come out beyond. Raises ValueError for a window that goes downwards.
    """
    return float(_room(as_stated(gap_mm), _ends(window)) - _spread(tolerances))


def outside_share(
    gap_one_mm: float, gap_other_mm: float, one: GapWindow, other: GapWindow, tolerances: SiteTolerances
) -> float:
    """The share (0 to 1) of installations with these nominal gaps [mm] that are expected to miss a window.

    Bivariate normal as `calc.normal.side_pair_probability` derives it; the plumb of the wall is taken off both ends of
    both windows in full. Raises ValueError for a window that goes downwards.
    """
    windows = [_narrowed(window, tolerances.plumb_mm) for window in (one, other)]
    sigmas = tolerances.sigma_total_mm, tolerances.sigma_shift_mm
    if sigmas == (0.0, 0.0):  # nothing is left to chance: exactly, in the decimals as stated
        pairs = ((gap_one_mm, one), (gap_other_mm, other))
        keeps = all(_room(as_stated(gap), _ends(window)) >= as_stated(tolerances.plumb_mm) for gap, window in pairs)
        return 0.0 if keeps else 1.0
    if any(least > most for least, most in windows):
        return 1.0
    return max(0.0, 1.0 - _side_pair((gap_one_mm, gap_other_mm), windows[0], windows[1], *sigmas))


def _narrowed(window: GapWindow, plumb_mm: float) -> tuple[float, float]:
    least, most = _ends(window)
    by = as_stated(plumb_mm)
    return float(least + by), math.inf if most is None else float(most - by)


def _best_split(total: Fraction, one: _Ends, other: _Ends) -> Fraction:
    """The gap on the first side, of a sum of both, that leaves most room: where a rising and a falling end meet."""
    candidates = [(total + one[0] - other[0]) / 2]
    if one[1] is not None:
        candidates.append((one[0] + one[1]) / 2)
    if other[1] is not None:
        candidates.append(total - (other[0] + other[1]) / 2)
    if one[1] is not None and other[1] is not None:
        candidates.append((total + one[1] - other[1]) / 2)
    return max(
        candidates, key=lambda gap: (min(_room(gap, one), _room(total - gap, other)), -abs(2 * gap - total), -gap)
    )


def _best_gaps(one: _Ends, other: _Ends, spread: Fraction) -> tuple[Fraction, Fraction]:
    """The gaps with most room: the middle of each window; where one has no upper end, as little as is sure."""
    finite = [(most - least) / 2 - spread for least, most in (one, other) if most is not None]
    spare = max(Fraction(0), *finite) if finite else Fraction(0)
    gaps = [least + spread + spare if most is None else (least + most) / 2 for least, most in (one, other)]
    return gaps[0], gaps[1]


def _in_steps(size: Fraction, step_mm: float) -> list[Fraction]:
    if step_mm == 0:
        return [size]
    step = as_stated(step_mm)
    lower = (size // step) * step
    return [lower] if lower == size else [lower, lower + step]


def best_opening(
    casing_mm: float, one: GapWindow, other: GapWindow, tolerances: SiteTolerances, *, step_mm: float = 0.0
) -> BestOpening:
    """The nominal size with most room [mm] for a damper's casing [mm] and the windows of two opposite sides.

    The smallest of the rooms to all ends of both windows is made as large as it can be; where a document sets no most
    gap, no more opening is given than is sure to keep the least. Sizes come in multiples of `step_mm` [mm] (0: any).
    For choosing a size, never for accepting a made opening. Raises ValueError for a casing not above zero, a negative
    step, or a window that goes downwards.
    """
    _refuse(casing_mm, step_mm)
    ends_one, ends_other, spread = _ends(one), _ends(other), _spread(tolerances)
    if any(window.least_mm is None and window.most_mm is None for window in (one, other)):
        return _nothing(spread)
    casing = as_stated(casing_mm)
    wanted = casing + sum(_best_gaps(ends_one, ends_other, spread))
    found = []
    for size in _in_steps(wanted, step_mm):
        gap = _best_split(size - casing, ends_one, ends_other)
        room = min(_room(gap, ends_one), _room(size - casing - gap, ends_other))
        found.append((room, -abs(size - wanted), -size, gap))
    room, _, size, gap = max(found)
    size = -size
    rest = size - casing - gap
    share = outside_share(float(gap), float(rest), one, other, tolerances)
    return _answer(size, gap, rest, spread, room - spread, share)


def best_round_opening(
    diameter_mm: float, window: GapWindow, tolerances: SiteTolerances, *, step_mm: float = 0.0
) -> BestOpening:
    """The nominal diameter with most room [mm] for a round casing [mm] in a round opening and the gap all round.

    As `best_opening`; the places of the two axes are independent, and the window holds all round. In the worst case
    the errors of both axes come together, so that an error of place counts by the diagonal. Raises ValueError
    as that does.
    """
    _refuse(diameter_mm, step_mm)
    ends, spread = _ends(window), _spread_round(tolerances)
    if window.least_mm is None and window.most_mm is None:
        return _nothing(spread)
    casing = as_stated(diameter_mm)
    gap = _best_gaps(ends, ends, spread)[0]
    found = []
    for size in _in_steps(casing + 2 * gap, step_mm):
        left = (size - casing) / 2
        found.append((_room(left, ends), -abs(left - gap), -size, left))
    _, _, size, gap = max(found)
    return _round_answer(-size, gap, window, tolerances)


def opening_of_size(
    nominal_mm: float, casing_mm: float, one: GapWindow, other: GapWindow, tolerances: SiteTolerances
) -> BestOpening:
    """What an opening of a nominal size [mm] leaves round a casing [mm], set out so that its least room is largest.

    As `best_opening`, for a size that somebody has in mind. Raises ValueError as that does, and for a nominal size not
    above zero.
    """
    _refuse(casing_mm, 0.0)
    _refuse(nominal_mm, 0.0)
    ends_one, ends_other, spread = _ends(one), _ends(other), _spread(tolerances)
    if any(window.least_mm is None and window.most_mm is None for window in (one, other)):
        return _nothing(spread)
    size, both = as_stated(nominal_mm), as_stated(nominal_mm) - as_stated(casing_mm)
    gap = _best_split(both, ends_one, ends_other)
    room = min(_room(gap, ends_one), _room(both - gap, ends_other))
    share = outside_share(float(gap), float(both - gap), one, other, tolerances)
    return _answer(size, gap, both - gap, spread, room - spread, share)


def round_opening_of_size(
    nominal_mm: float, diameter_mm: float, window: GapWindow, tolerances: SiteTolerances
) -> BestOpening:
    """What a round opening of a nominal diameter [mm] leaves round a round casing [mm], as `opening_of_size`."""
    _refuse(diameter_mm, 0.0)
    _refuse(nominal_mm, 0.0)
    if window.least_mm is None and window.most_mm is None:
        return _nothing(_spread_round(tolerances))
    size = as_stated(nominal_mm)
    return _round_answer(size, (size - as_stated(diameter_mm)) / 2, window, tolerances)


def _round_answer(size: Fraction, gap: Fraction, window: GapWindow, tolerances: SiteTolerances) -> BestOpening:
    spread = _spread_round(tolerances)
    least, most = _narrowed(window, math.sqrt(2) * tolerances.plumb_mm)
    inside = 0.0
    if least <= most:
        sigmas = tolerances.sigma_total_mm, tolerances.sigma_shift_mm
        inside = round_gap_probability(float(gap), (least, most), *sigmas)
    return _answer(size, gap, gap, spread, _room(gap, _ends(window)) - spread, max(0.0, 1.0 - inside))


def _spread_round(tolerances: SiteTolerances) -> Fraction:
    sizes = as_stated(tolerances.opening_mm) + as_stated(tolerances.damper_mm)
    places = tolerances.position_mm + tolerances.centring_mm + tolerances.plumb_mm
    return sizes / 2 + as_stated(math.sqrt(2) * places)


def _refuse(casing_mm: float, step_mm: float) -> None:
    if not 0 < casing_mm < math.inf:
        raise ValueError(f"a casing's size is above zero, not {casing_mm} mm")
    if not 0 <= step_mm < math.inf:
        raise ValueError(f"a step is zero or more, not {step_mm} mm")


def _nothing(spread: Fraction) -> BestOpening:
    words = f"No nominal size can be chosen: no tested gap is known on one side. {NOT_FOR_ACCEPTING}"
    return BestOpening(None, None, None, None, float(spread), None, None, Buildable.NOT_KNOWN, words)


def _answer(
    size: Fraction, gap: Fraction, rest: Fraction, spread: Fraction, margin: Fraction, share: float
) -> BestOpening:
    can = Buildable.SURE if margin >= 0 else Buildable.NOT_SURE
    if margin >= 0:
        room = f"in the worst case {mm_text(float(margin))} are left to the end of the tested gap"
    else:
        room = f"in the worst case a gap comes out {mm_text(float(-margin))} beyond the tested one"
    words = (
        f"Nominal {mm_text(float(size))}: {can}; {room}; {number_text(100 * share, 2)} % are expected outside. "
        f"{NOT_FOR_ACCEPTING}"
    )
    offset = (gap - rest) / 2
    return BestOpening(
        float(size), float(gap), float(rest), float(offset), float(spread), float(margin), share, can, words
    )
