# SPDX-License-Identifier: Apache-2.0
"""Files come whole or not at all, a link or a pipe is never replaced, and a job folder has one run at a time."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from brattice.adapters.files import only_run_in, write_file
from brattice.errors import InputError

pytest.importorskip("fcntl")


def test_a_file_is_written_and_written_anew(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    write_file(target, b"one")
    write_file(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in tmp_path.iterdir()] == ["a.csv"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_bytes(b"old")
    (tmp_path / "link.csv").symlink_to("real.csv")
    write_file(tmp_path / "link.csv", b"new")
    assert (tmp_path / "link.csv").is_symlink()
    assert (tmp_path / "real.csv").read_bytes() == b"new"


def test_a_pipe_is_written_into_and_stays_a_pipe(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
    reader.start()
    write_file(pipe, b"data")
    reader.join(10.0)
    assert got == [b"data"]
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_what_is_in_the_way_stays_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(OSError, match="folder"):
        write_file(tmp_path / "folder", b"data")
    assert [path.name for path in tmp_path.iterdir()] == ["folder"]


def test_a_second_run_in_the_same_folder_is_told_to_wait_and_a_later_one_is_not(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom brattice.adapters.files import only_run_in\n"
        "with only_run_in(sys.argv[1]):\n    print('held', flush=True)\n    sys.stdin.read()\n"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdout is not None
    assert other.stdout.readline() == "held\n"
    with pytest.raises(InputError, match="another run"), only_run_in(tmp_path):
        pytest.fail("both hold the folder")
    other.kill()  # however the other ends, nothing is left that would keep the folder
    other.communicate()
    with only_run_in(tmp_path):
        assert list(tmp_path.iterdir()) == []
