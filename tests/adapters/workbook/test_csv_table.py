# SPDX-License-Identifier: Apache-2.0
from pathlib import Path

import pytest

from brattice.adapters.workbook import Limits, Workbook, read_csv_table, read_table_file
from brattice.errors import InputError


def texts(book: Workbook) -> list[list[object]]:
    return [[cell.value for _, cell in sorted(cells.items())] for _, cells in book.sheets[0].rows()]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_delimiters_and_encodings(tmp_path: Path, mark: str, encoding: str) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(f'id{mark}"size, of; duct"\r\nß{mark}"two\r\nlines"\r\n'.encode(encoding))
    book = read_csv_table(path)
    assert texts(book) == [["id", "size, of; duct"], ["ß", "two\r\nlines"]]
    assert not book.typed
    assert book.sheets[0].name == ""


def test_windows_text_is_read_and_noted(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes("id,Größe Ø\n".encode("cp1252"))
    book = read_table_file(path)
    assert texts(book) == [["id", "Größe Ø"]]
    assert "not UTF-8: read as Windows-1252; look at letters beyond A to Z" in book.notes


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file"),
        (b"PK\x03\x04rest", "a workbook under a CSV name"),
        (b"a,b\n\x80\0\xff", "bytes that are no text"),
        (b"a,b\n\x81", "text in an unknown encoding"),
        (b'a,b\n"x"y,1\n', "a broken CSV line"),
        (b'a,b\n"never closed', "a broken CSV line"),
    ],
)
def test_what_is_no_table_is_named(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(data)
    with pytest.raises(InputError, match=r"t\.csv") as caught:
        read_csv_table(path, file="t.csv")
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (Limits(rows=1), "more than 1 rows"),
        (Limits(columns=1), "row 1, cell B1: found a filled cell far outside"),
        (Limits(cells=3), "more than 3 cells"),
        (Limits(text_length=2), "a text of 3 characters"),
        (Limits(file_bytes=4), "a file of more than 0 MiB"),
    ],
)
def test_bounds(tmp_path: Path, limits: Limits, words: str) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(b"abc,b\nc,d\n")
    with pytest.raises(InputError) as caught:
        read_csv_table(path, limits=limits)
    assert words in str(caught.value)


def test_rows_exactly_at_the_limit_are_read(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(b"a,b\nc,d\n")
    assert len(texts(read_csv_table(path, limits=Limits(rows=2, columns=2, cells=4)))) == 2
