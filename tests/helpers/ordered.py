# SPDX-License-Identifier: Apache-2.0
"""Details that may be ordered, and the decisions that let them be; all names and values are invented.

to_order()                         600 × 400, everything known, the maker offers all that is asked
to_order("P-0002", figures={...})  another penetration, with changes as `detail_of` takes them
approved()                         the submittal of HV-10 in W2 with status A on the day `ON`
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from brattice.building.words import FailPosition, Handing
from brattice.details import Figure, InstallationDetail
from brattice.evidence.product import Actuator, ProductFacts
from brattice.orders.decisions import OrderOverride, SubmittalDecision, SubmittalStatus
from tests.helpers.details import detail_of, figure, product_facts

__all__ = ["ON", "approved", "offered", "override", "powered", "to_order", "word"]

ON = date(2026, 11, 2)


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


def approved(wall: str = "W2", **changes: Any) -> SubmittalDecision:
    """The submittal of HV-10 in a wall type, approved."""
    given = SubmittalDecision(
        "Harrow & Vale",
        "HV-10",
        wall,
        SubmittalStatus.APPROVED,
        "Ida Invented",
        "architect",
        "Return 1 revision A",
        ON,
    )
    return replace(given, **changes)


def override(*names: str, on: date = ON) -> OrderOverride:
    """A named person lets these penetrations be ordered before approval."""
    return OrderOverride(names, "Otto Invented", "project manager", "Letter 3", on, "the programme")
