# SPDX-License-Identifier: Apache-2.0
import unicodedata
from xml.parsers import expat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.adapters.text import csv_text, one_line, visible_text


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Plant room 1 – 400 × 200", "Plant room 1 – 400 × 200"),
        ("a\0b", "a␀b"),
        ("\x1b[31mred\x7f", "␛[31mred␡"),
        ("abc\u202ecba", "abc⟨U+202E⟩cba"),
        ("\u2066x\u2069", "⟨U+2066⟩x⟨U+2069⟩"),
        ("\ufeffid", "⟨U+FEFF⟩id"),
        ("\ud800", "⟨U+D800⟩"),
        ("\ufffe", "⟨U+FFFE⟩"),
        ("\x85", "⟨U+0085⟩"),
        ("a\r\nb\tc\n", "a\nb\tc\n"),
        ("a\rb", "a␍b"),
        ("\u0915\u094d\u200d\u0937", "\u0915\u094d\u200d\u0937"),
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
    ],
)
def test_what_can_not_be_seen_is_shown(text: str, shown: str) -> None:
    assert visible_text(text) == shown


@given(st.text(st.characters(codec=None)))
def test_shown_text_stays_as_it_is_and_xml_takes_it(text: str) -> None:
    shown = visible_text(text)
    assert visible_text(shown) == shown
    escaped = shown.replace("&", "&amp;").replace("<", "&lt;")
    expat.ParserCreate().Parse(f"<a>{escaped}</a>".encode(), True)
    assert not any(unicodedata.bidirectional(c) in {"RLO", "LRO", "RLE", "LRE", "PDF", "RLI"} for c in shown)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("=1+1", "'=1+1"),
        ("  =1", "'  =1"),
        ("@x", "'@x"),
        ("+44 (invented)", "'+44 (invented)"),
        ("-5", "-5"),
        ("-5.25", "-5.25"),
        ("-", "'-"),
        ("\uff1dx", "'\uff1dx"),
        ("\tx", "'\tx"),
        ("P-0001", "P-0001"),
    ],
)
def test_a_csv_text_never_begins_like_a_formula(text: str, written: str) -> None:
    assert csv_text(text) == written


def test_one_line() -> None:
    assert one_line(" a\n b\tc ") == "a b c"
    assert one_line("abcdef", most=4) == "abc…"
    assert one_line("abcd", most=4) == "abcd"
