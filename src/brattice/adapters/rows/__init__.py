# SPDX-License-Identifier: Apache-2.0
"""The shipped data rows: normative values with their passport, read once and handed to the core."""

from brattice.adapters.rows.reader import load_rows, read_rows, shipped_book

__all__ = ["load_rows", "read_rows", "shipped_book"]
