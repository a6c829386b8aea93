# SPDX-License-Identifier: Apache-2.0
"""Pages for a browser on the same machine: server-made, behind a port, without any logic of the trade."""

from brattice.web.access import Access
from brattice.web.app import create_app
from brattice.web.office import Checked, Desk, JobCard, Office, PlanPart, RegisterRow, RunStep, RunView

__all__ = [
    "Access",
    "Checked",
    "Desk",
    "JobCard",
    "Office",
    "PlanPart",
    "RegisterRow",
    "RunStep",
    "RunView",
    "create_app",
]
