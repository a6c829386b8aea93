# SPDX-License-Identifier: Apache-2.0
"""Schedules of others: a mapping that is proposed and then kept with the job, and careful reading by it."""

from brattice.adapters.foreign.mapping_file import MAPPING_KEYS, Mapping, mapping_beside, mapping_of, read_mapping
from brattice.adapters.foreign.propose import ColumnProposal, Proposal, propose
from brattice.adapters.foreign.reading import BookRead, read_book, read_foreign
from brattice.adapters.foreign.settle import (
    Settled,
    SettledColumn,
    heading_rows_at,
    is_own_form,
    mapping_text,
    stated_as_read,
)

__all__ = [
    "MAPPING_KEYS",
    "BookRead",
    "ColumnProposal",
    "Mapping",
    "Proposal",
    "Settled",
    "SettledColumn",
    "heading_rows_at",
    "is_own_form",
    "mapping_beside",
    "mapping_of",
    "mapping_text",
    "propose",
    "read_book",
    "read_foreign",
    "read_mapping",
    "stated_as_read",
]
