# SPDX-License-Identifier: Apache-2.0
"""However a run is ended, no child outlives it, nothing half-written is left and the old output stays."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from brattice.adapters.child import Children, Limits, run_task
from brattice.errors import InputError

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="signals and /proc as Linux has them")

_HANGS = """import signal, sys
# a test run in the background passes on that it ignores these; here they have to arrive
signal.signal(signal.SIGINT, signal.default_int_handler)
signal.signal(signal.SIGHUP, signal.SIG_DFL)
from brattice.adapters.child import run_task
from brattice.adapters.project import output_folder
from brattice.cli.main import app, run

@app.command("hangs")
def hangs(job: str, mark: str) -> None:
    with output_folder(job + "/out", version="0") as out:
        out.write("half.txt", b"half")
        run_task("child.selftest", {"act": "hang-with-child", "mark": mark}, subject="x")

sys.argv = ["brattice", "hangs", *sys.argv[1:]]
run()
"""


def _until(told: Callable[[], object], seconds: float = 30.0) -> None:
    end = time.monotonic() + seconds
    while not told():
        assert time.monotonic() < end, "it did not come to that"
        time.sleep(0.02)


def _runs(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def _parent(pid: int) -> int:
    return int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])


class _Hanging:
    """A run that hangs in a child (which has a child of its own) while it writes a new output folder."""

    def __init__(self, tmp_path: Path) -> None:
        self.job, mark, self.temporary = tmp_path / "job", tmp_path / "mark", tmp_path / "temporary"
        (self.job / "out").mkdir(parents=True)
        (self.job / "out" / "old.txt").write_text("old")
        self.temporary.mkdir()
        environment = {**os.environ, "TMPDIR": str(self.temporary)}
        self.run = subprocess.Popen(
            [sys.executable, "-c", _HANGS, str(self.job), str(mark)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment,
        )
        _until(lambda: mark.exists() and mark.read_text())
        self.grandchild = int(mark.read_text())
        self.child = _parent(self.grandchild)

    def end(self, number: int) -> tuple[int, bytes]:
        """Send a signal; the exit code and what was said on stderr."""
        self.run.send_signal(number)
        _, said = self.run.communicate(timeout=30.0)
        return self.run.returncode, said


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)], ids=str
)
def test_a_run_that_is_told_to_end_takes_its_children_along_and_leaves_the_old_output(
    tmp_path: Path, number: int, code: int
) -> None:
    hanging = _Hanging(tmp_path)
    assert hanging.end(number) == (code, b"")
    _until(lambda: not _runs(hanging.child) and not _runs(hanging.grandchild))
    assert sorted(path.relative_to(hanging.job).as_posix() for path in hanging.job.rglob("*")) == ["out", "out/old.txt"]
    assert list(hanging.temporary.iterdir()) == []


def test_the_child_of_a_run_that_is_killed_ends_too(tmp_path: Path) -> None:
    hanging = _Hanging(tmp_path)
    try:
        hanging.end(signal.SIGKILL)
        _until(lambda: not _runs(hanging.child))
        assert (hanging.job / "out" / "old.txt").read_text() == "old"
    finally:
        os.kill(hanging.grandchild, signal.SIGKILL)


def test_a_signal_that_the_user_had_ignored_stays_ignored(tmp_path: Path) -> None:
    code = (
        "import signal\nsignal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from brattice.cli.exits import end_tidily\nend_tidily()\n"
        "print(signal.getsignal(signal.SIGHUP) is signal.SIG_IGN, callable(signal.getsignal(signal.SIGTERM)))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "True True\n"


def test_children_that_are_stopped_end_at_once_and_are_not_started_again() -> None:
    children, said = Children(), list[str]()

    def say(text: str) -> None:
        said.append(text)
        children.stop()

    with pytest.raises(InputError):
        run_task(
            "child.selftest", {"act": "hang"}, subject="x", limits=Limits(seconds=60.0), say=say, children=children
        )
    assert said == ["selftest: hang"]
