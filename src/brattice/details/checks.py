# SPDX-License-Identifier: Apache-2.0
"""What of a detail fails, as findings of the check: impossible shapes and failing calculations, never a missing fact.

A fact that is missing stands on the sheet and holds the order; it is no question of the check. What the evidence
judges (gaps, seal, joints, support as such, distances) is not said here a second time. A choice that the maker does
not offer holds its order line and says nothing of the installation's scope.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from brattice.details.access import access_figures
from brattice.details.air import air_figures
from brattice.details.expansion import expansion_figures
from brattice.details.figures import Figure
from brattice.details.fixings import spacing_figure
from brattice.details.given import Given
from brattice.details.openings import stated_problems
from brattice.details.parts import geometry_problems
from brattice.details.support import rod_figures
from brattice.findings import Reason, Verdict

__all__ = ["CHECKED", "failing_reasons"]

CHECKED: Mapping[str, tuple[str, ...]] = {
    "support-in-fire": ("rod-size", "rod-count", "rod-length", "rod-stress"),
    "fixing-spacing": ("fixing-spacing",),
    "expansion-travel": ("joint-travel",),
    "closing-under-flow": ("closing-velocity", "closing-pressure"),
    "access-reach": ("door-width", "door-distance", "zone-depth", "zone-clear", "hatch-width"),
}
"""Which figures fail which check; a door's and a hatch's two sides are held together and named once."""


def failing_reasons(given: Given) -> tuple[Reason, ...]:
    """Every check of a detail that fails here, by code; () where nothing is stated that does."""
    reasons = [Reason("geometry", Verdict.FAIL, text) for text in (*stated_problems(given), *geometry_problems(given))]
    codes = {key: code for code, keys in CHECKED.items() for key in keys}
    reasons += [
        _reason(codes[figure.key], figure)
        for figure in _figures(given)
        if figure.verdict is Verdict.FAIL and figure.key in codes
    ]
    return tuple(reasons)


def _figures(given: Given) -> Iterable[Figure]:
    spacing = spacing_figure(given)
    if spacing is not None:
        yield spacing
    yield from rod_figures(given)
    yield from expansion_figures(given)
    yield from air_figures(given)
    yield from access_figures(given)


def _reason(code: str, figure: Figure) -> Reason:
    origins = tuple(dict.fromkeys(use.origin for use in figure.uses if use.origin is not None))
    text = figure.note or f"{figure.name}: {figure.text}."
    have = f"{figure.name}: {figure.text}"
    return Reason(code, Verdict.FAIL, text, have, figure.limit, figure.rows, (), origins)
