# SPDX-License-Identifier: Apache-2.0
"""Write the demo.

python -m tools.demo FOLDER         the job and its truth, into a folder
python -m tools.demo --page FILE    the page of the docs
"""

from __future__ import annotations

import sys
from pathlib import Path

from tools.demo.faults import Scenario, build
from tools.demo.job import write_job
from tools.demo.page import page
from tools.demo.truth import expected_csv, places_csv


def write_demo(scene: Scenario, folder: Path) -> None:
    """Write `FOLDER/job` and `FOLDER/truth`."""
    write_job(scene, folder / "job")
    truth = folder / "truth"
    truth.mkdir(parents=True, exist_ok=True)
    (truth / "places.csv").write_text(places_csv(scene), encoding="utf-8", newline="")
    (truth / "findings.csv").write_text(expected_csv(scene), encoding="utf-8", newline="")


def main(arguments: list[str]) -> None:
    """Write what is asked."""
    scene = build()
    if len(arguments) == 2 and arguments[0] == "--page":
        Path(arguments[1]).write_text(page(scene), encoding="utf-8", newline="")
    elif len(arguments) == 1 and not arguments[0].startswith("-"):
        write_demo(scene, Path(arguments[0]))
        print(f"{len(scene.layout.planned)} penetrations, {len(scene.faults)} planted faults: {arguments[0]}")
    else:
        sys.exit(__doc__)


if __name__ == "__main__":
    main(sys.argv[1:])
