# SPDX-License-Identifier: Apache-2.0
"""What the maker states of a product beside its tests: what an order, a calculation or a sketch needs of it.

None, or an empty list, says that nothing is stated: a calculation that needs it stays unknown, an order line is held.
Lengths in millimetres.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from brattice.building.penetration import Size
from brattice.building.words import FailPosition, Handing
from brattice.calc.pressure import cross_section_m2
from brattice.findings import Origin
from brattice.quantities import Kg, Mm, Pa, number_text, size_text

__all__ = [
    "Actuator",
    "BySize",
    "LossTable",
    "ProductFacts",
    "SealFacts",
    "SizePoint",
    "by_size",
    "product_of",
]


@dataclass(frozen=True)
class Actuator:
    """One actuator or release that a product can be had with; `voltages` as the maker writes them, () where he
    states that it needs none, None where he states nothing.
    """

    code: str
    words: str
    voltages: tuple[str, ...] | None
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
    `interpolate` says that the maker allows values between the sizes of a table.
    """

    kind: str
    source: str
    points: tuple[SizePoint, ...] = ()
    a: float | None = None
    b: float | None = None
    least: Size | None = None
    most: Size | None = None
    interpolate: bool = False


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


@dataclass(frozen=True)
class BySize:
    """A value by size, or why it is not known; `how` says how it follows from what the maker states."""

    value: float | None
    how: str = ""
    why_not: str = ""


def by_size(table: LossTable | None, size: Size) -> BySize:
    """The value of a table or formula at a size, in the table's unit, or why it is not known.

    A table answers at its own sizes. Between them it answers only where its maker states that it may be interpolated:
    then linearly along width and height inside the four sizes around (bilinear), in words of its own. Outside nothing
    is known.
    """
    if table is None:
        return BySize(None, why_not="the maker states nothing of it")
    text = size_text(size.width_mm, size.height_mm)
    if not _within(size, table.least, table.most):
        return BySize(None, why_not=f"{text} lies outside the sizes that {table.source} holds for")
    if table.kind == "constant":
        return _formula(table.a, f"the one value of {table.source}")
    if table.kind == "affine in area":
        if table.a is None or table.b is None:
            return BySize(None, why_not=f"the formula of {table.source} is not whole")
        value = table.a + table.b * cross_section_m2(size.width_mm, size.height_mm)
        if value <= 0:
            return BySize(None, why_not=f"the formula of {table.source} gives nothing above 0 for {text}")
        return BySize(value, f"{number_text(table.a)} + {number_text(table.b)}·A by {table.source}")
    exact = {(point.width_mm, point.height_mm): point.value for point in table.points}
    if (size.width_mm, size.height_mm) in exact:
        return BySize(exact[size.width_mm, size.height_mm], f"stated for {text} in {table.source}")
    if not table.interpolate:
        return BySize(None, why_not=f"{table.source} states none for {text}, and does not say it may be interpolated")
    between = _between(exact, size)
    if between is None:
        return BySize(None, why_not=f"{table.source} has no four sizes around {text}")
    return BySize(between, f"interpolated in {table.source}, which allows it")


def _formula(value: float | None, how: str) -> BySize:
    return BySize(value, how) if value is not None else BySize(None, why_not="the formula is not whole")


def _between(points: Mapping[tuple[Mm, Mm | None], float], size: Size) -> float | None:
    """Bilinear between the nearest widths and heights that are tabulated; None where one of the corners is not."""
    widths = _around(size.width_mm, {width for width, _ in points})
    heights: tuple[Mm | None, Mm | None] | None = (None, None)
    if size.height_mm is not None:
        heights = _around(size.height_mm, {height for _, height in points if height is not None})
    if widths is None or heights is None:
        return None
    corners = [[points.get((width, height)) for height in heights] for width in widths]
    across = _share(size.width_mm, *widths)
    upwards = 0.0
    if size.height_mm is not None and heights[0] is not None and heights[1] is not None:
        upwards = _share(size.height_mm, heights[0], heights[1])
    total = 0.0
    for row, share in zip(corners, (1.0 - across, across), strict=True):
        for value, part in zip(row, (1.0 - upwards, upwards), strict=True):
            if share * part == 0.0:
                continue
            if value is None:
                return None
            total += share * part * value
    return total


def _around(value: Mm, stated: Collection[Mm]) -> tuple[Mm, Mm] | None:
    """The nearest stated values on both sides; twice the value itself where it is stated."""
    below = [item for item in stated if item <= value]
    above = [item for item in stated if item >= value]
    return (max(below), min(above)) if below and above else None


def _share(value: float, low: float, high: float) -> float:
    return 0.0 if high == low else (value - low) / (high - low)


def _within(size: Size, least: Size | None, most: Size | None) -> bool:
    for bound, sign in ((least, 1), (most, -1)):
        if bound is None:
            continue
        if bound.is_round != size.is_round or sign * (size.width_mm - bound.width_mm) < 0:
            return False
        heights = (size.height_mm, bound.height_mm)
        if heights[0] is not None and heights[1] is not None and sign * (heights[0] - heights[1]) < 0:
            return False
    return True
