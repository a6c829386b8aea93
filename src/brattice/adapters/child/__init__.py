# SPDX-License-Identifier: Apache-2.0
"""Child processes of ours: whatever can crash, hang or leak while it reads a file from outside runs in one."""

from brattice.adapters.child.runner import Children, Limits, Outcome, memory_limit_note, run_task
from brattice.adapters.child.wire import Arrays, Json, Reply

__all__ = ["Arrays", "Children", "Json", "Limits", "Outcome", "Reply", "memory_limit_note", "run_task"]
