# SPDX-License-Identifier: Apache-2.0
"""Schedules and wall types as XLSX or CSV: templates, strict reading, faults cell by cell."""
