# SPDX-License-Identifier: Apache-2.0
"""Names from outside are text in every output, whatever they try to be."""

import csv
import io
import json
import unicodedata
import zipfile
from pathlib import Path

import openpyxl
import pytest
from defusedxml import ElementTree

from brattice.adapters.report import write_outputs
from tests.helpers.outputs import from_csv, from_json, from_xlsx
from tests.helpers.reports import PLANTED, hostile_report

EPOCH = 1_788_220_800


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("out")
    write_outputs(hostile_report(), made, epoch=EPOCH)
    return made


def hidden(text: str) -> set[str]:
    """Control, format and surrogate characters other than line breaks and tabs."""
    return {sign for sign in text if unicodedata.category(sign) in {"Cc", "Cf", "Cs"} and sign not in "\n\r\t"}


def test_states_survive(folder: Path) -> None:
    expected = {name: str(state) for name, state in PLANTED.items()}
    assert from_json((folder / "findings.json").read_bytes()).states == expected
    assert from_csv((folder / "register.csv").read_bytes()).states == expected
    assert from_xlsx((folder / "register.xlsx").read_bytes()).states == expected


def test_json_is_text_with_every_acting_character_shown(folder: Path) -> None:
    text = (folder / "findings.json").read_text("utf-8")
    assert hidden(text) == set()
    found = json.loads(text)
    assert found["job"]["name"].startswith('=HYPERLINK("x","y")')
    assert "a⟨U+202E⟩b␀c␇d" in found["job"]["name"]
    assert "⟨U+D800⟩ lone" in found["job"]["name"]
    assert "</script><img src=x onerror=alert(1)>" in json.dumps(found)


def test_no_cell_of_the_csv_begins_like_a_formula(folder: Path) -> None:
    text = (folder / "register.csv").read_bytes().decode("utf-8-sig")
    assert hidden(text) == set()
    rows = list(csv.reader(io.StringIO(text, newline="")))
    cells = [cell for row in rows for cell in row]
    assert any(cell.startswith("'=HYPERLINK") for cell in cells)
    assert [cell for cell in cells if cell.lstrip(" \t").startswith(("=", "+", "-", "@"))] == []
    assert {len(row) for row in rows} == {len(rows[0])}


def test_no_cell_of_the_workbook_is_a_formula(folder: Path) -> None:
    data = (folder / "register.xlsx").read_bytes()
    book = openpyxl.load_workbook(io.BytesIO(data))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert any(str(cell.value).startswith("=HYPERLINK") for cell in cells)
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            content = archive.read(name)
            if name.endswith(".xml"):
                tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(content).iter()}
                assert not {"f", "hyperlink", "oleObject"} & tags, name
            assert b"externalLink" not in content
