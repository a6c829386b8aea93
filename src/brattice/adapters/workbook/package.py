# SPDX-License-Identifier: Apache-2.0
"""The parts of a workbook's archive by name, how they lead to each other, and what is put into small parts of them."""

from __future__ import annotations

import io
import posixpath
import zipfile
from collections.abc import Mapping
from datetime import datetime
from xml.sax.saxutils import quoteattr

from brattice.adapters.workbook.xml_places import Edit, Element, attribute_set, edited, elements, need_utf8, start_tag

__all__ = ["MAIN", "OFFICE", "Package", "Styles"]

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
_SHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml"


class Package:
    """The parts of a workbook, some of them with new bytes; every other part is written as it came."""

    def __init__(self, data: bytes, file: str) -> None:
        self.file = file
        self._archive = zipfile.ZipFile(io.BytesIO(data))
        self.names = self._archive.namelist()
        self._new: dict[str, bytes] = {}

    def has(self, name: str) -> bool:
        """Whether there is a part of this name."""
        return name in self._new or name in self.names

    def part(self, name: str) -> bytes:
        """The bytes of a part as they are now."""
        return self._new[name] if name in self._new else self._archive.read(name)

    def xml(self, name: str) -> bytes:
        """The bytes of an XML part. Raises `InputError` when they are not UTF-8."""
        return need_utf8(self.part(name), self.file, name)

    def put(self, name: str, data: bytes) -> None:
        """Give a part new bytes, or add it."""
        self._new[name] = data

    def free_name(self, pattern: str) -> str:
        """The first name that no part has, a number in the place of `{}`."""
        taken = {name.casefold() for name in (*self.names, *self._new)}
        number = 1
        while pattern.format(number).casefold() in taken:
            number += 1
        return pattern.format(number)

    def relations_name(self, part: str) -> str:
        """The name of the part that says where another leads."""
        folder, name = posixpath.split(part)
        return f"{folder}/_rels/{name}.rels"

    def relations(self, part: str) -> dict[str, tuple[str, str]]:
        """Where a part leads, by id: the last word of the kind, and the name of the other part ("" outside)."""
        name = self.relations_name(part)
        if not self.has(name):
            return {}
        found = {}
        for element in elements(self.xml(name)):
            if element.local == "Relationship":
                told = element.attributes
                target = posixpath.normpath(posixpath.join(posixpath.dirname(part), told.get("Target", "")))
                outside = told.get("TargetMode") == "External"
                found[told["Id"]] = (told["Type"].rpartition("/")[2], "" if outside else target.lstrip("/"))
        return found

    def lead(self, part: str, kind: str, target: str) -> str:
        """Let a part lead to another; the id of it."""
        name = self.relations_name(part)
        taken = self.relations(part)
        number = 1
        while f"rIdB{number}" in taken:
            number += 1
        new = (
            f'<Relationship xmlns="{_RELATIONS}" Id="rIdB{number}" Type="{OFFICE}/{kind}" '
            f"Target={quoteattr('/' + target)}/>"
        ).encode()
        empty = f'<Relationships xmlns="{_RELATIONS}"></Relationships>'.encode()
        self.put(name, _at_the_end(self.xml(name) if self.has(name) else empty, new))
        return f"rIdB{number}"

    def lead_nowhere(self, part: str) -> None:
        """Let a part lead nowhere any more."""
        if self.has(self.relations_name(part)):
            self.put(self.relations_name(part), f'<Relationships xmlns="{_RELATIONS}"/>'.encode())

    def of_kind(self, part: str, kind: str) -> None:
        """Say what kind of part this is: "worksheet", "comments" or, for every part of that ending, "vml"."""
        name = "[Content_Types].xml"
        data = self.xml(name)
        if kind == "vml":
            ended = {e.attributes.get("Extension", "").casefold() for e in elements(data) if e.local == "Default"}
            if "vml" in ended:
                return
            drawing = "application/vnd.openxmlformats-officedocument.vmlDrawing"
            new = f'<Default xmlns="{_TYPES}" Extension="vml" ContentType="{drawing}"/>'
            first = elements(data)[0]  # before all others
            self.put(name, edited(data, [(first.inner, first.inner, new.encode())]))
            return
        new = f'<Override xmlns="{_TYPES}" PartName="/{part}" ContentType="{_SHEET}.{kind}+xml"/>'
        self.put(name, _at_the_end(data, new.encode()))

    def packed(self, stamp: datetime) -> bytes:
        """The archive, with one time for every member."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
            for name in dict.fromkeys([*self.names, *self._new]):
                info = zipfile.ZipInfo(name, stamp.timetuple()[:6])
                info.compress_type = zipfile.ZIP_DEFLATED
                info.create_system = 3
                info.external_attr = 0o600 << 16
                new.writestr(info, self.part(name))
        return out.getvalue()


def _at_the_end(data: bytes, new: bytes) -> bytes:
    """A part with something more at the end of its root."""
    root = elements(data)[0]
    if not root.is_empty:
        return edited(data, [(root.inner_end, root.inner_end, new)])
    tag = start_tag(data, root.start)
    return edited(data, [(root.start, root.end, opened(tag) + new + f"</{root.name}>".encode())])


def opened(tag: bytes) -> bytes:
    """A tag that holds nothing, as one that may."""
    return tag[:-2].rstrip() + b">" if tag.endswith(b"/>") else tag


class Styles:
    """The looks of what is added, put into the styles of the workbook; none where it has no styles to add to."""

    def __init__(self, package: Package, part: str) -> None:
        self.heading = self.text = self.quoted = ""
        if not part or not package.has(part):
            return
        data = package.xml(part)
        found = elements(data)
        lists = {e.local: e for e in found if e.depth == 1 and e.local in {"fonts", "fills", "cellXfs"}}
        if len(lists) != 3 or any(item.is_empty for item in lists.values()):
            return
        count = {name: sum(1 for e in found if e.depth == 2 and _within(e, item)) for name, item in lists.items()}
        first = next(e for e in found if e.depth == 2 and _within(e, lists["fonts"]))
        pre = lists["cellXfs"].name.rpartition(":")[0]
        pre = f"{pre}:" if pre else ""
        bold = f"<{pre}b/>".encode()
        inside = b"" if first.is_empty else data[first.inner : first.inner_end]
        bare = any(e.local == "b" and e.depth == 3 and _within(e, first) for e in found)
        font = f"<{pre}font>".encode() + (b"" if bare else bold) + inside + f"</{pre}font>".encode()
        fill = (
            f'<{pre}fill><{pre}patternFill patternType="solid"><{pre}fgColor rgb="FFE4E8EC"/>'
            f'<{pre}bgColor indexed="64"/></{pre}patternFill></{pre}fill>'
        ).encode()
        looks = b"".join(
            (
                f'<{pre}xf numFmtId="0" fontId="{font_id}" fillId="{fill_id}" borderId="0" xfId="0" '
                f'applyFont="1" applyFill="1" applyAlignment="1"{more}>'
                f'<{pre}alignment vertical="top" wrapText="1"/></{pre}xf>'
            ).encode()
            for font_id, fill_id, more in (
                (count["fonts"], count["fills"], ""),
                (0, 0, ""),
                (0, 0, ' quotePrefix="1"'),
            )
        )
        new: Mapping[str, tuple[bytes, int]] = {"fonts": (font, 1), "fills": (fill, 1), "cellXfs": (looks, 3)}
        edits: list[Edit] = []
        for name, (more, so_many) in new.items():
            at = lists[name]
            edits.append((at.inner_end, at.inner_end, more))
            tag = attribute_set(start_tag(data, at.start), "count", str(count[name] + so_many))
            edits.append((at.start, at.inner, tag))
        package.put(part, edited(data, edits))
        self.heading, self.text, self.quoted = (f' s="{count["cellXfs"] + more}"' for more in range(3))


def _within(element: Element, outer: Element) -> bool:
    return outer.inner <= element.start < outer.inner_end
