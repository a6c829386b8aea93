# SPDX-License-Identifier: Apache-2.0
"""The page of queries asks what sheets leave to be settled when somebody says so, and never before."""

import io
import re
from pathlib import Path

import openpyxl
import pytest
from starlette.testclient import TestClient

from brattice.adapters.queries import read_queries
from brattice.building.queries import records_of
from brattice.cli.office import FolderDesk, LocalOffice
from tests.helpers.pages import client_of, office_with
from tests.helpers.schedule_jobs import damper_row, schedule_job


@pytest.fixture
def desk(tmp_path: Path) -> tuple[FolderDesk, TestClient]:
    """A job of two dampers, checked from its page."""
    office = LocalOffice(job=schedule_job(tmp_path / "job", [damper_row("FD-01"), damper_row("FD-02", words="D/1")]))
    made = office.desk("job")
    assert made is not None
    made.check()
    made.wait()
    assert made.run().faults == ()
    return made, client_of(office)


def test_details_are_asked_from_the_button_and_answered_in_the_sheet(desk: tuple[FolderDesk, TestClient]) -> None:
    job, client = desk
    assert not (job.folder / "queries.csv").exists()
    assert client.post("/jobs/job/queries/details").status_code == 303
    text = client.get("/jobs/job/queries").text
    assert re.search(r"Asked now: \d+ queries of what the sheets leave to be settled", text)
    assert "The voltage of the actuator" in text
    keys = {record.key for record in records_of(read_queries(job.folder / "queries.csv"))}
    assert "details/services-designer/voltage" in keys
    data = client.post("/jobs/job/queries/sheet", data={"party": "services designer"}).content
    assert "Details" in openpyxl.load_workbook(io.BytesIO(data)).sheetnames
    before = (job.folder / "queries.csv").read_bytes()
    client.post("/jobs/job/queries/details")
    assert (job.folder / "queries.csv").read_bytes() == before


def test_nothing_is_asked_before_the_first_check(tmp_path: Path) -> None:
    client = client_of(office_with(tmp_path / "job"))
    assert client.post("/jobs/job/queries/details").headers["location"] == "/jobs/job"
    assert not (tmp_path / "job" / "queries.csv").exists()
