# SPDX-License-Identifier: Apache-2.0
"""A schedule of others from the drop to its answers: proposed, settled by eye, kept; the next revision of it."""

import io
import re
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from starlette.testclient import TestClient

from brattice.adapters.foreign import read_mapping
from brattice.adapters.sheets import schedule_bytes
from brattice.cli.office import FolderDesk, LocalOffice
from tests.helpers.jobs import ORDINARY_ROW, STAMP
from tests.helpers.pages import client_of

ON = date(2026, 3, 2)
HEADINGS = ("FD Ref", "Level", "Duct size (WxH) mm", "Damper class", "Opening (WxH) mm", "Colour")
ROWS = (
    ("FD-01", "L01", "600x400", "EI 60 (ve ho i↔o) S", "700x500", "grey"),
    ("FD-02", "L01", "300x200", "EI 60 (ve ho i↔o) S", "400x300", "red"),
)


def book(*sheets: tuple[str, list[tuple[object, ...]]]) -> bytes:
    """A workbook with these sheets."""
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in sheets:
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


SHEET = book(("Dampers", [("Damper schedule, invented",), HEADINGS, *ROWS]))


@pytest.fixture
def office(tmp_path: Path) -> LocalOffice:
    return LocalOffice(folder=tmp_path / "jobs", as_of=ON)


@pytest.fixture
def client(office: LocalOffice) -> TestClient:
    return client_of(office)


def dropped(client: TestClient, data: bytes = SHEET, name: str = "Dampers.xlsx") -> str:
    answer = client.post("/jobs", files={"schedule": (name, data)})
    assert answer.status_code == 303
    return str(answer.headers["location"])


def fields(text: str) -> dict[str, str | list[str]]:
    """What the form of a mapping page would send as it stands."""
    form = text[text.index('<form id="mapping"') :]
    form = form[: form.index("</form>")]
    found: dict[str, str | list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name is None or ('type="checkbox"' in tag and "checked" not in tag):
            continue
        text_of = (value.group(1) if value else "").replace("&#39;", "'").replace("&amp;", "&")
        if name.group(1) == "sheet":
            found.setdefault("sheet", []).append(text_of)  # type: ignore[union-attr]
        else:
            found[name.group(1)] = text_of
    for name_of, inner in re.findall(r'<select name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected>', inner)
        found[name_of] = chosen.group(1) if chosen else ""
    return found


def column_of(given: dict[str, str | list[str]], heading: str) -> str:
    """The number of the column that has a heading in the form."""
    return next(name.removeprefix("heading-") for name, value in given.items() if value == heading)


def desk_of(office: LocalOffice, key: str) -> FolderDesk:
    desk = office.desk(key)
    assert desk is not None
    desk.wait()
    return desk


def test_a_drop_leads_to_the_proposal_and_nothing_is_judged_before_a_person_kept_it(
    client: TestClient, office: LocalOffice
) -> None:
    where = dropped(client)
    assert where == "/jobs/dampers/schedules/1"
    text = client.get(where).text
    assert "This is a proposal" in text
    given = fields(text)
    said = {str(given[f"heading-{number}"]): given[f"key-{number}"] for number in range(len(HEADINGS))}
    assert said["FD Ref"] == "reference"
    assert said["Duct size (WxH) mm"] == "duct_size"
    assert said["Opening (WxH) mm"] == ""  # framed or finished: a person says it
    assert said["Colour"] == ""
    assert "to settle" in text
    assert "600 × 400" in text  # as it is read
    assert desk_of(office, "dampers").run().number == 0
    assert not (office.folder and Path(office.folder, "dampers", "schedule", "dampers.mapping.toml").exists())


def test_what_a_person_settled_is_kept_and_judged(client: TestClient, office: LocalOffice) -> None:
    where = dropped(client)
    given = fields(client.get(where).text)
    number = column_of(given, "Opening (WxH) mm")
    given |= {f"key-{number}": "framed_size", "do": "save"}
    answer = client.post(f"{where}/mapping", data=given)
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/dampers")
    desk = desk_of(office, "dampers")
    assert desk.run().faults == ()
    table = read_mapping(desk.folder / "schedule" / "dampers.mapping.toml").table
    assert {item.heading: item.key for item in table.column}["Opening (WxH) mm"] == "framed_size"
    assert table.kept_as_text == ["Colour"]
    text = client.get("/jobs/dampers/register").text
    assert len(re.findall(r"/places/P-\d+\">", text)) == len(ROWS)
    assert "settled" in client.get(where).text


def test_looking_again_writes_nothing(client: TestClient, office: LocalOffice) -> None:
    where = dropped(client)
    given = fields(client.get(where).text)
    given |= {f"key-{column_of(given, 'Colour')}": "remarks", "do": "look"}
    text = client.post(f"{where}/mapping", data=given).text
    assert fields(text)[f"key-{column_of(given, 'Colour')}"] == "remarks"
    assert not list(Path(office.folder).rglob("*.mapping.toml"))


def test_a_mapping_that_contradicts_itself_is_shown_again_with_what_is_wrong(
    client: TestClient, office: LocalOffice
) -> None:
    where = dropped(client)
    given = fields(client.get(where).text)
    given |= {f"key-{column_of(given, 'Colour')}": "reference", "do": "save"}
    answer = client.post(f"{where}/mapping", data=given)
    assert answer.status_code == 422
    assert "one heading for each key" in answer.text
    assert fields(answer.text)[f"key-{column_of(given, 'Colour')}"] == "reference"  # what was chosen stays
    assert not list(Path(office.folder).rglob("*.mapping.toml"))


@pytest.mark.parametrize(
    "wrong", [{"key-0": "no such key"}, {"hidden-rows": "sometimes"}, {"first": "999999"}, {"count": "9"}]
)
def test_what_no_form_of_ours_sends_is_refused_and_nothing_is_kept(
    client: TestClient, office: LocalOffice, wrong: dict[str, str]
) -> None:
    where = dropped(client)
    answer = client.post(f"{where}/mapping", data=fields(client.get(where).text) | wrong | {"do": "save"})
    assert answer.status_code == 422
    assert not list(Path(office.folder).rglob("*.mapping.toml"))


def test_another_sheet_is_chosen_and_its_headings_are_proposed(client: TestClient, office: LocalOffice) -> None:
    first = [HEADINGS, *ROWS, ("FD-03", "L02", "200x200", "E 60", "300x300", "blue")]
    second: list[tuple[object, ...]] = [("Damper ref", "Floor"), ("SD-01", "L03")]
    where = dropped(client, book(("Big", list(first)), ("Small", second)))
    given = fields(client.get(where).text)
    assert given["sheet"] == ["Big"]
    text = client.post(f"{where}/mapping", data=given | {"sheet": ["Small"], "do": "save"}).text
    assert not list(Path(office.folder).rglob("*.mapping.toml"))  # other headings: they have to be seen first
    given = fields(text)
    assert [given["heading-0"], given["heading-1"]] == ["Damper ref", "Floor"]
    assert client.post(f"{where}/mapping", data=given | {"do": "save"}).status_code == 303
    desk = desk_of(office, "dampers")
    assert read_mapping(desk.folder / "schedule" / "dampers.mapping.toml").table.sheets == ["Small"]
    checked = desk.checked()
    assert checked is not None
    assert len(checked.rows) == 1


def test_headings_that_nobody_knows_can_be_mapped_by_hand(client: TestClient, office: LocalOffice) -> None:
    where = dropped(client, b"alpha,beta\nFD-01,L01\nFD-02,L02\n", "Odd.csv")
    text = client.get(where).text
    given = fields(text)
    assert given["heading-0"] == "alpha"
    given |= {"key-0": "reference", "key-1": "storey", "do": "save"}
    assert client.post(f"{where}/mapping", data=given).status_code == 303
    checked = desk_of(office, "odd").checked()
    assert checked is not None
    assert [row.storey for row in checked.rows] == ["L01", "L02"]


def kept(client: TestClient, office: LocalOffice) -> FolderDesk:
    """A job whose schedule is mapped and checked."""
    where = dropped(client)
    client.post(f"{where}/mapping", data=fields(client.get(where).text) | {"do": "save"})
    return desk_of(office, "dampers")


def test_the_next_revision_shows_new_and_gone_headings_and_the_old_file_is_kept(
    client: TestClient, office: LocalOffice
) -> None:
    desk = kept(client, office)
    newer = [("FD Ref", "Level", "Size of duct", "Damper class", "Opening (WxH) mm", "Maker"), *ROWS]
    data = book(("Dampers", list(newer)))
    answer = client.post("/jobs/dampers/schedules/1/file", files={"schedule": ("Dampers rev B.xlsx", data)})
    assert answer.headers["location"] == "/jobs/dampers/schedules/1"
    schedule = desk.folder / "schedule"
    assert (schedule / "dampers.xlsx").read_bytes() == SHEET  # nothing is taken before a person said so
    assert "waits" in client.get("/jobs/dampers").text
    text = client.get("/jobs/dampers/schedules/1").text
    assert "heading is gone" in text
    assert "Duct size (WxH) mm" in text[text.index("gone-h") :]
    rows = dict(re.findall(r'<tr class="(open|new)">.*?value="([^"]*)"', text, re.DOTALL))
    assert set(rows.values()) & {"Size of duct", "Maker"}
    given = fields(text)
    given |= {f"key-{column_of(given, 'Size of duct')}": "duct_size", f"unit-{column_of(given, 'Size of duct')}": "mm"}
    assert client.post("/jobs/dampers/schedules/1/mapping", data=given | {"do": "save"}).status_code == 303
    desk.wait()
    assert desk.run().faults == ()
    assert (schedule / "dampers.xlsx").read_bytes() == data
    assert (schedule / "kept" / "dampers.2026-03-02.xlsx").read_bytes() == SHEET
    assert (schedule / "kept" / "dampers.2026-03-02.mapping.toml").is_file()
    assert not (desk.folder / "incoming").exists()
    client.post("/jobs/dampers/schedules/1/file", files={"schedule": ("Dampers rev C.xlsx", SHEET)})
    given = fields(client.get("/jobs/dampers/schedules/1").text)
    assert client.post("/jobs/dampers/schedules/1/mapping", data=given | {"do": "save"}).status_code == 303
    desk.wait()
    assert (schedule / "kept" / "dampers.2026-03-02-2.xlsx").read_bytes() == data  # a kept file is never written over
    assert (schedule / "kept" / "dampers.2026-03-02.xlsx").read_bytes() == SHEET


def test_a_newer_file_that_is_not_wanted_is_put_aside_and_kept(client: TestClient, office: LocalOffice) -> None:
    desk = kept(client, office)
    data = book(("Dampers", [HEADINGS, ROWS[0]]))
    client.post("/jobs/dampers/schedules/1/file", files={"schedule": ("B.xlsx", data)})
    assert client.post("/jobs/dampers/schedules/1/drop").status_code == 303
    assert (desk.folder / "schedule" / "dampers.xlsx").read_bytes() == SHEET
    aside = desk.folder / "schedule" / "kept" / "dampers.2026-03-02 (not taken).xlsx"
    assert aside.read_bytes() == data
    assert "settled" in client.get("/jobs/dampers/schedules/1").text


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("b.csv", b"a,b\n1,2\n", ".xlsx"),
        ("b.xlsx", b"PK\x03\x04 and no more", "archive"),
        ("b.ifc", b"ISO-10303-21;", "ifc"),
    ],
)
def test_a_revision_that_is_no_such_file_is_refused_and_nothing_waits(
    client: TestClient, office: LocalOffice, name: str, data: bytes, said: str
) -> None:
    desk = kept(client, office)
    answer = client.post("/jobs/dampers/schedules/1/file", files={"schedule": (name, data)})
    assert answer.status_code == 422
    assert said in answer.text
    assert not list((desk.folder).rglob("incoming/*"))


@pytest.mark.parametrize("path", ["/schedules/2", "/schedules/0", "/schedules/x", "/schedules/99999999"])
def test_a_schedule_that_is_not_there_is_not_found(client: TestClient, office: LocalOffice, path: str) -> None:
    kept(client, office)
    assert client.get(f"/jobs/dampers{path}").status_code == 404
    assert client.post(f"/jobs/dampers{path}/mapping", data={"do": "save"}).status_code == 404


def test_a_sheet_of_our_own_form_needs_no_mapping_and_is_checked_at_once(
    client: TestClient, office: LocalOffice
) -> None:
    row = {**ORDINARY_ROW, "duct_guids": None, "reference": "FD-01", "storey": "Level 1"}
    assert dropped(client, schedule_bytes([row], stamp=STAMP), "Ours.xlsx") == "/jobs/ours"
    desk = desk_of(office, "ours")
    assert desk.checked() is not None
    text = client.get("/jobs/ours/schedules/1").text
    assert "no mapping is needed" in text
    newer = schedule_bytes([row, {**row, "reference": "FD-02"}], stamp=STAMP)
    client.post("/jobs/ours/schedules/1/file", files={"schedule": ("Ours B.xlsx", newer)})
    assert client.post("/jobs/ours/schedules/1/take").status_code == 303
    desk.wait()
    checked = desk.checked()
    assert checked is not None
    assert len(checked.rows) == 2


def test_names_from_a_sheet_are_text(client: TestClient) -> None:
    hostile = "<img src=x onerror=alert(1)>"
    where = dropped(client, book(('S"><b>', [("FD Ref", "Level", hostile), ("FD-01", "L01", "{{7*7}}\u202e")])))
    text = client.get(where).text
    assert "<img" not in text
    assert '<b>"' not in text
    assert "\u202e" not in text
    assert "&lt;img src=x" in text


def test_a_revision_is_held_against_a_file_that_was_kept_as_the_command_does(
    client: TestClient, office: LocalOffice
) -> None:
    desk = kept(client, office)
    changed = [("FD Ref", "Level", "Duct size", "Damper class", "Opening (WxH) mm", "Colour"), *ROWS]
    changed[1] = ("FD-01", "L01", "800x400", *ROWS[0][3:])  # one size, and a heading that is another
    client.post("/jobs/dampers/schedules/1/file", files={"schedule": ("B.xlsx", book(("Dampers", list(changed))))})
    given = fields(client.get("/jobs/dampers/schedules/1").text)
    number = column_of(given, "Duct size")
    given |= {f"key-{number}": "duct_size", f"unit-{number}": "mm", "do": "save"}
    assert client.post("/jobs/dampers/schedules/1/mapping", data=given).status_code == 303
    desk.wait()
    (name,) = desk.schedules()[0].kept
    answer = client.post("/jobs/dampers/reconcile", data={"before": name})
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs/dampers/reconcile")
    desk.wait()
    assert desk.run().faults == ()  # the kept file is read by the mapping that was kept with it
    text = client.get("/jobs/dampers/reconcile").text
    assert "600 × 400 → 800 × 400" in text
    assert "300 × 200 →" not in text
    assert str(desk.folder) not in text
    assert client.get("/jobs/dampers/downloads/reconcile/revisions.xlsx").content.startswith(b"PK")


def test_only_a_kept_file_is_held_against_a_schedule(client: TestClient, office: LocalOffice) -> None:
    desk = kept(client, office)
    for name in ("schedule/dampers.xlsx", "../../etc/passwd", "brattice.toml"):
        assert client.post("/jobs/dampers/reconcile", data={"before": name}).status_code == 422
    assert desk.reconciled() is None
    client.post("/jobs/dampers/reconcile")
    desk.wait()
    assert desk.run().faults == ()
    assert "Schedule against models" in client.get("/jobs/dampers/reconcile").text
    assert desk.reconciled() is not None


def test_a_mapping_that_somebody_broke_is_told_and_can_be_settled_anew(client: TestClient, office: LocalOffice) -> None:
    desk = kept(client, office)
    beside = desk.folder / "schedule" / "dampers.mapping.toml"
    beside.write_text("schema = 2\n", "utf-8")
    text = client.get("/jobs/dampers/schedules/1").text
    assert "dampers.mapping.toml" in text
    assert "It can" in text
    assert client.post("/jobs/dampers/schedules/1/mapping", data=fields(text) | {"do": "save"}).status_code == 303
    desk.wait()
    assert desk.run().faults == ()
    assert {item.key for item in read_mapping(beside).table.column} >= {"reference", "storey", "duct_size"}
    aside = desk.folder / "schedule" / "kept" / "dampers.mapping.2026-03-02.toml"
    assert aside.read_text("utf-8") == "schema = 2\n"
