# SPDX-License-Identifier: Apache-2.0
"""What may be done with a detail: nothing unknown and nothing failing is ever built."""

from __future__ import annotations

from dataclasses import replace

import pytest

from brattice.details import TO_BE_SETTLED, Standing
from brattice.details.assemble import BUILDER_NEEDS
from brattice.details.table import FIGURES
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.details.making import BUILDABLE, assembled, detail_facts, given
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, without


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
