# SPDX-License-Identifier: Apache-2.0
"""Short texts of printed pages: lists of ids, numbers of rows, marks of states."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from brattice.adapters.drawing import svg_document
from brattice.adapters.print.look import PRINT
from brattice.adapters.print.typeset import Drawn
from brattice.building.penetration import Penetration
from brattice.drawing.marks import mark_items
from brattice.drawing.primitives import Box, Drawing
from brattice.usecases.report_model import Report
from brattice.usecases.states import STATES, PenetrationState, StateSpec
from brattice.usecases.words import count_words, id_runs

__all__ = [
    "SPECS",
    "RowNumbers",
    "head_of",
    "ids_text",
    "marks",
    "picture",
    "reference_of",
]

SPECS: Mapping[PenetrationState, StateSpec] = {spec.state: spec for spec in STATES}
_MOST_RUNS = 24


def ids_text(ids: Iterable[str], most_runs: int = _MOST_RUNS) -> str:
    """Ids as runs ("P-0001 to P-0004, P-0009"); only how many where there are more than `most_runs` runs."""
    names = tuple(ids)
    runs = id_runs(names)
    if len(runs) > most_runs:
        return f"{count_words(len(names), 'penetration')}: see the register"
    return ", ".join(first if first == last else f"{first} to {last}" for first, last in runs)


def picture(drawing: Drawing, alt: str) -> dict[str, Any]:
    """A drawing for a template: its SVG, its size [mm], and what it shows in words."""
    svg = Drawn(svg_document(drawing, PRINT))
    return {"svg": svg, "width": round(drawing.frame.width, 3), "height": round(drawing.frame.height, 3), "alt": alt}


def marks() -> dict[str, Drawn]:
    """The mark of each state, by its name."""
    box = Box(-1.6, -1.6, 1.6, 1.6)
    return {
        spec.mark: Drawn(svg_document(Drawing(str(spec.state), "", box, mark_items(spec.mark, (0, 0), 3.0), 1), PRINT))
        for spec in STATES
    }


def head_of(report: Report) -> dict[str, Any]:
    """What stands on every page and on the front of every file."""
    return {
        "job": report.job_name,
        "as_of": report.as_of.isoformat(),
        "version": report.version,
        "invented": report.invented,
        "rules": f"{report.jurisdiction}, edition {report.edition}, {report.purpose}",
        "cautions": report.cautions,
        "marks": marks(),
        "states": [
            {
                "state": str(state),
                "mark": SPECS[state].mark,
                "open": SPECS[state].open,
                "meaning": SPECS[state].meaning,
                "count": count,
                "ids": ids_text(item.penetration.id for item in report.penetrations if item.state is state),
            }
            for state, count in sorted(report.counts(), key=lambda pair: list(SPECS).index(pair[0]))
        ],
    }


def reference_of(thing: Penetration) -> str:
    """The first name that people gave it; "" where only models name it."""
    return next((text for kind, text in thing.aliases if kind != "GlobalId"), "")


class RowNumbers:
    """The numbers of the rows as the file lists them; † marks a row that nobody has confirmed."""

    def __init__(self, report: Report) -> None:
        self._numbers = {used.row.id: number for number, used in enumerate(report.rows, start=1)}
        self.unconfirmed = frozenset(used.row.id for used in report.rows if not used.confirmed)

    def text(self, rows: Iterable[str]) -> str:
        """The rows by number in brackets, "1†" where unconfirmed; "" for none."""
        ordered = sorted(rows, key=lambda row: (self._numbers.get(row, 0), row))
        names = [f"{self._numbers.get(row, row)}{'†' if row in self.unconfirmed else ''}" for row in ordered]
        return f"[{', '.join(names)}]" if names else ""

    def in_short(self, rows: Iterable[str]) -> str:
        """The numbers of rows as runs ("1 to 5, 9"); "" for none."""
        numbers = sorted(self._numbers.get(row, 0) for row in rows)
        runs: list[list[int]] = []
        for number in numbers:
            if runs and number == runs[-1][1] + 1:
                runs[-1][1] = number
            else:
                runs.append([number, number])
        return ", ".join(str(a) if a == b else f"{a}, {b}" if b == a + 1 else f"{a} to {b}" for a, b in runs)
