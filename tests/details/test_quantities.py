# SPDX-License-Identifier: Apache-2.0
"""Quantities with waste; each expected value is a hand calculation beside its case, the waste that of the row."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from brattice.building.penetration import Sides, Size
from brattice.building.words import FixingFamily, SupportingConstruction, SupportKind
from brattice.details.figures import Figure
from brattice.details.given import Given
from brattice.details.openings import opening_plan
from brattice.details.parts import seal_figures
from brattice.details.quantities import quantity_figures
from brattice.evidence.installation import ConstructionTested, SealPart, Window
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


BOARD, SEALANT = "Emberfold B2 board", "Cinderlock A2 sealant"
TWO = (
    seal_facts(BOARD, density_kg_m3=None, unit_kg=None, unit_words="board", unit_litres=9.0),
    seal_facts(SEALANT, density_kg_m3=None, unit_kg=None, unit_words="cartridge", unit_litres=0.5),
)


def of_two(*parts: SealPart, **changes: Any) -> dict[str, Figure]:
    tested = installation(seal__products=(BOARD, SEALANT), seal__parts=parts)
    return figures(given(tested=tested, seals=TWO, **changes))


def test_each_product_of_a_seal_fills_its_part_with_the_waste() -> None:
    # 13.44 l · 1.15 = 15.456 l; 125 of 150 mm are 12.88 l, two boards of 9 l; 25 mm are 2.576 l,
    # six cartridges of 0.5 l
    found = of_two(SealPart(BOARD, Mm(125), None), SealPart(SEALANT, Mm(25), None))
    assert waste("seal") == 1.15
    assert found["seal-parts"].text == f"{BOARD}: 12.9 l; {SEALANT}: 2.6 l"
    assert found["seal-units"].text == f"{BOARD}: 2 × board; {SEALANT}: 6 × cartridge"
    assert found["seal-units"].is_settled
    # by share: 75 % are 11.592 l, two boards; 25 % are 3.864 l, eight cartridges
    shared = of_two(SealPart(BOARD, None, 75), SealPart(SEALANT, None, 25))
    assert shared["seal-units"].text == f"{BOARD}: 2 × board; {SEALANT}: 8 × cartridge"


def test_parts_that_do_not_add_up_to_the_depth_here_are_asked_after() -> None:
    found = of_two(SealPart(BOARD, Mm(75), None), SealPart(SEALANT, Mm(25), None))
    for key in ("seal-parts", "seal-units"):
        (missing,) = found[key].missing
        assert missing.key == "evidence/HV-10-RW-1/seal.shares"
        assert "150 mm deep, where 100 mm are told product by product" in missing.text


def test_a_product_whose_unit_nobody_states_leaves_the_units_to_be_settled_and_tells_the_litres() -> None:
    tested = installation(
        seal__products=(BOARD, SEALANT), seal__parts=(SealPart(BOARD, None, 75), SealPart(SEALANT, None, 25))
    )
    found = figures(given(tested=tested, seals=TWO[:1]))
    assert [item.key for item in found["seal-units"].missing] == [f"seal/{SEALANT}/unit"]
    assert found["seal-parts"].text == f"{BOARD}: 11.6 l; {SEALANT}: 3.9 l"


@drawn(st.lists(st.integers(1, 400), min_size=2, max_size=5))
def test_the_parts_of_a_seal_are_together_the_whole(depths: list[int]) -> None:
    names = [f"Product {number}" for number in range(len(depths))]
    parts = tuple(SealPart(name, Mm(depth), None) for name, depth in zip(names, depths, strict=True))
    whole = Mm(sum(depths))
    tested = installation(seal__products=tuple(names), seal__parts=parts, seal__depth_mm=Window(whole, None))
    place = penetration(installation__seal_depth_mm=whole)
    found = figures(given(place, tested, seals=()))
    litres = [float(text.rpartition(": ")[2].removesuffix(" l")) for text in found["seal-parts"].text.split("; ")]
    assert found["seal-volume"].value is not None
    assert sum(litres) == pytest.approx(found["seal-volume"].value, abs=0.05 * len(depths) + 1e-9)
    for one, depth in zip(litres, depths, strict=True):
        assert one == pytest.approx(found["seal-volume"].value * depth / whole, abs=0.05 + 1e-9)


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
