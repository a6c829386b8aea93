# SPDX-License-Identifier: Apache-2.0
"""Sketches, orders, builders' work, submittals, cause and effect of one issue, all read back from their files.

Each is read by a reader that had no part in writing it, and every number that stands in two of them has to be the same
text in both: nothing here looks at the objects that they were made from.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import pypdf
import pytest

from brattice.cli.main import main
from tests.helpers.books import read_book
from tools.demo.faults import Scenario
from tools.demo.job import write_job
from tools.demo.truth import permanent_ids

SIZE = re.compile(r"([0-9.]+) × ([0-9.]+) mm|Ø ([0-9.]+) mm")


@dataclass(frozen=True)
class Sketch:
    """A sketch as its files say: every text of the A3 drawing, of the telephone's, of its pages in the book."""

    texts: tuple[str, ...]
    phone: tuple[str, ...]
    dimensions: tuple[tuple[str, float], ...]
    pages: str
    lines: frozenset[str]

    @property
    def said(self) -> str:
        return " ".join(self.texts)


def plain(text: str) -> str:
    return " ".join(text.split())


def svg_texts(data: bytes) -> tuple[str, ...]:
    return tuple(plain(unescape(text)) for text in re.findall(r"<text[^>]*>([^<]*)</text>", data.decode()))


def dxf_dimensions(data: bytes) -> Iterator[tuple[str, float]]:
    document = ezdxf.filemanagement.read(io.StringIO(data.decode()))
    assert not document.audit().errors
    dimensions: list[Any] = list(document.modelspace().query("DIMENSION"))
    for item in dimensions:
        measured = round(float(item.get_measurement()), 6)
        yield item.dxf.text, measured


@pytest.fixture(scope="module", params=[False, True], ids=["own sheets", "standard details"])
def folder(request: pytest.FixtureRequest, scene: Scenario, tmp_path_factory: pytest.TempPathFactory) -> Path:
    job = tmp_path_factory.mktemp("agrees") / "job"
    write_job(scene, job)
    if request.param:
        with (job / "brattice.toml").open("a", encoding="utf-8") as file:
            file.write("\n[sketches]\nstandard_details = true\n")
    assert main(["issue", str(job)]) == 1
    return job / "issued" / "01"


@pytest.fixture(scope="module")
def drawings(folder: Path) -> dict[str, str]:
    """The drawing that applies to each penetration that is drawn, as the list of documents says."""
    rows = read_book((folder / "documents.xlsx").read_bytes())["Which drawing applies"]
    return {row["Penetration"]: row["Drawing"] for row in rows if row["Drawing"] != "none"}


@pytest.fixture(scope="module")
def sketches(folder: Path, drawings: dict[str, str]) -> dict[str, Sketch]:
    """The sketch of each penetration: its own, or the standard detail that the list of documents names for it."""
    pages: dict[str, str] = {}
    lines: dict[str, set[str]] = {}
    for book in sorted((folder / "sketches").rglob("*.pdf")):
        for page in pypdf.PdfReader(book).pages:
            text = page.extract_text()
            number = re.search(r"\bS-[0-9]{2}\b", text) or re.search(r"\bP-[0-9]{4}\b", text)
            assert number is not None, "a page that does not say whose it is"
            pages[number[0]] = f"{pages.get(number[0], '')} {plain(text)}"
            lines.setdefault(number[0], set()).update(plain(line) for line in text.splitlines())
    issued = {}
    for path in sorted((folder / "sketches").glob("*.svg")):
        name = path.stem.rpartition("-")[0]
        issued[name] = Sketch(
            svg_texts(path.read_bytes()),
            svg_texts((folder / "sketches" / "phone" / path.name).read_bytes()),
            tuple(dxf_dimensions((folder / "sketches" / "dxf" / f"{path.stem}.dxf").read_bytes())),
            pages.get(name, ""),
            frozenset(lines.get(name, ())),
        )
    assert set(issued) == set(drawings.values())
    return {name: issued[number] for name, number in drawings.items()}


@pytest.fixture(scope="module")
def where_used(folder: Path) -> dict[str, list[str]]:
    """The line of each penetration in the table of the standard detail that it shares, cell by cell."""
    found: dict[str, list[str]] = {}
    for path in sorted((folder / "sketches").glob("S-*/where-used-*.svg")):
        line: list[str] | None = None
        for text in svg_texts(path.read_bytes()):
            if re.fullmatch(r"P-[0-9]{4}", text):
                assert text not in found, f"{text} stands twice"
                line = found[text] = []
            elif text == "Cautions":
                line = None
            elif line is not None:
                line.append(text)
    return found


@pytest.fixture(scope="module")
def books(folder: Path) -> dict[str, dict[str, list[dict[str, str]]]]:
    names = ("orders", "builders-work", "cause-and-effect")
    return {name: read_book((folder / f"{name}-A.xlsx").read_bytes()) for name in names}


def ordered(books: dict[str, dict[str, list[dict[str, str]]]]) -> dict[str, dict[str, str]]:
    """Each penetration that is ordered, with the line that orders it."""
    found: dict[str, dict[str, str]] = {}
    for line in books["orders"]["Orders"]:
        for name in re.findall(r"P-[0-9]{4}", line["Penetrations"]):
            assert name not in found, f"{name} is ordered twice"
            found[name] = line
    return found


def test_there_is_something_to_compare(
    sketches: dict[str, Sketch], books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    assert len(sketches) >= 100
    assert len(ordered(books)) >= 30
    assert sum("for construction" in sketch.texts for sketch in sketches.values()) >= 30


def test_the_sketch_on_paper_and_on_the_telephone_say_what_the_drawing_says(sketches: dict[str, Sketch]) -> None:
    """Every text of the drawing stands in the PDF; each number of the telephone's sheet does too."""
    for name, sketch in sketches.items():
        assert not [text for text in sketch.texts if text and text not in sketch.pages], name
        sizes = {
            text for text in sketch.phone if re.match(r"(?:finished|framed|casing) [Ø0-9]|[0-9.]+ × [0-9.]+ mm", text)
        }
        assert sizes, name
        assert not [text for text in sizes if text not in sketch.pages], name


def test_every_dimension_of_the_dxf_measures_what_the_sketch_says(sketches: dict[str, Sketch]) -> None:
    for name, sketch in sketches.items():
        assert sketch.dimensions, name
        for text, measured in sketch.dimensions:
            shown = f"{measured:g}" if text == "<>" else text
            assert shown in sketch.texts, (name, text, measured)
            stated = re.findall(r"[0-9][0-9.]*", shown)
            assert [float(number) for number in stated] == [pytest.approx(measured, abs=0.05)], (name, text)


def test_builders_work_and_sketch_ask_for_the_same_opening(
    sketches: dict[str, Sketch], books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    compared = 0
    for row in books["builders-work"]["Builders' work"]:
        sketch = sketches.get(row["Id"])
        if sketch is None:
            assert row["State"] in {"held", "not to be formed"}, row
            continue
        for kind in ("framed", "finished"):
            heading = next(text for text in row if text.casefold().startswith(kind))
            size = SIZE.fullmatch(row[heading])
            if size is None:
                assert row[heading] == "to be settled", row
                continue
            across = [part for part in size.groups() if part]
            for part in across:
                shown = {f"{kind} {part}", f"{kind} Ø {part}"}
                assert shown & set(sketch.texts), (row["Id"], kind, part)
                drawn = [(text, measured) for text, measured in sketch.dimensions if text in shown]
                assert drawn, (row["Id"], kind, part)
                assert all(measured == pytest.approx(float(part), abs=0.05) for _, measured in drawn)
            compared += 1
        in_floor = row["Role"] == "compartment floor"
        for heading in ("Centre above structural floor", "Sill of the finished clear opening"):
            if in_floor:
                assert row[heading] == "in the floor", (row["Id"], heading)
            elif row[heading] != "to be settled":
                assert row[heading] in sketch.pages, (row["Id"], heading)
    assert compared >= 150


def test_what_is_drawn_for_construction_has_an_opening_that_may_be_formed(
    sketches: dict[str, Sketch], books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    states = {row["Id"]: row["State"] for row in books["builders-work"]["Builders' work"]}
    built = {name for name, sketch in sketches.items() if "for construction" in sketch.texts}
    assert len(built) >= 30
    assert {name: states[name] for name in built if states[name] == "held"} == {}


def test_what_was_rejected_is_neither_drawn_for_construction_nor_formed(
    sketches: dict[str, Sketch], books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    states = {row["Id"]: row["State"] for row in books["builders-work"]["Builders' work"]}
    rejected = {
        row["Id"] for row in books["orders"]["Held"] if "rejected, to be submitted again" in row["What it waits for"]
    }
    assert rejected
    for name in rejected & set(sketches):
        assert "for construction" not in sketches[name].texts, name
        assert states[name] == "held", name


@pytest.mark.parametrize(
    ("title", "moved_mm"),
    [
        ("180 mm between two dampers; their ducts are 200 mm apart in the model", 20),
        ("60 mm from the casing to the soffit", 15),
        ("Two ducts in one hole with batt between them", 120),  # 80 mm between casings
    ],
)
def test_what_was_planted_too_near_is_found_with_its_smallest_shift_and_its_openings_are_held(
    scene: Scenario, books: dict[str, dict[str, list[dict[str, str]]]], title: str, moved_mm: float
) -> None:
    """Least distances of the demo's evidence: 200 mm between casings, 75 mm from the casing to a wall or floor."""
    (fault,) = (item for item in scene.faults if item.title == title)
    ids = permanent_ids(scene)
    names = sorted(ids[ref] for ref in fault.refs)
    groups = books["builders-work"]["Too near"]
    (found,) = (row for row in groups if row["Penetrations"] == ", ".join(names))
    assert found["What was found"] == "smallest shift, proven"
    shifts = re.findall(r"([0-9.]+) mm (?:to the left|to the right|up|down)", found["Shift that cures all"])
    assert sum(map(float, shifts)) == moved_mm
    states = {row["Id"]: row["State"] for row in books["builders-work"]["Builders' work"]}
    assert {states[name] for name in names} == {"held"}


def test_nothing_else_is_too_near_and_a_shift_under_batt_is_not_enough(
    books: dict[str, dict[str, list[dict[str, str]]]],
) -> None:
    groups = books["builders-work"]["Too near"]
    assert len(groups) == 3
    (alone,) = (row for row in groups if ", " not in row["Penetrations"])
    assert alone["Shift that cures all"] == f"{alone['Penetrations']}: 15 mm down"
    assert sum(row["To be settled or looked at"].count("Only batt lies between") for row in groups) == 1


def test_each_line_of_where_a_standard_detail_is_used_says_what_the_schedules_say(
    drawings: dict[str, str],
    sketches: dict[str, Sketch],
    where_used: dict[str, list[str]],
    books: dict[str, dict[str, list[dict[str, str]]]],
) -> None:
    assert set(where_used) == {name for name, number in drawings.items() if number.startswith("S-")}
    for name, line in where_used.items():
        row = next(row for row in books["builders-work"]["Builders' work"] if row["Id"] == name)
        assert row["Drawing"] == drawings[name]
        said = " ".join(line)
        assert row["Reference"] in line
        assert row["Storey"] in line
        assert row["Grid"] in line
        for heading in ("Centre above structural floor", "Sill of the finished clear opening"):
            if row[heading] == "in the floor":
                continue
            drawn = row[heading].removesuffix(" mm")
            assert row[heading] in said or re.search(rf"\b{re.escape(drawn)}\b", sketches[name].said), (name, heading)
    for name, order in ordered(books).items():
        if "Drawings" in order:
            assert drawings[name] in order["Drawings"].split(", ")


def test_the_overlay_shows_the_openings_of_the_schedule(
    folder: Path, books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    rows = {row["Id"]: row for row in books["builders-work"]["Builders' work"]}
    away = {row["Id"] for row in books["builders-work"]["Not on the overlay"]}
    seen = set()
    for path in sorted((folder / "builders-work-A").glob("*.dxf")):
        document = ezdxf.filemanagement.readfile(path)
        assert not document.audit().errors
        written: list[Any] = list(document.modelspace().query("TEXT"))
        texts = [item.plain_text() for item in written]
        for place, text in enumerate(texts):
            if text in rows:
                seen.add(text)
                framed = next(value for key, value in rows[text].items() if key.startswith("Framed"))
                assert f"framed {framed}" in texts[place + 1 : place + 4], text
    assert seen | away == set(rows)
    assert not seen & away


def test_what_is_ordered_is_what_is_drawn_and_nothing_is_ordered_that_may_not_be_built(
    sketches: dict[str, Sketch], books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    lines = ordered(books)
    held = {row["Id"] for row in books["orders"]["Held"]}
    assert not held & set(lines)
    for name, line in lines.items():
        sketch = sketches[name]
        assert "for construction" in sketch.texts, name
        size = SIZE.fullmatch(line["Size, width × height"])
        assert size is not None, name
        bare = line["Size, width × height"].removesuffix(" mm")
        assert any(f"Damper {bare} in" in text for text in sketch.texts), name
        for heading in ("Class", "Product", "Maker"):
            assert line[heading] in sketch.pages, (name, heading)
        assert line["Side of the mechanism"] in sketch.pages, name


def test_orders_and_cause_and_effect_name_the_same_voltage(books: dict[str, dict[str, list[dict[str, str]]]]) -> None:
    wired = {row["Id"]: row for row in books["cause-and-effect"]["Cause and effect"]}
    for name, line in ordered(books).items():
        assert wired[name]["Voltage"] == line["Voltage"], name
        assert wired[name]["End switches"] == line["End switches"], name


def test_every_damper_that_is_ordered_stands_in_one_submittal_with_its_product(
    folder: Path, books: dict[str, dict[str, list[dict[str, str]]]]
) -> None:
    texts = [
        plain(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages))
        for path in sorted((folder / "submittals").glob("*.pdf"))
    ]
    for name, line in ordered(books).items():
        where = [text for text in texts if name in text]
        assert len(where) == 1, name
        assert line["Product"] in where[0]
        assert line["Maker"] in where[0]


def test_the_list_of_documents_names_every_sketch_with_its_status(
    folder: Path, sketches: dict[str, Sketch], drawings: dict[str, str]
) -> None:
    rows = {row["Document"]: row for row in read_book((folder / "documents.xlsx").read_bytes())["Documents"]}
    assert set(drawings.values()) == {name for name in rows if name.startswith(("P-", "S-"))}
    for name, sketch in sketches.items():
        assert (rows[drawings[name]]["Status"] == "to build") == ("for construction" in sketch.texts), name
    manifest = json.loads((folder / "manifest.json").read_text())
    assert {item["number"] for item in manifest["documents"]} == set(rows)
