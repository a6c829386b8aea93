# SPDX-License-Identifier: Apache-2.0
"""Whatever is done to a workbook's bytes, it is read or named as unreadable; nothing else comes out."""

import io
import tempfile
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brattice.adapters.sheets import schedule_bytes
from brattice.adapters.workbook import read_csv_table, read_workbook
from brattice.errors import InputError
from tests.adapters.sheets.rows import GOOD, STAMP

WHOLE = schedule_bytes([GOOD], stamp=STAMP)
with zipfile.ZipFile(io.BytesIO(WHOLE)) as archive:
    PARTS = {name: archive.read(name) for name in archive.namelist()}

edits = st.lists(
    st.tuples(st.floats(0, 1, exclude_max=True), st.sampled_from(b'0189AXe"<>/= \0'), st.integers(0, 30)), max_size=8
)


def edited(data: bytes, changes: list[tuple[float, int, int]]) -> bytes:
    out = bytearray(data)
    for place, byte, gone in changes:
        at = int(place * len(out))
        out[at : at + gone] = bytes([byte])
    return bytes(out)


def read(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "s.xlsx")
        path.write_bytes(data)
        with suppress(InputError):
            read_workbook(path)


@settings(max_examples=60, deadline=None)
@given(edits, st.floats(0, 1))
def test_a_damaged_archive(changes: list[tuple[float, int, int]], cut: float) -> None:
    data = edited(WHOLE, changes)
    read(data[: int(cut * len(data))] if cut < 0.5 else data)


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(sorted(PARTS)), edits)
def test_a_damaged_part(name: str, changes: list[tuple[float, int, int]]) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as target:
        for part, content in PARTS.items():
            target.writestr(part, edited(content, changes) if part == name else content)
    read(buffer.getvalue())


def test_an_offset_before_the_file_is_a_damaged_archive(tmp_path: Path) -> None:
    at = WHOLE.rindex(b"PK\x05\x06") + 16
    path = tmp_path / "s.xlsx"
    path.write_bytes(WHOLE[:at] + b"\xff\xff\xff\x7f" + WHOLE[at + 4 :])
    with pytest.raises(InputError, match="damaged"):
        read_workbook(path)


@given(st.binary(max_size=300))
def test_any_bytes_as_a_table(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "t.csv")
        path.write_bytes(data)
        with suppress(InputError):
            read_csv_table(path)
