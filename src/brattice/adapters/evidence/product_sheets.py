# SPDX-License-Identifier: Apache-2.0
"""Products and seals beside the tests as sheets of a workbook: columns, reading, template."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from brattice.adapters.evidence.product_models import (
    ActuatorModel,
    ProductModel,
    Quantity,
    SealFactsModel,
    TableKind,
    TableModel,
    products_of,
    seals_of,
)
from brattice.adapters.evidence.schema import MOST_MM, model_faults
from brattice.adapters.workbook import OutValue, Workbook, workbook_bytes
from brattice.adapters.workbook.table import FieldKind, TableColumn, TableRow, TableSpec, read_table, template_sheets
from brattice.building.words import FailPosition, Handing, plain
from brattice.errors import Fault
from brattice.evidence.product import ProductFacts, SealFacts

__all__ = [
    "ACTUATORS",
    "PRODUCTS",
    "PRODUCT_SHEETS",
    "PRODUCT_TABLES",
    "SEALS",
    "product_facts_of_workbook",
    "products_template_bytes",
]

_M = TypeVar("_M", bound=BaseModel)
_Rows = Iterable[Mapping[str, OutValue | tuple[str, ...]]]


def _words(kind: type[StrEnum]) -> tuple[str, ...]:
    return tuple(item.value for item in kind)


def _text(key: str, heading: str, note: str, filled: bool = False, width: float = 22.0) -> TableColumn:
    return TableColumn(key, heading, FieldKind.TEXT, note, needed=filled, filled=filled, width=width)


def _names(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NAMES, note, width=26.0)


def _word(key: str, heading: str, note: str, words: tuple[str, ...], filled: bool = False) -> TableColumn:
    return TableColumn(key, heading, FieldKind.WORD, note, words=words, needed=filled, filled=filled, width=20.0)


def _number(key: str, heading: str, note: str, most: float, least: float = 0, above: bool = True) -> TableColumn:
    return TableColumn(key, heading, FieldKind.NUMBER, note, least=least, most=most, above=above)


def _mm(key: str, heading: str, note: str, above: bool = True) -> TableColumn:
    return _number(key, f"{heading} [mm]", note, MOST_MM, above=above)


def _yes_no(key: str, heading: str, note: str) -> TableColumn:
    return TableColumn(key, heading, FieldKind.YES_NO, note, width=12.0)


_MAKER = _text("maker", "Maker", "Who makes it, as the tested installations say.", filled=True)
_PRODUCT = _text("product", "Product", "The damper family as its maker names it.", filled=True)

PRODUCTS = TableSpec(
    "Products",
    (
        _MAKER,
        _PRODUCT,
        _text("document", "Document", "Where the maker states it: data sheet with its issue.", width=30.0),
        TableColumn("handings", "Handings", FieldKind.WORDS, "Sides that the mechanism can have.", _words(Handing)),
        _names("finishes", "Finishes", "Each finish that it can be had with."),
        _names("accessories", "Accessories", "Each accessory that it can be had with."),
        _names("section_widths_mm", "Section widths [mm]", "Widths of the sections of multi-section units."),
        _names("section_heights_mm", "Section heights [mm]", "Heights of the sections of multi-section units."),
        _yes_no("loss_on_free_area", "Loss on free area", "Whether the loss is on the velocity in the free area."),
        _mm("casing_length_mm", "Casing length", "Along the duct."),
        _mm("blade_from_end_mm", "Blade from end", "From the mechanism-side end to the closed blade.", above=False),
        _mm("mechanism_beyond_mm", "Mechanism beyond casing", "How far it stands out.", above=False),
        _mm("blade_swings_mm", "Blade beyond casing", "How far the open blade reaches out.", above=False),
        TableColumn(
            "blade_class", "Blade leakage class", FieldKind.WHOLE, "Of EN 1751, closed blade.", least=0, most=4
        ),
        _word("casing_class", "Casing leakage class", "Of EN 1751, casing.", ("A", "B", "C")),
        _number("most_closing_velocity_m_s", "Closes up to [m/s]", "Velocity at which it was shown to close.", 100),
        _number("most_closing_pressure_pa", "Closes up to [Pa]", "Pressure at which it was shown to close.", 100_000),
        _text("rods_tested", "Rods tested", "The drop rods of the test, like 2 × M10.", width=30.0),
        _mm("joint_travel_mm", "Joint travel", "What the joint of the test takes up.", above=False),
        _mm("least_door_width_mm", "Least access door width", "Least that the maker asks for."),
        _mm("least_door_height_mm", "Least access door height", "Least that the maker asks for."),
        _mm("door_within_mm", "Access door within", "Farthest from the blade."),
        _mm("zone_depth_mm", "Working zone depth", "Clear depth that the maker asks for."),
        _number("delivery_weeks", "Delivery [weeks]", "Delivery time.", 520, above=False),
    ),
    "product",
    unique=False,
)
"""One row a damper family."""

ACTUATORS = TableSpec(
    "Actuators",
    (
        _MAKER,
        _PRODUCT,
        _text("code", "Code", "As it is ordered.", filled=True),
        _text("words", "In words", "What it is.", filled=True, width=34.0),
        _names("voltages", "Voltages", "As the maker writes them; none where it needs none; empty: not stated."),
        _yes_no("end_switches", "End switches", "Whether it tells open and closed."),
        _word("fail_position", "Fail position", "Where it goes without power or signal.", _words(FailPosition)),
        _number("power_va", "Power [VA]", "While it opens.", 1e6),
        _number("close_s", "Closes in [s]", "Time to close.", 1e6),
    ),
    "product",
    unique=False,
)
"""One row an actuator of a family."""

PRODUCT_TABLES = TableSpec(
    "Product tables",
    (
        _MAKER,
        _PRODUCT,
        _word("quantity", "Quantity", "weight [kg], free area [m²] or loss (coefficient).", _words(Quantity), True),
        _word("kind", "Kind", "A table by size, one constant, or a + b·A with A in m².", _words(TableKind), True),
        _text("source", "Source", "Where the maker states it.", filled=True, width=30.0),
        _mm("width_mm", "Width", "Of the size; the diameter of a round one. One row a size."),
        _mm("height_mm", "Height", "Empty for a round one."),
        _number("value", "Value", "The value at this size, in the unit of the quantity.", 1e6),
        _number("a", "a", "Of a constant or formula.", 1e6, -1e6, above=False),
        _number("b", "b", "Of a formula: what each square metre adds.", 1e6, -1e6, above=False),
        _yes_no("interpolate", "Interpolate", "Whether the maker allows values between the sizes."),
        _mm("least_width_mm", "From width", "Least size that a formula holds for."),
        _mm("least_height_mm", "From height", "Empty for round ones."),
        _mm("most_width_mm", "To width", "Largest size that a formula holds for."),
        _mm("most_height_mm", "To height", "Empty for round ones."),
    ),
    "product",
    unique=False,
)
"""One row a size of a table, or a formula."""

SEALS = TableSpec(
    "Seals",
    (
        _text("name", "Seal product", "By its full name, as the tested installations say.", filled=True, width=30.0),
        _number("cure_h", "Cures in [h]", "Until the next trade may touch it.", 10_000, above=False),
        _number("density_kg_m3", "Density [kg/m³]", "As it stands in the gap.", 20_000),
        _text("unit_words", "Unit", "How it is sold: bag, cartridge, board."),
        _number("unit_kg", "Mass of a unit [kg]", "As sold.", 10_000),
        _number("unit_litres", "Volume of a unit [l]", "As sold.", 10_000),
    ),
    "name",
    unique=False,
)
"""One row a seal product."""

PRODUCT_SHEETS = (PRODUCTS, ACTUATORS, PRODUCT_TABLES, SEALS)
"""The sheets of product facts; each may be left out of a workbook."""

_INSTRUCTIONS = (
    "What makers state of their products beside the tests; orders, calculations and sheets take it from here.",
    "An empty cell says that nothing is stated: what needs it stays to be settled, and order lines are held.",
    "Type values, not formulas; numbers in number cells without their unit; don't merge cells.",
    "A table has one row a size: maker, product, quantity, kind and source the same in each of its rows.",
)
_POINT = ("width_mm", "height_mm", "value")
_NAMED = ("maker", "product")


@dataclass
class _Sheets:
    """The rows of the sheets of one workbook, by spec, while they are read."""

    book: Workbook
    faults: list[Fault]

    def rows(self, spec: TableSpec) -> Sequence[TableRow]:
        sheet = self.book.sheet((spec.sheet,))
        if sheet is None:
            return ()
        table = read_table(self.book, sheet, spec)
        self.faults.extend(table.faults)
        return table.rows

    def model(self, row: TableRow, data: dict[str, Any], kind: type[_M]) -> _M | None:
        try:
            return kind.model_validate(data)
        except ValidationError as error:
            told = {fault.place for fault in self.faults}
            for fault in model_faults(error, kind, data, self.book.file):
                place = _at(row, fault.place)
                if place not in told:
                    self.faults.append(replace(fault, place=place))
            return None


def _at(row: TableRow, key: str) -> str:
    """The place of the column that a key of a model stands in."""
    found = next((part for part in reversed(key.split(".")) if part in row.headings), "")
    return row.place(found)


def _figures(values: object) -> object:
    """The numbers that texts hold; a text that holds none stays, to be refused as one."""
    found: list[object] = []
    for text in values if isinstance(values, tuple) else ():
        try:
            found.append(float(text))
        except ValueError:
            found.append(text)
    return found


def _data(row: TableRow, leave: Iterable[str] = ()) -> dict[str, Any]:
    data: dict[str, Any] = {}
    for key, value in row.values.items():
        if key.startswith("section_"):
            data[key] = _figures(value)
        elif key == "voltages" and isinstance(value, tuple) and [plain(item) for item in value] == ["none"]:
            data[key] = []
        elif key not in set(leave):
            data[key] = list(value) if isinstance(value, tuple) else value
    return data


def _owner(row: TableRow) -> tuple[str, str]:
    maker, product = (" ".join((row.text(key) or "").split()).casefold() for key in _NAMED)
    return maker, product


def _tables(rows: Sequence[TableRow], sheets: _Sheets) -> list[tuple[TableRow, TableModel]]:
    """The tables that rows make together: those of one product, quantity, kind and source."""
    grouped: dict[tuple[str, ...], list[TableRow]] = {}
    for row in rows:
        name = (*_owner(row), *(row.text(key) or "" for key in ("quantity", "kind", "source")))
        grouped.setdefault(name, []).append(row)
    made = []
    for together in grouped.values():
        data = _data(together[0], (*_NAMED, *_POINT))
        points = [{key: row.values[key] for key in _POINT if key in row.values} for row in together]
        if any(points):
            data["points"] = points
        for row, point in zip(together[1:], points[1:], strict=True):
            rest = _data(row, (*_NAMED, *_POINT))
            key = next((key for key in {**rest, **data} if key != "points" and rest.get(key) != data.get(key)), "")
            if key or not point:
                place = _at(row, key or "width_mm")
                sheets.faults.append(
                    Fault(sheets.book.file, place, "another value than in the rows of this table above", "the same")
                )
        model = sheets.model(together[0], data, TableModel)
        if model is not None:
            made.append((together[0], model))
    return made


def product_facts_of_workbook(
    book: Workbook, faults: list[Fault]
) -> tuple[tuple[ProductFacts, ...], tuple[SealFacts, ...]] | None:
    """What the sheets of product facts in a workbook state; None where it has none of them.

    Faults are added to the list, each with sheet, row and column.
    """
    if all(book.sheet((spec.sheet,)) is None for spec in PRODUCT_SHEETS):
        return None
    sheets = _Sheets(book, faults)
    product_rows, actuator_rows = sheets.rows(PRODUCTS), sheets.rows(ACTUATORS)
    tables = _tables(sheets.rows(PRODUCT_TABLES), sheets)
    actuators = [
        (row, drive)
        for row in actuator_rows
        if (drive := sheets.model(row, _data(row, _NAMED), ActuatorModel)) is not None
    ]
    known = {_owner(row) for row in product_rows}
    orphans = [(row, "an actuator") for row in actuator_rows] + [(row, "a table") for row, _ in tables]
    for row, what in orphans:
        if _owner(row) not in known:
            name = " ".join(row.text(key) or "" for key in _NAMED)
            faults.append(
                Fault(
                    book.file, row.place("product"), f"{what} of {name!r}", f"a product of the sheet {PRODUCTS.sheet!r}"
                )
            )
    by_subject: dict[str, TableRow] = {}
    parts: dict[tuple[str, str], TableRow] = {}
    models = []
    for row in product_rows:
        model = sheets.model(row, _data(row), ProductModel)
        if model is None:
            continue
        of_it = [(at, item) for at, item in actuators if _owner(at) == _owner(row)]
        its = [(at, item) for at, item in tables if _owner(at) == _owner(row)]
        for at, actuator in of_it:
            parts[row.place(), f"actuator.{actuator.code}"] = at
        for at, table in its:
            parts.setdefault((row.place(), f"table.{table.quantity}"), at)
        by_subject[row.place()] = row
        whole = {"actuator": [item for _, item in of_it], "table": [item for _, item in its]}
        models.append((row.place(), model.model_copy(update=whole)))

    def place(subject: str, key: str) -> str:
        part = next((at for (name, head), at in parts.items() if name == subject and key.startswith(head)), None)
        return _at(part or by_subject[subject], key.replace("points", "width_mm"))

    products = products_of(models, book.file, None, place, faults)
    seals = []
    for row in sheets.rows(SEALS):
        seal = sheets.model(row, _data(row), SealFactsModel)
        if seal is not None:
            seals.append((row.place(), seal))
    return products, seals_of(seals, book.file)


def products_template_bytes(rows: Mapping[str, _Rows] | None = None, *, stamp: datetime) -> bytes:
    """The template of product facts as XLSX, filled with rows by sheet (values by column key) when some are given."""
    tables, abouts = [], []
    for spec in PRODUCT_SHEETS:
        lines = _INSTRUCTIONS if spec is PRODUCTS else ()
        table, about = template_sheets(spec, lines, (rows or {}).get(spec.sheet, ()))
        tables.append(table)
        abouts.append(about if spec is PRODUCTS else replace(about, name=f"Instructions, {spec.sheet.lower()}"))
    return workbook_bytes([*tables, *abouts], stamp=stamp, title="What makers state of products")
