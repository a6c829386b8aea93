# SPDX-License-Identifier: Apache-2.0
"""What Windows and macOS lack is taken away here: the program still works, and says which of its bounds are off.

This is no test on those platforms; it shows that nothing of ours needs what they don't have.
"""

import json
import os
import subprocess
import sys
import tempfile
import types
from pathlib import Path

import pytest

from brattice.adapters.child import memory_limit_note
from brattice.adapters.files import only_run_in
from brattice.errors import InputError

BARE = """\
import errno, os, signal, sys
for name in ("resource", "fcntl", "termios", "pwd", "grp"):
    sys.modules[name] = None
for home, names in (
    (os, ("killpg", "setsid", "getpgid", "getppid", "fork", "forkpty", "chown", "getuid", "geteuid", "link")),
    (signal, ("SIGHUP", "setitimer", "ITIMER_REAL", "alarm", "SIGUSR1")),
    (errno, ("EDQUOT",)),
):
    for name in names:
        if hasattr(home, name):
            delattr(home, name)
"""
"""Run by every Python of the test before anything else: these modules and calls exist on POSIX systems alone."""

TOML = """\
schema = 1
name = "Invented Tower"
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2026"
as_of = 2026-11-02
purpose = "non-residential"
schedules = ["schedule/fd.csv"]
invented = true
"""


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The program in an interpreter that lacks all of it, its children too."""
    bare = folder / "bare"
    bare.mkdir(exist_ok=True)
    (bare / "sitecustomize.py").write_text(BARE, "utf-8")
    paths = [str(bare), *filter(None, [os.environ.get("PYTHONPATH")])]
    return subprocess.run(
        [sys.executable, "-m", "brattice.cli", *arguments],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    (folder / "schedule").mkdir(parents=True)
    (folder / "brattice.toml").write_text(TOML, "utf-8")
    rows = "Damper ref,Level,Duct size,Damper class,Actuation\nFD-01,L01,600x400,E 120,fusible link\n"
    (folder / "schedule" / "fd.csv").write_text(rows, "utf-8")
    return folder


def test_a_job_is_checked_without_anything_that_posix_systems_alone_have(job: Path, tmp_path: Path) -> None:
    mapping = job / "schedule" / "fd.mapping.toml"
    assert run(tmp_path, "mapping", str(job / "schedule" / "fd.csv"), "-o", str(mapping)).returncode in {0, 1}
    for again in range(2):
        done = run(tmp_path, "check", str(job))
        assert done.returncode == 1, done.stderr
        assert "Traceback" not in done.stderr
        assert done.stderr.count("no bound on a process's memory") == 1, again  # said once, and said
    told = json.loads((job / "out" / "findings.json").read_text("utf-8"))
    assert len(told["penetrations"]) == 1


def test_what_is_not_there_is_not_there(tmp_path: Path) -> None:
    """The test above would prove nothing if the interpreter still had it."""
    bare = tmp_path / "bare"
    bare.mkdir()
    (bare / "sitecustomize.py").write_text(BARE, "utf-8")
    code = "import os, signal; print(hasattr(os, 'killpg'), hasattr(signal, 'setitimer')); import resource"
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": str(bare)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout == "False False\n"
    assert "ModuleNotFoundError" in done.stderr


def test_the_memory_bound_is_said_to_be_off_where_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    assert memory_limit_note() == ""
    monkeypatch.setitem(sys.modules, "resource", None)
    assert "only the time limit holds" in memory_limit_note()
    monkeypatch.undo()
    for platform in ("win32", "darwin"):
        monkeypatch.setattr(sys, "platform", platform)
        assert "only the time limit holds" in memory_limit_note()
        monkeypatch.undo()


class Locks(types.ModuleType):
    """Locks of bytes in files as Windows has them: held by an open handle, refused to any other."""

    LK_NBLCK = 2

    def __init__(self) -> None:
        super().__init__("msvcrt")
        self.held: dict[int, int] = {}

    def locking(self, handle: int, mode: int, count: int) -> None:
        assert (mode, count) == (self.LK_NBLCK, 1)
        self.held.pop(handle, None)  # a handle that is new holds nothing, whoever had its number before
        inode = os.fstat(handle).st_ino
        for other in list(self.held):
            try:
                os.fstat(other)
            except OSError:
                del self.held[other]
        if inode in self.held.values():
            raise OSError("the region is locked")
        self.held[handle] = inode


def test_one_run_at_a_time_by_the_locks_of_windows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.setitem(sys.modules, "msvcrt", Locks())
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(tmp_path))
    job, other = tmp_path / "job", tmp_path / "other"
    job.mkdir()
    with only_run_in(job):
        with only_run_in(other):
            pass  # another job is another lock
        with pytest.raises(InputError, match="another run"), only_run_in(job):
            pytest.fail("both hold the folder")
    with only_run_in(job):
        assert list(job.iterdir()) == []  # nothing of it lies in the job


def test_without_any_lock_a_run_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.setitem(sys.modules, "msvcrt", None)
    with only_run_in(tmp_path), only_run_in(tmp_path):
        pass
