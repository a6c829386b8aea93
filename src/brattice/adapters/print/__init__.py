# SPDX-License-Identifier: Apache-2.0
"""Printed pages (PDF) from the one report model: the report to read and the meeting plans."""

from brattice.adapters.print.plans import PLANS_FOLDER, Paper, plan_files
from brattice.adapters.print.report import REPORT_FILE, report_files

__all__ = ["PLANS_FOLDER", "REPORT_FILE", "Paper", "plan_files", "report_files"]
