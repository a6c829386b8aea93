# SPDX-License-Identifier: Apache-2.0
"""Checks of the hole and its seal: shape, products, layers, faces, depth, and the gap of each side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.building.penetration import Penetration, Size
from brattice.building.words import OpeningShape, Surface, plain
from brattice.evidence.checking import (
    Basis,
    Checked,
    Missed,
    cured,
    evidence_missing,
    failed,
    passed,
    unknown,
    window_text,
)
from brattice.evidence.codes import GAP, OPENING_SHAPE, SEAL_DEPTH, SEAL_FACES, SEAL_LAYERS, SEAL_PRODUCTS
from brattice.evidence.gap_cure import AxisGaps, axes_of, faults_text, moves_text, over_text, size_off_mm
from brattice.evidence.installation import TestedInstallation, Window
from brattice.findings import Known, Missing, Party, Unknown
from brattice.quantities import mm_text, number_text, size_text
from brattice.requirements.requirement import Requirement

__all__ = [
    "ABOVE_NOTHING",
    "GENERIC_SEALS",
    "SIDES",
    "Shift",
    "axis_totals",
    "check_gap",
    "check_opening_shape",
    "check_seal_depth",
    "check_seal_faces",
    "check_seal_layers",
    "check_seal_products",
    "gap_shift",
    "side_limits",
]

SIDES = ("left", "right", "top", "bottom")

ABOVE_NOTHING = math.ulp(0.0)
"""The least gap [mm] where a document sets none: there has to be one."""

GENERIC_SEALS = frozenset(
    {
        "ablative batt",
        "batt",
        "board",
        "cement",
        "cement mortar",
        "coated batt",
        "concrete",
        "fire batt",
        "fire mastic",
        "fire sealant",
        "fire stopping",
        "firestop",
        "firestopping",
        "foam",
        "gypsum",
        "gypsum compound",
        "gypsum plaster",
        "intumescent",
        "intumescent mastic",
        "intumescent sealant",
        "mastic",
        "mineral wool",
        "mineral wool batt",
        "mortar",
        "none",
        "plaster",
        "plasterboard",
        "rock wool",
        "sand and cement",
        "seal",
        "sealant",
        "stone wool",
        "stone wool batt",
        "tbc",
        "wool",
    }
)
"""Words that tell a kind of seal and no product (trade handbook 5.20 names the kinds; field case 28)."""

_ROUNDED_MM = 2.0
"""How far two gaps and a size, each written in whole millimetres, may stand apart by rounding alone [mm]."""

_GAP_ROWS = ("scope.gap",)
_SEAL_ROWS = ("scope.fixing",)
_FORM_AGAIN = "The opening is formed already: form it again, or use another tested installation; never more sealant."


def _formed(penetration: Penetration) -> bool:
    formed = penetration.opening.formed
    return isinstance(formed, Known) and formed.value


def check_opening_shape(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """A round damper in a square hole, or the reverse, only as tested (field case 14)."""
    del requirement, basis
    fact, need = penetration.opening.shape, installation.opening_shape.value
    if isinstance(fact, Unknown):
        return unknown(OPENING_SHAPE, "The shape of the hole is not known.", (fact,), "", need, _SEAL_ROWS)
    have = fact.value.value
    if fact.value is installation.opening_shape:
        return passed(OPENING_SHAPE, "The hole has the shape of the test.", have, need, _SEAL_ROWS, (fact,))
    text = f"The hole is {have}; a {need} one was tested."
    if _formed(penetration):
        return failed(
            OPENING_SHAPE, f"{text} {_FORM_AGAIN}", have, need, _SEAL_ROWS, (fact, penetration.opening.formed)
        )
    return cured(OPENING_SHAPE, text, f"Form a {need} opening.", have, need, _SEAL_ROWS, (fact,))


def _is_name(product: str) -> bool:
    words = plain(product)
    return bool(words) and words not in GENERIC_SEALS


def _unnamed(penetration: Penetration) -> Missing:
    return Missing(
        f"penetration/{penetration.id}/seal_products",
        f"The names of the seal products at {penetration.id}",
        Party.FIRESTOPPER,
    )


def check_seal_products(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """All named products of the test and no other; an unnamed one tells nothing (field cases 11, 28)."""
    del requirement, basis
    fact, tested = penetration.installation.seal_products, installation.seal.products
    need = "; ".join(tested)
    if isinstance(fact, Unknown):
        return unknown(SEAL_PRODUCTS, "The products of the seal are not known.", (fact,), "", need, _SEAL_ROWS)
    have = "; ".join(item for item in fact.value if item.strip())
    wanted = {plain(item) for item in tested if _is_name(item)}
    here = {plain(item) for item in fact.value if _is_name(item)}
    facts = (fact, installation)
    if here - wanted and len(wanted) == len({plain(item) for item in tested}):
        other = "; ".join(item for item in fact.value if plain(item) in here - wanted)
        text = f"The seal is not the one tested: {other} was not part of it."
        return cured(SEAL_PRODUCTS, text, f"Seal with {need}.", have, need, _SEAL_ROWS, facts)
    missing: list[Missed] = []
    if not fact.value or any(not _is_name(item) for item in fact.value):
        missing.append(_unnamed(penetration))
    if any(not _is_name(item) for item in tested):
        missing.append(evidence_missing(installation, "seal.products", "the names of the seal products"))
    if missing:
        text = "A product of the seal is not named; the kind alone tells nothing."
        return unknown(SEAL_PRODUCTS, text, missing, have, need, _SEAL_ROWS, (fact,))
    if here == wanted:
        return passed(SEAL_PRODUCTS, "The seal is made of the products tested.", have, need, _SEAL_ROWS, facts)
    lacking = "; ".join(item for item in tested if plain(item) in wanted - here)
    text = f"The seal lacks a product of the test: {lacking}."
    return cured(SEAL_PRODUCTS, text, f"Seal with {need}.", have, need, _SEAL_ROWS, facts)


def _at_least(
    code: str, penetration: Penetration, installation: TestedInstallation, site: str, tested: int | None, words: str
) -> Checked:
    fact = getattr(penetration.installation, site)
    if isinstance(fact, Unknown) and not fact.missing.key.startswith(f"penetration/{penetration.id}/"):
        missing_here = Missing(
            f"penetration/{penetration.id}/{site}",
            f"How many {words} the seal at {penetration.id} has",
            fact.missing.ask,
        )
        fact = Unknown(missing_here)
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else str(fact.value)
    if tested is None:
        missing.append(evidence_missing(installation, f"seal.{words}", f"how many {words} the seal had"))
    need = "" if tested is None else f"at least {tested}"
    if isinstance(fact, Unknown) or tested is None:
        text = f"How many {words} the seal has, or had in the test, is not known."
        return unknown(code, text, missing, have, need, _SEAL_ROWS, (fact,))
    if fact.value >= tested:
        return passed(code, f"The seal has the {words} of the test.", have, need, _SEAL_ROWS, (fact, installation))
    text = f"The seal has fewer {words} than tested."
    return cured(code, text, f"Make the seal with {tested} {words}.", have, need, _SEAL_ROWS, (fact, installation))


def check_seal_layers(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """At least the layers of the test on each face that is sealed."""
    del requirement, basis
    return _at_least(SEAL_LAYERS, penetration, installation, "seal_layers", installation.seal.layers, "layers")


def check_seal_faces(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """On at least as many faces of the barrier as tested."""
    del requirement, basis
    return _at_least(SEAL_FACES, penetration, installation, "seal_faces", installation.seal.faces, "faces")


def check_seal_depth(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """As deep along the duct as tested."""
    del requirement, basis
    fact, tested = penetration.installation.seal_depth_mm, installation.seal.depth_mm
    missing: list[Missed] = [fact] if isinstance(fact, Unknown) else []
    have = "" if isinstance(fact, Unknown) else mm_text(fact.value)
    if tested is None:
        missing.append(evidence_missing(installation, "seal.depth_mm", "the depth of the seal"))
        return unknown(SEAL_DEPTH, "The depth of the tested seal is not known.", missing, have, "", _SEAL_ROWS)
    need = window_text(tested)
    if isinstance(fact, Unknown):
        return unknown(SEAL_DEPTH, "The depth of the seal is not known.", missing, have, need, _SEAL_ROWS)
    facts = (fact, installation)
    least, most = tested.least, tested.most
    if (least is None or fact.value >= least) and (most is None or fact.value <= most):
        return passed(SEAL_DEPTH, "The seal is as deep as tested.", have, need, _SEAL_ROWS, facts)
    text = "The seal is not as deep as tested."
    return cured(SEAL_DEPTH, text, f"Make the seal {need} deep.", have, need, _SEAL_ROWS, facts)


# --- the gap ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shift:
    """How a gap from one surface turns into that from the tested surface.

    `sign` times the casing's stand-off a side is added. Where it can't be turned, the true gap is only known to be
    no more (`no_more`) or no less (`no_less`) than the measured one.
    """

    sign: int = 0
    no_more: bool = False
    no_less: bool = False

    @property
    def exact(self) -> bool:
        """Whether the gap from the tested surface is known."""
        return not (self.no_more or self.no_less)


_NOTHING_TOLD = Shift(0, True, True)
_BEYOND_CASING = (Surface.FLANGE, Surface.FRAME)


def gap_shift(measured: Surface | None, tested: Surface, casing_known: bool) -> Shift:
    """How a gap measured from one surface stands to the gap from the tested one.

    The casing encloses the duct, flange and frame stand out beyond the casing: farther out leaves less gap.
    """
    if measured is tested:
        return Shift()
    if (measured, tested) == (Surface.DUCT, Surface.CASING):
        return Shift(-1) if casing_known else Shift(no_more=True)
    if (measured, tested) == (Surface.CASING, Surface.DUCT):
        return Shift(1) if casing_known else Shift(no_less=True)
    if measured in (Surface.DUCT, Surface.CASING) and tested in _BEYOND_CASING:
        return Shift(no_more=True)
    if measured in _BEYOND_CASING and tested in (Surface.DUCT, Surface.CASING):
        return Shift(no_less=True)
    return _NOTHING_TOLD


def side_limits(installation: TestedInstallation) -> tuple[tuple[float, float], ...]:
    """The least and the most gap of each side [mm]; without a least there has to be some gap."""
    gaps = installation.seal.gaps
    return tuple(_limits(window) for window in (gaps.left, gaps.right, gaps.top, gaps.bottom))


def _limits(window: Window) -> tuple[float, float]:
    least = ABOVE_NOTHING if window.least is None else window.least
    return least, math.inf if window.most is None else window.most


def axis_totals(damper: Size, opening: Size) -> tuple[float, float] | None:
    """The sum of both gaps across and upwards [mm], from the nominal duct edge; None where the shapes don't tell."""
    if opening.height_mm is not None:
        height = damper.width_mm if damper.height_mm is None else damper.height_mm
        return opening.width_mm - damper.width_mm, opening.height_mm - height
    if damper.height_mm is None:
        total = opening.width_mm - damper.width_mm
        return total, total
    return None


def _bounds(value: float, shift: Shift, beyond: float) -> tuple[float, float]:
    """From where to where the gap from the tested surface lies."""
    if shift.exact:
        exact = value + shift.sign * beyond
        return exact, exact
    return (-math.inf if shift.no_more else value), (math.inf if shift.no_less else value)


def check_gap(
    penetration: Penetration, requirement: Requirement, installation: TestedInstallation, basis: Basis
) -> Checked:
    """The gap of each side in its window, from the surface of the test (trade handbook rows 2.48, 2.30a).

    A right sum with one side at nothing fails on that side (field case 12). Without the gaps, the finished clear
    opening alone can show that no way of placing the damper in it would do.
    """
    del requirement, basis
    opening = penetration.opening
    if isinstance(opening.gaps, Unknown):
        return _gap_from_sizes(penetration, installation)
    surface = opening.gaps_from.value if isinstance(opening.gaps_from, Known) else None
    tested, beyond = installation.seal.gap_from, installation.casing_beyond_mm
    shift = gap_shift(surface, tested, beyond is not None)
    gaps = opening.gaps.value
    values = (gaps.left_mm, gaps.right_mm, gaps.top_mm, gaps.bottom_mm)
    off, open_sides, have, exact = [], [], [], []
    for side, value, (least, most), stands in zip(
        SIDES, values, side_limits(installation), beyond or (0.0,) * 4, strict=True
    ):
        low, high = _bounds(value, shift, stands)
        exact.append(low)
        have.append(f"{side} {number_text(low if shift.exact else value)}")
        if high < least or low > most:
            off.append(side)
        elif low < least or high > most:
            open_sides.append(side)
    measured = tested if shift.exact else surface
    have_text = f"{', '.join(have)} mm from the {measured or 'surface not stated'}"
    need = _need_text(installation)
    facts = (opening.gaps, opening.gaps_from, installation)
    if off:
        text = f"The gap is outside the tested window on the {_sides_text(off)}."
        axes = axes_of(tuple(exact), side_limits(installation)) if shift.exact else None
        if axes is not None and not _adds_up(penetration, installation, axes):
            text = f"{text} The gaps stated do not add up to the finished clear opening stated."
            axes = None
        return _gap_fails(penetration, installation, text, have_text, need, facts, axes)
    if open_sides:
        missing: list[Missed] = [opening.gaps_from] if isinstance(opening.gaps_from, Unknown) else []
        if surface is not None:
            words = f"how far casing, flange and frame stand beyond the duct, and so the gap from the {tested}"
            missing.append(evidence_missing(installation, "casing_beyond_mm", words))
        text = "The gap is measured from another surface than the test's, and can't be turned into that one."
        if surface is None:
            text = "The surface from which the gap is measured is not known."
        return unknown(GAP, text, missing, have_text, need, _GAP_ROWS, facts)
    return passed(GAP, "The gap lies in the tested window on every side.", have_text, need, _GAP_ROWS, facts)


def _adds_up(penetration: Penetration, installation: TestedInstallation, axes: tuple[AxisGaps, AxisGaps]) -> bool:
    """Whether the gaps stated can be those of the finished clear opening stated; True where no size is stated."""
    finished, size = penetration.opening.finished, penetration.damper.size
    if isinstance(finished, Unknown) or isinstance(size, Unknown):
        return True
    totals = axis_totals(size.value, finished.value)
    if totals is None:
        return True
    shift, beyond = _from_duct(installation)
    for axis, total, first in zip(axes, totals, (0, 2), strict=True):
        low, high = _bounds(total, shift, beyond[first] + beyond[first + 1])
        if not low - _ROUNDED_MM <= sum(axis.gaps) <= high + _ROUNDED_MM:
            return False
    return True


def _gap_from_sizes(penetration: Penetration, installation: TestedInstallation) -> Checked:
    """Gaps are not known: a finished clear opening too small or too wide for any placing fails all the same."""
    opening, size = penetration.opening, penetration.damper.size
    need = _need_text(installation)
    missing: list[Missed] = [opening.gaps] if isinstance(opening.gaps, Unknown) else []
    if isinstance(opening.finished, Unknown) or isinstance(size, Unknown):
        return unknown(GAP, "The gap of each side is not known.", missing, "", need, _GAP_ROWS)
    finished, facts = opening.finished.value, (opening.finished, size, installation)
    have = f"finished clear opening {size_text(finished.width_mm, finished.height_mm)}"
    totals = axis_totals(size.value, finished)
    shift, beyond = _from_duct(installation)
    limits = side_limits(installation)
    if totals is not None:
        off, sizes = [], []
        for axis, total, first in (("across", totals[0], 0), ("upwards", totals[1], 2)):
            low, high = _bounds(total, shift, beyond[first] + beyond[first + 1])
            by = size_off_mm(low, high, (limits[first], limits[first + 1]))
            if by:
                off.append(axis)
                sizes.append(over_text(by, upright=first > 0))
        if off:
            text = (
                f"However the damper is placed, the gap {' and '.join(off)} can't keep the tested window: the finished "
                f"clear opening is {'' if shift.exact else 'at least '}{' and '.join(sizes)}."
            )
            return _gap_fails(penetration, installation, text, have, need, facts)
    text = "The gap of each side is not known; its sum alone can't pass."
    return unknown(GAP, text, missing, have, need, _GAP_ROWS, facts)


def _from_duct(installation: TestedInstallation) -> tuple[Shift, tuple[float, float, float, float]]:
    beyond = installation.casing_beyond_mm
    shift = gap_shift(Surface.DUCT, installation.seal.gap_from, beyond is not None)
    return shift, (0.0, 0.0, 0.0, 0.0) if beyond is None else beyond


def _sides_text(sides: list[str]) -> str:
    return sides[0] if len(sides) == 1 else f"{', '.join(sides[:-1])} and {sides[-1]}"


def _need_text(installation: TestedInstallation) -> str:
    gaps, surface = installation.seal.gaps, installation.seal.gap_from
    windows = (gaps.left, gaps.right, gaps.top, gaps.bottom)
    if len(set(windows)) == 1:
        return f"{window_text(gaps.left)} on every side, from the {surface}"
    parts = ", ".join(f"{side} {window_text(window)}" for side, window in zip(SIDES, windows, strict=True))
    return f"{parts}, from the {surface}"


def _opening_text(penetration: Penetration, installation: TestedInstallation) -> str:
    """The finished clear opening that leaves the tested gaps, in numbers; "" where it can't be told."""
    size = penetration.damper.size
    shift, beyond = _from_duct(installation)
    if isinstance(size, Unknown) or not shift.exact:
        return ""
    gaps, damper = installation.seal.gaps, size.value
    height = damper.height_mm
    if height is None and installation.opening_shape is OpeningShape.RECTANGULAR:
        height = damper.width_mm
    texts = []
    for nominal, first, pair in ((damper.width_mm, 0, (gaps.left, gaps.right)), (height, 2, (gaps.top, gaps.bottom))):
        if nominal is None:
            continue
        stands = nominal - shift.sign * (beyond[first] + beyond[first + 1])
        least = [window.least or 0.0 for window in pair]
        most = [math.inf if window.most is None else window.most for window in pair]
        upper = stands + sum(most)
        low = number_text(stands + sum(least))
        texts.append(f"at least {low}" if math.isinf(upper) else f"{low} to {number_text(upper)}")
    return f"{' × '.join(texts)} mm" if texts else ""


def _gap_fails(
    penetration: Penetration,
    installation: TestedInstallation,
    text: str,
    have: str,
    need: str,
    facts: tuple[object, ...],
    axes: tuple[AxisGaps, AxisGaps] | None = None,
) -> Checked:
    if axes is not None:
        text = f"{text} {faults_text(axes)}"
    moves = "" if axes is None else moves_text(penetration, axes)
    if _formed(penetration):
        all_facts = (*facts, penetration.opening.formed)
        return failed(GAP, f"{text} {_FORM_AGAIN}", have, need, _GAP_ROWS, all_facts)
    if axes is not None and moves and not any(axis.size_off for axis in axes):
        change = f"Move the finished clear opening {moves}. Its size would do: the gap has to be {need}."
        return cured(GAP, text, change, have, need, _GAP_ROWS, facts)
    clear = _opening_text(penetration, installation)
    numbers = f" of {clear}" if clear else ""
    change = f"Form a finished clear opening{numbers} so that the gap is {need}."
    if moves:
        change = f"{change} Move it {moves} as well."
    return cured(GAP, text, change, have, need, _GAP_ROWS, facts)
