# SPDX-License-Identifier: Apache-2.0
"""Names from outside are text in every output, whatever they try to be."""

import csv
import io
import json
import unicodedata
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from defusedxml import ElementTree

from brattice.adapters.report import report_html, write_outputs
from brattice.adapters.text import visible_text
from tests.helpers.outputs import HtmlShape, from_csv, from_html, from_json, from_xlsx
from tests.helpers.reports import HOSTILE, PLANTED, hostile_report, sample_report

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
    assert from_html((folder / "report.html").read_bytes()).states == expected
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


def test_the_page_has_no_element_and_no_attribute_that_the_ordinary_page_has_not(folder: Path) -> None:
    page = HtmlShape((folder / "report.html").read_text("utf-8"))
    plain = HtmlShape(report_html(sample_report()).decode("utf-8"))
    allowed = {(tag, name) for tag, attributes in plain.elements for name in ("", *attributes)}
    assert {(tag, name) for tag, attributes in page.elements for name in ("", *attributes)} <= allowed
    for tag in ("script", "style", "svg", "article", "table", "img", "iframe"):
        assert sum(item == tag for item, _ in page.elements) == sum(item == tag for item, _ in plain.elements), tag
    assert not any(name.startswith("on") for _, attributes in page.elements for name in attributes)


def test_the_page_shows_hostile_names_as_they_were_written(folder: Path) -> None:
    text = (folder / "report.html").read_text("utf-8")
    assert hidden(text) == set()
    page = HtmlShape(text).all_text
    for name in HOSTILE:
        assert visible_text(name) in page, name
    assert "49" not in "".join(line for line in page.split("\n") if "{{" in line)


def test_links_of_the_page_lead_nowhere_but_into_it(folder: Path) -> None:
    for name in ("hostile", "plain"):
        report = hostile_report() if name == "hostile" else sample_report()
        page = HtmlShape(report_html(report).decode("utf-8"))
        targets = [attributes["id"] for _, attributes in page.elements if "id" in attributes]
        assert len(set(targets)) == len(targets)
        links = [attributes["href"] for tag, attributes in page.elements if tag == "a"]
        assert links
        assert {link[1:] for link in links} <= set(targets)
        assert all(link.startswith("#") for link in links)
        sources = [
            attributes for _, attributes in page.elements if {"src", "srcset", "action", "data"} & set(attributes)
        ]
        assert sources == []


def test_an_id_from_a_ledger_that_somebody_edited_is_text_too() -> None:
    report = sample_report()
    first, second = report.penetrations[:2]
    names = ('x" onclick="alert(1)', "no-1")
    spoilt = tuple(
        replace(item, penetration=replace(item.penetration, id=name), findings=())
        for item, name in zip((first, second), names, strict=True)
    )
    data = report_html(replace(report, penetrations=(*spoilt, *report.penetrations[2:]), plans=()))
    told = from_html(data)
    assert set(names) <= set(told.states)
    assert not any("onclick" in attributes for _, attributes in HtmlShape(data.decode("utf-8")).elements)
