# SPDX-License-Identifier: Apache-2.0
"""A job issued from its page in a browser: looked at, agreed to, made, downloaded; then nothing is left to issue."""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, expect

from brattice.cli.office import LocalOffice
from tests.helpers.jobs import small_job
from tests.helpers.pages import served

WIDTHS = (1440, 768, 360)
SOON = 120_000


def fits_without_fault(page: Page) -> None:
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    page.set_viewport_size({"width": 1440, "height": 900})


def test_an_issue_from_the_page(browser: Browser, tmp_path: Path) -> None:
    job = small_job(tmp_path / "job")
    with served(LocalOffice(job=job)) as site:
        context = browser.new_context(accept_downloads=True)
        page = context.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(site.link)
        page.get_by_role("link", name="Issues", exact=True).click()
        expect(page.get_by_text("Nothing was issued yet.")).to_be_visible()
        page.get_by_role("button", name="See what the next issue would hold").click()
        on = page.get_by_role("link", name="Go on to issue 01")
        expect(on).to_be_visible(timeout=SOON)  # the page comes back by itself when the run has ended
        fits_without_fault(page)
        on.click()
        expect(page.get_by_role("heading", name="Make issue 01?")).to_be_visible()
        expect(page.get_by_role("rowheader", name="P-0001 Installation of P-0001")).to_be_visible()
        fits_without_fault(page)
        assert not (job / "issued").exists()
        page.get_by_role("button", name="Issue now").click()
        expect(page.get_by_text("Issue 01 is made")).to_be_visible(timeout=SOON)
        fits_without_fault(page)
        book = next((job / "issued" / "01" / "sketches").glob("*.pdf"))
        with page.expect_download() as coming:
            page.get_by_role("link", name=f"{book.name} of issue 01, sketches", exact=True).click()
        assert Path(coming.value.path()).read_bytes() == book.read_bytes()
        assert book.read_bytes().startswith(b"%PDF-")
        page.get_by_role("button", name="See what the next issue would hold").click()
        expect(page.get_by_text("Nothing changed since issue 01; nothing is issued.")).to_be_visible(timeout=SOON)
        expect(page.get_by_role("link", name="Go on to issue")).to_have_count(0)
        fits_without_fault(page)
        context.close()
        assert said == []
    assert [path.name for path in (job / "issued").iterdir()] == ["01"]
