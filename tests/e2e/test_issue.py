# SPDX-License-Identifier: Apache-2.0
"""Numbered issues of a job, through the command."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from brattice.cli.main import main
from tests.helpers.jobs import Names, small_job


def issued(job: Path, number: str) -> dict[str, bytes]:
    folder = job / "issued" / number
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def documents(job: Path, number: str) -> dict[str, tuple[str, str, bool]]:
    manifest = json.loads((job / "issued" / number / "manifest.json").read_text())
    return {item["number"]: (item["revision"], item["issue"], item["withdrawn"]) for item in manifest["documents"]}


def sketches(job: Path, number: str) -> list[str]:
    return sorted(name for name in issued(job, number) if name.startswith("sketches/P-"))


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    job = small_job(tmp_path_factory.mktemp("issue") / "job")
    assert main(["issue", str(job)]) in {0, 1}
    return job


def test_the_first_issue_holds_every_kind_of_document(first: Path) -> None:
    names = issued(first, "01")
    assert {"manifest.json", "content.json", "documents.xlsx", "orders-A.xlsx", "orders-A.pdf"} <= set(names)
    assert {"builders-work-A.xlsx", "cause-and-effect-A.xlsx"} <= set(names)
    drawn = sketches(first, "01")
    assert drawn
    for name in drawn:
        stem = Path(name).stem
        assert {f"sketches/phone/{stem}.svg", f"sketches/dxf/{stem}.dxf"} <= set(names)
    books = [name for name in names if name.startswith("sketches/") and name.endswith(".pdf")]
    assert books
    assert all(revision == "A" and number == "01" for revision, number, _ in documents(first, "01").values())


def test_the_list_of_documents_is_the_manifest_s(first: Path) -> None:
    book = openpyxl.load_workbook(first / "issued" / "01" / "documents.xlsx")
    rows = list(book["Documents"].iter_rows(min_row=2, values_only=True))
    assert {row[0]: (row[4], row[5], row[3] == "withdrawn") for row in rows} == documents(first, "01")
    assert all(row[8] for row in rows), "every document of a first issue has a file in it"


def test_nothing_changed_is_no_issue(first: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = issued(first, "01")
    assert main(["issue", str(first)]) in {0, 1}
    assert "nothing changed since issue 01" in capsys.readouterr().out
    assert issued(first, "01") == before
    assert [path.name for path in (first / "issued").iterdir()] == ["01"]


def with_row(folder: Path, **row: object) -> None:
    """The job of a folder with another row of its schedule; what was issued and its ids stay."""
    other = small_job(folder.parent / "other", Names(extra_row=row))
    (folder / "schedule" / "schedule.xlsx").write_bytes((other / "schedule" / "schedule.xlsx").read_bytes())


def test_only_what_changed_is_revised_and_everything_is_kept(tmp_path: Path) -> None:
    job = small_job(tmp_path / "job")
    main(["issue", str(job)])
    before = issued(job, "01")
    with_row(job, actuator="T95")
    assert main(["issue", str(job)]) in {0, 1}
    assert issued(job, "01") == before
    was, now = documents(job, "01"), documents(job, "02")
    changed = {name for name in now if now[name] != was.get(name)}
    assert changed
    assert all(now[name] == ("B", "02", False) for name in changed)
    assert all(now[name] == was[name] for name in set(now) - changed)
    texts = {
        number: {item["number"]: item["texts"] for item in json.loads(issued(job, number)["content.json"])["documents"]}
        for number in ("01", "02")
    }
    assert changed == {name for name in now if texts["01"].get(name) != texts["02"][name]}
    stems = {Path(name).stem for name in sketches(job, "02")}
    assert stems == {f"{name}-B" for name in changed if name.startswith("P-")}


def test_preview_says_what_would_be_issued_and_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = small_job(tmp_path / "job")
    assert main(["issue", str(job), "--preview"]) in {0, 1}
    said = capsys.readouterr().out
    assert "orders: new to A" in said
    assert not (job / "issued").exists()


def test_verify_finds_what_is_no_longer_as_it_was(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job")
    assert main(["issue", str(job), "--verify"]) == 0
    assert "nothing was issued yet" in capsys.readouterr().out
    main(["issue", str(job)])
    capsys.readouterr()
    assert main(["issue", str(job), "--verify"]) == 0
    assert capsys.readouterr().out.startswith("01 of ")
    path = job / "issued" / "01" / "orders-A.xlsx"
    path.write_bytes(path.read_bytes() + b" ")
    for arguments in (["issue", str(job), "--verify"], ["issue", str(job)]):
        assert main(arguments) == 3
        said = capsys.readouterr().err
        assert "issued/01/orders-A.xlsx" in said
        assert "changed after it was issued" in said
    assert not (job / "issued" / "02").exists()


def test_an_issue_before_the_last_one_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job")
    main(["issue", str(job), "--as-of", "2026-05-02"])
    with_row(job, actuator="T95")
    assert main(["issue", str(job), "--as-of", "2026-05-01"]) == 3
    said = capsys.readouterr().err
    assert "an issue of 2026-05-02, after 2026-05-01" in said
    assert not (job / "issued" / "02").exists()
    assert main(["issue", str(job), "--as-of", "2026-05-02"]) in {0, 1}


def test_preview_and_verify_are_two_questions(tmp_path: Path) -> None:
    assert main(["issue", str(tmp_path), "--preview", "--verify"]) == 64


def issued_by(folder: Path, seed: str) -> dict[str, bytes]:
    done = subprocess.run(
        [sys.executable, "-c", "from brattice.cli.main import run; run()", "issue", str(folder)],
        env={**os.environ, "PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"},
        cwd=folder.parent,
        capture_output=True,
        check=False,
    )
    assert done.returncode in {0, 1}, done.stderr.decode()
    return issued(folder, "01")


def test_folder_and_hash_seed_change_nothing(tmp_path: Path) -> None:
    first = issued_by(small_job(tmp_path / "a" / "job"), "1")
    assert issued_by(small_job(tmp_path / "a longer name" / "deeper" / "job"), "4242") == first
