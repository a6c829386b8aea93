# SPDX-License-Identifier: Apache-2.0
"""docs/requirements.md says of every handbook row whether it is done, and of every row we ship how it is known."""

import re
from pathlib import Path

from brattice.adapters.rows import load_rows
from brattice.requirements.codes import CODES
from brattice.requirements.standing import editions
from brattice.rows import Rule
from tests.requirements.asked import book

PAGE = (Path(__file__).parents[2] / "docs" / "requirements.md").read_text("utf-8")
ENGLAND = [row for row in load_rows() if row.id.startswith("england.")]  # the rows of this room


def test_every_handbook_row_is_named_with_whether_it_is_done() -> None:
    cells = re.findall(r"^\| (4\.[^|]+) \|[^|]+\| (yes|in part|no) \|", PAGE, re.MULTILINE)
    named = " ".join(cell for cell, _ in cells)
    expected = [f"4.{number}" for number in (*range(1, 28), 30, 32, 33, 34, 35, 36)] + ["4.12a"]
    assert [row for row in expected if not re.search(rf"(?<![\d.]){re.escape(row)}(?![\da-z])", named)] == []


def test_what_is_said_to_be_done_rests_on_rows_and_what_is_not_done_rests_on_none() -> None:
    shipped = {name for row in ENGLAND for name in row.handbook} | {
        "4.24",
        "4.25",
    }  # rows of evidence; no row, unreadable texts fail
    done = dict(re.findall(r"^\| (4\.\d+a?) \|[^|]+\| (yes|in part|no) \|", PAGE, re.MULTILINE))
    assert {row for row, state in done.items() if state != "no"} - shipped == set()
    assert {row for row, state in done.items() if state == "no"} & shipped == set()


def test_the_table_of_rows_is_that_of_the_data() -> None:
    told = set(re.findall(r"^\| `([a-z0-9.\-]+)` \| ([^|]+) \| ([^|]+) \|$", PAGE, re.MULTILINE))
    data = {
        (row.id, ", ".join(row.handbook), str(row.how_known) + (f", {row.confidence}" if row.confidence else ""))
        for row in ENGLAND
    }
    assert told == data


def test_checks_and_editions_named_on_the_page_exist() -> None:
    codes = {spec.code for spec in CODES}
    assert {rule.check for rule in ENGLAND if isinstance(rule, Rule)} <= codes
    table = PAGE.split("## Row by row")[1].split("## The rows")[0]
    assert set(re.findall(r"`([a-z\-]+)`", table)) <= codes
    assert str(editions(book())[0].value) in PAGE


def test_every_row_that_is_shipped_is_used() -> None:
    """A number that nothing rests on is a number that nobody would notice to be wrong."""
    source = " ".join(
        path.read_text("utf-8") for path in (Path(__file__).parents[2] / "src/brattice/requirements").glob("*.py")
    )
    used = {row.id for row in ENGLAND if row.id in source or isinstance(row, Rule) or "edition" in row.id}
    assert {row.id for row in ENGLAND} - used == set()
