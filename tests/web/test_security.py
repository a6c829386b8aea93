# SPDX-License-Identifier: Apache-2.0
"""Who gets in and who does not: the first link, the cookie, our own host, our own pages, limits, and plain refusals."""

import http.client
import socket
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from brattice.cli.main import main
from brattice.cli.office import LocalOffice
from brattice.web import Access, create_app
from brattice.web.access import ENTER, new_access
from tests.helpers.pages import HOST, access_here, client_of, office_with, served

PAGES = (
    "/", "/jobs/job", "/jobs/job/register", "/jobs/job/plans", "/jobs/job/plans/1", "/jobs/job/sources",
    "/jobs/job/queries", "/jobs/job/tracker", "/jobs/job/tracker/P-0001", "/jobs/job/what-if", "/jobs/job/schedules",
    "/jobs/job/downloads", "/jobs/job/reconcile", "/jobs/job/issues", "/jobs/job/issues/confirm",
)  # fmt: skip
CHANGES = (
    "/jobs/job/check", "/jobs/job/print", "/jobs/job/schedules/1/file", "/jobs/job/schedules/1/mapping",
    "/jobs/job/schedules/1/take", "/jobs/job/schedules/1/drop", "/jobs/job/queries/sheet", "/jobs/job/queries/answers",
    "/jobs/job/tracker/typed", "/jobs/job/tracker/P-0001/typed", "/jobs/job/tracker/sheet", "/jobs/job/tracker/take",
    "/jobs/job/what-if", "/jobs/job/reconcile", "/jobs/job/issues/look", "/jobs/job/issues/issue",
)  # fmt: skip
PLACE = "/jobs/job/places/P-0001"


@pytest.mark.parametrize("path", [*PAGES, PLACE, "/nowhere"])
def test_nothing_of_a_job_is_shown_without_the_cookie(office: LocalOffice, path: str) -> None:
    answer = client_of(office, enters=False).get(path)
    assert answer.status_code == 403
    assert "P-0001" not in answer.text
    assert "Open the link" in answer.text


def test_the_first_link_becomes_a_strict_cookie_and_leaves_the_address(office: LocalOffice) -> None:
    access = access_here()
    answer = client_of(office, access, enters=False).get(ENTER, params={"token": access.token})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert "Domain" not in cookie
    assert access.token not in cookie


@pytest.mark.parametrize("token", ["", "x", "ü", "\ud800"])
def test_a_wrong_link_opens_nothing(office: LocalOffice, token: str) -> None:
    client = client_of(office, enters=False)
    answer = client.get(ENTER, params={"token": token.encode("utf-8", "surrogatepass")})
    assert answer.status_code == 403
    assert "set-cookie" not in answer.headers
    assert client.get("/jobs/job").status_code == 403


def test_a_guessed_cookie_opens_nothing(office: LocalOffice) -> None:
    access = access_here()
    client = client_of(office, access, enters=False)
    for value in ("", "x", access.token, access.pass_word[:-1], f"{access.pass_word}x"):
        assert client.get("/jobs/job", headers={"Cookie": f"{access.cookie}={value}"}).status_code == 403
    assert client.get("/jobs/job", headers={"Cookie": f"{access.cookie}={access.pass_word}"}).status_code == 200


@pytest.mark.parametrize("host", ["rebound.example:8437", "127.0.0.1", "127.0.0.1:80", "127.0.0.1.example:8437", ""])
def test_a_foreign_name_that_leads_here_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/jobs/job", headers={"Host": host})
    assert answer.status_code == 421
    assert "P-0001" not in answer.text


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": f"http://{HOST}", "Sec-Fetch-Site": "same-origin"}, 303),
        ({"Origin": f"http://{HOST}", "Sec-Fetch-Site": ""}, 403),
        ({"Origin": "null", "Sec-Fetch-Site": "same-origin"}, 303),  # what browsers send under no-referrer
        ({"Origin": "null", "Sec-Fetch-Site": "cross-site"}, 403),
        ({"Origin": "http://elsewhere.example", "Sec-Fetch-Site": "cross-site"}, 403),
        ({"Origin": "http://elsewhere.example", "Sec-Fetch-Site": "same-origin"}, 403),
        ({"Origin": "http://127.0.0.1:9999", "Sec-Fetch-Site": "same-site"}, 403),  # another program here
        ({"Origin": f"https://{HOST}", "Sec-Fetch-Site": "same-origin"}, 403),
        ({"Origin": f"http://{HOST}", "Sec-Fetch-Site": "none"}, 403),
    ],
)
def test_only_our_own_pages_may_change_anything(
    client: TestClient, office: LocalOffice, headers: dict[str, str], status: int
) -> None:
    desk = office.desk("job")
    assert desk is not None
    before = desk.run().number
    assert client.post("/jobs/job/check", headers=headers).status_code == status
    desk.wait()
    assert (desk.run().number > before) == (status == 303)


@pytest.mark.parametrize(("origin", "status"), [(f"http://{HOST}", 303), ("null", 403), (None, 403)])
def test_a_browser_without_fetch_metadata_has_to_name_its_origin(
    office: LocalOffice, origin: str | None, status: int
) -> None:
    client = client_of(office)
    del client.headers["Sec-Fetch-Site"]
    headers = {} if origin is None else {"Origin": origin}
    assert client.post("/jobs/job/check", headers=headers).status_code == status
    office.close()


def test_a_page_elsewhere_can_lead_here_but_not_load_our_parts(client: TestClient) -> None:
    lead = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    load = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}
    assert client.get("/jobs/job", headers=lead).status_code == 200
    for path in ("/jobs/job", "/static/site.css"):
        assert client.get(path, headers=load).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(client: TestClient, method: str) -> None:
    assert client.request(method, "/jobs/job").status_code == 405


@pytest.mark.parametrize("path", [*PAGES, PLACE, "/nowhere", "/static/site.js", ENTER])
def test_every_answer_says_what_a_browser_may_do_with_it(client: TestClient, path: str) -> None:
    head = client.get(path).headers
    rules = dict(part.strip().split(" ", 1) for part in head["content-security-policy"].split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == "'self'"
    assert rules["style-src"] == "'self'"
    assert rules["frame-ancestors"] == "'none'"
    assert "unsafe" not in head["content-security-policy"]
    assert head["x-content-type-options"] == "nosniff"
    assert head["referrer-policy"] == "no-referrer"
    if not path.startswith("/static"):
        assert head["cache-control"] == "no-store"


@pytest.mark.parametrize("path", [*PAGES[1:], PLACE, "/nowhere"])
def test_no_page_asks_anything_of_another_machine_or_carries_script_or_style_in_itself(
    client: TestClient, path: str
) -> None:
    text = client.get(path).text
    assert "://" not in text
    assert "<style" not in text
    assert " style=" not in text
    assert " onclick=" not in text
    assert text.count("<script") == text.count('<script src="/static/')


@pytest.mark.parametrize(
    "path",
    [
        "/nowhere", "/jobs/other", "/jobs/job/nowhere", "/jobs/job/places/P-9999", "/jobs/job/places/..%2f..%2fetc",
        "/jobs/job/plans/0", "/jobs/job/plans/99", "/jobs/job/plans/x", "/jobs/..%2f..", "/static/../access.py",
        "/static/__init__.py", "/static/..%2faccess.py", "/docs", "/openapi.json",
    ],
)  # fmt: skip
def test_an_unknown_path_is_a_page_that_says_so(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert "There is no such page" in answer.text


def test_more_than_the_limit_is_refused_said_or_counted(office: LocalOffice) -> None:
    given = access_here()
    access = Access(given.token, given.pass_word, given.cookie, given.hosts, most_bytes=100)
    client = client_of(office, access)
    assert client.post("/jobs/job/check", content=b"x" * 101).status_code == 413
    assert client.post("/jobs/job/check", content=b"x", headers={"Content-Length": "9" * 30}).status_code == 413


def test_our_own_fault_is_a_page_without_a_traceback(tmp_path: Path) -> None:
    class Broken(LocalOffice):
        def shown(self, text: str) -> str:
            return text

        def jobs(self) -> tuple[()]:
            raise ValueError("a secret place /home/somebody")

    broke: list[Exception] = []
    access = access_here()
    app = create_app(Broken(folder=tmp_path), access, broke.append)
    client = TestClient(app, base_url=f"http://{HOST}", follow_redirects=False)
    client.get(ENTER, params={"token": access.token})
    answer = client.get("/")
    assert answer.status_code == 500
    assert "Our own fault" in answer.text
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert [str(error) for error in broke] == ["a secret place /home/somebody"]


def test_two_programs_on_one_machine_have_two_cookies() -> None:
    assert new_access(1, ("127.0.0.1",)).cookie != new_access(2, ("127.0.0.1",)).cookie


def test_a_real_server_refuses_what_is_no_request_of_ours(tmp_path: Path) -> None:
    with served(office_with(tmp_path / "job")) as site:
        port = int(site.base.rpartition(":")[2])
        connection = http.client.HTTPConnection("127.0.0.1", port)
        connection.request("GET", "/jobs/job", headers={"Host": "evil.example"})
        answer = connection.getresponse()
        assert answer.status == 421
        connection.close()
        with socket.create_connection(("127.0.0.1", port)) as raw:
            raw.sendall(b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n")
            assert raw.recv(64).split(b" ")[1] in {b"400", b"421"}


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["serve", "no-such-folder"], 3, "no brattice.toml"),
        (["serve", "--host", "0.0.0.0"], 64, "127.0.0.1"),
        (["serve", "--port", "70000"], 64, "65535"),
    ],
)
def test_serving_what_is_not_there_or_not_loopback_is_refused(
    capsys: pytest.CaptureFixture[str], words: list[str], code: int, said: str
) -> None:
    assert main(words) == code
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("path", CHANGES)
def test_whatever_changes_something_is_taken_from_our_own_pages_alone(client: TestClient, path: str) -> None:
    answer = client.post(path, headers={"Sec-Fetch-Site": "cross-site", "Origin": "http://evil.example"})
    assert answer.status_code == 403
    assert client.get(path).status_code in {404, 405, 422} or path.endswith(("/what-if", "/reconcile", "/P-0001/typed"))


@pytest.mark.parametrize(
    "name",
    [
        "brattice.toml", "../brattice.toml", "out/../brattice.toml", "out/..%2fbrattice.toml", "/etc/passwd",
        "queries.csv", "out/link.txt", "out/.hidden", "out", "", "schedule/a.xlsx", "%2e%2e/brattice.toml",
    ],
)  # fmt: skip
def test_only_files_in_the_folders_of_outputs_are_handed_out(
    client: TestClient, office: LocalOffice, tmp_path: Path, name: str
) -> None:
    folder = tmp_path / "job"
    (folder / "out").mkdir()
    (folder / "out" / "register.csv").write_text("Id\n", "utf-8")
    (folder / "out" / ".hidden").write_text("secret", "utf-8")
    for secret in ("brattice.toml", "queries.csv"):
        (folder / secret).write_text("secret", "utf-8")
    (folder / "schedule").mkdir()
    (folder / "schedule" / "a.xlsx").write_text("secret", "utf-8")
    (folder / "out" / "link.txt").symlink_to(folder / "brattice.toml")
    assert "secret" not in client.get(f"/jobs/job/downloads/{name}").text
    good = client.get("/jobs/job/downloads/out/register.csv")
    assert (good.status_code, good.text) == (200, "Id\n")
    assert good.headers["content-disposition"].startswith("attachment;")
    assert good.headers["x-content-type-options"] == "nosniff"


def test_a_report_that_is_downloaded_is_no_page_of_ours(client: TestClient, tmp_path: Path) -> None:
    (tmp_path / "job" / "out").mkdir()
    (tmp_path / "job" / "out" / "report.html").write_text("<script>alert(1)</script>", "utf-8")
    answer = client.get("/jobs/job/downloads/out/report.html")
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["content-disposition"].startswith("attachment;")
