# SPDX-License-Identifier: Apache-2.0
"""The finished clear opening and the framed opening to be formed, the gaps that they leave, and what is off.

The opening to be formed is the scheduled one where that keeps every side's tested window; else the best nominal
opening for this damper. A choice of size, never the acceptance of an opening that was made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from brattice.building.penetration import Size
from brattice.building.words import MountingPosition, OpeningShape, Orientation, Surface
from brattice.calc.tolerance import (
    NOT_FOR_ACCEPTING,
    BestOpening,
    Buildable,
    GapWindow,
    SiteTolerances,
    best_opening,
    best_round_opening,
    opening_step_mm,
    outside_share,
    site_tolerances,
    with_stated,
    worst_case_margin_mm,
)
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, used, window_words
from brattice.details.opening import AGREE_MM, clear_opening, lining_here, lining_tested, side_gaps
from brattice.details.table import SIDES
from brattice.evidence.checking import FRAMED_KINDS
from brattice.evidence.checks_construction import lining_holds
from brattice.evidence.installation import TestedInstallation, Window
from brattice.findings import Known, Missing, Party, Verdict
from brattice.quantities import Mm, mm_text, number_text, size_text

__all__ = ["OpeningPlan", "opening_plan", "place_figures", "stated_problems"]

Four = tuple[float, float, float, float]


@dataclass(frozen=True)
class OpeningPlan:
    """The openings to be formed; sizes are None where they can't be told. Gaps are left, right, top, bottom [mm].

    `beyond` is the casing beyond the nominal size where the test measured from the casing, else zeros. `problems` are
    shapes that can't be. `is_scheduled` says that it is the opening of the schedule.
    """

    figures: tuple[Figure, ...]
    finished: Size | None = None
    framed: Size | None = None
    lining_mm: float | None = None
    gaps: Four | None = None
    beyond: Four = (0.0, 0.0, 0.0, 0.0)
    problems: tuple[str, ...] = ()
    is_scheduled: bool = False

    @property
    def words(self) -> str:
        """Both openings as a step or an order says them: `"690 × 490 mm finished clear (715 × 515 framed)"`."""
        if self.finished is None:
            return ""
        text = f"{_size(self.finished)} mm finished clear"
        if self.framed is None:
            return text
        return f"{text}, unlined" if self.framed == self.finished else f"{text} ({_size(self.framed)} framed)"


def _size(size: Size) -> str:
    return size_text(size.width_mm, size.height_mm)


def _names(size: Size) -> tuple[str, ...]:
    return ("diameter",) if size.is_round else ("width", "height")


def _sides(size: Size) -> tuple[float, ...]:
    return (size.width_mm,) if size.height_mm is None else (size.width_mm, size.height_mm)


def _middle(window: Window) -> float:
    """The middle of a tested window; its least end where the test sets no most."""
    least = window.least or 0.0
    return least if window.most is None else (least + window.most) / 2


def _within(gap: float, window: Window) -> bool:
    return (window.least is None or gap >= window.least) and (window.most is None or gap <= window.most)


def _windows(tested: TestedInstallation) -> tuple[Window, Window, Window, Window]:
    gaps = tested.seal.gaps
    return gaps.left, gaps.right, gaps.top, gaps.bottom


def _one_window(windows: Sequence[Window]) -> Window:
    """What all of several windows allow together (a round hole has one gap all round)."""
    least = max((item.least for item in windows if item.least is not None), default=None)
    most = min((item.most for item in windows if item.most is not None), default=None)
    return Window(least, most)


@dataclass(frozen=True)
class _Base:
    """What stands in the opening: the nominal size in the opening's shape, casing beyond it, windows of the gaps."""

    width: float
    height: float | None
    beyond: Four
    windows: tuple[Window, Window, Window, Window]

    @property
    def solid(self) -> tuple[float, ...]:
        """What has to go through the opening, across and upwards; round: its diameter."""
        across = self.width + self.beyond[0] + self.beyond[1]
        return (across,) if self.height is None else (across, self.height + self.beyond[2] + self.beyond[3])

    def room(self, size: Size) -> tuple[float, ...]:
        """What an opening of a size leaves for both gaps, across and upwards."""
        return tuple(side - solid for side, solid in zip(_sides(size), self.solid, strict=True))

    def placed(self, room: Sequence[float]) -> Four:
        """The gaps when what is left is shared so that each side has the same distance to its window's middle."""
        out: list[float] = []
        pairs = (self.windows[:2], self.windows[2:])
        for both, windows in zip(room if len(room) == 2 else (room[0], room[0]), pairs, strict=True):
            first, second = (_middle(item) for item in windows)
            moved = (both - first - second) / 2
            out += [first + moved, second + moved]
        left, right, top, bottom = out
        return left, right, top, bottom

    def holds(self, gaps: Iterable[float]) -> bool:
        """Whether every gap lies in its window."""
        return all(_within(gap, window) for gap, window in zip(gaps, self.windows, strict=True))

    def best(self, tolerances: SiteTolerances, step_mm: float) -> tuple[Size, Four]:
        """The nominal opening with most room under site tolerances, in whole steps where those keep the windows."""
        size, gaps = self._nominal(tolerances, step_mm)
        for step in (1.0, 0.0):
            if self.holds(gaps):
                break
            size, gaps = self._nominal(tolerances, step)
        return size, gaps

    def _nominal(self, tolerances: SiteTolerances, step: float) -> tuple[Size, Four]:
        found = [
            _best(solid, one, other, tolerances, step, is_round=self.height is None)
            for solid, (one, other) in zip(self.solid, (self.windows[:2], self.windows[2:]), strict=False)
        ]
        sides = [Mm(item.nominal_mm or 0.0) for item in found]
        both = [gap for item in found for gap in (item.gap_one_mm or 0.0, item.gap_other_mm or 0.0)]
        left, right, top, bottom = both if len(both) == len(SIDES) else both * 2
        return Size(sides[0], sides[1] if len(sides) > 1 else None), (left, right, top, bottom)

    def sureness(self, gaps: Four, tolerances: SiteTolerances) -> tuple[float, float]:
        """The room [mm] left in the worst case, and the share (0 to 1) expected outside; round: at most this share."""
        if self.height is None:
            window = self.windows[0]
            room = min(gaps) - (window.least or 0.0)  # stated gaps may differ: the damper sits off the middle
            if window.most is not None:
                room = min(room, window.most - max(gaps))
            if room < 0:
                return room, 1.0
            even = Window(gaps[0] - room, gaps[0] + room)
            found = _best(self.solid[0], even, even, tolerances, 0.0, is_round=True)
            return found.margin_mm or 0.0, found.outside_share or 0.0
        margins, inside = [], 1.0
        for first in (0, 2):
            margin, share = _axis(
                gaps[first], gaps[first + 1], self.windows[first], self.windows[first + 1], tolerances
            )
            margins.append(margin)
            inside *= 1 - share  # width and height come out independently
        return min(margins), 1 - inside


def _gap_window(window: Window) -> GapWindow:
    return GapWindow(window.least, window.most)


@lru_cache(maxsize=4096)
def _best(
    solid: float, one: Window, other: Window, tolerances: SiteTolerances, step: float, *, is_round: bool
) -> BestOpening:
    if is_round:
        return best_round_opening(solid, _gap_window(one), tolerances, step_mm=step)
    return best_opening(solid, _gap_window(one), _gap_window(other), tolerances, step_mm=step)


@lru_cache(maxsize=4096)
def _axis(gap: float, opposite: float, one: Window, other: Window, tolerances: SiteTolerances) -> tuple[float, float]:
    windows = _gap_window(one), _gap_window(other)
    margins = [
        worst_case_margin_mm(value, window, tolerances) for value, window in zip((gap, opposite), windows, strict=True)
    ]
    return min(margins), outside_share(gap, opposite, *windows, tolerances)


def _base(given: Given, tested: TestedInstallation) -> _Base | Missing:
    """What stands in the opening, or which fact is missing to say so."""
    size, seal = given.size, tested.seal
    if size is None:
        return given.missing(given.penetration.damper.size)
    if seal.gap_from is Surface.DUCT:
        beyond: Four = (0.0, 0.0, 0.0, 0.0)
        if not _casing_fits(tested):
            return given.evidence_lacks(
                "seal.gaps", "How the casing fits in a gap, from the duct, that is less than it"
            )
    elif seal.gap_from is Surface.CASING and tested.casing_beyond_mm is not None:
        beyond = tested.casing_beyond_mm
    else:
        return given.evidence_lacks("casing_beyond_mm", f"How far the {seal.gap_from} stands beyond the duct")
    windows = _windows(tested)
    if any(window.least is None for window in windows):
        return given.evidence_lacks("seal.gaps", "The least gap that was tested on each side")
    width, height = size.value.width_mm, size.value.height_mm
    if tested.opening_shape is OpeningShape.RECTANGULAR:
        return _Base(width, width if height is None else height, beyond, windows)
    if height is not None:
        return given.evidence_lacks("seal.gaps", "Which gap a round hole leaves round a rectangular damper")
    one = _one_window(windows)
    if one.least is not None and one.most is not None and one.least > one.most:
        return given.evidence_lacks("seal.gaps", "One gap for a round hole that every side's window allows")
    return _Base(width, None, beyond, (one, one, one, one))


def _casing_fits(tested: TestedInstallation) -> bool:
    """Whether the widest tested gap from the duct has room for a casing that stands in the opening; so far as known."""
    beyond = tested.casing_beyond_mm
    if beyond is None or tested.position is not MountingPosition.IN_BARRIER:
        return True
    return all(window.most is None or window.most >= out for out, window in zip(beyond, _windows(tested), strict=True))


def _lining(given: Given, tested: TestedInstallation) -> float | None:
    """The lining to be built [mm]: the wall's own where it is at least the tested one, else the tested one."""
    here, there = lining_here(given.penetration), lining_tested(given.penetration, tested)
    if here is not None and (there is None or lining_holds(here, there)):
        return here
    return there


def _tolerances(given: Given, tested: TestedInstallation) -> SiteTolerances:
    """The job's own site tolerances, else those of common practice for the construction."""
    if given.tolerances is not None:
        return given.tolerances
    rigid = tested.construction.kind not in FRAMED_KINDS
    book = given.book
    common = book.once(("site-tolerances", rigid), lambda: site_tolerances(book, is_rigid=rigid))
    return with_stated(common, given.stated_tolerances)


def opening_plan(given: Given) -> OpeningPlan:
    """The openings to be formed for the chosen installation, with every figure that says so."""
    tested = given.tested
    if tested is None:
        return OpeningPlan(())
    lining = _lining(given, tested)
    base = _base(given, tested)
    shared = given.penetration.opening.shared_with
    if isinstance(base, _Base) and shared:
        base = Missing(
            f"penetration/{given.penetration.id}/shared-opening",
            f"The opening round all that shares it with {given.penetration.id}: {', '.join(shared)}",
            Party.DRY_LINER,
        )
    if isinstance(base, Missing):
        return _not_told(given, tested, lining, base)
    scheduled = clear_opening(given.penetration)
    if scheduled is not None and scheduled.value.is_round != (base.height is None):
        scheduled = None  # another shape than tested: judged already, no size of it helps
    tolerances = _tolerances(given, tested)
    gaps, stated = _scheduled_gaps(given, tested, base, scheduled)
    is_scheduled = gaps is not None and base.holds(gaps)
    if gaps is not None and is_scheduled:
        finished = scheduled.value if scheduled is not None else _around(base, gaps)
    else:
        finished, gaps = base.best(tolerances, opening_step_mm(given.book))
    framed = None if lining is None else _grown(finished, lining)
    return OpeningPlan(
        (
            *_size_figures(given, tested, base, finished, framed, lining, scheduled if is_scheduled else None),
            *_gap_figures(given, tested, base, gaps, is_stated=is_scheduled and stated),
            *_room_figures(given, base, gaps, tolerances, is_chosen=not is_scheduled),
            _off_figure(given, tested, base, scheduled, finished, lining, is_scheduled=is_scheduled),
        ),
        finished,
        framed,
        lining,
        gaps,
        base.beyond,
        (*_too_small(given, base, scheduled), *_stated_problems(given, lining)),
        is_scheduled,
    )


def _around(base: _Base, gaps: Four) -> Size:
    across = base.solid[0] + gaps[0] + gaps[1]
    return Size(Mm(across)) if base.height is None else Size(Mm(across), Mm(base.solid[1] + gaps[2] + gaps[3]))


def _grown(size: Size, lining: float) -> Size:
    height = None if size.height_mm is None else Mm(size.height_mm + 2 * lining)
    return Size(Mm(size.width_mm + 2 * lining), height)


def _scheduled_gaps(
    given: Given, tested: TestedInstallation, base: _Base, scheduled: Known[Size] | None
) -> tuple[Four | None, bool]:
    """The gaps of the scheduled opening from the tested surface, and whether they are stated (else: shared out)."""
    sides = side_gaps(given.penetration, tested)
    values = tuple(side.gap_mm for side in sides)
    if all(value is not None for value in values):
        left, right, top, bottom = (float(value or 0.0) for value in values)
        gaps: Four = (left, right, top, bottom)
        if scheduled is None:
            return gaps, True
        rooms = base.room(scheduled.value)
        sums = ((left + right, rooms[0]), (top + bottom, rooms[-1]))  # round: the one room both ways
        agree = all(abs(both - room) <= AGREE_MM for both, room in sums)
        return (gaps, True) if agree else (None, True)
    if scheduled is None:
        return None, False
    return base.placed(base.room(scheduled.value)), False


def _not_told(given: Given, tested: TestedInstallation, lining: float | None, missing: Missing) -> OpeningPlan:
    size = given.size
    is_round = tested.opening_shape is OpeningShape.ROUND and (size is None or size.value.is_round)
    names = ("diameter",) if is_round else ("width", "height")
    figures = [given.lacking(f"{what}-{name}", (missing,)) for what in ("finished", "framed") for name in names]
    for side, window in zip(SIDES, _windows(tested), strict=True):
        figures.append(given.lacking(f"gap-{side}", (missing,), limit=window_words(window)))
    return OpeningPlan(
        (*_lining_figure(given, tested, lining), *figures, given.figure("gap-from", text=str(tested.seal.gap_from))),
        lining_mm=lining,
    )


def _lining_figure(given: Given, tested: TestedInstallation, lining: float | None) -> tuple[Figure, ...]:
    wall = given.penetration.barrier.wall_type
    here = () if wall is None else used("lining of the wall type", wall.lining_mm, "mm")
    there = tested.construction.lining_mm
    uses = (*here, *(() if there is None else (given.of_test("lining", there, "mm"),)))
    if lining is None:
        fact = None if wall is None else wall.lining_mm
        code = given.penetration.barrier.wall_type_code
        name = code.value if isinstance(code, Known) else f"of {given.penetration.id}"
        missing = (
            given.missing(fact)
            if fact is not None
            else Missing(f"wall-type/{name}/lining", f"The lining of openings in wall type {name}", Party.DRY_LINER)
        )
        return (given.lacking("lining", (missing,), uses=uses),)
    limit = "" if there is None else (f"at least {mm_text(there)}" if there else "unlined")
    text = "unlined" if lining == 0 else ""
    return (given.figure("lining", lining, text=text, limit=limit, uses=uses),)


def _size_figures(
    given: Given,
    tested: TestedInstallation,
    base: _Base,
    finished: Size,
    framed: Size | None,
    lining: float | None,
    scheduled: Known[Size] | None,
) -> Iterable[Figure]:
    lined = _lining_figure(given, tested, lining)
    yield from lined
    size = given.size
    uses = () if size is None else used("nominal size", size, "mm")
    windows = [window_words(window) for window in base.windows]
    all_round = len(set(windows)) == 1
    gap_words = windows[0] if all_round else ", ".join(f"{a} {b}" for a, b in zip(SIDES, windows, strict=True))
    uses += (given.of_test(f"gap from the {tested.seal.gap_from}", gap_words),)
    if any(base.beyond):
        uses += (given.of_test("casing beyond the duct", " / ".join(number_text(part) for part in base.beyond), "mm"),)
    note = "The best nominal opening within the tested gaps; none is scheduled that keeps them."
    if scheduled is not None:
        uses += used("scheduled opening", scheduled, "mm")
        note = "As scheduled; it keeps the tested gap on every side."
    for name, side in zip(_names(finished), _sides(finished), strict=True):
        yield given.figure(f"finished-{name}", side, uses=uses, note=note)
    for number, name in enumerate(_names(finished)):
        if framed is None:
            yield given.lacking(f"framed-{name}", lined[0].missing, uses=uses)
        else:
            yield given.figure(f"framed-{name}", _sides(framed)[number], uses=(*uses, *lined[0].uses))


def _gap_figures(
    given: Given, tested: TestedInstallation, base: _Base, gaps: Four, *, is_stated: bool
) -> Iterable[Figure]:
    fact = given.penetration.opening.gaps
    uses = used("gaps as stated", fact) if is_stated and isinstance(fact, Known) else ()
    note = "" if is_stated else "As the damper is to be set in the opening."
    for side, gap, window in zip(SIDES, gaps, base.windows, strict=True):
        verdict = Verdict.PASS if _within(gap, window) else Verdict.FAIL
        tested_gap = given.of_test(f"gap {side}", window_words(window))
        limit = window_words(window)
        yield given.figure(f"gap-{side}", gap, limit=limit, verdict=verdict, uses=(*uses, tested_gap), note=note)
    word = str(tested.seal.gap_from)
    yield given.figure("gap-from", text=word, uses=(given.of_test("gap measured from", word),))


def _roomier_words(given: Given, base: _Base, margin: float, tolerances: SiteTolerances) -> str:
    """The nominal opening with more room than the scheduled one, while it can still be chosen; "" where there is none.

    One that exists on site is measured, and no longer chosen.
    """
    formed = given.penetration.opening.formed
    if margin >= 0 or (isinstance(formed, Known) and formed.value):
        return ""
    size, gaps = base.best(tolerances, opening_step_mm(given.book))
    room, _ = base.sureness(gaps, tolerances)
    if not room > margin:
        return ""
    return f" {size_text(size.width_mm, size.height_mm)} mm finished clear has more room: {mm_text(room)} a side."


def _room_figures(
    given: Given, base: _Base, gaps: Four, tolerances: SiteTolerances, *, is_chosen: bool
) -> Iterable[Figure]:
    """The room left in the worst case and the share expected outside: for choosing a size, never for accepting one."""
    margin, share = base.sureness(gaps, tolerances)
    roomier = "" if is_chosen else _roomier_words(given, base, margin, tolerances)
    uses = tuple(
        Used(name, f"± {mm_text(value)}")
        for name, value in (
            ("size of the opening", tolerances.opening_mm),
            ("size of the damper", tolerances.damper_mm),
            ("place of the opening", tolerances.position_mm),
            ("place of the damper", tolerances.centring_mm),
            ("wall out of plumb", tolerances.plumb_mm),
        )
    )
    can = Buildable.SURE if margin >= 0 else Buildable.NOT_SURE
    note = f"{str(can).capitalize()}.{roomier} {NOT_FOR_ACCEPTING}"
    yield given.figure("opening-tolerance", margin, rows=tolerances.rows, uses=uses, note=note)
    note = f"At most this share. {NOT_FOR_ACCEPTING}" if base.height is None else NOT_FOR_ACCEPTING
    percent = 100 * share
    text = "below 0.01 %" if 0 < percent < 0.01 else ""
    yield given.figure("opening-outside-share", percent, text=text, rows=tolerances.rows, uses=uses, note=note)


def _off_words(base: _Base, room: Sequence[float]) -> list[str]:
    """By how much an opening is too narrow, wide, low or high for the tested gaps; round: too small or large."""
    words = [("narrow", "wide"), ("low", "high")] if len(room) == 2 else [("small", "large")]
    found = []
    for both, windows, (under, over) in zip(room, (base.windows[:2], base.windows[2:]), words, strict=False):
        least = sum(window.least or 0.0 for window in windows)
        mosts = [window.most for window in windows]
        most = None if any(item is None for item in mosts) else sum(item or 0.0 for item in mosts)
        if both < least:
            found.append(f"{mm_text(least - both)} too {under}")
        elif most is not None and both > most:
            found.append(f"{mm_text(both - most)} too {over}")
    return found


def _off_figure(
    given: Given,
    tested: TestedInstallation,
    base: _Base,
    scheduled: Known[Size] | None,
    finished: Size,
    lining: float | None,
    *,
    is_scheduled: bool,
) -> Figure:
    """How far the opening that is scheduled or made is off, and what cures it: never more sealant (field case 11)."""
    opening = given.penetration.opening
    made = isinstance(opening.formed, Known) and opening.formed.value
    kind = "made" if made else "scheduled"
    uses = () if scheduled is None else used(f"opening as {kind}", scheduled, "mm")
    if scheduled is None:
        return given.figure("existing-off", text="No opening of this shape is stated; form it as given here.")
    now = f"As {kind}, {_size(scheduled.value)} mm finished clear"
    if is_scheduled:
        text = f"{now}: keeps the tested gap on every side."
        return given.figure("existing-off", text=text, verdict=Verdict.PASS, uses=uses)
    room = base.room(scheduled.value)
    off = _off_words(base, room)
    if not off:
        text = f"{now}: the size would do, {_place_words(given, tested, base, room)}"
        return given.figure("existing-off", text=text, verdict=Verdict.FAIL, uses=uses)
    again = f"form it again as {_size(finished)} mm" if made else f"form it as {_size(finished)} mm instead"
    cures = [again]
    spare = [(both - after) / 2 for both, after in zip(room, base.room(finished), strict=True)]
    if made and lining and min(spare) >= 0 and max(spare) > 0:
        thicker = " and ".join(dict.fromkeys(mm_text(lining + more) for more in spare))
        cures.append(f"line the reveals {thicker} thick where the instructions show such a lining")
    cures.append("choose another tested installation")
    text = f"{now}: {' and '.join(off)}. {'; or '.join(cures).capitalize()}; more sealant is no cure."
    return given.figure("existing-off", text=text, verdict=Verdict.FAIL, uses=(*uses, _tested_use(given, tested)))


def _place_words(given: Given, tested: TestedInstallation, base: _Base, room: Sequence[float]) -> str:
    """How far an opening of a size that would do lies off, and the smallest shift of the damper that cures it."""
    gaps = [side.gap_mm for side in side_gaps(given.penetration, tested)]
    shifts: list[str] = []
    # the damper moves away from the first side of each pair: to the right, and down
    for first, left_in, (back, forth) in ((0, room[0], ("to the left", "to the right")), (2, room[-1], ("up", "down"))):
        one, other = gaps[first], gaps[first + 1]
        if one is None or other is None:
            return "the gaps stated would not. Set the damper so that it leaves the gaps given here."
        if abs(one + other - left_in) > AGREE_MM:
            return (
                f"the gaps stated do not fit it: {' and '.join(SIDES[first : first + 2])} are {mm_text(one + other)} "
                f"together, where it leaves {mm_text(left_in)}. Measure both again before anything is set or formed."
            )
        shift = _shift_between(one, other, base.windows[first], base.windows[first + 1])
        if shift is None:
            return "the gaps stated would not. Set the damper so that it leaves the gaps given here."
        if shift:
            shifts.append(f"{mm_text(abs(shift))} {forth if shift > 0 else back}")
    moved = " and ".join(shifts)
    return f"its place would not. Set damper and duct at least {moved}, or form the opening as much the other way."


def _shift_between(one: float, other: float, first: Window, second: Window) -> float | None:
    """The smallest shift that widens one gap and narrows the other until both keep their windows; None for none."""
    least = (first.least or 0.0) - one
    most = other - (second.least or 0.0)
    if first.most is not None:
        most = min(most, first.most - one)
    if second.most is not None:
        least = max(least, other - second.most)
    if least > most:
        return None
    return min(max(0.0, least), most)


def _tested_use(given: Given, tested: TestedInstallation) -> Used:
    return given.of_test("installation", tested.id)


def _too_small(given: Given, base: _Base, scheduled: Known[Size] | None) -> Iterable[str]:
    """Openings smaller than what goes through; the check of the schedule and the gaps' judgment find them as well."""
    size = given.size
    if scheduled is not None and size is not None:
        nominal = (base.width,) if base.height is None else (base.width, base.height)
        if any(side < part for side, part in zip(_sides(scheduled.value), nominal, strict=True)):
            yield (
                f"The finished clear opening of {_size(scheduled.value)} mm ({scheduled.origin}) is smaller than the "
                f"damper of {_size(size.value)} mm."
            )
        elif any(room < 0 for room in base.room(scheduled.value)):
            yield (
                f"The finished clear opening of {_size(scheduled.value)} mm ({scheduled.origin}) is smaller than the "
                f"casing, {' × '.join(number_text(part) for part in base.solid)} mm."
            )
        elif (casing := _casing_in_opening(given, base)) is not None and any(
            side < part for side, part in zip(_sides(scheduled.value), casing, strict=False)
        ):
            yield (
                f"The finished clear opening of {_size(scheduled.value)} mm ({scheduled.origin}) is smaller than the "
                f"casing, {' × '.join(number_text(part) for part in casing)} mm."
            )


def _casing_in_opening(given: Given, base: _Base) -> tuple[float, ...] | None:
    """Width and height of a casing in the opening whose gap was tested from the duct [mm]; None where not stated."""
    tested = given.tested
    if tested is None or tested.casing_beyond_mm is None or tested.position is not MountingPosition.IN_BARRIER:
        return None
    left, right, top, bottom = tested.casing_beyond_mm
    width = base.width + left + right
    return (width,) if base.height is None else (width, base.height + top + bottom)


def stated_problems(given: Given) -> tuple[str, ...]:
    """Shapes as stated that can't be: gaps below nothing, a lining that fills its own opening."""
    tested = given.tested
    lining = None if tested is None else _lining(given, tested)
    return tuple(_stated_problems(given, lining))


def _stated_problems(given: Given, lining: float | None) -> Iterable[str]:
    opening = given.penetration.opening
    modelled = isinstance(opening.gaps, Known) and opening.guid and opening.guid in opening.gaps.origin.place
    if isinstance(opening.gaps, Known) and not modelled:  # a hole that a model cuts too small is formed anew
        gaps = opening.gaps.value
        values = (gaps.left_mm, gaps.right_mm, gaps.top_mm, gaps.bottom_mm)
        for where, gap in zip(SIDES, values, strict=True):
            if gap < 0:
                yield f"The gap {where} is stated as {mm_text(gap)} ({opening.gaps.origin}); a gap is zero or more."
    if isinstance(opening.framed, Known) and lining:
        for name, side in zip(_names(opening.framed.value), _sides(opening.framed.value), strict=True):
            if 2 * lining >= side:
                yield (
                    f"Two linings of {mm_text(lining)} fill the framed opening's {name} of {mm_text(side)} "
                    f"({opening.framed.origin})."
                )


def place_figures(given: Given, plan: OpeningPlan) -> tuple[Figure, ...]:
    """Where the opening is, and who forms it when: grid, heights of a wall's opening, lintel, party, date."""
    detail, barrier = given.penetration.detail, given.penetration.barrier
    figures: list[Figure] = []
    in_wall = isinstance(barrier.orientation, Known) and barrier.orientation.value is Orientation.WALL
    if in_wall:
        figures += _heights(given, plan)
    words = given.penetration.location.words.strip()
    if detail.grid is None and words:
        figures.append(given.figure("grid", text=words, note="The place in the schedule's words."))
    else:
        figures.append(given.stated("grid", detail.grid, "grid"))
    framing = None if barrier.wall_type is None else barrier.wall_type.opening_framing
    if detail.lintel is None and isinstance(framing, Known):
        figures.append(given.figure("lintel", text=framing.value, uses=used("framing of openings", framing)))
    else:
        figures.append(given.stated("lintel", detail.lintel, "lintel"))
    figures.append(given.stated("opening-by", detail.opening_by, "opening_by"))
    figures.append(given.stated("opening-when", detail.when, "when"))
    return tuple(figures)


def _heights(given: Given, plan: OpeningPlan) -> Iterable[Figure]:
    fact = given.penetration.detail.centre_above_floor_mm
    centre = given.stated("centre-height", fact, "centre_above_floor_mm")
    yield centre
    size = given.size
    if plan.gaps is None or plan.finished is None or size is None:
        yield from (given.lacking(f"{end}-height", centre.missing, uses=centre.uses) for end in ("sill", "head"))
        return
    if not isinstance(fact, Known):
        yield from (given.lacking(f"{end}-height", centre.missing) for end in ("sill", "head"))
        return
    half = (size.value.width_mm if size.value.height_mm is None else size.value.height_mm) / 2
    uses = (*centre.uses, *used("nominal size", size, "mm"))
    yield given.figure("sill-height", fact.value - half - plan.beyond[3] - plan.gaps[3], uses=uses)
    yield given.figure("head-height", fact.value + half + plan.beyond[2] + plan.gaps[2], uses=uses)
