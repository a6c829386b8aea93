# SPDX-License-Identifier: Apache-2.0
"""The program `brattice serve` as it is started and ended, and a check that is cut off."""

import re
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from threading import Event

import pytest

from brattice.cli import office as office_module
from brattice.cli.office import FolderDesk
from brattice.cli.run import JudgedJob
from brattice.web import RunStep


@contextmanager
def program(*words: str, cwd: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The program, and the link that it printed."""
    command = [sys.executable, "-c", "from brattice.cli.main import run; run()", "serve", "--no-browser", *words]
    child = subprocess.Popen(command, cwd=cwd, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert child.stdout is not None
        text = child.stdout.readline() + child.stdout.readline()
        found = re.search(r"http://\S+", text)
        assert found is not None, text
        yield child, found.group(0)
    finally:
        child.kill()
        child.communicate()


@pytest.mark.skipif(sys.platform == "win32", reason="signals as POSIX has them")
@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 0), (signal.SIGTERM, 143)])
def test_it_answers_on_loopback_and_ends_tidily(tmp_path: Path, number: signal.Signals, code: int) -> None:
    with program(cwd=tmp_path) as (child, link):
        assert link.startswith("http://127.0.0.1:")
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with opener.open(link) as answer:
            assert answer.url.endswith("/")
            assert "Drop your schedule here" in answer.read().decode()
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(link.partition("/enter")[0])
        child.send_signal(number)
        _, told = child.communicate(timeout=30)
        assert child.returncode == code
        assert "Traceback" not in told
    assert list(tmp_path.iterdir()) == []  # looking makes nothing


def test_a_port_that_is_taken_is_named_when_it_was_asked_for(tmp_path: Path) -> None:
    from brattice.cli.main import main

    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        assert main(["serve", "--folder", str(tmp_path), "--port", str(other.getsockname()[1])]) == 3


def test_a_check_that_is_cut_off_ends_at_its_next_step_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = Event()

    def endless(job: Path, say: Callable[[str], None], *, workers: int = 2, as_of: date | None = None) -> JudgedJob:
        while True:
            say("reading")
            begun.set()

    monkeypatch.setattr(office_module, "judge_folder", endless)
    desk = FolderDesk(tmp_path, "job")
    assert desk.check().step is RunStep.RUNNING
    begun.wait(10)
    assert desk.check().number == 1  # one at a time
    desk.close()
    assert desk.run().step is RunStep.STOPPED
    assert desk.checked() is None
    assert list(tmp_path.iterdir()) == []


def test_what_breaks_in_a_check_is_said_and_the_next_check_can_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object, **__: object) -> JudgedJob:
        raise ZeroDivisionError("of ours")

    monkeypatch.setattr(office_module, "judge_folder", broken)
    desk = FolderDesk(tmp_path, "job")
    for number in (1, 2):
        desk.check()
        desk.wait()
        run = desk.run()
        assert (run.number, run.step, run.own_fault) == (number, RunStep.STOPPED, "ZeroDivisionError: of ours")
    assert "Traceback" not in capsys.readouterr().err
