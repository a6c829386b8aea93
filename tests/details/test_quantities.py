# SPDX-License-Identifier: Apache-2.0
"""Quantities with waste; each expected value is a hand calculation beside its case, the waste that of the row."""

from __future__ import annotations

from dataclasses import replace

import pytest

from brattice.building.penetration import Sides, Size
from brattice.building.words import FixingFamily, SupportingConstruction, SupportKind
from brattice.details.figures import Figure
from brattice.details.given import Given
from brattice.details.openings import opening_plan
from brattice.details.parts import seal_figures
from brattice.details.quantities import quantity_figures
from brattice.evidence.installation import ConstructionTested
from brattice.quantities import Kg, Mm
from tests.details.making import by_key, detail_facts, given, seal_facts
from tests.helpers.details import product_facts
from tests.helpers.installations import gaps, installation
from tests.helpers.judging import BOOK
from tests.helpers.penetrations import penetration


def figures(thing: Given) -> dict[str, Figure]:
    depth = by_key(seal_figures(thing))["seal-depth"]
    return by_key(quantity_figures(thing, opening_plan(thing), depth))


def waste(kind: str) -> float:
    return 1 + BOOK.number(f"quantities.waste.{kind}")


def test_the_seal_fills_the_ring_round_the_casing_for_its_depth() -> None:
    # opening 700 × 500 less casing 620 × 420 (10 mm beyond on each side) = 89,600 mm²; 150 mm deep = 13.44 l
    found = figures(given())
    assert found["seal-volume"].value == pytest.approx(13.44 * waste("seal"))
    assert "quantities.waste.seal" in found["seal-volume"].rows
    # a bag of 25 kg at 1800 kg/m³ fills 13.89 l; 13.44 · 1.15 = 15.46 l take two
    assert found["seal-units"].text == "2 × bag"


def test_units_of_a_seal_that_nobody_describes_are_to_be_settled() -> None:
    assert not figures(given(seals=()))["seal-units"].is_settled
    assert not figures(given(seals=(seal_facts(unit_kg=None),)))["seal-units"].is_settled


def test_of_a_seal_of_two_products_the_shares_are_asked() -> None:
    tested = installation(seal__products=("Cinderlock M5 mortar", "Emberfold B2 board"))
    figure = figures(given(tested=tested))["seal-units"]
    assert figure.missing[0].key == "evidence/HV-10-RW-1/seal.shares"


def test_the_lining_goes_once_round_the_framed_opening() -> None:
    lined = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(25))
    place = penetration(
        barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL,
        barrier__wall_type__lining_mm=Mm(25),
        barrier__wall_type__board_thickness_mm=Mm(12.5),
        opening__framed=Size(Mm(750), Mm(550)),
    )
    figure = figures(given(place, installation(construction=lined)))["board-area"]
    # 2 · (750 + 550) = 2600 mm · 150 mm · 2 boards = 0.78 m²
    assert figure.value == pytest.approx(0.78 * waste("board"))


def test_a_lining_that_is_no_whole_number_of_boards_counts_as_one_layer_of_its_own() -> None:
    lined = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(20))
    place = penetration(
        barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL,
        barrier__wall_type__lining_mm=Mm(20),
        barrier__wall_type__board_thickness_mm=Mm(12.5),
        opening__framed=Size(Mm(740), Mm(540)),
    )
    figure = figures(given(place, installation(construction=lined)))["board-area"]
    # 2 · (740 + 540) = 2560 mm · 150 mm · 1 = 0.384 m²
    assert figure.value == pytest.approx(0.384 * waste("board"))
    assert "One layer of 20 mm" in figure.note


def test_an_unlined_opening_takes_no_board() -> None:
    assert "board-area" not in figures(given())


def test_angles_go_round_both_faces_with_their_corners() -> None:
    tested = installation(fixing=FixingFamily.SLEEVE_AND_ANGLES, seal__gaps=gaps(50, 50))
    # (2 · (620 + 420) + 8 · 50) · 2 faces = 4.96 m
    assert figures(given(tested=tested))["angle-length"].value == pytest.approx(4.96 * waste("angle"))


def test_the_leg_of_an_angle_spans_the_widest_gap() -> None:
    tested = installation(fixing=FixingFamily.SLEEVE_AND_ANGLES, seal__gaps=gaps(20, 80))
    place = penetration(opening__gaps=Sides(Mm(60), Mm(40), Mm(50), Mm(50)))
    # (2 · (620 + 420) + 8 · 60) · 2 faces = 5.12 m
    assert figures(given(place, tested))["angle-length"].value == pytest.approx(5.12 * waste("angle"))


def test_rods_are_counted_by_their_length() -> None:
    thing = given(
        tested=installation(support=SupportKind.DROP_RODS),
        product=product_facts(),
        facts=detail_facts(rod_size="M10", rod_count=2, rod_length_mm=Mm(900), weight_kg=Kg(45)),
    )
    assert figures(thing)["rod-total"].value == pytest.approx(1.8 * waste("rod"))
    without = replace(thing, penetration=replace(thing.penetration, detail=detail_facts()))
    assert not figures(without)["rod-total"].is_settled
