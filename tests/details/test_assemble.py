# SPDX-License-Identifier: Apache-2.0
"""What may be done with a detail: nothing unknown and nothing failing is ever built."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.penetration import Separation, Size
from brattice.building.words import FanInFire, Handing, SeparationFill, Surface
from brattice.details import TO_BE_SETTLED, Standing
from brattice.details.assemble import BUILDER_NEEDS
from brattice.details.given import Given
from brattice.details.table import FIGURES
from brattice.evidence.installation import SeparationTested
from brattice.findings import Fact, Missing, Party, Unknown, Verdict
from brattice.quantities import Mm, Pa
from tests.details.making import BUILDABLE, assembled, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.penetrations import known, penetration, without


def test_a_penetration_with_everything_known_is_to_build() -> None:
    detail = assembled()
    assert (detail.standing, detail.problems) == (Standing.TO_BUILD, ())
    assert detail.text("finished-width") == "700 mm"


def test_every_figure_stands_in_the_table() -> None:
    assert {item.key for item in assembled().figures} <= FIGURES.keys()
    assert set(BUILDER_NEEDS) <= FIGURES.keys()


@pytest.mark.parametrize(
    "name",
    [
        "installation__support",
        "installation__joint",
        "damper__blade_offset_mm",
        "damper__size",
    ],
)
def test_a_fact_that_the_builder_needs_and_nobody_knows_leaves_it_to_be_settled(name: str) -> None:
    detail = assembled(given(without(penetration(), name)))
    assert detail.standing is Standing.TO_BE_SETTLED
    assert any(item.key == f"penetration/P-0001/{name.replace('__', '-')}" for item in detail.to_settle)


def test_a_fact_of_the_order_alone_does_not_stop_the_builder() -> None:
    detail = assembled(given(facts=detail_facts(finish=None)))
    assert detail.standing is Standing.TO_BUILD
    assert detail.text("finish") == TO_BE_SETTLED
    assert "penetration/P-0001/finish" in [item.key for item in detail.to_settle]


def test_outside_scope_is_drawn_and_never_built() -> None:
    asked = replace(BUILDABLE, may_build=False, state_why="2 checks failed and no change named here cures it.")
    detail = assembled(asked=asked)
    assert detail.standing is Standing.TO_BE_SETTLED
    assert detail.why == asked.state_why


def test_a_failing_figure_is_never_built() -> None:
    detail = assembled(given(tested=installation(construction__least_thickness_mm=Mm(151))))
    figure = detail.figure("barrier-thickness")
    assert figure is not None
    assert figure.verdict is Verdict.FAIL
    assert detail.standing is Standing.TO_BE_SETTLED


@pytest.mark.parametrize("name", ["barrier__thickness_mm"])
def test_without_a_shape_nothing_is_drawn(name: str) -> None:
    assert assembled(given(without(penetration(), name))).standing is Standing.NOT_DRAWN


def test_without_any_size_nothing_is_drawn() -> None:
    detail = assembled(given(without(penetration(), "damper__size", "duct__size")))
    assert detail.standing is Standing.NOT_DRAWN
    assert detail.text("damper-width") == TO_BE_SETTLED


def test_a_blade_outside_its_own_casing_is_not_drawn() -> None:
    at_the_end = product_facts(casing_length_mm=Mm(300), blade_from_end_mm=Mm(300))
    assert assembled(given(product=at_the_end)).standing is Standing.TO_BUILD
    beyond = product_facts(casing_length_mm=Mm(300), blade_from_end_mm=Mm(301))
    detail = assembled(given(product=beyond))
    assert detail.standing is Standing.NOT_DRAWN
    assert "301 mm from the casing's end" in detail.problems[0]


def test_no_damper_is_not_drawn_and_says_why() -> None:
    detail = assembled(asked=replace(BUILDABLE, not_drawn="No damper is scheduled here."))
    assert (detail.standing, detail.why) == (Standing.NOT_DRAWN, "No damper is scheduled here.")


def test_an_accepted_deviation_is_built_but_never_a_choice_that_the_maker_does_not_offer() -> None:
    """What the check finds can be accepted by a named person; an option that does not exist can't be had."""
    accepted = replace(BUILDABLE, deviation="Deviation accepted by B. Imaginary, fire engineer, on D-1 revision A.")
    thin = given(tested=installation(construction__least_thickness_mm=Mm(151)))
    assert assembled(thin, accepted).standing is Standing.TO_BUILD
    wrong = given(facts=detail_facts(voltage="24 V DC"))
    assert assembled(wrong, accepted).standing is Standing.TO_BE_SETTLED
    assert assembled(wrong).standing is Standing.TO_BE_SETTLED


@pytest.mark.parametrize(
    ("key", "fact"),
    [
        ("joint-travel", "joint_travel_mm"),
        ("expansion", "run_between_fixed_mm"),
        ("closing-velocity", "fan_in_fire"),
        ("closing-pressure", "fan_in_fire"),
        ("ceiling", "ceiling"),
        ("zone-width", "zone_width_mm"),
        ("zone-depth", "zone_depth_mm"),
        ("door-width", "door_width_mm"),
        ("door-distance", "door_distance_mm"),
        ("handing", "handing"),
        ("centre-height", "centre_above_floor_mm"),
    ],
)
def test_what_the_installer_would_have_to_settle_first_is_never_for_construction(key: str, fact: str) -> None:
    detail = assembled(given(facts=detail_facts(**{fact: None})))
    figure = detail.figure(key)
    assert figure is not None
    assert figure.text == TO_BE_SETTLED
    assert detail.standing is Standing.TO_BE_SETTLED
    assert figure.name in detail.why


def test_a_curing_time_that_nobody_states_is_to_be_settled() -> None:
    """The seal is not to be covered or loaded before it has cured: the step would say "to be settled"."""
    assert assembled(given(seals=())).standing is Standing.TO_BE_SETTLED


def test_closing_against_a_fan_that_runs_needs_what_the_maker_showed() -> None:
    running = detail_facts(fan_in_fire=FanInFire.RUNS, system_pressure_pa=Pa(300))
    shown = product_facts(
        handings=tuple(Handing),
        finishes=("galvanised",),
        most_closing_velocity_m_s=12.0,
        most_closing_pressure_pa=Pa(300),
    )
    assert assembled(given(facts=running, product=shown)).standing is Standing.TO_BUILD  # 300 Pa are not over 300
    for gone in ("most_closing_velocity_m_s", "most_closing_pressure_pa"):
        less: dict[str, Any] = {gone: None}
        product = replace(shown, **less)
        assert assembled(given(facts=running, product=product)).standing is Standing.TO_BE_SETTLED


@pytest.mark.parametrize(
    ("thing", "missing_of_the_order"),
    [
        (given(facts=detail_facts(finish=None)), "penetration/P-0001/finish"),
        (given(facts=detail_facts(air_l_s=None)), "penetration/P-0001/air"),
    ],
)
def test_a_sheet_for_construction_lists_nothing_that_a_figure_of_the_builder_lacks(
    thing: Given, missing_of_the_order: str
) -> None:
    detail = assembled(thing)
    assert detail.standing is Standing.TO_BUILD
    needed = {item for figure in detail.figures if figure.key in BUILDER_NEEDS for item in figure.missing}
    assert not needed & set(detail.to_settle)
    assert missing_of_the_order in [item.key for item in detail.to_settle]
    assert not [item.key for item in detail.figures if item.verdict is Verdict.UNKNOWN and item.limit]


@pytest.mark.parametrize(
    ("distance", "standing"),
    [(75, Standing.TO_BUILD), (74, Standing.TO_BE_SETTLED), (None, Standing.TO_BE_SETTLED)],
)
def test_a_neighbour_too_near_or_not_known_is_never_built_beside(distance: int | None, standing: Standing) -> None:
    """Handbook 2.31: 75 mm to a construction; here the test says so itself, from the casing."""
    missing = Missing("penetration/P-0001/separation", "How far away the soffit is", Party.SERVICES_DESIGNER)
    far: Fact[Mm] = Unknown(missing) if distance is None else known(Mm(distance))
    near = Separation("floor", far, Surface.CASING, Surface.CASING, known(SeparationFill.SUPPORTING_CONSTRUCTION))
    tested = replace(installation(), separations=(SeparationTested("floor", Mm(75), Surface.CASING, Surface.CASING),))
    detail = assembled(given(replace(penetration(), separations=(near,)), tested))
    assert detail.standing is standing, detail.why


def test_sections_that_make_up_no_damper_of_that_size_are_asked_for() -> None:
    """Field case 18: 1250 of sections of 600, 700 and 800 wide can't be made; 1300 can (700 + 600)."""
    sections = (Mm(600), Mm(700), Mm(800))
    product = product_facts(handings=tuple(Handing), section_widths_mm=sections)
    for width, standing in ((1300, Standing.TO_BUILD), (1250, Standing.TO_BE_SETTLED)):
        size = Size(Mm(width), Mm(400))
        place = penetration(
            duct__size=size,
            damper__size=size,
            opening__finished=Size(Mm(width + 100), Mm(500)),
            opening__framed=Size(Mm(width + 100), Mm(500)),
        )
        detail = assembled(given(place, product=product))
        assert detail.standing is standing, detail.why
