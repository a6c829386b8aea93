# SPDX-License-Identifier: Apache-2.0
"""The fixings that hold the damper: which, how far apart, how many on each side and in all.

Everything here is what the tested installation says of them; a closer spacing may be scheduled, a wider one fails.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from brattice.building.words import FixingFamily, Surface, plain
from brattice.calc.quantities import fixings_along, fixings_round, units_needed, with_waste
from brattice.details.figures import Figure, Used
from brattice.details.given import Given, used
from brattice.details.openings import OpeningPlan
from brattice.details.quantities import casing_outline, waste_note
from brattice.evidence.installation import FixingsTested
from brattice.findings import Known, Missing, Verdict
from brattice.quantities import mm_text, number_text, size_text

__all__ = ["fixing_figures", "fixing_words", "spacing_figure"]

_SCREWED = frozenset(
    {
        FixingFamily.LINED_OPENING,
        FixingFamily.SLEEVE_AND_ANGLES,
        FixingFamily.INSTALLATION_FRAME,
        FixingFamily.FACE_FIXED,
        FixingFamily.FRAME_IN_OPENING,
        FixingFamily.SHAFT_WALL_FIXING,
    }
)
_WASTE_ROW = "quantities.waste.fixings"
_HOW_MANY = "How many fixings (kind and spacing are those of the instructions)"
_SIDES_OF_A_PAIR = 2


def fixing_figures(given: Given, plan: OpeningPlan) -> tuple[Figure, ...]:
    """Kind, spacing, number a side and in all; () where the damper is not held by fixings and none are stated."""
    tested = given.tested
    if tested is None:
        return ()
    if tested.fixings is None:
        if tested.fixing not in _SCREWED:
            return ()
        return (given.lacking("fixings", (given.evidence_lacks("fixings", _HOW_MANY),)),)
    fixings = tested.fixings
    spacing = spacing_figure(given)
    figures = [_kind(given, fixings), *(() if spacing is None else (spacing,))]
    if fixings.most_from_corner_mm is not None:
        corner = float(fixings.most_from_corner_mm)
        use = given.of_test("distance from the corner", corner, "mm")
        figures.append(given.figure("fixing-corner", corner, uses=(use,)))
    if fixings.rows is not None:
        use = given.of_test("rows of fixings", fixings.rows)
        figures.append(given.figure("fixing-rows", float(fixings.rows), uses=(use,)))
    counted = _counted(given, fixings, plan)
    figures += counted.figures
    if counted.missing:
        figures += [given.lacking(key, counted.missing) for key in ("fixings-all", "fixings")]
        return tuple(figures)
    figures.append(given.figure("fixings-all", float(counted.number), uses=counted.uses))
    gross = with_waste(counted.number, "fixings", given.book)
    whole = float(units_needed(gross.gross, 1))
    figures.append(
        given.figure(
            "fixings",
            whole,
            uses=(Used("fixings of the damper", str(counted.number)), *counted.uses),
            rows=(_WASTE_ROW,),
            note=waste_note(gross.share, gross.row),
        )
    )
    return tuple(figures)


def _kind(given: Given, fixings: FixingsTested) -> Figure:
    words = ", ".join(part for part in (fixings.kind, fixings.size) if part)
    fact = given.penetration.detail.fixing_kind
    if fixings.kind is None or fixings.size is None:
        about, asked = ("kind", "The kind") if fixings.kind is None else ("size", "The size")
        lacks = given.evidence_lacks(f"fixings.{about}", f"{asked} of the tested fixings")
        return given.lacking("fixing-kind", (lacks,), uses=used("as stated", fact), note=words and f"Known: {words}.")
    uses = (*used("as stated", fact), given.of_test("fixings", words))
    limit = f"as tested: {words}"
    if not isinstance(fact, Known):
        return given.figure("fixing-kind", text=words, uses=uses)
    if plain(fact.value) in {plain(words), plain(words.replace(", ", " "))}:
        return given.figure("fixing-kind", text=words, limit=limit, verdict=Verdict.PASS, uses=uses)
    note = f"Stated: {fact.value}; whether that is the tested fixing is not known. Another fixing was not tested."
    asked_of = (given.missing(None, "fixing_kind"),)
    return given.figure(
        "fixing-kind", text=words, limit=limit, verdict=Verdict.UNKNOWN, uses=uses, missing=asked_of, note=note
    )


def spacing_figure(given: Given) -> Figure | None:
    """How far apart the fixings are at most, as stated against the test; None where neither says anything of it."""
    fact = given.penetration.detail.fixing_spacing_mm
    fixings = None if given.tested is None else given.tested.fixings
    most = None if fixings is None else fixings.most_apart_mm
    if most is None:
        if not isinstance(fact, Known):
            return None
        lacks = given.evidence_lacks("fixings.most_apart_mm", "How far apart the tested fixings are at most")
        uses = used("as stated", fact, "mm")
        return given.figure("fixing-spacing", float(fact.value), verdict=Verdict.UNKNOWN, uses=uses, missing=(lacks,))
    limit, use = f"at most {mm_text(most)}", given.of_test("spacing of fixings", most, "mm")
    if not isinstance(fact, Known):
        note = "The most that was tested; none is stated."
        return given.figure("fixing-spacing", float(most), limit=limit, uses=(use,), note=note)
    uses = (*used("as stated", fact, "mm"), use)
    holds = fact.value <= most
    note = "" if holds else f"Fixings {mm_text(fact.value)} apart are stated; {mm_text(most)} at most were tested."
    return given.figure(
        "fixing-spacing",
        float(fact.value),
        limit=limit,
        verdict=Verdict.PASS if holds else Verdict.FAIL,
        uses=uses,
        note=note,
    )


@dataclass(frozen=True)
class _Counted:
    """How many fixings there are, the figures of the sides, what it was told from; or what is missing."""

    number: int = 0
    figures: tuple[Figure, ...] = ()
    uses: tuple[Used, ...] = ()
    missing: tuple[Missing, ...] = ()


def _counted(given: Given, fixings: FixingsTested, plan: OpeningPlan) -> _Counted:
    """By the table of sizes where it names this one, by the spacing where that is whole; both have to agree."""
    stated, most = _of_table(given, fixings), fixings.most_apart_mm
    if most is None:
        return stated
    as_tested = _by_spacing(given, fixings, plan, most)
    fact = given.penetration.detail.fixing_spacing_mm
    # A spacing that is stated wider than tested fails; it is counted by the tested one all the same.
    closer = isinstance(fact, Known) and fact.value < most
    spaced = _by_spacing(given, fixings, plan, fact.value) if isinstance(fact, Known) and closer else as_tested
    if not fixings.counts or stated.missing:
        return spaced
    if as_tested.missing:
        return stated if not closer else as_tested
    if as_tested.number > stated.number:
        words = f"Why {stated.number} fixings are counted where the spacing asks {as_tested.number}"
        return _Counted(missing=(given.evidence_lacks("fixings", words),))
    if spaced.number > stated.number:
        return spaced
    return _Counted(stated.number, (), stated.uses)


def _of_table(given: Given, fixings: FixingsTested) -> _Counted:
    size = given.size
    if not fixings.counts or size is None:
        return _Counted(missing=(given.evidence_lacks("fixings", _HOW_MANY),))
    name = size_text(size.value.width_mm, size.value.height_mm)
    for item in fixings.counts:
        if (item.width_mm, item.height_mm) == (size.value.width_mm, size.value.height_mm):
            return _Counted(item.count, uses=(given.of_test(f"fixings at {name}", item.count),))
    return _Counted(missing=(given.evidence_lacks("fixings.counts", f"How many fixings a damper {name} has"),))


def _outline(given: Given, along: Surface, plan: OpeningPlan) -> tuple[float, float | None] | None:
    """The outline that the fixings stand along; None where it is not known."""
    if along is Surface.CASING:
        tested = given.tested
        return None if tested is None or tested.casing_beyond_mm is None else casing_outline(given)
    opening = {Surface.FINISHED_OPENING: plan.finished, Surface.FRAMED_OPENING: plan.framed}.get(along)
    return None if opening is None else (float(opening.width_mm), opening.height_mm)


def _by_spacing(given: Given, fixings: FixingsTested, plan: OpeningPlan, apart: float) -> _Counted:
    """By a spacing [mm]: along the outline, no fewer on a side than the evidence says, in each row."""
    along = fixings.along
    if along is None:
        return _Counted(missing=(given.evidence_lacks("fixings", _HOW_MANY),))
    outline = _outline(given, along, plan)
    missing = [] if fixings.rows is not None else [given.evidence_lacks("fixings.rows", "In how many rows they stand")]
    if outline is None:
        missing.append(given.evidence_lacks("fixings.along", f"The size of the {along} that the fixings stand along"))
    is_round = outline is not None and outline[1] is None
    if not is_round and fixings.most_from_corner_mm is None:
        words = "How far from a corner the outer fixings may be"
        missing.append(given.evidence_lacks("fixings.most_from_corner_mm", words))
    if outline is None or fixings.rows is None or missing:
        return _Counted(missing=tuple(sorted(missing)))
    least = fixings.least_a_side or 1
    sides = " × ".join(number_text(side) for side in outline if side is not None)
    uses: tuple[Used, ...] = (Used(str(along), f"{sides} mm"), Used("fixings apart", mm_text(apart)))
    if fixings.least_a_side is not None:
        uses = (*uses, given.of_test("least number on a side", fixings.least_a_side))
    width, height = outline
    if height is None:
        ring = max(least, fixings_round((width, None), apart, 0, 1))
        figure = given.figure("fixings-round", float(ring), uses=uses)
        return _Counted(ring * fixings.rows, (figure,), uses)
    corner = float(fixings.most_from_corner_mm or 0)
    wide, high = (max(least, fixings_along(side, apart, corner)) for side in (width, height))
    figures = (
        given.figure("fixings-wide", float(wide), uses=uses),
        given.figure("fixings-high", float(high), uses=uses),
    )
    return _Counted(_SIDES_OF_A_PAIR * (wide + high) * fixings.rows, figures, uses)


def fixing_words(figures: Iterable[Figure]) -> str:
    """The fixings in a few words for a step: what, how far apart, how many; "" where nothing of it is settled."""
    by_key = {item.key: item for item in figures}

    def settled(key: str) -> str:
        figure = by_key.get(key)
        return figure.text if figure is not None and figure.is_settled else ""

    kind, apart, corner, number = (
        settled(key) for key in ("fixing-kind", "fixing-spacing", "fixing-corner", "fixings-all")
    )
    parts = [kind, f"at most {apart} apart" if apart else "", f"at most {corner} from a corner" if corner else ""]
    parts.append(f"{number} in all" if number else "")
    return ", ".join(part for part in parts if part)
