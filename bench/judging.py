# SPDX-License-Identifier: Apache-2.0
"""Measures judging all pairs: time, memory, growth, each in a fresh process on one core, against `bars.toml`.

    python bench/judging.py [--bars FILE] [--out FILE]

Writes what was measured as a page and ends with 1 when a bar is missed. The pairs are made by a seed (`pairs.py`).
"""

from __future__ import annotations

import argparse
import json
import math
import os
import platform
import resource
import subprocess
import sys
import time
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

SEED = 20260301


@dataclass(frozen=True)
class Measured:
    """One run: how many of each, seconds of judging, peak memory of the process [MiB], pairs by scope."""

    penetrations: int
    installations: int
    seconds: float
    mib: float
    scopes: dict[str, int]

    @property
    def pairs(self) -> int:
        """How many pairs were judged."""
        return self.penetrations * self.installations


def run_here(sites: int, tests: int) -> dict[str, object]:
    """Judges so many pairs in this process, on one core; the making of the pairs is not timed but counts as memory."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    import numpy as np

    from bench.pairs import installations, penetrations, requirements
    from brattice.adapters.rows import shipped_book
    from brattice.classes import ClassSteps
    from brattice.evidence import KeyDates, judge_all
    from brattice.evidence.screen import SCOPES

    some = penetrations(sites, SEED)
    asked, tested = requirements(some, SEED), installations(tests, SEED)
    book = shipped_book()
    steps = ClassSteps.from_book(book)
    dates = KeyDates(date(2026, 1, 5), date(2026, 2, 2), date(2026, 3, 2), date(2026, 9, 1))
    start = time.perf_counter()
    table = judge_all(some, asked, tested, dates, book, steps)
    counts = np.bincount(table.codes().ravel(), minlength=len(SCOPES))
    seconds = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {
        "seconds": seconds,
        "mib": peak / (2**20 if sys.platform == "darwin" else 2**10),
        "scopes": {scope.value: int(count) for scope, count in zip(SCOPES, counts, strict=True)},
    }


def measure(sites: int, tests: int, times: int = 3) -> Measured:
    """The quickest of some fresh processes, and the most memory that any of them took."""
    runs = []
    for _ in range(times):
        command = [sys.executable, __file__, "--here", str(sites), str(tests)]
        environment = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        done = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
        runs.append(json.loads(done.stdout))
    return Measured(
        sites, tests, min(run["seconds"] for run in runs), max(run["mib"] for run in runs), runs[0]["scopes"]
    )


def power(small: Measured, large: Measured) -> float:
    """With which power of the number of pairs the time grew."""
    return math.log(large.seconds / small.seconds) / math.log(large.pairs / small.pairs)


def page(runs: list[Measured], lines: list[str]) -> str:
    """What was measured, as a page."""
    import numpy as np

    whole = runs[-1]
    rows = [f"| {m.penetrations:,} | {m.installations:,} | {m.seconds:.2f} | {m.mib:.0f} |" for m in runs]
    scopes = [f"| {scope} | {count:,} |" for scope, count in whole.scopes.items()]
    return "\n".join(
        [
            "# Performance",
            "",
            "Written by `make bench`; the bars stand in `bench/bars.toml`. Each run is a fresh process on one core;",
            "the time is that of judging every pair, the memory the peak of the whole process with its input.",
            "",
            "## Judging all pairs",
            "",
            "| bar | measured | held |",
            "| --- | --- | --- |",
            *lines,
            "",
            "| penetrations | tested installations | seconds | MiB |",
            "| ---: | ---: | ---: | ---: |",
            *rows,
            "",
            f"The {whole.pairs:,} pairs came to:",
            "",
            "| scope | pairs |",
            "| --- | ---: |",
            *scopes,
            "",
            f"Python {platform.python_version()}, numpy {np.__version__}. Times depend on the machine; the bars don't.",
            "",
        ]
    )


def main() -> int:
    """Measure, write the page, say whether every bar was held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bars", type=Path, default=ROOT / "bench" / "bars.toml")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "performance.md")
    parser.add_argument("--here", nargs=2, type=int, metavar=("PENETRATIONS", "INSTALLATIONS"))
    given = parser.parse_args()
    if given.here:
        print(json.dumps(run_here(*given.here)))
        return 0
    bars = tomllib.loads(given.bars.read_text("utf-8"))["judging"]
    sites, tests = bars["penetrations"], bars["installations"]
    sizes = [(sites // 4, tests), (sites // 2, tests), (sites, tests // 4), (sites, tests // 2), (sites, tests)]
    runs = []
    for size in sizes:
        print(f"judging {size[0]:,} penetrations x {size[1]:,} tested installations", file=sys.stderr)
        runs.append(measure(*size, times=bars.get("runs", 3)))
    whole = runs[-1]
    grown = max(power(runs[0], whole), power(runs[2], whole))
    checks = [
        (f"at most {bars['most_seconds']:g} s", f"{whole.seconds:.2f} s", whole.seconds <= bars["most_seconds"]),
        (f"at most {bars['most_mib']:g} MiB", f"{whole.mib:.0f} MiB", whole.mib <= bars["most_mib"]),
        (f"grows with at most pairs^{bars['most_power']:g}", f"pairs^{grown:.2f}", grown <= bars["most_power"]),
    ]
    head = f"{sites:,} × {tests:,}: "
    lines = [f"| {head}{bar} | {have} | {'yes' if held else '**no**'} |" for bar, have, held in checks]
    given.out.write_text(page(runs, lines), "utf-8")
    for bar, have, held in checks:
        print(f"{'held  ' if held else 'MISSED'} {head}{bar}: {have}", file=sys.stderr)
    return 0 if all(held for _, _, held in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
