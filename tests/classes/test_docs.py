# SPDX-License-Identifier: Apache-2.0
"""The page on classes is run: every example in it has to give what it shows."""

import doctest
import re
from pathlib import Path

from brattice.adapters.rows import shipped_book

PAGE = Path(__file__).parents[2] / "docs" / "classes.md"


def test_every_example_of_the_page_gives_what_it_shows() -> None:
    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert result.attempted > 30
    assert result.failed == 0


def test_the_page_names_rows_that_exist() -> None:
    named = set(re.findall(r"`(class\.[a-z.\-]+[a-z])`", PAGE.read_text("utf-8")))
    assert len(named) > 8
    assert [row for row in sorted(named) if shipped_book().find(row) is None] == []
