# SPDX-License-Identifier: Apache-2.0
"""Workbooks (XLSX) and CSV tables: read bounded and as plain data, written with equal bytes for equal input."""

from brattice.adapters.workbook.added import ADDED, ADDED_SHEET, ADDED_TITLE, AddedColumn, without_added
from brattice.adapters.workbook.additions import Additions, SheetAdditions
from brattice.adapters.workbook.beside import written_beside
from brattice.adapters.workbook.copies import CopyOf, copied_beside
from brattice.adapters.workbook.csv_table import read_csv_table
from brattice.adapters.workbook.model import (
    Cell,
    CellKind,
    CellValue,
    Limits,
    MergedRange,
    Sheet,
    Workbook,
    cell_name,
    column_letter,
)
from brattice.adapters.workbook.reader import read_table_file, read_workbook
from brattice.adapters.workbook.writer import (
    OutCell,
    OutColumn,
    OutSheet,
    OutValue,
    workbook_bytes,
    write_file,
    write_workbook,
)

__all__ = [
    "ADDED",
    "ADDED_SHEET",
    "ADDED_TITLE",
    "AddedColumn",
    "Additions",
    "Cell",
    "CellKind",
    "CellValue",
    "CopyOf",
    "Limits",
    "MergedRange",
    "OutCell",
    "OutColumn",
    "OutSheet",
    "OutValue",
    "Sheet",
    "SheetAdditions",
    "Workbook",
    "cell_name",
    "column_letter",
    "copied_beside",
    "read_csv_table",
    "read_table_file",
    "read_workbook",
    "without_added",
    "workbook_bytes",
    "write_file",
    "write_workbook",
    "written_beside",
]
