# SPDX-License-Identifier: Apache-2.0
"""Parts of the report one by one, for pages that show them: the same templates and words as `report.html`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jinja2 import Template

from brattice.adapters.drawing import SVG_CSS, SVG_HATCHES
from brattice.adapters.report.html import read_part, template_environment, tidy
from brattice.adapters.report.page import Links, ListLine, PlanView, Views, front_of
from brattice.usecases.report_model import Report

__all__ = ["HATCHES", "SECTIONS", "DrawnPlan", "Fragments", "fragment_css"]

HATCHES = SVG_HATCHES
"""What the drawings refer to; it has to stand once in a page that holds one."""

SECTIONS = ("cautions", "glance", "settle", "kinds", "decisions", "unconfirmed", "queries", "back")
"""The sections that can be asked for."""

_IMPORTS = "{% import 'parts.html' as p with context %}{% import 'sections.html' as s with context %}"


def fragment_css() -> str:
    """The styles that fragments need, those of drawings included."""
    return tidy(f"{read_part('parts.css')}\n{SVG_CSS}")


@dataclass(frozen=True)
class DrawnPlan:
    """The plan of a storey as markup: drawing, legend of ratings, legend of states, and what has no place on it."""

    storey: str
    drawing: str
    legend: str
    states: str
    without_place: str


class Fragments:
    """A report whose parts are rendered as they are asked for; it holds the report and small texts, no drawing."""

    def __init__(self, report: Report, links: Links) -> None:
        self._report = report
        self._views = Views(report, links)
        self._page = front_of(self._views)
        self._items = {item.penetration.id: item for item in report.penetrations}
        self._environment = template_environment(links)

    def lines(self) -> Iterator[ListLine]:
        """Every penetration as a line of the list, in the order of the report."""
        return (self._views.line(item) for item in self._report.penetrations)

    def mark(self, mark: str) -> str:
        """The mark of a state as markup."""
        return str(self._page.marks[mark])

    def section(self, name: str) -> str:
        """One of `SECTIONS` as markup."""
        if name not in SECTIONS:
            raise KeyError(name)
        return self._made(f"{{{{ s.{name}(page, report) }}}}")

    def penetration(self, penetration_id: str) -> str:
        """Everything about one penetration as markup, under a heading of the first rank. Raises `KeyError`."""
        view = self._views.penetration(self._items[penetration_id])
        return self._made("{{ p.penetration(page, view, 1) }}", view=view)

    def plan(self, number: int) -> DrawnPlan:
        """The plan of a storey, counted from 1 in the order of the report."""
        plan: PlanView = self._views.plan(number)
        states = "{% for m in plan.marks %}{{ p.state(page, m.spec) }} {% endfor %}"
        without = "{{ p.ids(plan.without_place, '') }}"
        return DrawnPlan(
            plan.storey,
            str(plan.drawing),
            str(plan.legend),
            self._made(states, plan=plan),
            self._made(without, plan=plan),
        )

    def _made(self, source: str, **given: object) -> str:
        template: Template = self._environment.from_string(_IMPORTS + source)
        return tidy(template.render(page=self._page, report=self._report, **given))
