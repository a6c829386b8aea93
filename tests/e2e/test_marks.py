# SPDX-License-Identifier: Apache-2.0
"""Marks on a drawing under a level, from the command to findings and printed plan."""

import json
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import Image, ImageDraw

from brattice.cli.main import main
from tests.helpers.jobs import small_job
from tests.helpers.pdfs import page_texts

POINTS = (((100, 100), (0.0, 9.0)), ((1100, 100), (10.0, 9.0)), ((1100, 1000), (10.0, 0.0)))


def drawing(path: Path) -> None:
    """A picture whose pixel is 10 mm: a black bar from (4 m, 5 m) to (6 m, 5.5 m)."""
    picture = Image.new("L", (1200, 1100), 255)
    ImageDraw.Draw(picture).rectangle((500, 450, 700, 500), fill=0)
    picture.save(path)


def job_with_plan(folder: Path, level: str, points: Any = POINTS, file: str = "level.png") -> Path:
    job = small_job(folder)
    (job / "plans").mkdir()
    if file.endswith("png"):
        drawing(job / "plans" / file)
    text = f'schema = 1\n[[plan]]\nfile = "{file}"\nlevel = "{level}"\n'
    for sheet, metres in points:
        text += f"[[plan.point]]\nsheet = {list(sheet)}\nmetres = {list(metres)}\n"
    (job / "plans" / "plans.toml").write_text(text, "utf-8")
    return job


def findings(job: Path) -> dict[str, Any]:
    return dict(json.loads((job / "out" / "findings.json").read_text("utf-8")))


def level_of(folder: Path) -> tuple[str, Any]:
    job = small_job(folder)
    main(["check", str(job)])
    first = findings(job)["penetrations"][0]
    return first["storey"], first


def mark(job: Path, at: str, name: str, *more: str) -> int:
    return main(
        ["mark", str(job), "--plan", "level.png", "--at", at, "--penetration", name, "--by", "A. Tester", *more]
    )


def test_a_mark_is_a_fact_with_its_origin_and_contradictions_are_asked(tmp_path: Path) -> None:
    level, first = level_of(tmp_path / "plain")
    job = job_with_plan(tmp_path / "job", level)
    main(["check", str(job)])
    assert mark(job, "600,475", first["id"], "--date", "2026-03-01") == 0
    main(["check", str(job)])
    told = next(item for item in findings(job)["penetrations"] if item["id"] == first["id"])
    (fact,) = (fact for fact in told["facts"] if "surveyed by A. Tester, 2026-03-01, on level.png" in fact["origin"])
    assert "x 5.000 m, y 5.250 m" in fact["value"]  # by hand: 500 px of 10 mm from the left, 525 px above (0, 0)
    assert told["centre_m"] == first["centre_m"]
    codes = {item["code"] for item in told["findings"]}
    if first["centre_m"] is None:
        assert "surveyed-place-unknown" not in codes
    else:
        x, y, _ = first["centre_m"]
        assert ("surveyed-place-unknown" in codes) == ((x - 5) ** 2 + (y - 5.25) ** 2 > 1)


def test_a_mark_on_another_level_places_nothing_and_is_asked(tmp_path: Path) -> None:
    _, first = level_of(tmp_path / "plain")
    job = job_with_plan(tmp_path / "job", "Another level")
    main(["check", str(job)])
    assert mark(job, "600,475", first["id"]) == 0
    assert main(["check", str(job)]) == 1
    told = next(item for item in findings(job)["penetrations"] if item["id"] == first["id"])
    assert "surveyed-place-unknown" in {item["code"] for item in told["findings"]}
    assert not any("surveyed by" in fact["origin"] for fact in told["facts"])


def test_a_drawing_is_printed_under_its_level_and_named(tmp_path: Path) -> None:
    level, first = level_of(tmp_path / "plain")
    job = job_with_plan(tmp_path / "job", level)
    main(["check", str(job)])
    mark(job, "600,475", first["id"])
    main(["print", str(job)])
    (path,) = (item for item in (job / "print" / "plans").iterdir() if "underneath" in page_texts(item.read_bytes())[0])
    assert "plans/level.png" in page_texts(path.read_bytes())[0]
    page = pypdfium2.PdfDocument(path.read_bytes())[0]
    pictures = list(page.get_objects(filter=[3]))
    assert pictures


@pytest.mark.parametrize(
    ("points", "file", "said"),
    [
        ((((1, 1), (0, 0)), ((1, 1), (5, 5))), "level.png", "points that lie in one place"),
        (POINTS, "../level.png", "a PDF, PNG or JPG in plans/"),
        (POINTS, "gone.pdf", "not in plans/"),
        (POINTS[:1], "level.png", "point"),
    ],
)
def test_plans_that_are_not_in_order_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], points: Any, file: str, said: str
) -> None:
    job = small_job(tmp_path / "job")
    (job / "plans").mkdir()
    drawing(job / "plans" / "level.png")
    text = f'schema = 1\n[[plan]]\nfile = "{file}"\nlevel = "Level 1"\n'
    for sheet, metres in points:
        text += f"[[plan.point]]\nsheet = {list(sheet)}\nmetres = {list(metres)}\n"
    (job / "plans" / "plans.toml").write_text(text, "utf-8")
    assert main(["check", str(job)]) == 3
    error = capsys.readouterr().err
    assert said in error
    assert "plans/plans.toml" in error


def test_a_reference_that_does_not_fit_is_open(tmp_path: Path) -> None:
    level, _ = level_of(tmp_path / "plain")
    wrong = (*POINTS[:2], ((1100, 1000), (10.0, 2.0)))
    job = job_with_plan(tmp_path / "job", level, wrong)
    assert main(["check", str(job)]) == 1
    assert "plan-reference-fails" in {item["code"] for item in findings(job)["job_findings"]}


@pytest.mark.parametrize(
    ("at", "name", "said"),
    [("1;2", "P-0001", "two numbers"), ("1,nan", "P-0001", "finite"), ("1,2", "P-9999", "P-9999")],
)
def test_a_mark_that_is_wrong_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], at: str, name: str, said: str
) -> None:
    job = job_with_plan(tmp_path / "job", "Level 1")
    main(["check", str(job)])
    assert mark(job, at, name) == 3
    assert said in capsys.readouterr().err
    assert not (job / "plans" / "marks.csv").exists()


def test_a_drawing_that_is_none_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    level, first = level_of(tmp_path / "plain")
    job = job_with_plan(tmp_path / "job", level)
    (job / "plans" / "level.png").write_bytes(b"no picture at all")
    main(["check", str(job)])
    mark(job, "600,475", first["id"])
    assert main(["print", str(job)]) == 3
    assert "plans/level.png" in capsys.readouterr().err
