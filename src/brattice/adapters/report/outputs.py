# SPDX-License-Identifier: Apache-2.0
"""Writes every output of a report into a folder; the same report gives the same bytes."""

from __future__ import annotations

from pathlib import Path

from brattice.adapters.files import write_file
from brattice.adapters.report.findings_json import findings_parts
from brattice.adapters.report.html import MOST_IN_ONE, report_files
from brattice.adapters.report.register import (
    REGISTER_TITLE,
    register_csv,
    register_sheets,
    register_stamp,
    register_workbook,
)
from brattice.adapters.workbook import written_beside
from brattice.usecases.report_model import Report

__all__ = ["OUTPUTS", "write_outputs"]

OUTPUTS = ("findings.json", "register.csv", "register.xlsx", "report.html")
"""The names of the files, sorted."""


def write_outputs(report: Report, folder: Path, *, epoch: int) -> list[Path]:
    """Write all outputs into a folder that exists; the paths of the files, sorted.

    `epoch` (seconds since 1970) is the only time that any of them holds. A large report is written part by part, so
    that it is never whole in memory, and its workbook by a process beside; whoever gives the folder swaps it in only
    once all is written.
    """
    register = folder / "register.xlsx"
    if len(report.penetrations) <= MOST_IN_ONE:
        write_file(register, register_workbook(report, epoch=epoch))
        names = _all_but_the_workbook(report, folder)
    else:
        with written_beside(
            register, lambda: register_sheets(report), stamp=register_stamp(epoch), title=REGISTER_TITLE
        ):
            names = _all_but_the_workbook(report, folder)
    return [folder / name for name in sorted({register.name, *names})]


def _all_but_the_workbook(report: Report, folder: Path) -> set[str]:
    write_file(folder / "register.csv", register_csv(report))
    with (folder / "findings.json").open("wb") as stream:
        stream.writelines(findings_parts(report))
    names = {"findings.json", "register.csv"}
    for name, data in report_files(report):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(data)
        names.add(name)
    return names
