# SPDX-License-Identifier: Apache-2.0
"""Measures the local page in headless Chromium against `bars.toml`: first view of the register, filter, pages beside.

    python bench/pages.py [--bars FILE] [--out FILE]

The time is from the request (or the key) to the second frame after the content stands, on an invented report; of some
runs the median counts. Puts its section into the page of `bench/judging.py` and ends with 1 when a bar is missed.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from playwright.sync_api import Page, sync_playwright  # noqa: E402

from tests.helpers.pages import office_with, served  # noqa: E402
from tests.helpers.reports import large_report  # noqa: E402

HEADING = "## The local page"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
FRAMES = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now()))))"
TYPED = """text => new Promise(done => {
  const field = document.getElementById("find"), begun = performance.now();
  document.body.addEventListener("htmx:afterSettle", () => requestAnimationFrame(() => requestAnimationFrame(
    () => done(performance.now() - begun))), {once: true});
  field.value = text;
  field.dispatchEvent(new Event("input", {bubbles: true}));
})"""


def view(page: Page, address: str, times: int) -> float:
    """Seconds from navigation to the second frame after the page stands; the median."""
    found = []
    for _ in range(times):
        page.goto(address)
        found.append(page.evaluate(FRAMES) / 1000)  # the page's own clock begins with its navigation
    return statistics.median(found)


def typed(page: Page, address: str, times: int) -> float:
    """Seconds from a key in the search field to the second frame after the rows are exchanged; the median."""
    page.goto(address)
    found = []
    for number in range(times):
        found.append(page.evaluate(TYPED, ("level", "within", "P-49", "", "extract")[number % 5]) / 1000)
        page.wait_for_timeout(300)
    return statistics.median(found)


def main() -> int:
    """Measure, write the section, say whether every bar was held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bars", type=Path, default=ROOT / "bench" / "bars.toml")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "performance.md")
    given = parser.parse_args()
    bars = tomllib.loads(given.bars.read_text("utf-8"))["pages"]
    chromium = shutil.which("chromium")
    if chromium is None:
        print("no chromium: the pages were not measured", file=sys.stderr)
        return 1
    rows, marks, times = bars["rows"], bars["marks"], bars["runs"]
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        with served(office_with(Path(place) / "job", large_report(rows))) as site:
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(site.link)
            at = f"{site.base}/jobs/job"
            first, filtered = view(page, f"{at}/register", times), typed(page, f"{at}/register", times)
            front, one = view(page, at, times), view(page, f"{at}/places/P-0002", times)
            page.close()
        with served(office_with(Path(place) / "plan", large_report(marks))) as site:
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(site.link)
            page.goto(f"{site.base}/jobs/plan/plans/1")  # drawn once, at the end of a check
            plan = view(page, f"{site.base}/jobs/plan/plans/1", times)
            page.close()
        version = browser.version
        browser.close()
    checks = [
        (f"register of {rows:,}, first view", bars["most_first_view_s"], first),
        (f"register of {rows:,}, filter", bars["most_filter_s"], filtered),
    ]
    lines = [
        f"| {what}: at most {most:g} s | {have:.2f} s | {'yes' if have <= most else '**no**'} |"
        for what, most, have in checks
    ]
    others = [("front page", front), ("a penetration", one), (f"plan of a storey with {marks:,} marks", plan)]
    section = "\n".join(
        [
            HEADING,
            "",
            f"Headless Chromium {version}, 1440 px wide; from the request (or the key) to the second frame after the",
            f"content stands, median of {times}.",
            "",
            "| bar | measured | held |",
            "| --- | --- | --- |",
            *lines,
            "",
            "| page | seconds |",
            "| --- | ---: |",
            *(f"| {what} | {have:.2f} |" for what, have in others),
            "",
        ]
    )
    before = given.out.read_text("utf-8") if given.out.exists() else "# Performance\n"
    kept = before.partition(HEADING)[0].rstrip("\n")
    given.out.write_text(f"{kept}\n\n{section}", "utf-8")
    for what, most, have in checks:
        print(f"{'held  ' if have <= most else 'MISSED'} {what}: {have:.2f} s of {most:g} s", file=sys.stderr)
    return 0 if all(have <= most for _, most, have in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
