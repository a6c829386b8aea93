# SPDX-License-Identifier: Apache-2.0
"""Files of the schedules: what stands now says that it is not issued, what was issued is linked, nothing is written."""

from __future__ import annotations

import io
import re
import shutil
from dataclasses import replace
from datetime import date
from html import unescape
from pathlib import Path

import ezdxf
import openpyxl
import pypdfium2
import pytest
from starlette.testclient import TestClient

from brattice.adapters.issued import read_issues
from brattice.cli.detailed import DetailedJob
from brattice.cli.office import FolderDesk, LocalOffice
from brattice.orders.overlay import Overlay
from brattice.orders.too_near import SHIFT_ADVICE, ShiftStanding, TooNearGroup
from tests.helpers.pages import client_of, detailed_of, office_with
from tests.helpers.reports import HOSTILE, sample_report
from tests.helpers.schedule_jobs import damper_row, schedule_job

ON = date(2026, 11, 2)
ROWS = (damper_row("FD-01"), damper_row("FD-02", storey="Level 2", words="grid C/4"))
PAGES = ("orders", "builders-work", "cause-and-effect", "submittals")


@pytest.fixture(scope="module")
def issued_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with one issue."""
    folder = schedule_job(tmp_path_factory.mktemp("files") / "job", ROWS)
    desk = LocalOffice(job=folder, as_of=ON).desk("job")
    assert desk is not None
    desk.look_at_next()
    desk.wait()
    seen = desk.next_issue()
    assert seen is not None
    desk.issue_now(seen.mark)
    desk.wait()
    return folder


@pytest.fixture
def desk(issued_once: Path, tmp_path: Path) -> tuple[FolderDesk, TestClient]:
    """A copy of it, checked, with its pages."""
    shutil.copytree(issued_once, tmp_path / "job")
    office = LocalOffice(job=tmp_path / "job", as_of=ON)
    made = office.desk("job")
    assert made is not None
    made.check()
    made.wait()
    assert made.run().faults == ()
    return made, client_of(office)


def links(client: TestClient, page: str, part: str) -> list[str]:
    """The addresses of files on a page that stand under a part of the job."""
    text = client.get(f"/jobs/job/{page}").text
    return [unescape(found) for found in re.findall(r'href="([^"]*)" download', text) if f"/{part}/" in found]


def pdf_words(data: bytes) -> str:
    document = pypdfium2.PdfDocument(data)
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


def test_every_file_of_what_stands_says_that_it_is_not_issued_and_none_is_written(
    desk: tuple[FolderDesk, TestClient],
) -> None:
    job, client = desk
    before = {path: path.read_bytes() for path in job.folder.rglob("*") if path.is_file()}
    kinds: dict[str, list[str]] = {}
    for page in PAGES:
        for address in links(client, page, "schedule-files"):
            answer = client.get(address)
            assert answer.status_code == 200, address
            assert "not-issued" in answer.headers["content-disposition"], address
            ending = address.rpartition(".")[2]
            kinds.setdefault(page, []).append(ending)
            if ending == "pdf":
                assert "not issued" in pdf_words(answer.content), address
            elif ending == "dxf":
                assert b"not issued" in answer.content, address
            else:
                book = openpyxl.load_workbook(io.BytesIO(answer.content))
                said = [str(cell.value) for row in book["About"].iter_rows() for cell in row]
                assert any("Revision: not issued" in text for text in said), address
    assert kinds["orders"] == ["xlsx", "pdf"]
    assert kinds["builders-work"] == ["xlsx", "dxf", "dxf"]  # two levels
    assert kinds["cause-and-effect"] == ["xlsx"]
    assert set(kinds["submittals"]) == {"pdf"}
    assert {path: path.read_bytes() for path in job.folder.rglob("*") if path.is_file()} == before


def test_what_was_issued_is_linked_as_it_was_issued(desk: tuple[FolderDesk, TestClient]) -> None:
    job, client = desk
    read = read_issues(job.folder)[-1]
    for page, begin in (("orders", "orders-A."), ("builders-work", "builders-work-A"), ("submittals", "submittals/")):
        wanted = {name for name, _ in read.files if name.startswith(begin)}
        assert wanted
        found = links(client, page, "issues")
        assert {address.partition("/issues/01/")[2] for address in found} == wanted
        for address in found:
            name = address.partition("/issues/01/")[2]
            assert client.get(address).content == (job.folder / "issued" / "01" / name).read_bytes()


def test_orders_that_are_not_issued_are_compared_with_the_last_issue(desk: tuple[FolderDesk, TestClient]) -> None:
    _, client = desk
    book = openpyxl.load_workbook(io.BytesIO(client.get("/jobs/job/schedule-files/orders-not-issued.xlsx").content))
    said = " ".join(str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row)
    assert "Nothing changed since the issue before." in said
    assert "There is no issue before" not in said


def test_nothing_is_handed_out_when_an_issue_is_no_longer_as_it_was(desk: tuple[FolderDesk, TestClient]) -> None:
    job, client = desk
    (job.folder / "issued" / "01" / "orders-A.xlsx").write_bytes(b"changed")
    text = client.get("/jobs/job/orders").text
    assert "What was issued is no longer as it was" in text
    assert " download>" not in text
    answer = client.get("/jobs/job/schedule-files/orders-not-issued.xlsx")
    assert answer.status_code == 422
    assert "orders-A.xlsx" in answer.text


@pytest.mark.parametrize("name", ["orders.xlsx", "orders-A.xlsx", "..%2F..%2Fbrattice.toml", "sketches", "%00"])
def test_other_names_are_no_files(desk: tuple[FolderDesk, TestClient], name: str) -> None:
    assert desk[1].get(f"/jobs/job/schedule-files/{name}").status_code == 404


def test_before_the_first_check_there_is_no_file(tmp_path: Path) -> None:
    client = client_of(office_with(tmp_path / "job"))
    assert client.get("/jobs/job/schedule-files/orders-not-issued.xlsx").headers["location"] == "/jobs/job"


def with_work(
    monkeypatch: pytest.MonkeyPatch, *, near: tuple[TooNearGroup, ...] = (), overlays: tuple[Overlay, ...] = ()
) -> DetailedJob:
    """The sample report's details, with what is too near and overlays put in."""
    made = detailed_of(sample_report())
    work = replace(made.schedules.builders_work, too_near=near)
    given = replace(made.schedules, builders_work=work, overlays=overlays)
    monkeypatch.setattr(DetailedJob, "schedules", property(lambda self: given))
    return made


def test_the_openings_of_each_level_come_as_a_drawing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wall = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 200.0), (0.0, 200.0))
    levels = (Overlay("Level 1/East", (), (wall,), ()), Overlay("Level 2", (), (wall,), ()))
    made = with_work(monkeypatch, overlays=levels)
    client = client_of(office_with(tmp_path / "job", sample_report(), made))
    found = [name for name in links(client, "builders-work", "schedule-files") if name.endswith(".dxf")]
    assert [name.rpartition("/")[2] for name in found] == [
        "builders-work-not-issued-01-Level-1-East.dxf",
        "builders-work-not-issued-02-Level-2.dxf",
    ]
    for address in found:
        drawing = ezdxf.read(io.StringIO(client.get(address).content.decode()))  # type: ignore[attr-defined]
        assert not drawing.audit().has_errors
        texts = [item.dxf.text for item in drawing.modelspace().query("TEXT")]
        assert any("not issued" in text for text in texts), texts


GROUP = TooNearGroup(
    ("P-0001", "P-0003"),
    "Level 1",
    HOSTILE[4],
    ("P-0001 has 180 mm to P-0003.", "P-0003 has 180 mm to P-0001."),
    ShiftStanding.SMALLEST,
    ("P-0003: 20 mm to the right",),
    "Seen looking towards +y of the models: +x to the right.",
    ("Look again.",),
)


def test_what_is_too_near_stands_on_its_page_with_its_shift(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    alone = replace(GROUP, penetrations=("P-0004",), standing=ShiftStanding.NONE, shifts=(), seen="", look=())
    made = with_work(monkeypatch, near=(GROUP, alone))
    client = client_of(office_with(tmp_path / "job", sample_report(), made))
    text = client.get("/jobs/job/too-near").text
    assert "<img" not in text
    words = " ".join(unescape(re.sub(r"<[^>]*>", " ", text)).split())
    for said in (*GROUP.near, *GROUP.shifts, *GROUP.look, GROUP.seen, str(GROUP.standing), *SHIFT_ADVICE):
        assert said in words, said
    assert str(ShiftStanding.NONE) in words
    for name in ("P-0001", "P-0003", "P-0004"):
        assert f'places/{name}#installation"' in text
    front = client.get("/jobs/job/builders-work").text
    assert "2 groups of dampers" in front
    assert 'href="/jobs/job/too-near"' in front


def test_many_groups_are_turned_page_by_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    many = tuple(replace(GROUP, penetrations=(f"P-{number:04d}", f"P-{number + 1:04d}")) for number in range(1, 251, 2))
    made = with_work(monkeypatch, near=many)
    client = client_of(office_with(tmp_path / "job", sample_report(), made))
    seen: list[str] = []
    for page in ("1", "2"):
        text = client.get("/jobs/job/too-near", params={"page": page}).text
        assert "Page" in text
        seen += re.findall(r'<h2 id="n-(P-\d+)"', text)
    assert seen == [group.penetrations[0] for group in many]


def test_nothing_too_near_is_not_said_to_be_far_enough(tmp_path: Path) -> None:
    text = client_of(office_with(tmp_path / "job", sample_report())).get("/jobs/job/too-near").text
    assert "is not said to be far enough" in text
