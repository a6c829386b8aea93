# SPDX-License-Identifier: Apache-2.0
"""Tested installations read from TOML and XLSX, strictly, every fault at once."""

from brattice.adapters.evidence.toml_reader import read_evidence_toml

__all__ = ["read_evidence_toml"]
