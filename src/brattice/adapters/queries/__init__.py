# SPDX-License-Identifier: Apache-2.0
"""Queries outside: the list `queries.csv`, one workbook a party, and the reading of what comes back.

The same readers of single values read the changes of a what-if.
"""

from brattice.adapters.queries.answer_values import choices_of, expected_of, read_answer, says_nothing
from brattice.adapters.queries.change_texts import CHANGE_FORMS, read_changes, value_expected
from brattice.adapters.queries.list_file import QUERIES_COLUMNS, QUERIES_FILE, queries_text, read_queries, save_queries
from brattice.adapters.queries.party_sheets import (
    asked_now,
    on_one_line,
    party_bytes,
    party_file,
    read_back,
    read_returned,
)

__all__ = [
    "CHANGE_FORMS",
    "QUERIES_COLUMNS",
    "QUERIES_FILE",
    "asked_now",
    "choices_of",
    "expected_of",
    "on_one_line",
    "party_bytes",
    "party_file",
    "queries_text",
    "read_answer",
    "read_back",
    "read_changes",
    "read_queries",
    "read_returned",
    "save_queries",
    "says_nothing",
    "value_expected",
]
