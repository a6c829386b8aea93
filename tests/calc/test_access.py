# SPDX-License-Identifier: Apache-2.0
"""Reach for hand and tool. Source: common practice (trade handbook 5.25 to 5.28), no limit; a maker states limits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.calc.access import check_door_distance, check_door_size, check_hatch_size, reach_rules
from brattice.findings import Verdict

BOOK = shipped_book()
RULES = reach_rules(BOOK)


def test_the_rows_are_advice_with_low_confidence() -> None:
    assert RULES.least_side_mm == 300  # trade handbook 5.27
    for row in BOOK.under("access."):
        assert row.advice
        assert row.confidence == "low"
        assert row.clause.standard == "common practice"


@pytest.mark.parametrize(
    ("width", "height", "verdict"),
    [
        (300, 300, Verdict.NOT_APPLICABLE),  # exactly at common practice
        (299.9, 600, Verdict.UNKNOWN),
        (600, 299.9, Verdict.UNKNOWN),
        (450, 450, Verdict.NOT_APPLICABLE),
        (0, 0, Verdict.UNKNOWN),
    ],
)
def test_a_door_against_common_practice(width: float, height: float, verdict: Verdict) -> None:
    check = check_door_size(width, height, None, RULES)
    assert check.verdict is verdict
    assert check.rows == ("access.door.least",)
    assert ("ask who will test it" in check.text) == (verdict is Verdict.UNKNOWN)


@pytest.mark.parametrize(
    ("width", "height", "verdict"),
    [
        (400, 200, Verdict.PASS),  # exactly what the maker asks
        (200, 400, Verdict.PASS),  # turned
        (400, 199, Verdict.FAIL),
        (399, 399, Verdict.FAIL),
    ],
)
def test_a_door_against_what_the_maker_states(width: float, height: float, verdict: Verdict) -> None:
    check = check_door_size(width, height, (400, 200), RULES)
    assert check.verdict is verdict
    assert "by the maker" in check.limit
    assert check.rows == ()


@pytest.mark.parametrize(
    ("distance", "most", "verdict"),
    [
        (500, None, Verdict.NOT_APPLICABLE),  # exactly at common practice
        (500.1, None, Verdict.UNKNOWN),
        (350, 350, Verdict.PASS),
        (350.1, 350, Verdict.FAIL),
        (600, 700, Verdict.PASS),  # the maker comes before common practice
    ],
)
def test_a_door_away_from_the_blade(distance: float, most: float | None, verdict: Verdict) -> None:
    assert check_door_distance(distance, most, RULES).verdict is verdict


sides = st.floats(0, 2000)


@given(sides, sides)
def test_common_practice_never_passes_and_never_fails(one: float, other: float) -> None:
    for check in (check_door_size(one, other, None, RULES), check_door_distance(one, None, RULES)):
        assert check.verdict in {Verdict.UNKNOWN, Verdict.NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("width", "height", "verdict"),
    [(450, 450, Verdict.NOT_APPLICABLE), (600, 449.9, Verdict.UNKNOWN), (449.9, 600, Verdict.UNKNOWN)],
)
def test_a_hatch_against_common_practice(width: float, height: float, verdict: Verdict) -> None:
    """No handbook row: the row itself is common practice, from memory, and only asks."""
    check = check_hatch_size(width, height, RULES)
    assert check.verdict is verdict
    assert check.rows == ("access.hatch.least",)
    assert ("ask who will test it" in check.text) is (verdict is Verdict.UNKNOWN)


def test_bad_doors_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="a side of a hatch is zero or more, not -1 mm"):
        check_hatch_size(300, -1, RULES)
    with pytest.raises(ValueError, match="a side of a door is zero or more, not -1 mm"):
        check_door_size(-1, 300, None, RULES)
    with pytest.raises(ValueError, match="a side of a door is zero or more, not -2 mm"):
        check_door_size(300, 300, (300, -2), RULES)
    with pytest.raises(ValueError, match="a distance is zero or more, not nan mm"):
        check_door_distance(float("nan"), None, RULES)
