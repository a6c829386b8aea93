# SPDX-License-Identifier: Apache-2.0
"""Writes every output of a report into a folder; the same report gives the same bytes."""

from __future__ import annotations

from pathlib import Path

from brattice.adapters.files import write_file
from brattice.adapters.report.findings_json import findings_bytes
from brattice.adapters.report.html import report_html
from brattice.adapters.report.register import register_csv, register_workbook
from brattice.usecases.report_model import Report

__all__ = ["OUTPUTS", "write_outputs"]

OUTPUTS = ("findings.json", "register.csv", "register.xlsx", "report.html")
"""The names of the files, sorted."""


def write_outputs(report: Report, folder: Path, *, epoch: int) -> list[Path]:
    """Write all outputs into a folder that exists; the paths of the files, sorted.

    `epoch` (seconds since 1970) is the only time that any of them holds. Every file is made before the first is
    written.
    """
    made = {
        "findings.json": findings_bytes(report),
        "register.csv": register_csv(report),
        "register.xlsx": register_workbook(report, epoch=epoch),
        "report.html": report_html(report),
    }
    for name, data in made.items():
        write_file(folder / name, data)
    return [folder / name for name in OUTPUTS]
