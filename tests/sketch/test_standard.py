# SPDX-License-Identifier: Apache-2.0
"""Standard details: alike in every number that is built, or not shared."""

from __future__ import annotations

import pytest

from brattice.details import Figure, Standing
from brattice.drawing.primitives import Text, flat
from brattice.sketch.standard import OF_THE_PLACE, standard_details, where_used_block
from tests.helpers.details import detail_of, figure


def test_penetrations_alike_share_a_detail_and_others_do_not() -> None:
    details = [detail_of(id=name) for name in ("P-0003", "P-0001", "P-0002")] + [detail_of("floor", id="P-0004")]
    (shared,) = standard_details(details)
    assert shared.ids == ("P-0001", "P-0002", "P-0003")
    assert shared.number == "S-01"
    assert shared.shown.id == "P-0001"


@pytest.mark.parametrize("key", [item.key for item in detail_of().figures])
def test_one_other_number_ends_the_likeness_unless_it_says_where_it_is(key: str) -> None:
    other: Figure = figure(key, key, None, "", "something else")
    alike = standard_details([detail_of(id="P-0001"), detail_of(id="P-0002", figures={key: other})])
    assert bool(alike) is (key in OF_THE_PLACE)


def test_another_step_or_class_ends_the_likeness() -> None:
    one = detail_of(id="P-0001")
    assert standard_details([one, detail_of(id="P-0002", steps=one.steps[:-1])]) == ()
    assert standard_details([one, detail_of(id="P-0002", class_asked="EI 120 (ve i↔o) S")]) == ()
    assert standard_details([one, detail_of(id="P-0002", neighbours=())]) == ()


def test_what_is_not_settled_shares_nothing() -> None:
    for standing in (Standing.TO_BE_SETTLED, Standing.NOT_DRAWN):
        assert standard_details([detail_of(id=name, standing=standing) for name in ("P-0001", "P-0002")]) == ()


def test_what_was_accepted_for_one_place_is_never_shared() -> None:
    words = "Deviation accepted by B. Imaginary, fire engineer, on D-1 revision A."
    assert standard_details([detail_of(id=name, deviation=words) for name in ("P-0001", "P-0002")]) == ()


def test_the_table_says_where_it_is_used_and_what_differs_there() -> None:
    grid = figure("grid", "Grid", None, "", "C/9")
    (shared,) = standard_details([detail_of(id="P-0001"), detail_of(id="P-0002", figures={"grid": grid})])
    block = where_used_block(shared, 170)
    assert shared.number in block.title
    shown = [[item.text for item in flat(row.items) if isinstance(item, Text)] for row in block.rows[1:]]
    assert [row[0] for row in shown] == ["P-0001", "P-0002"]
    assert any("C/9" in text for text in shown[1])
    assert not any("C/9" in text for text in shown[0])
