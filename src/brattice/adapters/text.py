# SPDX-License-Identifier: Apache-2.0
"""Text from outside made fit for every output: what can't be seen is shown, what could act is made plain text.

Names of elements, sheets and people come from files that anybody may have written. They may hold characters that
end a string (NUL), reorder what is read (direction overrides), or that XML does not allow. `visible_text` shows
each of them instead of passing it on; escaping for HTML, SVG or a URL is still the output's own duty.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

__all__ = ["csv_text", "kept_text", "one_line", "unkept_text", "visible_text"]

_JOINERS = frozenset({"\u200c", "\u200d"})
"""Format characters that scripts need to be written rightly."""

_STAYING = {ord("\n"): None, ord("\t"): None}

_SHOWN_KINDS = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})

_ACTS_IN_A_SHEET = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""First characters that spreadsheet programs may take for a formula; the last four are full-width forms."""

_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?\Z", re.ASCII)


def _is_no_character(code: int) -> bool:
    """Whether Unicode sets this code point aside for ever; XML forbids two of them."""
    return 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE


def _shown(character: str) -> str:
    code = ord(character)
    if character in "\n\t" or character in _JOINERS:
        return character
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\u2421"
    if unicodedata.category(character) in _SHOWN_KINDS or _is_no_character(code):
        return f"⟨U+{code:04X}⟩"
    return character


def visible_text(text: str) -> str:
    """The text with every invisible or acting character shown; line breaks (as "\\n") and tabs stay.

    Control characters become their pictures (NUL reads "␀"), direction marks and overrides, other format
    characters, lone surrogates and code points that are no characters read like "⟨U+202E⟩". The answer can stand
    in XML; done twice it changes nothing.
    """
    if text.isprintable():  # no control, format, surrogate or unassigned character is
        return text
    if text.translate(_STAYING).isprintable():
        return text
    return "".join(map(_shown, text.replace("\r\n", "\n")))


@lru_cache(maxsize=16_384)  # a sheet says the same again and again
def one_line(text: str, most: int | None = None) -> str:
    """`visible_text` on one line: each run of blanks, tabs and line breaks is one blank; ends are trimmed.

    With `most`, a longer text is cut to that many characters, the last of which is "…".
    """
    line = " ".join(visible_text(text).split())
    return line if most is None or len(line) <= most else line[: most - 1] + "…"


def csv_text(text: str) -> str:
    """`visible_text` that a spreadsheet program won't take for a formula when it opens a CSV file.

    A text that begins like a formula gets an apostrophe before it, unless it is a plain number.
    """
    shown = visible_text(text)
    begins = shown.lstrip(" ").startswith(_ACTS_IN_A_SHEET)
    return f"'{shown}" if begins and not _NUMBER.match(shown) else shown


_KEPT_ACTS = ("=", "+", "-", "@", "'", "\t", "\r", " ", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_ESCAPE = re.compile(r"\\(\\|u\{([0-9a-f]{1,6})\})")


def kept_text(text: str) -> str:
    """A text as it stands in a CSV file of the job: nothing invisible, nothing that acts; `unkept_text` reads it."""
    shown = "".join(
        "\\\\" if char == "\\" else char if char.isprintable() else f"\\u{{{ord(char):x}}}" for char in text
    )
    return f"'{shown}" if shown.startswith(_KEPT_ACTS) else shown


def unkept_text(text: str) -> str:
    """The text that `kept_text` wrote."""
    plain = text.removeprefix("'")
    return _ESCAPE.sub(lambda match: "\\" if match.group(2) is None else chr(int(match.group(2), 16)), plain)
