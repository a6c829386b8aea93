# SPDX-License-Identifier: Apache-2.0
"""A drawing of others lies under a plan where its grid reference puts it, whatever kind of file it is."""

import io
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from PIL import Image, ImageDraw

from brattice.adapters.print.underlay import underlay_pictures
from brattice.building.plan import Underlay
from brattice.errors import InputError

DPI = 150 / 25.4
"""Pixels of the picture on a millimetre of paper, as docs/print.md says."""


def drawing(path: Path) -> None:
    """300 × 200 units of sheet with a black bar from (100, 50) to (160, 80), from the left and from the top."""
    picture = Image.new("L", (300, 200), 255)
    ImageDraw.Draw(picture).rectangle((100, 50, 160, 80), fill=0)
    if path.suffix == ".pdf":
        picture.save(path, resolution=25.4)  # a pixel is a millimetre of the page
    else:
        picture.save(path)


def sheet(corner_m: tuple[float, float], width: float, height: float, scale: int) -> Any:
    return SimpleNamespace(
        corner_m=corner_m,
        drawing=SimpleNamespace(frame=SimpleNamespace(width=width, height=height), denominator=scale),
    )


@pytest.mark.parametrize("name", ["level.png", "level.pdf"])
def test_the_bar_lies_where_hand_calculation_puts_it(tmp_path: Path, name: str) -> None:
    """A unit of the sheet is 0.1 m and its left top corner lies at (20, 30): the bar reaches over x 30 … 36 and
    y 25 … 22 m. On a frame at 1:100 whose left bottom corner lies at (28, 20) and which is 100 × 80 mm, that is 20 … 80
    mm from the left and 30 … 60 mm from the top (28 + 10 m, 20 + 8 m at the top).
    """
    drawing(tmp_path / name)
    under = Underlay(name, "Level 1", 1, name.endswith("pdf"), (0.1, 0.0, 20.0, 30.0), ((0, 0), (1, 1)), (0.0, 0.0))
    (made,) = underlay_pictures(tmp_path, under, [sheet((28.0, 20.0), 100.0, 80.0, 100)])
    picture = Image.open(io.BytesIO(made)).convert("L")
    assert picture.size == (round(100 * DPI), round(80 * DPI))

    def shade(x_mm: float, y_mm: float) -> int:
        value = picture.getpixel((round(x_mm * DPI), round(y_mm * DPI)))
        assert isinstance(value, int)
        return value

    inside = [(22, 32), (78, 32), (22, 58), (78, 58), (50, 45)]
    outside = [(18, 45), (83, 45), (50, 28), (50, 63), (2, 2), (98, 78)]
    assert max(shade(*place) for place in inside) < 140  # black is drawn in grey, so that marks stand out
    assert min(shade(*place) for place in outside) > 240


@pytest.mark.parametrize(
    ("content", "page", "said"), [(b"%PDF-1.4 nothing", 1, "a PDF that can't be opened"), (b"", 2, "no page 2")]
)
def test_a_pdf_that_does_not_open_is_named(tmp_path: Path, content: bytes, page: int, said: str) -> None:
    drawing(tmp_path / "level.pdf")
    if content:
        (tmp_path / "level.pdf").write_bytes(content)
    under = Underlay("level.pdf", "Level 1", page, True, (0.1, 0.0, 20.0, 30.0), ((0, 0), (1, 1)), (0.0, 0.0))
    with pytest.raises(InputError, match=said):
        underlay_pictures(tmp_path, under, [sheet((28.0, 20.0), 100.0, 80.0, 100)])
