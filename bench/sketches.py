# SPDX-License-Identifier: Apache-2.0
"""How long hundreds of dense sheets take as one PDF, with how much memory, and how large the file is.

The sheets are made up from a seed: as many texts and lines as a full sheet has, hatches, frame and title block. Laying
out, drawing and setting is in the time; the memory is that of the largest process.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import resource
import subprocess
import sys
import time
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]

_MARK = "## Sheets as one PDF"
_WORDS = "damper wall opening seal gap barrier step hold point tested installation fixing joint access door".split()


def dense_sheet(number: int):  # type: ignore[no-untyped-def]
    """A made-up sheet with 60 hatched surfaces, 600 lines and about 170 texts."""
    from brattice.drawing.primitives import Anchor, Box, Fill, Item, Pen, Polygon, Polyline, Text, rectangle
    from brattice.drawing.sheet import TitleBlock, sheet_frame
    from brattice.drawing.views import A3, Sheet, View

    chance = random.Random(number)
    fills = [Fill.CONCRETE, Fill.MASONRY, Fill.WOOL, Fill.SEAL, Fill.BOARD, Fill.METAL]
    items: list[Item] = []
    for _ in range(60):
        x, y = 25 + chance.random() * 170, 20 + chance.random() * 230
        ring = rectangle(x, y, x + 5 + chance.random() * 25, y + 5 + chance.random() * 25)
        items.append(Polygon((ring,), chance.choice(fills), chance.choice([Pen.CUT, Pen.EDGE])))
    for _ in range(600):
        x, y = 25 + chance.random() * 180, 20 + chance.random() * 240
        end = (x + chance.random() * 20, y + chance.random() * 20)
        items.append(Polyline(((x, y), end), chance.choice(list(Pen))))
    for _ in range(70):
        at = (25 + chance.random() * 180, 20 + chance.random() * 240)
        turned = chance.random() < 0.4
        items.append(Text(at, str(chance.randint(1, 3000)), 2.5, Anchor.MIDDLE, turned=turned))
    notes = tuple(
        Text((240, 270 - line * 2.9), f"{' '.join(chance.choice(_WORDS) for _ in range(9))} {number}-{line}", 2.4)
        for line in range(70)
    )
    block = TitleBlock("A made-up job", f"JOB-{number:04d}", "Fire damper", f"P-{number:04d}", "B", scale="1:10")
    view = View("Section", Box(23, 13, 227, 284), 10, tuple(items), "Section along the duct")
    frame = sheet_frame(A3, block)
    return Sheet(f"JOB-{number:04d}", "Fire damper", A3, frame, (view,), notes, f"Made-up sheet {number}")


def one(count: int) -> None:
    """Make and set so many sheets; print seconds, MiB of the largest process, MiB of the file."""
    from brattice.adapters.print.sheets import sheets_pdf

    start = time.perf_counter()
    sheets = [dense_sheet(number) for number in range(count)]
    data = sheets_pdf(sheets, title="Made-up sheets", epoch=0, subject="made-up sheets")
    seconds = time.perf_counter() - start
    kinds = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    memory = max(resource.getrusage(kind).ru_maxrss for kind in kinds) / 1024
    print(json.dumps({"seconds": seconds, "mib": memory, "file_mib": len(data) / 2**20}))


def measured(count: int) -> dict[str, float]:
    """The numbers of a fresh process."""
    done = subprocess.run(
        [sys.executable, __file__, "--one", str(count)], check=True, capture_output=True, text=True, cwd=ROOT
    )
    return dict(json.loads(done.stdout))


def main() -> int:
    """Measure, write the section, say whether every bar was held."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bars", type=Path, default=ROOT / "bench" / "bars.toml")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "performance.md")
    parser.add_argument("--one", type=int)
    given = parser.parse_args()
    if given.one:
        one(given.one)
        return 0
    bar = tomllib.loads(given.bars.read_text("utf-8"))["sketches"]
    most = bar["sheets"]
    found = {}
    for count in (most // 4, most // 2, most):
        print(f"setting {count} sheets", file=sys.stderr)
        found[count] = measured(count)
    power = math.log(found[most]["seconds"] / found[most // 4]["seconds"]) / math.log(4)
    checks = [
        (f"{most} sheets: at most {bar['most_seconds']:g} s", found[most]["seconds"], bar["most_seconds"], " s"),
        (f"{most} sheets: at most {bar['most_mib']:g} MiB", found[most]["mib"], bar["most_mib"], " MiB"),
        (f"{most} sheets: a file of at most {bar['most_file_mib']:g} MiB", found[most]["file_mib"], bar["most_file_mib"], " MiB"),
        (f"{most} sheets: grows with at most sheets^{bar['most_power']:g}", power, bar["most_power"], ""),
    ]  # fmt: skip
    lines = [f"| {text} | {have:.2f}{unit} | {'yes' if have <= top else '**no**'} |" for text, have, top, unit in checks]
    rows = [f"| {n} | {m['seconds']:.1f} | {m['mib']:.0f} | {m['file_mib']:.1f} |" for n, m in found.items()]
    section = [
        _MARK,
        "",
        "Made-up A3 sheets, each with 600 lines, 60 hatched surfaces and about 170 texts: laid out, drawn and set as one",
        "tagged file. The memory is the peak of the largest process; the same machine with 2 processors.",
        "",
        "| bar | measured | held |",
        "| --- | --- | --- |",
        *lines,
        "",
        "| sheets | seconds | MiB | file [MiB] |",
        "| ---: | ---: | ---: | ---: |",
        *rows,
        "",
    ]
    before = given.out.read_text("utf-8").partition(_MARK)[0].rstrip() if given.out.exists() else "# Performance"
    given.out.write_text(f"{before}\n\n{chr(10).join(section)}", "utf-8")
    for text, have, top, unit in checks:
        print(f"{'held  ' if have <= top else 'MISSED'} {text}: {have:.2f}{unit}", file=sys.stderr)
    return 0 if all(have <= top for _, have, top, _ in checks) else 1


if __name__ == "__main__":
    sys.exit(main())
