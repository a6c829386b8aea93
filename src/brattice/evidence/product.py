# SPDX-License-Identifier: Apache-2.0
"""What the maker states of a product beside its tests: what an order, a calculation or a sketch needs of it.

None, or an empty list, says that nothing is stated: a calculation that needs it stays unknown, an order line is held.
Lengths in millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from brattice.building.penetration import Size
from brattice.building.words import FailPosition, Handing
from brattice.findings import Origin
from brattice.quantities import Kg, Mm, Pa

__all__ = ["Actuator", "LossTable", "ProductFacts", "SealFacts", "SizePoint", "product_of"]


@dataclass(frozen=True)
class Actuator:
    """One actuator or release that a product can be had with; `voltages` as the maker writes them, () for none."""

    code: str
    words: str
    voltages: tuple[str, ...]
    end_switches: bool | None
    fail_position: FailPosition | None
    power_va: float | None = None
    close_s: float | None = None


@dataclass(frozen=True, order=True)
class SizePoint:
    """A value that is stated for one size: width, height (None: round) [mm] and the value in the table's unit."""

    width_mm: Mm
    height_mm: Mm | None
    value: float


@dataclass(frozen=True)
class LossTable:
    """A quantity by size: a table, or a formula of width and height with its source.

    `kind` is "table", "constant", or "affine in area" (a + b·A with A in m²); `points` are of a table, `a` and `b`
    of the others. `source` says where the maker states it. Outside `least` to `most` the value is not known.
    """

    kind: str
    source: str
    points: tuple[SizePoint, ...] = ()
    a: float | None = None
    b: float | None = None
    least: Size | None = None
    most: Size | None = None


@dataclass(frozen=True)
class ProductFacts:
    """What a maker states of one damper family, named as the tested installations name it.

    `section_widths_mm` and `section_heights_mm` are the sections of multi-section units. `weight` [kg], `free_area`
    [m²] and `loss` (coefficient, on the duct velocity unless `loss_on_free_area`) are by size. `casing_length_mm` is
    along the duct, `blade_from_end_mm` from the casing's mechanism-side end to the closed blade, `mechanism_beyond_mm`
    how far the mechanism stands out beyond the casing, `blade_swings_mm` how far the open blade reaches beyond the
    casing's ends. `blade_class` and `casing_class` are leakage classes of EN 1751. `most_closing_velocity_m_s` and
    `most_closing_pressure_pa` bound the flow under which it was shown to close. `rods_tested` are the drop rods of
    the test in words. `delivery_weeks` is the delivery time.
    """

    maker: str
    product: str
    origin: Origin
    document: str = ""
    actuators: tuple[Actuator, ...] = ()
    handings: tuple[Handing, ...] = ()
    finishes: tuple[str, ...] = ()
    accessories: tuple[str, ...] = ()
    section_widths_mm: tuple[Mm, ...] = ()
    section_heights_mm: tuple[Mm, ...] = ()
    weight: LossTable | None = None
    free_area: LossTable | None = None
    loss: LossTable | None = None
    loss_on_free_area: bool = False
    casing_length_mm: Mm | None = None
    blade_from_end_mm: Mm | None = None
    mechanism_beyond_mm: Mm | None = None
    blade_swings_mm: Mm | None = None
    blade_class: int | None = None
    casing_class: str | None = None
    most_closing_velocity_m_s: float | None = None
    most_closing_pressure_pa: Pa | None = None
    rods_tested: str | None = None
    joint_travel_mm: Mm | None = None
    least_door_mm: Size | None = None
    door_within_mm: Mm | None = None
    zone_depth_mm: Mm | None = None
    delivery_weeks: float | None = None

    def actuator(self, code: str) -> Actuator | None:
        """The actuator of a code, capitals and blanks aside; None where the product has none of that code."""
        wanted = " ".join(code.split()).casefold()
        return next((item for item in self.actuators if " ".join(item.code.split()).casefold() == wanted), None)


@dataclass(frozen=True)
class SealFacts:
    """What a maker states of a seal product: curing time [h], density [kg/m³], mass of a unit as sold [kg]."""

    name: str
    origin: Origin
    cure_h: float | None = None
    density_kg_m3: float | None = None
    unit_words: str | None = None
    unit_kg: Kg | None = None
    unit_litres: float | None = None


def product_of(products: Iterable[ProductFacts], maker: str, product: str) -> ProductFacts | None:
    """The facts of a family by maker and name, capitals and blanks aside; None where none are loaded."""
    wanted = [" ".join(text.split()).casefold() for text in (maker, product)]
    for item in products:
        if [" ".join(text.split()).casefold() for text in (item.maker, item.product)] == wanted:
            return item
    return None
