# SPDX-License-Identifier: Apache-2.0
"""What a cell of a foreign sheet says. Expected readings are trade usage (common practice), worked by hand."""

from datetime import datetime
from typing import Any

import pytest

from brattice.adapters.foreign.values import Unread, is_not_stated, read_value
from brattice.adapters.foreign.words import heading_words, size_words, value_words
from brattice.adapters.rows import shipped_book
from brattice.adapters.workbook import Cell, CellKind
from brattice.classes import ClassSteps

STEPS = ClassSteps.from_book(shipped_book())
W_FIRST = "width-height"


def read(value: Any, key: str, unit: str = "", order: str = "") -> Any:
    kind = CellKind.NUMBER if isinstance(value, int | float) else CellKind.TEXT
    return read_value(Cell(2, 3, kind, value), key, unit, order, STEPS)


def wh(width: float, height: float) -> dict[str, float]:
    return {"damper_width_mm": width, "damper_height_mm": height}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("600x400", wh(600, 400)),
        ("600 × 400", wh(600, 400)),
        ("600*400", wh(600, 400)),
        ("600 X 400", wh(600, 400)),
        ("600 by 400", wh(600, 400)),
        ("600x400mm", wh(600, 400)),
        ("600mm x 400mm", wh(600, 400)),
        ("W600 H400", wh(600, 400)),
        ("600W x 400H", wh(600, 400)),
        ("H400 x W600", wh(600, 400)),
        ("400h x 600w", wh(600, 400)),
        ("400 high x 600 wide", wh(600, 400)),
        ("1,200 x 800", wh(1200, 800)),
        ("60cm x 40cm", wh(600, 400)),
        ("0.6m x 0.4m", wh(600, 400)),
        ("24 x 16 in", wh(609.6, 406.4)),  # 1 in = 25.4 mm exactly; 24 mm would be no duct
        ('24"x16"', wh(609.6, 406.4)),
        ("Ø315", {"damper_diameter_mm": 315}),
        ("ø 315mm", {"damper_diameter_mm": 315}),
        ("315ø", {"damper_diameter_mm": 315}),
        ("315 dia", {"damper_diameter_mm": 315}),
        ("315mm dia.", {"damper_diameter_mm": 315}),
        ("DIA 315", {"damper_diameter_mm": 315}),
        ("100x100", wh(100, 100)),  # exactly the least side
        ("Ø63", {"damper_diameter_mm": 63}),  # exactly the least diameter
    ],
)
def test_a_size_in_one_cell(text: str, expected: dict[str, float]) -> None:
    assert read(text, "damper_size", "mm", W_FIRST) == expected


@pytest.mark.parametrize(
    "text",
    [
        "600", "600x", "600 400", "600x400x150", "60x40", "0.6x0.4", "600 x 40cm", "600cm x 400", "W600 W400", "99x400",
        "Ø62", "6000x4000", "1.200x800", "approx 600x400", "600/400", "600x400 or 500x400", "-600x400", "see drawing",
        "600x400?", "600 - 400", "w600 x 400w", "１x２", "Ø315x400",
    ],
)  # fmt: skip
def test_a_size_that_is_not_certain_is_not_read(text: str) -> None:
    answer = read(text, "damper_size", "mm", W_FIRST)
    assert isinstance(answer, Unread), answer
    assert answer.expected


def test_the_order_of_a_size_is_never_assumed() -> None:
    assert read("400x600", "damper_size", "mm", "height-width") == wh(600, 400)
    assert isinstance(read("600x400", "damper_size", "mm", ""), Unread)
    assert read("W600 H400", "damper_size", "mm", "height-width") == wh(600, 400)


def test_a_figure_without_any_unit_is_not_read() -> None:
    assert isinstance(read("600x400", "damper_size", "", W_FIRST), Unread)
    assert isinstance(read(600, "damper_width_mm", ""), Unread)
    assert read("600mm", "damper_width_mm", "") == {"damper_width_mm": 600}


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [(600, "mm", 600), (60, "cm", 600), (0.6, "m", 600), ("0,6", "m", 600), ("24", "in", 609.6), ("60 cm", "mm", 600)],
)
def test_a_length_in_its_unit(value: Any, unit: str, expected: float) -> None:
    assert read(value, "duct_width_mm", unit) == {"duct_width_mm": expected}


@pytest.mark.parametrize(("value", "unit"), [(60, "mm"), (0.6, "mm"), (600, "cm"), (600, "m"), ("-600", "mm")])
def test_a_length_that_can_only_be_in_another_unit_is_not_read(value: Any, unit: str) -> None:
    assert isinstance(read(value, "duct_width_mm", unit), Unread)


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        ("2hr", "", "120 min"),
        ("2 HR", "", "120 min"),
        ("1.5 hours", "", "90 min"),
        ("1½hr", "", "90 min"),
        ("½ hr", "", "30 min"),
        ("120 mins", "", "120 min"),
        ("60 minutes", "h", "60 min"),
        (2, "h", "120 min"),
        (60, "min", "60 min"),
        ("EI 60", "", "EI 60"),
        ("REI120", "", "REI120"),
        ("unrated", "", "unrated"),
    ],
)
def test_a_rating(value: Any, unit: str, expected: str) -> None:
    assert read(value, "rating", unit) == {"rating": expected}


@pytest.mark.parametrize(
    ("value", "unit"),
    [("-/60/60", ""), ("60/60/60", ""), ("FD60", ""), (2, "min"), (120, "h"), (60, ""), ("0", "min"), ("none", ""),
     ("E 2", ""), ("2hr?", ""), ("60 or 120", "min"), ("FRL -/120/120", ""), ("7 hr", "")],
)  # fmt: skip
def test_a_rating_that_is_not_certain_is_not_read(value: Any, unit: str) -> None:
    assert isinstance(read(value, "rating", unit), Unread)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("fusible link", ("thermal",)),
        ("Fusible Link 72°C", ("thermal",)),
        ("72C thermal link", ("thermal",)),
        ("smoke detector", ("smoke detection",)),
        ("fusible link + smoke detection", ("thermal", "smoke detection")),
        ("thermal and smoke detection", ("thermal", "smoke detection")),
        ("thermal; smoke detection", ("thermal", "smoke detection")),
    ],
)
def test_actuation(text: str, expected: tuple[str, ...]) -> None:
    assert read(text, "actuation") == {"actuation": expected}


@pytest.mark.parametrize(
    "text",
    ["motorised", "Motorised 24V", "motorised + fusible link", "electric", "spring return", "fusible link / smoke",
     "24V actuator, smoke detection", "ditto", "no fusible link", "thermal or smoke detection", "not thermal"],
)  # fmt: skip
def test_motorised_says_nothing_of_smoke_detection(text: str) -> None:
    assert isinstance(read(text, "actuation"), Unread)


@pytest.mark.parametrize("text", ["Kitchen extract", "extract", "EA", "return air", "AHU-01"])
def test_a_system_that_leaves_a_choice_is_not_read(text: str) -> None:
    assert isinstance(read(text, "system"), Unread)


@pytest.mark.parametrize(("value", "expected"), [("Y", True), ("N", False), ("yes", True), ("✓", True)])
def test_yes_and_no(value: str, expected: bool) -> None:
    assert read(value, "access_door") == {"access_door": expected}


@pytest.mark.parametrize("text", ["x", "1", "maybe", "Y/N", "by others"])
def test_marks_that_may_mean_both_are_not_read(text: str) -> None:
    assert isinstance(read(text, "access_door"), Unread)


@pytest.mark.parametrize("text", ["EI 75", "EI 61 (ve i↔o) S", "E 45"])
def test_a_class_outside_the_tables_is_claimed_as_it_stands(text: str) -> None:
    """EN 13501-3 knows E 30, 60, 90, 120 and EI 15 to 240 in steps (trade handbook rows 1.4 and 1.5)."""
    assert read(text, "class_text") == {"class_text": text}


@pytest.mark.parametrize("text", ["75", "FD75", "2 HR", "-/75/75", "EI 75 or better", "EI"])
def test_what_is_no_class_at_any_time_stays_unread(text: str) -> None:
    assert isinstance(read(text, "class_text"), Unread)


def test_only_the_classes_room_reads_a_class() -> None:
    assert read("EI 120 (ve i↔o) S", "class_text") == {"class_text": "EI 120 (ve i↔o) S"}
    for text in ("2 HR", "-/60/60", "BS 476", "REI 60", "EI", "120"):
        assert isinstance(read(text, "class_text"), Unread), text


@pytest.mark.parametrize("text", ["L03", "Level 3", "03", "Roof"])
def test_a_storey_is_kept_as_its_text(text: str) -> None:
    assert read(text, "storey") == {"storey": text}


def test_dates_and_error_values_are_not_read() -> None:
    for kind, value in ((CellKind.DATE, datetime(2026, 3, 1)), (CellKind.ERROR, "#REF!")):  # noqa: DTZ001
        assert isinstance(read_value(Cell(1, 1, kind, value), "reference", "", "", STEPS), Unread)


@pytest.mark.parametrize("text", ["", " ", "TBC", "tbd", "?", "-", "n/a", "To be confirmed"])
def test_words_that_state_nothing(text: str) -> None:
    assert is_not_stated(text)


def test_the_data_has_no_word_with_two_meanings() -> None:
    words = heading_words()
    assert not set(words.means) & set(words.doubtful)
    listed = list(words.means.values())
    assert len(listed) == len(words.means)
    for key, said in value_words().says.items():
        assert not set(said) & set(value_words().doubtful.get(key, {})), key
    assert not value_words().yes & value_words().no
    assert size_words().mm["in"] == 25.4  # exact by definition (international yard and pound agreement, 1959)


@pytest.mark.parametrize(
    "text", ["6" + " " * 30_000 + "x", "9" * 5_000, "600x" * 8_000, "(" * 30_000, "72 " * 10_000 + "c"]
)
@pytest.mark.parametrize(
    "key", ["damper_size", "thickness_mm", "rating", "actuation", "x_m", "seal_faces", "class_text"]
)
def test_texts_made_to_keep_a_reader_busy_are_not_read(text: str, key: str) -> None:
    assert isinstance(read(text, key, "mm", W_FIRST), Unread)


def test_numbers_of_thousands_of_digits_are_not_read() -> None:
    assert isinstance(read(10**5000, "damper_width_mm", "mm"), Unread)
    assert isinstance(read(1e300, "x_m", "m"), Unread)
    assert isinstance(read(10**16 + 1, "reference"), Unread)  # a spreadsheet program has rounded it
