# SPDX-License-Identifier: Apache-2.0
"""Tested installations as XLSX or TOML, strictly read."""
