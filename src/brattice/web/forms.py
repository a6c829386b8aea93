# SPDX-License-Identifier: Apache-2.0
"""What people send: a form with a few fields and files, bounded in number, size and kind, all faults at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum

from fastapi import Request
from starlette.datastructures import UploadFile

from brattice.errors import Fault, InputError

__all__ = ["FormGiven", "FormLimits", "Upload", "UploadKind", "read_form"]

_SHOWN = 120
_MIB = 1024 * 1024


class UploadKind(StrEnum):
    """The kinds of files that can be sent; the value is the ending of their names."""

    XLSX = "xlsx"
    CSV = "csv"
    PDF = "pdf"
    PNG = "png"
    JPEG = "jpg"
    IFC = "ifc"
    TOML = "toml"


_BEGINS: Mapping[UploadKind, bytes] = {
    UploadKind.XLSX: b"PK\x03\x04",
    UploadKind.PDF: b"%PDF-",
    UploadKind.PNG: b"\x89PNG\r\n\x1a\n",
    UploadKind.JPEG: b"\xff\xd8\xff",
    UploadKind.IFC: b"ISO-10303-21",
}
_ENDINGS = {str(kind): kind for kind in UploadKind} | {"jpeg": UploadKind.JPEG}


@dataclass(frozen=True)
class Upload:
    """A file that was sent: its own name as told (a text, never a path), its kind, its bytes."""

    name: str
    kind: UploadKind
    data: bytes


@dataclass(frozen=True)
class FormLimits:
    """How much a form may hold: files, bytes of one file, fields, bytes of one field."""

    files: int = 1
    file_bytes: int = 32 * _MIB
    fields: int = 50
    field_bytes: int = 20_000


@dataclass(frozen=True)
class FormGiven:
    """A form as it came: the texts of each field in their order, the files."""

    fields: Mapping[str, tuple[str, ...]]
    files: tuple[Upload, ...]

    def first(self, name: str) -> str:
        """The first text of a field, without blanks around it; "" where it is not there."""
        return self.fields.get(name, ("",))[0].strip()


def _told_name(name: str | None) -> str:
    """The last part of the name that a browser tells, cut short."""
    last = (name or "").replace("\\", "/").rpartition("/")[2].strip()
    return last[:_SHOWN] or "a file without a name"


def _kind_of(name: str, data: bytes, kinds: Collection[UploadKind]) -> UploadKind | str:
    """The kind of a file by its ending and its first bytes, or what is wrong with it."""
    kind = _ENDINGS.get(name.rpartition(".")[2].casefold())
    if kind is None or kind not in kinds:
        return f"a file that ends in {name.rpartition('.')[2][:20]!r}" if "." in name else "a name without an ending"
    if not data.strip():
        return "an empty file"
    if kind in _BEGINS and not data.startswith(_BEGINS[kind]):
        return f"something that does not begin like a {kind} file"
    if (
        kind in {UploadKind.CSV, UploadKind.TOML}
        and b"\0" in data[:4096]
        and not data.startswith((b"\xff\xfe", b"\xfe\xff"))
    ):
        return "bytes that are no text"
    return kind


async def read_form(
    request: Request, kinds: Collection[UploadKind] = (), limits: FormLimits | None = None
) -> FormGiven:
    """The form of a request; files may be of these kinds alone. Raises `InputError` with every fault of every file.

    A field without a chosen file gives no file. The whole request is bounded before this, while it is counted.
    """
    most = limits or FormLimits()
    form = await request.form(max_files=most.files, max_fields=most.fields, max_part_size=most.field_bytes)
    fields: dict[str, list[str]] = {}
    files: list[Upload] = []
    faults: list[Fault] = []
    expected = f"a file that ends in {' or '.join(sorted(f'.{kind}' for kind in kinds)) or 'nothing: none is taken'}"
    try:
        for name, value in form.multi_items():
            if not isinstance(value, UploadFile):
                fields.setdefault(name, []).append(value)
                continue
            if not value.filename and not value.size:
                continue
            told = _told_name(value.filename)
            if (value.size or 0) > most.file_bytes:
                found = f"a file of {(value.size or 0) / _MIB:.0f} MiB"
                faults.append(Fault(told, "", found, f"at most {most.file_bytes // _MIB} MiB"))
                continue
            data = await value.read()
            kind = _kind_of(told, data, kinds)
            if isinstance(kind, UploadKind):
                files.append(Upload(told, kind, data))
            else:
                faults.append(Fault(told, "", kind, expected))
    finally:
        await form.close()
    if faults:
        raise InputError(faults)
    return FormGiven({name: tuple(texts) for name, texts in fields.items()}, tuple(files))
