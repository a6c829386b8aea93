# SPDX-License-Identifier: Apache-2.0
"""Reads printed pages back with a reader that had no part in making them."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

import pypdf
from pypdf.generic import IndirectObject

from brattice.usecases.states import PenetrationState
from tests.helpers.outputs import Told

__all__ = ["bookmarks", "fonts", "from_pdf", "open_pdf", "page_texts", "root_of", "structure", "told_in"]

_STATES = "|".join(sorted((str(state) for state in PenetrationState), key=len, reverse=True))
_HEAD = re.compile(rf"^(P-\d+)\s+({_STATES})$", re.MULTILINE)
_CODE = re.compile(r"\((not open, ?)?([a-z0-9]+(?:-[a-z0-9]+)*-(?:fails|change|unknown|note))\)")


def open_pdf(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data))


def root_of(data: bytes) -> Any:
    """The catalogue of the file."""
    return open_pdf(data).trailer["/Root"]


def page_texts(data: bytes) -> list[str]:
    return [page.extract_text() for page in open_pdf(data).pages]


def bookmarks(data: bytes) -> list[str]:
    """The titles of all bookmarks, in their order."""

    def titles(items: Any) -> Iterator[str]:
        for item in items:
            if isinstance(item, list):
                yield from titles(item)
            else:
                yield str(item.title)

    return list(titles(open_pdf(data).outline))


def fonts(data: bytes) -> dict[str, bool]:
    """Every font of every page, and whether its file is embedded."""
    found: dict[str, bool] = {}
    for page in open_pdf(data).pages:
        resources: Any = page["/Resources"]
        for font in resources.get("/Font", {}).values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = below["/FontDescriptor"].get_object()
            found[str(below["/BaseFont"])] = any(f"/FontFile{end}" in descriptor for end in ("", "2", "3"))
    return found


def structure(data: bytes) -> list[dict[str, Any]]:
    """Every element of the tree of tags."""
    found: list[dict[str, Any]] = []
    waiting: list[Any] = [root_of(data)["/StructTreeRoot"]["/K"]]
    while waiting:
        item = waiting.pop()
        item = item.get_object() if isinstance(item, IndirectObject) else item
        if isinstance(item, list):
            waiting += item
        elif isinstance(item, dict) and item.get("/S") is not None:
            found.append(item)
            if "/K" in item:
                waiting.append(item["/K"])
    return found


def told_in(texts: list[str]) -> Told:
    """What the sections tell, from the text of their pages: a section begins with a line of id and state."""
    told = Told()
    sections: list[tuple[str, str, str]] = []
    for text in texts:
        lines = text.split("\n")
        head = next((match for line in lines[:12] if (match := _HEAD.match(line))), None)
        if head is not None:
            sections.append((head[1], head[2], text))
        elif sections and "Where the facts come from" not in sections[-1][2]:
            name, state, so_far = sections[-1]
            sections[-1] = (name, state, f"{so_far}\n{text}")
    for name, state, text in sections:
        body = " ".join(text.partition("Where the facts come from")[0].split())
        codes = _CODE.findall(body)
        told.add(
            name, state, [code for closed, code in codes if not closed], [code for closed, code in codes if closed]
        )
    return told


def from_pdf(data: bytes) -> Told:
    return told_in(page_texts(data))
