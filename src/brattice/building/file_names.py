# SPDX-License-Identifier: Apache-2.0
"""Names of storeys, products and wall types as parts of file names that every common system takes."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Sequence

__all__ = ["file_part", "files_told_apart"]

_MOST = 40
_TAKEN = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])", re.IGNORECASE)
"""Names that a widespread system keeps for devices, whatever ending follows (from memory)."""

_SPELT = str.maketrans(
    {"ß": "ss", "Æ": "Ae", "æ": "ae", "Œ": "Oe", "œ": "oe", "Ø": "O", "ø": "o", "Ł": "L", "ł": "l", "Đ": "D", "đ": "d"}
)
"""Letters that are no letter with a mark."""


def file_part(text: str, otherwise: str = "unnamed") -> str:
    """A name in plain letters, figures and single hyphens, at most 40 of them, for a part of a file's name.

    Marks on letters are left out ("ü" is "u"), everything else becomes a hyphen. `otherwise` stands where nothing is
    left. A name that a system keeps for itself gets an underscore.
    """
    spelt = unicodedata.normalize("NFKD", text.translate(_SPELT))
    bare = "".join(sign for sign in spelt if not unicodedata.combining(sign))
    part = re.sub(r"[^A-Za-z0-9]+", "-", bare).strip("-")[:_MOST].strip("-") or otherwise
    return f"{part}_" if _TAKEN.fullmatch(part) else part


def files_told_apart(names: Sequence[tuple[str, ...]], otherwise: str = "unnamed") -> tuple[str, ...]:
    """A part of a file's name for each name of several words, no two alike (capitals aside), in the order of `names`.

    Words that leave nothing are passed over. Of names that become one, the first in the order of their words keeps it
    and the others get figures that their own words make, so that one that joins later changes no other unless it is the
    first. The same name twice is one file.
    """
    found: dict[tuple[str, ...], str] = {}
    taken: set[str] = set()
    for name in sorted(set(names)):
        part = "-".join(item for word in name if (item := file_part(word, ""))) or otherwise
        if part.casefold() in taken:
            part = f"{part}-{hashlib.sha256(chr(0).join(name).encode('utf-8', 'replace')).hexdigest()[:6]}"
        taken.add(part.casefold())
        found[name] = part
    return tuple(found[name] for name in names)
