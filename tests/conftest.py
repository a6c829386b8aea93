# SPDX-License-Identifier: Apache-2.0
"""Hypothesis profiles (the ordinary one is repeatable; `make soak` searches longer and from fresh seeds), and the one
browser of a run: a second one in the same process can't be started.
"""

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright

settings.register_profile("ordinary", deadline=None, derandomize=True, max_examples=100)
settings.register_profile(
    "soak", deadline=None, max_examples=5000, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ordinary"))

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium; where it is missing, the tests that need it are skipped."""
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("no chromium on this machine: the pages were not looked at in a browser")
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield found
        found.close()
