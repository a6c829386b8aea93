# SPDX-License-Identifier: Apache-2.0
"""Names as parts of file names."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.building.file_names import file_part, files_told_apart


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("Level 1", "Level-1"),
        ("  Level   1 ", "Level-1"),
        ("Küche Süd", "Kuche-Sud"),
        ("Straße", "Strasse"),
        ("Øst", "Ost"),
        ("../W 2\\x <b>\u202e", "W-2-x-b"),
        ("a/b:c*d?", "a-b-c-d"),
        ("", "unnamed"),
        ("…", "unnamed"),
        ("层", "unnamed"),
        ("CON", "CON_"),
        ("lpt1", "lpt1_"),
        ("console", "console"),
        ("x" * 41, "x" * 40),
        ("x" * 39 + " y", "x" * 39),
    ],
)
def test_a_name_in_plain_letters(text: str, part: str) -> None:
    assert file_part(text) == part


def test_what_stands_where_nothing_is_left_is_given() -> None:
    assert file_part("…", "storey") == "storey"
    assert file_part("…", "") == ""


def test_names_that_become_one_are_told_apart_and_one_that_joins_changes_no_other() -> None:
    two = files_told_apart([("HV 10", "W1"), ("HV-10", "W1")])
    assert two[0] == "HV-10-W1"
    assert re.fullmatch(r"HV-10-W1-[0-9a-f]{6}", two[1])
    three = files_told_apart([("hv_10", "W1"), ("HV-10", "W1"), ("HV 10", "W1")])
    assert (three[2], three[1]) == two
    assert three[0].casefold().startswith("hv-10-w1-")


def test_capitals_alone_make_no_second_file() -> None:
    one, other = files_told_apart([("Level A",), ("LEVEL A",)])
    assert one.casefold() != other.casefold()


def test_names_of_nothing_are_still_told_apart() -> None:
    one, other = files_told_apart([("…",), ("层",)])
    assert one != other
    assert files_told_apart([]) == ()


words = st.tuples(st.text(max_size=60), st.text(max_size=60))


@given(st.lists(words, max_size=8))
def test_whatever_names_come_files_are_apart_plain_and_short(names: list[tuple[str, ...]]) -> None:
    parts = files_told_apart(names)
    assert len({part.casefold() for part in parts}) == len(set(names))
    assert dict(zip(reversed(names), files_told_apart(names[::-1]), strict=True)) == dict(
        zip(reversed(names), reversed(parts), strict=True)
    )
    for part in parts:
        assert re.fullmatch(r"[A-Za-z0-9_-]{1,100}", part)
