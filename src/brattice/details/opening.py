# SPDX-License-Identifier: Apache-2.0
"""The framed opening and the finished clear opening of one installation, in numbers.

The finished clear opening is what is left once the reveals are lined; the framed opening is what the builder forms.
In dry-lining the two lie 25 to 60 mm apart (trade handbook, field case 29), so every number here says which it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from brattice.building.penetration import OpeningFacts, Penetration, Sides, Size
from brattice.building.words import OpeningShape, SupportingConstruction, Surface
from brattice.evidence.checking import window_text
from brattice.evidence.checks_construction import lining_holds
from brattice.evidence.installation import SideWindows, TestedInstallation, Window
from brattice.findings import Known, Missing, Party, Reason, Unknown, Verdict
from brattice.quantities import Mm, mm_text, size_text

__all__ = ["OpeningDetail", "OpeningNeed", "SideGap", "detail_opening", "opening_need", "side_gaps"]

UNLINED = (SupportingConstruction.RIGID_WALL, SupportingConstruction.RIGID_FLOOR)
AGREE_MM = 2.0
"""Gaps a side and an opening agree when their sums lie this near [mm]: each of two sides rounded to a millimetre."""

_SIDES = ("left", "right", "top", "bottom")


@dataclass(frozen=True)
class OpeningNeed:
    """What has to be built: least and most finished clear opening, the framed opening that leaves it once lined."""

    shape: OpeningShape
    least_finished: Size
    most_finished: Size | None
    least_framed: Size | None
    most_framed: Size | None
    lining_mm: Mm | None
    gaps: SideWindows
    gap_from: Surface


@dataclass(frozen=True)
class OpeningDetail:
    """What is needed, and what is wrong with the opening that exists or is modelled; `texts` are for people."""

    need: OpeningNeed | None
    reasons: tuple[Reason, ...]
    texts: tuple[str, ...]


@dataclass(frozen=True)
class SideGap:
    """The gap on one side [mm] as stated, held against the tested window.

    `gap_mm` is measured from the surface that the test measured from where that can be told, else None; `verdict` is
    UNKNOWN where either half is not known.
    """

    side: str
    gap_mm: Mm | None
    window: Window | None
    verdict: Verdict


def _base(penetration: Penetration) -> Size | None:
    for fact in (penetration.damper.size, penetration.duct.size):
        if isinstance(fact, Known):
            return fact.value
    return None


def _windows(gaps: SideWindows) -> tuple[Window, Window, Window, Window]:
    return gaps.left, gaps.right, gaps.top, gaps.bottom


def _grown(base: Size, beyond: tuple[float, float, float, float], gaps: tuple[float, float, float, float]) -> Size:
    width = Mm(base.width_mm + beyond[0] + beyond[1] + gaps[0] + gaps[1])
    if base.height_mm is None:
        return Size(width)
    return Size(width, Mm(base.height_mm + beyond[2] + beyond[3] + gaps[2] + gaps[3]))


def _lined(size: Size, lining_mm: float) -> Size:
    height = None if size.height_mm is None else Mm(size.height_mm + 2 * lining_mm)
    return Size(Mm(size.width_mm + 2 * lining_mm), height)


def lining_tested(penetration: Penetration, installation: TestedInstallation) -> Mm | None:
    """The lining a reveal that the tested installation asks for; rigid construction has none unless it says so."""
    if installation.construction.lining_mm is not None:
        return installation.construction.lining_mm
    if installation.construction.kind in UNLINED:
        return Mm(0)
    wall = penetration.barrier.wall_type
    if wall is not None and isinstance(wall.lining_mm, Known):
        return wall.lining_mm.value
    return None


def lining_here(penetration: Penetration) -> Mm | None:
    """The lining a reveal that the wall type is built with; masonry and concrete without a word of it have none."""
    wall = penetration.barrier.wall_type
    if wall is None:
        return None
    if isinstance(wall.lining_mm, Known):
        return wall.lining_mm.value
    is_rigid = isinstance(wall.kind, Known) and wall.kind.value in UNLINED
    return Mm(0) if is_rigid else None


def opening_need(penetration: Penetration, installation: TestedInstallation) -> OpeningNeed | None:
    """The openings that the tested gap a side leaves room for, or None where they can't be told.

    None when no size is known, or when the gap was measured from a surface whose distance to the duct is not stated.
    The size is the damper's where it is known, else the duct's. A round damper in a rectangular opening (where that
    was tested) needs its diameter both ways.
    """
    base = _base(penetration)
    seal = installation.seal
    if base is None:
        return None
    if seal.gap_from is Surface.DUCT:
        beyond: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    elif seal.gap_from is Surface.CASING and installation.casing_beyond_mm is not None:
        beyond = installation.casing_beyond_mm
    else:
        return None
    if base.height_mm is None and installation.opening_shape is OpeningShape.RECTANGULAR:
        base = Size(base.width_mm, base.width_mm)
    windows = _windows(seal.gaps)
    least_each = tuple(window.least for window in windows)
    most_each = tuple(window.most for window in windows)
    if any(value is None for value in least_each):
        return None
    least = _grown(base, beyond, _four(least_each))
    most = None if any(value is None for value in most_each) else _grown(base, beyond, _four(most_each))
    lining = lining_tested(penetration, installation)
    return OpeningNeed(
        shape=installation.opening_shape,
        least_finished=least,
        most_finished=most,
        least_framed=None if lining is None else _lined(least, lining),
        most_framed=None if lining is None or most is None else _lined(most, lining),
        lining_mm=lining,
        gaps=seal.gaps,
        gap_from=seal.gap_from,
    )


def _four(values: tuple[float | None, ...]) -> tuple[float, float, float, float]:
    a, b, c, d = (0.0 if value is None else value for value in values)
    return a, b, c, d


def _framed_against_finished(penetration: Penetration) -> Reason:
    """Framed less finished is twice the lining that is built; anything else means that somebody mixed the two up.

    Whether that lining is enough for the test is judged in the evidence room.
    """
    lining = lining_here(penetration)
    opening: OpeningFacts = penetration.opening
    code = "framed-and-finished"
    if not isinstance(opening.framed, Known) or not isinstance(opening.finished, Known):
        return Reason(code, Verdict.NOT_APPLICABLE, "The framed and the finished clear opening are not both stated.")
    framed, finished = opening.framed.value, opening.finished.value
    have = (
        f"framed opening {size_text(framed.width_mm, framed.height_mm)}, finished clear opening "
        f"{size_text(finished.width_mm, finished.height_mm)}"
    )
    origins = (opening.framed.origin, opening.finished.origin)
    if lining is None:
        missing = Missing(
            f"wall-type/{_wall_code(penetration)}/lining",
            f"The thickness of the lining of openings in wall type {_wall_code(penetration)}",
            Party.DRY_LINER,
        )
        return Reason(
            code,
            Verdict.UNKNOWN,
            "Without the thickness of the lining it can't be told whether framed and finished clear opening fit.",
            have,
            "the lining on each reveal",
            (),
            (missing,),
            origins,
        )
    expected = _lined(finished, lining)
    need = (
        f"framed opening {size_text(expected.width_mm, expected.height_mm)} ({mm_text(lining)} lining on each reveal)"
    )
    if framed == expected:
        return Reason(
            code, Verdict.PASS, "The framed opening leaves the finished clear opening once lined.", have, need
        )
    return Reason(
        code,
        Verdict.FAIL,
        "The framed opening and the finished clear opening do not fit the lining; say which one is meant.",
        have,
        need,
        (),
        (),
        origins,
    )


def _lining_in_masonry(penetration: Penetration, installation: TestedInstallation) -> Reason:
    """A seal that was tested against masonry or concrete is not made against a lining (trade handbook 5.9).

    Without a word of a lining, masonry and concrete have none, on site and in the test.
    """
    code, wall, tested = "masonry-lining", penetration.barrier.wall_type, installation.construction
    if wall is None or not isinstance(wall.lining_mm, Known) or not isinstance(wall.kind, Known):
        return Reason(code, Verdict.NOT_APPLICABLE, "No lining of the opening is stated.")
    if wall.kind.value not in UNLINED or tested.kind not in UNLINED:
        return Reason(code, Verdict.NOT_APPLICABLE, "Asked of masonry and concrete, tested in such.")
    here, there = wall.lining_mm.value, tested.lining_mm or Mm(0)
    have, need = (f"{mm_text(value)} on each reveal" if value else "unlined" for value in (here, there))
    origins = (wall.lining_mm.origin, installation.origin)
    if lining_holds(here, there):
        text = "The reveals are as tested."
        return Reason(code, Verdict.PASS, text, have, need, ("scope.fixing",), origins=origins)
    text = "The reveals are lined otherwise than in the test; the seal was not tested against that."
    return Reason(code, Verdict.FAIL, text, have, need, ("scope.fixing",), origins=origins)


def clear_opening(penetration: Penetration) -> Known[Size] | None:
    """The finished clear opening as stated, else as the framed one leaves it once lined."""
    opening, lining = penetration.opening, lining_here(penetration)
    if isinstance(opening.finished, Known):
        return opening.finished
    if isinstance(opening.framed, Known) and lining is not None:
        return Known(_lined(opening.framed.value, -lining), opening.framed.origin)
    return None


def _left_for_gaps(damper: Size, clear: Size) -> tuple[float, float] | None:
    """What an opening leaves round the nominal damper, across and upwards [mm]; None for other shapes than tell."""
    if damper.height_mm is not None and clear.height_mm is None:
        return None
    height = damper.width_mm if damper.height_mm is None else damper.height_mm
    clear_height = clear.width_mm if clear.height_mm is None else clear.height_mm
    return clear.width_mm - damper.width_mm, clear_height - height


def _gaps_against_opening(penetration: Penetration, installation: TestedInstallation, reach_mm: float) -> Reason:
    """The gaps stated are those that the stated or modelled opening leaves round the damper; else one of them is wrong.

    From flange or frame the gap is less than from the duct by as much as they stand out, at most `reach_mm` a side.
    """
    opening, size = penetration.opening, penetration.damper.size
    clear = clear_opening(penetration)
    code = "gap-and-opening"
    if (
        clear is None
        or isinstance(opening.gaps, Unknown)
        or isinstance(opening.gaps_from, Unknown)
        or isinstance(size, Unknown)
    ):
        return Reason(code, Verdict.NOT_APPLICABLE, "Gaps, opening and damper are not all stated.")
    if opening.shared_with:
        return Reason(code, Verdict.NOT_APPLICABLE, "Another duct shares the hole; see there.")
    duct = penetration.duct.size
    if isinstance(duct, Known) and duct.value != size.value:
        return Reason(code, Verdict.NOT_APPLICABLE, "Damper and duct differ; see the size of the damper.")
    left = _left_for_gaps(size.value, clear.value)
    if left is None:
        return Reason(code, Verdict.NOT_APPLICABLE, "A rectangular damper in a round hole has no one gap a side.")
    gaps, surface, beyond = opening.gaps.value, opening.gaps_from.value, installation.casing_beyond_mm
    least, most = (0.0, 0.0), (2 * reach_mm, 2 * reach_mm)
    if surface is Surface.DUCT:
        most = least
    elif surface is Surface.CASING and beyond is not None:
        least = most = (beyond[0] + beyond[1], beyond[2] + beyond[3])
    sums = (gaps.left_mm + gaps.right_mm, gaps.top_mm + gaps.bottom_mm)
    have = (
        f"gaps of {mm_text(sums[0])} across and {mm_text(sums[1])} upwards from the {surface}, finished clear opening "
        f"{size_text(clear.value.width_mm, clear.value.height_mm)}"
    )
    damper = size_text(size.value.width_mm, size.value.height_mm)
    need = f"gaps that this finished clear opening leaves round a damper of {damper}"
    origins = (opening.gaps.origin, clear.origin, size.origin)
    if all(
        low - AGREE_MM <= total - gap <= high + AGREE_MM
        for total, gap, low, high in zip(left, sums, least, most, strict=True)
    ):
        return Reason(
            code,
            Verdict.PASS,
            "The finished clear opening leaves the gaps that are stated.",
            have,
            need,
            origins=origins,
        )
    missing = Missing(
        f"penetration/{penetration.id}/gap-and-opening",
        f"Which is right at {penetration.id}: the gaps ({opening.gaps.origin}) or the finished clear opening "
        f"({clear.origin})",
        Party.DRY_LINER,
    )
    text = "The finished clear opening does not leave the gaps that are stated round the damper."
    return Reason(code, Verdict.UNKNOWN, text, have, need, (), (missing,), origins)


def _shape_against_size(penetration: Penetration) -> Reason:
    """A round hole has a diameter, a rectangular one width and height."""
    shape, clear, code = penetration.opening.shape, clear_opening(penetration), "opening-shape-and-size"
    if isinstance(shape, Unknown) or clear is None:
        return Reason(code, Verdict.NOT_APPLICABLE, "Shape and size of the hole are not both stated.")
    have = f"a {shape.value} hole of {size_text(clear.value.width_mm, clear.value.height_mm)}"
    origins = (shape.origin, clear.origin)
    if clear.value.is_round == (shape.value is OpeningShape.ROUND):
        return Reason(code, Verdict.PASS, "The hole has a size of its shape.", have, "", origins=origins)
    missing = Missing(
        f"penetration/{penetration.id}/opening-shape-and-size",
        f"Whether the hole at {penetration.id} is round or rectangular: {have}",
        Party.DRY_LINER,
    )
    text = "Shape and size of the hole contradict each other."
    return Reason(code, Verdict.UNKNOWN, text, have, "a diameter for a round hole, else two sides", (), (missing,))


def _wall_code(penetration: Penetration) -> str:
    code = penetration.barrier.wall_type_code
    return code.value if isinstance(code, Known) else f"of {penetration.id}"


def _side_texts(gaps: Sides, measured: Surface, need: OpeningNeed, shift: tuple[float, ...]) -> list[str]:
    texts = []
    given = (gaps.left_mm, gaps.right_mm, gaps.top_mm, gaps.bottom_mm)
    for name, gap, moved, window in zip(_SIDES, given, shift, _windows(need.gaps), strict=True):
        actual = gap - moved
        if window.least is not None and actual < window.least:
            texts.append(
                f"{name}: gap {mm_text(actual)} from the {need.gap_from}, {mm_text(window.least - actual)} too small "
                f"(tested {window_text(window)})"
            )
        elif window.most is not None and actual > window.most:
            texts.append(
                f"{name}: gap {mm_text(actual)} from the {need.gap_from}, {mm_text(actual - window.most)} too wide "
                f"(tested {window_text(window)})"
            )
    if measured is not need.gap_from and texts:
        texts = [f"{text}; measured from the {measured} and converted" for text in texts]
    return texts


def _shift(measured: Surface, need: OpeningNeed, installation: TestedInstallation) -> tuple[float, ...] | None:
    """What to take off a measured gap, a side, to get the gap from the tested surface; None if it can't be told."""
    if measured is need.gap_from:
        return (0.0, 0.0, 0.0, 0.0)
    beyond = installation.casing_beyond_mm
    if beyond is None or {measured, need.gap_from} != {Surface.DUCT, Surface.CASING}:
        return None
    sign = 1.0 if measured is Surface.DUCT else -1.0
    return tuple(sign * side for side in beyond)


def _off_centre_text(gaps: Sides) -> str | None:
    across, up = gaps.left_mm - gaps.right_mm, gaps.top_mm - gaps.bottom_mm
    parts = []
    if across:
        parts.append(f"{mm_text(abs(across) / 2)} too far {'right' if across < 0 else 'left'}")
    if up:
        parts.append(f"{mm_text(abs(up) / 2)} too {'low' if up < 0 else 'high'}")
    return f"the finished clear opening stands off the duct's centre: {' and '.join(parts)}" if parts else None


def side_gaps(penetration: Penetration, installation: TestedInstallation | None) -> tuple[SideGap, ...]:
    """The gap of each side (left, right, top, bottom) against the window of a tested installation."""
    facts = penetration.opening
    stated = facts.gaps.value if isinstance(facts.gaps, Known) else None
    gaps = None if stated is None else (stated.left_mm, stated.right_mm, stated.top_mm, stated.bottom_mm)
    need = None if installation is None else opening_need(penetration, installation)
    if installation is None or need is None:
        plain = gaps if gaps is not None else (None,) * 4
        return tuple(SideGap(side, gap, None, Verdict.UNKNOWN) for side, gap in zip(_SIDES, plain, strict=True))
    shift = _shift(facts.gaps_from.value, need, installation) if isinstance(facts.gaps_from, Known) else None
    answer = []
    for number, (side, window) in enumerate(zip(_SIDES, _windows(need.gaps), strict=True)):
        if gaps is None or shift is None:
            answer.append(SideGap(side, None, window, Verdict.UNKNOWN))
            continue
        gap = Mm(gaps[number] - shift[number])
        too_small = window.least is not None and gap < window.least
        too_wide = window.most is not None and gap > window.most
        answer.append(SideGap(side, gap, window, Verdict.FAIL if too_small or too_wide else Verdict.PASS))
    return tuple(answer)


def detail_opening(
    penetration: Penetration, installation: TestedInstallation, *, reach_mm: float = math.inf
) -> OpeningDetail:
    """What openings the tested installation needs here, and what is wrong with the one there, side by side.

    `reach_mm` is how far flange or frame of a damper can stand out beyond its duct at most (a row) [mm].
    Whether the gap keeps the tested window is judged in the evidence room; here it is said in numbers what to cure.
    """
    need = opening_need(penetration, installation)
    texts: list[str] = []
    opening = penetration.opening
    if need is None:
        texts.append(
            f"The finished clear opening can't be given: the size is not known, or {installation.id} measures its gap "
            f"from the {installation.seal.gap_from}, whose distance to the duct is not stated."
        )
    elif isinstance(opening.gaps, Known) and isinstance(opening.gaps_from, Known):
        shift = _shift(opening.gaps_from.value, need, installation)
        if shift is None:
            texts.append(
                f"The gaps are measured from the {opening.gaps_from.value}, the test from the {need.gap_from}; one "
                "can't be turned into the other from what is stated."
            )
        else:
            off = _side_texts(opening.gaps.value, opening.gaps_from.value, need, shift)
            centre = _off_centre_text(opening.gaps.value) if off else None
            texts += [*off, *([centre] if centre else [])]
    reasons = (
        _framed_against_finished(penetration),
        _gaps_against_opening(penetration, installation, reach_mm),
        _shape_against_size(penetration),
        _lining_in_masonry(penetration, installation),
    )
    return OpeningDetail(need, reasons, tuple(texts))
