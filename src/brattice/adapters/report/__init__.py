# SPDX-License-Identifier: Apache-2.0
"""All outputs from the one report model: register (XLSX, CSV), findings (JSON) and the report to read (HTML)."""

from brattice.adapters.report.findings_json import findings_bytes, findings_object, findings_schema
from brattice.adapters.report.fragments import HATCHES, SECTIONS, DrawnPlan, Fragments, fragment_css
from brattice.adapters.report.html import report_html
from brattice.adapters.report.outputs import OUTPUTS, write_outputs
from brattice.adapters.report.page import Links, ListLine
from brattice.adapters.report.register import register_csv, register_workbook
from brattice.adapters.report.sheet_back import copies_of, copy_names

__all__ = [
    "HATCHES",
    "OUTPUTS",
    "SECTIONS",
    "DrawnPlan",
    "Fragments",
    "Links",
    "ListLine",
    "copies_of",
    "copy_names",
    "findings_bytes",
    "findings_object",
    "findings_schema",
    "fragment_css",
    "register_csv",
    "register_workbook",
    "report_html",
    "write_outputs",
]
