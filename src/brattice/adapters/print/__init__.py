# SPDX-License-Identifier: Apache-2.0
"""Printed pages (PDF) from the one report model: the report to read and the meeting plans."""

from brattice.adapters.print.orders import ORDERS_PDF, SUBMITTALS_FOLDER, order_pages, submittal_pages
from brattice.adapters.print.plans import PLANS_FOLDER, Paper, plan_files
from brattice.adapters.print.report import REPORT_FILE, report_files

__all__ = [
    "ORDERS_PDF",
    "PLANS_FOLDER",
    "REPORT_FILE",
    "SUBMITTALS_FOLDER",
    "Paper",
    "order_pages",
    "plan_files",
    "report_files",
    "submittal_pages",
]
