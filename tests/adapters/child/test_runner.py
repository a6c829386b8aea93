# SPDX-License-Identifier: Apache-2.0
"""The child process: its data come back, its limits hold, its deaths are counted, its group is ended."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from brattice.adapters.child import Limits, run_task
from brattice.adapters.child.registry import TASKS, task_named
from brattice.adapters.child.runner import Outcome, memory_limit_note
from brattice.errors import Fault, InputError, OwnFault

QUICK = Limits(memory_bytes=2 * 1024**3, seconds=20.0)


def test_value_and_arrays_come_back() -> None:
    said: list[str] = []
    reply = run_task(
        "child.selftest", {"act": "echo", "text": "Größe \u202e\x00"}, subject="x", limits=QUICK, say=said.append
    )
    assert reply.value == {"echo": "Größe \u202e\x00"}
    assert np.array_equal(reply.arrays["numbers"], [0.0, 1.0, 2.0])
    assert said == ["selftest: echo"]


def test_faults_of_the_file_are_passed_on_and_not_retried() -> None:
    said: list[str] = []
    with pytest.raises(InputError) as caught:
        run_task("child.selftest", {"act": "fault", "file": "a.ifc"}, subject="a.ifc", limits=QUICK, say=said.append)
    assert caught.value.faults == (Fault("a.ifc", "row 3", "a hole", "no hole"),)
    assert len(said) == 1


def test_after_two_deaths_the_file_is_named() -> None:
    said: list[str] = []
    with pytest.raises(InputError) as caught:
        run_task("child.selftest", {"act": "crash"}, subject="bad.ifc", limits=QUICK, say=said.append)
    fault = caught.value.faults[0]
    assert (fault.file, fault.place) == ("bad.ifc", "")
    assert "tried twice" in fault.found
    assert "signal 11" in fault.found
    assert len(said) == 2


def test_one_death_is_forgiven(tmp_path: Path) -> None:
    request = {"act": "crash-once", "mark": str(tmp_path / "mark"), "text": "alive"}
    assert run_task("child.selftest", request, subject="x", limits=QUICK).value == {"echo": "alive"}


def test_the_time_limit_holds() -> None:
    limits = Limits(seconds=1.0, deaths=1)
    with pytest.raises(InputError, match="took longer than 1 s"):
        run_task("child.selftest", {"act": "hang"}, subject="slow.ifc", limits=limits)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="no /proc here to look for the process in")
def test_what_the_child_started_ends_with_it(tmp_path: Path) -> None:
    mark = tmp_path / "pid"
    with pytest.raises(InputError):
        run_task(
            "child.selftest",
            {"act": "hang-with-child", "mark": str(mark)},
            subject="x",
            limits=Limits(seconds=2.0, deaths=1),
        )
    pid = int(mark.read_text(encoding="ascii"))
    for _ in range(100):
        if not _is_running(pid):
            return
        time.sleep(0.05)
    os.kill(pid, 9)
    raise AssertionError("the grandchild outlived its group")


def _is_running(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state not in {"Z", "X"}


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only here is there a bound on the address space")
def test_the_memory_limit_holds() -> None:
    limits = Limits(memory_bytes=1024**3, seconds=20.0, deaths=1)
    with pytest.raises(InputError, match="needs more memory than 1 GiB"):
        run_task("child.selftest", {"act": "eat", "bytes": 4 * 1024**3}, subject="big.ifc", limits=limits)
    assert memory_limit_note() == ""


def test_an_error_of_the_reader_is_told_in_one_line() -> None:
    with pytest.raises(InputError) as caught:
        run_task("child.selftest", {"act": "raise"}, subject="x.ifc", limits=Limits(seconds=20.0, deaths=1))
    assert "ZeroDivisionError: as asked" in caught.value.faults[0].found
    assert "Traceback" not in str(caught.value)


def test_much_noise_does_no_harm() -> None:
    """A library that writes megabytes to stderr fills no pipe and no memory."""
    assert run_task("child.selftest", {"act": "chatter", "text": "done"}, subject="x", limits=QUICK).value == {
        "echo": "done"
    }


def test_only_tasks_on_the_list_run() -> None:
    with pytest.raises(OwnFault):
        run_task("os.system", {}, subject="x")
    with pytest.raises(OwnFault):
        task_named("os.system")


@pytest.mark.parametrize("name", TASKS)
def test_every_task_on_the_list_exists(name: str) -> None:
    assert callable(task_named(name))


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (Outcome(-6, timed_out=False, last_lines=("terminate called after throwing 'std::bad_alloc'",)), "memory"),
        (Outcome(-9, timed_out=True, last_lines=()), "longer than 300 s"),
        (Outcome(-9, timed_out=False, last_lines=()), "signal 9"),
        (Outcome(4, timed_out=False, last_lines=()), "ended with 4"),
    ],
)
def test_causes_in_words(outcome: Outcome, words: str) -> None:
    assert words in outcome.cause(Limits())
