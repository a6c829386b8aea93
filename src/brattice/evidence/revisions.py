# SPDX-License-Identifier: Apache-2.0
"""Which of two revisions of one document is the newer, and which revisions stand beside each other in a job.

Revisions are told apart where they are counted in one way: letters, numbers, or dates. A revision counted otherwise,
or one that its date of issue contradicts, leaves the order open.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import replace
from enum import StrEnum

from brattice.building.words import plain
from brattice.evidence.installation import Document, TestedInstallation

__all__ = ["RevisionOrder", "contradictions", "order_of", "with_revisions"]


class RevisionOrder(StrEnum):
    """How one revision of a document stands to another."""

    OLDER = "older"
    SAME = "the same"
    NEWER = "newer"
    NOT_TOLD = "not told"


_CALLED = re.compile(
    r"(?:(?:revision|rev|issue|version|ver|index|edition|ed|number|no|nr)(?=[\W\d]|\Z)|v(?=[\d. ]))[.: ]*"
)
_YEAR = r"((?:19|20)\d{2})"
_YEAR_FIRST = re.compile(rf"{_YEAR}(?:[-/.](\d{{1,2}})(?:[-/.](\d{{1,2}}))?)?\Z", re.ASCII)
_MONTH_FIRST = re.compile(rf"(\d{{1,2}})[-/. ]{_YEAR}\Z", re.ASCII)
_DAY_FIRST = re.compile(rf"(\d{{1,2}})([-/. ])(\d{{1,2}})\2{_YEAR}\Z", re.ASCII)
_NUMBER = re.compile(r"\d{1,8}(?:\.\d{1,6}){0,4}\Z", re.ASCII)
_LETTER = re.compile(r"[a-z]{1,2}\Z", re.ASCII)
_LETTER_NUMBER = re.compile(r"([a-z]{1,2})[ .\-]?(\d{1,6})\Z", re.ASCII)
_NUMBER_LETTER = re.compile(r"(\d{1,6})[ .\-]?([a-z])\Z", re.ASCII)
_DASHES = dict.fromkeys(map(ord, "‐‑‒–—−"), "-")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH_NAME = re.compile(rf"\b({'|'.join(_MONTHS)})[a-z]*\b\.?,?", re.ASCII)

_Key = tuple[int | str, ...]


def _folded(text: str) -> str:
    return plain(unicodedata.normalize("NFKC", text).translate(_DASHES))


def _bare(revision: str) -> str:
    """A revision without the word that calls it one, months as numbers: `"Rev. B"` is `"b"`."""
    text = _folded(revision)
    while (match := _CALLED.match(text)) and match.end() < len(text):
        text = text[match.end() :]
    return _MONTH_NAME.sub(lambda match: str(_MONTHS.index(match.group(1)) + 1), text)


def _dates(text: str) -> set[_Key]:
    """The dates that a text can mean, year first and as far as it tells; days and months may be either way round."""
    if match := _YEAR_FIRST.match(text):
        parts = [tuple(int(part) for part in match.groups() if part is not None)]
    elif match := _MONTH_FIRST.match(text):
        parts = [(int(match.group(2)), int(match.group(1)))]
    elif match := _DAY_FIRST.match(text):
        first, second, year = int(match.group(1)), int(match.group(3)), int(match.group(4))
        parts = [(year, second, first), *([(year, first, second)] if match.group(2) == "/" else [])]
    else:
        return set()
    return {part for part in parts if all(1 <= n <= most for n, most in zip(part[1:], (12, 31), strict=False))}


def _readings(revision: str) -> tuple[str, set[_Key]]:
    """How a revision is counted ("" where that can't be told), and its place in that count."""
    text = _bare(revision)
    if dates := _dates(text):
        return "date", dates
    if _NUMBER.match(text):
        numbers = [int(part) for part in text.split(".")]
        while len(numbers) > 1 and numbers[-1] == 0:
            numbers.pop()
        return "number", {tuple(numbers)}
    if _LETTER.match(text):
        return "letter", {(len(text), text)}
    if match := _LETTER_NUMBER.match(text):
        return f"number after {match.group(1)}", {(int(match.group(2)),)}
    if match := _NUMBER_LETTER.match(text):
        return "letter after number", {(int(match.group(1)), match.group(2))}
    return "", set()


def _order(one: _Key, other: _Key, counted: str) -> RevisionOrder:
    if one == other:
        return RevisionOrder.SAME
    shorter = min(len(one), len(other))
    if counted == "date" and one[:shorter] == other[:shorter]:
        return RevisionOrder.NOT_TOLD  # "2024" and "2024-03"
    return RevisionOrder.OLDER if one < other else RevisionOrder.NEWER


def order_of(one: Document, other: Document) -> RevisionOrder:
    """How a document stands to another of the same reference: the older, the same, the newer, or not told.

    Dates of issue alone don't tell; where they contradict the revisions, the order is not told.
    """
    if _bare(one.revision) == _bare(other.revision):
        return RevisionOrder.SAME
    (counted, mine), (counted_there, theirs) = _readings(one.revision), _readings(other.revision)
    if not counted or counted != counted_there:
        return RevisionOrder.NOT_TOLD
    found = {_order(a, b, counted) for a in mine for b in theirs}
    if len(found) > 1:
        return RevisionOrder.NOT_TOLD
    (order,) = found
    against = {RevisionOrder.OLDER: one.issued > other.issued, RevisionOrder.NEWER: one.issued < other.issued}
    return RevisionOrder.NOT_TOLD if against.get(order, False) else order


def contradictions(one: Document, other: Document) -> tuple[str, ...]:
    """In what two statements of the same revision differ that decides whether it stands."""
    told = {
        "date of issue": (one.issued, other.issued),
        "validity": ((one.valid_from, one.valid_to), (other.valid_from, other.valid_to)),
        "withdrawal": (one.withdrawn_on, other.withdrawn_on),
        "standard": ((_folded(one.standard), _folded(one.edition)), (_folded(other.standard), _folded(other.edition))),
        "level": (one.level, other.level),
    }
    return tuple(words for words, (mine, theirs) in told.items() if mine != theirs)


def _reference(maker: str, document: Document) -> tuple[str, str]:
    """What makes two documents revisions of one: the maker and the reference, blanks round its signs aside."""
    return _folded(maker), re.sub(r"\s*([/\-.:])\s*", r"\1", _folded(document.reference))


def _key(document: Document) -> tuple[str, ...]:
    days = (document.issued, document.valid_from, document.valid_to, document.withdrawn_on)
    words = (document.level, document.standard, document.edition, document.certificate, document.instructions)
    marking = ",".join(sorted(document.marking or ()))
    return document.revision, *map(str, days), *map(str, words), str(document.third_party), marking


def with_revisions(
    installations: Iterable[TestedInstallation], documents: Iterable[tuple[str, Document]] = ()
) -> tuple[TestedInstallation, ...]:
    """The installations, each with all other statements of its maker's document of that reference.

    `documents` are further documents with their makers, such as no installation rests on. Twice changes nothing; the
    order changes nothing.
    """
    given = tuple(installations)
    stated: dict[tuple[str, str], set[Document]] = {}
    for item in given:
        stated.setdefault(_reference(item.maker, item.document), set()).update((item.document, *item.other_revisions))
    for maker, document in documents:
        stated.setdefault(_reference(maker, document), set()).add(document)
    found = []
    for item in given:
        others = stated[_reference(item.maker, item.document)] - {item.document}
        found.append(replace(item, other_revisions=tuple(sorted(others, key=_key))))
    return tuple(found)
