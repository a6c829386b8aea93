# SPDX-License-Identifier: Apache-2.0
"""Run one task in a child process of ours: own session, no shell, limits, killed as a group, data back.

Opening a file from outside can crash, hang or leak, so it happens in a child. A child that dies (a signal, its
memory or time limit, an error of its own) is started once more; after two deaths the file is named as
unreadable. What the child says about the file itself (`InputError`) is passed on as it is and not retried.
"""

from __future__ import annotations

import contextlib
import importlib.util
import os
import signal
import subprocess
import sys
import tempfile
import threading
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from brattice.adapters.child import wire
from brattice.adapters.child.registry import TASKS
from brattice.adapters.child.wire import Json, Reply
from brattice.errors import Fault, InputError, OwnFault

__all__ = ["Children", "Limits", "Outcome", "memory_limit_note", "run_task"]

_LINES_KEPT = 40
_LINE_LENGTH = 400


@dataclass(frozen=True)
class Limits:
    """How much a child may take: address space [bytes] (None: no bound) and time [s], and how often it may die."""

    memory_bytes: int | None = 4 * 1024**3
    seconds: float = 300.0
    deaths: int = 2


@dataclass(frozen=True)
class Outcome:
    """How one child ended: its exit code, whether its time ran out, the last lines it wrote."""

    code: int
    timed_out: bool
    last_lines: tuple[str, ...]

    def cause(self, limits: Limits) -> str:
        """Why the child died, in words for people."""
        if self.timed_out:
            return f"it took longer than {limits.seconds:g} s"
        if self.code == wire.EXIT_MEMORY or any(
            "bad_alloc" in line or "MemoryError" in line for line in self.last_lines
        ):
            gib = (limits.memory_bytes or 0) / 1024**3
            return f"it needs more memory than {gib:g} GiB"
        if self.code < 0:
            return f"the reading process crashed (signal {-self.code})"
        last = self.last_lines[-1].strip() if self.last_lines else ""
        return f"the reading process failed ({last[:160]})" if last else f"the reading process ended with {self.code}"


class Children:
    """The children of one piece of work that runs in several threads, so that all of them can be ended at once."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._running: set[subprocess.Popen[bytes]] = set()
        self._stopped = False

    @contextlib.contextmanager
    def hold(self, child: subprocess.Popen[bytes]) -> Iterator[None]:
        """Count a child among the running ones; one that comes too late is ended at once."""
        with self._lock:
            self._running.add(child)
            if self._stopped:
                _kill_group(child)
        try:
            yield
        finally:
            with self._lock:
                self._running.discard(child)

    @property
    def stopped(self) -> bool:
        """Whether `stop` was called: then nothing is started any more."""
        return self._stopped

    def stop(self) -> None:
        """End every running child, and let no other start."""
        with self._lock:
            self._stopped = True
            for child in self._running:
                _kill_group(child)


def memory_limit_note() -> str:
    """What to tell the user about the memory limit on this platform ("" where it holds)."""
    if sys.platform.startswith("linux") and importlib.util.find_spec("resource") is not None:
        return ""
    return "this platform has no bound on a process's memory: only the time limit holds"


def run_task(
    task: str,
    request: Json,
    *,
    subject: str,
    limits: Limits | None = None,
    say: Callable[[str], None] | None = None,
    children: Children | None = None,
) -> Reply:
    """Run a task on the closed list in a child and give what it found.

    Parameters
    ----------
    task : its name on the list
    request : a JSON value for it
    subject : the file (or what else) to name when it can't be read
    limits : memory, time and the number of deaths after which we give up
    say : gets each line of progress
    children : those of the same piece of work; when they are stopped, this one ends too

    Raises
    ------
    InputError : the file has faults, or the child died as often as it may
    """
    if task not in TASKS:
        raise OwnFault(f"no child task {task!r}")
    limits = limits or Limits()
    children = children or Children()
    outcome = Outcome(0, timed_out=False, last_lines=())
    for _ in range(limits.deaths):
        with tempfile.TemporaryDirectory(prefix="brattice-") as name:
            folder = Path(name)
            wire.write_request(folder, task, request, limits.memory_bytes, limits.seconds)
            outcome = _run_once(task, folder, limits, say, children)
            if outcome.code == wire.EXIT_DONE and not outcome.timed_out:
                return wire.read_result(folder)
            if outcome.code == wire.EXIT_FAULTS and not outcome.timed_out:
                raise InputError(wire.faults_from(folder))
            if children.stopped:
                break
    tries = "twice" if limits.deaths == 2 else f"{limits.deaths} times"
    raise InputError(
        Fault(subject, "", f"a file that can't be read: tried {tries}, {outcome.cause(limits)}", "a file that opens")
    )


def _run_once(
    task: str, folder: Path, limits: Limits, say: Callable[[str], None] | None, children: Children
) -> Outcome:
    command = [sys.executable, "-P", "-m", "brattice.adapters.child", task, str(folder), str(os.getpid())]
    child = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        env=_environment(),
        start_new_session=True,
        close_fds=True,
    )
    kept: deque[str] = deque(maxlen=_LINES_KEPT)
    assert child.stderr is not None
    listener = threading.Thread(target=_listen, args=(child.stderr, kept, say), daemon=True)
    listener.start()
    timed_out = False
    try:
        with children.hold(child), contextlib.suppress(subprocess.TimeoutExpired):
            timed_out = True
            child.wait(limits.seconds)
            timed_out = False
    finally:
        _kill_group(child)
        code = child.wait()
        listener.join(5.0)
        child.stderr.close()
    return Outcome(code, timed_out, tuple(kept))


def _environment() -> dict[str, str]:
    """A child's surroundings: what Python needs to find itself, one thread for the number libraries.

    A workbook is looked through for document types and entities before any library reads it (`check_bounds` refuses
    both), so that the library may take the quick parser, which is several times as fast.
    """
    kept = ("PATH", "PYTHONPATH", "LANG", "LC_ALL", "SYSTEMROOT", "TEMP", "TMP", "TMPDIR", "LD_LIBRARY_PATH")
    chosen = {name: os.environ[name] for name in kept if name in os.environ}
    return {
        **chosen,
        "PYTHONHASHSEED": "0",
        "PYTHONIOENCODING": "utf-8:backslashreplace",
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "OPENPYXL_DEFUSEDXML": "False",
    }


def _kill_group(child: subprocess.Popen[bytes]) -> None:
    """End the child and whatever it started; the group is the child's own session."""
    if hasattr(os, "killpg"):
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(child.pid, signal.SIGKILL)
    elif child.poll() is None:
        child.kill()


def _listen(stream: IO[bytes], kept: deque[str], say: Callable[[str], None] | None) -> None:
    for raw in _lines(stream):
        line = raw.decode("utf-8", "backslashreplace").rstrip("\r\n")
        if line.startswith(wire.PROGRESS_MARK):
            if say is not None:
                say(_printable(line[len(wire.PROGRESS_MARK) :]))
        elif line.strip():
            kept.append(_printable(line[:_LINE_LENGTH]))


def _lines(stream: IO[bytes]) -> Iterator[bytes]:
    with contextlib.suppress(ValueError, OSError):
        while True:
            line = stream.readline(65536)
            if not line:
                return
            yield line


def _printable(text: str) -> str:
    """The text without control characters and direction marks: it goes to a terminal."""
    return "".join(char if char.isprintable() else "\N{REPLACEMENT CHARACTER}" for char in text)
