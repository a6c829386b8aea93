# SPDX-License-Identifier: Apache-2.0
"""Facts of products and seals beside the tests, in TOML and in sheets: read strictly, every fault at once."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.evidence import PRODUCT_SHEETS, load_all_evidence, products_template_bytes
from brattice.building.penetration import Size
from brattice.building.words import FailPosition, Handing
from brattice.errors import InputError
from brattice.evidence.product import ProductFacts, by_size
from brattice.quantities import Mm
from brattice.usecases.known_products import unnamed_products
from tests.helpers.judging import STEPS

STAMP = datetime(2026, 3, 1, tzinfo=UTC)
TOML = """
schema = 1
maker = "Alder Mill (invented)"
invented = true

[[product]]
product = "AM-1"
document = "Data sheet 4"
handings = ["left", "Right"]
finishes = ["galvanised"]
section_widths_mm = [600, 500]
casing_length_mm = 300
blade_class = 3
casing_class = "C"
least_door_width_mm = 250
least_door_height_mm = 200
delivery_weeks = 4

[[product.actuator]]
code = "A-24"
words = "spring return"
voltages = ["24 V AC/DC"]
end_switches = true
fail_position = "closed"

[[product.table]]
quantity = "weight"
kind = "table"
source = "data sheet 4, table 2"
points = [
  { width_mm = 400, height_mm = 300, value = 12.5 },
  { width_mm = 600, height_mm = 400, value = 18 },
]

[[seal]]
name = "Alder mortar 3"
cure_h = 24
density_kg_m3 = 1400
unit_words = "bag"
unit_kg = 20
"""


def loaded(folder: Path, text: str = TOML, name: str = "p.toml") -> tuple[ProductFacts, ...]:
    (folder / name).write_text(text, "utf-8")
    return load_all_evidence(folder, [name], STEPS).products


def faults(folder: Path, *entries: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        load_all_evidence(folder, entries, STEPS)
    return [str(fault) for fault in caught.value.faults]


def test_a_file_of_products_and_seals_alone_is_read(tmp_path: Path) -> None:
    (product,) = loaded(tmp_path)
    assert (product.maker, product.product, str(product.origin)) == (
        "Alder Mill (invented)", "AM-1", "p.toml, product AM-1")  # fmt: skip
    assert product.handings == (Handing.LEFT, Handing.RIGHT)
    assert product.section_widths_mm == (500.0, 600.0)
    assert product.least_door_mm == Size(Mm(250), Mm(200))
    assert (product.blade_class, product.casing_class, product.delivery_weeks) == (3, "C", 4.0)
    actuator = product.actuator(" a-24 ")
    assert actuator is not None
    assert (actuator.voltages, actuator.end_switches, actuator.fail_position) == (
        ("24 V AC/DC",), True, FailPosition.CLOSED)  # fmt: skip
    assert by_size(product.weight, Size(Mm(600), Mm(400))).value == 18.0
    assert (product.free_area, product.loss, product.joint_travel_mm) == (None, None, None)
    (seal,) = load_all_evidence(tmp_path, ["p.toml"], STEPS).seals
    assert (seal.name, seal.cure_h, seal.density_kg_m3, seal.unit_words, seal.unit_kg) == (
        "Alder mortar 3", 24.0, 1400.0, "bag", 20.0)  # fmt: skip


@pytest.mark.parametrize(("text", "voltages"), [("voltages = []", ()), ("", None)])
def test_no_voltage_is_another_thing_than_nothing_stated(
    tmp_path: Path, text: str, voltages: tuple[str, ...] | None
) -> None:
    (product,) = loaded(tmp_path, TOML.replace('voltages = ["24 V AC/DC"]', text))
    assert [item.voltages for item in product.actuators] == [voltages]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("delivery_weeks", "delivery_week", "product AM-1: found the unknown key 'delivery_week'; expected one of: "),
        ("delivery_weeks", "delivery_week", "; did you mean 'delivery_weeks'?"),
        ('"Right"', '"rigth"', "product AM-1, handings.2: found 'rigth'; expected one of: left, right, top, bottom; "),
        ("casing_length_mm = 300", "casing_length_mm = 0", "casing_length_mm: found 0; expected a number above 0"),
        ("blade_class = 3", "blade_class = 5", "product AM-1, blade_class: found 5; expected a number of at most 4"),
        ('= "C"', '= "D"', "product AM-1, casing_class: found 'D'"),
        ('maker = "Alder Mill (invented)"', "", "product AM-1, maker: found nothing; expected a maker here, or"),
        ("width_mm = 600", "width_mm = 400", "product AM-1, table.weight.points"),
        ("height_mm = 400", "height_mm = 300", "product AM-1"),
        ("least_door_height_mm = 200", "", "least_door_height_mm: found one side of the access door alone"),
        ('kind = "table"', 'kind = "constant"', "table.weight.points: found sizes in a formula; expected a alone"),
        ('kind = "table"', 'kind = "tabel"', "table.weight.kind: found 'tabel'; expected one of: table, "),
        ('source = "data sheet 4, table 2"', "", "table.weight.source: found nothing; expected a value; "),
        ('quantity = "weight"', 'quantity = "wieght"', "one of: weight, free area, loss; did you mean 'weight'?"),
        ("delivery_weeks = 4", "loss_on_free_area = true", "expected a table of the loss and one of the free area"),
        ("unit_kg = 20", "unit_kg = -1", "seal Alder mortar 3, unit_kg: found -1; expected a number above 0"),
        ('code = "A-24"', 'code = "tbc"', "expected a text that says something; leave it out"),
    ],
)  # fmt: skip
def test_each_fault_is_named_with_its_key(tmp_path: Path, old: str, new: str, fault: str) -> None:
    assert old in TOML
    text = TOML.replace(old, new)
    if old in {"width_mm = 600", "height_mm = 400"}:  # both are needed for one size twice
        text = TOML.replace("width_mm = 600, height_mm = 400", "width_mm = 400, height_mm = 300")
    (tmp_path / "p.toml").write_text(text, "utf-8")
    found = faults(tmp_path, "p.toml")
    assert any(fault in text for text in found), found


def test_a_formula_needs_what_it_is_made_of_and_bounds(tmp_path: Path) -> None:
    table = TOML[TOML.index("[[product.table]]") : TOML.index("[[seal]]")]
    formula = (
        '[[product.table]]\nquantity = "weight"\nkind = "affine in area"\nsource = "s"\na = 4\n'
        "least_width_mm = 300\nleast_height_mm = 300\nmost_width_mm = 200\n"
    )
    (tmp_path / "p.toml").write_text(TOML.replace(table, formula), "utf-8")
    assert faults(tmp_path, "p.toml") == [
        "p.toml: product AM-1, table.weight.b: found nothing; expected what each square metre of the duct adds",
        (
            "p.toml: product AM-1, table.weight.most_height_mm: found one bound round, the other not; expected width "
            "and height in both, or in none"
        ),
    ]


def test_a_product_or_seal_that_is_stated_twice_names_both_places(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(TOML, "utf-8")
    (tmp_path / "b.toml").write_text(TOML.replace('"AM-1"', '"am-1"').replace("Alder mortar", "ALDER  mortar"), "utf-8")
    assert faults(tmp_path, "a.toml", "b.toml") == [
        (
            "b.toml: product am-1: found 'Alder Mill (invented) am-1' again (first in a.toml, product AM-1); expected "
            "each product once in all evidence"
        ),
        (
            "b.toml: seal ALDER mortar 3: found 'ALDER mortar 3' again (first in a.toml, seal Alder mortar 3); "
            "expected each seal once in all evidence"
        ),
    ]


def test_a_product_that_no_tested_installation_names_is_a_note(tmp_path: Path) -> None:
    (note,) = unnamed_products(loaded(tmp_path), ())
    assert (note.code, note.open, note.subject) == ("product-facts-note", False, "p.toml")
    assert "Alder Mill (invented) AM-1" in note.text


# --- sheets ---------------------------------------------------------------------------------------------------------

OWN = {"maker": "Alder Mill (invented)", "product": "AM-1"}
SIZES = {**OWN, "quantity": "weight", "kind": "table", "source": "data sheet 4, table 2"}


def filled(path: Path, rows: dict[str, list[dict[str, Any]]]) -> Path:
    """The template as a user fills it."""
    book = openpyxl.load_workbook(io.BytesIO(products_template_bytes(stamp=STAMP)))
    for spec in PRODUCT_SHEETS:
        sheet = book[spec.sheet]
        at = {cell.value: number for number, cell in enumerate(sheet[1], start=1)}
        for number, row in enumerate(rows.get(spec.sheet, ()), start=2):
            for key, value in row.items():
                sheet.cell(number, at[spec.column(key).heading]).value = value
    book.save(path)
    return path


def good() -> dict[str, list[dict[str, Any]]]:
    return {
        "Products": [
            {**OWN, "document": "Data sheet 4", "handings": "left; right", "finishes": "galvanised",
             "section_widths_mm": "600; 500", "casing_length_mm": 300, "blade_class": 3, "casing_class": "C",
             "least_door_width_mm": 250, "least_door_height_mm": 200, "delivery_weeks": 4}
        ],
        "Actuators": [
            {**OWN, "code": "A-24", "words": "spring return", "voltages": "24 V AC/DC", "end_switches": "yes",
             "fail_position": "closed"}
        ],
        "Product tables": [
            {**SIZES, "width_mm": 400, "height_mm": 300, "value": 12.5},
            {**SIZES, "width_mm": 600, "height_mm": 400, "value": 18},
        ],
        "Seals": [{"name": "Alder mortar 3", "cure_h": 24, "density_kg_m3": 1400, "unit_words": "bag", "unit_kg": 20}],
    }  # fmt: skip


def test_the_sheets_say_what_the_file_says(tmp_path: Path) -> None:
    filled(tmp_path / "p.xlsx", good())
    sheets = load_all_evidence(tmp_path, ["p.xlsx"], STEPS)
    (tmp_path / "p.toml").write_text(TOML, "utf-8")
    text = load_all_evidence(tmp_path, ["p.toml"], STEPS)
    (one,), (other,) = sheets.products, text.products
    same = {name for name in one.__dataclass_fields__ if getattr(one, name) == getattr(other, name)}
    assert set(one.__dataclass_fields__) - same == {"origin"}
    assert str(one.origin) == "p.xlsx, sheet 'Products', row 2"
    (seal,), (of_text,) = sheets.seals, text.seals
    assert (seal.name, seal.cure_h, seal.unit_kg) == (of_text.name, of_text.cure_h, of_text.unit_kg)
    assert sheets.installations == ()


def test_an_empty_template_states_nothing(tmp_path: Path) -> None:
    (tmp_path / "p.xlsx").write_bytes(products_template_bytes(stamp=STAMP))
    read = load_all_evidence(tmp_path, ["p.xlsx"], STEPS)
    assert (read.products, read.seals) == ((), ())


@pytest.mark.parametrize(
    ("sheet", "changes", "fault"),
    [
        ("Products", {"blade_class": 5}, "sheet 'Products', row 2, column 'Blade leakage class': found 5"),
        ("Products", {"handings": "lefd"}, "column 'Handings': found 'lefd'; expected one of: left, right"),
        ("Products", {"section_widths_mm": "600; wide"}, "column 'Section widths [mm]': found 'wide'"),
        ("Products", {"least_door_width_mm": None}, "column 'Least access door height [mm]': found one side"),
        ("Actuators", {"product": "AM-2"}, "sheet 'Actuators', row 2, column 'Product': found an actuator of"),
        ("Actuators", {"words": None}, "sheet 'Actuators', row 2, column 'In words': found nothing"),
        ("Product tables", {"value": "heavy"}, "sheet 'Product tables', row 2, column 'Value': found the text 'heavy'"),
        ("Product tables", {"width_mm": 600, "height_mm": 400}, "row 2, column 'Width [mm]': found the size 600 × 400"),
        ("Product tables", {"interpolate": "yes"}, "row 3, column 'Interpolate': found another value than in the rows"),
        ("Seals", {"unit_kg": 0}, "sheet 'Seals', row 2, column 'Mass of a unit [kg]': found 0"),
    ],
)  # fmt: skip
def test_each_fault_of_a_sheet_is_named_with_its_cell(
    tmp_path: Path, sheet: str, changes: dict[str, Any], fault: str
) -> None:
    rows = good()
    rows[sheet][0] |= changes
    filled(tmp_path / "p.xlsx", rows)
    found = faults(tmp_path, "p.xlsx")
    assert any(fault in text for text in found), found
