# SPDX-License-Identifier: Apache-2.0
"""Drop rods of a detail: check cases C27 to C32 of the trade handbook (section 10), at the level of the detail."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.words import Joint, SlabKind, SupportKind
from brattice.details.assemble import assemble_detail
from brattice.details.checks import failing_reasons
from brattice.details.detail import Standing
from brattice.details.given import Given
from brattice.details.support import rod_figures, support_figures, weight_figure
from brattice.evidence.product import LossTable
from brattice.findings import Verdict
from brattice.quantities import Kg, Mm
from tests.details.making import BUILDABLE, by_key, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration

ANCHOR = "sleeve anchor, fire assessed for solid concrete"


def hung(
    rod: str | None = "M10",
    *,
    count: int | None = 2,
    tested: str | None = "2 × M10",
    minutes: int | None = 60,
    **facts: Any,
) -> Given:
    """45 kg on drop rods, as in the check cases, unless a fact is given otherwise."""
    stated: dict[str, Any] = {
        "weight_kg": Kg(45),
        "rod_size": rod,
        "rod_count": count,
        "rod_length_mm": Mm(900),
        "slab": SlabKind.SOLID,
        "anchor": ANCHOR,
    }
    return given(
        penetration(installation__support=SupportKind.DROP_RODS),
        installation(support=SupportKind.DROP_RODS),
        product_facts(rods_tested=tested),
        minutes=minutes,
        facts=detail_facts(**(stated | facts)),
    )


def test_c27_45_kg_on_two_m10_is_3_81_n_mm2_and_left_to_the_test() -> None:
    for minutes, most in ((60, "9"), (120, "6")):
        figure = by_key(rod_figures(hung(minutes=minutes)))["rod-stress"]
        assert figure.value == pytest.approx(3.81, rel=0.005)  # 45 · 9.81 / (2 · 58.0)
        assert figure.text == "3.806 N/mm²"
        assert figure.limit.startswith(f"at most {most} N/mm²")
        assert figure.verdict is Verdict.NOT_APPLICABLE  # a calculation never passes a support


@pytest.mark.parametrize(("minutes", "least"), [(60, "M8"), (120, "M10")])
def test_c28_and_c29_the_least_thread(minutes: int, least: str) -> None:
    assert by_key(rod_figures(hung(minutes=minutes)))["rod-least"].text == least


def test_c29_m8_at_120_minutes_fails_before_anything_is_rounded() -> None:
    thing = hung("M8", tested="2 × M8", minutes=120)
    figure = by_key(rod_figures(thing))["rod-stress"]
    assert figure.value == pytest.approx(6.031, rel=0.0005)
    assert figure.verdict is Verdict.FAIL
    assert [item.code for item in failing_reasons(thing)] == ["support-in-fire"]
    assert assemble_detail(thing, BUILDABLE).standing is Standing.TO_BE_SETTLED


def test_c30_evidence_of_the_bs_476_24_days_brings_the_root_area_and_its_own_limit() -> None:
    british = installation(support=SupportKind.DROP_RODS, document__standard="BS 476-24")
    thing = hung("M8", tested="2 × M8", minutes=120)
    figure = by_key(rod_figures(Given(**{**vars(thing), "tested": british})))["rod-stress"]
    assert figure.value == pytest.approx(6.72, rel=0.005)  # 45 · 9.81 / (2 · 32.84)
    assert figure.limit.startswith("at most 10 N/mm²")
    assert figure.verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(("kg", "fails"), [(44.7, False), (44.9, True)])
def test_c31_two_m8_carry_44_8_kg_at_120_minutes(kg: float, fails: bool) -> None:
    figure = by_key(rod_figures(hung("M8", tested="2 × M8", minutes=120, weight_kg=Kg(kg))))["rod-stress"]
    assert (figure.verdict is Verdict.FAIL) is fails


@pytest.mark.parametrize(
    ("length", "protected", "verdict"),
    [
        (1800, False, Verdict.FAIL),
        (1800, None, Verdict.UNKNOWN),
        (1800, True, Verdict.UNKNOWN),  # the protection has to be a tested one
        (1500, False, Verdict.NOT_APPLICABLE),  # exactly at the limit
        (1500.1, False, Verdict.FAIL),
    ],
)
def test_c32_a_rod_longer_than_1_5_m_needs_protection(length: float, protected: bool | None, verdict: Verdict) -> None:
    thing = hung(rod_length_mm=Mm(length), rods_protected=protected)
    figure = by_key(rod_figures(thing))["rod-length"]
    assert figure.verdict is verdict
    assert bool(failing_reasons(thing)) is (verdict is Verdict.FAIL)


@pytest.mark.parametrize(
    ("rod", "count", "verdicts"),
    [
        ("M10", 2, (Verdict.PASS, Verdict.PASS)),
        ("M8", 2, (Verdict.FAIL, Verdict.PASS)),
        ("M12", 2, (Verdict.UNKNOWN, Verdict.PASS)),
        ("M10", 1, (Verdict.PASS, Verdict.FAIL)),
        ("M10", 4, (Verdict.PASS, Verdict.UNKNOWN)),
    ],
)
def test_rods_are_held_against_those_of_the_test(rod: str, count: int, verdicts: tuple[Verdict, Verdict]) -> None:
    figures = by_key(rod_figures(hung(rod, count=count)))
    assert (figures["rod-size"].verdict, figures["rod-count"].verdict) == verdicts


def test_rods_of_a_test_that_nobody_describes_are_never_a_pass() -> None:
    for words in (None, "as the drawing shows"):
        figures = by_key(rod_figures(hung(tested=words)))
        assert figures["rod-size"].verdict is Verdict.UNKNOWN
        assert assemble_detail(hung(tested=words), BUILDABLE).standing is Standing.TO_BE_SETTLED


@pytest.mark.parametrize("name", ["weight_kg", "rod_count", "rod_size"])
def test_a_stress_without_one_of_its_facts_is_unknown(name: str) -> None:
    product = product_facts(rods_tested="2 × M10", weight=None)
    thing = Given(**{**vars(hung(**({} if name == "rod_size" else {name: None}))), "product": product})
    if name == "rod_size":
        thing = Given(**{**vars(hung(None)), "product": product})
    figure = by_key(rod_figures(thing))["rod-stress"]
    assert (figure.value, figure.verdict) == (None, Verdict.UNKNOWN)
    assert figure.missing


def test_without_a_class_time_no_limit_is_chosen() -> None:
    assert by_key(rod_figures(hung(minutes=None)))["rod-stress"].verdict is Verdict.UNKNOWN


def test_beyond_the_table_of_limits_nothing_is_passed() -> None:
    assert by_key(rod_figures(hung(minutes=240)))["rod-stress"].verdict is Verdict.UNKNOWN  # EN ends at 120


@pytest.mark.parametrize(
    "slab", [SlabKind.HOLLOW_CORE, SlabKind.POST_TENSIONED, SlabKind.COMPOSITE_DECK, SlabKind.RIBBED]
)
def test_an_anchor_has_to_be_shown_in_the_kind_of_slab_it_hangs_from(slab: SlabKind) -> None:
    """Field case 21: evidence for a solid slab is not automatic elsewhere."""
    assert by_key(rod_figures(hung(slab=slab)))["anchor"].verdict is Verdict.UNKNOWN
    named = f"undercut anchor, fire assessed in {slab.value} slabs"
    assert by_key(rod_figures(hung(slab=slab, anchor=named)))["anchor"].is_settled


def test_a_rod_of_1_5_m_grows_about_19_mm_in_the_fire_at_60_minutes() -> None:
    """Handbook 6.25 (derived there)."""
    figure = by_key(rod_figures(hung(rod_length_mm=Mm(1500))))["rod-elongation"]
    assert figure.value == pytest.approx(19.1, abs=0.1)


def test_a_damper_in_the_barrier_has_no_rods() -> None:
    assert rod_figures(given()) == ()


def test_c64_steel_screws_fail_with_the_joints() -> None:
    figures = by_key(support_figures(given(penetration(installation__joint=Joint.STEEL_SCREWS))))
    assert figures["joint-a"].verdict is Verdict.FAIL
    assert assemble_detail(given(penetration(installation__joint=Joint.STEEL_SCREWS)), BUILDABLE).standing is (
        Standing.TO_BE_SETTLED
    )


def test_a_side_without_a_duct_has_no_joint_to_fail() -> None:
    figures = by_key(support_figures(given(penetration(installation__joint=Joint.NO_DUCT))))
    assert figures["joint-a"].verdict is Verdict.NOT_APPLICABLE


def test_a_support_other_than_tested_fails_and_a_silent_test_is_unknown() -> None:
    place = penetration(installation__support=SupportKind.BOTH)
    assert by_key(support_figures(given(place)))["support"].verdict is Verdict.FAIL
    silent = installation(support=None)
    assert by_key(support_figures(given(tested=silent)))["support"].verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(
    "words",
    [
        "stud anchor, not for hollow-core slabs",
        "stud anchor, fire assessed in solid concrete, no hollow-core",
        "undercut anchor, all slabs except hollow core",
    ],
)
def test_an_anchor_whose_words_deny_the_slab_is_asked_for(words: str) -> None:
    assert by_key(rod_figures(hung(slab=SlabKind.HOLLOW_CORE, anchor=words)))["anchor"].verdict is Verdict.UNKNOWN


def test_the_number_of_a_report_denies_nothing() -> None:
    words = "undercut anchor, report no. 7, hollow-core slabs"
    assert by_key(rod_figures(hung(slab=SlabKind.HOLLOW_CORE, anchor=words)))["anchor"].is_settled


@pytest.mark.parametrize("tested", ["2 × M10 each side", "2 × M10 per section", "2 × M10 a side, 4 in all"])
def test_rods_that_are_counted_by_parts_are_not_compared(tested: str) -> None:
    """Two rods here would be half of those of the test."""
    assert by_key(rod_figures(hung(tested=tested)))["rod-count"].verdict is Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("stated", "value", "fails"), [(10, 72, True), (72, 72, True), (80, 80, True), (None, 72, True)]
)
def test_a_weight_below_the_makers_never_lightens_the_rods(stated: float | None, value: float, fails: bool) -> None:
    """The maker's formula gives 12 + 250·0.24 = 72 kg; on two M6 (2 × 20.1 mm²) that is 17.6 N/mm², over 9."""
    product = product_facts(
        rods_tested="2 × M6", weight=LossTable("affine in area", "product sheet, table 4", a=12.0, b=250.0)
    )
    weight = None if stated is None else Kg(stated)
    thing = replace(hung("M6", weight_kg=weight), product=product)
    assert weight_figure(thing).value == pytest.approx(value)
    assert ("heavier" in weight_figure(thing).note) is (stated == 10)
    assert (by_key(rod_figures(thing))["rod-stress"].verdict is Verdict.FAIL) is fails
