# SPDX-License-Identifier: Apache-2.0
"""England's rules are never applied elsewhere: other jurisdictions, editions and dates leave everything unknown."""

import json
from pathlib import Path

import pytest

from brattice.cli.main import main
from tests.helpers.jobs import small_job


@pytest.mark.parametrize(
    ("old", "new", "about"),
    [
        ('jurisdiction = "England"', 'jurisdiction = "Scotland"', "Scotland"),  # trade handbook row 4.56
        ('jurisdiction = "England"', 'jurisdiction = "Wales"', "Wales"),  # trade handbook row 4.50
        ('edition = "ADB 2019 with amendments to 2026"', 'edition = "ADB 2006"', "ADB 2006"),
        ("as_of = 2026-11-02", "as_of = 2024-01-01", "2024-01-01"),
    ],
)
def test_rules_that_are_not_held_leave_the_answer_unknown(tmp_path: Path, old: str, new: str, about: str) -> None:
    folder = small_job(tmp_path / "job")
    text = (folder / "brattice.toml").read_text("utf-8")
    assert old in text
    (folder / "brattice.toml").write_text(text.replace(old, new), "utf-8")
    assert main(["check", str(folder)]) == 1
    found = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    assert [item["state"] for item in found["penetrations"]] == ["not enough known"]
    assert any(about in query["text"] for query in found["queries"]), found["queries"]


def test_the_date_of_the_command_goes_before_that_of_the_job(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job")
    assert main(["check", str(folder), "--as-of", "2024-01-01"]) == 1
    found = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    assert found["job"]["as_of"] == "2024-01-01"
    assert main(["check", str(folder), "--as-of", "yesterday"]) == 64
