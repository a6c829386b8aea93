# SPDX-License-Identifier: Apache-2.0
"""Notes on cells of a sheet, beside the notes that people wrote there: theirs keep every word, ours come after."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping
from xml.sax.saxutils import quoteattr

from brattice.adapters.workbook.package import MAIN, Package
from brattice.adapters.workbook.xml_places import Edit, Element, column_number, edited, elements, prefix_of, xml_text

__all__ = ["add_notes"]

_BY = "Brattice"
_OURS = re.compile(r"(\n\n)?Brattice: .*?\n\(end of Brattice's note\)", re.DOTALL)
_SHAPE = re.compile(rb"<v:shape\s.*?</v:shape>", re.DOTALL)
_ROW, _COLUMN = re.compile(rb"<x:Row>\s*(\d+)\s*<"), re.compile(rb"<x:Column>\s*(\d+)\s*<")
_V = (
    'xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" '
    'xmlns:x="urn:schemas-microsoft-com:office:excel"'
)
_KIND = (
    f'<v:shapetype {_V} id="_x0000_t202" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe">'
    '<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>'
)


def _place(ref: str) -> tuple[int, int]:
    letters = ref.rstrip("0123456789")
    return int(ref[len(letters) :]), column_number(letters)


def _shape(number: int, ref: str, text: str) -> str:
    row, column = _place(ref)
    height = min(400, 30 + 15 * sum(1 + len(line) // 52 for line in text.split("\n")))
    return (
        f'<v:shape {_V} id="_x0000_s{number}" type="#_x0000_t202" style="position:absolute;margin-left:60pt;'
        f'margin-top:2pt;width:300px;height:{height}px;z-index:1;visibility:hidden" fillcolor="#ffffe1" '
        'o:insetmode="auto"><v:fill color2="#ffffe1"/><v:shadow color="black" obscured="t"/>'
        '<v:path o:connecttype="none"/><v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div>'
        '</v:textbox><x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/>'
        f"<x:Anchor>{column + 1}, 15, {max(0, row - 2)}, 10, {column + 5}, 15, {row - 1 + height // 20}, 4</x:Anchor>"
        f"<x:AutoFill>False</x:AutoFill><x:Row>{row - 1}</x:Row><x:Column>{column - 1}</x:Column></x:ClientData>"
        "</v:shape>"
    )


def add_notes(package: Package, sheet: str, legacy: str, notes: Mapping[str, str]) -> tuple[str, list[str]]:
    """Put notes on cells of the sheet whose part this is; ours of an earlier run are taken away.

    `legacy` is the id of the drawing of notes that the sheet names, "" without one. Gives the id of a drawing that
    the sheet has to name ("" when nothing changes), and the cells that got no note, as theirs hold a conversation.
    """
    leads = package.relations(sheet)
    talk = {
        element.attributes["ref"]
        for kind, part in leads.values()
        if kind == "threadedComment" and package.has(part)
        for element in elements(package.xml(part))
        if element.local == "threadedComment"
    }
    wanted = {ref: text for ref, text in notes.items() if ref not in talk}
    part = next((part for kind, part in leads.values() if kind == "comments" and package.has(part)), "")
    if not part and not wanted:
        return "", []
    if part:
        fresh, gone = _into(package, part, wanted)
    else:
        part = package.free_name("xl/comments{}.xml")
        package.put(part, _part(wanted))
        package.of_kind(part, "comments")
        package.lead(sheet, "comments", part)
        fresh, gone = list(wanted), []
    passed = sorted((ref for ref in notes if ref in talk), key=_place)
    drawing = leads.get(legacy, ("", ""))[1]
    shapes = [_shape(_FIRST + number, ref, wanted[ref]) for number, ref in enumerate(fresh)]
    if drawing and package.has(drawing):
        _draw(package, drawing, shapes, gone)
        return "", passed
    drawing = package.free_name("xl/drawings/vmlDrawing{}.vml")
    package.put(drawing, f"<xml {_V}>{_KIND}{''.join(shapes)}</xml>".encode())
    package.of_kind(drawing, "vml")
    return package.lead(sheet, "vmlDrawing", drawing), passed


_FIRST = 60_000
"""Shapes are numbered from here: programs give each sheet a thousand numbers and begin with small ones."""


def _part(notes: Mapping[str, str]) -> bytes:
    told = b"".join(_comment("", ref, 0, text) for ref, text in notes.items())
    head = f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<comments xmlns="{MAIN}">'
    return head.encode() + f"<authors><author>{_BY}</author></authors><commentList>".encode() + told + _END


_END = b"</commentList></comments>"


def _run(pre: str, text: str) -> bytes:
    return f'<{pre}r><{pre}t xml:space="preserve">'.encode() + xml_text(text) + f"</{pre}t></{pre}r>".encode()


def _comment(pre: str, ref: str, author: int, text: str) -> bytes:
    told = _run(pre, _said(text))
    head = f"<{pre}comment ref={quoteattr(ref)} authorId={quoteattr(str(author))}><{pre}text>"
    return head.encode() + told + f"</{pre}text></{pre}comment>".encode()


def _said(text: str) -> str:
    """A note with marks around it, so that a later run takes away what we said and no word of anybody else."""
    return f"Brattice: {text}\n(end of Brattice's note)"


def _into(package: Package, part: str, wanted: Mapping[str, str]) -> tuple[list[str], list[str]]:
    """Put notes into a part that has some; the cells that had none, and those whose note was ours and is gone."""
    data = package.xml(part)
    found = elements(data)
    pre = prefix_of(found[0].name)
    edits: list[Edit] = []
    gone: list[str] = []
    have: set[str] = set()
    starts = [e.start for e in found]
    for one in (e for e in found if e.local == "comment"):
        ref = one.attributes["ref"]
        inside = found[bisect_left(starts, one.inner) : bisect_left(starts, one.inner_end)]
        texts = [e for e in inside if e.local == "t"]
        whole = "".join(e.text for e in texts)
        if _OURS.search(whole) and not _OURS.sub("", whole).strip():
            edits.append((one.start, one.end, b""))
            gone.append(ref)
            continue
        have.add(ref)
        for said in texts:
            if _OURS.search(said.text):
                kept = xml_text(_OURS.sub("", said.text))
                tag = f'<{said.name} xml:space="preserve">'.encode() + kept + f"</{said.name}>".encode()
                edits.append((said.start, said.end, tag))
        edits += _appended(pre, inside, wanted.get(ref, ""))
    fresh = [ref for ref in wanted if ref not in have]
    if fresh:
        author, more = _author(pre, found)
        told = b"".join(_comment(pre, ref, author, wanted[ref]) for ref in fresh)
        edits += more + _listed(pre, found, told)
    if edits:
        package.put(part, edited(data, edits))
    return fresh, gone


def _author(pre: str, found: list[Element]) -> tuple[int, list[Edit]]:
    """Our number in the list of authors, and the edits that put us there."""
    authors = [e.text for e in found if e.local == "author"]
    if _BY in authors:
        return authors.index(_BY), []
    new = f"<{pre}author>{_BY}</{pre}author>".encode()
    whole = f"<{pre}authors>".encode() + new + f"</{pre}authors>".encode()
    listed = next((e for e in found if e.local == "authors"), None)
    if listed is None:
        return 0, [(found[0].inner, found[0].inner, whole)]
    if listed.is_empty:
        return 0, [(listed.start, listed.end, whole)]
    return len(authors), [(listed.inner_end, listed.inner_end, new)]


def _listed(pre: str, found: list[Element], told: bytes) -> list[Edit]:
    """The edits that put comments into the list of them."""
    comments = next((e for e in found if e.local == "commentList"), None)
    if comments is not None and not comments.is_empty:
        return [(comments.inner_end, comments.inner_end, told)]
    whole = f"<{pre}commentList>".encode() + told + f"</{pre}commentList>".encode()
    if comments is not None:
        return [(comments.start, comments.end, whole)]
    authors = next((e for e in found if e.local == "authors"), None)
    end = authors.end if authors is not None else found[0].inner
    return [(end, end, whole)]


def _appended(pre: str, inside: list[Element], text: str) -> list[Edit]:
    """Edits that append what is to be said now to a note of somebody else."""
    body = next((e for e in inside if e.local == "text"), None)
    if body is None or body.is_empty or not text:
        return []
    edits: list[Edit] = []
    runs = [e for e in inside if e.local == "r" and e.depth == body.depth + 1]
    plain = next((e for e in inside if e.local == "t" and e.depth == body.depth + 1), None)
    if plain is not None:  # a text is either plain or made of runs
        edits.append((plain.start, plain.start, f"<{pre}r>".encode()))
        edits.append((plain.end, plain.end, f"</{pre}r>".encode()))
    last = max((e.end for e in runs), default=plain.end if plain is not None else body.inner)
    edits.append((last, last, _run(pre, f"\n\n{_said(text)}")))
    return edits


def _draw(package: Package, drawing: str, shapes: list[str], gone: list[str]) -> None:
    """Put the shapes of notes into a drawing that is there, and take those of notes that are gone away."""
    data = package.part(drawing)
    places = {(row - 1, column - 1) for row, column in map(_place, gone)}

    def kept(match: re.Match[bytes]) -> bytes:
        row, column = _ROW.search(match.group()), _COLUMN.search(match.group())
        is_gone = row is not None and column is not None and (int(row.group(1)), int(column.group(1))) in places
        return b"" if is_gone else match.group()

    if places:
        data = _SHAPE.sub(kept, data)
    kind = "" if b"_x0000_t202" in data else _KIND
    at = data.rindex(b"</")
    package.put(drawing, data[:at] + (kind + "".join(shapes)).encode() + data[at:])
