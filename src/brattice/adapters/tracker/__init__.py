# SPDX-License-Identifier: Apache-2.0
"""The tracker outside: its record `tracker.csv`, and the workbook that people type in."""

from brattice.adapters.tracker.record_file import (
    TRACKER_COLUMNS,
    TRACKER_FILE,
    read_tracker,
    save_tracker,
    tracker_text,
)
from brattice.adapters.tracker.sheets import TRACKER_SHEET_FILE, cleaned, read_typed, tracker_bytes

__all__ = [
    "TRACKER_COLUMNS",
    "TRACKER_FILE",
    "TRACKER_SHEET_FILE",
    "cleaned",
    "read_tracker",
    "read_typed",
    "save_tracker",
    "tracker_bytes",
    "tracker_text",
]
