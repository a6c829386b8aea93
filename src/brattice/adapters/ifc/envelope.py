# SPDX-License-Identifier: Apache-2.0
"""What a path holds before IFC begins: missing, empty, packed, in a wrong coding, cut off; unpacked within bounds.

Runs in the child. The end mark of ISO 10303-21 is asked for first: the kernel opens a cut-off file without a word.
"""

from __future__ import annotations

import gzip
import hashlib
import re
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from brattice.errors import Fault, InputError

__all__ = ["MAX_INFLATED_BYTES", "MAX_MEMBERS", "Envelope", "open_envelope"]

MAX_INFLATED_BYTES = 1024**3
"""How much a packed model may hold [bytes], counted while it is unpacked."""

MAX_MEMBERS = 2000
"""How many members an ifcZIP may have."""

_CHUNK = 1 << 20
_START_MARK = b"ISO-10303-21;"
_END_MARK = b"END-ISO-10303-21;"
_WANTED = "an IFC file in STEP form (ISO 10303-21), plain, ifcZIP or gzip"


@dataclass(frozen=True)
class Envelope:
    """A model file that can be handed to the kernel: where it lies now, its digest, what to tell about it."""

    path: Path
    sha256: str
    warnings: tuple[str, ...]


def open_envelope(name: str, folder: Path, max_inflated: int = MAX_INFLATED_BYTES) -> Envelope:
    """Look at a file and unpack it into `folder` where needed.

    Parameters
    ----------
    name : the path as the user gave it
    folder : where an unpacked or mended copy may be put
    max_inflated : bound of what a packed file may hold [bytes]

    Raises
    ------
    InputError : the path holds no whole IFC file; the fault says what it holds instead
    """
    path = Path(name)
    _ask_for_file(name, path)
    warnings: list[str] = []
    with path.open("rb") as stream:
        head = stream.read(4096)
    if head.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        path = _unzip(name, path, folder / "unpacked.ifc", max_inflated)
    elif head.startswith(b"\x1f\x8b"):
        path = _gunzip(name, path, folder / "unpacked.ifc", max_inflated)
    with path.open("rb") as stream:
        head = stream.read(4096)
    _ask_for_step(name, head)
    if head.startswith(b"\xef\xbb\xbf"):
        warnings.append("the file begins with a byte order mark, which ISO 10303-21 does not allow; read without it")
        path = _without_mark(path, folder / "plain.ifc")
    _ask_for_end(name, path)
    return Envelope(path, _digest(path), tuple(warnings))


def _ask_for_file(name: str, path: Path) -> None:
    try:
        if not path.exists():
            raise InputError(Fault(name, "", "no such file", _WANTED))
        if not path.is_file():
            raise InputError(Fault(name, "", "no file (a folder or a device)", _WANTED))
        if path.stat().st_size == 0:
            raise InputError(Fault(name, "", "an empty file", _WANTED))
        with path.open("rb"):
            pass
    except InputError:
        raise
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(Fault(name, "", f"a file that can't be opened ({reason})", _WANTED)) from None


def _ask_for_step(name: str, head: bytes) -> None:
    if head.startswith(b"version https://git-lfs"):
        raise InputError(
            Fault(
                name,
                "",
                "a Git LFS pointer, not the model itself",
                "the file it points to (fetch it with git lfs pull)",
            )
        )
    if (
        head.startswith((b"\xff\xfe", b"\xfe\xff"))
        or b"I\x00S\x00O\x00-" in head[:64]
        or b"\x00I\x00S\x00O" in head[:64]
    ):
        raise InputError(
            Fault(name, "", "text in UTF-16", "an IFC file in 8-bit characters, as ISO 10303-21 asks; export it again")
        )
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if text.startswith((b"<?xml", b"<ifcXML", b"<ex:iso_10303")):
        raise InputError(Fault(name, "", "XML (ifcXML is not read)", _WANTED))
    if text.startswith((b"{", b"[")):
        raise InputError(Fault(name, "", "JSON (ifcJSON is not read)", _WANTED))
    if not text.startswith(_START_MARK):
        raise InputError(Fault(name, "", "no IFC file: the mark ISO-10303-21; is missing at its start", _WANTED))


def _ask_for_end(name: str, path: Path) -> None:
    size = path.stat().st_size
    with path.open("rb") as stream:
        stream.seek(max(0, size - 65536))
        tail = stream.read()
    if _END_MARK not in tail:
        last = re.sub(rb"[^\x20-\x7e]", b"?", tail.rstrip()[-40:]).decode("ascii")
        raise InputError(
            Fault(
                name,
                "its end",
                f"a file that is cut off (the last characters are {last!r})",
                "END-ISO-10303-21; at its end",
            )
        )


def _unzip(name: str, path: Path, target: Path, max_inflated: int) -> Path:
    wanted = "an ifcZIP with one .ifc file in it"
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            if len(members) > MAX_MEMBERS:
                raise InputError(Fault(name, "", f"an archive of {len(members)} members", f"at most {MAX_MEMBERS}"))
            models = sorted(
                (info for info in members if info.filename.lower().endswith(".ifc") and not info.is_dir()),
                key=lambda info: info.filename,
            )
            if len(models) != 1:
                raise InputError(Fault(name, "", f"an archive with {len(models)} .ifc files", wanted))
            if models[0].flag_bits & 0x1:
                raise InputError(Fault(name, models[0].filename, "a member that is encrypted", wanted))
            with archive.open(models[0]) as stream:
                _pour(name, stream, target, max_inflated)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError) as error:
        raise InputError(Fault(name, "", f"an archive that can't be unpacked ({error})", wanted)) from None
    return target


def _gunzip(name: str, path: Path, target: Path, max_inflated: int) -> Path:
    try:
        with gzip.open(path) as stream:
            _pour(name, stream, target, max_inflated)
    except (gzip.BadGzipFile, zlib.error, EOFError, OSError) as error:
        raise InputError(Fault(name, "", f"a gzip file that can't be unpacked ({error})", _WANTED)) from None
    return target


def _pour(name: str, source: IO[bytes] | gzip.GzipFile, target: Path, max_inflated: int) -> None:
    poured = 0
    with target.open("wb") as sink:
        while chunk := source.read(_CHUNK):
            poured += len(chunk)
            if poured > max_inflated:
                raise InputError(
                    Fault(
                        name,
                        "",
                        f"a packed file that holds more than {max_inflated} bytes",
                        "a smaller model, or the file unpacked",
                    )
                )
            sink.write(chunk)


def _without_mark(path: Path, target: Path) -> Path:
    with path.open("rb") as source, target.open("wb") as sink:
        source.seek(3)
        while chunk := source.read(_CHUNK):
            sink.write(chunk)
    return target


def _digest(path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()
