# SPDX-License-Identifier: Apache-2.0
"""Write the second demo.

python -m tools.messy FOLDER                       the job, its revision B and its truth, into a folder
python -m tools.messy --returned JOB PARTY FILE    the queries of a party, answered
python -m tools.messy --page FILE                  the page of the docs
"""

from __future__ import annotations

import sys
from pathlib import Path

from tools.messy.faults import Schedule, build
from tools.messy.job import write_job
from tools.messy.page import page
from tools.messy.returned import write_returned
from tools.messy.revision import revision_b
from tools.messy.sheet import FILE, workbook
from tools.messy.truth import changes_csv, findings_csv, values_csv


def write_demo(plan: Schedule, folder: Path) -> None:
    """Write `FOLDER/job`, `FOLDER/revision-b` and `FOLDER/truth`."""
    placed = write_job(plan, folder / "job")
    later = revision_b(plan)
    (folder / "revision-b").mkdir(parents=True, exist_ok=True)
    (folder / "revision-b" / FILE).write_bytes(workbook(later.rows, "B")[0])
    truth = folder / "truth"
    truth.mkdir(parents=True, exist_ok=True)
    tables = {
        "values.csv": values_csv(placed),
        "findings.csv": findings_csv(plan, placed),
        "revision-b.csv": changes_csv(later.changes),
    }
    for name, text in tables.items():
        (truth / name).write_text(text, encoding="utf-8", newline="")


def main(arguments: list[str]) -> None:
    """Write what is asked."""
    if len(arguments) == 4 and arguments[0] == "--returned":
        count = write_returned(Path(arguments[1]), arguments[2], Path(arguments[3]))
        print(f"{count} queries answered: {arguments[3]}")
        return
    plan = build()
    if len(arguments) == 2 and arguments[0] == "--page":
        Path(arguments[1]).write_text(page(plan), encoding="utf-8", newline="")
    elif len(arguments) == 1 and not arguments[0].startswith("-"):
        write_demo(plan, Path(arguments[0]))
        print(f"{len(plan.rows)} rows, {len(plan.faults)} planted faults: {arguments[0]}")
    else:
        sys.exit(__doc__)


if __name__ == "__main__":
    main(sys.argv[1:])
