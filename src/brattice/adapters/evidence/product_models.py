# SPDX-License-Identifier: Apache-2.0
"""What an evidence file may say of products and seals beside their tests: strict models, and facts made of them.

Nothing here makes a pass; a value that is left out stays unknown and holds whatever needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from brattice.adapters.evidence.schema import EvidenceFile, Length, Some, Strict, Text, Thickness, once, word_of
from brattice.building.penetration import Size
from brattice.building.words import FailPosition, Handing
from brattice.errors import Fault
from brattice.evidence.product import Actuator, LossTable, ProductFacts, SealFacts, SizePoint
from brattice.findings import Origin
from brattice.quantities import Kg, Mm, Pa

__all__ = [
    "ActuatorModel",
    "ProductModel",
    "ProductsFile",
    "Quantity",
    "SealFactsModel",
    "TableKind",
    "TableModel",
    "WholeFile",
    "products_of",
    "seals_of",
    "twice",
]

Place = Callable[[str, str], str]
"""The place of a value in words: ("product HV-1", "table 2, points")."""


class Quantity(StrEnum):
    """What a table or formula by size gives."""

    WEIGHT = "weight"
    FREE_AREA = "free area"
    LOSS = "loss"


class TableKind(StrEnum):
    """How a quantity follows from the size."""

    TABLE = "table"
    CONSTANT = "constant"
    AFFINE = "affine in area"


_Handing = Annotated[Handing, word_of(Handing)]
_Fail = Annotated[FailPosition, word_of(FailPosition)]
_Quantity = Annotated[Quantity, word_of(Quantity)]
_Kind = Annotated[TableKind, word_of(TableKind)]
_Positive = Annotated[float, Field(gt=0, le=1e6, allow_inf_nan=False)]
_AnyNumber = Annotated[float, Field(ge=-1e6, le=1e6, allow_inf_nan=False)]
_Sections = Annotated[list[Thickness], Field(min_length=1), AfterValidator(once)]


class ActuatorModel(Strict):
    """One actuator or release; `voltages` empty where it is stated to need none, left out where nobody says."""

    code: Text
    words: Text
    voltages: Annotated[list[Text], AfterValidator(once)] | None = None
    end_switches: bool | None = None
    fail_position: _Fail | None = None
    power_va: _Positive | None = None
    close_s: _Positive | None = None


class PointModel(Strict):
    """The value at one size; without a height a round one."""

    width_mm: Thickness
    height_mm: Thickness | None = None
    value: _Positive


class TableModel(Strict):
    """A quantity by size, as a table or a formula, and where the maker states it."""

    quantity: _Quantity
    kind: _Kind
    source: Text
    points: list[PointModel] = Field(default_factory=list)
    a: _AnyNumber | None = None
    b: _AnyNumber | None = None
    interpolate: bool = False
    least_width_mm: Thickness | None = None
    least_height_mm: Thickness | None = None
    most_width_mm: Thickness | None = None
    most_height_mm: Thickness | None = None


class ProductModel(Strict):
    """What the maker states of one damper family beside its tests."""

    maker: Text | None = None
    product: Text
    document: Text | None = None
    handings: Annotated[list[_Handing], Field(min_length=1), AfterValidator(once)] | None = None
    finishes: Some | None = None
    accessories: Some | None = None
    section_widths_mm: _Sections | None = None
    section_heights_mm: _Sections | None = None
    loss_on_free_area: bool = False
    casing_length_mm: Thickness | None = None
    blade_from_end_mm: Length | None = None
    mechanism_beyond_mm: Length | None = None
    blade_swings_mm: Length | None = None
    blade_class: Annotated[int, Field(ge=0, le=4)] | None = None
    casing_class: Literal["A", "B", "C"] | None = None
    most_closing_velocity_m_s: Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)] | None = None
    most_closing_pressure_pa: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] | None = None
    rods_tested: Text | None = None
    joint_travel_mm: Length | None = None
    least_door_width_mm: Thickness | None = None
    least_door_height_mm: Thickness | None = None
    door_within_mm: Thickness | None = None
    zone_depth_mm: Thickness | None = None
    delivery_weeks: Annotated[float, Field(ge=0, le=520, allow_inf_nan=False)] | None = None
    actuator: list[ActuatorModel] = Field(default_factory=list)
    table: list[TableModel] = Field(default_factory=list)


class SealFactsModel(Strict):
    """What a maker states of a seal product beside its tests."""

    name: Text
    cure_h: Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False)] | None = None
    density_kg_m3: Annotated[float, Field(gt=0, le=20_000, allow_inf_nan=False)] | None = None
    unit_words: Text | None = None
    unit_kg: Annotated[float, Field(gt=0, le=10_000, allow_inf_nan=False)] | None = None
    unit_litres: Annotated[float, Field(gt=0, le=10_000, allow_inf_nan=False)] | None = None


class WholeFile(EvidenceFile):
    """A TOML file of evidence with what the maker states beside the tests."""

    product: list[ProductModel] = Field(default_factory=list)
    seal: list[SealFactsModel] = Field(default_factory=list)


class ProductsFile(Strict):
    """A TOML file that states products and seals alone."""

    schema_version: Annotated[int, Field(alias="schema", ge=1, le=1)]
    maker: Text | None = None
    invented: bool = False
    product: list[ProductModel] = Field(default_factory=list)
    seal: list[SealFactsModel] = Field(default_factory=list)


def _mm(value: float | None) -> Mm | None:
    return None if value is None else Mm(value)


def _size(width: float | None, height: float | None) -> Size | None:
    return None if width is None else Size(Mm(width), _mm(height))


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _table_faults(table: TableModel) -> Iterator[tuple[str, str, str]]:
    """What does not fit together in a table: key, found, expected."""
    if table.kind is TableKind.TABLE:
        if not table.points:
            yield "points", "nothing", "at least one size with its value"
        sizes: set[tuple[float, float | None]] = set()
        for point in table.points:
            size = (point.width_mm, point.height_mm)
            if size in sizes:
                height = "" if point.height_mm is None else f" × {point.height_mm:g}"
                yield "points", f"the size {point.width_mm:g}{height} again", "each size once"
            sizes.add(size)
        if {point.height_mm is None for point in table.points} == {True, False}:
            yield "points", "round and rectangular sizes", "a table of its own for round ones"
        for key in ("a", "b", "least_width_mm", "most_width_mm"):
            if getattr(table, key) is not None:
                yield key, "a value in a table", "points alone; a, b and bounds are of formulas"
    else:
        if table.points:
            yield "points", "sizes in a formula", "a alone (constant), or a and b (affine in area)"
        if table.a is None:
            yield "a", "nothing", "the value, or the part that does not grow with the area"
        if table.kind is TableKind.AFFINE and table.b is None:
            yield "b", "nothing", "what each square metre of the duct adds"
        if table.kind is TableKind.CONSTANT and table.b is not None:
            yield "b", f"{table.b:g}", "nothing; a constant has a alone"
        if table.kind is TableKind.CONSTANT and table.a is not None and table.a <= 0:
            yield "a", f"{table.a:g}", "a number above 0"
        if table.most_width_mm is None:
            yield "most_width_mm", "nothing", "the largest size that the formula holds for"
    if table.interpolate and table.kind is not TableKind.TABLE:
        yield "interpolate", "true", "in a table alone"
    for end in ("least", "most"):
        if getattr(table, f"{end}_height_mm") is not None and getattr(table, f"{end}_width_mm") is None:
            yield f"{end}_width_mm", "nothing beside a height", "both"
    least, most = _bounds(table)
    if least is not None and most is not None:
        if least.is_round != most.is_round:
            yield "most_height_mm", "one bound round, the other not", "width and height in both, or in none"
        elif least.width_mm > most.width_mm or (least.height_mm or 0) > (most.height_mm or 0):
            yield "least_width_mm", "a least size above the most", "the least first"


def _bounds(table: TableModel) -> tuple[Size | None, Size | None]:
    return _size(table.least_width_mm, table.least_height_mm), _size(table.most_width_mm, table.most_height_mm)


def _loss_table(table: TableModel | None) -> LossTable | None:
    if table is None:
        return None
    least, most = _bounds(table)
    points = tuple(sorted(_points(table), key=lambda item: (item.width_mm, item.height_mm or 0.0)))
    return LossTable(str(table.kind), table.source, points, table.a, table.b, least, most, table.interpolate)


def _points(table: TableModel) -> Iterable[SizePoint]:
    return (SizePoint(Mm(item.width_mm), _mm(item.height_mm), item.value) for item in table.points)


def _faults(model: ProductModel) -> Iterator[tuple[str, str, str]]:
    codes: set[str] = set()
    for item in model.actuator:
        if _folded(item.code) in codes:
            yield f"actuator.{item.code}", "this code again", "each actuator once"
        codes.add(_folded(item.code))
    quantities: set[Quantity] = set()
    for table in model.table:
        if table.quantity in quantities:
            yield f"table.{table.quantity}", f"{table.quantity} again", "each quantity once"
        quantities.add(table.quantity)
        for key, found, expected in _table_faults(table):
            yield f"table.{table.quantity}.{key}", found, expected
    if (model.least_door_width_mm is None) != (model.least_door_height_mm is None):
        yield "least_door_height_mm", "one side of the access door alone", "both sides, or none"
    if model.loss_on_free_area and not {Quantity.LOSS, Quantity.FREE_AREA} <= quantities:
        yield "loss_on_free_area", "true", "a table of the loss and one of the free area beside it"


def products_of(
    models: Sequence[tuple[str, ProductModel]], file: str, maker: str | None, place: Place, faults: list[Fault]
) -> tuple[ProductFacts, ...]:
    """The facts of the products of one file; faults of what does not fit together are added to the list.

    Models come with the subject that faults call them by ("product HV-1"); `maker` is that of the whole file.
    """
    made = []
    for subject, model in models:
        found = [Fault(file, place(subject, key), what, expected) for key, what, expected in _faults(model)]
        name = model.maker or maker
        if name is None:
            found.append(Fault(file, place(subject, "maker"), "nothing", "a maker here, or one for the whole file"))
        faults += found
        if found or name is None:
            continue
        tables = {table.quantity: table for table in model.table}
        pressure = model.most_closing_pressure_pa
        made.append(
            ProductFacts(
                maker=name,
                product=model.product,
                origin=Origin(file, subject),
                document=model.document or "",
                actuators=tuple(
                    Actuator(
                        item.code,
                        item.words,
                        None if item.voltages is None else tuple(item.voltages),
                        item.end_switches,
                        item.fail_position,
                        item.power_va,
                        item.close_s,
                    )
                    for item in model.actuator
                ),
                handings=tuple(model.handings or ()),
                finishes=tuple(model.finishes or ()),
                accessories=tuple(model.accessories or ()),
                section_widths_mm=tuple(Mm(item) for item in sorted(model.section_widths_mm or ())),
                section_heights_mm=tuple(Mm(item) for item in sorted(model.section_heights_mm or ())),
                weight=_loss_table(tables.get(Quantity.WEIGHT)),
                free_area=_loss_table(tables.get(Quantity.FREE_AREA)),
                loss=_loss_table(tables.get(Quantity.LOSS)),
                loss_on_free_area=model.loss_on_free_area,
                casing_length_mm=_mm(model.casing_length_mm),
                blade_from_end_mm=_mm(model.blade_from_end_mm),
                mechanism_beyond_mm=_mm(model.mechanism_beyond_mm),
                blade_swings_mm=_mm(model.blade_swings_mm),
                blade_class=model.blade_class,
                casing_class=model.casing_class,
                most_closing_velocity_m_s=model.most_closing_velocity_m_s,
                most_closing_pressure_pa=None if pressure is None else Pa(pressure),
                rods_tested=model.rods_tested,
                joint_travel_mm=_mm(model.joint_travel_mm),
                least_door_mm=_size(model.least_door_width_mm, model.least_door_height_mm),
                door_within_mm=_mm(model.door_within_mm),
                zone_depth_mm=_mm(model.zone_depth_mm),
                delivery_weeks=model.delivery_weeks,
            )
        )
    return tuple(made)


def seals_of(models: Sequence[tuple[str, SealFactsModel]], file: str) -> tuple[SealFacts, ...]:
    """The facts of the seal products of one file."""
    return tuple(
        SealFacts(
            model.name,
            Origin(file, subject),
            model.cure_h,
            model.density_kg_m3,
            model.unit_words,
            None if model.unit_kg is None else Kg(model.unit_kg),
            model.unit_litres,
        )
        for subject, model in models
    )


def twice(products: Iterable[ProductFacts], seals: Iterable[SealFacts]) -> Iterator[Fault]:
    """A fault for each product and seal that is stated twice in all evidence; it names both places."""
    first: dict[tuple[str, ...], Origin] = {}
    named: list[tuple[tuple[str, ...], Origin]] = []
    named += [(("product", item.maker, item.product), item.origin) for item in products]
    named += [(("seal", item.name), item.origin) for item in seals]
    for name, origin in named:
        earlier = first.setdefault(tuple(map(_folded, name)), origin)
        if earlier is not origin:
            text = f"{' '.join(name[1:])!r} again (first in {earlier})"
            yield Fault(origin.file, origin.place, text, f"each {name[0]} once in all evidence")
