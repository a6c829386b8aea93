# SPDX-License-Identifier: Apache-2.0
from collections.abc import Iterator

import pytest

from tests.adapters.workbook.direct import in_this_process


@pytest.fixture(autouse=True, scope="module")
def _no_child(request: pytest.FixtureRequest) -> Iterator[None]:
    if request.module.__name__.endswith("in_child"):
        yield
    else:
        with in_this_process():
            yield
