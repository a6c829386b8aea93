# SPDX-License-Identifier: Apache-2.0
"""Answers read as values: by the readers of the schedule and the wall-type sheet, so that both take the same words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from brattice.adapters.sheets import SCHEDULE, WALL_TYPES, stated_of_penetration, stated_of_wall_type
from brattice.adapters.text import one_line
from brattice.adapters.workbook.table import NOT_STATED, FieldKind, TableColumn
from brattice.building.queries import KeyField, field_of_key
from brattice.errors import Fault

__all__ = ["ANSWERED", "choices_of", "expected_of", "read_answer", "says_nothing"]

_NUMBER = r"(\d{1,6}(?:\.\d{1,6})?) ?(?:mm)?"
_RECTANGLE = re.compile(rf"{_NUMBER} ?[x×*] ?{_NUMBER}\Z", re.ASCII | re.IGNORECASE)
_ROUND = re.compile(rf"(?:ø|⌀|dia\.?|diameter) ?{_NUMBER}\Z", re.IGNORECASE)
_ROUND_AFTER = re.compile(rf"{_NUMBER} ?(?:ø|⌀|dia\.?|diameter)\Z", re.IGNORECASE)
_SIDE = re.compile(rf"(left|right|top|bottom) ?[:=]? ?{_NUMBER}\Z", re.ASCII | re.IGNORECASE)
_LAYERS = re.compile(r"(?:a )?(\d{1,2}) ?[;,/+] ?(?:b )?(\d{1,2})\Z", re.ASCII | re.IGNORECASE)
_SIDES = ("left", "right", "top", "bottom")

ANSWERED = (
    TableColumn("by", "Answered by", FieldKind.TEXT, "Name and firm.", needed=True, width=24.0),
    TableColumn(
        "document", "Document", FieldKind.TEXT, "The document that says so, with its revision.", needed=True, width=26.0
    ),
    TableColumn("on", "Date", FieldKind.DATE, "The date of the answer.", needed=True, width=12.0),
)
"""The columns of every sheet of questions that say who answered, on which document and when."""

_SIZES = {
    "duct-size": ("duct", "duct_size"),
    "damper-size": ("damper", "damper_size"),
    "framed-opening": ("framed", "framed"),
    "finished-clear-opening": ("finished", "finished"),
}
"""The facts that are sizes: how their columns begin, and the field of the row."""

_ELSEWHERE = {
    "barrier-role": "role",
    "wall-type": "wall_type_code",
    "protection-method": "method",
    "spaces": "space_a",
    "separation-fill": "near_damper_fill",
}
"""The facts that a column (and field) of another name states."""

_SIZE_EXPECTED = "width × height in mm, like 600 × 400, or the diameter of a round one, like diameter 315"
_GAPS_EXPECTED = "all four gaps in mm, like: left 30, right 30, top 40, bottom 20"
_LAYERS_EXPECTED = "the layers of side A and of side B, like 2; 2"
_NOTE_EXPECTED = "any text; answer noted; the source has to be corrected"

_NOTHING = frozenset(
    {*NOT_STATED, "", "n.k.", "n.a.", "to be confirmed", "to be advised", "not yet known", "don't know", "do not know"}
)


def says_nothing(text: str) -> bool:
    """Whether an answer says as much as none: empty, "tbc", "unknown" and the like."""
    plain = " ".join(text.split()).casefold()
    return plain in _NOTHING or plain.rstrip(".!?").rstrip() in _NOTHING


def _column(named: KeyField) -> TableColumn | None:
    """The one column that states a value; None for a size, the gaps and the layers of board."""
    if named.kind == "wall-type":
        return None if named.name == "board_layers" else WALL_TYPES.column(named.name)
    if named.kind == "model-rating":
        return SCHEDULE.column("rating")
    if named.kind == "details":
        return SCHEDULE.column(named.name)
    if named.name in _SIZES or named.name == "gaps":
        return None
    return SCHEDULE.column(_ELSEWHERE.get(named.name, named.name.replace("-", "_")))


def expected_of(key: str) -> str:
    """What may stand as the answer to a key, in words, with the unit of a number."""
    named = field_of_key(key)
    if named is None:
        return _NOTE_EXPECTED
    if named.name in _SIZES:
        return _SIZE_EXPECTED
    if named.name == "gaps":
        return _GAPS_EXPECTED
    if named.name == "board_layers":
        return _LAYERS_EXPECTED
    column = _column(named)
    assert column is not None
    if named.name == "spaces":
        return f"the uses on both sides; {column.expected}"
    return column.expected if column.kind is not FieldKind.TEXT else f"{column.expected}: {column.note}"


def choices_of(key: str) -> tuple[str, ...]:
    """The closed list of words that answer a key with one word; empty where there is none."""
    named = field_of_key(key)
    column = None if named is None else _column(named)
    if column is None:
        return ()
    if column.kind is FieldKind.YES_NO:
        return ("yes", "no")
    return column.words if column.kind is FieldKind.WORD else ()


def _size_texts(text: str, stem: str) -> Mapping[str, str] | None:
    if match := _RECTANGLE.match(text):
        return {f"{stem}_width_mm": match.group(1), f"{stem}_height_mm": match.group(2)}
    if match := _ROUND.match(text) or _ROUND_AFTER.match(text):
        return {f"{stem}_diameter_mm": match.group(1)}
    return None


def _gap_texts(text: str) -> Mapping[str, str] | None:
    found = [match for part in re.split(r"[,;]", text) if (match := _SIDE.match(part.strip()))]
    sides = {match.group(1).casefold(): match.group(2) for match in found}
    if len(found) != len(_SIDES) or set(sides) != set(_SIDES) or len(re.split(r"[,;]", text)) != len(_SIDES):
        return None
    return {f"gap_{side}_mm": sides[side] for side in _SIDES}


def _layer_texts(text: str) -> Mapping[str, str] | None:
    match = _LAYERS.match(text)
    return None if match is None else {"board_layers_a": match.group(1), "board_layers_b": match.group(2)}


def _texts(named: KeyField, text: str) -> Mapping[str, str] | None:
    """The cells that the sheet would hold, by column key; None where the answer has another form."""
    if named.name in _SIZES:
        return _size_texts(text, _SIZES[named.name][0])
    if named.name == "gaps":
        return _gap_texts(text)
    if named.name == "board_layers":
        return _layer_texts(text)
    column = _column(named)
    assert column is not None
    if column.kind in {FieldKind.NAMES, FieldKind.WORDS} and any(map(says_nothing, text.split(";"))):
        return None
    if column.kind in {FieldKind.NUMBER, FieldKind.WHOLE} and column.unit:
        text = text.removesuffix(column.unit).rstrip()
    if column.key == "run_proven":
        # A run is proven by a document, and no answer is taken without one; it stands in the answer's own origin.
        return {column.key: text, "run_document": "the document of the answer"}
    return {column.key: text}


def read_answer(key: str, text: str) -> Any:
    """The value that a text states under a key that names one; a `Fault` with what was expected otherwise.

    The readers are those of the schedule and the wall-type sheet. Words that say nothing are no value.
    """
    plain = one_line(text)
    fault = Fault("", "", repr(one_line(text, 60)), expected_of(key))
    named = field_of_key(key)
    texts = None if named is None or says_nothing(plain) else _texts(named, plain)
    if named is None or texts is None:
        return fault
    if named.kind == "wall-type":
        stated, faults = stated_of_wall_type(texts)
        return fault if faults or named.name not in stated else stated[named.name]
    row, fill, faults = stated_of_penetration(texts)
    if fill is not None:
        return fill
    if named.kind == "details" and faults:
        return faults[0]
    if faults or row is None:
        return fault
    if named.kind == "details":
        detail = getattr(row.detail, named.name)
        return fault if detail is None else detail.value
    size = _SIZES.get(named.name)
    fact = getattr(row, size[1] if size else _ELSEWHERE.get(named.name, named.name.replace("-", "_")))
    return fault if fact is None else fact.value
