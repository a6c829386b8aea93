# SPDX-License-Identifier: Apache-2.0
"""The root of all errors, and the fault: what is wrong with a file, where, and what to do.

    BratticeError
    ├── InputError     what came from outside can't be used; carries every fault at once   exit 3
    │   └── ClassTextError   a class text that can't be read, with the place of the fault
    ├── UsageError     the command was called wrongly                                      exit 64
    └── OwnFault       a law of the house is broken: our bug                               exit 4

A finding about the building is never an exception; it is a record (see `findings`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["BratticeError", "ClassTextError", "Fault", "InputError", "OwnFault", "UsageError"]


@dataclass(frozen=True, order=True)
class Fault:
    """One thing that is wrong with something from outside.

    `file` is the path as the user gave it, `place` the sheet, row, column, key or element in it ("" for the
    whole file), `found` what stands there, `expected` what should stand there or what to do.
    """

    file: str
    place: str
    found: str
    expected: str

    def __str__(self) -> str:
        where = f"{self.file}: {self.place}" if self.place else self.file
        return f"{where}: found {self.found}; expected {self.expected}"


class BratticeError(Exception):
    """The root: anything this program raises on purpose."""


class InputError(BratticeError, ValueError):
    """Something from outside can't be used; `faults` holds all that was found wrong, sorted."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        given = (faults,) if isinstance(faults, Fault) else tuple(faults)
        self.faults: tuple[Fault, ...] = tuple(sorted(given))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class ClassTextError(InputError):
    """A fire class text that can't be read; `position` counts characters from 0."""

    def __init__(self, text: str, position: int, expected: str) -> None:
        self.text = text
        self.position = position
        self.expected = expected
        found = repr(text[position : position + 12]) if position < len(text) else "the end of the text"
        super().__init__(Fault(f"class text {text!r}", f"character {position + 1}", found, expected))


class UsageError(BratticeError):
    """A command was called with words it does not take."""


class OwnFault(BratticeError, RuntimeError):
    """Our own bug: a law of the house did not hold."""
