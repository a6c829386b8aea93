# SPDX-License-Identifier: Apache-2.0
"""Tested installations read from TOML and XLSX, strictly, every fault at once."""

from brattice.adapters.evidence.columns import DOCUMENTS, EVIDENCE_INSTRUCTIONS, INSTALLATIONS
from brattice.adapters.evidence.loader import load_evidence
from brattice.adapters.evidence.toml_reader import read_evidence_toml
from brattice.adapters.evidence.xlsx_reader import (
    evidence_template_bytes,
    read_evidence_workbook,
    read_evidence_xlsx,
    write_evidence_template,
)

__all__ = [
    "DOCUMENTS",
    "EVIDENCE_INSTRUCTIONS",
    "INSTALLATIONS",
    "evidence_template_bytes",
    "load_evidence",
    "read_evidence_toml",
    "read_evidence_workbook",
    "read_evidence_xlsx",
    "write_evidence_template",
]
