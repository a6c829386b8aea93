# SPDX-License-Identifier: Apache-2.0
"""The shifts of a job's openings that are too near, found by the solver that every command and page shares."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from brattice.details.detail import InstallationDetail
from brattice.orders.too_near import TooNearGroup
from brattice.rows import RowBook
from brattice.usecases.job import Job

__all__ = ["shifts_of"]


def shifts_of(
    details: Mapping[str, InstallationDetail], job: Job, book: RowBook, progress: Callable[[str], None] = lambda _: None
) -> tuple[TooNearGroup, ...]:
    """The groups of a job's details that are too near, with the shifts that cure them."""
    from brattice.adapters.solve import ShiftSolver
    from brattice.usecases.too_near import MOST_NODES, too_near_of

    return too_near_of(details, job, book, ShiftSolver(most_nodes=MOST_NODES), progress=progress)
