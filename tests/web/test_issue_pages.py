# SPDX-License-Identifier: Apache-2.0
"""The page of numbered issues: what was issued, its files and no others, the next issue, and what stops it."""

from __future__ import annotations

import json
import os
import re
import shutil
import threading
from datetime import date
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from brattice.adapters.issued import issue_folder
from brattice.cli.office import FolderDesk, LocalOffice
from brattice.usecases.issuing import Content, DocumentKind, Issue, IssuedDocument
from brattice.usecases.report_model import CAUTIONS
from brattice.web.office import RunStep
from tests.helpers.pages import client_of, office_with
from tests.helpers.reports import HOSTILE, sample_report
from tests.helpers.schedule_jobs import damper_row, schedule_job, write_rows

ON = date(2026, 11, 2)
ROWS = (damper_row("FD-01"), damper_row("FD-02", storey="Level 2", words="grid C/4"))


def desk_of(folder: Path) -> FolderDesk:
    desk = LocalOffice(job=folder, as_of=ON).desk("job")
    assert desk is not None
    return desk


def ended(desk: FolderDesk) -> None:
    desk.wait()
    assert (desk.run().faults, desk.run().own_fault) == ((), "")


@pytest.fixture(scope="module")
def issued_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with one issue, made as the page makes it."""
    folder = schedule_job(tmp_path_factory.mktemp("issues") / "job", ROWS)
    desk = desk_of(folder)
    desk.look_at_next()
    ended(desk)
    seen = desk.next_issue()
    assert seen is not None
    assert not (folder / "issued").exists()
    desk.issue_now(seen.mark)
    ended(desk)
    assert (folder / "issued" / "01" / "manifest.json").is_file()
    return folder


@pytest.fixture
def office(issued_once: Path, tmp_path: Path) -> LocalOffice:
    """A copy of it."""
    shutil.copytree(issued_once, tmp_path / "job")
    return LocalOffice(job=tmp_path / "job", as_of=ON)


@pytest.fixture
def desk(office: LocalOffice) -> FolderDesk:
    made = office.desk("job")
    assert made is not None
    return made


@pytest.fixture
def client(office: LocalOffice) -> TestClient:
    return client_of(office)


def text_of(client: TestClient, path: str = "issues", status: int = 200) -> str:
    answer = client.get(f"/jobs/job/{path}")
    assert answer.status_code == status
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]*>", "", answer.text)))


def links(client: TestClient) -> list[str]:
    return re.findall(r'href="(/jobs/job/issues/\d+/[^"]+)"', client.get("/jobs/job/issues").text)


def looked(client: TestClient, desk: FolderDesk) -> str:
    answer = client.post("/jobs/job/issues/look")
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job/issues")
    ended(desk)
    return text_of(client)


def mark_on(client: TestClient) -> str:
    found = re.search(r'name="mark" value="([0-9a-f]{64})"', client.get("/jobs/job/issues/confirm").text)
    assert found is not None
    return found.group(1)


def changed_rows(folder: Path) -> None:
    write_rows(folder / "schedule" / "schedule.xlsx", (damper_row("FD-01", actuator="T95"), ROWS[1]))


def test_before_the_first_issue_there_is_nothing_and_a_look_is_offered(tmp_path: Path) -> None:
    client = client_of(office_with(tmp_path / "job"))
    assert "Nothing was issued yet." in text_of(client)
    assert 'action="/jobs/job/issues/look"' in client.get("/jobs/job/issues").text
    answer = client.get("/jobs/job/issues/confirm")  # nothing was looked at, so there is nothing to agree to
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job/issues")


def test_every_file_of_the_manifest_is_handed_out_as_it_was_issued(client: TestClient, desk: FolderDesk) -> None:
    folder = desk.folder / "issued" / "01"
    listed = {item["path"] for item in json.loads((folder / "manifest.json").read_text())["files"]}
    found = links(client)
    assert len(found) == len(listed)
    for link in found:
        name = link.removeprefix("/jobs/job/issues/01/")
        answer = client.get(link)
        assert name in listed
        assert answer.content == (folder / name).read_bytes()
        assert answer.headers["content-disposition"].startswith('attachment; filename="01-')
        assert answer.headers["content-type"] == "application/octet-stream"


@pytest.mark.parametrize(
    "name",
    [
        "01/manifest.json", "01/../../brattice.toml", "01/%2e%2e/%2e%2e/brattice.toml", "01//etc/passwd",
        "02/orders-A.pdf", "01/sketches", "01/", "../orders-A.pdf", "01/sketches/%2e%2e/orders-A.pdf",
        "1/orders-A.pdf", "01/orders-A.pdf%00",
    ],
)  # fmt: skip
def test_nothing_else_is_handed_out(client: TestClient, desk: FolderDesk, name: str) -> None:
    assert (desk.folder / "issued" / "01" / "orders-A.pdf").is_file()
    assert client.get(f"/jobs/job/issues/{name}").status_code == 404


def test_documents_stand_with_revision_status_issue_and_date(client: TestClient, desk: FolderDesk) -> None:
    manifest = json.loads((desk.folder / "issued" / "01" / "manifest.json").read_text())
    table = client.get("/jobs/job/issues").text.partition("All documents")[2]
    rows = [
        [unescape(re.sub(r"<[^>]*>", " ", cell)).split() for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)]
        for row in re.findall(r"<tr>(<th scope=\"row\">.*?)</tr>", table, re.S)
    ]
    assert [(row[0][0], " ".join(row[2]), " ".join(row[4]), " ".join(row[5])) for row in rows] == [
        (item["number"], item["revision"], item["issue"], item["on"]) for item in manifest["documents"]
    ]
    status = {item["number"]: item["status"] for item in manifest["documents"]}
    assert all(" ".join(row[3]) == (status[row[0][0]] or "\u2013") for row in rows)


def test_when_nothing_changed_the_page_says_so_and_offers_no_issue(client: TestClient, desk: FolderDesk) -> None:
    text = looked(client, desk)
    assert "Nothing changed since issue 01; nothing is issued." in text
    assert "Go on to issue" not in text
    assert client.get("/jobs/job/issues/confirm").status_code == 303
    client.post("/jobs/job/issues/issue", data={"mark": "0" * 64})
    ended(desk)
    assert "Nothing changed since issue 01; nothing is issued." in text_of(client)
    assert [path.name for path in (desk.folder / "issued").iterdir()] == ["01"]


def test_what_changed_is_told_in_words_confirmed_with_its_date_and_issued(client: TestClient, desk: FolderDesk) -> None:
    changed_rows(desk.folder)
    text = looked(client, desk)
    assert "Issue 02, judged for 2026-11-02, would hold:" in text
    assert "actuator: to be settled → T95" in text
    assert not (desk.folder / "issued" / "02").exists()
    asked = text_of(client, "issues/confirm")
    assert "Make issue 02?" in asked
    assert "judged for 2026-11-02" in asked
    assert all(caution in asked for caution in CAUTIONS)
    assert "actuator: to be settled → T95" in asked
    seen = desk.next_issue()
    assert seen is not None
    for word, count in (("revised", len(seen.plan.revised)), ("stand as issued", len(seen.plan.standing))):
        assert count
        assert f"{word} {count}" in asked
    first = {path: path.read_bytes() for path in (desk.folder / "issued" / "01").rglob("*") if path.is_file()}
    answer = client.post("/jobs/job/issues/issue", data={"mark": mark_on(client)})
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job/issues")
    ended(desk)
    text = text_of(client)
    assert "Issue 02 is made" in text
    assert text.index("Issue 02 of 2026-11-02") < text.index("Issue 01 of 2026-11-02")
    manifest = json.loads((desk.folder / "issued" / "02" / "manifest.json").read_text())
    assert {item["number"] for item in manifest["documents"] if item["issue"] == "02"} == {
        item.content.number for item in seen.plan.revised
    }
    assert all(path.read_bytes() == data for path, data in first.items())


def test_a_penetration_that_went_has_its_sketch_withdrawn(client: TestClient, desk: FolderDesk) -> None:
    write_rows(desk.folder / "schedule" / "schedule.xlsx", ROWS[:1])
    assert "P-0002, revision A: Installation of P-0002" in looked(client, desk)
    client.post("/jobs/job/issues/issue", data={"mark": mark_on(client)})
    ended(desk)
    text = text_of(client)
    assert "Withdrawn: P-0002 (A)" in text
    assert re.search(r"P-0002\s*Installation of P-0002\s*installation sketch\s*A\s*withdrawn\s*02", text)


def test_only_what_was_agreed_to_is_issued(client: TestClient, desk: FolderDesk) -> None:
    changed_rows(desk.folder)
    looked(client, desk)
    mark = mark_on(client)
    write_rows(desk.folder / "schedule" / "schedule.xlsx", (damper_row("FD-01", actuator="T72"), ROWS[1]))
    text = text_of(client)
    assert "Files changed since this was looked at: schedule/schedule.xlsx" in text
    assert "Go on to issue" not in text
    client.post("/jobs/job/issues/issue", data={"mark": mark})
    desk.wait()
    assert desk.run().step is RunStep.STOPPED
    assert not (desk.folder / "issued" / "02").exists()
    text = text_of(client)
    assert "something else than was shown and agreed to" in text
    assert "actuator: to be settled → T72" in text  # what would be issued now stands there to be agreed to
    client.post("/jobs/job/issues/issue", data={"mark": mark_on(client)})
    ended(desk)
    assert (desk.folder / "issued" / "02").is_dir()


def test_a_changed_file_is_named_stops_the_issue_and_is_not_handed_out(client: TestClient, desk: FolderDesk) -> None:
    changed_rows(desk.folder)
    looked(client, desk)
    mark = mark_on(client)
    path = desk.folder / "issued" / "01" / "orders-A.xlsx"
    issued = path.read_bytes()
    path.write_bytes(issued + b" ")
    text = text_of(client, status=422)
    assert "issued/01/orders-A.xlsx" in text
    assert "a file that was changed after it was issued" in text
    assert "Go on to issue" not in text
    answer = client.get("/jobs/job/issues/01/orders-A.xlsx")
    assert answer.status_code == 422
    assert "a file that was changed after it was issued" in answer.text
    client.post("/jobs/job/issues/issue", data={"mark": mark})
    desk.wait()
    assert [fault.file for fault in desk.run().faults] == ["issued/01/orders-A.xlsx"]
    assert not (desk.folder / "issued" / "02").exists()
    path.write_bytes(issued)
    assert client.get("/jobs/job/issues/01/orders-A.xlsx").content == issued


def test_a_file_changed_behind_its_size_and_time_is_not_handed_out(client: TestClient, desk: FolderDesk) -> None:
    assert client.get("/jobs/job/issues/01/content.json").status_code == 200
    path = desk.folder / "issued" / "01" / "content.json"
    was = path.stat()
    data = path.read_bytes()
    path.write_bytes(data[:-2] + b" \n")
    os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))
    assert client.get("/jobs/job/issues/01/content.json").status_code == 422


def test_a_run_that_goes_on_is_shown_and_no_second_one_begins(
    client: TestClient, desk: FolderDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on, begun = threading.Event(), threading.Event()

    def waits(folder: Path, say: object, **given: object) -> None:
        assert callable(say)
        say("reading the schedules")
        begun.set()
        assert go_on.wait(20)

    monkeypatch.setattr("brattice.cli.desk_issues.prepare_issue", waits)
    client.post("/jobs/job/issues/look")
    assert begun.wait(20)
    number = desk.run().number
    try:
        page = client.get("/jobs/job/issues").text
        assert "reading the schedules" in page
        assert f"/jobs/job/run?after={number}" in page
        assert 'action="/jobs/job/issues/look"' not in page
        client.post("/jobs/job/issues/issue", data={"mark": "0" * 64})
        client.post("/jobs/job/issues/look")
        assert desk.run().number == number
    finally:
        go_on.set()
        desk.wait()


def hostile_issue(job: Path, texts: tuple[str, ...]) -> None:
    """An issue whose documents and files bear these names."""
    documents = tuple(
        IssuedDocument(
            Content(f"{number:02d} {text}", DocumentKind.SUBMITTAL, text, text, ((text, text),)), "A", "01", ON
        )
        for number, text in enumerate(texts)
    )
    issue = Issue("01", ON, documents)
    with issue_folder(job, issue, job_name=texts[4], made_by="a test", previous=None) as folder:
        folder.write("submittals/<img src=x onerror=alert(1)>' onx='.pdf", b"%PDF-")
        folder.write("<img src=x>\u202e/a b#?.svg", b"<svg/>")


def test_names_from_outside_are_text_and_lead_to_their_files(tmp_path: Path) -> None:
    office = office_with(tmp_path / "job", sample_report())
    hostile_issue(tmp_path / "job", HOSTILE)
    client = client_of(office)
    page = client.get("/jobs/job/issues")
    assert page.status_code == 200
    for bad in ("<img", "<svg onload", "<style>", "\u202e", "\x00", "onx='"):
        assert bad not in page.text
    assert HOSTILE[6] in unescape(page.text)
    found = [client.get(unescape(link)) for link in links(client)]
    assert sorted(answer.content for answer in found)[:2] == [b"%PDF-", b"<svg/>"]
    assert all(answer.status_code == 200 for answer in found)
    assert all("\u202e" not in answer.headers["content-disposition"] for answer in found)
