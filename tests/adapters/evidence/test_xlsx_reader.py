# SPDX-License-Identifier: Apache-2.0
"""The workbook says what the TOML file says, and its faults name sheet, row and column."""

from __future__ import annotations

import io
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.evidence import (
    DOCUMENTS,
    INSTALLATIONS,
    evidence_template_bytes,
    read_evidence_toml,
    read_evidence_xlsx,
    write_evidence_template,
)
from brattice.adapters.evidence.schema import DocumentModel, InstallationModel, _keys_at
from brattice.adapters.workbook.table import TableSpec
from brattice.errors import InputError
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Origin
from tests.helpers.judging import STEPS

EXAMPLE = (Path(__file__).parents[3] / "docs" / "example-evidence.toml").read_text("utf-8")
STAMP = datetime(2026, 3, 1, tzinfo=UTC)
MAKER = "Harrow & Vale (invented)"


def _flat(data: Mapping[str, Any], head: str = "") -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in data.items():
        path = f"{head}{key}"
        if isinstance(value, dict):
            found |= _flat(value, f"{path}.")
        elif key == "board_layers":
            found |= {f"{path}.a": value[0], f"{path}.b": value[1]}
        elif key == "separation":
            for item in value:
                found |= {f"{path}.{item['to']}.{name}": part for name, part in item.items() if name != "to"}
        else:
            found[path] = "; ".join(map(str, value)) if isinstance(value, list) else value
    return found


def rows() -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """The documented example as rows of the two sheets."""
    data = tomllib.loads(EXAMPLE)
    return [_flat(item) | {"maker": MAKER} for item in data["installation"]], [_flat(item) for item in data["document"]]


def _fill(book: Any, spec: TableSpec, given: Sequence[Mapping[str, Any]]) -> None:
    sheet = book[spec.sheet]
    column_of = {cell.value: number for number, cell in enumerate(sheet[1], start=1)}
    for number, row in enumerate(given, start=2):
        for key, value in row.items():
            shown = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value
            sheet.cell(number, column_of[spec.column(key).heading]).value = shown


def filled(path: Path, installations: Sequence[Mapping[str, Any]], documents: Sequence[Mapping[str, Any]]) -> Path:
    """The template as a user fills it."""
    book = openpyxl.load_workbook(io.BytesIO(evidence_template_bytes(stamp=STAMP)))
    _fill(book, INSTALLATIONS, installations)
    _fill(book, DOCUMENTS, documents)
    book.save(path)
    return path


def faults(path: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_evidence_xlsx(path, STEPS, file="e.xlsx")
    return [str(fault) for fault in caught.value.faults]


def faults_with(tmp_path: Path, key: str, value: Any, sheet: TableSpec = INSTALLATIONS) -> list[str]:
    """The faults of the example with one value of its first row changed (None: left empty)."""
    installations, documents = rows()
    (installations if sheet is INSTALLATIONS else documents)[0][key] = value
    return faults(filled(tmp_path / "e.xlsx", installations, documents))


def _bare(item: TestedInstallation) -> TestedInstallation:
    return replace(item, origin=Origin(""))


def test_a_filled_template_says_what_the_toml_file_says(tmp_path: Path) -> None:
    found = read_evidence_xlsx(filled(tmp_path / "e.xlsx", *rows()), STEPS, file="evidence/e.xlsx")
    told = read_evidence_toml(EXAMPLE, "e.toml", STEPS)
    assert list(map(_bare, found)) == list(map(_bare, told))
    assert found[0].origin == Origin("evidence/e.xlsx", "sheet 'Installations', row 3")


def test_every_value_of_the_toml_format_has_a_column() -> None:
    keys = {column.key for column in INSTALLATIONS.columns}
    for name in InstallationModel.model_fields:
        inner = _keys_at(InstallationModel, [name])
        wanted = [f"{name}.{part}" for part in inner] or ["class" if name == "class_text" else name]
        for want in wanted:
            if not want.startswith("separation."):
                assert any(key == want or key.startswith(f"{want}.") for key in keys), want
    assert {column.key for column in DOCUMENTS.columns} == set(DocumentModel.model_fields)


HEAD = "e.xlsx: sheet 'Installations', row 2, column"


@pytest.mark.parametrize(
    ("key", "value", "fault"),
    [
        ("sizes.width_mm.least", 1300, f"{HEAD} 'Width least [mm]': found least 1300 above most 1200"),
        ("sizes.width_mm.least", "200 mm", f"{HEAD} 'Width least [mm]': found the text '200 mm'; expected a number"),
        ("construction.lining_mm", -1, f"{HEAD} 'Opening lining [mm]': found -1; expected a number in mm, at least 0"),
        ("kind", "fire dampr", f"{HEAD} 'Kind': found 'fire dampr'; expected one of: fire damper, smoke"),
        ("document", "hv11", f"{HEAD} 'Document': found 'hv11'; expected the id of a document"),
        ("class", "EI 61", f"{HEAD} 'Class': found 'EI 61'; expected a class of a fire damper"),
        ("construction.kind", "rigid floor", f"{HEAD} 'Construction': found 'rigid floor'; expected a construction of"),
        ("mechanism_deg", "0; north", f"{HEAD} 'Mechanism rotations [deg]': found 'north'; expected a number"),
        ("mechanism_deg", "0; 360", f"{HEAD} 'Mechanism rotations [deg]': found 360.0; expected a number below 360"),
        ("seal.gap_mm.left.least", 5, f"{HEAD} 'Gap all sides least [mm]': found all and left"),
        ("casing_beyond_mm.left", 5, f"{HEAD} 'Casing beyond duct all sides [mm]': found all and left"),
        ("construction.board_layers.a", 2, f"{HEAD} 'Board layers side A': found [2]; expected a list of at least 2"),
        ("separation.wall.least_mm", None, f"{HEAD} 'Distance to wall [mm]': found nothing; expected a value"),
        ("seal.parts", "mortar: 100 mm", f"{HEAD} 'Seal parts': found 'mortar'; expected one of its products: Cinder"),
        ("seal.parts", "100 mm", f"{HEAD} 'Seal parts': found '100 mm'; expected a product with its depth or share"),
        ("fixings.along", "duct", f"{HEAD} 'Fixings along': found 'duct'; expected one of: casing, finished"),
        ("fixings.rows", 5, f"{HEAD} 'Rows of fixings': found 5; expected a whole number, at least 1, at most 4"),
        ("fixings.along", None, f"{HEAD} 'Fixings along': found nothing beside a spacing; expected the outline"),
        ("fixings.counts", "600 × 400", f"{HEAD} 'Fixings by size': found '600 × 400'; expected sizes each with the"),
        ("fixings.counts", "6 × 4: 2; 6 × 4: 3", f"{HEAD} 'Fixings by size': found a size twice; expected each size"),
        ("seal.products", None, f"{HEAD} 'Seal products': found nothing; expected text"),
        ("sizes.height_mm.most", "=2*400", f"{HEAD} 'Height most [mm]': found the formula '=2*400'"),
        (
            "id",
            "HV-10 FW batt",
            "e.xlsx: sheet 'Installations', row 3, column 'Installation': found 'HV-10 FW batt' ag",
        ),
        ("id", "?!", f"{HEAD} 'Installation': found '?!'; expected letters, digits and ._/+-"),
    ],
)
def test_each_fault_names_its_cell(tmp_path: Path, key: str, value: Any, fault: str) -> None:
    found = faults_with(tmp_path, key, value)
    assert len(found) == 1, found
    assert found[0].startswith(fault)


@pytest.mark.parametrize(
    ("key", "value", "fault"),
    [
        ("valid_to", date(2024, 2, 29), "column 'Valid to': found 2024-02-29; expected no earlier than 2024-03-01"),
        ("level", "hearsay", "column 'Level': found 'hearsay'; expected one of: declaration and instructions"),
        ("issued", None, "column 'Issued': found nothing; expected a date"),
        ("issued", "soon", "column 'Issued': found 'soon'; expected a date"),
    ],
)
def test_faults_of_documents_name_their_cell(tmp_path: Path, key: str, value: Any, fault: str) -> None:
    found = faults_with(tmp_path, key, value, DOCUMENTS)
    assert len(found) == 1, found
    assert f"e.xlsx: sheet 'Documents', row 2, {fault}" in found[0]


def test_all_faults_of_both_sheets_come_at_once(tmp_path: Path) -> None:
    installations, documents = rows()
    installations[0]["kind"] = "x"
    installations[1]["sizes.width_mm.most"] = 1
    documents[0]["withdrawn_on"] = date(2020, 1, 1)
    places = [fault.partition(": found")[0] for fault in faults(filled(tmp_path / "e.xlsx", installations, documents))]
    assert places == [
        "e.xlsx: sheet 'Documents', row 2, column 'Withdrawn on'",
        "e.xlsx: sheet 'Installations', row 2, column 'Kind'",
        "e.xlsx: sheet 'Installations', row 3, column 'S least width [mm]'",
        "e.xlsx: sheet 'Installations', row 3, column 'Width least [mm]'",
    ]


def test_an_empty_cell_is_not_stated_and_none_is_no_marking(tmp_path: Path) -> None:
    installations, documents = rows()
    installations[0] |= {"insulation_through": None, "joints": None, "mechanism_deg": "tbc"}
    documents[0] |= {"marking": "none"}
    (found,) = (
        item
        for item in read_evidence_xlsx(filled(tmp_path / "e.xlsx", installations, documents), STEPS)
        if item.id == installations[0]["id"]
    )
    assert (found.insulation_through, found.joints, found.mechanism_deg) == (None, None, None)
    assert found.document.marking == frozenset()


def test_a_round_damper(tmp_path: Path) -> None:
    installations, documents = rows()
    sizes = [key for key in installations[0] if key.startswith("sizes.")]
    installations[0] |= dict.fromkeys(sizes) | {"sizes.diameter_mm.most": 315, "opening_shape": "round"}
    installations[0] |= {"fixings.most_from_corner_mm": None, "fixings.counts": "Ø 315: 8"}
    found = read_evidence_xlsx(filled(tmp_path / "e.xlsx", installations[:1], documents), STEPS)
    assert (found[0].sizes.width.most, found[0].sizes.height) == (315, None)


def test_the_empty_template_has_no_row_to_read(tmp_path: Path) -> None:
    write_evidence_template(tmp_path / "e.xlsx", stamp=STAMP)
    assert faults(tmp_path / "e.xlsx") == [
        "e.xlsx: sheet 'Installations': found no row; expected at least one tested installation"
    ]


def test_a_workbook_of_another_kind_is_told_which_sheets_it_lacks(tmp_path: Path) -> None:
    openpyxl.Workbook().save(tmp_path / "e.xlsx")
    found = faults(tmp_path / "e.xlsx")
    assert "e.xlsx: found sheets Sheet; expected a sheet 'Documents', as in the template" in found
    assert "e.xlsx: found sheets Sheet; expected a sheet 'Installations', as in the template" in found


def test_the_template_is_the_same_bytes_each_time_and_has_units_lists_and_notes() -> None:
    data = evidence_template_bytes(stamp=STAMP)
    assert data == evidence_template_bytes(stamp=STAMP)
    book = openpyxl.load_workbook(io.BytesIO(data))
    sheet = book["Installations"]
    headings = [cell.value for cell in sheet[1]]
    assert "Width least [mm]" in headings
    assert "Density least [kg/m³]" in headings
    assert all(cell.comment is not None for cell in sheet[1])
    lists = {str(rule.sqref).partition("2:")[0] for rule in sheet.data_validations.dataValidation}
    words = {
        column.heading for column in INSTALLATIONS.columns if column.kind.value in {"one word of the list", "yes or no"}
    }
    assert len(lists) == len(words)
