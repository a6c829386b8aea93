# SPDX-License-Identifier: Apache-2.0
"""What the pages say: the same as the report and the files, found, filtered and turned over."""

import csv
import io
import re
from pathlib import Path
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from brattice.adapters.report import register_csv, report_html
from brattice.cli.office import LocalOffice
from brattice.usecases.states import STATES, PenetrationState
from tests.helpers.jobs import small_job
from tests.helpers.pages import client_of, office_with
from tests.helpers.reports import HOSTILE, PLANTED, hostile_report, large_report, sample_report

MARK = {spec.state: spec.mark for spec in STATES}


def ids(text: str) -> list[str]:
    """The ids of the rows of a register page."""
    return re.findall(r'<tr><th scope="row"><a href="[^"]*/places/([^"]+)">', text)


def test_the_start_leads_to_the_one_job_that_is_served(client: TestClient) -> None:
    answer = client.get("/")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/jobs/job"


def test_the_front_page_counts_every_state(client: TestClient) -> None:
    text = client.get("/jobs/job").text
    for state in PenetrationState:
        count = list(PLANTED.values()).count(state)
        assert re.search(rf'<span class="n">{count}</span>.*?{state}</span>', text), state
    assert "What to settle first" in text


def test_the_register_has_every_penetration_with_the_state_of_the_file(client: TestClient) -> None:
    rows = list(csv.DictReader(io.StringIO(register_csv(sample_report()).decode("utf-8-sig"))))
    text = client.get("/jobs/job/register").text
    assert ids(text) == [row["Id"] for row in rows]
    told = re.findall(r'/places/([^"]+)">[^<]*</a></th><td>.*?<span class="word">([^<]*)</span>', text)
    assert told == [(row["Id"], row["State"]) for row in rows]


@pytest.mark.parametrize("state", list(PenetrationState))
def test_the_register_shows_one_state_alone(client: TestClient, state: PenetrationState) -> None:
    text = client.get("/jobs/job/register", params={"state": MARK[state]}).text
    assert ids(text) == [name for name, found in PLANTED.items() if found is state]


def test_states_add_up_and_other_filters_narrow(client: TestClient) -> None:
    both = client.get("/jobs/job/register?state=circle&state=cross").text
    wanted = {PenetrationState.WITHIN_SCOPE, PenetrationState.OUTSIDE_SCOPE}
    assert ids(both) == [name for name, found in PLANTED.items() if found in wanted]
    report = sample_report()
    for party in {str(query.missing.ask) for query in report.queries}:
        asked = [p.penetration.id for p in report.penetrations if party in {str(q.missing.ask) for q in p.queries}]
        assert ids(client.get("/jobs/job/register", params={"party": party}).text) == asked
    assert ids(client.get("/jobs/job/register", params={"find": "p-0007 WITHIN"}).text) == ["P-0007"]
    assert ids(client.get("/jobs/job/register", params={"find": "P-0007", "state": "cross"}).text) == []


@pytest.mark.parametrize(
    "query", ["page=0", "page=-1", "page=x", "page=99999999", "page=²", "state=nonsense", "find=%00", "level=", "page="]
)
def test_an_address_that_means_nothing_still_gives_a_page(client: TestClient, query: str) -> None:
    assert client.get(f"/jobs/job/register?{query}").status_code == 200


def test_a_level_that_is_gone_is_named_and_finds_nothing(client: TestClient) -> None:
    text = client.get("/jobs/job/register", params={"level": "Level 99"}).text
    assert ids(text) == []
    assert "Level 99 (none now)" in text


def test_a_long_register_is_turned_page_by_page_under_its_filter(tmp_path: Path) -> None:
    report = large_report(450)
    client = client_of(office_with(tmp_path / "job", report))
    seen: list[str] = []
    path = "/jobs/job/register?" + urlencode({"level": "Level 1"})
    pages = 0
    while path:
        text = client.get(path).text
        seen += ids(text)
        pages += 1
        found = re.search(r'rel="next" class="button" href="([^"]+)"', text)
        path = found.group(1).replace("&amp;", "&") if found else ""
        assert not path or "level=Level+1" in path
    assert pages == 3
    assert seen == [item.penetration.id for item in report.penetrations]
    assert ids(client.get("/jobs/job/register?page=999").text) == seen[400:]


def test_a_part_of_the_page_is_exchanged_and_its_address_is_told(client: TestClient) -> None:
    answer = client.get("/jobs/job/register?find=P-0002&level=&party=", headers={"HX-Request": "true"})
    assert answer.headers["hx-replace-url"] == "/jobs/job/register?find=P-0002"
    assert "<html" not in answer.text
    assert ids(answer.text) == ["P-0002"]


def test_the_page_of_a_penetration_says_what_the_report_says(client: TestClient) -> None:
    """Word for word: the text of its section in the file, links and ranks of headings aside."""
    whole = report_html(sample_report()).decode("utf-8")
    for name in PLANTED:
        part = re.search(rf'<article class="pen" id="{name}".*?</article>', whole, re.DOTALL)
        mine = re.search(r"<article.*?</article>", client.get(f"/jobs/job/places/{name}").text, re.DOTALL)
        assert part is not None
        assert mine is not None
        assert re.sub(r"<[^>]*>", "", mine.group(0)).split() == re.sub(r"<[^>]*>", "", part.group(0)).split()


def test_every_link_of_a_page_leads_somewhere(client: TestClient) -> None:
    seen: set[str] = set()
    ahead = ["/jobs/job"]
    while ahead:
        path = ahead.pop()
        if path in seen:
            continue
        seen.add(path)
        answer = client.get(path)
        if answer.status_code == 303:
            ahead.append(answer.headers["location"])
            continue
        assert answer.status_code == 200, path
        for link in re.findall(r'(?:href|src)="([^"]*)"', answer.text):
            target, _, part = link.replace("&amp;", "&").partition("#")
            ahead.append(target or path)
            if part and not target:
                assert f'id="{part}"' in answer.text, (path, link)
            elif part:
                assert f'id="{part}"' in client.get(target).text, (path, link)
    assert len(seen) > len(PLANTED)


def test_names_from_outside_are_text_on_every_page(tmp_path: Path) -> None:
    report = hostile_report()
    client = client_of(office_with(tmp_path / "job", report))
    paths = [
        "",
        "/register",
        "/plans",
        "/plans/1",
        "/sources",
        "/queries",
        "/tracker",
        "/what-if",
        "/downloads",
        "/issues",
    ]
    paths += [f"/{kind}/{item.penetration.id}" for item in report.penetrations for kind in ("places", "tracker")]
    for path in paths:
        answer = client.get(f"/jobs/job{path}")
        assert answer.status_code == 200, path
        text = answer.text
        assert "<img" not in text
        assert "<svg onload" not in text
        assert "<style>" not in text
        assert "\u202e" not in text
        assert "\x00" not in text
        assert "49" not in re.findall(r"\{\{7\*7\}\}", text)
    assert HOSTILE[6].split("}")[0] in client.get("/jobs/job/register").text


def test_a_job_is_checked_from_its_page_and_the_files_say_the_same(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    office = LocalOffice(job=folder)
    client = client_of(office)
    assert "Not checked yet" in client.get("/jobs/job").text
    assert client.get("/jobs/job/register").headers["location"] == "/jobs/job"
    answer = client.post("/jobs/job/check")
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/job")
    desk = office.desk("job")
    assert desk is not None
    desk.wait()
    rows = list(csv.DictReader(io.StringIO((folder / "out" / "register.csv").read_text("utf-8-sig"))))
    assert ids(client.get("/jobs/job/register").text) == [row["Id"] for row in rows] == ["P-0001"]
    assert client.get("/jobs/job/run?after=1", headers={"HX-Request": "true"}).headers["hx-refresh"] == "true"
    assert "Files changed" not in client.get("/jobs/job").text
    (folder / "schedule" / "wall-types.xlsx").write_bytes(b"")
    assert "schedule/wall-types.xlsx" in client.get("/jobs/job").text
    client.post("/jobs/job/check")
    desk.wait()
    text = client.get("/jobs/job").text
    assert "The last check stopped" in text
    assert "wall-types.xlsx" in text
    assert "Traceback" not in text
    assert ids(client.get("/jobs/job/register").text) == ["P-0001"]  # the answer before stays until there is another


def test_the_start_page_lists_the_jobs_of_a_folder(tmp_path: Path) -> None:
    for name in ("b-job", "a job"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "brattice.toml").write_text(f'name = "<b>{name}</b>"', "utf-8")
    (tmp_path / "no job").mkdir()
    office = LocalOffice(folder=tmp_path)
    assert [(card.key, card.name) for card in office.jobs()] == [("a-job", "<b>a job</b>"), ("b-job", "<b>b-job</b>")]
    text = client_of(office).get("/").text
    assert "&lt;b&gt;a job&lt;/b&gt;" in text
    assert "no job" not in text
    assert client_of(office).get("/jobs/a-job").status_code == 200
