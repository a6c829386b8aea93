# SPDX-License-Identifier: Apache-2.0
"""The child task `workbook.read`: one workbook as plain data."""

from __future__ import annotations

from pathlib import Path

from brattice.adapters.child.registry import Say
from brattice.adapters.child.wire import Json, Reply
from brattice.adapters.workbook.model import Limits
from brattice.adapters.workbook.parse import as_json, parse_workbook

__all__ = ["read_task"]


def read_task(request: Json, folder: Path, say: Say) -> Reply:
    """Read the workbook at `request["path"]`, called `request["file"]`, within `request["limits"]`."""
    book = parse_workbook(str(request["path"]), str(request["file"]), Limits(**request["limits"]))
    return Reply(as_json(book))
