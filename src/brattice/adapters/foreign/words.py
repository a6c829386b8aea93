# SPDX-License-Identifier: Apache-2.0
"""The words of the trade as data: headings, words in cells, units and the sizes that can be. All common practice."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Annotated, Literal, TypeVar

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["COMPOUND", "HeadingWords", "SizeWords", "ValueWords", "heading_words", "plain", "size_words", "value_words"]

COMPOUND = {"duct_size": "duct", "damper_size": "damper", "framed_size": "framed", "finished_size": "finished"}
"""Keys of a mapping for a whole size in one cell, and the stem of the schedule's columns that it fills."""

T = TypeVar("T", bound=BaseModel)


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class _Source(_Strict):
    id: str
    version: int
    standard: str
    clause: str
    edition: str
    how_known: Literal["read", "secondary", "memory"]
    confidence: Literal["high", "medium"]
    paraphrase: Annotated[str, Field(min_length=8)]


class _DoubtfulHeading(_Strict):
    words: list[str]
    keys: Annotated[list[str], Field(min_length=1)]
    why: str


class _Neutral(_Strict):
    words: list[str]


class _HeadingFile(_Strict):
    source: _Source
    neutral: _Neutral
    means: dict[str, list[str]]
    doubtful: list[_DoubtfulHeading]


class _Word(_Strict):
    key: str
    says: Annotated[list[str], Field(min_length=1)]
    words: list[str]


class _DoubtfulWord(_Strict):
    key: str
    words: list[str]
    why: str


class _NotStated(_Strict):
    words: list[str]


class _YesNo(_Strict):
    yes: list[str]
    no: list[str]


class _ValueFile(_Strict):
    source: _Source
    not_stated: _NotStated
    yes_no: _YesNo
    word: list[_Word]
    doubtful: list[_DoubtfulWord]


class _Unit(_Strict):
    name: Literal["mm", "cm", "m", "in"]
    mm: float
    words: list[str]


class _Time(_Strict):
    name: Literal["min", "h"]
    minutes: int
    words: list[str]


class _Minutes(_Strict):
    least: int
    most: int


class _Rows(_Strict):
    total: list[str]
    note: list[str]
    deleted: list[str]


class _SizeFile(_Strict):
    source: _Source
    between: dict[str, Annotated[list[float], Field(min_length=2, max_length=2, strict=False)]]
    unit: list[_Unit]
    time: list[_Time]
    minutes: _Minutes
    rows: _Rows


@lru_cache(maxsize=16_384)
def plain(text: str) -> str:
    """A text for comparing: small letters, punctuation as blanks, apostrophes gone, single blanks."""
    bare = text.casefold().replace("'", "").replace("’", "")
    return " ".join(re.sub(r"[^\w°ø?✓✔\"″]+", " ", bare).split())


@dataclass(frozen=True)
class HeadingWords:
    """What headings mean: plain heading to key, and plain heading to the keys that it may mean and why it is open.

    `neutral` are the groups over headings that add nothing.
    """

    means: dict[str, str]
    doubtful: dict[str, tuple[tuple[str, ...], str]]
    neutral: frozenset[str]


@dataclass(frozen=True)
class ValueWords:
    """What words in cells say: by key, plain word to the values; by key, plain word to why it is open."""

    says: dict[str, dict[str, tuple[str, ...]]]
    doubtful: dict[str, dict[str, str]]
    yes: frozenset[str]
    no: frozenset[str]
    not_stated: frozenset[str]


@dataclass(frozen=True)
class SizeWords:
    """Units of length [mm each] and of time [min each] by their spelling; what lengths can be [mm]; words of rows."""

    units: dict[str, str]
    mm: dict[str, float]
    times: dict[str, str]
    minutes: dict[str, int]
    between: dict[str, tuple[float, float]]
    rating_between: tuple[int, int]
    total: frozenset[str]
    note: frozenset[str]
    deleted: frozenset[str]


def _file(name: str, kind: type[T]) -> T:
    text = resources.files("brattice.adapters.foreign").joinpath("data", name).read_text("utf-8")
    return kind.model_validate(tomllib.loads(text))


@lru_cache(maxsize=1)
def heading_words() -> HeadingWords:
    """The shipped headings. A heading under two keys would be our own fault; a test holds them apart."""
    read = _file("headings.toml", _HeadingFile)
    return HeadingWords(
        {plain(word): key for key, words in read.means.items() for word in words},
        {plain(word): (tuple(item.keys), item.why) for item in read.doubtful for word in item.words},
        frozenset(plain(word) for word in read.neutral.words),
    )


@lru_cache(maxsize=1)
def value_words() -> ValueWords:
    """The shipped words of cells."""
    read = _file("values.toml", _ValueFile)
    says: dict[str, dict[str, tuple[str, ...]]] = {}
    doubtful: dict[str, dict[str, str]] = {}
    for item in read.word:
        says.setdefault(item.key, {}).update({plain(word): tuple(item.says) for word in item.words})
    for doubt in read.doubtful:
        doubtful.setdefault(doubt.key, {}).update({plain(word): doubt.why for word in doubt.words})
    return ValueWords(
        says,
        doubtful,
        frozenset(plain(word) for word in read.yes_no.yes),
        frozenset(plain(word) for word in read.yes_no.no),
        frozenset(" ".join(word.split()).casefold() for word in read.not_stated.words),
    )


@lru_cache(maxsize=1)
def size_words() -> SizeWords:
    """The shipped units, bounds and words of rows."""
    read = _file("sizes.toml", _SizeFile)
    return SizeWords(
        {word: unit.name for unit in read.unit for word in unit.words},
        {unit.name: unit.mm for unit in read.unit},
        {word: time.name for time in read.time for word in time.words},
        {time.name: time.minutes for time in read.time},
        {kind: (low, high) for kind, (low, high) in read.between.items()},
        (read.minutes.least, read.minutes.most),
        frozenset(read.rows.total),
        frozenset(read.rows.note),
        frozenset(read.rows.deleted),
    )
