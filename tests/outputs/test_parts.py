# SPDX-License-Identifier: Apache-2.0
"""A report too large for one file: an index and parts by storey that together say what every other output says."""

import re
from pathlib import Path

import pytest

from brattice.adapters.report import html, write_outputs
from brattice.usecases.report_model import Report
from tests.helpers.outputs import HtmlShape, Told, from_csv, from_html, from_json, from_model, from_xlsx
from tests.helpers.reports import hostile_report, large_report, sample_report

EPOCH = 1_788_220_800  # 2026-09-01


@pytest.fixture
def small_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts of at most seven, beyond ten penetrations."""
    monkeypatch.setattr(html, "MOST_IN_ONE", 10)
    monkeypatch.setattr(html, "_MOST_IN_PART", 7)


def parts_of(folder: Path) -> dict[str, HtmlShape]:
    return {path.name: HtmlShape(path.read_text("utf-8")) for path in sorted((folder / "report").iterdir())}


def told_in_parts(folder: Path) -> Told:
    told = Told()
    for path in sorted((folder / "report").iterdir()):
        here = from_html(path.read_bytes())  # list and sections of a part say the same
        for name, state in here.states.items():
            told.add(name, state, here.open_codes[name], here.other_codes[name])
    return told


@pytest.mark.usefixtures("small_parts")
@pytest.mark.parametrize(
    "report", [sample_report(), large_report(40), hostile_report()], ids=["sample", "large", "hostile"]
)
def test_the_parts_together_say_what_every_other_output_says(report: Report, tmp_path: Path) -> None:
    if len(report.penetrations) <= 10:
        pytest.skip("one file")
    files = write_outputs(report, tmp_path, epoch=EPOCH)
    expected = from_model(report)
    assert told_in_parts(tmp_path) == expected
    assert from_json((tmp_path / "findings.json").read_bytes()) == expected
    assert from_csv((tmp_path / "register.csv").read_bytes()) == expected
    assert from_xlsx((tmp_path / "register.xlsx").read_bytes()) == expected
    assert sorted(files) == sorted(path for path in tmp_path.rglob("*") if path.is_file())


@pytest.mark.usefixtures("small_parts")
def test_every_link_of_index_and_parts_leads_somewhere(tmp_path: Path) -> None:
    write_outputs(large_report(40), tmp_path, epoch=EPOCH)
    pages = {"report.html": HtmlShape((tmp_path / "report.html").read_text("utf-8"))}
    pages |= {f"report/{name}": shape for name, shape in parts_of(tmp_path).items()}
    assert len(pages) > 6
    anchors = {
        name: {attributes["id"] for _, attributes in shape.elements if "id" in attributes}
        for name, shape in pages.items()
    }
    followed = 0
    for name, shape in pages.items():
        for tag, attributes in shape.elements:
            if tag != "a":
                continue
            file, _, anchor = attributes["href"].partition("#")
            target = name if not file else file.removeprefix("../") if "/" in name else file
            assert not anchor or anchor in anchors[target], (name, attributes["href"])
            followed += target != name
    assert followed > 40  # from the index into each part, and back to the values used


@pytest.mark.usefixtures("small_parts")
def test_a_part_holds_one_storey_and_the_cautions_and_allows_nothing_from_outside(tmp_path: Path) -> None:
    report = large_report(40)
    write_outputs(report, tmp_path, epoch=EPOCH)
    for shape in parts_of(tmp_path).values():
        for caution in report.cautions:
            assert caution in shape.all_text
        policy = next(a["content"] for tag, a in shape.elements if tag == "meta" and "http-equiv" in a)
        assert policy.startswith("default-src 'none'")
    index = HtmlShape((tmp_path / "report.html").read_text("utf-8"))
    assert index.told.states == {}
    listed = re.findall(r"Part (\d+)", index.all_text)
    assert sorted(map(int, listed)) == list(range(1, len(parts_of(tmp_path)) + 1))
    assert not any(tag == "script" for tag, _ in index.elements)


@pytest.mark.parametrize(("most", "files"), [(40, 1), (39, 2)])
def test_exactly_at_the_limit_it_is_one_file(
    most: int, files: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(html, "MOST_IN_ONE", most)
    written = write_outputs(large_report(40), tmp_path, epoch=EPOCH)
    pages = [path for path in written if path.suffix == ".html"]
    assert (len(pages) > 1) is (files > 1)


@pytest.mark.usefixtures("small_parts")
def test_two_runs_write_equal_parts(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        write_outputs(large_report(40), tmp_path / name, epoch=EPOCH)
    for path in (tmp_path / "one").rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (tmp_path / "two" / path.relative_to(tmp_path / "one")).read_bytes()
