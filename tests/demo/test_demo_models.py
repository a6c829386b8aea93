# SPDX-License-Identifier: Apache-2.0
"""`brattice penetrations` on the demo's models, held against the places that the generator's own parameters give."""

import csv
import hashlib
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tools.demo.faults import Scenario
from tools.demo.page import page
from tools.demo.truth import TruePlace, others, places

Row = dict[str, str]
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def rows(demo_job: Path) -> list[Row]:
    models = [str(demo_job / "models" / name) for name in ("services.ifc", "architecture.ifc")]
    done = subprocess.run(
        [str(Path(sys.executable).with_name("brattice")), "penetrations", *models, "--csv", "-"],
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode in {0, 1}, done.stderr
    assert "warning" not in done.stderr.casefold()
    return list(csv.DictReader(io.StringIO(done.stdout)))


def found_as(place: TruePlace, rows: list[Row]) -> Row:
    """The row of a place: the same barrier and one of its elements."""
    matching = [
        row
        for row in rows
        if place.barrier in row["barrier_guids"].split() and set(place.elements) & set(row["element_guids"].split())
    ]
    assert len(matching) == 1, (place, matching)
    return matching[0]


def test_every_place_is_found_and_no_other(scene: Scenario, rows: list[Row]) -> None:
    true = places(scene)
    found = [found_as(place, rows)["key"] for place in true]
    assert len(set(found)) == len(true)
    assert {row["key"] for row in rows if row["kind"] != "other-service"} == set(found)


def test_the_building_is_of_the_promised_size(scene: Scenario) -> None:
    assert 110 <= sum(place.kind == "penetration" for place in places(scene)) <= 135
    assert len(scene.faults) >= 25


def test_penetrations_are_where_and_what_they_were_made(scene: Scenario, rows: list[Row]) -> None:
    for place in places(scene):
        row = found_as(place, rows)
        assert row["kind"] == place.kind, place
        assert row["storey"] == place.storey, place
        if place.kind != "penetration":
            assert place.reason in row["queries"].split(), place
            continue
        assert row["queries"] == "", place
        centre = tuple(float(row[f"{axis}_m"]) * 1000 for axis in "xyz")
        assert centre == pytest.approx(place.at, abs=0.5), place
        assert float(row["thickness_mm"]) == pytest.approx(place.thickness, abs=0.1), place
        assert float(row["width_mm"]) == pytest.approx(place.width, abs=0.1), place
        assert row["shape"] == ("round" if place.height is None else "rectangular"), place
        if place.height is not None:
            assert float(row["height_mm"]) == pytest.approx(place.height, abs=0.1), place
        elements = row["element_guids"].split()
        assert list(place.elements) in (elements, elements[::-1]), place  # along the axis, either way
        assert row["damper_guid"] == place.damper, place


def test_pipes_and_trays_are_listed_as_other_services(scene: Scenario, rows: list[Row]) -> None:
    listed = {
        (row["service"], element, barrier)
        for row in rows
        if row["kind"] == "other-service"
        for element in row["element_guids"].split()
        for barrier in row["barrier_guids"].split()
    }
    assert listed == {(other.service, other.element, other.barrier) for other in others(scene)}


def digests(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_two_runs_write_equal_bytes(tmp_path: Path) -> None:
    for name, seed in (("one", "1"), ("two", "2")):
        subprocess.run(
            [sys.executable, "-m", "tools.demo", str(tmp_path / name)],
            check=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            timeout=120,
        )
    assert digests(tmp_path / "one") == digests(tmp_path / "two")
    assert {"job/models/architecture.ifc", "job/schedule/schedule.xlsx"} <= set(digests(tmp_path / "one"))


def test_every_name_says_that_it_is_invented(demo_job: Path) -> None:
    assert "invented = true" in (demo_job / "brattice.toml").read_text("utf-8")
    for path in sorted((demo_job / "evidence").glob("*.toml")):
        text = path.read_text("utf-8")
        assert text.startswith("# Invented for a demonstration"), path
        assert "invented = true" in text, path


def test_the_page_of_the_docs_is_up_to_date(scene: Scenario) -> None:
    assert (ROOT / "docs" / "demo.md").read_text("utf-8") == page(scene), (
        "make it: python -m tools.demo --page docs/demo.md"
    )
