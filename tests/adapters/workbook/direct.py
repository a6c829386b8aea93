# SPDX-License-Identifier: Apache-2.0
"""Run the child's task in this process, so that a test of reading needs no process of its own."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.child import Reply
from brattice.adapters.workbook.task import read_task


def _run(task: str, request: Any, **_: object) -> Reply:
    assert task == "workbook.read"
    reply = read_task(json.loads(json.dumps(request)), Path(), lambda _: None)
    return Reply(json.loads(json.dumps(reply.value, allow_nan=False)))


@contextmanager
def in_this_process() -> Iterator[None]:
    """`read_workbook` without a child."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("brattice.adapters.workbook.reader.run_task", _run)
        yield
