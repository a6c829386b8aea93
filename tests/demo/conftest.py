# SPDX-License-Identifier: Apache-2.0
"""The demo job, generated once for the tests of this folder."""

from pathlib import Path

import pytest

from tools.demo.faults import Scenario, build
from tools.demo.job import write_job


@pytest.fixture(scope="session")
def scene() -> Scenario:
    """The demo's building with its faults."""
    return build()


@pytest.fixture(scope="session")
def demo_job(scene: Scenario, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's job folder."""
    folder = tmp_path_factory.mktemp("demo") / "job"
    write_job(scene, folder)
    return folder
