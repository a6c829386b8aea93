# SPDX-License-Identifier: Apache-2.0
"""Reads ids, states and finding codes back from each output, by a way of its own for each."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

import openpyxl

from brattice.usecases.report_model import Report

__all__ = ["HtmlShape", "Told", "files_of", "from_csv", "from_html", "from_json", "from_model", "from_xlsx"]


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


@dataclass
class _Element:
    """One element that is open: tag, attributes, the text in it so far."""

    tag: str
    attributes: dict[str, str]
    start: int
    text: str = ""


_VOID = {"meta", "input", "br", "link", "img", "hr"}


class HtmlShape(HTMLParser):
    """Reads a page: its elements with attributes, texts by element, and the penetrations that it tells of."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.finished: list[_Element] = []
        self.told = Told()
        self._texts: list[str] = []
        self._open: list[_Element] = []
        self._pen: dict[str, list[str] | str] = {}
        self.feed(text)
        self.close()
        self.all_text = "".join(self._texts)
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = {name: value or "" for name, value in attrs}
        assert len(attributes) == len(attrs), "an attribute stands twice"
        self.elements.append((tag, attributes))
        if tag not in _VOID:
            self._open.append(_Element(tag, attributes, len(self._texts)))
        if tag == "article":
            self._pen = {"id": "", "state": "", "open": [], "other": []}

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        self._texts.append(data)

    def handle_endtag(self, tag: str) -> None:
        element = self._open.pop()
        assert element.tag == tag, f"{element.tag} is closed by {tag}"
        element.text = "".join(self._texts[element.start :])
        self.finished.append(element)
        if self._pen:
            self._tell(element)

    def _tell(self, element: _Element) -> None:
        kind = element.attributes.get("class", "")
        if kind == "pid":
            self._pen["id"] = element.text
        elif kind == "word":
            self._pen["state"] = element.text
        elif element.tag == "code":
            holders = [item for item in self._open if item.tag == "li"]
            codes = self._pen["open" if holders[-1].attributes["class"] == "open" else "other"]
            assert isinstance(codes, list)
            codes.append(element.text)
        elif element.tag == "article":
            pen, self._pen = self._pen, {}
            self.told.add(str(pen["id"]), str(pen["state"]), list(pen["open"]), list(pen["other"]))


def from_html(data: bytes) -> Told:
    """From the visible text of the sections, not from attributes; the list must tell the same states."""
    shape = HtmlShape(data.decode("utf-8"))
    told = shape.told
    cells: dict[str, str] = {}
    for element in shape.finished:
        if element.tag == "tr" and "data-for" in element.attributes:
            name = next(item for item in told.states if element.text.startswith(item))
            state = next(
                item for item in sorted(set(told.states.values()), key=len, reverse=True) if item in element.text
            )
            cells[name] = state
    assert cells == told.states
    return told


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file of a folder and of those in it, by its name with / between the parts."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
