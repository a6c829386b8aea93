# SPDX-License-Identifier: Apache-2.0
"""The job folder: brattice.toml, the ledger of permanent ids, safe output folders."""
