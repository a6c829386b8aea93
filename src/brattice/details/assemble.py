# SPDX-License-Identifier: Apache-2.0
"""One installation put together from its parts: figures, what has to be settled, and what may be done with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from brattice.details.access import access_figures
from brattice.details.air import air_figures
from brattice.details.controls import control_figures
from brattice.details.detail import InstallationDetail, Neighbour, Standing
from brattice.details.expansion import expansion_figures
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.details.fixings import fixing_figures
from brattice.details.given import Given
from brattice.details.neighbours import neighbours
from brattice.details.openings import OpeningPlan, opening_plan, place_figures
from brattice.details.order_words import order_figures
from brattice.details.parts import barrier_figures, damper_figures, geometry_problems, seal_figures
from brattice.details.quantities import quantity_figures
from brattice.details.steps import steps_of
from brattice.details.support import rod_figures, support_figures, weight_figure
from brattice.details.table import FIGURES
from brattice.details.zone import in_zone
from brattice.findings import Known, Verdict

__all__ = ["BUILDER_NEEDS", "Asked", "assemble_detail", "waits"]

BUILDER_NEEDS: tuple[str, ...] = (
    "barrier-thickness",
    "lining",
    "duct-width",
    "duct-height",
    "duct-diameter",
    "damper-width",
    "damper-height",
    "damper-diameter",
    "blade-offset",
    "finished-width",
    "finished-height",
    "finished-diameter",
    "framed-width",
    "framed-height",
    "framed-diameter",
    "gap-left",
    "gap-right",
    "gap-top",
    "gap-bottom",
    "centre-height",
    "grid",
    "lintel",
    "seal-product",
    "seal-depth",
    "seal-faces",
    "seal-layers",
    "seal-cure",
    "fixing",
    "support",
    "joint-a",
    "joint-b",
    "rod-size",
    "rod-count",
    "rod-length",
    "rod-stress",
    "rods-protected",
    "slab",
    "anchor",
    "expansion",
    "joint-travel",
    "closing-velocity",
    "closing-pressure",
    "door-width",
    "door-height",
    "door-distance",
    "access-side",
    "zone-width",
    "zone-depth",
    "zone-clear",
    "ceiling",
    "hatch-width",
    "hatch-height",
    "handing",
)
"""The figures without which nothing is to be built: each that a detail has must be settled.

Whatever else is held against a limit and not known keeps a detail from being built as well (`docs/details.md`).
"""

_OPTIONS = frozenset({"handing", "actuator", "voltage", "end-switches", "finish", "accessories", "fail-position"})
"""Choices of the order: the check says nothing of them, so that no accepted deviation takes them up."""

_PLACES = {key: place for place, key in enumerate(FIGURES)}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the use case knows of a penetration beside its parts.

    `not_drawn` says why there is nothing to draw ("" where there is); `may_build` that it is within the tested scope
    or that its deviation was accepted, `state_why` says the state in words. `changes` bring it within scope.
    """

    may_build: bool
    state_why: str
    not_drawn: str = ""
    class_asked: str = ""
    class_held: str = ""
    actuation_asked: str = ""
    changes: tuple[str, ...] = ()
    deviation: str = ""


def _can_be_drawn(given: Given, plan: OpeningPlan) -> str:
    """Why no sheet can be drawn for want of a shape; "" where one can."""
    if given.size is None:
        return "Neither the damper's size nor the duct's is known."
    if not isinstance(given.penetration.barrier.thickness_mm, Known):
        return "The thickness of the barrier is not known."
    if plan.finished is None:
        return "The finished clear opening can't be told."
    return ""


def waits(figure: Figure) -> bool:
    """Whether the builder waits for a figure: it is needed and not settled, or held against a limit and not known.

    Of a choice the builder needs the word alone; whether the maker offers it holds the order.
    """
    if figure.key in _OPTIONS:
        return figure.key in BUILDER_NEEDS and figure.text == TO_BE_SETTLED
    unknown = figure.verdict is Verdict.UNKNOWN
    return (unknown and bool(figure.limit)) or (figure.key in BUILDER_NEEDS and not figure.is_settled)


def _standing(
    given: Given,
    asked: Asked,
    plan: OpeningPlan,
    problems: Sequence[str],
    figures: Sequence[Figure],
    near: Sequence[Neighbour],
) -> tuple[Standing, str]:
    if asked.not_drawn:
        return Standing.NOT_DRAWN, asked.not_drawn
    if problems:
        return Standing.NOT_DRAWN, "Its geometry can't be as it stands."
    undrawn = _can_be_drawn(given, plan)
    if undrawn:
        return Standing.NOT_DRAWN, undrawn
    if not asked.may_build:
        return Standing.TO_BE_SETTLED, asked.state_why
    accepted = bool(asked.deviation)  # of what the check finds; nobody accepts what the maker does not make
    clear = [item.clear for item in near]
    wrong = [
        item
        for item in (*figures, *clear)
        if item.verdict is Verdict.FAIL and not (accepted and item.key not in _OPTIONS)
    ]
    if wrong:
        return Standing.TO_BE_SETTLED, f"Does not hold: {'; '.join(item.name for item in wrong)}."
    waiting = [item for item in (*figures, *clear) if waits(item)]
    if waiting:
        return Standing.TO_BE_SETTLED, f"To be settled first: {'; '.join(item.name for item in waiting)}."
    return Standing.TO_BUILD, asked.state_why


def assemble_detail(given: Given, asked: Asked) -> InstallationDetail:
    """The detail of one penetration: every figure once, its steps, what has to be settled, and its standing."""
    plan = opening_plan(given)
    seal = seal_figures(given)
    depth = next((item for item in seal if item.key == "seal-depth"), None)
    figures = (
        *barrier_figures(given),
        *damper_figures(given),
        *plan.figures,
        *place_figures(given, plan),
        *seal,
        *support_figures(given),
        weight_figure(given),
        *rod_figures(given),
        *expansion_figures(given),
        *air_figures(given),
        *access_figures(given),
        *(() if depth is None else quantity_figures(given, plan, depth)),
        *fixing_figures(given, plan),
        *order_figures(given),
        *control_figures(given),
    )
    figures = tuple(sorted(figures, key=lambda item: _PLACES[item.key]))
    near = neighbours(given)
    problems = (*plan.problems, *geometry_problems(given))
    standing, why = _standing(given, asked, plan, problems, figures, near)
    missing = {item for figure in (*figures, *(item.clear for item in near)) for item in figure.missing}
    drawn = standing is not Standing.NOT_DRAWN
    return InstallationDetail(
        penetration=given.penetration,
        standing=standing,
        why=why,
        tested=given.tested,
        product=given.product,
        figures=figures,
        steps=steps_of(given, plan, {item.key: item for item in figures}) if drawn else (),
        neighbours=near,
        to_settle=tuple(sorted(missing)),
        problems=problems,
        class_asked=asked.class_asked,
        class_held=asked.class_held,
        actuation_asked=asked.actuation_asked,
        changes=asked.changes,
        deviation=asked.deviation,
        in_zone=in_zone(given, next((item for item in figures if item.key == "zone-clear"), None)),
    )
