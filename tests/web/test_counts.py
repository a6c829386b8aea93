# SPDX-License-Identifier: Apache-2.0
"""Lists by level count as open what the report counts as open."""

import re
from pathlib import Path

from tests.helpers.pages import client_of, office_with
from tests.helpers.reports import sample_report


def test_lists_count_open_penetrations_as_the_report_does(tmp_path: Path) -> None:
    report = sample_report()
    text = client_of(office_with(tmp_path / "job", report)).get("/jobs/job/plans").text
    told = [int(number) for number in re.findall(r"something is open at (\d+)", text)]
    assert sum(told) == sum(item.something_open for item in report.penetrations)
