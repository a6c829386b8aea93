# SPDX-License-Identifier: Apache-2.0
"""Measures a schedule of somebody else from file to answers: `brattice check`, outputs included, against `bars.toml`.

    python bench/schedules.py [--bars FILE] [--out FILE]

The schedule is that of the second demo (`tools.messy`), repeated over so many rows on storeys of a thousand; nothing
else is loaded. Each run is the installed command in a fresh process. Writes its part of the page of what was measured
and ends with 1 when a bar is missed.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
import tomllib
from dataclasses import dataclass, replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

_ON_A_STOREY = 1_000
_MARK = "## A schedule of others, from file to answers"


@dataclass(frozen=True)
class Measured:
    """One run: rows, seconds from start to end of the command, most memory of any of its processes [MiB], bytes out."""

    rows: int
    seconds: float
    mib: float
    out_mib: float


def make_job(rows: int, folder: Path) -> None:
    """A job whose schedule has so many rows, no two of one place."""
    from tools.messy.faults import Schedule
    from tools.messy.job import write_job
    from tools.messy.rows import designed

    like = designed()
    made = {}
    for number in range(rows):
        level, slot = divmod(number, _ON_A_STOREY)
        row = like[number % len(like)]
        facts = {"reference": f"FD-{number + 1:05}", "storey": f"L{level:02}", "words": f"Grid {slot + 1}"}
        made[level, slot] = replace(row.means(**facts), level=level, slot=slot)
    write_job(Schedule(rows=made), folder)


def run_check(job: Path) -> dict[str, float]:
    """One check in a fresh process; run by a process of its own, so that its children's memory is its own peak."""
    command = [str(Path(sys.executable).with_name("brattice")), "check", str(job)]
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    seconds = time.perf_counter() - start
    if done.returncode != 1:
        raise SystemExit(f"brattice check ended with {done.returncode}: {done.stderr[-2000:]}")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return {"seconds": seconds, "mib": peak / (2**20 if sys.platform == "darwin" else 2**10)}


def measure(rows: int, times: int) -> Measured:
    """The quickest of some runs, and the most memory that any took; the making of the job is not timed."""
    with tempfile.TemporaryDirectory(prefix="brattice-bench-") as folder:
        job = Path(folder) / "job"
        make_job(rows, job)
        runs = []
        for _ in range(times):
            command = [sys.executable, __file__, "--here", str(job)]
            done = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=True)
            runs.append(json.loads(done.stdout))
        out = sum(item.stat().st_size for item in (job / "out").rglob("*") if item.is_file())
    return Measured(rows, min(run["seconds"] for run in runs), max(run["mib"] for run in runs), out / 2**20)


def section(runs: list[Measured], lines: list[str]) -> str:
    """What was measured, as a section of the page."""
    rows = [f"| {one.rows:,} | {one.seconds:.2f} | {one.mib:.0f} | {one.out_mib:.0f} |" for one in runs]
    return "\n".join(
        [
            _MARK,
            "",
            "`brattice check` on a job that has nothing but a workbook of 29 columns of somebody else and its mapping: reading",
            "it in the child process, judging, and every output. The time is from the start of the command to its end, the",
            f"memory the peak of the largest of its processes; {os.cpu_count()} processors, of which it uses two while it writes.",
            "",
            "| bar | measured | held |",
            "| --- | --- | --- |",
            *lines,
            "",
            "| rows | seconds | MiB | outputs [MiB] |",
            "| ---: | ---: | ---: | ---: |",
            *rows,
            "",
            f"Python {platform.python_version()}.",
            "",
        ]
    )


def main() -> int:
    """Measure, write the section, say whether every bar was held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bars", type=Path, default=ROOT / "bench" / "bars.toml")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "performance.md")
    parser.add_argument("--here", type=Path, metavar="JOB")
    given = parser.parse_args()
    if given.here:
        print(json.dumps(run_check(given.here)))
        return 0
    bars = tomllib.loads(given.bars.read_text("utf-8"))["schedules"]
    small, large = bars["small"], bars["large"]
    runs, checks = [], []
    for bar in (small, large):
        print(f"checking a schedule of {bar['rows']:,} rows", file=sys.stderr)
        one = measure(bar["rows"], bars.get("runs", 2))
        runs.append(one)
        head = f"{one.rows:,} rows: "
        seconds = f"{head}at most {bar['most_seconds']:g} s", f"{one.seconds:.2f} s"
        checks.append((*seconds, one.seconds <= bar["most_seconds"]))
        if "most_mib" in bar:
            memory = f"{head}at most {bar['most_mib']:g} MiB", f"{one.mib:.0f} MiB"
            checks.append((*memory, one.mib <= bar["most_mib"]))
    lines = [f"| {bar} | {have} | {'yes' if held else '**no**'} |" for bar, have, held in checks]
    before = given.out.read_text("utf-8").partition(_MARK)[0].rstrip() if given.out.exists() else "# Performance"
    given.out.write_text(f"{before}\n\n{section(runs, lines)}", "utf-8")
    for bar, have, held in checks:
        print(f"{'held  ' if held else 'MISSED'} {bar}: {have}", file=sys.stderr)
    return 0 if all(held for _, _, held in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
