# SPDX-License-Identifier: Apache-2.0
"""The table of figures, its page, and the rows that figures rest on."""

from __future__ import annotations

from fnmatch import fnmatchcase

from brattice.building.words import CeilingKind, FanInFire, FixingFamily, SlabKind, SupportKind
from brattice.details import InstallationDetail
from brattice.details.table import FIGURES
from brattice.evidence.product import LossTable
from brattice.quantities import Kg, Mm, Pa
from tests.details.making import assembled, detail_facts, given
from tests.helpers.details import KINDS, detail_of, product_facts
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK
from tests.helpers.penetrations import penetration
from tools.details_doc import PAGE, with_table


def _details() -> list[InstallationDetail]:
    hung = detail_facts(
        weight_kg=Kg(45),
        rod_size="M10",
        rod_count=2,
        rod_length_mm=Mm(900),
        slab=SlabKind.SOLID,
        anchor="sleeve anchor",
        fan_in_fire=FanInFire.RUNS,
        system_pressure_pa=Pa(400),
        ceiling=CeilingKind.FIXED,
        hatch_width_mm=Mm(250),
        hatch_height_mm=Mm(600),
        door_width_mm=Mm(250),
        door_distance_mm=Mm(900),
    )
    full = product_facts(
        blade_class=3,
        casing_class="C",
        loss=LossTable("constant", "invented", a=0.2),
        least_door_mm=None,
        door_within_mm=None,
    )
    tested = installation(support=SupportKind.DROP_RODS, fixing=FixingFamily.SLEEVE_AND_ANGLES)
    place = penetration(installation__support=SupportKind.DROP_RODS)
    return [assembled(), assembled(given(place, tested, full, facts=hung))]


def test_the_page_has_the_table_of_the_code() -> None:
    page = PAGE.read_text("utf-8")
    assert with_table(page) == page, "run python -m tools.details_doc"


def test_every_row_that_a_figure_rests_on_stands_in_the_table_and_in_the_book() -> None:
    for detail in _details():
        for figure in detail.figures:
            spec = FIGURES[figure.key]
            for row in figure.rows:
                assert any(fnmatchcase(row, pattern) for pattern in (*spec.rows, *spec.more_rows)), (figure.key, row)
                assert BOOK.find(row) is not None


def test_every_row_of_the_table_is_one_of_the_book() -> None:
    for spec in FIGURES.values():
        for pattern in (*spec.rows, *spec.more_rows):
            assert any(fnmatchcase(row, pattern) for row in BOOK.rows), (spec.key, pattern)


def test_a_settled_figure_can_be_traced_to_a_fact_a_row_or_a_note() -> None:
    for detail in _details():
        for figure in detail.figures:
            if figure.is_settled:
                assert figure.uses or figure.rows or figure.note, figure.key
            elif figure.text == "to be settled":
                assert figure.missing, figure.key


def test_figures_come_in_the_order_of_the_table() -> None:
    places = list(FIGURES)
    for detail in _details():
        keys = [figure.key for figure in detail.figures]
        assert keys == sorted(keys, key=places.index)


def test_the_details_of_the_helpers_have_keys_and_units_of_the_table() -> None:
    for kind in KINDS:
        for figure in detail_of(kind).figures:
            assert figure.unit in {FIGURES[figure.key].unit, ""}, figure.key
