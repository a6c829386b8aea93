# SPDX-License-Identifier: Apache-2.0
"""What the tests of the pages share: a client on the sample report, and pages of the one browser."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from starlette.testclient import TestClient

from brattice.cli.office import LocalOffice
from tests.helpers.pages import Served, client_of, office_with, served
from tests.helpers.reports import sample_report


@pytest.fixture
def office(tmp_path: Path) -> LocalOffice:
    """One job, `job`, whose last check gave the sample report."""
    return office_with(tmp_path / "job", sample_report())


@pytest.fixture
def client(office: LocalOffice) -> TestClient:
    """A client of that job that holds the cookie."""
    return client_of(office)


@pytest.fixture(scope="module")
def sample_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The sample report, served for a browser."""
    with served(office_with(tmp_path_factory.mktemp("pages") / "job", sample_report())) as found:
        yield found


@pytest.fixture
def page(browser: Browser, sample_site: Served) -> Iterator[Page]:
    """A page of a fresh browser that went in by the first link; what the console says against it fails the test."""
    context = browser.new_context()
    found = context.new_page()
    said: list[str] = []
    found.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    found.on("pageerror", lambda error: said.append(str(error)))
    found.goto(sample_site.link)
    yield found
    context.close()
    assert [text for text in said if "404" not in text] == []  # a page that is not there is one of those looked at
