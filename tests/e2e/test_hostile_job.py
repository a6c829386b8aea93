# SPDX-License-Identifier: Apache-2.0
"""A model and a schedule whose names try to act: through the whole line they stay text in every output."""

import csv
import io
import json
import zipfile
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest
from defusedxml import ElementTree

from brattice.cli.main import main
from tests.helpers.jobs import Names, small_job
from tests.helpers.outputs import from_json
from tests.helpers.pdfs import from_pdf, page_texts

FORMULA = '=HYPERLINK("http://invalid.example","x")'
SCRIPT = "</script><img src=x onerror=alert(1)>"
TEMPLATE = "{{7*7}}{% raw %}${7*7}#set text(red)\\write18{ls}"
TURNED = "\u202egnp.exe\u2066"


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    names = Names(
        job=f"{SCRIPT} {TEMPLATE} {TURNED}",
        storey=f"{FORMULA} {SCRIPT}",
        wall=f"{TEMPLATE} {TURNED}",
        wall_type=f"{FORMULA}",
        duct=f"{SCRIPT}{TURNED}",
        rating=f"{SCRIPT} 60?",
        reference=FORMULA,
        words=f"@SUM(1+1) {SCRIPT}",
        maker=f"{SCRIPT} {TEMPLATE}",
        product=f"+{TEMPLATE}",
        remark=f"-{SCRIPT}",
    )
    folder = small_job(tmp_path_factory.mktemp("hostile") / "job", names)
    assert main(["check", str(folder)]) == 1
    assert main(["print", str(folder)]) == 1
    return folder / "out"


class Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes.update(name for name, _ in attrs)


def test_the_report_has_no_element_of_theirs_and_asks_for_nothing(out: Path) -> None:
    text = (out / "report.html").read_text("utf-8")
    seen = Seen()
    seen.feed(text)
    assert not {"img", "iframe", "object", "embed", "link", "base", "form"} & seen.tags
    assert not {name for name in seen.attributes if name.startswith("on")}
    assert "Content-Security-Policy" in text
    assert "default-src 'none'" in text
    assert "{% raw %}" in text
    assert "${7*7}" in text
    assert "{{7*7}}" in text
    assert "\u202e" not in text


def test_the_workbook_has_no_formula(out: Path) -> None:
    data = (out / "register.xlsx").read_bytes()
    book = openpyxl.load_workbook(io.BytesIO(data))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert any("HYPERLINK" in str(cell.value) for cell in cells)
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        for name in archive.namelist():
            if name.endswith(".xml"):
                tags = {item.tag.rpartition("}")[2] for item in ElementTree.fromstring(archive.read(name)).iter()}
                assert "f" not in tags, name


def test_no_cell_of_the_csv_begins_like_a_formula(out: Path) -> None:
    text = (out / "register.csv").read_bytes().decode("utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert any("HYPERLINK" in cell for cell in cells)
    assert [cell for cell in cells if cell.lstrip().startswith(("=", "+", "-", "@"))] == []


def test_the_findings_are_json_and_hold_the_names_as_text(out: Path) -> None:
    found = json.loads((out / "findings.json").read_text("utf-8"))
    assert SCRIPT in json.dumps(found)
    assert "\u202e" not in (out / "findings.json").read_text("utf-8")


def test_printed_pages_hold_the_names_as_text(out: Path) -> None:
    pages = (out.parent / "print" / "report.pdf").read_bytes()
    text = "".join("".join(page_texts(pages)).split())
    for name in (FORMULA, SCRIPT, TEMPLATE):
        assert "".join(name.split()) in text
    assert "\u202e" not in text
    assert "⟨U+202E⟩gnp.exe" in text
    assert from_pdf(pages) == from_json((out / "findings.json").read_bytes())
