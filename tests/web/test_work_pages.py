# SPDX-License-Identifier: Apache-2.0
"""Queries, tracker, what-if and downloads: what the pages take in, hand out and refuse, on a job that is a schedule."""

import csv
import io
import json
import re
import shutil
from datetime import date
from html import unescape
from pathlib import Path

import openpyxl
import pytest
from starlette.testclient import TestClient

from brattice.adapters.tracker import read_tracker
from brattice.cli.office import FolderDesk, LocalOffice
from brattice.cli.tracker import write_tracker
from brattice.cli.what_if import what_if_of
from tests.helpers.pages import client_of
from tests.helpers.schedule_jobs import damper_row, schedule_job

ROWS = (
    damper_row("FD-01"),
    damper_row("FD-02", storey="Level 2", actuation=None, words="grid C/4"),
    damper_row("FD-03", storey="Level 2", product=None, words="grid D/1"),
)
WHO = "A. Person (invented)"


@pytest.fixture(scope="module")
def checked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The job, checked once."""
    folder = schedule_job(tmp_path_factory.mktemp("work") / "job", ROWS)
    desk = LocalOffice(job=folder).desk("job")
    assert desk is not None
    desk.check()
    desk.wait()
    assert desk.run().faults == ()
    return folder


@pytest.fixture
def office(checked_folder: Path, tmp_path: Path) -> LocalOffice:
    """A copy of the job."""
    shutil.copytree(checked_folder, tmp_path / "job")
    return LocalOffice(job=tmp_path / "job")


@pytest.fixture
def desk(office: LocalOffice) -> FolderDesk:
    """The job, checked."""
    made = office.desk("job")
    assert made is not None
    made.check()
    made.wait()
    return made


@pytest.fixture
def client(office: LocalOffice) -> TestClient:
    return client_of(office)


def numbers(text: str) -> list[str]:
    """The numbers of the queries of a page."""
    return re.findall(r'<tr id="(Q-\d+)">', text)


def listed(folder: Path) -> list[dict[str, str]]:
    with (folder / "queries.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def sheet_of(client: TestClient, party: str) -> openpyxl.Workbook:
    answer = client.post("/jobs/job/queries/sheet", data={"party": party})
    assert answer.status_code == 200
    assert answer.headers["content-disposition"].startswith('attachment; filename="')
    return openpyxl.load_workbook(io.BytesIO(answer.content))


def sent(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_queries_stand_as_in_the_list_and_are_found_by_party_and_state(client: TestClient, desk: FolderDesk) -> None:
    rows = listed(desk.folder)
    assert rows
    assert numbers(client.get("/jobs/job/queries").text) == sorted({row["number"] for row in rows})
    parties = {row["ask"] for row in rows if row["ask"]}
    assert parties
    for party in parties:
        mine = sorted({row["number"] for row in rows if row["ask"] == party})
        assert numbers(client.get("/jobs/job/queries", params={"party": party}).text) == mine
    assert numbers(client.get("/jobs/job/queries?state=answered").text) == []
    assert numbers(client.get("/jobs/job/queries?state=nonsense&party=nobody").text) != []


def test_a_sheet_goes_out_and_its_answer_comes_back_and_settles_the_fact(client: TestClient, desk: FolderDesk) -> None:
    rows = listed(desk.folder)
    asked = next(row for row in rows if row["key"].endswith("/actuation"))
    party = asked["ask"]
    book = sheet_of(client, party)
    table = book["Queries"]
    at = {cell.value: number for number, cell in enumerate(table[1], start=1)}
    line = next(row for row in range(2, table.max_row + 1) if table.cell(row, at["Number"]).value == asked["number"])
    for heading, value in (
        ("Answer", "thermal"), ("Answered by", WHO), ("Document", "Reply 1 (invented)"), ("Date", date(2026, 11, 2)),
    ):  # fmt: skip
        table.cell(line, at[heading]).value = value
    answer = client.post("/jobs/job/queries/answers", files={"answers": ("reply.xlsx", sent(book))})
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job")
    desk.wait()
    assert "1 answer taken from reply.xlsx" in client.get("/jobs/job").text
    text = client.get("/jobs/job/queries?state=answered").text
    assert numbers(text) == [asked["number"]]
    assert WHO in text
    assert "Reply 1 (invented)" in text
    assert asked["number"] not in numbers(client.get("/jobs/job/queries?state=open").text)
    data = json.loads((desk.folder / "out" / "findings.json").read_text("utf-8"))
    item = next(item for item in data["penetrations"] if item["id"] in asked["key"])
    assert any(fact["name"].endswith("actuation") and fact["value"] == "thermal" for fact in item["facts"])


def test_a_due_date_that_passed_is_overdue_and_still_open(checked_folder: Path, tmp_path: Path) -> None:
    folder = tmp_path / "job"
    shutil.copytree(checked_folder, folder)
    office = LocalOffice(job=folder, as_of=date(2026, 12, 24))  # ten days after 2026-11-02 are long over
    early = LocalOffice(job=folder).desk("job")
    assert early is not None
    early.check()
    early.wait()
    early.party_sheet(early.queries().records[0].asked.ask)
    late = office.desk("job")
    assert late is not None
    late.check()
    late.wait()
    client = client_of(office)
    everything = numbers(client.get("/jobs/job/queries").text)
    assert numbers(client.get("/jobs/job/queries?state=overdue").text) == everything
    assert numbers(client.get("/jobs/job/queries?state=open").text) == everything


@pytest.mark.parametrize(
    ("path", "name", "data", "said"),
    [
        ("queries/answers", "reply.csv", b"a,b\n", "csv"),
        ("queries/answers", "reply.xlsx", b"PK\x03\x04 and no more", "reply.xlsx"),
        ("tracker/take", "tracker.xlsx", b"PK\x03\x04 and no more", "tracker.xlsx"),
        ("tracker/take", "tracker.pdf", b"%PDF-1.7", "pdf"),
    ],
)
def test_what_is_no_workbook_is_refused_by_name_and_nothing_is_taken(
    client: TestClient, desk: FolderDesk, path: str, name: str, data: bytes, said: str
) -> None:
    before = (desk.folder / "queries.csv").read_bytes()
    answer = client.post(f"/jobs/job/{path}", files={"file": (name, data)})
    assert answer.status_code == 422
    assert said in answer.text
    assert "/tmp/" not in answer.text
    assert (desk.folder / "queries.csv").read_bytes() == before
    assert not (desk.folder / "tracker.csv").exists()
    assert client.post(f"/jobs/job/{path}").status_code == 422


def test_a_sheet_of_other_queries_is_refused_with_every_fault(client: TestClient, desk: FolderDesk) -> None:
    party = str(desk.queries().records[0].asked.ask)
    book = sheet_of(client, party)
    table = book["Queries"]
    at = {cell.value: number for number, cell in enumerate(table[1], start=1)}
    table.cell(2, at["Number"]).value = "Q-9999"
    table.cell(2, at["Answer"]).value = "<img src=x>"
    before = (desk.folder / "queries.csv").read_bytes()
    answer = client.post("/jobs/job/queries/answers", files={"answers": ("reply.xlsx", sent(book))})
    assert answer.status_code == 422
    assert "Q-9999" in answer.text
    assert "<img" not in answer.text
    assert (desk.folder / "queries.csv").read_bytes() == before


def mark_of(text: str) -> str:
    found = re.search(r'name="mark" value="([^"]*)"', text)
    assert found is not None
    return found.group(1)


def test_a_stage_typed_for_several_stands_in_the_record_on_the_page_and_in_the_sheet(
    client: TestClient, desk: FolderDesk
) -> None:
    mark = mark_of(client.get("/jobs/job/tracker").text)
    given = {
        "mark": mark,
        "stage": "ordered",
        "on": "2026-10-01",
        "who": WHO,
        "text": "PO 4",
        "id": ["P-0001", "P-0003"],
    }
    assert client.post("/jobs/job/tracker/typed", data=given).status_code == 303
    events = read_tracker(desk.folder / "tracker.csv")
    assert [(item.penetration, str(item.about), item.on, item.who, item.text) for item in events] == [
        (name, "ordered", date(2026, 10, 1), WHO, "PO 4") for name in ("P-0001", "P-0003")
    ]
    text = client.get("/jobs/job/tracker").text
    assert "2 entries taken" in text
    assert text.count('<span class="on">2026-10-01</span>') == 2
    assert "Ordered is said, but not approved" in text
    assert "tracker.csv" in client.get("/jobs/job").text  # the check is older than what was typed
    page = openpyxl.load_workbook(io.BytesIO(client.post("/jobs/job/tracker/sheet").content))
    command = openpyxl.load_workbook(write_tracker(desk.folder).path)
    assert page.sheetnames == command.sheetnames
    for one, other in zip(page.worksheets, command.worksheets, strict=True):
        assert list(one.iter_rows(values_only=True)) == list(other.iter_rows(values_only=True)), one.title


def form_of(text: str) -> dict[str, str]:
    """The fields of the form of one penetration."""
    return {
        unescape(name): unescape(value)
        for name, value in re.findall(r'<input type="(?:text|hidden)" name="([^"]*)" value="([^"]*)"', text)
    }


def test_the_form_of_one_penetration_takes_what_was_typed_and_nothing_else(
    client: TestClient, desk: FolderDesk
) -> None:
    where = "/jobs/job/tracker/P-0002"
    form = form_of(client.get(where).text)
    assert client.post(f"{where}/typed", data=form).status_code == 303
    assert not (desk.folder / "tracker.csv").exists()  # nothing was typed
    form |= {"on-0": "2026-09-01", "who-0": WHO, "note": "see <b>note</b>", "zone": "East"}
    assert client.post(f"{where}/typed", data=form).status_code == 303
    text = client.get(where).text
    assert "see &lt;b&gt;note&lt;/b&gt;" in text
    form = form_of(text)
    assert (form["on-0"], form["who-0"], form["zone"]) == ("2026-09-01", WHO, "East")
    assert client.post(f"{where}/typed", data=form | {"on-0": "taken back"}).status_code == 303
    assert form_of(client.get(where).text)["on-0"] == ""
    assert len(read_tracker(desk.folder / "tracker.csv")) == 4  # nothing is ever lost
    found = client.get("/jobs/job/tracker", params={"zone": "East"}).text
    assert re.findall(r'name="id" value="([^"]*)"', found) == ["P-0002"]


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("on-1", "2099-01-01", "2099-01-01"),
        ("on-1", "next week", "next week"),
        ("on-1", "2026-02-30", "2026-02-30"),
        ("on-1", "taken back", "where nothing stood"),
        ("who-1", "somebody", "without a date"),
    ],
)
def test_what_can_not_be_a_stage_is_refused_with_its_place(
    client: TestClient, desk: FolderDesk, field: str, value: str, said: str
) -> None:
    where = "/jobs/job/tracker/P-0002"
    answer = client.post(f"{where}/typed", data=form_of(client.get(where).text) | {field: value})
    assert answer.status_code == 422
    assert said in unescape(answer.text)
    assert "P-0002, ordered" in answer.text
    assert not (desk.folder / "tracker.csv").exists()


def test_a_page_that_is_older_than_what_others_typed_undoes_nothing(client: TestClient, desk: FolderDesk) -> None:
    where = "/jobs/job/tracker/P-0002"
    old = form_of(client.get(where).text)
    client.post(f"{where}/typed", data=old | {"note": "first"})
    answer = client.post(f"{where}/typed", data=old | {"note": "second"})
    assert answer.status_code == 422
    assert "open it again" in answer.text
    assert len(read_tracker(desk.folder / "tracker.csv")) == 1


@pytest.mark.parametrize("left_out", ["id", "stage", "on", "who"])
def test_a_stage_for_several_wants_all_of_it(client: TestClient, desk: FolderDesk, left_out: str) -> None:
    given = {"stage": "ordered", "on": "2026-10-01", "who": WHO, "id": "P-0001"}
    given["mark"] = mark_of(client.get("/jobs/job/tracker").text)
    del given[left_out]
    assert client.post("/jobs/job/tracker/typed", data=given).status_code == 422
    assert not (desk.folder / "tracker.csv").exists()


def test_an_unknown_penetration_has_no_stages(client: TestClient, desk: FolderDesk) -> None:
    assert client.get("/jobs/job/tracker/P-9999").status_code == 404
    given = {"stage": "ordered", "on": "2026-10-01", "who": WHO, "id": "P-9999"}
    given["mark"] = mark_of(client.get("/jobs/job/tracker").text)
    assert client.post("/jobs/job/tracker/typed", data=given).status_code == 404
    assert not (desk.folder / "tracker.csv").exists()


def test_the_workbook_of_the_tracker_comes_back(client: TestClient, desk: FolderDesk) -> None:
    book = openpyxl.load_workbook(io.BytesIO(client.post("/jobs/job/tracker/sheet").content))
    for sheet in book.worksheets:
        headings = {cell.value: at for at, cell in enumerate(sheet[1], start=1)}
        if sheet["A1"].value == "Id" and "Delivered" in headings:
            for row in range(2, sheet.max_row + 1):
                if sheet.cell(row, 1).value == "P-0003":
                    sheet.cell(row, headings["Delivered"]).value = date(2026, 10, 5)
                    sheet.cell(row, headings["Delivered: who"]).value = WHO
    answer = client.post("/jobs/job/tracker/take", files={"tracker": ("back.xlsx", sent(book))})
    assert answer.status_code == 303
    text = client.get("/jobs/job/tracker").text
    assert "1 entry taken from back.xlsx" in text
    assert "2026-10-05" in text


def test_what_if_says_what_the_command_says_and_writes_nothing(client: TestClient, desk: FolderDesk) -> None:
    before = {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()}
    given = {"reach-0": "", "names-0": "FD-01; P-0003", "field-0": "duct-size", "value-0": "900x900"}
    answer = client.post("/jobs/job/what-if", data=given)
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job/what-if")
    desk.wait()
    text = unescape(client.get("/jobs/job/what-if").text)
    result = what_if_of(desk.folder, ["FD-01; P-0003 duct-size=900x900"], lambda _: None)
    assert result.answers
    shown = text[text.index("Answers that change") :]
    assert re.findall(r'/places/(P-\d+)">', shown) == [item.id for item in result.answers]
    for item in result.answers:
        for aspect in item.aspects:
            assert f"{aspect.about}: {aspect.before or 'nothing'} → {aspect.after or 'nothing'}" in text
    assert {path: path.read_bytes() for path in desk.folder.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"reach-0": "", "names-0": "FD-01", "field-0": "", "value-0": "x"},
        {"reach-0": "", "names-0": "", "field-0": "product", "value-0": "x"},
        {"reach-0": "", "names-0": "FD-01 a=b", "field-0": "product", "value-0": "x"},
        {"reach-0": "no such", "names-0": "FD-01", "field-0": "product", "value-0": "x"},
    ],
)
def test_half_a_change_is_refused(client: TestClient, desk: FolderDesk, given: dict[str, str]) -> None:
    assert client.post("/jobs/job/what-if", data=given).status_code == 422
    assert desk.what_if() is None


def test_a_change_that_means_nothing_is_told_with_what_may_stand_there(client: TestClient, desk: FolderDesk) -> None:
    given = {"reach-0": "", "names-0": "FD-01", "field-0": "duct-size", "value-0": "wide"}
    client.post("/jobs/job/what-if", data=given)
    desk.wait()
    text = unescape(client.get("/jobs/job/what-if").text)
    assert "The last what-if stopped" in text
    assert "'wide'" in text


def test_every_file_of_the_outputs_is_listed_and_comes_whole(client: TestClient, desk: FolderDesk) -> None:
    client.post("/jobs/job/tracker/sheet")
    sheet_of(client, str(desk.queries().records[0].asked.ask))
    wanted = {
        path.relative_to(desk.folder).as_posix()
        for name in ("out", "queries", "tracker")
        for path in (desk.folder / name).rglob("*")
        if path.is_file()
    }
    text = client.get("/jobs/job/downloads").text
    assert set(re.findall(r'href="/jobs/job/downloads/([^"]+)"', text)) == wanted
    for name in wanted:
        assert client.get(f"/jobs/job/downloads/{name}").content == (desk.folder / name).read_bytes()


def test_the_report_is_printed_from_its_button(client: TestClient, desk: FolderDesk) -> None:
    answer = client.post("/jobs/job/print")
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job/downloads")
    desk.wait()
    assert desk.run().faults == ()
    assert "print/report.pdf" in client.get("/jobs/job/downloads").text
    assert client.get("/jobs/job/downloads/print/report.pdf").content.startswith(b"%PDF-")
    assert desk.checked() is not None
