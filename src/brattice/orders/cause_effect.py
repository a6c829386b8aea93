# SPDX-License-Identifier: Apache-2.0
"""Cause and effect of every damper, and the points that alarm, controls and electrical trades provide for it.

Which trade provides which point is common practice; the contract decides. Whether a fan stops or runs is a fact that
closing under flow depends on (trade handbook row 8.11), never assumed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from brattice.building.detail_facts import DETAIL_FIELDS, missing_detail
from brattice.building.words import Actuation
from brattice.details.detail import InstallationDetail
from brattice.details.figures import TO_BE_SETTLED, Figure
from brattice.findings import Known, Missing, Party, Verdict
from brattice.orders.words import (
    closes_by,
    has_no_damper,
    is_nothing,
    missing_words,
    natural,
    place_words,
    reference_of,
    settled_text,
)
from brattice.quantities import number_text

__all__ = ["CAUSE_FIELDS", "CauseEffect", "CauseEffectRow", "Point", "PointTotal", "PointTrade", "cause_and_effect"]

CAUSE_FIELDS: tuple[tuple[str, str], ...] = (
    ("place", "Place"),
    ("zone", "Detector zone"),
    ("detector", "Detector"),
    ("actuation", "Closes by"),
    ("effect", "Effect"),
    ("fail-position", "When power or signal is lost"),
    ("fan", "Fan in a fire"),
    ("voltage", "Voltage"),
    ("end-switches", "End switches"),
    ("panel-address", "Address on the panel"),
)
"""What each row says beside its ids: key and heading, in the order in which they are printed."""

_NOT_NEEDED = "none: closes by heat alone"
_CLOSES = "closes"


class PointTrade(StrEnum):
    """Who provides a point (common practice)."""

    ALARM = "fire alarm"
    CONTROLS = "controls"
    ELECTRICAL = "electrical"


@dataclass(frozen=True)
class CauseEffectRow:
    """One damper: `texts` by the keys of `CAUSE_FIELDS`, and what is to be settled in words."""

    id: str
    reference: str
    texts: Mapping[str, str]
    to_settle: tuple[str, ...]

    @property
    def settle_text(self) -> str:
        """What is to be settled, one thing a line."""
        return "\n".join(self.to_settle)


@dataclass(frozen=True)
class Point:
    """One point of one damper. `way` is "output", "input" or "supply"; `count` None where it is to be settled."""

    id: str
    trade: PointTrade
    way: str
    signal: str
    address: str
    count: int | None
    why: str = ""

    @property
    def count_text(self) -> str:
        """How many, or *to be settled*."""
        return TO_BE_SETTLED if self.count is None else number_text(self.count)


@dataclass(frozen=True, order=True, slots=True)
class PointTotal:
    """How many points of a kind a trade provides, and for how many dampers it is to be settled."""

    trade: PointTrade
    way: str
    signal: str
    count: int
    to_be_settled: int


@dataclass(frozen=True)
class CauseEffect:
    """The rows and points by penetration, totals by trade, and the penetrations that have no damper."""

    rows: tuple[CauseEffectRow, ...]
    points: tuple[Point, ...]
    totals: tuple[PointTotal, ...]
    without_damper: tuple[str, ...]


@dataclass(frozen=True)
class _Damper:
    """One damper with what its row and its points are made from."""

    detail: InstallationDetail

    @property
    def detected(self) -> bool | None:
        """Whether smoke detection closes it; None where that is not known."""
        fact = self.detail.penetration.damper.actuation
        return Actuation.SMOKE_DETECTION in fact.value if isinstance(fact, Known) and fact.value else None

    def text(self, key: str) -> str:
        """The text of a figure, *to be settled* where it is absent, unsure or failing."""
        figure = self.detail.figure(key)
        if figure is not None and figure.verdict is Verdict.FAIL:
            return TO_BE_SETTLED
        return settled_text(figure)

    @property
    def actuation(self) -> str:
        figure = self.detail.figure("actuation")
        return closes_by(self.detail) if figure is None else self.text("actuation")

    @property
    def voltage(self) -> str:
        return self.text("voltage")

    @property
    def powered(self) -> bool | None:
        """Whether it needs a supply; None where that is not known."""
        return None if self.voltage == TO_BE_SETTLED else not is_nothing(self.voltage)

    @property
    def switched(self) -> bool | None:
        """Whether it has end switches; None where that is not known."""
        text = self.text("end-switches")
        return None if text == TO_BE_SETTLED else not is_nothing(text)

    def where_needed(self, key: str, *needs: bool | None) -> str:
        """A figure that stands only where something needs it."""
        if self.detail.figure(key) is None and not any(need is not False for need in needs):
            return _NOT_NEEDED
        return self.text(key)

    @property
    def count(self) -> int | None:
        figure = self.detail.figure("quantity")
        value = None if figure is None else figure.value
        return None if value is None or value < 1 or value != int(value) else int(value)


def _texts(damper: _Damper) -> dict[str, str]:
    return {
        "place": place_words(damper.detail.penetration),
        "zone": damper.where_needed("detector-zone", damper.detected),
        "detector": damper.where_needed("detector", damper.detected),
        "actuation": damper.actuation,
        "effect": TO_BE_SETTLED if damper.actuation == TO_BE_SETTLED else _CLOSES,
        "fail-position": damper.where_needed("fail-position", damper.detected, damper.powered),
        "fan": damper.text("fan-in-fire"),
        "voltage": damper.voltage,
        "end-switches": damper.text("end-switches"),
        "panel-address": damper.where_needed("panel-address", damper.detected, damper.switched),
    }


_KEYS = {
    "zone": ("detector-zone", "detector_zone"),
    "detector": ("detector", "detector"),
    "fail-position": ("fail-position", "fail_position"),
    "fan": ("fan-in-fire", "fan_in_fire"),
    "voltage": ("voltage", "voltage"),
    "end-switches": ("end-switches", "end_switches"),
    "panel-address": ("panel-address", "panel_address"),
}


def _failing(figure: Figure) -> str:
    against = f", {figure.limit}" if figure.limit else ""
    return f"{figure.name}: {figure.text}{against} does not hold. {figure.note}".strip()


def _to_settle(damper: _Damper, texts: Mapping[str, str]) -> Iterator[str]:
    name = damper.detail.id
    if texts["actuation"] == TO_BE_SETTLED:
        ask = Missing(f"penetration/{name}/actuation", f"What makes the damper close: {name}", Party.SERVICES_DESIGNER)
        yield missing_words(ask)
    for key, (figure_key, field) in _KEYS.items():
        if texts[key] != TO_BE_SETTLED:
            continue
        figure = damper.detail.figure(figure_key)
        if figure is not None and figure.verdict is Verdict.FAIL:
            yield _failing(figure)
        elif figure is not None and figure.missing:
            yield from (missing_words(item) for item in figure.missing)
        else:
            yield missing_words(missing_detail(name, field))


def _points(damper: _Damper, texts: Mapping[str, str]) -> Iterator[Point]:
    address = texts["panel-address"]
    asks = {key: f"{DETAIL_FIELDS[field][0]} is not known" for key, (_, field) in _KEYS.items()}

    def point(trade: PointTrade, way: str, signal: str, unsure: str) -> Point:
        count = None if unsure else damper.count
        why = unsure or ("" if count is not None else "How many dampers there are is not known")
        return Point(damper.detail.id, trade, way, signal, address, count, why)

    if damper.detected is not False:
        unsure = "" if damper.detected else "What makes the damper close is not known"
        unsure = unsure or (asks["zone"] if texts["zone"] == TO_BE_SETTLED else "")
        # the output is there whichever detector drives it, so an unknown detector leaves the count
        by = f"close, detector zone {texts['zone']}, detector {texts['detector']}"
        yield point(PointTrade.ALARM, "output", "close" if unsure else by, unsure)
    if damper.switched is not False:
        unsure = "" if damper.switched else asks["end-switches"]
        for signal in ("open", "closed"):
            yield point(PointTrade.CONTROLS, "input", f"feedback {signal}", unsure)
    if damper.powered is not False:
        unsure = "" if damper.powered else asks["voltage"]
        yield point(PointTrade.ELECTRICAL, "supply", "power" if unsure else f"power, {damper.voltage}", unsure)


def _kind(point: Point) -> tuple[PointTrade, str, str]:
    """What totals count together: zones and voltages aside."""
    return point.trade, point.way, point.signal.partition(",")[0]


def _totals(points: Sequence[Point]) -> tuple[PointTotal, ...]:
    found: dict[tuple[PointTrade, str, str], list[Point]] = defaultdict(list)
    for point in points:
        found[_kind(point)].append(point)
    return tuple(
        PointTotal(*kind, sum(item.count or 0 for item in mine), sum(item.count is None for item in mine))
        for kind, mine in sorted(found.items())
    )


def cause_and_effect(details: Mapping[str, InstallationDetail], *, without: Collection[str] = ()) -> CauseEffect:
    """Cause and effect of a job's dampers and the list of their points, from the details by permanent id.

    `without` are the penetrations that need no damper. What is missing stands as *to be settled*; a damper that may
    need a point counts there until it is known.
    """
    rows: list[CauseEffectRow] = []
    points: list[Point] = []
    none: list[str] = []
    for _, detail in sorted(details.items(), key=lambda item: natural((item[0],))):
        if has_no_damper(detail, without):
            none.append(detail.id)
            continue
        damper = _Damper(detail)
        texts = _texts(damper)
        settle = tuple(dict.fromkeys(_to_settle(damper, texts)))
        rows.append(CauseEffectRow(detail.id, reference_of(detail.penetration), texts, settle))
        points += _points(damper, texts)
    return CauseEffect(tuple(rows), tuple(points), _totals(points), tuple(none))
