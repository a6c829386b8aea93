# SPDX-License-Identifier: Apache-2.0
"""The headings of a foreign sheet: rows joined, merged groups spread, units and orders seen, meanings with a score."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from brattice.adapters.foreign.values import SIZE_ORDERS, cell_text
from brattice.adapters.foreign.words import heading_words, plain, size_words
from brattice.adapters.text import one_line
from brattice.adapters.workbook.model import Sheet

__all__ = [
    "LOOKED_AT",
    "MOST_ROWS",
    "SURE",
    "HeadingRows",
    "Meaning",
    "find_heading_rows",
    "heading_key",
    "joined",
    "meanings",
    "stated_order",
    "stated_unit",
]

LOOKED_AT = 60
"""Headings are looked for in this many rows from the top."""

MOST_ROWS = 4
"""Headings take at most this many rows."""

SURE = 0.85
"""The least score with which a heading is mapped by the proposal; below, it is only suggested."""

_JOIN = " / "
_NOISE = frozenset({"size", "nominal", "the", "of", "overall", "fire", "details", "y", "n"})
_WIDTH_FIRST = re.compile(r"\bw(?:idth)?\s*[x×*]\s*h(?:eight)?\b")
_HEIGHT_FIRST = re.compile(r"\bh(?:eight)?\s*[x×*]\s*w(?:idth)?\b")
_BRACKETS = re.compile(r"[(\[]([^()\[\]]*)[)\]]")


@dataclass(frozen=True)
class HeadingRows:
    """Where the headings stand, and the heading of each column of the sheet (counted from 1)."""

    first: int
    count: int
    texts: Mapping[int, str]

    @property
    def last(self) -> int:
        """The last row of the headings."""
        return self.first + self.count - 1


@dataclass(frozen=True)
class Meaning:
    """What a heading may mean: a key of the mapping, how sure (0 to 1), and why."""

    key: str
    score: float
    why: str


@lru_cache(maxsize=16_384)
def heading_key(text: str) -> str:
    """A heading for comparing with the mapping: blanks and capitals aside, nothing else."""
    return one_line(text).casefold()


def joined(sheet: Sheet, first: int, count: int) -> dict[int, str]:
    """The headings of some rows together, by column: what stands below each other is joined with " / ".

    A merged group holds for each of its columns.
    """
    texts: dict[int, list[str]] = {}
    spread = {
        (row, column): (area.first_row, area.first_column)
        for area in sheet.merged
        if area.first_row < first + count and area.last_row >= first and area.last_column - area.first_column < 1000
        for row in range(max(first, area.first_row), min(first + count - 1, area.last_row) + 1)
        for column in range(area.first_column, area.last_column + 1)
    }
    for row in range(first, first + count):
        own = sheet.row(row)
        columns = {*own, *(column for at, column in spread if at == row)}
        for column in columns:
            top, left = spread.get((row, column), (row, column))
            cell = sheet.row(top).get(left)
            text = one_line(cell_text(cell)) if cell is not None else ""
            parts = texts.setdefault(column, [])
            if text and text not in parts:
                parts.append(text)
    return {column: _JOIN.join(parts) for column, parts in sorted(texts.items()) if parts}


def _unit_words(text: str) -> str:
    bare = text.strip().strip(".").casefold()
    return size_words().units.get(bare, "") or size_words().times.get(bare, "")


def stated_unit(heading: str) -> str:
    """The unit that a heading states: in brackets, as a part of its own, or "mm" and the like at its end; else ""."""
    found = [_unit_words(item) for item in _BRACKETS.findall(heading)]
    found += [_unit_words(part) for part in heading.split(_JOIN)[1:]]
    last = heading.replace(")", " ").replace("]", " ").split()
    if len(last) > 1 and len(last[-1]) > 1 and last[-1].casefold() != "in":
        found.append(_unit_words(last[-1]))
    units = {item for item in found if item}
    return units.pop() if len(units) == 1 else ""


def stated_order(heading: str) -> str:
    """Which figure a heading puts first ("W x H"), "" where it does not say."""
    words = heading.casefold()
    if _WIDTH_FIRST.search(words):
        return SIZE_ORDERS[0]
    return SIZE_ORDERS[1] if _HEIGHT_FIRST.search(words) else ""


def _bare(heading: str) -> str:
    """A heading without units and orders, plain."""
    words = _HEIGHT_FIRST.sub(" ", _WIDTH_FIRST.sub(" ", heading.casefold()))
    words = _BRACKETS.sub(lambda match: " " if _unit_words(match.group(1)) else f" {match.group(1)} ", words)
    words = _JOIN.join(part for part in words.split(_JOIN) if not _unit_words(part))
    tokens = plain(words).split()
    if len(tokens) > 1 and len(tokens[-1]) > 1 and tokens[-1] != "in" and _unit_words(tokens[-1]):
        tokens.pop()
    return " ".join(tokens)


def meanings(heading: str) -> list[Meaning]:
    """What a heading may mean, the likeliest first; a single one of at least `SURE` is proposed."""
    return list(_exact(heading) or _near(heading))


@lru_cache(maxsize=4096)
def _exact(heading: str) -> tuple[Meaning, ...]:
    """Meanings by the words of the trade alone."""
    return tuple(_by_words(heading))


def _by_words(heading: str) -> list[Meaning]:
    words = heading_words()
    bare = _bare(heading)
    if not bare:
        return _doubtful("size") if stated_order(heading) else []
    if bare in words.means:
        return [Meaning(words.means[bare], 1.0, "the trade writes it so")]
    if bare in words.doubtful:
        return _doubtful(bare)
    parts = [_bare(part) for part in heading.split(_JOIN)]
    parts = [part for part in parts if part]
    tokens = set(bare.split())
    for less in (tokens, tokens - _NOISE):
        if len(less) < 2:
            continue
        same = {key for text, key in words.means.items() if set(text.split()) == less}
        if len(same) == 1:
            return [Meaning(same.pop(), 0.9, "the same words in another order, or with words that add nothing")]
    if len(parts) > 1 and parts[-1] in words.means:
        neutral = all(part in words.neutral for part in parts[:-1])
        why = "the trade writes the lowest heading so" + ("" if neutral else "; the group above it may say otherwise")
        return [Meaning(words.means[parts[-1]], 0.9 if neutral else 0.7, why)]
    if len(parts) > 1 and parts[-1] in words.doubtful:
        return _doubtful(parts[-1])
    return []


def _near(heading: str) -> list[Meaning]:
    """Meanings of headings that are spelled nearly so, or hold one of them: suggestions, never sure."""
    words = heading_words()
    bare = _bare(heading)
    tokens = set(bare.split())
    found: dict[str, Meaning] = {}
    for text in difflib.get_close_matches(bare, words.means, n=3, cutoff=0.85):
        found.setdefault(words.means[text], Meaning(words.means[text], 0.7, f"spelled nearly like {text!r}"))
    for text, key in words.means.items():
        if len(text) > 2 and set(text.split()) < tokens:
            found.setdefault(key, Meaning(key, 0.6, f"it holds {text!r} and more"))
    return sorted(found.values(), key=lambda item: (-item.score, item.key))[:4]


def _doubtful(bare: str) -> list[Meaning]:
    keys, why = heading_words().doubtful[bare]
    return [Meaning(key, 0.5, why) for key in keys]


def _score(texts: Mapping[int, str]) -> tuple[float, int]:
    """How much a set of headings looks like headings, and how many of them mean something; each counts once."""
    found = [(_exact(text), stated_unit(text)) for text in set(texts.values()) if len(text) <= 200]
    said = [(items[0].score + (0.3 if unit else 0.0), items) for items, unit in found if items]
    return sum(score for score, _ in said), len(said)


def find_heading_rows(sheet: Sheet) -> HeadingRows | None:
    """The rows that look most like headings, of those near the top; None where nothing does."""
    best: tuple[float, int, int] | None = None
    numbers = [number for number, _ in sheet.rows() if number <= LOOKED_AT]
    for first in numbers:
        for count in range(1, MOST_ROWS + 1):
            if first + count - 1 > LOOKED_AT or (count > 1 and first + count - 1 not in numbers):
                break
            score, said = _score(joined(sheet, first, count))
            if said < 2 or score < 1.0:
                continue
            offer = (round(score - 0.25 * (count - 1), 6), -count, -first)
            if best is None or offer > best:
                best = offer
    if best is None:
        return None
    first, count = -best[2], -best[1]
    return HeadingRows(first, count, joined(sheet, first, count))
