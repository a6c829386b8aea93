# SPDX-License-Identifier: Apache-2.0
"""Details that may be ordered, and the decisions that let them be; all names and values are invented.

to_order()                         600 × 400, everything known, the maker offers all that is asked
to_order("P-0002", figures={...})  another penetration, with changes as `detail_of` takes them
approved()                         the submittal of HV-10 in W2 with status A on the day `ON`
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from brattice.building.plan import StoreyPlan
from brattice.building.words import Actuation as Closing
from brattice.building.words import FailPosition, Handing
from brattice.details import Figure, InstallationDetail
from brattice.evidence.product import Actuator, ProductFacts
from brattice.orders import (
    AskedHere,
    builders_work,
    cause_and_effect,
    compare_orders,
    order_schedule,
    overlays,
    submittals,
)
from brattice.orders.approval import content_of
from brattice.orders.decisions import OrderOverride, SubmittalDecision, SubmittalStatus
from brattice.requirements.requirement import RequirementPart
from brattice.usecases.ordering import ScheduleHead, Schedules
from brattice.usecases.report_model import CAUTIONS
from tests.helpers.details import detail_of, figure, product_facts
from tests.helpers.judging import requirement
from tests.helpers.penetrations import with_facts

__all__ = ["HEAD", "ON", "approved", "offered", "override", "powered", "schedules", "smoke", "to_order", "word"]

ON = date(2026, 11, 2)
HEAD = ScheduleHead("Larkmoor Court", ON, "0.0.1", True, CAUTIONS, "P02")


def offered(**changes: Any) -> ProductFacts:
    """What the maker states of HV-10: two actuators, every handing, two finishes."""
    plain: dict[str, Any] = {
        "actuators": (
            Actuator("T72", "thermal link 72 °C with spring", (), False, None),
            Actuator("M24", "motor 24 V with spring return", ("24 V AC/DC",), True, FailPosition.CLOSED, power_va=7.0),
        ),
        "handings": (Handing.LEFT, Handing.RIGHT),
        "finishes": ("galvanised", "stainless steel"),
        "accessories": ("end switches", "installation frame"),
    }
    return product_facts(**{**plain, **changes})


def word(key: str, text: str) -> Figure:
    """A figure that is a word."""
    return figure(key, key.replace("-", " ").capitalize(), None, "", text)


def to_order(
    name: str = "P-0001",
    kind: str = "flexible wall",
    *,
    figures: Mapping[str, Figure | None] | None = None,
    **changes: Any,
) -> InstallationDetail:
    """A detail that nothing holds but its submittal."""
    changes.setdefault("product", offered())
    return detail_of(kind, id=name, figures=figures, **changes)


def powered(name: str = "P-0001", **changes: Any) -> InstallationDetail:
    """A damper with a motor, closed by smoke detection and by heat."""
    figures = {
        "actuator": word("actuator", "M24: motor 24 V with spring return"),
        "voltage": word("voltage", "24 V AC/DC"),
        "end-switches": word("end-switches", "yes"),
        "actuation": word("actuation", "smoke detection and thermal"),
        **changes.pop("figures", {}),
    }
    return to_order(name, figures=figures, **changes)


_KINDS = {"W1": "round in block wall", "W2": "flexible wall", "F1": "floor"}


def approved(wall: str = "W2", **changes: Any) -> SubmittalDecision:
    """The submittal of HV-10 in a wall type, approved with the content that `to_order` gives it."""
    given = SubmittalDecision(
        "Harrow & Vale",
        "HV-10",
        wall,
        SubmittalStatus.APPROVED,
        "Ida Invented",
        "architect",
        "Return 1 revision A",
        ON,
        content=content_of([to_order(kind=_KINDS[wall])]) if wall in _KINDS else "",
    )
    return replace(given, **changes)


def override(*names: str, on: date = ON) -> OrderOverride:
    """A named person lets these penetrations be ordered before approval."""
    return OrderOverride(names, "Otto Invented", "project manager", "Letter 3", on, "the programme")


def smoke(detail: InstallationDetail) -> InstallationDetail:
    """The same closed by smoke detection and by heat."""
    both = frozenset({Closing.SMOKE_DETECTION, Closing.THERMAL})
    return replace(detail, penetration=with_facts(detail.penetration, damper__actuation=both))


def schedules(
    *details: InstallationDetail,
    before: tuple[InstallationDetail, ...] | None = None,
    plans: Sequence[StoreyPlan] = (),
    decisions: Sequence[SubmittalDecision] | None = None,
    state: str = "within scope",
) -> Schedules:
    """All schedules of these details; `before` are those of the issue before."""
    given = [approved(), approved("W1"), approved("F1")] if decisions is None else decisions
    by_id = {item.id: item for item in details}
    orders = order_schedule(by_id, given, on=ON)
    older = None if before is None else order_schedule({item.id: item for item in before}, given, on=ON).lines
    work = builders_work(by_id)
    part = RequirementPart("class", "EI 60", ("row.a",), ("Fire strategy rev. C02",))
    access = RequirementPart("access", "can be reached for tests", ("row.b",))
    asked = {name: AskedHere(requirement(parts=(part, access)), state, "Why it is so.") for name in by_id}
    clauses = {"row.a": "Guide 1:2019, 9.2 (read in the source)", "row.b": "Guide 1:2019, 9.3 (from memory)"}
    return Schedules(
        orders=orders,
        changes=() if older is None else compare_orders(orders, older),
        is_first=older is None,
        builders_work=work,
        overlays=overlays(work.rows, by_id, plans),
        submittals=submittals(by_id, asked, clauses, given, on=ON),
        cause_effect=cause_and_effect(by_id),
    )
