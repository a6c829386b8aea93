# SPDX-License-Identifier: Apache-2.0
"""Every text of a drawing that is a dimension: made here, once, from the fact itself."""

from __future__ import annotations

from brattice.details.opening import SideGap
from brattice.drawing.primitives import Ink
from brattice.evidence.installation import Window
from brattice.findings import Verdict
from brattice.quantities import number_text

__all__ = ["NOT_KNOWN", "gap_ink", "gap_text", "length_text", "window_text"]

NOT_KNOWN = "?"


def length_text(value_mm: float | None) -> str:
    """A length [mm] without its unit, as drawings write it; "?" where it is not known."""
    return NOT_KNOWN if value_mm is None else number_text(value_mm)


def window_text(window: Window | None) -> str:
    """A tested window [mm] as drawings write it: `"30-60"` with an en dash, `"≥ 30"`, `"≤ 60"`, "" for none."""
    if window is None or (window.least is None and window.most is None):
        return ""
    if window.most is None:
        return f"≥ {number_text(window.least or 0)}"
    if window.least is None:
        return f"≤ {number_text(window.most)}"
    if window.least == window.most:
        return number_text(window.least)
    return f"{number_text(window.least)}–{number_text(window.most)}"


def gap_text(gap: SideGap, as_stated_mm: float | None) -> str:
    """The gap of one side as stated; the tested window in brackets where the gap is not within it or not known."""
    text = length_text(as_stated_mm)
    window = window_text(gap.window)
    return f"{text} [{window}]" if window and gap.verdict is not Verdict.PASS else text


def gap_ink(gap: SideGap) -> Ink:
    """How a gap's text stands out: wrong where it is known to be outside the tested window."""
    return Ink.WRONG if gap.verdict is Verdict.FAIL else Ink.PLAIN
