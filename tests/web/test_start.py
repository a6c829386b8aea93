# SPDX-License-Identifier: Apache-2.0
"""The start page: a schedule that is dropped becomes a job in a folder of its own; names from outside are no paths."""

import csv
import io
from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from brattice.adapters.project import read_job
from brattice.adapters.sheets import schedule_bytes
from brattice.cli.office import LocalOffice, file_name, job_key
from brattice.web.forms import Upload, UploadKind
from tests.helpers.jobs import ORDINARY_ROW
from tests.helpers.pages import client_of

ROW = {
    **ORDINARY_ROW,
    "duct_guids": None,
    "reference": "FD-01",
    "storey": "Level 1",
    "maker": "Harrow & Vale (invented)",
}
SHEET = schedule_bytes([ROW], stamp=datetime(2026, 3, 1, tzinfo=UTC))


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    return tmp_path / "deep" / "jobs"


@pytest.fixture
def office(jobs: Path) -> LocalOffice:
    return LocalOffice(folder=jobs)


@pytest.fixture
def start(office: LocalOffice) -> TestClient:
    return client_of(office)


def files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_a_dropped_schedule_becomes_a_job_that_can_be_checked(
    start: TestClient, office: LocalOffice, jobs: Path
) -> None:
    answer = start.post("/jobs", files={"schedule": ("Dampers rev C.xlsx", SHEET)}, data={"name": "Level 1 – east"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/level-1-east")
    assert files(jobs) >= {"level-1-east/brattice.toml", "level-1-east/schedule/dampers-rev-c.xlsx"}
    job = read_job(jobs / "level-1-east").job
    assert (job.name, job.schedules, job.wall_type_sheets) == ("Level 1 – east", ("schedule/dampers-rev-c.xlsx",), ())
    text = start.get("/jobs/level-1-east").text
    assert "Dampers rev C.xlsx" in text
    assert "Dampers rev C.xlsx" not in start.get("/jobs/level-1-east").text  # said once
    desk = office.desk("level-1-east")
    assert desk is not None
    desk.wait()
    assert desk.run().faults == ()
    rows = list(csv.DictReader(io.StringIO((jobs / "level-1-east" / "out" / "register.csv").read_text("utf-8-sig"))))
    assert [row["Storey"] for row in rows] == ["Level 1"]


def test_nothing_is_ever_overwritten(start: TestClient, jobs: Path) -> None:
    (jobs / "hall").mkdir(parents=True)
    (jobs / "hall" / "mine.txt").write_text("mine")
    for number in (2, 3):
        answer = start.post("/jobs", files={"schedule": ("Hall.csv", b"a,b\n1,2\n")})
        assert answer.headers["location"] == f"/jobs/hall-{number}/schedules/1"
    assert (jobs / "hall" / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("../../etc/passwd", "etc-passwd"), ("C:\\Windows\\x", "c-windows-x"), ("..", "job"), ("", "job"),
        ("CON", "con-job"), ("a\x00b", "a-b"), ("\u202egnp", "gnp"), ("x" * 300, "x" * 60),
        ("-rf", "rf"), ("Höhe", "hohe"),
    ],
)  # fmt: skip
def test_a_name_makes_a_plain_word_and_never_a_path(name: str, key: str) -> None:
    assert job_key(name) == key
    assert file_name(Upload(f"{name}.csv", UploadKind.CSV, b"x")) == f"{key}.csv"


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("sheet.exe", b"MZ", "exe"),
        ("sheet", b"a,b", "without an ending"),
        ("sheet.xlsx", b"a,b\n", "does not begin like a xlsx file"),
        ("sheet.csv", b"", "an empty file"),
        ("sheet.csv", b"\x00\x01\x02", "no text"),
        ("model.ifc", b"ISO-10303-21;", "ifc"),
    ],
)
def test_what_is_no_schedule_is_refused_and_nothing_is_made(
    start: TestClient, jobs: Path, name: str, data: bytes, said: str
) -> None:
    answer = start.post("/jobs", files={"schedule": (name, data)})
    assert answer.status_code == 422
    assert said in answer.text
    assert not jobs.exists()


def test_a_form_without_a_file_or_with_too_many_makes_nothing(start: TestClient, jobs: Path) -> None:
    assert start.post("/jobs", data={"name": "x"}).status_code == 422
    assert start.post("/jobs", files=[("schedule", ("a.csv", b"a")), ("schedule", ("b.csv", b"b"))]).status_code == 400
    assert start.post("/jobs", content=b"--x", headers={"Content-Type": "multipart/form-data"}).status_code == 400
    assert not jobs.exists()


def test_what_is_sent_is_counted_whatever_its_head_says(jobs: Path) -> None:
    from brattice.web import Access
    from tests.helpers.pages import access_here

    given = access_here()
    access = Access(given.token, given.pass_word, given.cookie, given.hosts, most_bytes=2000)
    client = client_of(LocalOffice(folder=jobs), access)

    def parts() -> object:
        yield b'--b\r\nContent-Disposition: form-data; name="schedule"; filename="a.csv"\r\n\r\n'
        for _ in range(10):
            yield b"x" * 500

    head = {"Content-Type": "multipart/form-data; boundary=b"}
    assert client.post("/jobs", content=parts(), headers=head).status_code == 413  # type: ignore[arg-type]
    assert not jobs.exists()


def test_a_program_that_serves_one_job_makes_no_other(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    answer = client_of(LocalOffice(job=tmp_path / "job")).post("/jobs", files={"schedule": ("a.csv", b"a,b")})
    assert answer.status_code == 422
    assert "serves one job" in answer.text
