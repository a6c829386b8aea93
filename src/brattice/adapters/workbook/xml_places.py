# SPDX-License-Identifier: Apache-2.0
"""Where things stand in the XML of a workbook's parts, by byte, so that something can be put in and no other byte
changes.

Parts come here after `check_bounds`: well-formed, without document type, not too large.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from xml.parsers import expat
from xml.sax.saxutils import escape

from brattice.adapters.workbook.added import HEADINGS_WITHIN
from brattice.errors import Fault, InputError

__all__ = [
    "Edit",
    "Element",
    "RowAt",
    "SheetPlaces",
    "attribute_set",
    "cells_in",
    "column_number",
    "edited",
    "elements",
    "local",
    "need_utf8",
    "prefix_of",
    "sheet_places",
    "start_tag",
    "xml_text",
]

_TAG = re.compile(rb"<[^<>\"']*(?:\"[^\"]*\"[^<>\"']*|'[^']*'[^<>\"']*)*>")
_TAG_LOOSE = re.compile(rb"<[^>\"']*(?:\"[^\"]*\"[^>\"']*|'[^']*'[^>\"']*)*>")
_ENCODING = re.compile(rb"<\?xml[^>]*?encoding\s*=\s*[\"']([A-Za-z0-9._-]+)[\"']")
_LIKE_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")

Edit = tuple[int, int, bytes]
"""From byte, to byte, what stands there afterwards."""


def edited(data: bytes, edits: Iterable[Edit]) -> bytes:
    """The bytes with each edit made; they don't overlap."""
    parts: list[bytes] = []
    at = 0
    for start, end, new in sorted(edits, key=lambda edit: (edit[0], edit[1])):
        parts += [data[at:start], new]
        at = end
    return b"".join([*parts, data[at:]])


def xml_text(text: str) -> bytes:
    """A text as it stands between tags; what a spreadsheet program would take for an escaped character is kept so."""
    return escape(_LIKE_ESCAPE.sub("_x005F_", text), {'"': "&quot;"}).encode("utf-8")


def need_utf8(data: bytes, file: str, part: str) -> bytes:
    """The bytes of a part, when they are UTF-8. Raises `InputError` for another encoding."""
    told = _ENCODING.match(data[:200].removeprefix(b"\xef\xbb\xbf"))
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or (
        told is not None and told.group(1).lower() not in {b"utf-8", b"us-ascii", b"ascii"}
    ):
        raise InputError(
            Fault(file, part, "a part that is not UTF-8", "the workbook saved again, in place of its copy")
        )
    return data


def local(name: str) -> str:
    """The name of an element without its prefix."""
    return name.rpartition(":")[2]


def prefix_of(name: str) -> str:
    """The prefix of an element with its colon, or nothing."""
    return name[: name.rfind(":") + 1]


def start_tag(data: bytes, at: int) -> bytes:
    """The start tag that begins at a byte."""
    found = _TAG.match(data, at) or _TAG_LOOSE.match(data, at)
    assert found is not None  # the part is well-formed
    return found.group()


def attribute_set(tag: bytes, name: str, value: str) -> bytes:
    """A start tag in which an attribute (without prefix) has a value."""
    found = re.compile(rb"(\s" + re.escape(name.encode()) + rb"\s*=\s*)(\"[^\"]*\"|'[^']*')").search(tag)
    if found is not None:
        return tag[: found.start()] + found.group(1) + b'"' + value.encode() + b'"' + tag[found.end() :]
    cut = len(tag) - (2 if tag.endswith(b"/>") else 1)
    return tag[:cut].rstrip() + f' {name}="{value}"'.encode() + tag[cut:]


@dataclass(frozen=True, slots=True)
class Element:
    """An element of a small part: its name with prefix, how deep it is (0: the root), its attributes, and the bytes
    where it starts, where its content starts, where its content ends and where it ends; and the text directly in it.
    """

    name: str
    depth: int
    attributes: dict[str, str]
    start: int
    inner: int
    inner_end: int
    end: int
    text: str

    @property
    def local(self) -> str:
        """The name without its prefix."""
        return local(self.name)

    @property
    def is_empty(self) -> bool:
        """Whether it is one tag, so that nothing can be put into it as it stands."""
        return self.inner == self.end


def elements(data: bytes) -> list[Element]:
    """Every element of a part, in the order in which they start."""
    found: list[Element | None] = []
    stack: list[tuple[int, str, dict[str, str], int, int, list[str]]] = []
    parser = expat.ParserCreate()
    parser.buffer_text = True

    def starts(name: str, attributes: dict[str, str]) -> None:
        at = parser.CurrentByteIndex
        stack.append((len(found), name, attributes, at, at + len(start_tag(data, at)), []))
        found.append(None)

    def ends(name: str) -> None:
        number, _, attributes, start, inner, texts = stack.pop()
        if data[inner - 2 : inner] == b"/>":
            inner_end = end = inner
        else:
            inner_end = parser.CurrentByteIndex
            end = data.index(b">", inner_end) + 1
        found[number] = Element(name, len(stack), attributes, start, inner, inner_end, end, "".join(texts))

    def says(text: str) -> None:
        stack[-1][5].append(text)

    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = starts, ends, says
    parser.Parse(data, True)
    return [element for element in found if element is not None]


def column_number(letters: str) -> int:
    """The number of a column from its letters: `column_number("AB")` is 28."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter.upper()) - ord("A") + 1
    return number


@dataclass(frozen=True, slots=True)
class RowAt:
    """A row of a sheet: the bytes where its tag starts, where that tag ends, and where its end tag starts."""

    start: int
    inner: int
    inner_end: int


@dataclass
class SheetPlaces:
    """What a sheet's XML holds and where: its prefix, rows by number, the last column with any cell and with a filled
    one, texts of cells near the top (an int is the number of a shared string), ranges of merged cells, what stands
    directly in the root, and the columns' tags.
    """

    prefix: str = ""
    rows: dict[int, RowAt] = field(default_factory=dict)
    last: int = 0
    last_filled: int = 0
    texts: dict[tuple[int, int], str | int] = field(default_factory=dict)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    parts: list[tuple[str, int, dict[str, str]]] = field(default_factory=list)
    columns: list[tuple[int, dict[str, str]]] = field(default_factory=list)
    data_end: int = -1
    root_end: int = -1


def _range(ref: str) -> tuple[int, int, int, int]:
    first, _, last = ref.replace("$", "").partition(":")
    (top, left), (bottom, right) = _place(first), _place(last or first)
    return top, left, bottom, right


def _place(ref: str) -> tuple[int, int]:
    letters = ref.rstrip("0123456789")
    return int(ref[len(letters) :]), column_number(letters)


def sheet_places(data: bytes) -> SheetPlaces:
    """Where everything stands in the XML of a sheet; one pass, nothing is built of its cells."""
    places = SheetPlaces()
    numbers: dict[str, int] = {}
    state = {"depth": 0, "row": 0, "column": 0}
    kinds: list[str] = [""]
    texts: list[str] = []
    tag: list[int] = [0, 0]
    parser = expat.ParserCreate()
    parser.buffer_text = True

    def starts(name: str, attributes: dict[str, str]) -> None:
        depth = state["depth"]
        state["depth"] = depth + 1
        kind = local(name)
        if kind == "c" and depth == 3:
            ref = attributes.get("r")
            if ref is None:
                column = state["column"] + 1
            else:
                letters = ref.rstrip("0123456789")
                column = numbers.get(letters) or numbers.setdefault(letters, column_number(letters))
            state["column"] = column
            places.last = max(places.last, column)
            if state["row"] <= HEADINGS_WITHIN:
                kinds[0] = attributes.get("t", "n")
                texts.clear()
        elif depth == 4 and kind in {"v", "f", "is"}:
            places.last_filled = max(places.last_filled, state["column"])
            if kind == "f":
                kinds[0] = "f"
        elif kind == "row" and depth == 2:
            at = parser.CurrentByteIndex
            ref = attributes.get("r")
            state["row"] = state["row"] + 1 if ref is None else int(ref)
            state["column"] = 0
            tag[:] = [at, at + len(start_tag(data, at))]
            parser.CharacterDataHandler = texts.append if state["row"] <= HEADINGS_WITHIN else None
        elif depth == 1:
            places.parts.append((kind, parser.CurrentByteIndex, attributes))
        elif kind == "mergeCell":
            places.merged.append(_range(attributes["ref"]))
        elif kind == "col" and depth == 2:
            places.columns.append((parser.CurrentByteIndex, attributes))
        elif depth == 0:
            places.prefix = prefix_of(name)

    def ends(name: str) -> None:
        state["depth"] -= 1
        depth = state["depth"]
        if depth == 3 and state["row"] <= HEADINGS_WITHIN and local(name) == "c":
            text = "".join(texts)
            if kinds[0] == "s" and text.strip().isdigit():
                places.texts[state["row"], state["column"]] = int(text)
            elif kinds[0] in {"inlineStr", "str"}:
                places.texts[state["row"], state["column"]] = text
        elif depth == 2 and local(name) == "row":
            one = data[tag[1] - 2 : tag[1]] == b"/>"
            places.rows[state["row"]] = RowAt(tag[0], tag[1], tag[1] if one else parser.CurrentByteIndex)
        elif depth == 1 and local(name) == "sheetData":
            places.data_end = parser.CurrentByteIndex
        elif depth == 0:
            places.root_end = parser.CurrentByteIndex

    parser.StartElementHandler, parser.EndElementHandler = starts, ends
    parser.Parse(data, True)
    return places


def cells_in(data: bytes, row: RowAt) -> list[tuple[int, int, int]]:
    """The cells of a row: the column of each, the bytes where it starts and where it ends."""
    opening = b"<row>"
    shift = row.inner - len(opening)
    found: list[tuple[int, int, int]] = []
    column = 0
    for element in elements(opening + data[row.inner : row.inner_end] + b"</row>"):
        if element.depth == 1 and element.local == "c":
            ref = element.attributes.get("r")
            column = column + 1 if ref is None else column_number(ref.rstrip("0123456789"))
            found.append((column, element.start + shift, element.end + shift))
    return found
