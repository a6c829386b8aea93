# SPDX-License-Identifier: Apache-2.0
"""Meeting plans: a PDF a level with its plan on sheets of one size and the list of its penetrations beside it.

Everything comes from the report model; nothing is judged. A level without coordinates is a list alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from brattice.adapters.print.fonts import lato_metrics, printable_line
from brattice.adapters.print.typeset import typeset
from brattice.adapters.print.underlay import underlay_pictures
from brattice.adapters.print.words import SPECS, head_of, picture, reference_of
from brattice.building.file_names import file_part
from brattice.building.north import NO_NORTH
from brattice.building.plan import Underlay
from brattice.drawing.metrics import text_width
from brattice.drawing.primitives import Box
from brattice.sketch.plan import RatingBand, rating_band, rating_legend
from brattice.sketch.sheets import PlanSheet, draw_key, draw_sheets
from brattice.usecases.levels import LevelGroup, levels_of
from brattice.usecases.report_model import PenetrationReport, Report
from brattice.usecases.told import decision_words
from brattice.usecases.words import class_asked, code_words, count_words, fact_words

__all__ = ["PLANS_FOLDER", "Paper", "plan_files"]

PLANS_FOLDER = "plans"
"""Where the plans go, inside the folder of the printed pages."""

_NO_LEVEL = "Level not known"


class Paper(StrEnum):
    """The size of the sheets, on their long side."""

    A3 = "A3"
    A1 = "A1"


@dataclass(frozen=True)
class _Sizes:
    """A sheet in mm: page, its list beside the plan, room of the plan, height of what stands below it, text in pt."""

    width: float
    height: float
    list_width: float
    text_pt: float
    foot: float
    factor: float

    @property
    def body(self) -> float:
        return self.height - _TOP - _BOTTOM - _TITLE

    @property
    def plan_width(self) -> float:
        return self.width - 2 * _SIDE - _GAP - self.list_width

    @property
    def plan_height(self) -> float:
        return self.body - self.foot


_TOP, _BOTTOM, _SIDE, _GAP, _TITLE = 17.0, 13.0, 10.0, 4.0, 10.0
_SIZES = {
    Paper.A3: _Sizes(420.0, 297.0, 160.0, 7.0, 38.0, 1.0),
    Paper.A1: _Sizes(841.0, 594.0, 240.0, 9.0, 46.0, 1.3),
}
_MM_PER_PT = 25.4 / 72
_PITCH_EM = 1.15
_ROW_PAD_MM = 1.9
_CELL_PAD_MM = 1.0
_SLACK_MM = 3.0
_BESIDE = (19.0, 20.0, 17.0, 20.0, 22.0, 44.0, 18.0)
_WHOLE = (22.0, 34.0, 28.0, 30.0, 46.0, 144.0, 40.0, 56.0)
_HEADS = ("Id", "Reference", "Duct", "State", "Class asked", "What is open", "Queries", "Place")
_PIECES = re.compile(r"[^\s/_;,]*[\s/_;,]+|[^\s/_;,]+")
_BOLD = {0, 3}
_MARK_EM = 1.6


def plan_files(report: Report, *, epoch: int, paper: Paper = Paper.A3, folder: Path | None = None) -> dict[str, bytes]:
    """The meeting plans by name: one PDF for each level that has a penetration.

    `folder` is the job's, for the drawings under levels; without it the plans have none.

    Raises
    ------
    InputError : the pages of a level need more memory or time than they may
    """
    files = {}
    for number, level in enumerate(levels_of(report), start=1):
        name = f"{PLANS_FOLDER}/{number:02d}-{file_part(level.name or _NO_LEVEL, 'level')}.pdf"
        sheets = _sheets(level, paper)
        pictures = _pictures(level, sheets, folder)
        data = _level_data(report, level, paper, sheets, has_pictures=bool(pictures))
        files[name] = typeset("plans", data, epoch=epoch, subject=name, files=pictures)
    return files


def _sheets(level: LevelGroup, paper: Paper) -> tuple[PlanSheet, ...]:
    if level.plan is None:
        return ()
    sizes, under = _SIZES[paper], level.plan.underlay
    also = None
    if under is not None:
        xs, ys = [point[0] for point in under.points_m], [point[1] for point in under.points_m]
        also = Box(min(xs), min(ys), max(xs), max(ys))
    return draw_sheets(level.plan, level.marks, sizes.plan_width, sizes.plan_height, also)


def _pictures(level: LevelGroup, sheets: Sequence[PlanSheet], folder: Path | None) -> dict[str, bytes]:
    """The drawing under each sheet, by the name that the template knows it by."""
    if folder is None or level.plan is None or level.plan.underlay is None or not sheets:
        return {}
    made = underlay_pictures(folder, level.plan.underlay, sheets)
    return {f"under-{sheet.number}.png": data for sheet, data in zip(sheets, made, strict=True)}


def _under_words(underlay: Underlay | None) -> str:
    """What lies under the plan, and how well it is tied to the building."""
    if underlay is None:
        return ""
    page = f", page {underlay.page}" if underlay.is_pdf else ""
    count, worst = len(underlay.rest_mm), max(underlay.rest_mm)
    rest = "two points, which nothing checks" if count == 2 else f"{count} points, at most {worst:.0f} mm off"
    return f"In grey underneath: {underlay.file}{page}, tied by {rest}."


def _level_data(
    report: Report, level: LevelGroup, paper: Paper, sheets: Sequence[PlanSheet], *, has_pictures: bool
) -> dict[str, Any]:
    sizes = _SIZES[paper]
    by_id = {item.penetration.id: item for item in (*level.with_place, *level.without_place)}
    name = level.name or _NO_LEVEL
    rows = _Rows(report, sizes)
    return {
        **head_of(report),
        "kind": f"Meeting plan, {name}" if sheets else f"Meeting list, {name}",
        "level": name,
        "count": count_words(level.count, "penetration"),
        "paper": str(paper),
        "sizes": {
            "width": sizes.width,
            "height": sizes.height,
            "top": _TOP,
            "bottom": _BOTTOM,
            "side": _SIDE,
            "gap": _GAP,
            "title": _TITLE,
            "list": sizes.list_width,
            "plan": sizes.plan_width,
            "plan_height": sizes.plan_height,
            "body": sizes.body,
            "foot": sizes.foot,
            "text": sizes.text_pt,
        },
        "heads": _HEADS,
        "beside": _widths(_BESIDE, sizes.list_width),
        "whole": _widths(_WHOLE, sizes.width - 2 * _SIDE),
        "bands": _bands(level),
        "underlay": has_pictures,
        "north": NO_NORTH.text if level.plan is None else level.plan.north.text,
        "under_words": _under_words(level.plan.underlay if level.plan is not None and has_pictures else None),
        "surveyed": sum(
            item.penetration.location.surveyed is not None and item.penetration.location.centre_m is None
            for item in level.with_place
        ),
        "sheets": [_sheet_data(level, sheet, sheets, by_id, sizes, rows) for sheet in sheets],
        "without": rows.whole(level.without_place),
        "without_why": "No model and no mark says where these are on the level: a list, and no plan."
        if not sheets
        else "No model and no mark says where these are; they have no flag on the plan.",
        "states_here": [
            {"state": str(spec.state), "mark": spec.mark, "open": spec.open}
            for spec in SPECS.values()
            if any(item.state is spec.state for item in by_id.values())
        ],
    }


def _widths(shares: Sequence[float], whole: float) -> list[float]:
    return [round(share * whole / sum(shares), 3) for share in shares]


def _bands(level: LevelGroup) -> dict[str, Any] | None:
    """What the fills of walls mean; None without a wall."""
    barriers = level.plan.barriers if level.plan is not None else ()
    bands = {rating_band(barrier.rating_min) for barrier in barriers if not barrier.is_floor}
    if not bands:
        return None
    ordered = [band for band in RatingBand if band in bands]
    return picture(rating_legend(ordered), f"Walls by their rating: {', '.join(ordered)}")


def _sheet_data(
    level: LevelGroup,
    sheet: PlanSheet,
    sheets: Sequence[PlanSheet],
    by_id: Mapping[str, PenetrationReport],
    sizes: _Sizes,
    rows: _Rows,
) -> dict[str, Any]:
    items = [by_id[name] for name in sorted((*sheet.shown, *sheet.without_room))]
    beside = rows.beside(items)
    first = _fitting(beside, sizes)
    words = f"{sheet.drawing.title}: {sheet.drawing.words}. Each stands in the list beside it."
    key = None
    if len(sheets) > 1 and level.plan is not None:
        drawn = draw_key(level.plan, sheets, sheet.number, 62.0 * sizes.factor, (sizes.foot - 5.0))
        key = picture(drawn, f"{drawn.title}: {drawn.words}")
    return {
        "number": sheet.number,
        "of": len(sheets),
        "scale": f"1:{sheet.drawing.denominator:g}",
        "drawing": picture(sheet.drawing, words),
        "key": key,
        "beside": beside[:first],
        "more": rows.whole(items[first:]),
        "without_room": list(sheet.without_room),
        "shown": len(sheet.shown),
    }


def _fitting(rows: Sequence[Mapping[str, Any]], sizes: _Sizes) -> int:
    """How many rows the list beside the plan has room for."""
    pitch = sizes.text_pt * _PITCH_EM * _MM_PER_PT
    room = sizes.body - _SLACK_MM - (2 * pitch + _ROW_PAD_MM) - pitch
    for number, row in enumerate(rows):
        room -= max(len(cell) for cell in row["cells"]) * pitch + _ROW_PAD_MM
        if room < 0:
            return number
    return len(rows)


class _Rows:
    """The rows of lists, with the numbers of the queries of each penetration."""

    def __init__(self, report: Report, sizes: _Sizes) -> None:
        self._report, self._sizes = report, sizes

    def beside(self, items: Iterable[PenetrationReport]) -> list[dict[str, Any]]:
        """Rows as wide as the list beside a plan."""
        return self._rows(items, _widths(_BESIDE, self._sizes.list_width))

    def whole(self, items: Iterable[PenetrationReport]) -> list[dict[str, Any]]:
        """Rows as wide as a sheet."""
        return self._rows(items, _widths(_WHOLE, self._sizes.width - 2 * _SIDE))

    def _rows(self, items: Iterable[PenetrationReport], widths: Sequence[float]) -> list[dict[str, Any]]:
        size = self._sizes.text_pt * _MM_PER_PT
        rows = []
        for item in items:
            cells = []
            for n, (text, width) in enumerate(zip(self._texts(item), widths, strict=False)):
                room = width - 2 * _CELL_PAD_MM - (size * _MARK_EM if n == 0 else 0.0)
                cells.append(_broken(text, room, size, bold=n in _BOLD))
            rows.append({"mark": SPECS[item.state].mark, "cells": cells})
        return rows

    def _texts(self, item: PenetrationReport) -> tuple[str, ...]:
        """The cells of a penetration, in the order of their heads."""
        thing = item.penetration
        standings = (self._report.standing_of(query) for query in item.queries)
        place = [text for text in (thing.location.words, fact_words(thing.barrier.wall_type_code)) if text]
        return (
            thing.id,
            reference_of(thing),
            fact_words(thing.duct.size),
            str(item.state),
            class_asked(item.requirement),
            _open_words(item),
            ", ".join(standing.number for standing in standings if standing is not None),
            ", ".join(place),
        )


def _open_words(item: PenetrationReport) -> str:
    """What is open in short: its kinds; where nothing is, the decision by people or that this is no approval."""
    words = list(dict.fromkeys(code_words(finding.code) for finding in item.findings if finding.open))
    if words:
        return "; ".join(words)
    if item.something_open:
        return "see its page in the report"
    return decision_words(item) or "nothing; no approval"


def _broken(text: str, room_mm: float, size_mm: float, *, bold: bool) -> list[str]:
    """A text in lines that are no wider than the room, broken after spaces, commas and strokes, else within a word."""
    metrics = lato_metrics()

    def width(part: str) -> float:
        return text_width(part, size_mm, metrics, bold=bold)

    lines, line = [], ""
    for piece in _PIECES.findall(printable_line(text)):
        if width((line + piece).rstrip()) <= room_mm:
            line += piece
            continue
        if line.strip():
            lines.append(line.strip())
        line = piece
        while width(line.rstrip()) > room_mm and len(line) > 1:
            most = next((n for n in range(len(line) - 1, 1, -1) if width(line[:n]) <= room_mm), 1)
            lines.append(line[:most])
            line = line[most:]
    return [*lines, line.strip()] if line.strip() or not lines else lines
