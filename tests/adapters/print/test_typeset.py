# SPDX-License-Identifier: Apache-2.0
"""The typesetter's means: fonts and their widths, characters that can't be printed, limits, faults of our own."""

import json
from pathlib import Path

import pytest
import typst

from brattice.adapters.child import Limits
from brattice.adapters.print import typeset as module
from brattice.adapters.print.fonts import (
    _PRINTABLE,
    FONT,
    FONT_FALLBACK,
    font_folder,
    lato_metrics,
    printable,
    printable_line,
)
from brattice.adapters.print.typeset import STANDARDS, Drawn, printable_data, typeset
from brattice.drawing.metrics import text_width
from brattice.errors import InputError, OwnFault


def test_the_fonts_have_every_character_that_is_let_through(tmp_path: Path) -> None:
    """The compiler refuses a file with a character that no font has; it is the oracle here."""
    signs = [chr(code) for low, high in _PRINTABLE for code in range(low, high + 1)]
    letters = [sign for sign in signs if sign == printable(sign) and not sign.isspace()]
    assert len(letters) > 3000
    (tmp_path / "signs.json").write_text(json.dumps(letters), "utf-8")
    page = tmp_path / "signs.typ"
    page.write_text(
        '#set document(title: "signs")\n'
        f'#set text(font: ("{FONT}", "{FONT_FALLBACK}"), lang: "en")\n'
        '#for sign in json("signs.json") [#sign ]\n',
        "utf-8",
    )
    made = typst.compile(
        str(page), font_paths=[str(font_folder())], ignore_system_fonts=True, pdf_standards=list(STANDARDS), timestamp=0
    )
    assert made is not None
    assert made.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Level 1 ≥ 30 ↔ Ø315", "Level 1 ≥ 30 ↔ Ø315"),
        ("Ebene Süd, 2. Stock", "Ebene Süd, 2. Stock"),
        ("Zażółć, Ψ, Ж", "Zażółć, Ψ, Ж"),
        ("e\u0301", "é"),
        ("中", "⟨U+4E2D⟩"),
        ("\u0301", "⟨U+0301⟩"),
        ("a\u202eb", "a⟨U+202E⟩b"),
        ("\x00", "⟨U+0000⟩"),
        ("\x7f", "⟨U+007F⟩"),
        ("\ud800", "⟨U+D800⟩"),
        ("\U0001f525", "⟨U+1F525⟩"),
        ("soft\u00adhyphen", "soft⟨U+00AD⟩hyphen"),
    ],
)
def test_what_the_fonts_lack_or_what_acts_is_shown_by_its_number(text: str, shown: str) -> None:
    assert printable(text) == shown
    assert printable(shown) == shown


def test_a_line_is_one_line() -> None:
    assert printable_line("a\n b\t中") == "a b ⟨U+4E2D⟩"


def test_data_become_printable_all_through_and_drawings_stay() -> None:
    given = {"a": ["中", {"b": ("\x00", 1, None, True)}], "svg": Drawn("<svg>中</svg>")}
    assert printable_data(given) == {"a": ["⟨U+4E2D⟩", {"b": ["⟨U+0000⟩", 1, None, True]}], "svg": "<svg>中</svg>"}


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", ["P-0123", "outside scope", "600 × 400", "Ø 315", "AVATAR To.", "FD/L03-017 (A)"])
def test_widths_are_those_that_the_typesetter_measures(tmp_path: Path, text: str, bold: bool) -> None:
    """Never narrower than what the typesetter measures without kerning, and not much wider."""
    page = tmp_path / "width.typ"
    weight = "bold" if bold else "regular"
    page.write_text(
        f'#context [#metadata(measure(text(font: "{FONT}", size: 10mm, weight: "{weight}", kerning: false, '
        f"ligatures: false, {json.dumps(text, ensure_ascii=False)})).width.mm()) <width>]\n",
        "utf-8",
    )
    found = typst.query(
        str(page), "<width>", field="value", one=True, font_paths=[str(font_folder())], ignore_system_fonts=True
    )
    measured = float(json.loads(found))
    ours = text_width(text, 10.0, lato_metrics(), bold=bold)
    assert measured - 0.02 <= ours <= measured * 1.08


def test_a_template_that_lacks_its_data_is_our_own_fault() -> None:
    with pytest.raises(OwnFault, match=r"report\.pdf can't be set"):
        typeset("report", {"job": "x"}, epoch=0, subject="report.pdf")


@pytest.mark.parametrize("limits", [Limits(memory_bytes=48 * 1024**2, deaths=1), Limits(seconds=0.01, deaths=1)])
def test_pages_beyond_the_limits_are_named(monkeypatch: pytest.MonkeyPatch, limits: Limits) -> None:
    monkeypatch.setattr(module, "_LIMITS", limits)
    with pytest.raises(InputError) as caught:
        typeset("report", {}, epoch=0, subject="report.pdf")
    (fault,) = caught.value.faults
    assert fault.file == "report.pdf"
    assert "pages that can't be set" in fault.found
