# SPDX-License-Identifier: Apache-2.0
"""The second demo, generated once for the tests of this folder."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from tools.messy.faults import Schedule, build
from tools.messy.job import write_job
from tools.messy.sheet import Placed


@dataclass(frozen=True)
class MessyJob:
    """The planted schedule, its job folder, and where each row stands in the sheet."""

    plan: Schedule
    folder: Path
    placed: tuple[Placed, ...]


@pytest.fixture(scope="session")
def messy_job(tmp_path_factory: pytest.TempPathFactory) -> MessyJob:
    """The job as `make demo` writes it."""
    plan = build()
    folder = tmp_path_factory.mktemp("messy") / "job"
    return MessyJob(plan, folder, write_job(plan, folder))
