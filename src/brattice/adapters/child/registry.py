# SPDX-License-Identifier: Apache-2.0
"""The closed list of what a child may be asked to do: task name → module and function.

A task is a function `(request: Json, folder: Path, say: Say) -> Reply`. It may raise `InputError`; anything
else counts as a death of the child. `say` sends a line of progress to whoever waits.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias, cast

from brattice.adapters.child.wire import Json, Reply
from brattice.errors import OwnFault

__all__ = ["TASKS", "Say", "Task", "task_named"]

Say: TypeAlias = Callable[[str], None]
Task: TypeAlias = Callable[[Json, Path, Say], Reply]

TASKS: dict[str, tuple[str, str]] = {
    "ifc.read": ("brattice.adapters.ifc.read_task", "read_model"),
    "ifc.collide": ("brattice.adapters.ifc.collide_task", "collide_models"),
    "ifc.around": ("brattice.adapters.ifc.around_task", "bodies_around"),
    "workbook.read": ("brattice.adapters.workbook.task", "read_task"),
    "workbook.add": ("brattice.adapters.workbook.copies", "add_task"),
    "workbook.write": ("brattice.adapters.workbook.beside", "write_task"),
    "print.typeset": ("brattice.adapters.print.typeset", "typeset_task"),
    "print.underlay": ("brattice.adapters.print.underlay", "underlay_task"),
    "child.selftest": ("brattice.adapters.child.selftest", "selftest"),
}


def task_named(name: str) -> Task:
    """The function of a task; a name that is not on the list is our own fault."""
    if name not in TASKS:
        raise OwnFault(f"no child task {name!r}; there are {sorted(TASKS)}")
    module, function = TASKS[name]
    return cast("Task", getattr(importlib.import_module(module), function))
