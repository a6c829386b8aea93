# SPDX-License-Identifier: Apache-2.0
"""The pages about outputs say what the program says."""

import doctest
import re
from pathlib import Path

from brattice.adapters.report import findings_schema
from brattice.usecases.states import STATES

DOCS = Path(__file__).resolve().parents[2] / "docs"


def test_the_table_of_states_is_the_programs() -> None:
    rows = re.findall(r"^\| (.+?) \| (\w+) \| (yes|no) \| (.+) \|$", (DOCS / "states.md").read_text("utf-8"), re.M)
    assert rows == [(str(s.state), s.mark, "yes" if s.open else "no", s.meaning) for s in STATES]


def test_every_key_of_the_schema_is_on_its_page() -> None:
    text = (DOCS / "findings-json.md").read_text("utf-8")
    named = set(re.findall(r"`(\w+)`", text))
    schema = findings_schema()
    assert set(schema["properties"]) <= named
    assert set(schema["$defs"]["penetration"]["properties"]) <= named


def test_the_examples_of_the_page_run() -> None:
    result = doctest.testfile(str(DOCS / "findings-json.md"), module_relative=False, encoding="utf-8")
    assert result.attempted > 0
    assert result.failed == 0


def test_the_reading_test_has_ten_questions() -> None:
    text = (DOCS / "reading-test.md").read_text("utf-8")
    assert re.findall(r"^(\d+)\. ", text, re.M) == [str(number) for number in range(1, 11)]
