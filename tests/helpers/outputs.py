# SPDX-License-Identifier: Apache-2.0
"""Reads ids, states and finding codes back from each output, by a way of its own for each."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field

import openpyxl

from brattice.usecases.report_model import Report

__all__ = ["Told", "from_csv", "from_json", "from_model", "from_xlsx"]


@dataclass
class Told:
    """What an output says: the state of each id, and its finding codes, open and not, each as often as it stands."""

    states: dict[str, str] = field(default_factory=dict)
    open_codes: dict[str, list[str]] = field(default_factory=dict)
    other_codes: dict[str, list[str]] = field(default_factory=dict)

    def add(self, name: str, state: str, open_codes: list[str], other_codes: list[str]) -> None:
        assert name not in self.states
        self.states[name] = state
        self.open_codes[name] = sorted(open_codes)
        self.other_codes[name] = sorted(other_codes)


def from_model(report: Report) -> Told:
    told = Told()
    for item in report.penetrations:
        told.add(
            item.penetration.id,
            str(item.state),
            [finding.code for finding in item.findings if finding.open],
            [finding.code for finding in item.findings if not finding.open],
        )
    return told


def from_json(data: bytes) -> Told:
    told = Told()
    for item in json.loads(data)["penetrations"]:
        told.add(
            item["id"],
            item["state"],
            [finding["code"] for finding in item["findings"] if finding["open"]],
            [finding["code"] for finding in item["findings"] if not finding["open"]],
        )
    return told


def _split(text: str | None) -> list[str]:
    return text.split("; ") if text else []


def from_csv(data: bytes) -> Told:
    told = Told()
    for row in csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")):
        told.add(row["Id"], row["State"], _split(row["Open findings"]), _split(row["Other findings"]))
    return told


def from_xlsx(data: bytes) -> Told:
    """From two sheets: the codes of the sheet Findings must be those of the sheet Penetrations."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    told = Told()
    rows = list(book["Penetrations"].iter_rows(values_only=True))
    heads = [str(cell) for cell in rows[0]]
    for values in rows[1:]:
        row = {head: None if value is None else str(value) for head, value in zip(heads, values, strict=True)}
        told.add(str(row["Id"]), str(row["State"]), _split(row["Open findings"]), _split(row["Other findings"]))
    listed = Told({}, {name: [] for name in told.states}, {name: [] for name in told.states})
    for subject, code, is_open, *_ in book["Findings"].iter_rows(min_row=2, values_only=True):
        if subject in told.states:
            (listed.open_codes if is_open == "open" else listed.other_codes)[str(subject)].append(str(code))
    assert {name: sorted(codes) for name, codes in listed.open_codes.items()} == told.open_codes
    assert {name: sorted(codes) for name, codes in listed.other_codes.items()} == told.other_codes
    return told
