# SPDX-License-Identifier: Apache-2.0
"""Day one in a browser: drop somebody's schedule, map it by eye, see the answers, work in it, take its next revision.

Everything that the pages say is held against the files of the job. Values come from the demo's own list of what was
planted (`tools.messy`), never from an earlier run.
"""

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, expect

from brattice.cli.office import LocalOffice
from tests.helpers.pages import Served, served
from tools.messy.faults import EVERYWHERE, Schedule, build
from tools.messy.job import SETTLED
from tools.messy.returned import write_returned
from tools.messy.revision import revision_b
from tools.messy.sheet import FILE, workbook

ON = date(2026, 3, 2)
WHO = "B. Buyer (invented)"
WIDTHS = (360, 768, 1440)
PAGES = (
    "",
    "/register",
    "/plans",
    "/queries",
    "/tracker",
    "/what-if",
    "/reconcile",
    "/schedules",
    "/schedules/1",
    "/downloads",
    "/sources",
)


@dataclass
class Day:
    """The job while the day goes on."""

    page: Page
    site: Served
    folder: Path
    plan: Schedule
    at: Path

    def go(self, part: str = "") -> None:
        self.page.goto(f"{self.site.base}/jobs/{self.folder.name}{part}")

    def checked(self) -> None:
        """Wait for the run that the page shows."""
        expect(self.page.get_by_role("button", name="Check again")).to_be_visible(timeout=60_000)

    def findings(self) -> dict[str, Any]:
        found: dict[str, Any] = json.loads((self.folder / "out" / "findings.json").read_text("utf-8"))
        return found

    def download(self, name: str) -> bytes:
        with self.page.expect_download() as waiting:
            self.page.get_by_role("button", name=name).or_(self.page.get_by_role("link", name=name, exact=True)).click()
        return Path(waiting.value.path()).read_bytes()


@pytest.fixture
def day(browser: Browser, tmp_path: Path) -> Iterator[Day]:
    with served(LocalOffice(folder=tmp_path / "jobs", as_of=ON)) as site:
        context = browser.new_context(accept_downloads=True)
        page = context.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(site.link)
        yield Day(page, site, tmp_path / "jobs" / "tarnbeck", build(), tmp_path)
        context.close()
        assert said == []


def drop(page: Page, label: str, path: Path) -> None:
    page.get_by_label(label).set_input_files(path)


def settle(page: Page) -> None:
    """Map by eye what the demo says that a person settles."""
    for heading, lines in SETTLED.items():
        said = dict(re.findall(r'(\w+) = "([^"]*)"', "\n".join(lines)))
        page.get_by_label(f"What “{heading}” means").select_option(said["key"])
        if "unit" in said:
            page.get_by_label(f"Unit of “{heading}”").select_option(said["unit"])
        if "order" in said:
            page.get_by_label(f"Which figure is first in “{heading}”").select_option(said["order"])


def begin(day: Day) -> None:
    """Drop the schedule, settle its mapping, check."""
    sheet = day.at / FILE
    sheet.write_bytes(workbook(list(day.plan.rows.values()), "A")[0])
    drop(day.page, "Schedule", sheet)
    day.page.get_by_label("Name of the job").fill("Tarnbeck")
    day.page.get_by_role("button", name="Begin").click()
    day.page.wait_for_url("**/jobs/tarnbeck/schedules/1")
    settle(day.page)
    day.page.get_by_role("button", name="Keep and check").click()
    day.checked()


def pages_equal_files(day: Day) -> None:
    """States, ids, findings, queries and stages on the pages are those of the files."""
    data, page = day.findings(), day.page
    states = Counter(item["state"] for item in data["penetrations"])
    day.go()
    shown = {
        item.locator(".word").inner_text(): int(item.locator(".n").inner_text())
        for item in page.locator("ul.counts > li").all()
    }
    assert {state: count for state, count in shown.items() if count} == dict(states)
    day.go("/register")
    told = dict(
        zip(
            page.locator("table.register tbody th").all_inner_texts(),
            page.locator("table.register tbody td:nth-child(2) .word").all_inner_texts(),
            strict=True,
        )
    )
    assert told == {item["id"]: item["state"] for item in data["penetrations"]}
    with (day.folder / "out" / "register.csv").open(encoding="utf-8-sig", newline="") as stream:
        assert told == {row["Id"]: row["State"] for row in csv.DictReader(stream)}
    day.go("/queries")
    with (day.folder / "queries.csv").open(encoding="utf-8", newline="") as stream:
        listed = list(csv.DictReader(stream))
    assert page.locator("table.queries tbody th").all_inner_texts() == sorted({row["number"] for row in listed})
    answered = {row["number"] for row in listed if row["step"] == "answered"}
    texts = page.locator("table.queries tbody tr").all_inner_texts()
    for row in (row for row in listed if row["step"] == "answered"):
        assert any(text.startswith(row["number"]) and row["answer"] in text for text in texts)
    day.go("/queries?state=answered")
    assert set(page.locator("table.queries tbody th").all_inner_texts()) <= answered
    day.go("/tracker")
    book = openpyxl.load_workbook(io.BytesIO(day.download("Download tracker.xlsx")))
    said: dict[tuple[str, str], tuple[str, str]] = {}
    for sheet in book.worksheets:
        if sheet["A1"].value == "Id":
            rows = list(sheet.iter_rows(values_only=True))
            heads = list(map(str, rows[0]))
            for values in rows[1:]:
                row = dict(zip(heads, values, strict=True))
                for head in heads:
                    if f"{head}: who" in row and row[head] is not None:
                        on = row[head]
                        day_said = on.date().isoformat() if hasattr(on, "date") else str(on)
                        said[str(row["Id"]), head.casefold()] = (day_said, str(row[f"{head}: who"]))
    heads = [text.casefold() for text in page.locator("table.tracker thead th").all_inner_texts()]
    there: dict[tuple[str, str], tuple[str, str]] = {}
    for line in page.locator("table.tracker tbody tr").filter(has=page.locator(".on")).all():
        name = line.locator("th a").inner_text()
        for number, cell in enumerate(line.locator("td, th").all()):
            if cell.locator(".on").count():
                there[name, heads[number]] = (cell.locator(".on").inner_text(), cell.locator(".who").inner_text())
    here = {item["id"] for item in data["penetrations"]}
    assert there == {key: value for key, value in said.items() if key[0] in here}


def test_the_day_of_a_coordinator(day: Day) -> None:
    page = day.page
    begin(day)

    # The findings are the planted ones, on the page of each penetration as in the file.
    data = day.findings()
    by_reference = {
        row["reference"]: row["id"]
        for row in csv.DictReader((day.folder / "penetrations.csv").read_text("utf-8").splitlines())
    }
    assert len(data["penetrations"]) == len(day.plan.rows)
    planted = sorted(
        (day.plan.rows[one.at].reference, one.code)
        for one in day.plan.expected
        if one.code not in EVERYWHERE and one.open and day.plan.rows[one.at].reference in by_reference
    )
    assert len(planted) > 20
    for reference, code in planted[::3]:
        item = next(one for one in data["penetrations"] if one["id"] == by_reference[reference])
        texts = [one["text"] for one in item["findings"] if one["code"] == code]
        assert texts, (reference, code)
        day.go(f"/places/{item['id']}")
        shown = " ".join(page.locator("main").inner_text().split())
        assert all(" ".join(text.split()) in shown for text in texts)
    pages_equal_files(day)

    # Their sheet comes back with columns added.
    day.go("/downloads")
    section = page.locator("section").filter(has=page.get_by_role("heading", name="out/schedule", exact=True))
    with page.expect_download() as waiting:
        section.get_by_role("link", name=FILE).click()
    back = openpyxl.load_workbook(io.BytesIO(Path(waiting.value.path()).read_bytes()))
    theirs = openpyxl.load_workbook(day.folder / "schedule" / FILE)
    added = {
        str(cell.value)
        for row in back["FD schedule"].iter_rows(max_row=10)
        for cell in row
        if str(cell.value).startswith("# Brattice")
    }
    assert added
    for row in theirs["FD schedule"].iter_rows():
        for cell in row:
            assert back["FD schedule"][cell.coordinate].value == cell.value  # nothing of theirs is changed

    # Something is typed in the tracker.
    day.go("/tracker")
    for name in ("P-0001", "P-0002"):
        page.get_by_label(f"Tick {name}", exact=True).check()
    page.get_by_role("group", name="Say one stage").get_by_role("combobox").select_option("framed opening checked")
    page.get_by_label("Date", exact=True).fill("2026-03-01")
    page.get_by_label("Who", exact=True).fill(WHO)
    page.get_by_role("group", name="Say one stage").get_by_role("button", name="Take it").click()
    expect(page.get_by_text("2 entries taken from the page")).to_be_visible()
    names = {name: reference for reference, name in by_reference.items()}

    # A party answers two queries.
    day.go("/queries")
    day.download("Sheet for the services designer")
    returned = day.at / "returned.xlsx"
    assert write_returned(day.folder, "services-designer", returned, most=2) == 2
    day.go("/queries")
    drop(page, "Workbook that came back", returned)
    page.get_by_role("button", name="Take the answers").click()
    expect(page.get_by_text("2 answers taken from returned.xlsx")).to_be_visible()
    day.checked()
    day.go("/queries?state=answered")
    assert page.locator("table.queries tbody tr").count() == 2
    pages_equal_files(day)

    # The next revision comes in by the same mapping; the old file is kept.
    before = (day.folder / "schedule" / FILE).read_bytes()
    later = revision_b(day.plan)
    newer = day.at / "b" / FILE
    newer.parent.mkdir()
    newer.write_bytes(workbook(later.rows, "B")[0])
    day.go("/schedules")
    drop(page, f"Next revision of {FILE}", newer)
    page.get_by_role("button", name="Look at it").click()
    expect(page.get_by_role("heading", name=f"How {FILE} is read")).to_be_visible()
    page.get_by_role("button", name="Keep, take the newer file and check").click()
    day.checked()
    assert (day.folder / "schedule" / FILE).read_bytes() == newer.read_bytes()
    assert [path.read_bytes() for path in (day.folder / "schedule" / "kept").glob("*.xlsx")] == [before]
    data = day.findings()
    assert len(data["penetrations"]) == len(later.rows)

    # What was typed is still there, at the same penetrations.
    day.go("/tracker")
    for name in ("P-0001", "P-0002"):
        line = page.locator("table.tracker tbody tr").filter(has=page.get_by_role("link", name=name, exact=True))
        assert names[name] in line.inner_text()
        assert "2026-03-01" in line.inner_text()
        assert WHO in line.inner_text()
    pages_equal_files(day)


def test_every_page_of_a_messy_job_has_no_fault_at_three_widths(day: Day) -> None:
    """axe-core's rules with its best practices, and no sideways scroll, on the proposal and on each page after it."""

    def looked_at() -> None:
        for width in WIDTHS:
            day.page.set_viewport_size({"width": width, "height": 900})
            assert day.page.evaluate("document.documentElement.scrollWidth") <= width, (day.page.url, width)
            found = Axe().run(day.page)
            assert found.violations_count == 0, (day.page.url, width, found.generate_report())

    begin(day)
    for part in PAGES:
        day.go(part)
        looked_at()


def test_the_mapping_is_settled_without_any_script(browser: Browser, tmp_path: Path) -> None:
    """Forms alone: the drop, the mapping, and the answers."""
    plan = build()
    sheet = tmp_path / FILE
    sheet.write_bytes(workbook(list(plan.rows.values()), "A")[0])
    with served(LocalOffice(folder=tmp_path / "jobs", as_of=ON)) as site:
        context = browser.new_context(java_script_enabled=False)
        page = context.new_page()
        page.goto(site.link)
        drop(page, "Schedule", sheet)
        page.get_by_role("button", name="Begin").click()
        settle(page)
        page.get_by_role("button", name="Look again with these choices").click()
        page.get_by_role("button", name="Keep and check").press("Enter")
        expect(page.get_by_role("button", name="Check again")).to_be_visible(timeout=60_000)
        assert f"{len(plan.rows)} penetrations" in page.locator("#states-h").inner_text()
        context.close()
