# SPDX-License-Identifier: Apache-2.0
"""Pages under test: an office with a finished report, a client that holds the cookie, a server for a browser."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn
from starlette.testclient import TestClient

from brattice.cli.detailed import DetailedJob
from brattice.cli.office import LocalOffice
from brattice.details import InstallationDetail
from brattice.orders.decisions import SubmittalDecision
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material
from brattice.usecases.detailing import details_of
from brattice.usecases.identify import identify
from brattice.usecases.job import Job
from brattice.usecases.report_model import Report
from brattice.web import Access, create_app
from brattice.web.access import new_access
from tests.helpers.judging import BOOK
from tests.helpers.ordered import offered

__all__ = ["HOST", "Served", "access_here", "client_of", "detailed_of", "office_with", "served"]

PORT = 8437
HOST = f"127.0.0.1:{PORT}"


def access_here() -> Access:
    """An access for a client that names `HOST`."""
    return new_access(PORT, ("127.0.0.1", "localhost"))


def detailed_of(
    report: Report,
    *details: InstallationDetail,
    decisions: Sequence[SubmittalDecision] = (),
) -> DetailedJob:
    """The details of a report as a check makes them, with what the invented maker states.

    Those given stand in place of the ones made; `decisions` are what came back of submittals.
    """
    rules = Rules("England", "invented", report.as_of, "non-residential")
    job = Job("Invented job", rules, submittals=tuple(decisions))
    identified = identify((), (), (), match_within_mm=250)
    material = Material(job, identified, {}, report.installations, products=(offered(),))
    made = details_of(report, material, BOOK)
    return DetailedJob(report, made | {item.id: item for item in details}, job, BOOK)


def office_with(folder: Path, report: Report | None = None, detailed: DetailedJob | None = None) -> LocalOffice:
    """An office of one job in a folder that is made; with a report it stands as if a check had just ended."""
    folder.mkdir(parents=True, exist_ok=True)
    office = LocalOffice(job=folder)
    if report is not None:
        desk = office.desk(office.jobs()[0].key)
        assert desk is not None
        desk.take(report, detailed or detailed_of(report))
    return office


def client_of(office: LocalOffice, access: Access | None = None, *, enters: bool = True) -> TestClient:
    """A client of the pages that went in by the first link, and asks as one of their own pages would."""
    given = access or access_here()
    app = create_app(office, given, lambda error: None)
    client = TestClient(
        app, base_url=f"http://{HOST}", follow_redirects=False, headers={"Sec-Fetch-Site": "same-origin"}
    )
    if enters:
        answer = client.get("/enter", params={"token": given.token})
        assert answer.status_code == 303
    return client


@dataclass(frozen=True)
class Served:
    """Pages that a browser can open: where they are, and the first link."""

    base: str
    link: str


@contextmanager
def served(office: LocalOffice) -> Iterator[Served]:
    """Serve an office on a free port of loopback for as long as the block lasts."""
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    listener.listen(64)
    port = listener.getsockname()[1]
    access = new_access(port, ("127.0.0.1",))
    config = uvicorn.Config(create_app(office, access), log_level="critical", lifespan="off", ws="none")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    base = f"http://127.0.0.1:{port}"
    try:
        yield Served(base, f"{base}/enter?token={access.token}")
    finally:
        server.should_exit = True
        thread.join(10)
        office.close()
        listener.close()
