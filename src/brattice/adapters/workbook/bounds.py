# SPDX-License-Identifier: Apache-2.0
"""What an XLSX file is and how big it is, before any part of it is parsed into objects.

The archive is counted while it is inflated (headers are not believed), and every part runs through an XML parser
that builds nothing: it refuses document types and entities, and counts cells, rows and merged areas.
"""

from __future__ import annotations

import io
import lzma
import re
import struct
import zipfile
import zlib
from dataclasses import dataclass, field
from xml.parsers import expat

from brattice.adapters.workbook.model import Limits
from brattice.errors import Fault, InputError

__all__ = ["check_bounds", "check_kind"]

_CHUNK = 1 << 16
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")
_STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"
_RANGE = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?\Z", re.ASCII)
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    EOFError,
    OSError,
    OverflowError,
    RuntimeError,
    ValueError,
)
"""What reading a damaged archive may raise."""

_EXPECTED = "an Excel workbook (.xlsx)"


def _fault(file: str, found: str, expected: str = _EXPECTED, place: str = "") -> InputError:
    return InputError(Fault(file, place, found, expected))


def check_kind(data: bytes, file: str) -> None:
    """Refuse, by name, what is no XLSX file: empty, legacy, encrypted, other kinds. Raises `InputError`."""
    if not data:
        raise _fault(file, "an empty file")
    if data.startswith(_OLE):
        if _ENCRYPTED_STREAM in data:
            raise _fault(file, "a workbook that is protected by a password", "a workbook saved without a password")
        raise _fault(file, "an old workbook (.xls) or other old office file", "the same saved as .xlsx")
    if data.startswith(b"PK\x03\x04"):
        return
    head = data[:512].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    for start, name in (
        (b"%pdf", "a PDF file"),
        (b"version https://git-lfs", "a pointer to a file that is stored elsewhere"),
        (b"<!doctype html", "a web page"),
        (b"<html", "a web page"),
        (b"<?xml", "an XML file"),
        (b"{\\rtf", "a rich text file"),
        (b"iso-10303-21", "an IFC or STEP file"),
        (b"pk", "a damaged archive"),
    ):
        if head.startswith(start):
            raise _fault(file, name)
    if b"\0" not in data[:4096] and re.search(rb"[,;\t]", data[:4096]):
        raise _fault(file, "a text file", "an Excel workbook (.xlsx), or a name that ends in .csv")
    raise _fault(file, "a file of unknown kind")


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


@dataclass
class _Counts:
    """What all parts of the file hold together."""

    file: str
    limits: Limits
    inflated: int = 0
    elements: int = 0
    cells: int = 0
    rows: int = 0
    merged: int = 0
    broken: list[str] = field(default_factory=list)

    def more_bytes(self, count: int) -> None:
        self.inflated += count
        if self.inflated > self.limits.inflated_bytes:
            most = self.limits.inflated_bytes // (1024 * 1024)
            raise _fault(self.file, f"more than {most} MiB when unpacked", f"at most {most} MiB")

    def element(self, part: str, name: str, attributes: dict[str, str]) -> None:
        self.elements += 1
        if self.elements > self.limits.elements:
            raise _fault(self.file, f"more than {self.limits.elements:,} XML elements", "a smaller workbook", part)
        local = name.rpartition("|")[2]
        if local == "c":
            self.cells += 1
            if self.cells > self.limits.cells:
                raise _fault(
                    self.file,
                    f"more than {self.limits.cells:,} cells (cells that are only formatted count)",
                    "fewer; delete empty rows and columns below and beside the table",
                    part,
                )
        elif local == "row":
            self.rows += 1
            if self.rows > self.limits.rows:
                raise _fault(
                    self.file,
                    f"more than {self.limits.rows:,} rows (rows that are only formatted count)",
                    "fewer; delete the empty rows below the table",
                    part,
                )
        elif local == "mergeCell":
            self.merge(part, attributes.get("ref", ""))
        elif local == "workbook" and name.startswith(_STRICT):
            raise _fault(self.file, "a workbook saved as Strict Open XML", "the same saved as Excel Workbook (.xlsx)")

    def merge(self, part: str, ref: str) -> None:
        match = _RANGE.match(ref)
        if match is None:
            raise _fault(self.file, f"merged cells {ref[:40]!r}", "a range of cells like B2:C4", part)
        left, top, right, bottom = match.groups()
        width = abs(_column_number(right or left) - _column_number(left)) + 1
        height = abs(int(bottom or top) - int(top)) + 1
        self.merged += width * height
        if self.merged > self.limits.merged_cells:
            most = f"{self.limits.merged_cells:,}"
            raise _fault(self.file, f"more than {most} merged cells (such as {ref})", "a table without them", part)


def _scan_part(archive: zipfile.ZipFile, info: zipfile.ZipInfo, counts: _Counts) -> None:
    """Inflate one member, counting; run it through a parser that builds nothing for as long as it is XML."""
    part = info.filename

    def refuse_doctype(*_: object) -> None:
        raise _fault(counts.file, "a document type or entity in the XML", "a workbook as Excel saves it", part)

    parser = expat.ParserCreate(namespace_separator="|")
    parser.StartDoctypeDeclHandler = refuse_doctype
    parser.EntityDeclHandler = refuse_doctype
    parser.StartElementHandler = lambda name, attributes: counts.element(part, name, attributes)
    is_xml = True
    with archive.open(info) as stream:
        while chunk := stream.read(_CHUNK):
            counts.more_bytes(len(chunk))
            if is_xml:
                try:
                    parser.Parse(chunk, False)
                except expat.ExpatError:
                    is_xml = False
    if is_xml:
        try:
            parser.Parse(b"", True)
        except expat.ExpatError:
            is_xml = False
    if not is_xml and part.startswith("xl/") and part.endswith((".xml", ".rels")):
        counts.broken.append(part)


def check_bounds(data: bytes, file: str, limits: Limits) -> tuple[str, ...]:
    """Refuse an archive that is too big, damaged, encrypted or no workbook; answer the names of its members.

    Raises `InputError`.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _DAMAGE as error:
        raise _fault(file, "a damaged or cut-off archive", "a whole workbook; save it again") from error
    with archive:
        members = archive.infolist()
        if len(members) > limits.members:
            raise _fault(file, f"{len(members):,} members in the archive", f"at most {limits.members:,}")
        names = [info.filename for info in members]
        if len(set(names)) != len(names):
            raise _fault(file, "two members of one name in the archive", "each name once; save it again")
        if any(info.flag_bits & 0x1 for info in members):
            raise _fault(file, "members protected by a password", "a workbook saved without a password")
        _check_content(names, file)
        counts = _Counts(file, limits)
        for info in members:
            try:
                _scan_part(archive, info, counts)
            except InputError:
                raise
            except _DAMAGE as error:
                raise _fault(file, "a damaged member", "a whole workbook; save it again", info.filename) from error
        if counts.broken:
            raise InputError(
                Fault(file, part, "XML that is not well-formed", "save it again") for part in counts.broken
            )
    return tuple(names)


def _check_content(names: list[str], file: str) -> None:
    """Refuse, by name, archives of other kinds. Raises `InputError`."""
    if "xl/workbook.xml" in names:
        return
    for member, kind, what in (
        ("xl/workbook.bin", "a binary workbook (.xlsb)", "the same saved as .xlsx"),
        ("word/document.xml", "a text document (.docx)", _EXPECTED),
        ("ppt/presentation.xml", "a presentation (.pptx)", _EXPECTED),
        ("content.xml", "an OpenDocument file", "the same saved as .xlsx"),
    ):
        if member in names:
            raise _fault(file, kind, what)
    raise _fault(file, "an archive without a workbook in it")
