# SPDX-License-Identifier: Apache-2.0
"""A job on paper, through the command."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from brattice.cli.main import main
from tests.helpers.jobs import Names, small_job
from tests.helpers.outputs import from_json
from tests.helpers.pdfs import from_pdf, page_texts


def test_the_pages_say_what_a_check_says(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job", Names(extra_row={"seal_products": None}))
    assert main(["print", str(job)]) == 1
    ledger, queries = (job / "penetrations.csv").read_bytes(), (job / "queries.csv").read_bytes()
    plans = sorted((job / "print" / "plans").iterdir())
    assert capsys.readouterr().out.splitlines() == [*map(str, plans), str(job / "print" / "report.pdf")]
    assert main(["check", str(job)]) == 1
    assert ((job / "penetrations.csv").read_bytes(), (job / "queries.csv").read_bytes()) == (ledger, queries)
    findings = (job / "out" / "findings.json").read_bytes()
    pages = (job / "print" / "report.pdf").read_bytes()
    told = from_pdf(pages)
    assert told == from_json(findings)
    assert told.states
    numbers = [query["number"] for query in json.loads(findings)["queries"]]
    assert numbers
    assert all(number in " ".join(page_texts(pages)) for number in numbers)
    on_plans = " ".join(" ".join(page_texts(path.read_bytes())) for path in plans)
    assert all(name in on_plans and state in on_plans for name, state in told.states.items())
    assert all(number in on_plans for number in numbers)


def test_another_folder_and_nothing_open(tmp_path: Path) -> None:
    job = small_job(tmp_path / "job")
    assert main(["print", str(job), "-o", str(tmp_path / "sheets")]) == 0
    assert {path.name for path in (tmp_path / "sheets").iterdir()} == {"plans", "report.pdf", "manifest.json"}
    assert not (job / "print").exists()


def test_a_job_that_can_t_be_read_leaves_the_old_pages(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job")
    main(["print", str(job)])
    before = (job / "print" / "report.pdf").read_bytes()
    (job / "brattice.toml").write_text("schema = 2\n", "utf-8")
    assert main(["print", str(job)]) == 3
    assert (job / "print" / "report.pdf").read_bytes() == before
    assert "Traceback" not in capsys.readouterr().err


def test_a_paper_that_is_none_of_ours_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = small_job(tmp_path / "job")
    assert main(["print", str(job), "--paper", "B5"]) == 3
    said = capsys.readouterr().err
    assert "'B5'" in said
    assert "A3 or A1" in said
    assert not (job / "print").exists()


def printed(folder: Path, seed: str) -> dict[str, bytes]:
    done = subprocess.run(
        [sys.executable, "-c", "from brattice.cli.main import run; run()", "print", str(folder)],
        env={**os.environ, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": "1790000000", "TZ": "Asia/Tokyo"},
        cwd=folder.parent,
        capture_output=True,
        check=False,
    )
    assert done.returncode in {0, 1}, done.stderr.decode()
    return {path.name: path.read_bytes() for path in (folder / "print").rglob("*") if path.is_file()}


def test_folder_and_hash_seed_change_nothing(tmp_path: Path) -> None:
    first = printed(small_job(tmp_path / "a" / "job"), "1")
    assert printed(small_job(tmp_path / "a longer name" / "deeper" / "job"), "4242") == first
