# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.adapters.rows import shipped_book
from brattice.classes import ClassSteps


@pytest.fixture(scope="session")
def steps() -> ClassSteps:
    return ClassSteps.from_book(shipped_book())
