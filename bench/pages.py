# SPDX-License-Identifier: Apache-2.0
"""How long the register of a large job takes in a browser: its first view, and a filter by the level.

The report is the sample of the tests, as large as a bar says. Chromium runs without a window on the same machine; the
median of some runs counts. Without Chromium nothing is measured, and that is said.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
import time
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

_MARK = "## The register in a browser"
_FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"]


def measure(rows: int, runs: int, chromium: str) -> tuple[float, float]:
    """Seconds of the first view and of a filter, the medians of some runs."""
    from playwright.sync_api import sync_playwright

    from tests.helpers.pages import office_with, served
    from tests.helpers.reports import large_report

    first, filtered = [], []
    with tempfile.TemporaryDirectory(prefix="brattice-bench-") as folder, sync_playwright() as playwright:
        office = office_with(Path(folder) / "job", large_report(rows))
        browser = playwright.chromium.launch(executable_path=chromium, args=_FLAGS)
        with served(office) as site:
            page = browser.new_page()
            page.goto(site.link)
            page.wait_for_load_state()
            for _ in range(runs):
                start = time.perf_counter()
                page.goto(f"{site.base}/jobs/job/register", wait_until="load")
                page.locator("#rows tbody tr").first.wait_for()
                first.append(time.perf_counter() - start)
                levels = page.get_by_label("Level")
                start = time.perf_counter()
                with page.expect_response(lambda answer: "register" in answer.url):
                    levels.select_option(index=1)
                page.locator("#rows tbody tr").first.wait_for()
                filtered.append(time.perf_counter() - start)
        browser.close()
    return statistics.median(first), statistics.median(filtered)


def main() -> int:
    """Measure, write the section, say whether every bar was held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bars", type=Path, default=ROOT / "bench" / "bars.toml")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "performance.md")
    given = parser.parse_args()
    bar = tomllib.loads(given.bars.read_text("utf-8"))["pages"]
    chromium = shutil.which("chromium")
    if chromium is None:
        print("no chromium on this machine: the register was not measured", file=sys.stderr)
        return 0
    print(f"showing a register of {bar['rows']:,} rows", file=sys.stderr)
    view, narrowed = measure(bar["rows"], bar.get("runs", 7), chromium)
    checks = [
        (f"{bar['rows']:,} rows, first view: at most {bar['most_first_view_seconds']:g} s", view, bar["most_first_view_seconds"]),
        (f"{bar['rows']:,} rows, filter: at most {bar['most_filter_seconds']:g} s", narrowed, bar["most_filter_seconds"]),
    ]  # fmt: skip
    lines = [f"| {text} | {have:.2f} s | {'yes' if have <= most else '**no**'} |" for text, have, most in checks]
    section = [
        _MARK,
        "",
        "From the request to the first row that is seen, in Chromium without a window on the same machine; the median of",
        "some runs after one page was shown.",
        "",
        "| bar | measured | held |",
        "| --- | --- | --- |",
        *lines,
        "",
    ]
    before = given.out.read_text("utf-8").partition(_MARK)[0].rstrip() if given.out.exists() else "# Performance"
    given.out.write_text(f"{before}\n\n{chr(10).join(section)}", "utf-8")
    for text, have, most in checks:
        print(f"{'held  ' if have <= most else 'MISSED'} {text}: {have:.2f} s", file=sys.stderr)
    return 0 if all(have <= most for _, have, most in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
