# SPDX-License-Identifier: Apache-2.0
"""A task that misbehaves on demand, so that the limits can be proven: it echoes, crashes, hangs, eats memory."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.errors import Fault, InputError

__all__ = ["selftest"]


def selftest(request: Json, folder: Path, say: Say) -> Reply:
    """Do what `request["act"]` says: echo, crash, crash-once, hang, hang-with-child, eat, fault, raise, chatter."""
    act = str(request["act"])
    say(f"selftest: {act}")
    if act == "crash":
        os.kill(os.getpid(), signal.SIGSEGV)
    if act == "crash-once":
        mark = Path(request["mark"])
        if not mark.exists():
            mark.write_text("died once", encoding="ascii")
            os.kill(os.getpid(), signal.SIGSEGV)
    if act == "hang-with-child":
        grandchild = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
        Path(request["mark"]).write_text(str(grandchild.pid), encoding="ascii")
    if act in {"hang", "hang-with-child"}:
        time.sleep(600)
    if act == "eat":
        np.ones(int(request["bytes"]) // 8)
    if act == "fault":
        raise InputError(Fault(str(request["file"]), "row 3", "a hole", "no hole"))
    if act == "raise":
        raise ZeroDivisionError("as asked")
    if act == "chatter":
        for _ in range(20_000):
            print("noise " * 20, file=sys.stderr)  # noqa: T201 - what a library would do
    return Reply({"echo": request.get("text", "")}, {"numbers": np.arange(3.0)})
