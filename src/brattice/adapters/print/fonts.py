# SPDX-License-Identifier: Apache-2.0
"""The fonts of printed pages: where they are, how wide their letters are, which characters they have.

Lato comes with a package and is handed to the typesetter by its folder; what Lato lacks is taken from the plain fonts
that the typesetter carries itself. No font of the machine is ever used, so that pages are the same everywhere.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from importlib import resources
from pathlib import Path

from PIL import ImageFont

from brattice.adapters.text import one_line, visible_text
from brattice.drawing.metrics import FontMetrics

__all__ = ["FONT", "FONT_FALLBACK", "font_folder", "lato_metrics", "printable", "printable_line"]

FONT = "Lato"
FONT_FALLBACK = "DejaVu Sans Mono"

_REGULAR, _BOLD = "Lato-Regular.ttf", "Lato-Bold.ttf"
_EM = 1000
_MEASURED = (*range(0x20, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x100), 0x2013, 0x2014, 0x2026)
_OTHER, _CAP_HEIGHT, _DEPTH = 1050, 730, 215

_PRINTABLE: tuple[tuple[int, int], ...] = (
    (0x09, 0x0A), (0x20, 0x7E), (0xA0, 0xAC), (0xAE, 0x2FF), (0x370, 0x377), (0x37A, 0x37F), (0x384, 0x38A),
    (0x38C, 0x38C), (0x38E, 0x3A1), (0x3A3, 0x482), (0x48A, 0x4FF), (0x5D0, 0x5EA), (0x621, 0x63A), (0x641, 0x64A),
    (0x10D0, 0x10FF), (0x1E00, 0x1EFF), (0x2010, 0x2027), (0x202F, 0x2040), (0x2044, 0x2052), (0x2070, 0x2071),
    (0x2074, 0x208E), (0x20A0, 0x20C0), (0x2100, 0x211E), (0x2126, 0x2151), (0x2153, 0x2184), (0x2190, 0x23FF),
    (0x2460, 0x262F), (0x27B1, 0x2B73), (0xFB00, 0xFB06),
)  # fmt: skip
"""The characters that the fonts together have (a test sets each of them)."""

_LACKING = re.compile("[^" + "".join(f"{chr(low)}-{chr(high)}" for low, high in _PRINTABLE) + "]")


def font_folder() -> Path:
    """The folder with the font files of the package."""
    return Path(str(resources.files("font_lato"))) / "files"


@cache
def lato_metrics() -> FontMetrics:
    """The advance widths of Lato, measured from its own file."""
    regular, bold = (
        ImageFont.truetype(str(font_folder() / name), _EM, layout_engine=ImageFont.Layout.BASIC)
        for name in (_REGULAR, _BOLD)
    )
    signs = [chr(code) for code in _MEASURED]
    widths = {sign: round(regular.getlength(sign)) for sign in signs}
    widest = max(bold.getlength(sign) / widths[sign] for sign in signs if sign.isalnum() and sign.isascii())
    return FontMetrics(FONT, widths, _OTHER, _CAP_HEIGHT, _DEPTH, round(widest, 3))


def _in_numbers(match: re.Match[str]) -> str:
    code = ord(match.group())
    if 0x2400 <= code < 0x2420:  # the picture of a control character
        code -= 0x2400
    return f"⟨U+{0x7F if code == 0x2421 else code:04X}⟩"


def printable(text: str) -> str:
    """The text as it is printed: what the fonts lack, or what acts on its neighbours, is shown by its number."""
    return _LACKING.sub(_in_numbers, unicodedata.normalize("NFC", visible_text(text)))


def printable_line(text: str) -> str:
    """`printable` on one line."""
    return printable(one_line(text))
