# SPDX-License-Identifier: Apache-2.0
"""Where in a TOML text a key stands: a short scan, for messages. TOML readers give lines for broken syntax only."""

from __future__ import annotations

import re
from collections.abc import Sequence

__all__ = ["line_of", "path_text"]

_HEADER = re.compile(r"\s*(\[\[?)\s*([A-Za-z0-9_.\-\"' ]+?)\s*\]\]?\s*(#.*)?\Z")
_QUOTES = ('"""', "'''")


def path_text(path: Sequence[str | int]) -> str:
    """A key path for people: ("model", 1, "path") is "model no. 2, path"."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f" no. {part + 1}"
        else:
            text += f", {part}" if text else part
    return text


def _is_key(line: str, key: str) -> bool:
    quoted = re.escape(key)
    return re.match(rf"\s*(?:{quoted}|\"{quoted}\"|'{quoted}')\s*=", line) is not None


def _tables(text: str) -> list[tuple[str, int, int, list[tuple[int, str]]]]:
    """Each table of the text: its name, its number among those of the name, its header line, its lines."""
    tables: list[tuple[str, int, int, list[tuple[int, str]]]] = [("", 0, 0, [])]
    counts: dict[str, int] = {}
    within = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if within:
            within = "" if within in line else within
            continue
        match = _HEADER.match(line)
        if match:
            name = match.group(2).strip("\"' ")
            index = counts.get(name, 0)
            counts[name] = index + 1
            tables.append((name, index, number, []))
        else:
            tables[-1][3].append((number, line))
            within = next((mark for mark in _QUOTES if line.count(mark) % 2 == 1), "")
    return tables


def line_of(text: str, path: Sequence[str | int]) -> int:
    """The line (from 1) of a key path, of the table it should stand in when it is missing; 0 when not found."""
    parts = list(path)
    best = 0
    head = str(parts[0]) if parts else ""
    index = parts[1] if len(parts) > 1 and isinstance(parts[1], int) else 0
    keys = [part for part in parts[1:] if isinstance(part, str)]
    for name, number, line, lines in _tables(text):
        if name == "" or (name == head and number == index):
            wanted = [head] if name == "" else keys[:1]
            best = line or best
            for at, content in lines:
                if wanted and _is_key(content, wanted[0]):
                    return at
    return best
