# SPDX-License-Identifier: Apache-2.0
"""What details are made from in tests: the ordinary penetration, a tested installation, the shipped rows."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from brattice.building.detail_facts import DetailFacts
from brattice.building.penetration import Penetration
from brattice.building.words import CeilingKind, FailPosition, FanInFire, Handing, plain
from brattice.details.assemble import Asked, assemble_detail
from brattice.details.detail import InstallationDetail
from brattice.details.figures import Figure
from brattice.details.given import Given
from brattice.evidence.installation import TestedInstallation
from brattice.evidence.product import ProductFacts, SealFacts
from brattice.findings import Origin
from brattice.quantities import Kg, Mm
from tests.helpers.details import product_facts
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK
from tests.helpers.penetrations import known, penetration

__all__ = ["BUILDABLE", "assembled", "by_key", "detail_facts", "given", "seal_facts"]

BUILDABLE = Asked(may_build=True, state_why="Holds in every check that was made.", class_asked="E 60 (ve i↔o)")


def detail_facts(**changes: Any) -> DetailFacts:
    """Everything that a schedule can state beyond what is judged, for the ordinary penetration."""
    stated: dict[str, Any] = {
        "grid": "B/3",
        "centre_above_floor_mm": Mm(2900),
        "phase": "2",
        "handing": Handing.RIGHT,
        "actuator": "T72",
        "voltage": "none",
        "end_switches": False,
        "finish": "galvanised",
        "accessories": (),
        "weight_kg": Kg(26),
        "run_between_fixed_mm": Mm(3000),
        "joint_travel_mm": Mm(50),
        "door_width_mm": Mm(400),
        "door_height_mm": Mm(300),
        "door_distance_mm": Mm(350),
        "zone_width_mm": Mm(700),
        "zone_depth_mm": Mm(700),
        "reach_both_sides": False,
        "ceiling": CeilingKind.LIFT_OUT,
        "air_l_s": 900.0,
        "fan_in_fire": FanInFire.STOPS,
        "fail_position": FailPosition.CLOSED,
        "lintel": "prestressed lintel",
        "opening_by": "builder",
        "when": "week 14",
    }
    stated |= changes
    return DetailFacts(**{name: None if value is None else known(value) for name, value in stated.items()})


def seal_facts(name: str = "Cinderlock M5 mortar", **changes: Any) -> SealFacts:
    """What the invented maker of the mortar states."""
    return replace(SealFacts(name, Origin("evidence/seals.toml", name), 48.0, 1800.0, "bag", Kg(25)), **changes)


def given(
    place: Penetration | None = None,
    tested: TestedInstallation | None = None,
    product: ProductFacts | None = None,
    *,
    minutes: int | None = 60,
    seals: tuple[SealFacts, ...] | None = None,
    facts: DetailFacts | None = None,
    **changes: Any,
) -> Given:
    """The ordinary penetration with everything stated, its tested installation and product."""
    place = place or penetration()
    place = replace(place, detail=detail_facts() if facts is None else facts)
    named = (seal_facts(),) if seals is None else seals
    thing = Given(
        place,
        BOOK,
        tested or installation(),
        None,
        product or product_facts(handings=tuple(Handing), finishes=("galvanised", "stainless")),
        {plain(item.name): item for item in named},
        minutes,
    )
    return replace(thing, **changes)


def assembled(thing: Given | None = None, asked: Asked = BUILDABLE) -> InstallationDetail:
    """The detail of what is given."""
    return assemble_detail(thing or given(), asked)


def by_key(figures: tuple[Figure, ...]) -> dict[str, Figure]:
    """Figures by key."""
    return {item.key: item for item in figures}
