# SPDX-License-Identifier: Apache-2.0
"""Penetrations that share a standard detail, through the command: files, lists and schedules over three issues."""

from __future__ import annotations

import io
import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import pypdf
import pytest

from brattice.cli.main import main
from tests.helpers.books import read_book
from tests.helpers.standard_jobs import ready_row, standard_job, with_rows

THREE = [
    ready_row("FD-01", grid="B/3", words="plant room"),
    ready_row("FD-02", grid="C/4", words="riser lobby", storey="Level 2", centre_above_floor_mm=3000),
    ready_row("FD-03", grid="D/5", words="store", duct_width_mm=500, damper_width_mm=500, framed_width_mm=600,
              finished_width_mm=600),
]  # fmt: skip
"""Two that are alike on two levels, and one that is narrower."""

JOINED = [*THREE, ready_row("FD-04", grid="E/6", words="workshop")]
LEFT = [{**THREE[0], "handing": "right"}, *JOINED[1:]]

Book = dict[str, list[dict[str, str]]]


def svg_texts(path: Path) -> list[str]:
    return [
        " ".join(unescape(text).split()) for text in re.findall(r"<text[^>]*>([^<]*)</text>", path.read_text("utf-8"))
    ]


def dxf_texts(path: Path) -> list[str]:
    document = ezdxf.filemanagement.read(io.StringIO(path.read_text("utf-8")))
    assert not document.audit().errors
    layouts: list[Any] = [document.modelspace(), *list(document.layouts)[1:]]
    return [item.plain_text() for layout in layouts for item in layout.query("TEXT MTEXT")]


def pdf_pages(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages]


def documents(job: Path, number: str) -> dict[str, dict[str, str]]:
    return {row["Document"]: row for row in book(job, number, "documents.xlsx")["Documents"]}


def applies(job: Path, number: str) -> dict[str, tuple[str, str, str]]:
    rows = book(job, number, "documents.xlsx")["Which drawing applies"]
    return {row["Known as"]: (row["Drawing"], row["Revision"], row["In place of"]) for row in rows}


def book(job: Path, number: str, name: str) -> Book:
    return read_book((job / "issued" / number / name).read_bytes())


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three issues: two share a detail, a third joins, the first leaves."""
    folder = standard_job(tmp_path_factory.mktemp("standard") / "job", THREE)
    for rows in (None, JOINED, LEFT):
        if rows is not None:
            with_rows(folder, rows)
        assert main(["issue", str(folder)]) in {0, 1}
    assert main(["issue", str(folder), "--verify"]) == 0
    return folder


def test_without_the_switch_each_has_its_own_sheet(tmp_path: Path) -> None:
    plain = standard_job(tmp_path / "job", THREE, shared=False)
    assert main(["issue", str(plain)]) in {0, 1}
    drawn = sorted(path.name for path in (plain / "issued" / "01" / "sketches").glob("*.svg"))
    assert drawn == ["P-0001-A.svg", "P-0002-A.svg", "P-0003-A.svg"]
    assert "Drawing" not in book(plain, "01", "builders-work-A.xlsx")["Builders' work"][0]
    assert {name: row[0] for name, row in applies(plain, "01").items()} == {
        "FD-01": "P-0001", "FD-02": "P-0003", "FD-03": "P-0002",
    }  # fmt: skip


def test_members_have_the_standard_sheet_and_no_own_one(job: Path) -> None:
    sketches = job / "issued" / "01" / "sketches"
    assert sorted(path.name for path in sketches.glob("*.svg")) == ["P-0002-A.svg", "S-01-A.svg"]
    manifest = json.loads((job / "issued" / "01" / "manifest.json").read_text())
    kinds = {item["number"]: item["kind"] for item in manifest["documents"]}
    assert kinds["S-01"] == "standard detail"
    assert "P-0001" not in kinds
    listed = {item["path"] for item in manifest["files"]}
    assert {"sketches/S-01-A.svg", "sketches/S-01-A/where-used-1.svg", "sketches/dxf/S-01-A/where-used-1.dxf",
            "sketches/phone/S-01-A/where-used-1.svg"} <= listed  # fmt: skip
    assert all(name in documents(job, "01")["S-01"]["Files of this issue"] for name in listed if "S-01" in name)


@pytest.mark.parametrize("kind", ["svg", "dxf", "phone"])
def test_the_table_says_where_it_is_used_and_what_differs_there(job: Path, kind: str) -> None:
    name = "S-01-A/where-used-1"
    sketches = job / "issued" / "01" / "sketches"
    path = {"svg": f"{name}.svg", "dxf": f"dxf/{name}.dxf", "phone": f"phone/{name}.svg"}[kind]
    words = dxf_texts(sketches / path) if kind == "dxf" else svg_texts(sketches / path)
    said = " ".join(words)
    for own in (("P-0001", "FD-01", "Level 1", "plant room", "B/3", "2900 mm"),
                ("P-0003", "FD-02", "Level 2", "riser lobby", "C/4", "3000 mm")):  # fmt: skip
        assert all(text in said for text in own), own
    assert "P-0002" not in said
    assert "Standard detail" in words


def test_the_drawing_shows_no_number_of_one_place_alone(job: Path) -> None:
    sketches = job / "issued" / "01" / "sketches"
    for words in (svg_texts(sketches / "S-01-A.svg"), dxf_texts(sketches / "dxf" / "S-01-A.dxf"),
                  svg_texts(sketches / "phone" / "S-01-A.svg")):  # fmt: skip
        said = " ".join(words)
        assert "for construction" in words
        assert "see table" in said
        for text in ("B/3", "C/4", "2900", "3000", "plant room", "riser lobby", "Level 1", "Level 2", "FD-01"):
            assert text not in said, text


def test_the_book_of_each_level_holds_the_standard_detail_once_with_its_table(job: Path) -> None:
    books = sorted((job / "issued" / "01" / "sketches").glob("*.pdf"))
    assert len(books) == 2
    for path in books:
        pages = pdf_pages(path)
        tables = [page for page in pages if "S-01: where it is used" in page]
        assert len(tables) == 1
        assert all(text in tables[0] for text in ("P-0001", "B/3", "2900 mm", "P-0003", "C/4", "3000 mm"))
        assert sum("Hatches and lines" in page and "S-01" in page for page in pages) == 1


def test_orders_and_builders_work_name_the_drawing_that_applies(job: Path) -> None:
    rows = {row["Reference"]: row["Drawing"] for row in book(job, "01", "builders-work-A.xlsx")["Builders' work"]}
    assert rows == {"FD-01": "S-01", "FD-02": "S-01", "FD-03": "P-0002"}
    assert book(job, "01", "orders-A.xlsx")["Orders"] == [], "nothing is ordered before its submittal is approved"


def test_one_that_joins_revises_the_standard_detail_alone(job: Path) -> None:
    now = documents(job, "02")
    assert (now["S-01"]["Revision"], now["S-01"]["Issue"]) == ("B", "02")
    assert now["P-0002"]["Issue"] == "01"
    assert "P-0004" not in now
    sketches = job / "issued" / "02" / "sketches"
    assert [path.name for path in sketches.glob("*.svg")] == ["S-01-B.svg"]
    words = " ".join(svg_texts(sketches / "S-01-B" / "where-used-1.svg"))
    assert "P-0004 joined." in words
    assert all(text in words for text in ("FD-04", "workshop", "E/6"))
    assert applies(job, "02")["FD-04"] == ("S-01", "B", "")


def test_one_that_leaves_has_its_own_sheet_and_the_standard_detail_says_so(job: Path) -> None:
    now = documents(job, "03")
    assert (now["S-01"]["Revision"], now["P-0001"]["Revision"]) == ("C", "A")
    assert now["P-0001"]["What changed"] == "its own sheet now; S-01 applied before"
    sketches = job / "issued" / "03" / "sketches"
    assert "P-0001-A.svg" in {path.name for path in sketches.glob("*.svg")}
    words = " ".join(svg_texts(sketches / "S-01-C" / "where-used-1.svg"))
    assert "P-0001 left: it has its own sheet now." in words
    assert "FD-01" not in words
    assert applies(job, "03") == {
        "FD-01": ("P-0001", "A", "S-01"), "FD-02": ("S-01", "C", ""), "FD-03": ("P-0002", "A", ""),
        "FD-04": ("S-01", "C", ""),
    }  # fmt: skip
    rows = {row["Reference"]: row["Drawing"] for row in book(job, "03", "builders-work-C.xlsx")["Builders' work"]}
    assert rows["FD-01"] == "P-0001"


def test_an_own_sheet_that_was_issued_is_superseded_and_a_number_that_went_never_returns(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    alone = [THREE[0], {**THREE[1], "handing": "right"}]
    job = standard_job(tmp_path / "job", alone)
    main(["issue", str(job)])
    with_rows(job, THREE[:2])
    capsys.readouterr()
    main(["issue", str(job), "--preview"])
    said = capsys.readouterr().out
    assert "P-0001: superseded by S-01: Installation of P-0001" in said
    assert "S-01: new to A" in said
    assert not (job / "issued" / "02").exists()
    main(["issue", str(job)])
    for number in ("P-0001", "P-0002"):
        assert documents(job, "02")[number]["Status"] == "superseded by S-01"
        assert documents(job, "02")[number]["What changed"] == "superseded in this issue"
    assert applies(job, "02")["FD-01"] == ("S-01", "A", "P-0001")
    words = " ".join(svg_texts(job / "issued" / "02" / "sketches" / "S-01-A" / "where-used-1.svg"))
    assert "P-0001 joined; its own sheet is superseded for it." in words
    with_rows(job, alone)
    main(["issue", str(job)])
    now = documents(job, "03")
    assert (now["S-01"]["Status"], now["P-0001"]["Revision"]) == ("withdrawn", "B")
    with_rows(job, THREE[:2])
    main(["issue", str(job)])
    assert documents(job, "04")["S-02"]["Revision"] == "A"
    assert documents(job, "04")["S-01"]["Status"] == "withdrawn"
    capsys.readouterr()
    assert main(["issue", str(job)]) in {0, 1}
    assert "nothing changed since issue 04" in capsys.readouterr().out
    assert main(["issue", str(job), "--verify"]) == 0
