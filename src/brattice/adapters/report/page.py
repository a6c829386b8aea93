# SPDX-License-Identifier: Apache-2.0
"""What `report.html` shows, prepared for its template: groups, anchors and drawings; no judgment is made here."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from markupsafe import Markup

from brattice.adapters.drawing import svg_element
from brattice.adapters.text import visible_text
from brattice.building.penetration import Penetration
from brattice.building.plan import StoreyPlan
from brattice.drawing.marks import mark_items
from brattice.drawing.primitives import Box, Drawing
from brattice.evidence.installation import TestedInstallation
from brattice.findings import Verdict
from brattice.sketch.penetration import Sketch, sketch_of
from brattice.sketch.plan import RatingBand, draw_plan, rating_band, rating_legend
from brattice.usecases.levels import marks_of
from brattice.usecases.report_model import PenetrationReport, Report, RowUsed, SettleFirst
from brattice.usecases.states import STATES, PenetrationState, StateSpec
from brattice.usecases.told import (
    Check,
    FactGroup,
    GapLine,
    OtherLine,
    checks_of,
    decision_words,
    fact_groups,
    gap_lines,
    next_step,
    open_kinds,
    other_in_short,
    where_words,
)
from brattice.usecases.tracking import said_lines
from brattice.usecases.words import fact_words, id_runs, sides_words, standing_words

__all__ = [
    "IN_ONE_FILE",
    "Links",
    "ListLine",
    "Page",
    "PenetrationView",
    "PlanView",
    "Views",
    "anchors_of",
    "front_of",
    "page_of",
    "with_penetrations",
    "with_plans",
]

_PLAIN_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,60}\Z")
_MAGNIFY = 1.15
_SPECS: Mapping[PenetrationState, StateSpec] = {spec.state: spec for spec in STATES}


@dataclass(frozen=True)
class Links:
    """Where links lead: what stands before the anchor of a penetration and the number of a row; two sections."""

    place: str
    row: str
    decisions: str
    values: str


IN_ONE_FILE = Links("#", "#r", "#decisions", "#values")
"""The links of `report.html`."""


@dataclass(frozen=True)
class IdLink:
    """A run of ids on the page: first and last with their anchors (the same where the run is one id)."""

    first: str
    first_anchor: str
    last: str
    last_anchor: str


@dataclass(frozen=True)
class StateLine:
    """One line of the table of states."""

    spec: StateSpec
    count: int
    share: int
    ids: tuple[IdLink, ...]


@dataclass(frozen=True)
class KindText:
    """What the findings of one kind say in the same words, and where."""

    text: str
    ids: tuple[IdLink, ...]
    count: int


@dataclass(frozen=True)
class KindLine:
    """What is open of one kind: the finding code in words, how many, which, and each text with its own."""

    code: str
    words: str
    told: tuple[KindText, ...]
    ids: tuple[IdLink, ...]
    count: int


@dataclass(frozen=True)
class SettleLine:
    """One line of what to settle first."""

    line: SettleFirst
    unlocks: tuple[IdLink, ...]
    holds_up: tuple[IdLink, ...]


@dataclass(frozen=True)
class RowLine:
    """One row with the penetrations that rest on it."""

    used: RowUsed
    number: int
    ids: tuple[IdLink, ...]
    count: int


@dataclass(frozen=True)
class PlanView:
    """A storey: its drawing, its legend, and the penetrations that have no place on it."""

    storey: str
    anchor: str
    drawing: Markup
    legend: Markup
    marks: tuple[StateLine, ...]
    without_place: tuple[IdLink, ...]


@dataclass(frozen=True)
class ListLine:
    """One penetration as a line of the list: what stands in each column, and the words by which it is found.

    `asked` are the parties that a query of it goes to; `unconfirmed` says that it rests on a value nobody confirmed.
    """

    id: str
    anchor: str
    spec: StateSpec
    storey: str
    words: str
    barrier: str
    duct: str
    damper: str
    decision: str
    next_step: str
    unconfirmed: bool
    asked: tuple[str, ...]
    find: str


@dataclass(frozen=True)
class PenetrationView:
    """One penetration on the page; `sketch` is None where it is not drawn."""

    item: PenetrationReport
    anchor: str
    spec: StateSpec
    installation: TestedInstallation | None
    checks: tuple[Check, ...]
    checks_held: tuple[Check, ...]
    others: tuple[OtherLine, ...]
    alternatives: tuple[OtherLine, ...]
    gaps: tuple[GapLine, ...]
    sides: str
    section: Markup
    elevation: Markup
    sketch: Sketch | None
    facts: tuple[FactGroup, ...]
    unconfirmed: tuple[str, ...]
    line: ListLine
    where: str
    said: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class QueryLine:
    """One query: its number and where it stands ("" without one), the question, what it holds up."""

    number: str
    standing: str
    text: str
    links: tuple[IdLink, ...]
    count: int


@dataclass(frozen=True)
class PartyQueries:
    """The queries to one party."""

    party: str
    lines: tuple[QueryLine, ...]


@dataclass(frozen=True)
class Page:
    """Everything the template prints."""

    report: Report
    states: tuple[StateLine, ...]
    nothing_open: tuple[IdLink, ...]
    nothing_open_count: int
    decided: tuple[IdLink, ...]
    decided_count: int
    open_count: int
    kinds: tuple[KindLine, ...]
    settle: tuple[SettleLine, ...]
    unconfirmed: tuple[RowLine, ...]
    unconfirmed_row_count: int
    sure_row_count: int
    rows: tuple[RowLine, ...]
    row_numbers: Mapping[str, int]
    unconfirmed_ids: frozenset[str]
    rest_on_none: tuple[IdLink, ...]
    rest_on_some_count: int
    plans: tuple[PlanView, ...]
    penetrations: tuple[PenetrationView, ...]
    queries: tuple[PartyQueries, ...]
    marks: Mapping[str, Markup]
    anchors: Mapping[str, str]
    told: dict[tuple[tuple[str, ...], str], Markup] = field(default_factory=dict, compare=False)

    def sorted_rows(self, ids: Iterable[str]) -> list[str]:
        """Row ids by their number on the page."""
        return sorted(ids, key=lambda item: (self.row_numbers.get(item, 0), item))

    def rows_told(self, ids: tuple[str, ...], lead: str) -> Markup:
        """Row ids as links to their numbers, in brackets; `lead` stands before a number in a link.

        The same few lists of rows stand all over a report: each is made once.
        """
        if (ids, lead) not in self.told:
            linked = [
                Markup('<a href="{}{}">{}{}</a>').format(
                    lead, self.row_numbers[row], self.row_numbers[row], "†" if row in self.unconfirmed_ids else ""
                )
                if row in self.row_numbers
                else visible_text(row)
                for row in self.sorted_rows(ids)
            ]
            self.told[ids, lead] = Markup("[{}]").format(Markup(", ").join(linked))
        return self.told[ids, lead]

    def links(self, ids: Iterable[str]) -> tuple[IdLink, ...]:
        """Ids as runs with their anchors."""
        return _links(ids, self.anchors)


def _anchors(ids: Iterable[str], prefix: str) -> dict[str, str]:
    """An anchor for each id: the id itself where it is plain, else a number; no two alike."""
    made: dict[str, str] = {}
    for number, name in enumerate(ids, start=1):
        made[name] = f"{prefix}{name}" if _PLAIN_ID.match(name) else f"{prefix}no-{number}"
    taken: set[str] = set()
    for number, (name, anchor) in enumerate(made.items(), start=1):
        if anchor in taken:
            made[name] = f"{prefix}no-{number}-again"
        taken.add(made[name])
    return made


def _links(ids: Iterable[str], anchors: Mapping[str, str]) -> tuple[IdLink, ...]:
    return tuple(IdLink(first, anchors.get(first, ""), last, anchors.get(last, "")) for first, last in id_runs(ids))


def _mark(mark: str) -> Markup:
    drawing = Drawing("", "", Box(-1.6, -1.6, 1.6, 1.6), mark_items(mark, (0, 0), 3.0), 1)
    text = svg_element(drawing)
    head, _, rest = text.partition(">")
    size = re.search(r'viewBox="[^"]*"', head)
    box = size.group(0) if size else ""
    return Markup(f'<svg class="dw mark" {box} width="16" height="16" aria-hidden="true">{rest}')  # noqa: S704 - our own marks, no text


def _drawn(drawing: Drawing) -> Markup:
    return Markup(svg_element(drawing, magnify=_MAGNIFY))  # noqa: S704 - the writer escapes


def anchors_of(report: Report) -> dict[str, str]:
    """The anchor of each penetration of a report, by its id."""
    return _anchors((item.penetration.id for item in report.penetrations), "")


def _states(report: Report, anchors: Mapping[str, str]) -> tuple[StateLine, ...]:
    counts = dict(report.counts())
    most = max(counts.values(), default=0) or 1
    lines = []
    for spec in STATES:
        ids = [item.penetration.id for item in report.penetrations if item.state is spec.state]
        share = round(100 * counts[spec.state] / most)
        lines.append(StateLine(spec, counts[spec.state], share, _links(ids, anchors)))
    return tuple(lines)


def _kinds(report: Report, anchors: Mapping[str, str]) -> tuple[KindLine, ...]:
    return tuple(
        KindLine(
            kind.code,
            kind.words,
            tuple(KindText(text, _links(ids, anchors), len(ids)) for text, ids in kind.texts),
            _links(kind.ids, anchors),
            len(kind.ids),
        )
        for kind in open_kinds(report)
    )


def _rows(report: Report, anchors: Mapping[str, str]) -> tuple[RowLine, ...]:
    where: dict[str, list[str]] = {}
    for item in report.penetrations:
        for row in item.rests_on:
            where.setdefault(row, []).append(item.penetration.id)
    lines = []
    for number, used in enumerate(report.rows, start=1):
        ids = where.get(used.row.id, [])
        lines.append(RowLine(used, number, _links(ids, anchors), len(ids)))
    return tuple(lines)


def _plan(plan: StoreyPlan, number: int, report: Report, anchors: Mapping[str, str], links: Links) -> PlanView:
    marks, without = marks_of(report, plan)
    drawing = draw_plan(plan, marks)
    bands = {rating_band(barrier.rating_min) for barrier in plan.barriers if not barrier.is_floor}
    legend = svg_element(rating_legend(band for band in RatingBand if band in bands))
    shown = {mark.words for mark in marks}
    return PlanView(
        storey=plan.storey,
        anchor=f"plan-{number}",
        drawing=Markup(svg_element(drawing, lambda link: f"{links.place}{anchors[link]}")),  # noqa: S704 - the writer escapes
        legend=Markup(legend) if bands else Markup(""),  # noqa: S704 - the writer escapes
        marks=tuple(StateLine(spec, 0, 0, ()) for spec in STATES if str(spec.state) in shown),
        without_place=_links(without, anchors),
    )


def _words_of(facts: Sequence[tuple[str, str, str]], thing: Penetration, spec: StateSpec) -> str:
    """The words by which a penetration is found, without capitals."""
    words = [thing.id, str(spec.state), thing.location.words, *(text for _, text in thing.aliases)]
    words += [value for name, value, _ in facts if name in _SEARCHED]
    return " ".join(words).casefold()


class Views:
    """A report made ready to be shown, part by part: what is asked for is made then, and nothing else.

    `anchors` are those of the penetrations where they are not made here; with `draw_all` false, a penetration for
    which no tested installation was chosen is not drawn.
    """

    def __init__(
        self,
        report: Report,
        links: Links = IN_ONE_FILE,
        *,
        anchors: Mapping[str, str] | None = None,
        draw_all: bool = True,
    ) -> None:
        self.report = report
        self.links = links
        self.draw_all = draw_all
        self.anchors = anchors or anchors_of(report)
        self._installations = {item.id: item for item in report.installations}
        self.unconfirmed = frozenset(item.row.id for item in report.rows if not item.confirmed)

    def line(self, item: PenetrationReport) -> ListLine:
        """A penetration as a line of the list."""
        thing, spec = item.penetration, _SPECS[item.state]
        return ListLine(
            id=thing.id,
            anchor=self.anchors[thing.id],
            spec=spec,
            storey=fact_words(thing.location.storey),
            words=thing.location.words,
            barrier=f"{fact_words(thing.barrier.wall_type_code)}, {fact_words(thing.barrier.rating)}",
            duct=f"{fact_words(thing.duct.size)}, {fact_words(thing.duct.system)}",
            damper=fact_words(thing.damper.product),
            decision=decision_words(item),
            next_step=next_step(item),
            unconfirmed=not self.unconfirmed.isdisjoint(item.rests_on),
            asked=tuple(sorted({str(query.missing.ask) for query in item.queries})),
            find=_words_of(item.facts, thing, spec),
        )

    def penetration(self, item: PenetrationReport) -> PenetrationView:
        """A penetration with all that is said and drawn of it."""
        tested = self._installations.get(item.chosen.installation_id) if item.chosen is not None else None
        sketch = sketch_of(item.penetration, tested) if self.draw_all or tested is not None else None
        thing = item.penetration
        checks = checks_of(item)
        return PenetrationView(
            item=item,
            anchor=self.anchors[thing.id],
            spec=_SPECS[item.state],
            installation=tested,
            checks=tuple(check for check in checks if check.reason.verdict is not Verdict.PASS),
            checks_held=tuple(check for check in checks if check.reason.verdict is Verdict.PASS),
            others=tuple(other_in_short(other, self._installations) for other in item.others),
            alternatives=tuple(other_in_short(other, self._installations) for other in item.alternatives),
            gaps=gap_lines(item, tested),
            sides=sides_words(thing),
            section=_drawn(sketch.section) if sketch else Markup(""),
            elevation=_drawn(sketch.elevation) if sketch else Markup(""),
            sketch=sketch,
            facts=fact_groups(item.facts),
            unconfirmed=tuple(row for row in item.rests_on if row in self.unconfirmed),
            line=self.line(item),
            where=where_words(thing),
            said=said_lines(item),
        )

    def plan(self, number: int) -> PlanView:
        """The plan of a storey, counted from 1."""
        return _plan(self.report.plans[number - 1], number, self.report, self.anchors, self.links)


_SEARCHED = frozenset({"storey", "barrier: wall type code", "damper: maker", "damper: product", "duct: system"})


def _queries(report: Report, anchors: Mapping[str, str]) -> tuple[PartyQueries, ...]:
    parties: dict[str, list[QueryLine]] = {}
    ordered = sorted(report.queries, key=lambda query: (-len(query.holds_up), query))
    for query in ordered:
        standing = report.standing_of(query)
        line = QueryLine(
            standing.number if standing else "",
            standing_words(standing),
            query.missing.text,
            _links(query.holds_up, anchors),
            len(query.holds_up),
        )
        parties.setdefault(str(query.missing.ask), []).append(line)
    return tuple(PartyQueries(party, tuple(lines)) for party, lines in sorted(parties.items()))


def page_of(report: Report, links: Links = IN_ONE_FILE) -> Page:
    """The page of a report, with its plans and penetrations."""
    views = Views(report, links)
    return with_plans(with_penetrations(front_of(views), views), views)


def with_plans(page: Page, views: Views) -> Page:
    """A page with the plans of its report."""
    return replace(page, plans=tuple(views.plan(number) for number in range(1, len(views.report.plans) + 1)))


def with_penetrations(page: Page, views: Views) -> Page:
    """A page with the penetrations of its report one by one."""
    return replace(page, penetrations=tuple(views.penetration(item) for item in views.report.penetrations))


def front_of(views: Views) -> Page:
    """The page of a report without what is drawn: no plans, no penetrations one by one."""
    report, anchors, unconfirmed = views.report, views.anchors, views.unconfirmed
    row_numbers = {item.row.id: number for number, item in enumerate(report.rows, start=1)}
    done = [item.penetration.id for item in report.penetrations if not item.something_open]
    decided = [item.penetration.id for item in report.penetrations if not item.something_open and decision_words(item)]
    rows = _rows(report, anchors)
    sure = [item.penetration.id for item in report.penetrations if not unconfirmed.intersection(item.rests_on)]
    return Page(
        report=report,
        states=_states(report, anchors),
        nothing_open=_links(done, anchors),
        nothing_open_count=len(done),
        decided=_links(decided, anchors),
        decided_count=len(decided),
        open_count=len(report.penetrations) - len(done),
        kinds=_kinds(report, anchors),
        settle=tuple(
            SettleLine(line, _links(line.unlocks, anchors), _links(line.holds_up, anchors))
            for line in report.settle_first
        ),
        unconfirmed=tuple(line for line in rows if not line.used.confirmed and line.ids),
        unconfirmed_row_count=sum(not line.used.confirmed and bool(line.ids) for line in rows),
        sure_row_count=sum(line.used.confirmed and bool(line.ids) for line in rows),
        rows=rows,
        row_numbers=row_numbers,
        unconfirmed_ids=unconfirmed,
        rest_on_none=_links(sure, anchors),
        rest_on_some_count=len(report.penetrations) - len(sure),
        plans=(),
        penetrations=(),
        queries=_queries(report, anchors),
        marks={spec.mark: _mark(spec.mark) for spec in STATES},
        anchors=anchors,
    )
