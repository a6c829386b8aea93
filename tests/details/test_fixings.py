# SPDX-License-Identifier: Apache-2.0
"""Fixings of a damper. Oracles: hand calculations, and fixings placed at even steps, one fewer never enough."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume
from hypothesis import given as drawn
from hypothesis import strategies as st

from brattice.building.penetration import Size
from brattice.building.words import FixingFamily, OpeningShape, Surface
from brattice.details.checks import failing_reasons
from brattice.details.figures import Figure
from brattice.details.fixings import fixing_figures, fixing_words
from brattice.details.openings import opening_plan
from brattice.evidence.installation import FixingCount, FixingsTested, SizeWindow, TestedInstallation, Window
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.details.making import assembled, by_key, detail_facts, given
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK
from tests.helpers.penetrations import penetration

SCREWS = FixingsTested(
    kind="self-drilling screws",
    size="4.8 × 19 mm",
    along=Surface.CASING,
    most_apart_mm=Mm(150),
    most_from_corner_mm=Mm(60),
    rows=2,
)


def screwed(fixings: FixingsTested | None = SCREWS, **changes: Any) -> TestedInstallation:
    return installation(fixing=FixingFamily.SLEEVE_AND_ANGLES, fixings=fixings, **changes)


def figures(fixings: FixingsTested | None = SCREWS, **facts: Any) -> dict[str, Figure]:
    thing = given(tested=screwed(fixings), facts=detail_facts(**facts))
    return by_key(fixing_figures(thing, opening_plan(thing)))


def test_the_fixings_of_the_test_are_counted_along_the_casing() -> None:
    # casing 620 × 420: (620 − 120) / 150 = 3.3, 4 spaces, 5 screws; (420 − 120) / 150 = 2 exactly, 3 screws;
    # 2 · (5 + 3) · 2 rows = 32
    found = figures()
    assert {key: found[key].value for key in ("fixings-wide", "fixings-high", "fixings-all", "fixing-rows")} == {
        "fixings-wide": 5, "fixings-high": 3, "fixings-all": 32, "fixing-rows": 2,
    }  # fmt: skip
    assert found["fixing-kind"].text == "self-drilling screws, 4.8 × 19 mm"
    assert (found["fixing-spacing"].text, found["fixing-corner"].text) == ("150 mm", "60 mm")
    assert found["fixings"].value == math.ceil(32 * (1 + BOOK.number("quantities.waste.fixings")))
    assert "quantities.waste.fixings" in found["fixings"].rows


def test_along_the_finished_clear_opening_its_sides_count() -> None:
    # finished clear opening 700 × 500: (700 − 120) / 150 = 3.9, 5 screws; (500 − 120) / 150 = 2.5, 4 screws
    found = figures(replace(SCREWS, along=Surface.FINISHED_OPENING))
    assert (found["fixings-wide"].value, found["fixings-high"].value) == (5, 4)


def test_a_ring_of_fixings_has_no_corner() -> None:
    ring = replace(SCREWS, most_from_corner_mm=None, rows=1)
    sizes = SizeWindow(OpeningShape.ROUND, Window(100, 400), None)
    place = penetration(duct__size=Size(Mm(315)), damper__size=Size(Mm(315)))
    thing = given(place, screwed(ring, sizes=sizes))
    found = by_key(fixing_figures(thing, opening_plan(thing)))
    assert found["fixings-round"].value == found["fixings-all"].value == 8  # π · (315 + 2 · 10) = 1052.4 by 150: 7.02
    few = given(place, screwed(replace(ring, least_a_side=12), sizes=sizes))
    assert by_key(fixing_figures(few, opening_plan(few)))["fixings-all"].value == 12


def test_no_side_has_fewer_than_the_evidence_says() -> None:
    found = figures(replace(SCREWS, least_a_side=4))
    assert (found["fixings-wide"].value, found["fixings-high"].value) == (5, 4)


@pytest.mark.parametrize(
    ("stated", "verdict", "number"),
    [(150, Verdict.PASS, 32), (150.1, Verdict.FAIL, 32), (100, Verdict.PASS, 2 * (6 + 4) * 2)],
)
def test_a_scheduled_spacing_is_held_against_the_test(stated: float, verdict: Verdict, number: int) -> None:
    # 500 / 100 = 5 spaces, 6 screws; 300 / 100 = 3 spaces, 4 screws
    found = figures(fixing_spacing_mm=Mm(stated))
    assert found["fixing-spacing"].verdict is verdict
    assert found["fixings-all"].value == number


def test_a_wider_spacing_is_found_by_the_check_and_never_built() -> None:
    wide = given(tested=screwed(), facts=detail_facts(fixing_spacing_mm=Mm(151)))
    (reason,) = failing_reasons(wide)
    assert (reason.code, reason.need) == ("fixing-spacing", "at most 150 mm")
    assert assembled(wide).why == "Does not hold: Fixings apart at most."
    at_limit = given(tested=screwed(), facts=detail_facts(fixing_spacing_mm=Mm(150)))
    assert failing_reasons(at_limit) == ()


def test_a_spacing_that_the_evidence_says_nothing_of_is_asked_after() -> None:
    found = figures(replace(SCREWS, most_apart_mm=None, along=None), fixing_spacing_mm=Mm(100))
    assert found["fixing-spacing"].verdict is Verdict.UNKNOWN
    assert not found["fixings-all"].is_settled


@pytest.mark.parametrize(
    ("lacking", "about"),
    [
        ({"most_from_corner_mm": None}, "fixings.most_from_corner_mm"),
        ({"rows": None}, "fixings.rows"),
        ({"most_apart_mm": None}, "fixings"),
    ],
)
def test_what_the_document_does_not_say_leaves_the_number_to_be_settled(lacking: dict[str, Any], about: str) -> None:
    found = figures(replace(SCREWS, **lacking))
    for key in ("fixings-all", "fixings"):
        assert [item.key for item in found[key].missing] == [f"evidence/HV-10-RW-1/{about}"]


def test_a_casing_without_its_place_gives_no_number() -> None:
    thing = given(tested=screwed(casing_beyond_mm=None))
    found = by_key(fixing_figures(thing, opening_plan(thing)))
    assert [item.key for item in found["fixings"].missing] == ["evidence/HV-10-RW-1/fixings.along"]


def test_nothing_stated_is_to_be_settled_where_screws_hold_the_damper_and_absent_elsewhere() -> None:
    assert not figures(None)["fixings"].is_settled
    mortared = given(tested=installation(fixing=FixingFamily.BUILT_IN))
    assert fixing_figures(mortared, opening_plan(mortared)) == ()


def test_a_table_counts_its_own_sizes_and_no_other() -> None:
    table = FixingsTested("screws", "M8", counts=(FixingCount(Mm(600), Mm(400), 12),))
    assert figures(table)["fixings-all"].value == 12
    turned = figures(replace(table, counts=(FixingCount(Mm(400), Mm(600), 12),)))
    assert [item.key for item in turned["fixings"].missing] == ["evidence/HV-10-RW-1/fixings.counts"]


@pytest.mark.parametrize(("count", "number"), [(32, 32), (40, 40), (31, None)])
def test_a_table_with_fewer_than_the_spacing_asks_is_asked_after(count: int, number: int | None) -> None:
    found = figures(replace(SCREWS, counts=(FixingCount(Mm(600), Mm(400), count),)))
    assert found["fixings-all"].value == number


def test_another_kind_than_tested_is_not_known_to_hold() -> None:
    assert figures(fixing_kind="Self-drilling screws, 4.8 × 19 mm")["fixing-kind"].verdict is Verdict.PASS
    other = figures(fixing_kind="wood screws")["fixing-kind"]
    assert (other.verdict, other.text) == (Verdict.UNKNOWN, "self-drilling screws, 4.8 × 19 mm")
    assert not assembled(given(tested=screwed(), facts=detail_facts(fixing_kind="wood screws"))).why.startswith("Holds")
    assert not figures(replace(SCREWS, size=None))["fixing-kind"].is_settled


def test_the_installer_reads_them_in_a_step() -> None:
    words = "self-drilling screws, 4.8 × 19 mm, at most 150 mm apart, at most 60 mm from a corner, 32 in all"
    assert fixing_words(figures().values()) == words
    detail = assembled(given(tested=screwed()))
    assert any(words in step.text for step in detail.steps)
    assert fixing_words(figures(None).values()) == ""


def _fits(length: float, number: int, apart: float, corner: float) -> bool:
    """Whether fixings can stand along a side: the outer two at the corner's limit or nearer, the rest evenly."""
    if number == 1:
        return length / 2 <= corner
    return (length - 2 * min(corner, length / 2)) / (number - 1) <= apart + 1e-9


@drawn(st.integers(100, 1500), st.integers(100, 1500), st.integers(30, 400), st.integers(1, 120), st.integers(1, 3))
def test_fixings_placed_evenly_keep_the_spacing_and_one_fewer_does_not(
    width: int, height: int, apart: int, corner: int, rows: int
) -> None:
    fixings = replace(SCREWS, most_apart_mm=Mm(apart), most_from_corner_mm=Mm(corner), rows=rows)
    place = penetration(duct__size=Size(Mm(width), Mm(height)), damper__size=Size(Mm(width), Mm(height)))
    thing = given(place, screwed(fixings))
    found = by_key(fixing_figures(thing, opening_plan(thing)))
    counts = []
    for key, side in (("fixings-wide", width + 20), ("fixings-high", height + 20)):
        value = found[key].value
        assert value is not None
        number = int(value)
        assert _fits(side, number, apart, corner)
        assert number == 1 or not _fits(side, number - 1, apart, corner)
        counts.append(number)
    assert found["fixings-all"].value == 2 * sum(counts) * rows


@drawn(st.integers(100, 1250), st.integers(30, 400))
def test_a_ring_keeps_the_spacing_and_one_fewer_does_not(diameter: int, apart: int) -> None:
    ring = replace(SCREWS, most_apart_mm=Mm(apart), most_from_corner_mm=None, rows=1)
    sizes = SizeWindow(OpeningShape.ROUND, Window(100, 1250), None)
    thing = given(
        penetration(duct__size=Size(Mm(diameter)), damper__size=Size(Mm(diameter))), screwed(ring, sizes=sizes)
    )
    value = by_key(fixing_figures(thing, opening_plan(thing)))["fixings-round"].value
    assert value is not None
    around = math.pi * (diameter + 20)
    assume(abs(around / apart - round(around / apart)) > 1e-9)
    assert around / value <= apart
    assert value == 1 or around / (value - 1) > apart
