# SPDX-License-Identifier: Apache-2.0
"""Tested installations read from TOML and XLSX, strictly, every fault at once."""

from brattice.adapters.evidence.columns import DOCUMENTS, EVIDENCE_INSTRUCTIONS, INSTALLATIONS
from brattice.adapters.evidence.loader import EvidenceLoaded, load_all_evidence, load_evidence
from brattice.adapters.evidence.product_sheets import PRODUCT_SHEETS, products_template_bytes
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
    "PRODUCT_SHEETS",
    "EvidenceLoaded",
    "evidence_template_bytes",
    "load_all_evidence",
    "load_evidence",
    "products_template_bytes",
    "read_evidence_toml",
    "read_evidence_workbook",
    "read_evidence_xlsx",
    "write_evidence_template",
]
