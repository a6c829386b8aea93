# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.drawing.metrics import SANS, shortened, text_width, wrapped


@pytest.mark.parametrize(
    ("sign", "units"),
    # metric file of the sans-serif among the standard PostScript fonts (advance widths, known by heart and compared
    # once with the width table of a metric-compatible free cut)
    [(" ", 278), ("0", 556), ("A", 667), ("M", 833), ("W", 944), ("i", 222), ("m", 833), ("@", 1015), ("×", 584)],
)
def test_widths_are_those_of_the_metric_file(sign: str, units: int) -> None:
    assert SANS.advances[sign] == units
    assert text_width(sign, 10) == pytest.approx(units / 100)


def test_a_character_outside_the_table_counts_as_wide_as_any() -> None:
    assert text_width("漢", 1) >= max(SANS.advances.values()) / 1000


def test_bold_is_wider() -> None:
    assert text_width("P-0001", 3, bold=True) > text_width("P-0001", 3)


def test_a_text_that_fits_stays_and_one_that_does_not_ends_in_dots_and_fits() -> None:
    assert shortened("P-0001", 50, 3) == "P-0001"
    cut = shortened("P-0001-with-a-very-long-tail", 20, 3)
    assert cut.endswith("…")
    assert text_width(cut, 3) <= 20


def test_wrapping_keeps_every_word_or_says_that_some_are_left_out() -> None:
    text = "seal: Cinderlock M5 mortar, depth 150, 2 faces"
    rows = wrapped(text, 40, 3, lines=3)
    assert " ".join(rows) == text
    assert all(text_width(row, 3) <= 40 for row in rows)
    short = wrapped(text * 4, 40, 3)
    assert len(short) == 2
    assert short[-1].endswith("…")
    assert wrapped("", 40, 3) == ()
