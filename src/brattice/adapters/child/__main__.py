# SPDX-License-Identifier: Apache-2.0
"""The child's own side: `python -m brattice.adapters.child TASK FOLDER PARENT`.

The limits are set before anything heavy is imported. Memory is bounded by the address space where the
platform has such a bound (not on Windows, not on macOS: there only the time limit holds); time is bounded by
the parent; should the parent be gone, the child ends with it (Linux) or by an alarm of its own.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import traceback
from pathlib import Path


def _end_with_parent(parent: int) -> None:
    """End this child when its parent is gone, however that ended (Linux; elsewhere the alarm alone ends it)."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    ctypes.CDLL(None).prctl(1, signal.SIGKILL)  # PR_SET_PDEATHSIG
    if os.getppid() != parent:  # it was gone before the wish was known
        os._exit(1)


def _set_limits(memory_bytes: int | None, seconds: float) -> None:
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if memory_bytes is not None and sys.platform.startswith("linux"):
        resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, seconds + 5.0)


def main(arguments: list[str]) -> int:
    """Do one task in one folder; the exit code says how it went (see `wire`)."""
    gc.disable()  # a short life with many small things: looking for rings among them costs a fifth of it
    task_name, folder = arguments[0], Path(arguments[1])
    from brattice.adapters.child import wire

    _end_with_parent(int(arguments[2]))
    body = wire.read_request(folder)
    _set_limits(body["memory_bytes"], float(body["seconds"]))

    from brattice.adapters.child.registry import task_named
    from brattice.errors import InputError

    def say(text: str) -> None:
        print(f"{wire.PROGRESS_MARK}{text}", file=sys.stderr, flush=True)  # noqa: T201 - the line to the parent

    try:
        reply = task_named(task_name)(body["request"], folder, say)
        wire.write_result(folder, reply)
    except InputError as error:
        wire.write_faults(folder, error.faults)
        return wire.EXIT_FAULTS
    except MemoryError:
        return wire.EXIT_MEMORY
    except Exception:  # whatever it was, the parent must hear of it as a death with a reason
        traceback.print_exc()
        return wire.EXIT_OWN
    return wire.EXIT_DONE


if __name__ == "__main__":
    code = main(sys.argv[1:])
    sys.stderr.flush()
    os._exit(code)  # native libraries that crash while they unload don't get the chance
