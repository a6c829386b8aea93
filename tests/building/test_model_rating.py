# SPDX-License-Identifier: Apache-2.0
"""Rating texts as models hold them: certain only where a class of EN 13501-2 or a time with its unit stands there."""

from __future__ import annotations

import pytest

from brattice.building.model_rating import RatingReader, RatingReading
from tests.helpers.places import class_steps

READER = RatingReader(class_steps())


@pytest.mark.parametrize(
    ("text", "minutes", "insulation", "criteria"),
    [
        ("EI 60", 60, 60, "EI"),
        ("EI60 ", 60, 60, "EI"),
        ("REI120", 120, 120, "REI"),
        ("REI 60/EI 60", 60, 60, "REI"),
        ("E 120 / EI 60", 120, 60, "EI"),
        ("E 30", 30, None, "E"),
        ("90 min", 90, None, ""),
        ("1 Hour", 60, None, ""),
        ("1h", 60, None, ""),
        ("2 HR", 120, None, ""),
        ("1.5 hours", 90, None, ""),
    ],
)
def test_what_is_certain(text: str, minutes: int, insulation: int | None, criteria: str) -> None:
    assert READER.read(text) == RatingReading(text, minutes, insulation, criteria)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "60",
        "0",
        "None",
        "-",
        "F90",
        "FR60",
        "_FIRE-RATING_",
        "Fire Rating",
        "EI2 30-C5",
        "EI 77",
        "60/60/60",
        "R 60",
        "EI",
        "REI 60 or better",
        "0 min",
        "0h",
        "EI 60 EI 30",
        "n/a",
    ],
)  # fmt: skip - one glance
def test_what_is_not(text: str) -> None:
    assert READER.read(text).minutes is None


def test_several_places_must_agree() -> None:
    assert READER.read_all(("EI 60", "REI 60")).minutes == 60
    assert READER.read_all(("EI 60", "EI 30")) == RatingReading("EI 30 | EI 60")
    assert READER.read_all(("EI 60", "1h")).minutes is None  # the same time, but only one of them says what is held
    assert READER.read_all(("EI 60", "", " ")) == RatingReading("EI 60", 60, 60, "EI")
    assert READER.read_all(()) == RatingReading("")
