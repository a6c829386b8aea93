# SPDX-License-Identifier: Apache-2.0
"""What a new user does to a job folder: each ends in a clear message with its place and the right exit code."""

from __future__ import annotations

import errno
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.files import only_run_in
from brattice.cli.exits import guarded
from brattice.cli.main import main
from tests.helpers.ifc_maker import Maker
from tests.helpers.jobs import small_job
from tests.helpers.outputs import files_of


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_job(tmp_path_factory.mktemp("good") / "job")


@pytest.fixture
def job(good: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(good, tmp_path / "job"))


def edit(job: Path, old: str, new: str) -> None:
    text = (job / "brattice.toml").read_text("utf-8")
    assert old in text
    (job / "brattice.toml").write_text(text.replace(old, new), "utf-8")


def findings(job: Path) -> list[dict[str, Any]]:
    told: list[dict[str, Any]] = json.loads((job / "out" / "findings.json").read_text("utf-8"))["job_findings"]
    return told


def test_a_job_in_which_there_is_nothing_to_judge_is_not_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "job"), "--as-of", "2026-11-02"]) == 0
    assert main(["check", str(tmp_path / "job")]) == 1
    assert [(item["code"], item["open"]) for item in findings(tmp_path / "job")] == [("model-fails", True)]
    assert "Traceback" not in capsys.readouterr().err


def test_models_without_any_duct_are_not_done(job: Path) -> None:
    maker = Maker()
    maker.storey("Level 1", 0.0)
    maker.wall("wall", (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0), "Level 1", "EI 60")
    maker.save(job / "models" / "building.ifc")
    edit(job, 'schedules = ["schedule/schedule.xlsx"]', "schedules = []")
    assert main(["check", str(job)]) == 1
    (item,) = [item for item in findings(job) if item["open"]]
    assert item["code"] == "model-fails"
    assert "no duct" in item["text"]


@pytest.mark.parametrize("name", ["same", "link"])
def test_the_table_never_takes_the_place_of_a_model(
    job: Path, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    model = job / "models" / "building.ifc"
    before = model.read_bytes()
    target = model
    if name == "link":
        target = tmp_path / "table.csv"
        target.symlink_to(model)
    assert main(["penetrations", str(model), "--csv", str(target)]) == 64
    assert "is one of the models" in capsys.readouterr().err
    assert model.read_bytes() == before


def test_a_second_run_in_the_same_job_is_told_to_wait(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with only_run_in(job):
        assert main(["check", str(job)]) == 3
    assert "another run works on" in capsys.readouterr().err
    assert not (job / "out").exists()


def test_where_the_ledger_cant_be_written_the_old_output_stays(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(job)]) == 0
    before = files_of(job / "out")

    def refused(*_: object) -> bool:
        raise PermissionError(errno.EACCES, "Permission denied", "penetrations.csv")

    edit(job, 'name = "Invented job"', 'name = "Another name"')
    monkeypatch.setattr("brattice.adapters.project.save_ledger", refused)
    assert main(["check", str(job)]) == 3
    said = capsys.readouterr().err
    assert "can't be written (Permission denied)" in said
    assert files_of(job / "out") == before
    assert {path.name for path in job.iterdir()} >= {"out", "brattice.toml"}
    assert not list(job.glob("out.*"))


@pytest.mark.parametrize("name", ["two words", 'it\'s "quoted"', "Größe ↔ 建物", "-x"])
def test_any_folder_name_will_do_from_any_place(
    good: Path, tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(good, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    assert main(["check", "--", name]) == 0
    assert (tmp_path / name / "out" / "report.html").is_file()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("purpose =", "purpos =", "line 6, purpos: found an unknown key; expected a key of the job file; did you mean"),
        (
            "[dates]",
            """[[deviation]]
penetrations = ["P-0001"]
codes = ["gapp-fails"]
person = "A"
role = "b"
document = "c"
revision = "1"
date = 2026-03-01
conditions = ""
[dates]""",
            "deviation no. 1, codes: found 'gapp-fails'",
        ),
        ('"England"', '"Engl\udce4nd"', "line 3: found text that is not UTF-8"),
    ],
)
def test_a_fault_of_the_job_file_is_said_with_its_place(
    job: Path, old: str, new: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = job / "brattice.toml"
    path.write_bytes(path.read_text("utf-8").replace(old, new, 1).encode("utf-8", "surrogateescape"))
    assert main(["check", str(job)]) == 3
    assert said in capsys.readouterr().err
    assert not (job / "out").exists()


def test_faults_of_evidence_are_said_with_their_place(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = job / "evidence" / "example.toml"
    text = path.read_text("utf-8")
    line = next(number for number, words in enumerate(text.splitlines(), start=1) if "↔" in words)
    path.write_bytes(text.replace("↔", "\udcff").encode("utf-8", "surrogateescape"))
    (job / "evidence" / "broken.toml").write_text("[[x")
    outside = job.parent / "outside.toml"
    outside.write_text("secret = 'not for the job'")
    (job / "evidence" / "link.toml").symlink_to(outside)
    assert main(["check", str(job)]) == 3
    said = capsys.readouterr().err
    assert f"example.toml: line {line}: found bytes that are no UTF-8" in said
    assert "broken.toml: found broken TOML:" in said
    assert "link.toml: found a link that leads out of the job folder" in said


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS])
def test_what_the_system_refuses_is_no_fault_of_ours(number: int) -> None:
    said = io.StringIO()

    def work() -> None:
        raise OSError(number, "refused", "a/place")

    assert guarded(work, said) == 3
    assert said.getvalue() == "brattice: the system refused it: refused (a/place)\n"


def test_any_other_failure_of_the_system_is_ours_to_explain() -> None:
    def work() -> None:
        raise OSError(errno.EBADF, "bad")

    assert guarded(work, io.StringIO()) == 4


def test_a_closed_stdout_is_no_fault() -> None:
    code = "from brattice.cli.main import run\nrun()"
    words = ["class", "EI 60 (ve i↔o)", "--for", "EI 60 (ve i↔o)"]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" >&-', "sh", sys.executable, "-c", code, *words],
        stderr=subprocess.PIPE,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
