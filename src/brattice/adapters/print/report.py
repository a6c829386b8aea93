# SPDX-License-Identifier: Apache-2.0
"""The report as PDF: one file, or for a big job a first file and volumes with the sections, level by level."""

from __future__ import annotations

from brattice.adapters.print.report_data import front_data, section_data
from brattice.adapters.print.typeset import typeset
from brattice.usecases.report_model import Report

__all__ = ["REPORT_FILE", "report_files"]

REPORT_FILE = "report.pdf"


def report_files(report: Report, *, epoch: int) -> dict[str, bytes]:
    """The files of the printed report by name."""
    data = {
        **front_data(report),
        "kind": "Report",
        "part": "whole",
        "sections": section_data(report, report.penetrations),
    }
    return {REPORT_FILE: typeset("report", data, epoch=epoch, subject=REPORT_FILE)}
