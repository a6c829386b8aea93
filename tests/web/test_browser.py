# SPDX-License-Identifier: Apache-2.0
"""The pages in a browser: no fault that axe finds, no sideways scroll at three widths, what script adds on top."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, expect

from brattice.cli.office import LocalOffice
from tests.helpers.pages import Served, served

KINDS = (
    "",
    "/register",
    "/plans",
    "/plans/1",
    "/places/P-0002",
    "/orders",
    "/builders-work",
    "/cause-and-effect",
    "/submittals",
    "/best-opening",
    "/best-opening?of=P-0002",
    "/penetrations/P-0002/sketch",
    "/penetrations/P-0002/sketch?size=paper",
    "/issues",
    "/schedules",
    "/queries",
    "/tracker",
    "/tracker/P-0002",
    "/what-if",
    "/downloads",
    "/reconcile",
    "/sources",
    "/nowhere",
)
WIDTHS = (360, 768, 1440)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_page_has_no_fault_and_fits_its_width(page: Page, sample_site: Served, kind: str) -> None:
    """axe-core's rules with its best practices; the page itself never scrolls sideways."""
    address = f"{sample_site.base}/jobs/job{kind}"
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_the_start_page_has_no_fault_and_takes_a_sheet_that_is_dropped(browser: Browser, tmp_path: Path) -> None:
    sheet = tmp_path / "Hall dampers.csv"
    sheet.write_text("Reference,Level\nFD-01,Level 1\n", "utf-8")
    with served(LocalOffice(folder=tmp_path / "jobs")) as site:
        context = browser.new_context()
        page = context.new_page()
        page.goto(site.link)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, width
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        page.get_by_label("Schedule").set_input_files(sheet)
        page.get_by_role("button", name="Begin").click()  # a form of a real browser, under our own policy
        page.wait_for_url("**/jobs/hall-dampers/schedules/1")
        context.close()
    assert (tmp_path / "jobs" / "hall-dampers" / "schedule" / "hall-dampers.csv").read_bytes() == sheet.read_bytes()


def test_typing_filters_the_register_and_the_address_can_be_kept(page: Page, sample_site: Served) -> None:
    page.goto(f"{sample_site.base}/jobs/job/register")
    page.get_by_role("searchbox", name="Find").fill("P-0002")
    page.wait_for_selector("#rows table tbody tr:only-child")
    page.wait_for_url("**/register?find=P-0002")
    page.reload()
    assert page.get_by_role("searchbox", name="Find").input_value() == "P-0002"
    assert page.locator("#rows tbody th").all_inner_texts() == ["P-0002"]


def test_the_first_key_leads_past_the_head_of_the_page(page: Page, sample_site: Served) -> None:
    page.goto(f"{sample_site.base}/jobs/job/register")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


def test_a_narrow_window_shows_the_sheet_on_a4_and_a_wide_one_on_a3(page: Page, sample_site: Served) -> None:
    page.goto(f"{sample_site.base}/jobs/job/penetrations/P-0002/sketch")
    for width, shown, hidden in ((1440, ".wide", ".narrow"), (701, ".wide", ".narrow"), (700, ".narrow", ".wide")):
        page.set_viewport_size({"width": width, "height": 900})
        expect(page.locator(f".sheets{shown} svg").first).to_be_visible()
        expect(page.locator(f".sheets{hidden} svg").first).to_be_hidden()
        box = page.locator(f".sheets{shown} svg").first.bounding_box()
        assert box is not None
        assert box["width"] <= width


def test_where_a_number_comes_from_opens_by_the_keyboard(page: Page, sample_site: Served) -> None:
    page.goto(f"{sample_site.base}/jobs/job/places/P-0002")
    trace = page.locator("#installation details.trace").first
    trace.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(trace).to_have_attribute("open", "")
