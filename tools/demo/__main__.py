# SPDX-License-Identifier: Apache-2.0
"""`python -m tools.demo FOLDER`: write the demo job and its truth into a folder."""

from __future__ import annotations

import sys
from pathlib import Path

from tools.demo.faults import build
from tools.demo.job import write_job
from tools.demo.truth import expected_csv, places_csv


def main(folder: Path) -> None:
    """Write `FOLDER/job` and `FOLDER/truth`."""
    scene = build()
    write_job(scene, folder / "job")
    truth = folder / "truth"
    truth.mkdir(parents=True, exist_ok=True)
    (truth / "places.csv").write_text(places_csv(scene), encoding="utf-8", newline="")
    (truth / "findings.csv").write_text(expected_csv(scene), encoding="utf-8", newline="")
    print(f"{len(scene.layout.planned)} penetrations, {len(scene.faults)} planted faults: {folder}")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python -m tools.demo FOLDER")
    main(Path(sys.argv[1]))
