# SPDX-License-Identifier: Apache-2.0
"""The steps stand in the tables of Decision 2000/367/EC (with 2003/629/EC for smoke control), typed again here."""

from dataclasses import replace

import pytest

from brattice.adapters.rows import load_rows, shipped_book
from brattice.classes import ClassSteps, Family, Heat
from brattice.classes.steps import ORDER_ROWS, step_down
from brattice.errors import OwnFault
from brattice.rows import RowBook


def test_the_steps_are_those_of_the_class_tables(steps: ClassSteps) -> None:
    # annex, "dampers": EI 15 20 30 45 60 90 120 180 240; E 30 60 90 120 (trade handbook rows 1.4, 1.5)
    assert steps.damper_ei == (15, 20, 30, 45, 60, 90, 120, 180, 240)
    assert steps.damper_e == (30, 60, 90, 120)
    # annex, "ventilation ducts": E 30 60 alone (trade handbook rows 1.6, 1.7)
    assert steps.duct_ei == (15, 20, 30, 45, 60, 90, 120, 180, 240)
    assert steps.duct_e == (30, 60)
    # annex, smoke control dampers (trade handbook rows 1.30, 1.31, 1.33, 1.38, 1.40)
    assert steps.smoke_single == steps.smoke_multi == (30, 60, 90, 120)
    assert steps.smoke_single_temperatures == (300, 600)
    assert steps.smoke_pressures == (500, 1000, 1500)
    assert steps.smoke_cycles == (300, 10000)
    assert (steps.hot, steps.hot_temperature) == ((400, 30), 600)
    # annex, partitions and loadbearing walls (trade handbook row 1.8 for E and EI)
    assert steps.barrier_times(False, Heat.NONE, False) == (20, 30, 60, 90, 120)
    assert steps.barrier_times(False, Heat.RADIATION, False) == (20, 30, 60, 90, 120)
    assert steps.barrier_times(False, Heat.INSULATION, False) == (15, 20, 30, 45, 60, 90, 120, 180, 240)
    assert steps.barrier_times(False, Heat.INSULATION, True) == (30, 60, 90, 120, 180, 240)
    assert steps.barrier_times(True, Heat.NONE, False) == (20, 30, 60, 90, 120, 180, 240, 360)
    assert steps.barrier_times(True, Heat.RADIATION, False) == (20, 30, 60, 90, 120, 180, 240, 360)
    assert steps.barrier_times(True, Heat.INSULATION, False) == (15, 20, 30, 45, 60, 90, 120, 180, 240, 360)
    assert steps.barrier_times(True, Heat.INSULATION, True) == (30, 60, 90, 120, 180, 240, 360)
    assert steps.barrier_times(False, Heat.NONE, True) == ()


def test_every_time_of_a_family_stands_in_one_of_its_tables(steps: ClassSteps) -> None:
    assert steps.all_times(Family.DUCT) == steps.duct_ei
    assert steps.all_times(Family.SMOKE_CONTROL_DAMPER) == (30, 60, 90, 120)
    assert max(steps.all_times(Family.BARRIER)) == 360


def test_a_time_is_rounded_down_to_a_step() -> None:
    # trade handbook row 1.12
    assert step_down(59, (30, 60, 90)) == 30
    assert step_down(60, (30, 60, 90)) == 60
    assert step_down(29, (30, 60, 90)) is None


def test_a_book_that_says_otherwise_or_lacks_a_row_is_our_own_fault() -> None:
    rows = load_rows()
    for row_id in ORDER_ROWS:
        contrary = RowBook.of(replace(row, value=False) if row.id == row_id else row for row in rows)
        with pytest.raises(OwnFault, match=row_id):
            ClassSteps.from_book(contrary)
    with pytest.raises(OwnFault, match=r"class\.duct\.e-steps"):
        ClassSteps.from_book(RowBook.of(row for row in rows if row.id != "class.duct.e-steps"))


def test_a_book_with_another_step_gives_another_step() -> None:
    rows = [replace(row, value=(30,)) if row.id == "class.duct.e-steps" else row for row in load_rows()]
    assert ClassSteps.from_book(RowBook.of(rows)).duct_e == (30,)
    assert ClassSteps.from_book(shipped_book()).duct_e == (30, 60)
