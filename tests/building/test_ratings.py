# SPDX-License-Identifier: Apache-2.0
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.rows import shipped_book
from brattice.building.ratings import rating_from_text
from brattice.building.wall_type import Rating
from brattice.classes.barriers import insulation_minutes, integrity_minutes, read_barrier_class
from brattice.classes.steps import ClassSteps


@pytest.mark.parametrize(
    ("text", "integrity", "insulation"),
    [
        ("60", 60, None),
        (" 60 min ", 60, None),
        ("60 Minutes", 60, None),
        ("2 hours", 120, None),
        ("1hr", 60, None),
        ("E 60", 60, None),
        ("EI 60", 60, 60),
        ("ei60", 60, 60),
        ("REI 120", 120, 120),
        ("RE 90", 90, None),
        # EI t includes E t, and E 120 together with EI 60 may be reported (trade handbook rows 1.4, 1.14)
        ("E 120 / EI 60", 120, 60),
        ("EI 60, E 30", 60, 60),
        ("360", 360, None),
    ],
)
def test_certain_texts(text: str, integrity: int, insulation: int | None) -> None:
    assert rating_from_text(text) == Rating(integrity, insulation, text)


@pytest.mark.parametrize("text", ["unrated", "Not rated", "none", "0", "no fire resistance"])
def test_known_to_be_unrated(text: str) -> None:
    rating = rating_from_text(text)
    assert rating is not None
    assert rating.is_unrated


@pytest.mark.parametrize(
    "text",
    ["", "FFL 60", "60/60", "I 60", "361", "EI 361", "EI 0", "E", "EI", "60-90", "-60", "EI 60 S", "1.5 h", "٦٠"],
)
def test_uncertain_texts_are_not_read(text: str) -> None:
    assert rating_from_text(text) is None


@given(st.integers(1, 360), st.integers(1, 360))
def test_minutes_alone_never_claim_insulation(integrity: int, insulation: int) -> None:
    alone = rating_from_text(f"{integrity} min")
    assert alone is not None
    assert alone.insulation_min is None
    both = rating_from_text(f"E {integrity} / EI {insulation}")
    assert both is not None
    assert (both.integrity_min, both.insulation_min) == (max(integrity, insulation), insulation)


@pytest.mark.parametrize("text", ["E 60", "EI 60", "REI 120", "RE 90", "E 120 / EI 60", "EI 60 / E 30", "ei60"])
def test_classes_are_read_as_the_classes_room_reads_them(text: str) -> None:
    declared = read_barrier_class(text, ClassSteps.from_book(shipped_book()))
    expected = (integrity_minutes(declared), insulation_minutes(declared))
    got = rating_from_text(text)
    assert got is not None
    assert (got.integrity_min, got.insulation_min) == expected
