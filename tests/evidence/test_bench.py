# SPDX-License-Identifier: Apache-2.0
"""The bench reads its bars from the file and fails on a miss; its times are not asserted here."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("seconds", "mib", "code"), [(600, 100_000, 0), (0, 100_000, 1), (600, 1, 1)], ids=["held", "time", "memory"]
)
def test_a_missed_bar_fails_and_the_page_is_written(tmp_path: Path, seconds: float, mib: float, code: int) -> None:
    bars, page = tmp_path / "bars.toml", tmp_path / "performance.md"
    bars.write_text(
        f"[judging]\npenetrations = 8\ninstallations = 8\nmost_seconds = {seconds}\nmost_mib = {mib}\n"
        "most_power = 100\nruns = 1\n"
    )
    done = subprocess.run(
        [sys.executable, str(ROOT / "bench" / "judging.py"), "--bars", str(bars), "--out", str(page)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stderr
    assert ("MISSED" in done.stderr) == bool(code)
    text = page.read_text("utf-8")
    assert f"at most {seconds:g} s" in text
    assert f"at most {mib:g} MiB" in text
    assert ("**no**" in text) == bool(code)


def test_the_shipped_bars_are_those_of_the_measure() -> None:
    text = (ROOT / "bench" / "bars.toml").read_text("utf-8")
    for line in ("penetrations = 10000", "installations = 500", "most_seconds = 10.0", "most_mib = 500"):
        assert line in text
