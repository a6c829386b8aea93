# SPDX-License-Identifier: Apache-2.0
"""Steps and hold points: the order of each family is that of the trade handbook, 5.2 and 5.4."""

from __future__ import annotations

from typing import Any

import pytest

from brattice.building.penetration import Separation, Sides, Size
from brattice.building.words import (
    CeilingKind,
    FixingFamily,
    Joint,
    SeparationFill,
    SlabKind,
    SupportingConstruction,
    SupportKind,
    Surface,
)
from brattice.details import HoldPoint, InstallationDetail
from brattice.details.neighbours import neighbours
from brattice.evidence.installation import ConstructionTested, SeparationTested
from brattice.findings import Party, Verdict
from brattice.quantities import Kg, Mm
from tests.details.making import assembled, detail_facts, given, seal_facts
from tests.helpers.details import product_facts
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import known, penetration, unknown

HOLDS = [HoldPoint.OPENING, HoldPoint.FIXING, HoldPoint.SEAL, HoldPoint.ACCESS, HoldPoint.ACCESS_AGAIN]


def detail(family: FixingFamily, **tested: Any) -> InstallationDetail:
    return assembled(given(penetration(installation__fixing=family), installation(fixing=family, **tested)))


def first(found: InstallationDetail, trade: Party) -> int:
    return next(step.number for step in found.steps if step.trade is trade)


@pytest.mark.parametrize("family", [item for item in FixingFamily if item is not FixingFamily.REMOTE_SUPPORTED])
def test_every_family_stops_at_each_hold_point_in_its_order(family: FixingFamily) -> None:
    found = detail(family)
    assert [step.hold for step in found.steps if step.hold is not None] == HOLDS
    assert [step.number for step in found.steps] == list(range(1, len(found.steps) + 1))
    assert first(found, Party.DRY_LINER) < first(found, Party.DUCTWORK_CONTRACTOR) < first(found, Party.FIRESTOPPER)


def test_away_from_the_barrier_the_seal_of_the_duct_comes_before_the_damper() -> None:
    """Family H: barrier, duct sleeve and seal, protected duct, damper."""
    found = detail(FixingFamily.REMOTE_SUPPORTED)
    assert first(found, Party.FIRESTOPPER) < first(found, Party.DUCTWORK_CONTRACTOR)


def test_the_opening_is_formed_in_the_details_own_numbers() -> None:
    place = penetration(
        barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL,
        barrier__wall_type__lining_mm=Mm(12.5),
        opening__framed=Size(Mm(715), Mm(515)),
        opening__finished=Size(Mm(690), Mm(490)),
        opening__gaps=Sides(Mm(45), Mm(45), Mm(45), Mm(45)),
    )
    lined = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(12.5))
    tested = installation(construction=lined, seal__gaps=gaps(40, 50), fixing=FixingFamily.LINED_OPENING)
    step = assembled(given(place, tested)).steps[0]
    assert step.text.startswith("Form the opening 690 × 490 mm finished clear (715 × 515 framed) at B/3, sill 2655 mm")
    assert "line each reveal 12.5 mm" in step.text
    assert step.trade is Party.DRY_LINER


def test_in_masonry_that_rises_round_the_damper_the_place_is_held_first() -> None:
    steps = detail(FixingFamily.BUILT_IN).steps
    assert steps[0].text.startswith("Set out the opening 700 × 500 mm")
    assert "cleats" in steps[1].text


def test_drop_rods_are_fixed_before_the_damper_hangs_and_the_batt_carries_nothing() -> None:
    family = FixingFamily.BATT_WITH_RODS
    facts = detail_facts(
        weight_kg=Kg(45),
        rod_size="M10",
        rod_count=2,
        rod_length_mm=Mm(900),
        slab=SlabKind.SOLID,
        anchor="sleeve anchor",
    )
    place = penetration(installation__fixing=family, installation__support=SupportKind.DROP_RODS)
    tested = installation(fixing=family, support=SupportKind.DROP_RODS)
    texts = [step.text for step in assembled(given(place, tested, product_facts(), facts=facts)).steps]
    rods = next(number for number, text in enumerate(texts) if text.startswith("Fix 2 × M10 drop rods, 900 mm long"))
    assert "the batt carries nothing" in texts[rods + 1]


def test_boarding_is_closed_after_the_seal_was_seen() -> None:
    steps = detail(FixingFamily.LINED_OPENING).steps
    seal = next(step.number for step in steps if step.hold is HoldPoint.SEAL)
    close = next(step.number for step in steps if step.text.startswith("Close the boarding"))
    assert close == seal + 1


def test_the_seal_cures_as_long_as_its_maker_says_or_it_is_to_be_settled() -> None:
    assert any("cure: 48 h" in step.text for step in assembled().steps)
    assert any("cure: to be settled" in step.text for step in assembled(given(seals=())).steps)
    without = assembled(given(seals=(seal_facts(cure_h=0.0),)))
    assert not any("cure" in step.text for step in without.steps)


def test_a_fixed_ceiling_closes_after_the_access_was_seen() -> None:
    facts = detail_facts(ceiling=CeilingKind.FIXED, hatch_width_mm=Mm(600), hatch_height_mm=Mm(600))
    steps = assembled(given(facts=facts)).steps
    access = next(step.number for step in steps if step.hold is HoldPoint.ACCESS)
    ceiling = next(step.number for step in steps if step.text.startswith("Close the ceiling"))
    assert ceiling == access + 1
    assert steps[ceiling - 1].text == "Close the ceiling with its hatch below the damper: 600 × 600 mm."
    assert steps[-1].hold is HoldPoint.ACCESS_AGAIN


def test_where_no_duct_meets_the_damper_no_duct_is_joined() -> None:
    steps = assembled(given(penetration(installation__joint=Joint.NO_DUCT))).steps
    assert not any("join it to the damper" in step.text for step in steps)


def test_what_rests_on_the_evidence_says_so() -> None:
    steps = assembled().steps
    assert {step.why for step in steps} == {"HV-10 instructions, revision 3", "common practice"}
    assert all(step.text.endswith(".") for step in steps)


def near(to: str, mm: float, surface: Surface = Surface.CASING, fill: SeparationFill | None = None) -> Separation:
    end = Surface.FACE if to in {"wall", "floor"} else surface
    between = unknown() if fill is None else known(fill)
    return Separation(to, known(Mm(mm)), surface, end, between)


SOLID = SeparationFill.SUPPORTING_CONSTRUCTION
TESTED = (
    SeparationTested("wall", Mm(75), Surface.CASING, Surface.FACE),
    SeparationTested("damper", Mm(200), Surface.CASING, Surface.CASING),
)


@pytest.mark.parametrize(
    ("item", "verdict"),
    [
        (near("P-0002", 200, fill=SOLID), Verdict.PASS),
        (near("P-0002", 180, fill=SOLID), Verdict.FAIL),  # C21
        (near("wall", 60), Verdict.FAIL),  # C22
        (near("wall", 75), Verdict.PASS),
        (near("P-0002", 220, fill=SeparationFill.BATT), Verdict.FAIL),  # C23
        (near("P-0002", 700, fill=SeparationFill.BATT), Verdict.FAIL),  # however far apart
        (near("P-0002", 700), Verdict.PASS),  # 200 and twice the 250 that anything of a damper reaches
        (near("P-0002", 699), Verdict.UNKNOWN),
        (near("P-0002", 220), Verdict.UNKNOWN),  # nobody says what lies between
        (near("P-0002", 205, Surface.DUCT, SOLID), Verdict.FAIL),  # field case 23: 10 of it are this casing's
        (near("P-0002", 215, Surface.DUCT, SOLID), Verdict.UNKNOWN),  # how far the other casing stands out, nobody says
    ],
)
def test_neighbours_are_measured_as_the_test_measured(item: Separation, verdict: Verdict) -> None:
    (found,) = neighbours(given(penetration(separations=(item,)), installation(separations=TESTED)))
    assert found.clear.verdict is verdict


def test_a_distance_from_the_duct_is_turned_into_that_from_the_casing() -> None:
    (found,) = neighbours(
        given(penetration(separations=(near("wall", 90, Surface.DUCT),)), installation(separations=TESTED))
    )
    assert found.clear.text == "80 mm"  # 90 less the 10 mm that the casing stands beyond the duct
    assert found.clear.verdict is Verdict.PASS


def test_a_distance_that_nobody_states_is_to_be_settled() -> None:
    item = Separation("wall", unknown("penetration/P-0001/near-wall"), Surface.CASING, Surface.FACE, unknown())
    found = assembled(given(penetration(separations=(item,)), installation(separations=TESTED)))
    assert found.neighbours[0].clear.text == "to be settled"
    assert "penetration/P-0001/near-wall" in {missing.key for missing in found.to_settle}
