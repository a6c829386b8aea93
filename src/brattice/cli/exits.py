# SPDX-License-Identifier: Apache-2.0
"""Exit codes of all commands, and the one place where an error becomes a message and a code.

| code | meaning |
| ---: | --- |
| 0 | done, nothing open; satisfied |
| 1 | done, something open; not satisfied |
| 2 | needs evidence (`brattice class` only) |
| 3 | the input can't be read |
| 4 | our own fault |
| 64 | the command was called wrongly |

Others come from the shell's own custom: 130 when the user stops the program, 143 or 129 when it is told to end or its
terminal is closed, 141 when the reader of its output went away. Messages go to stderr; stdout carries data alone.
Nothing from outside reaches a terminal unescaped.
"""

from __future__ import annotations

import errno
import os
import signal
import sys
import traceback
import unicodedata
from collections.abc import Callable
from enum import IntEnum
from typing import TextIO

from brattice.errors import ClassTextError, InputError, UsageError

__all__ = ["ExitCode", "Stopped", "code_of", "end_tidily", "guarded", "message_of", "plain"]

_READER_GONE = 141
_REFUSED = frozenset({errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EPERM} | {getattr(errno, "EDQUOT", errno.ENOSPC)})
"""What a disk or a folder refuses: no fault of ours."""

_BY_SIGNAL = 128
_STOPPED = 130
_SHOWN_BEFORE = 60
_SHOWN_AFTER = 20


class Stopped(BaseException):
    """The program was told to end, by a signal other than the user's own; nothing but `guarded` catches it."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


def end_tidily() -> None:
    """Take a request to end as the user's own: what is begun is undone, children end, the old output stays."""

    def stop(number: int, _frame: object) -> None:
        raise Stopped(number)

    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:  # one that is ignored stays so
            signal.signal(number, stop)


class ExitCode(IntEnum):
    """What a command ends with."""

    DONE = 0
    OPEN = 1
    NEEDS_EVIDENCE = 2
    UNREADABLE = 3
    OWN_FAULT = 4
    WRONG_USAGE = 64


def code_of(error: BaseException) -> ExitCode:
    """The exit code of an error; whatever is not ours on purpose is our own fault."""
    if isinstance(error, InputError):
        return ExitCode.UNREADABLE
    if isinstance(error, UsageError):
        return ExitCode.WRONG_USAGE
    return ExitCode.OWN_FAULT


def plain(text: str) -> str:
    """A text from outside for a terminal, on one line: what is not printable, a line break too, is an escape."""
    return "".join(
        char if char.isprintable() and unicodedata.category(char) != "Cf" else ascii(char)[1:-1] for char in text
    )


def message_of(error: BaseException) -> str:
    """What people are told about an error: what is wrong, where, what to do."""
    if isinstance(error, ClassTextError):
        return f"this class text can't be read:\n{_with_caret(error)}\nexpected {plain(error.expected)}"
    if isinstance(error, InputError):
        head = "the input can't be read:" if len(error.faults) == 1 else f"{len(error.faults)} faults in the input:"
        return "\n".join([head, *(f"  {plain(str(fault))}" for fault in error.faults)])
    if isinstance(error, UsageError):
        return plain(str(error))
    return (
        f"this is our own fault, nothing was judged: {type(error).__name__}: {plain(str(error))}\n"
        "Set BRATTICE_DEBUG=1 and run it again to see where."
    )


def guarded(work: Callable[[], object], stderr: TextIO | None = None) -> int:
    """Run `work` and give the exit code: its own when it returns a number, 0 when it returns nothing.

    Every error becomes a message on stderr and a code; a traceback is shown only where BRATTICE_DEBUG=1 stands
    in the environment.
    """
    out = sys.stderr if stderr is None else stderr
    try:
        answer = work()
        if sys.stdout is not None:  # it is None where the program was started with stdout closed
            sys.stdout.flush()
    except Stopped as stop:
        return _BY_SIGNAL + stop.number
    except KeyboardInterrupt:
        return _STOPPED
    except BrokenPipeError:
        _leave_closed_stdout()
        return _READER_GONE
    except OSError as error:
        if error.errno not in _REFUSED:
            return _told(error, out)
        where = f" ({error.filename})" if error.filename else ""
        print(f"brattice: the system refused it: {plain(f'{error.strerror}{where}')}", file=out)
        return int(ExitCode.UNREADABLE)
    except Exception as error:
        return _told(error, out)
    return int(answer) if isinstance(answer, int) else int(ExitCode.DONE)


def _told(error: Exception, out: TextIO) -> int:
    """Say what is wrong, and give the code."""
    if code_of(error) is ExitCode.OWN_FAULT and os.environ.get("BRATTICE_DEBUG") == "1":
        traceback.print_exception(error, file=out)
    print(f"brattice: {message_of(error)}", file=out)
    return int(code_of(error))


def _leave_closed_stdout() -> None:
    """Point stdout at nothing, so that the interpreter's last flush does not fail once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _columns(text: str) -> int:
    """How many columns a text takes on a terminal."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def _with_caret(error: ClassTextError) -> str:
    """The class text (near the place of the fault, when it is long) and a caret under the place."""
    start = max(0, error.position - _SHOWN_BEFORE)
    before, after = error.text[start : error.position], error.text[error.position :][:_SHOWN_AFTER]
    lead = "… " if start else ""
    trail = " …" if error.position + _SHOWN_AFTER < len(error.text) else ""
    before, after = (plain(part) for part in (before, after))
    return f"  {lead}{before}{after}{trail}\n  {' ' * _columns(lead + before)}^"
