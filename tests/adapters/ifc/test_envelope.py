# SPDX-License-Identifier: Apache-2.0
"""What a path may hold instead of a model, and the message for each; packed files within bounds."""

from __future__ import annotations

import gzip
import os
import zipfile
from pathlib import Path

import pytest

from brattice.adapters.ifc.envelope import MAX_MEMBERS, open_envelope
from brattice.errors import InputError

WHOLE = (
    b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n"
    b"FILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n"
)


def _found(path: Path, folder: Path, max_inflated: int = 10**6) -> str:
    with pytest.raises(InputError) as caught:
        open_envelope(str(path), folder, max_inflated)
    (fault,) = caught.value.faults
    assert fault.file == str(path)
    assert fault.expected
    return fault.found


@pytest.fixture
def scratch(tmp_path: Path) -> Path:
    folder = tmp_path / "scratch"
    folder.mkdir()
    return folder


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "an empty file"),
        (b"version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 9\n", "Git LFS pointer"),
        (WHOLE.decode().encode("utf-16"), "UTF-16"),
        (WHOLE.decode().encode("utf-16-le"), "UTF-16"),
        (WHOLE.decode().encode("utf-16-be"), "UTF-16"),
        (b"<?xml version='1.0'?><ifcXML/>", "XML"),
        (b'{"type": "ifcJSON"}', "JSON"),
        (bytes(range(256)) * 20, "ISO-10303-21; is missing"),
        (WHOLE[:-10], "cut off"),
        (WHOLE.replace(b"END-ISO-10303-21;", b""), "cut off"),
        (WHOLE.replace(b"ISO-10303-21;\nHEADER", b"HEADER"), "ISO-10303-21; is missing"),
        (b"PK\x03\x04 not really", "can't be unpacked"),
        (gzip.compress(WHOLE)[:-12], "can't be unpacked"),
        (gzip.compress(b"hello", mtime=0), "ISO-10303-21; is missing"),
        (gzip.compress(WHOLE[:-10]), "cut off"),
    ],
)
def test_what_is_no_model(tmp_path: Path, scratch: Path, content: bytes, words: str) -> None:
    path = tmp_path / "model.ifc"
    path.write_bytes(content)
    assert words in _found(path, scratch)


def test_what_is_no_file(tmp_path: Path, scratch: Path) -> None:
    assert "no such file" in _found(tmp_path / "missing.ifc", scratch)
    assert "a folder" in _found(tmp_path, scratch)
    assert "no such file" in _found(Path("nul\x00name.ifc"), scratch)
    os.mkfifo(tmp_path / "pipe.ifc")
    assert "no file" in _found(tmp_path / "pipe.ifc", scratch)


def test_a_whole_file_is_taken_as_it_is(tmp_path: Path, scratch: Path) -> None:
    path = tmp_path / "model.ifc"
    path.write_bytes(WHOLE)
    envelope = open_envelope(str(path), scratch)
    assert (envelope.path, envelope.warnings) == (path, ())
    assert list(scratch.iterdir()) == []


def test_a_byte_order_mark_is_taken_off_and_told(tmp_path: Path, scratch: Path) -> None:
    path = tmp_path / "model.ifc"
    path.write_bytes(b"\xef\xbb\xbf" + WHOLE.replace(b"\n", b"\r\n"))
    envelope = open_envelope(str(path), scratch)
    assert envelope.path.read_bytes().startswith(b"ISO-10303-21;\r\n")
    assert "byte order mark" in envelope.warnings[0]


def _zip(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return path


def test_packed_models(tmp_path: Path, scratch: Path) -> None:
    """The name of the member is never used as a path: it can't be written anywhere but into the scratch folder."""
    zipped = _zip(tmp_path / "a.ifczip", {"../../evil/model.IFC": WHOLE, "readme.txt": b"hello"})
    assert open_envelope(str(zipped), scratch).path == scratch / "unpacked.ifc"
    assert (scratch / "unpacked.ifc").read_bytes() == WHOLE
    (tmp_path / "a.ifc.gz").write_bytes(gzip.compress(WHOLE))
    assert open_envelope(str(tmp_path / "a.ifc.gz"), scratch).path.read_bytes() == WHOLE


def test_archives_that_are_refused(tmp_path: Path, scratch: Path) -> None:
    two = _zip(tmp_path / "two.ifczip", {"a.ifc": WHOLE, "b.ifc": WHOLE})
    assert "2 .ifc files" in _found(two, scratch)
    none = _zip(tmp_path / "none.ifczip", {"a.txt": WHOLE})
    assert "0 .ifc files" in _found(none, scratch)
    many = _zip(tmp_path / "many.ifczip", {f"{k}.txt": b"" for k in range(MAX_MEMBERS + 1)})
    assert f"{MAX_MEMBERS + 1} members" in _found(many, scratch)


def test_a_bomb_is_stopped_while_it_is_read(tmp_path: Path, scratch: Path) -> None:
    """What the directory of the archive claims is not believed: the bytes are counted as they come."""
    bomb = WHOLE + b" " * (64 << 20)
    zipped = _zip(tmp_path / "bomb.ifczip", {"a.ifc": bomb})
    assert "more than 1000000 bytes" in _found(zipped, scratch)
    (tmp_path / "bomb.ifc.gz").write_bytes(gzip.compress(bomb))
    assert "more than 1000000 bytes" in _found(tmp_path / "bomb.ifc.gz", scratch)
    assert (scratch / "unpacked.ifc").stat().st_size <= 1_000_000 + (1 << 20)


def test_exactly_at_the_bound(tmp_path: Path, scratch: Path) -> None:
    (tmp_path / "a.ifc.gz").write_bytes(gzip.compress(WHOLE))
    assert open_envelope(str(tmp_path / "a.ifc.gz"), scratch, len(WHOLE)).path.read_bytes() == WHOLE
    assert f"more than {len(WHOLE) - 1} bytes" in _found(tmp_path / "a.ifc.gz", scratch, len(WHOLE) - 1)
