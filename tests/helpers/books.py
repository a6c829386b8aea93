# SPDX-License-Identifier: Apache-2.0
"""Reads workbooks back with a reader that had no part in making them: each sheet as rows by heading."""

from __future__ import annotations

import io

import openpyxl

__all__ = ["read_book", "read_lines"]


def read_book(data: bytes) -> dict[str, list[dict[str, str]]]:
    """The rows of every sheet that has headings, by sheet name: heading to text; empty cells are ""."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    found: dict[str, list[dict[str, str]]] = {}
    for sheet in book.worksheets:
        if sheet.sheet_state != "visible" or sheet.title == "About":
            continue
        rows = [["" if cell.value is None else str(cell.value) for cell in row] for row in sheet.iter_rows()]
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row), "a formula"
        headings, *below = rows or [[]]
        assert len(set(headings)) == len(headings), headings
        found[sheet.title] = [dict(zip(headings, row, strict=True)) for row in below]
    return found


def read_lines(data: bytes, sheet: str = "About") -> list[str]:
    """The lines of a sheet of plain text."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    return [str(row[0].value) for row in book[sheet].iter_rows() if row[0].value is not None]
