# SPDX-License-Identifier: Apache-2.0
"""Barrier, damper and seal in figures; what is stated is held against the test, exactly at its limits too."""

from __future__ import annotations

import pytest

from brattice.building.penetration import Size
from brattice.details.parts import barrier_figures, damper_figures, seal_figures
from brattice.evidence.installation import Window
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.details.making import by_key, given, seal_facts
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, without

SECTIONS = product_facts(
    section_widths_mm=(Mm(600), Mm(700), Mm(800)), section_heights_mm=(Mm(400), Mm(500)), casing_length_mm=None
)


@pytest.mark.parametrize(
    ("width", "height", "words"),
    [
        (800, 400, ""),  # one section of the largest width
        (1300, 400, "Multi-section unit, wide: 700 + 600."),
        (1600, 900, "Multi-section unit, wide: 800 + 800; high: 500 + 400."),
        (1250, 400, "Multi-section unit, wide: no sections of the maker make up this side."),
    ],
)
def test_a_unit_larger_than_the_largest_section_says_what_it_is_made_of(
    width: float, height: float, words: str
) -> None:
    """Field case 18 of the trade handbook."""
    size = Size(Mm(width), Mm(height))
    figure = by_key(damper_figures(given(penetration(damper__size=size), product=SECTIONS)))["damper-width"]
    assert figure.note == words


@pytest.mark.parametrize(("least", "verdict"), [(150, Verdict.PASS), (150.1, Verdict.FAIL)])
def test_the_barrier_is_as_thick_as_tested(least: float, verdict: Verdict) -> None:
    (figure,) = barrier_figures(given(tested=installation(construction__least_thickness_mm=Mm(least))))
    assert figure.verdict is verdict


@pytest.mark.parametrize(
    ("offset", "verdict"), [(15, Verdict.PASS), (-15, Verdict.PASS), (15.1, Verdict.FAIL), (-15.1, Verdict.FAIL)]
)
def test_the_blade_stands_no_farther_off_the_middle_than_tested(offset: float, verdict: Verdict) -> None:
    thing = given(penetration(damper__blade_offset_mm=Mm(offset)), installation(most_blade_offset_mm=Mm(15)))
    assert by_key(damper_figures(thing))["blade-offset"].verdict is verdict


def test_a_blade_that_the_document_does_not_place_is_not_passed() -> None:
    figure = by_key(damper_figures(given(tested=installation(most_blade_offset_mm=None))))["blade-offset"]
    assert figure.verdict is Verdict.UNKNOWN
    assert figure.missing[0].key == "evidence/HV-10-RW-1/most_blade_offset_mm"


def test_what_the_maker_does_not_state_of_the_casing_is_to_be_settled() -> None:
    figures = by_key(damper_figures(given(product=SECTIONS)))
    assert not figures["casing-length"].is_settled
    assert "Harrow & Vale HV-10" in figures["casing-length"].missing[0].key


@pytest.mark.parametrize(("depth", "verdict"), [(100, Verdict.PASS), (99.9, Verdict.FAIL)])
def test_the_seal_is_as_deep_as_tested(depth: float, verdict: Verdict) -> None:
    thing = given(penetration(installation__seal_depth_mm=Mm(depth)))
    assert by_key(seal_figures(thing))["seal-depth"].verdict is verdict


@pytest.mark.parametrize(("depth", "verdict"), [(150, Verdict.PASS), (150.1, Verdict.FAIL)])
def test_the_seal_is_no_deeper_than_tested(depth: float, verdict: Verdict) -> None:
    thing = given(
        penetration(installation__seal_depth_mm=Mm(depth)), installation(seal__depth_mm=Window(Mm(100), Mm(150)))
    )
    assert by_key(seal_figures(thing))["seal-depth"].verdict is verdict


def test_where_nobody_states_the_depth_the_tested_one_is_given_and_said() -> None:
    figure = by_key(seal_figures(given(without(penetration(), "installation__seal_depth_mm"))))["seal-depth"]
    assert (figure.value, figure.verdict) == (100, Verdict.NOT_APPLICABLE)
    assert figure.note == "The least depth that was tested; none is stated."
    silent = given(
        without(penetration(), "installation__seal_depth_mm"), installation(seal__depth_mm=Window(None, 200))
    )
    assert not by_key(seal_figures(silent))["seal-depth"].is_settled


def test_the_longest_curing_time_of_the_products_counts() -> None:
    tested = installation(seal__products=("Cinderlock M5 mortar", "Emberfold S sealant"))
    for mortar, sealant in ((48.0, 72.0), (72.0, 48.0)):
        seals = (seal_facts(cure_h=mortar), seal_facts("Emberfold S sealant", cure_h=sealant))
        assert by_key(seal_figures(given(tested=tested, seals=seals)))["seal-cure"].text == "72 h"
    figure = by_key(seal_figures(given(tested=tested)))["seal-cure"]  # of the sealant nobody states it
    assert [item.key for item in figure.missing] == ["seal/Emberfold S sealant/cure"]


def test_a_casing_off_the_ducts_axis_says_each_side() -> None:
    tested = installation(casing_beyond_mm=(Mm(10), Mm(40), Mm(5), Mm(5)))
    figure = by_key(damper_figures(given(tested=tested)))["casing-beyond"]
    assert figure.text == "left 10, right 40, top 5, bottom 5 mm"
