# SPDX-License-Identifier: Apache-2.0
"""Choose a nominal opening under site tolerances: what is asked in numbers, and the answer in texts for people.

For choosing a size, never for accepting a made opening: that is measured and held against the tested gap itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from brattice.building.words import Surface
from brattice.calc.tolerance import (
    NOT_FOR_ACCEPTING,
    BestOpening,
    Buildable,
    GapWindow,
    SiteTolerances,
    StatedTolerances,
    best_opening,
    best_round_opening,
    opening_of_size,
    opening_step_mm,
    round_opening_of_size,
    site_tolerances,
    with_stated,
)
from brattice.details.detail import InstallationDetail
from brattice.errors import Fault, InputError
from brattice.evidence.checking import FRAMED_KINDS
from brattice.quantities import mm_text, number_text, size_text
from brattice.rows import RowBook

__all__ = [
    "OPENING_FIELDS",
    "AxisChoice",
    "OpeningChoice",
    "OpeningDraft",
    "OpeningField",
    "SizePoint",
    "choose_opening",
    "draft_of",
]

_SIDES = ("left", "right", "top", "bottom")
_FORM = "the form"
_MOST_POINTS = 24
_FINE = (1.0, 0.0)


@dataclass(frozen=True)
class OpeningField:
    """One number that is asked: its name, what it is, its group, the most it may be, whether it may be left empty.

    `above` says that it has to be above zero; else zero will do. All are lengths [mm] but `sigmas`.
    """

    name: str
    words: str
    group: str
    most: float
    optional: bool = False
    above: bool = False


OPENING_FIELDS: tuple[OpeningField, ...] = (
    OpeningField("width", "Damper, width or diameter", "Damper", 10_000, above=True),
    OpeningField("height", "Damper, height (empty: round)", "Damper", 10_000, optional=True, above=True),
    *(OpeningField(f"beyond-{side}", f"Casing beyond, {side}", "Damper", 1_000) for side in _SIDES),
    *(
        OpeningField(f"{end}-{side}", f"Gap {side}, {end}", "Tested gap", 1_000, optional=True)
        for side in _SIDES
        for end in ("least", "most")
    ),
    OpeningField("opening", "Size of the opening, ±", "Site tolerances", 500),
    OpeningField("damper", "Size of the damper, ±", "Site tolerances", 500),
    OpeningField("position", "Place of the opening, ±", "Site tolerances", 500),
    OpeningField("centring", "Damper in its place, ±", "Site tolerances", 500),
    OpeningField("plumb", "Wall out of plumb, face to face", "Site tolerances", 500),
    OpeningField("sigmas", "Standard deviations in a tolerance", "Site tolerances", 10, above=True),
    OpeningField("step", "Sizes in steps of (0: any)", "Site tolerances", 100),
)
"""All that is asked, in the order of the form."""


@dataclass(frozen=True)
class OpeningDraft:
    """Numbers to begin with by the names of `OPENING_FIELDS` (None: not known), for a penetration or in general ("").

    `rows` are those that the tolerances come from. `lacks` says what could not be filled in, and why.
    """

    of: str
    values: Mapping[str, float | None]
    rows: tuple[str, ...]
    lacks: tuple[str, ...] = ()


def draft_of(detail: InstallationDetail | None, book: RowBook, stated: StatedTolerances) -> OpeningDraft:
    """Numbers to begin with: tolerances as the job states them, else of common practice; with a detail also its damper
    and its tested gaps.

    Without a tested installation the tolerances are those of masonry and concrete, the wider ones.
    """
    tested = None if detail is None else detail.tested
    is_rigid = tested is None or tested.construction.kind not in FRAMED_KINDS
    tolerances = with_stated(site_tolerances(book, is_rigid=is_rigid), stated)
    values: dict[str, float | None] = {field.name: None for field in OPENING_FIELDS}
    values |= {f"beyond-{side}": 0.0 for side in _SIDES}
    values |= {
        "opening": tolerances.opening_mm,
        "damper": tolerances.damper_mm,
        "position": tolerances.position_mm,
        "centring": tolerances.centring_mm,
        "plumb": tolerances.plumb_mm,
        "sigmas": tolerances.sigmas,
        "step": opening_step_mm(book),
    }
    rows = (*tolerances.rows, "tolerance.step")
    if detail is None:
        return OpeningDraft("", values, rows)
    lacks = []
    diameter = detail.value("damper-diameter")
    values["width"] = detail.value("damper-width") if diameter is None else diameter
    values["height"] = detail.value("damper-height")
    if values["width"] is None or (diameter is None and values["height"] is None):
        lacks.append("The size of the damper is to be settled.")
    if tested is None:
        lacks.append("No tested installation is chosen here: no gap was tested.")
        return OpeningDraft(detail.id, values, rows, tuple(lacks))
    gaps = tested.seal.gaps
    for side, window in zip(_SIDES, (gaps.left, gaps.right, gaps.top, gaps.bottom), strict=True):
        values[f"least-{side}"], values[f"most-{side}"] = window.least, window.most
    if tested.seal.gap_from is Surface.CASING and tested.casing_beyond_mm is not None:
        values |= {f"beyond-{side}": float(mm) for side, mm in zip(_SIDES, tested.casing_beyond_mm, strict=True)}
    elif tested.seal.gap_from is not Surface.DUCT:
        values |= dict.fromkeys((f"beyond-{side}" for side in _SIDES), None)
        lacks.append(f"The gap was tested from the {tested.seal.gap_from}; how far it stands beyond is not stated.")
    return OpeningDraft(detail.id, values, rows, tuple(lacks))


@dataclass(frozen=True)
class SizePoint:
    """A nominal size [mm] and the room left in the worst case [mm], with their texts and the share outside."""

    nominal_mm: float
    margin_mm: float
    nominal_text: str
    margin_text: str
    share_text: str


@dataclass(frozen=True)
class AxisChoice:
    """The best nominal size in one direction ("width", "height", "diameter"), and the sizes around it, ascending."""

    name: str
    best: BestOpening
    points: tuple[SizePoint, ...]
    nominal_text: str
    gaps_text: str
    margin_text: str
    share_text: str


@dataclass(frozen=True)
class OpeningChoice:
    """The answer: the nominal finished clear opening with most room, and how sure it is.

    `share_text` is the share of such openings expected outside a tested gap on any side; `caution` stands wherever it
    is shown. Texts are "" where nothing is known.
    """

    axes: tuple[AxisChoice, ...]
    buildable: Buildable
    size_text: str
    margin_text: str
    share_text: str
    step_text: str
    caution: str = NOT_FOR_ACCEPTING


def _share_text(share: float) -> str:
    """A share in percent; one that is small says that it is below what is printed."""
    percent = 100 * share
    return "below 0.01 %" if 0 < percent < 0.005 else f"{number_text(percent, 2)} %"


def _margin_text(margin: float) -> str:
    return f"{mm_text(margin)} left" if margin >= 0 else f"{mm_text(-margin)} too much"


def _checked(values: Mapping[str, float | None]) -> None:
    """Raise with every number that can't be."""
    faults = []
    for field in OPENING_FIELDS:
        value = values.get(field.name)
        wanted = f"{'above 0' if field.above else '0'} to {number_text(field.most)}"
        if value is None:
            if not field.optional:
                faults.append(Fault(_FORM, field.words, "nothing", wanted))
        elif not (0 <= value <= field.most) or (field.above and value == 0):
            faults.append(Fault(_FORM, field.words, number_text(value) if math.isfinite(value) else str(value), wanted))
    for side in _SIDES:
        least, most = values.get(f"least-{side}"), values.get(f"most-{side}")
        if least is not None and most is not None and most < least:
            found = f"from {number_text(least)} to {number_text(most)} mm"
            faults.append(Fault(_FORM, f"Gap {side}", found, "a most gap that is not below the least"))
    if faults:
        raise InputError(faults)


def _windows(values: Mapping[str, float | None]) -> tuple[GapWindow, ...]:
    return tuple(GapWindow(values.get(f"least-{side}"), values.get(f"most-{side}")) for side in _SIDES)


def _all_round(windows: tuple[GapWindow, ...]) -> GapWindow:
    """What all windows allow together: a round hole has one gap all round."""
    if any(window.least_mm is None and window.most_mm is None for window in windows):
        return GapWindow(None, None)
    least = max((item.least_mm for item in windows if item.least_mm is not None), default=None)
    most = min((item.most_mm for item in windows if item.most_mm is not None), default=None)
    if least is not None and most is not None and most < least:
        found = f"at least {mm_text(least)} on one side, at most {mm_text(most)} on another"
        raise InputError(Fault(_FORM, "Tested gap", found, "one gap that every side of a round hole allows"))
    return GapWindow(least, most)


def _keeps(best: BestOpening, one: GapWindow, other: GapWindow) -> bool:
    for gap, window in ((best.gap_one_mm, one), (best.gap_other_mm, other)):
        if gap is None:
            continue
        if (window.least_mm is not None and gap < window.least_mm) or (
            window.most_mm is not None and gap > window.most_mm
        ):
            return False
    return True


def _axis(
    name: str,
    best: BestOpening,
    step: float,
    of_size: Callable[[float], BestOpening],
    sides: Sequence[str],
) -> AxisChoice:
    """An axis with the sizes around its best one, as far as the room lasts and a little beyond."""
    if best.nominal_mm is None or best.margin_mm is None or best.outside_share is None:
        return AxisChoice(name, best, (), "", "", "", "")
    each = step or 1.0
    span = max(3 * abs(best.margin_mm), best.spread_mm, 4 * each)
    each *= max(1, math.ceil(span / each / _MOST_POINTS))
    count = math.ceil(span / each)
    sizes = [best.nominal_mm + number * each for number in range(-count, count + 1)]
    points = [_point(of_size(size)) for size in sizes if size > 0]
    one, other = best.gap_one_mm or 0.0, best.gap_other_mm or 0.0
    gaps = (
        f"{mm_text(one)} all round"
        if one == other and name == "diameter"
        else (f"{mm_text(one)} {sides[0]}, {mm_text(other)} {sides[1]}")
    )
    return AxisChoice(
        name,
        best,
        tuple(points),
        mm_text(best.nominal_mm),
        gaps,
        _margin_text(best.margin_mm),
        _share_text(best.outside_share),
    )


def _stepped(
    make: Callable[[float], BestOpening], steps: Sequence[float], one: GapWindow, other: GapWindow
) -> tuple[BestOpening, float]:
    """The best size in the first steps that keep the gaps by themselves, else in the last."""
    found = (make(steps[0]), steps[0])
    for step in steps[1:]:
        if _keeps(found[0], one, other):
            break
        found = (make(step), step)
    return found


def _straight(
    name: str,
    casing: float,
    one: GapWindow,
    other: GapWindow,
    tolerances: SiteTolerances,
    steps: Sequence[float],
    sides: tuple[str, ...],
) -> tuple[AxisChoice, float]:
    """The best size between two opposite sides, and the steps that it came in."""
    best, step = _stepped(lambda step: best_opening(casing, one, other, tolerances, step_mm=step), steps, one, other)
    axis = _axis(name, best, step, lambda size: opening_of_size(size, casing, one, other, tolerances), sides)
    return axis, step


def _point(found: BestOpening) -> SizePoint:
    nominal, margin, share = found.nominal_mm or 0.0, found.margin_mm or 0.0, found.outside_share or 0.0
    return SizePoint(nominal, margin, mm_text(nominal), _margin_text(margin), _share_text(share))


def choose_opening(values: Mapping[str, float | None]) -> OpeningChoice:
    """The nominal finished clear opening with most room for numbers by the names of `OPENING_FIELDS`.

    Sizes come in the steps asked for; where those would leave the tested gap even without any tolerance, in whole
    millimetres, else as they are. Raises `InputError` with every number that can't be.
    """
    _checked(values)

    def of(name: str) -> float:
        return float(values.get(name) or 0.0)

    tolerances = SiteTolerances(
        of("opening"), of("damper"), of("position"), of("centring"), of("plumb"), of("sigmas") or 1.0
    )
    windows = _windows(values)
    steps = tuple(dict.fromkeys((of("step"), *(step for step in _FINE if step < of("step")))))
    beyond = [of(f"beyond-{side}") for side in _SIDES]
    height = values.get("height")
    across = of("width") + beyond[0] + beyond[1]
    axes: list[AxisChoice] = []
    used: list[float] = []
    if height is None:
        one = _all_round(windows)
        best, step = _stepped(lambda step: best_round_opening(across, one, tolerances, step_mm=step), steps, one, one)
        used.append(step)
        axes.append(
            _axis("diameter", best, step, lambda size: round_opening_of_size(size, across, one, tolerances), _SIDES[:2])
        )
    else:
        upwards = height + beyond[2] + beyond[3]
        found = (("width", across, windows[:2], _SIDES[:2]), ("height", upwards, windows[2:], _SIDES[2:]))
        for name, casing, (first, second), sides in found:
            axis, step = _straight(name, casing, first, second, tolerances, steps, sides)
            used.append(step)
            axes.append(axis)
    return _together(tuple(axes), of("step"), used)


def _together(axes: tuple[AxisChoice, ...], asked: float, used: list[float]) -> OpeningChoice:
    found = [axis.best for axis in axes]
    if any(best.buildable is Buildable.NOT_KNOWN for best in found):
        return OpeningChoice(axes, Buildable.NOT_KNOWN, "", "", "", "")
    can = Buildable.SURE if all(best.buildable is Buildable.SURE for best in found) else Buildable.NOT_SURE
    sizes = [best.nominal_mm or 0.0 for best in found]
    inside = math.prod(1.0 - (best.outside_share or 0.0) for best in found)  # the directions come out independently
    step = ""
    if any(one < asked for one in used):
        step = f"Steps of {mm_text(asked)} would leave the tested gap by themselves; a finer size is given."
    return OpeningChoice(
        axes,
        can,
        f"{size_text(sizes[0], sizes[1] if len(sizes) > 1 else None)} mm",
        _margin_text(min(best.margin_mm or 0.0 for best in found)),
        _share_text(1.0 - inside),
        step,
    )
