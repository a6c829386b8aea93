# SPDX-License-Identifier: Apache-2.0
"""The bench of schedules reads its bars from the file and fails on a miss; its times are not asserted here."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(("seconds", "mib", "code"), [(600, 100_000, 0), (0, 100_000, 1), (600, 1, 1)])
def test_a_missed_bar_fails_and_its_part_of_the_page_is_written(
    tmp_path: Path, seconds: float, mib: float, code: int
) -> None:
    bars, page = tmp_path / "bars.toml", tmp_path / "performance.md"
    page.write_text("# Performance\n\n## Judging all pairs\n\nkept\n", "utf-8")
    bars.write_text(
        "".join(
            f"[schedules.{name}]\nrows = {rows}\nmost_seconds = {seconds}\nmost_mib = {mib}\nruns = 1\n"
            for name, rows in (("small", 2), ("large", 4))
        )
    )
    done = subprocess.run(
        [sys.executable, str(ROOT / "bench" / "schedules.py"), "--bars", str(bars), "--out", str(page)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stderr
    assert ("MISSED" in done.stderr) == bool(code)
    text = page.read_text("utf-8")
    assert text.startswith("# Performance\n\n## Judging all pairs\n\nkept\n")
    assert text.count("## A schedule of others") == 1
    assert ("**no**" in text) == bool(code)


def test_the_shipped_bars_are_those_of_the_measure() -> None:
    bars = tomllib.loads((ROOT / "bench" / "bars.toml").read_text("utf-8"))["schedules"]
    assert bars["small"] == {"rows": 150, "most_seconds": 5.0}
    assert bars["large"] == {"rows": 20_000, "most_seconds": 60.0, "most_mib": 1024}
