# SPDX-License-Identifier: Apache-2.0
"""One cell of a foreign sheet as a value of ours: read where it is certain, else named with what was expected.

Nothing here guesses. A figure without a unit takes the one that the mapping states; a figure that no length of its
kind can be is left unread, since its unit is then in doubt.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from brattice.adapters.foreign.words import COMPOUND, plain, size_words, value_words
from brattice.adapters.sheets import SCHEDULE
from brattice.adapters.text import one_line, visible_text
from brattice.adapters.workbook.model import Cell, CellKind
from brattice.adapters.workbook.table import NOT_STATED, FieldKind, FieldValue
from brattice.building.ratings import rating_from_text
from brattice.classes import ClassSteps, Family, family_of, read_class
from brattice.errors import ClassTextError
from brattice.quantities import number_text

__all__ = ["LENGTHS", "SIZE_ORDERS", "NotRead", "Unread", "cell_text", "is_not_stated", "needs_unit", "read_value"]

SIZE_ORDERS = ("width-height", "height-width")
"""Which figure comes first where a cell holds a whole size without letters."""

LENGTHS = frozenset(
    column.key
    for column in SCHEDULE.columns
    if column.kind is FieldKind.NUMBER and (column.key.endswith("_mm") or column.key in {"x_m", "y_m", "z_m"})
)
"""The keys of the schedule that hold a length."""

_COLUMNS = {column.key: column for column in SCHEDULE.columns}
_KINDS = {
    "width_mm": "side",
    "height_mm": "side",
    "diameter_mm": "diameter",
    "thickness_mm": "thickness",
    "seal_depth_mm": "seal",
    "blade_offset_mm": "offset",
    "centre_above_floor_mm": "centre",
    "fixing_spacing_mm": "spacing",
    "rod_length_mm": "rod",
    "run_between_fixed_mm": "run",
    "joint_travel_mm": "travel",
    "door_distance_mm": "distance",
    "zone_depth_mm": "zone",
}
_UNRATED = frozenset({"unrated", "not rated", "no rating", "no fire resistance"})
_UNIT = "|".join(re.escape(word) for word in sorted(size_words().units, key=len, reverse=True))
_TIME = "|".join(sorted(size_words().times, key=len, reverse=True))
_FIGURE = r"\d{1,3}(?:,\d{3})+|\d+(?:[.,]\d+)?"
_LENGTH = re.compile(rf"([-+]?)({_FIGURE})\s*({_UNIT})?\.?\Z")
_FIRST, _SECOND = (
    rf"(?P<l{n}>[wh])?\s*(?P<n{n}>{_FIGURE})\s*(?P<u{n}>{_UNIT})?\s*(?P<t{n}>(?:wide|high|w|h))?" for n in (1, 2)
)
_PAIR = re.compile(rf"{_FIRST}\s*(?:[x×*✕╳]|by|\s)\s*{_SECOND}\Z")
_MARK = r"(?:ø|⌀|∅|φ|ϕ|diameter|diam\.?|dia\.?)"
_ROUND = re.compile(
    rf"(?:{_MARK}\s*(?P<a>{_FIGURE})\s*(?P<ua>{_UNIT})?|(?P<b>{_FIGURE})\s*(?P<ub>{_UNIT})?\s*{_MARK})\Z"
)
_HOURS = re.compile(rf"(\d+(?:\.\d+)?|\d?½)\s*({_TIME})\.?\Z")
_NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)\s*(\D*)\Z")
_OWN_UNITS = {
    "deg": {"°", "deg", "degrees"},
    "kg": {"kg", "kgs", "kilogram", "kilograms"},
    "Pa": {"pa"},
    "l/s": {"l/s", "ls", "litres/s", "l per s"},
}
"""How the unit of a column that holds no length may be written behind a figure; another unit is not read."""
_LONGEST_FIGURE = 60
_MOST = 10**15
_CELSIUS = re.compile(r"\(?\b\d{2,3}\s*(?:°|º|deg)?\s*c\b\)?")


@dataclass(frozen=True)
class Unread:
    """A cell that was not read: what stands there and what would be read."""

    found: str
    expected: str


class NotRead(Exception):
    """Raised inside the reading of one cell; the caller names the place."""

    def __init__(self, expected: str) -> None:
        super().__init__(expected)
        self.expected = expected


def needs_unit(key: str) -> bool:
    """Whether figures under a key need a unit: lengths and whole sizes do."""
    return key in LENGTHS or key in COMPOUND


def cell_text(cell: Cell) -> str:
    """What a cell shows, as text; "" for nothing. A whole number has no decimal point."""
    value = cell.value
    if type(value) is str:
        return visible_text(value).strip()
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        if abs(value) > _MOST:
            return "a number of more than 15 digits"
        return str(int(value)) if math.isfinite(value) and float(value).is_integer() else repr(float(value))
    return visible_text(str(value)).strip()


@lru_cache(maxsize=16_384)
def is_not_stated(text: str) -> bool:
    """Whether a text says as much as an empty cell does."""
    bare = " ".join(text.split()).casefold()
    return bare in {"", *NOT_STATED} or bare in value_words().not_stated


def _numbers(figure: str) -> Iterator[float]:
    """The numbers that a figure may be: a comma parts thousands or stands for the decimal point."""
    if "," not in figure:
        yield float(figure)
        return
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+", figure):
        yield float(figure.replace(",", ""))
    if figure.count(",") == 1 and "." not in figure:
        yield float(figure.replace(",", "."))


def _kind_of(key: str) -> str:
    if key.startswith(("framed_", "finished_")):
        return "opening"
    if key.startswith("gap_"):
        return "gap"
    if key.startswith("near_"):
        return "distance"
    return next(kind for end, kind in _KINDS.items() if key.endswith(end))


def _bounds(key: str) -> str:
    low, high = size_words().between[_kind_of(key)]
    return f"a length of {number_text(low)} to {number_text(high)} mm"


def _can_be(mm: float, key: str) -> bool:
    low, high = size_words().between[_kind_of(key)]
    return low <= mm <= high


def _lengths(figure: str, unit: str, key: str) -> list[float]:
    """The lengths [mm] that a figure in a unit can be under a key."""
    found = {round(number * size_words().mm[unit], 3) for number in _numbers(figure)}
    return sorted(mm for mm in found if _can_be(mm, key))


def _one_length(figure: str, unit: str, key: str) -> float:
    if not unit:
        raise NotRead(f"{_bounds(key)} with its unit; neither the heading nor the cell states one")
    found = _lengths(figure, unit, key)
    if len(found) != 1:
        in_unit = "" if unit == "mm" else f" (read in {unit})"
        raise NotRead(f"{_bounds(key)}{in_unit}; is it in another unit?")
    return found[0]


def _unit_in(word: str | None) -> str:
    return size_words().units.get(word or "", "")


def _plain_number(text: str) -> str:
    """A text for the patterns of figures: small letters, single blanks; longer ones hold more than a figure."""
    words = " ".join(text.casefold().split())
    if len(words) > _LONGEST_FIGURE:
        raise NotRead(f"figures and units alone, at most {_LONGEST_FIGURE} characters")
    return words


def _length(text: str, key: str, unit: str) -> float:
    match = _LENGTH.match(_plain_number(text))
    if match is None:
        raise NotRead(f"{_bounds(key)}, one figure")
    sign, figure, stated = match.groups()
    if sign:
        if _kind_of(key) != "offset":
            raise NotRead(_bounds(key))
        return (-1 if sign == "-" else 1) * _one_length(figure, _unit_in(stated) or unit, key)
    return _one_length(figure, _unit_in(stated) or unit, key)


def _metres(text: str, unit: str) -> float:
    match = re.match(rf"(-?\d+(?:\.\d+)?)\s*({_UNIT})?\Z", _plain_number(text))
    named = _unit_in(match.group(2)) if match else ""
    if match is None or not (named or unit):
        raise NotRead("one figure with a decimal point, and a unit in the heading or the cell")
    metres = round(float(match.group(1)) * size_words().mm[named or unit] / 1000.0, 6)
    if abs(metres) > (_COLUMNS["x_m"].most or 0.0):
        raise NotRead("a place on earth")
    return metres


def _side_letter(match: re.Match[str], number: int) -> str:
    before, after = match.group(f"l{number}"), match.group(f"t{number}")
    if before and after and before != after[0]:
        raise NotRead("one letter a figure, W or H")
    return (before or after or "")[:1]


def _size(text: str, stem: str, unit: str, order: str) -> dict[str, float]:
    """A whole size in one cell, by the schedule's keys."""
    words = _plain_number(text)
    width, height, across = f"{stem}_width_mm", f"{stem}_height_mm", f"{stem}_diameter_mm"
    if match := _ROUND.match(words):
        figure = match.group("a") or match.group("b")
        return {across: _one_length(figure, _unit_in(match.group("ua") or match.group("ub")) or unit, across)}
    pair = _PAIR.match(words)
    if pair is None:
        raise NotRead("a size like 600 x 400, W600 H400, Ø315 or 315 dia")
    letters = (_side_letter(pair, 1), _side_letter(pair, 2))
    if not any(letters) and re.search(r"\d\s+\d", words) and not re.search(r"[x×*✕╳]|by", words):
        raise NotRead("a size like 600 x 400; two figures and a blank could be one number")
    if letters[0] and letters[0] == letters[1]:
        raise NotRead("one figure for W and one for H")
    first = letters[0] or {"w": "h", "h": "w"}.get(letters[1], "")
    if not first and order not in SIZE_ORDERS:
        raise NotRead("W or H at the figures, or an order in the mapping")
    keys = (width, height) if first == "w" or (not first and order == SIZE_ORDERS[0]) else (height, width)
    units = (_unit_in(pair.group("u1")), _unit_in(pair.group("u2")))
    return dict(zip(keys, _two_lengths((pair.group("n1"), pair.group("n2")), units, unit, keys), strict=True))


def _two_lengths(
    figures: tuple[str, str], units: tuple[str, str], unit: str, keys: tuple[str, str]
) -> tuple[float, float]:
    """Two figures of one size; a unit that stands behind the last alone is taken for both only where nothing else
    can be meant.
    """
    first, last = units
    if last and not first and last != unit:
        together = _lengths(figures[0], last, keys[0])
        apart = _lengths(figures[0], unit, keys[0]) if unit else []
        if len(together) != 1 or apart:
            raise NotRead(f"the unit at both figures; {last} may be meant for the last alone")
        return together[0], _one_length(figures[1], last, keys[1])
    if first and not last and first != unit:
        raise NotRead(f"the unit at both figures; {first} may be meant for the first alone")
    return _one_length(figures[0], first or unit, keys[0]), _one_length(figures[1], last or unit, keys[1])


def _rating(text: str, unit: str) -> str:
    """A text of a rating that the schedule's own reader takes."""
    words = _plain_number(text)
    if words in _UNRATED:
        return "unrated"
    low, high = size_words().rating_between
    expected = f"{low} to {high} minutes with a unit, or a class with letters (EI 60, REI 120)"
    if match := _HOURS.match(words):
        number = match.group(1)
        figure = float(number[:-1] or 0) + 0.5 if number.endswith("½") else float(number)
        minutes = figure * size_words().minutes[size_words().times[match.group(2)]]
    elif re.fullmatch(r"\d+(?:\.\d+)?", words):
        if unit not in size_words().minutes:
            raise NotRead(f"{expected}; a figure alone needs min or h in the heading")
        minutes = float(words) * size_words().minutes[unit]
    else:
        rating = rating_from_text(text)
        if rating is None or rating.integrity_min < low:
            raise NotRead(f"{expected}; what the criteria are is asked, not guessed")
        return text
    if not low <= minutes <= high or not minutes.is_integer():
        raise NotRead(expected)
    return f"{int(minutes)} min"


def _class(text: str, steps: ClassSteps) -> str:
    family = family_of(text) or Family.FIRE_DAMPER
    if family is Family.BARRIER:
        raise NotRead("a class of a damper; this is one of a wall or floor")
    try:
        read_class(text, family, steps)
    except ClassTextError as error:
        if not _is_of_no_step(text, family, steps):
            raise NotRead(error.faults[0].expected) from error
    return one_line(text)


def _is_of_no_step(text: str, family: Family, steps: ClassSteps) -> bool:
    """Whether a class can be read but for its time, which no table holds: it is claimed as it stands, and fails."""
    with_a_step = re.sub(r"\d+", "60", text, count=1)
    try:
        read_class(with_a_step, family, steps)
    except ClassTextError:
        return False
    return with_a_step != text


def _yes_no(text: str) -> bool:
    words = plain(text)
    if words in value_words().yes:
        return True
    if words in value_words().no:
        return False
    raise NotRead("yes or no (Y, N)")


def _words(text: str, key: str, many: bool) -> tuple[str, ...]:
    column = _COLUMNS[key]
    own = {plain(word): (word,) for word in column.words}
    says, doubtful = value_words().says.get(key, {}), value_words().doubtful.get(key, {})
    parts = re.split(r"[;,+&]|\band\b", text.casefold()) if many and plain(text) not in own else [text]
    found: dict[str, None] = {}
    for part in parts:
        bare = plain(_CELSIUS.sub(" ", " ".join(part.split())) if key == "actuation" else part)
        said = None if bare in doubtful else own.get(bare) or says.get(bare)
        if said is None:
            open_word = next((word for word in doubtful if f" {word} " in f" {bare} "), None)
            expected = f"one of: {', '.join(column.words)}"
            raise NotRead(f"{expected} ({doubtful[open_word]})" if open_word else expected)
        found.update(dict.fromkeys(said))
    return tuple(found)


def _whole(text: str, key: str) -> int:
    said = value_words().says.get(key, {}).get(plain(text), (text.strip(),))[0]
    if not re.fullmatch(r"\d{1,3}", said, re.ASCII):
        raise NotRead("a whole number")
    return int(said)


def read_value(cell: Cell, key: str, unit: str, order: str, steps: ClassSteps) -> Mapping[str, FieldValue] | Unread:
    """What a cell that states something says under a key of the mapping, by keys of the schedule, or why it says
    nothing for certain.

    `unit` ("mm", "cm", "m", "in"; "min", "h" for ratings; "" for none) and `order` are those of the mapping.
    """
    text = cell_text(cell)
    try:
        if cell.kind is CellKind.ERROR:
            raise NotRead("a value; the cell shows an error")
        if cell.kind in {CellKind.DATE, CellKind.TIME}:
            raise NotRead("text or a number; the sheet stores a date here")
        if isinstance(cell.value, int | float) and abs(cell.value) > _MOST:
            raise NotRead("text, or a number of fewer digits; a sheet keeps 15 of them")
        return _read(text, key, unit, order, steps)
    except NotRead as error:
        return Unread(one_line(text, 60), error.expected)


@lru_cache(maxsize=16_384)
def _read(text: str, key: str, unit: str, order: str, steps: ClassSteps) -> Mapping[str, FieldValue]:
    if key in COMPOUND:
        return _size(text, COMPOUND[key], unit, order)
    if key == "rating":
        return {key: _rating(text, unit)}
    if key == "class_text":
        return {key: _class(text, steps)}
    column = _COLUMNS[key]
    match column.kind:
        case FieldKind.NUMBER if key in {"x_m", "y_m", "z_m"}:
            return {key: _metres(text, unit)}
        case FieldKind.NUMBER if key in LENGTHS:
            return {key: _length_or_round(text, key, unit)}
        case FieldKind.NUMBER:
            return {key: _number_between(text, key)}
        case FieldKind.WHOLE:
            return {key: _number_between(str(_whole(text, key)), key, whole=True)}
        case FieldKind.YES_NO:
            return {key: _yes_no(text)}
        case FieldKind.WORD:
            return {key: _words(text, key, many=False)[0]}
        case FieldKind.WORDS:
            return {key: _words(text, key, many=True)}
        case FieldKind.NAMES:
            parts = tuple(dict.fromkeys(one_line(part) for part in text.split(";") if one_line(part)))
            return {key: parts}
        case _:
            return {key: text}


def _length_or_round(text: str, key: str, unit: str) -> float:
    """A length; under a diameter also with its mark."""
    match = _ROUND.match(_plain_number(text)) if key.endswith("_diameter_mm") else None
    if match is None:
        return _length(text, key, unit)
    figure = match.group("a") or match.group("b")
    return _one_length(figure, _unit_in(match.group("ua") or match.group("ub")) or unit, key)


def _number_between(text: str, key: str, whole: bool = False) -> float:
    column = _COLUMNS[key]
    match = _NUMBER.match(_plain_number(text))
    unit = match.group(2).rstrip(".") if match else ""
    number = float(match.group(1)) if match and unit in {"", *_OWN_UNITS.get(column.unit, ())} else math.nan
    low = -math.inf if column.least is None else column.least
    high = math.inf if column.most is None else column.most
    if not low <= number <= high:
        raise NotRead(column.expected.removesuffix("; without its unit"))
    return int(number) if whole else number
