# SPDX-License-Identifier: Apache-2.0
"""The class steps that exist, taken from data rows once and handed to whoever reads or compares classes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from brattice.classes.values import Family, Heat
from brattice.errors import OwnFault
from brattice.rows import RowBook

__all__ = ["ORDER_ROWS", "ClassSteps"]

ORDER_ROWS: tuple[str, ...] = (
    "class.order.families-apart",
    "class.order.fire-side-included",
    "class.order.higher-pressure-gives-lower",
    "class.order.insulation-gives-integrity",
    "class.order.insulation-gives-radiation",
    "class.order.leakage-with-its-time",
    "class.order.loadbearing-gives-separating",
    "class.order.longer-gives-shorter",
    "class.order.multi-replaces-single",
    "class.order.orientation-included",
)
"""The rows that say how classes are compared. The comparison is written for them: a book can't say otherwise."""

_BARRIER_ROWS = {
    (False, Heat.NONE, False): "class.barrier.e-steps",
    (False, Heat.RADIATION, False): "class.barrier.ew-steps",
    (False, Heat.INSULATION, False): "class.barrier.ei-steps",
    (False, Heat.INSULATION, True): "class.barrier.ei-m-steps",
    (True, Heat.NONE, False): "class.barrier.re-steps",
    (True, Heat.RADIATION, False): "class.barrier.rew-steps",
    (True, Heat.INSULATION, False): "class.barrier.rei-steps",
    (True, Heat.INSULATION, True): "class.barrier.rei-m-steps",
}


@dataclass(frozen=True)
class ClassSteps:
    """Which times, temperatures, pressures [Pa] and cycles stand in the class tables.

    `barrier` holds (loadbearing, heat, impact) with the times of that table.
    """

    damper_ei: tuple[int, ...]
    damper_e: tuple[int, ...]
    damper_e_outside: tuple[int, ...]
    damper_cycles: tuple[int, ...]
    duct_ei: tuple[int, ...]
    duct_e: tuple[int, ...]
    basic_pressure_pa: int
    smoke_single: tuple[int, ...]
    smoke_single_temperatures: tuple[int, ...]
    smoke_multi: tuple[int, ...]
    smoke_pressures: tuple[int, ...]
    smoke_cycles: tuple[int, ...]
    hot: tuple[int, int]
    hot_temperature: int
    barrier: tuple[tuple[tuple[bool, Heat, bool], tuple[int, ...]], ...]

    @classmethod
    def from_book(cls, book: RowBook, on: date | None = None, jurisdiction: str = "") -> ClassSteps:
        """The steps as a book of rows has them; a missing or contrary row is our own fault (`OwnFault`)."""

        def many(row_id: str) -> tuple[int, ...]:
            return tuple(sorted(book.integers(row_id, on, jurisdiction)))

        def one(row_id: str) -> int:
            return int(book.number(row_id, on, jurisdiction))

        for row_id in ORDER_ROWS:
            if book.need(row_id, on, jurisdiction).value is not True:
                raise OwnFault(f"the comparison of classes is written for row {row_id!r} being true")
        hot = book.integers("class.smoke-damper.hot", on, jurisdiction)
        if len(hot) != 2:
            raise OwnFault(f"row 'class.smoke-damper.hot' holds no pair: {hot}")
        return cls(
            damper_ei=many("class.fire-damper.ei-steps"),
            damper_e=many("class.fire-damper.e-steps"),
            damper_e_outside=many("class.fire-damper.e-outside-steps"),
            damper_cycles=many("class.fire-damper.cycles"),
            duct_ei=many("class.duct.ei-steps"),
            duct_e=many("class.duct.e-steps"),
            basic_pressure_pa=one("class.pressure.basic"),
            smoke_single=many("class.smoke-damper.single-steps"),
            smoke_single_temperatures=many("class.smoke-damper.single-temperatures"),
            smoke_multi=many("class.smoke-damper.multi-steps"),
            smoke_pressures=many("class.smoke-damper.pressures"),
            smoke_cycles=many("class.smoke-damper.cycles"),
            hot=(hot[0], hot[1]),
            hot_temperature=one("class.smoke-damper.hot-temperature"),
            barrier=tuple((key, many(row_id)) for key, row_id in _BARRIER_ROWS.items()),
        )

    def times(self, family: Family, insulated: bool) -> tuple[int, ...]:
        """The times of a family's EI (insulated) or E table [min]; for smoke control dampers the "multi" one."""
        if family is Family.FIRE_DAMPER:
            return self.damper_ei if insulated else self.damper_e
        if family is Family.DUCT:
            return self.duct_ei if insulated else self.duct_e
        if family is Family.SMOKE_CONTROL_DAMPER:
            return self.smoke_multi
        return self.barrier_times(False, Heat.INSULATION if insulated else Heat.NONE, False)

    def all_times(self, family: Family) -> tuple[int, ...]:
        """Every time that any table of a family holds, those known outside the tables included [min]."""
        tables = {
            Family.FIRE_DAMPER: (self.damper_ei, self.damper_e, self.damper_e_outside),
            Family.DUCT: (self.duct_ei, self.duct_e),
            Family.SMOKE_CONTROL_DAMPER: (self.smoke_single, self.smoke_multi),
            Family.BARRIER: tuple(times for _, times in self.barrier),
        }[family]
        return tuple(sorted({time for table in tables for time in table}))

    def barrier_times(self, loadbearing: bool, heat: Heat, impact: bool) -> tuple[int, ...]:
        """The times of one table of barriers [min]; empty where no such table exists."""
        return dict(self.barrier).get((loadbearing, heat, impact), ())


def step_down(minutes: int, times: tuple[int, ...]) -> int | None:
    """The longest time of a table that is not longer than `minutes` [min]; None when there is none."""
    return max((item for item in times if item <= minutes), default=None)
