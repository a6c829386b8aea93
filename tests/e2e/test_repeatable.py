# SPDX-License-Identifier: Apache-2.0
"""The same input gives the same bytes: two folders, two hash seeds, one worker and two, in processes of their own."""

import os
import subprocess
import sys
from pathlib import Path

from tests.helpers.jobs import small_job
from tests.helpers.outputs import files_of


def run(folder: Path, seed: str, workers: str) -> dict[str, bytes]:
    done = subprocess.run(
        [sys.executable, "-c", "from brattice.cli.main import run; run()", "check", str(folder), "--workers", workers],
        env={**os.environ, "PYTHONHASHSEED": seed, "SOURCE_DATE_EPOCH": "1790000000", "TZ": "Asia/Tokyo"},
        cwd=folder.parent,
        capture_output=True,
        check=False,
    )
    assert done.returncode in {0, 1}, done.stderr.decode()
    return files_of(folder / "out")


def test_hash_seed_folder_workers_and_time_zone_change_nothing(tmp_path: Path) -> None:
    first = run(small_job(tmp_path / "a" / "job"), "1", "1")
    other = run(small_job(tmp_path / "a longer name" / "deeper" / "job"), "4242", "2")
    assert first.keys() == other.keys()
    for name in first:
        assert first[name] == other[name], name
