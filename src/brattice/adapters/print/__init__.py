# SPDX-License-Identifier: Apache-2.0
"""Printed pages (PDF) from the one report model: the report to read and the meeting plans."""

from brattice.adapters.print.report import REPORT_FILE, report_files

__all__ = ["REPORT_FILE", "report_files"]
