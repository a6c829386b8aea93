# SPDX-License-Identifier: Apache-2.0
"""Penetrations for tests: one fully known, ordinary penetration, and any change to it by naming the field.

    penetration()                                        the ordinary one: see `ORDINARY`
    penetration(id="P-0007", rated=90)                   barrier and wall type rated EI 90
    penetration(duct__system=SystemUse.KITCHEN_EXTRACT)  a plain value becomes `Known` where the field is a fact
    penetration(spaces=unknown("penetration/P-0001/spaces"))
    penetration(barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL)
    without(penetration(), "damper__class_text")         the same with that one fact not known

The ordinary penetration: a supply duct 600 × 400 through a 150 mm blockwork compartment wall W1 rated EI 60, general
spaces on both sides; a thermally actuated fire damper, declared EI 60 (ve i↔o) S, in the middle of the wall, built
in with cleats and mortar, gaps of 50 mm all round. Names of makers and products are invented.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from brattice.building.penetration import (
    BarrierFacts,
    DamperFacts,
    DuctFacts,
    InstallationFacts,
    Location,
    OpeningFacts,
    Penetration,
    ProtectionFacts,
    Sides,
    Size,
)
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import (
    Actuation,
    BarrierRole,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    Service,
    SpaceUse,
    SupportingConstruction,
    SupportKind,
    Surface,
    SystemUse,
)
from brattice.findings import Known, Missing, Origin, Party, Unknown
from brattice.quantities import Degrees, KgPerM3, Mm

__all__ = ["ORDINARY", "known", "penetration", "rating", "unknown", "wall_type", "with_facts", "without"]

T = TypeVar("T")
D = TypeVar("D")

ORIGIN = Origin("schedule/schedule.xlsx", "sheet Penetrations, row 2")
WALL_ORIGIN = Origin("schedule/schedule.xlsx", "sheet Wall types, row 2")


def known(value: T, origin: Origin = ORIGIN) -> Known[T]:
    """A value known from an invented schedule."""
    return Known(value, origin)


def unknown(key: str = "penetration/P-0001/fact", text: str = "", ask: Party = Party.SERVICES_DESIGNER) -> Unknown:
    """A fact that is missing under a key; the text is made from the key when none is given."""
    return Unknown(Missing(key, text or f"{key} is not stated", ask))


def rating(integrity_min: int, insulation_min: int | None = None, text: str = "") -> Rating:
    """A rating of so many minutes of integrity, and of insulation (the same, unless given)."""
    insulation = integrity_min if insulation_min is None else insulation_min
    return Rating(integrity_min, insulation or None, text or f"EI {integrity_min}")


def wall_type(code: str = "W1", **overrides: Any) -> WallType:
    """A 150 mm blockwork wall rated EI 60, with changes by field name (see `with_facts`)."""
    ordinary = WallType(
        code=code,
        kind=known(SupportingConstruction.RIGID_WALL, WALL_ORIGIN),
        thickness_mm=known(Mm(150), WALL_ORIGIN),
        density_kg_m3=known(KgPerM3(1400), WALL_ORIGIN),
        material=known("dense concrete blockwork", WALL_ORIGIN),
        board_type=known("none", WALL_ORIGIN),
        board_thickness_mm=known(Mm(0), WALL_ORIGIN),
        board_layers=known((0, 0), WALL_ORIGIN),
        stud_size_mm=known(Mm(0), WALL_ORIGIN),
        stud_spacing_mm=known(Mm(0), WALL_ORIGIN),
        cavity_fill=known("none", WALL_ORIGIN),
        opening_framing=known("lintel", WALL_ORIGIN),
        lining_mm=known(Mm(0), WALL_ORIGIN),
        rating=known(rating(60), WALL_ORIGIN),
        revision=known("P01", WALL_ORIGIN),
    )
    return with_facts(ordinary, **overrides)


def _ordinary() -> Penetration:
    return Penetration(
        id="P-0001",
        key="wall-1/duct-1/1",
        location=Location(known("Level 1"), "grid B/3", (12.0, 8.0, 3.4)),
        barrier=BarrierFacts(
            orientation=known(Orientation.WALL),
            role=known(BarrierRole.COMPARTMENT_WALL),
            wall_type_code=known("W1"),
            wall_type=wall_type(),
            thickness_mm=known(Mm(150)),
            rating=known(rating(60), WALL_ORIGIN),
            guids=("wall-1",),
        ),
        duct=DuctFacts(
            service=Service.DUCT,
            size=known(Size(Mm(600), Mm(400))),
            system=known(SystemUse.SUPPLY),
            angle_deg=known(Degrees(0)),
            insulation_through=known(False),
            guids=("duct-1",),
        ),
        damper=DamperFacts(
            present=known(True),
            maker=known("Harrow & Vale"),
            product=known("HV-10"),
            size=known(Size(Mm(600), Mm(400))),
            class_text=known("EI 60 (ve i↔o) S"),
            actuation=known(frozenset({Actuation.THERMAL})),
            mechanism_deg=known(Degrees(0)),
            access_side=known("corridor side"),
            blade_offset_mm=known(Mm(0)),
            guids=("damper-1",),
        ),
        opening=OpeningFacts(
            shape=known(OpeningShape.RECTANGULAR),
            framed=known(Size(Mm(700), Mm(500))),
            finished=known(Size(Mm(700), Mm(500))),
            gaps=known(Sides(Mm(50), Mm(50), Mm(50), Mm(50))),
            gaps_from=known(Surface.DUCT),
            formed=known(False),
            guid="opening-1",
        ),
        installation=InstallationFacts(
            position=known(MountingPosition.IN_BARRIER),
            fixing=known(FixingFamily.BUILT_IN),
            seal_products=known(("Cinderlock M5 mortar",)),
            seal_depth_mm=known(Mm(150)),
            seal_faces=known(2),
            seal_layers=known(1),
            support=known(SupportKind.BARRIER),
            joint=known(Joint.BREAKAWAY_FIXINGS),
            deflection_head_above=known(False),
            other_services=known(False),
            access_door=known(True),
        ),
        protection=ProtectionFacts(
            method=known(ProtectionMethod.FIRE_DAMPER), run_proven=unknown("penetration/P-0001/run-proven")
        ),
        spaces=known(frozenset({SpaceUse.GENERAL})),
    )


def with_facts(thing: D, **overrides: Any) -> D:
    """A frozen record with changes; `a__b=value` changes field b of its part a.

    A plain value is wrapped in `Known` where the field holds a fact; `Known` and `Unknown` are taken as given.
    """
    assert is_dataclass(thing)
    assert not isinstance(thing, type)
    names = {item.name for item in fields(thing)}
    changes: dict[str, Any] = {}
    for name, value in overrides.items():
        head, _, rest = name.partition("__")
        if head not in names:
            raise TypeError(f"{type(thing).__name__} has no field {head!r}; it has {sorted(names)}")
        now = changes.get(head, getattr(thing, head))
        if rest:
            changes[head] = with_facts(now, **{rest: value})
        elif isinstance(now, Known | Unknown) and not isinstance(value, Known | Unknown):
            changes[head] = known(value, now.origin if isinstance(now, Known) else ORIGIN)
        else:
            changes[head] = value
    return replace(thing, **changes)


def penetration(rated: int | Rating | None = None, **overrides: Any) -> Penetration:
    """The ordinary penetration with changes by field name (see `with_facts`).

    `rated` sets the rating of barrier and wall type together: minutes of EI, or a `Rating`.
    """
    thing = _ordinary()
    if rated is not None:
        value = rating(rated) if isinstance(rated, int) else rated
        thing = with_facts(thing, barrier__rating=value, barrier__wall_type__rating=value)
    return with_facts(thing, **overrides)


def without(thing: Penetration, *names: str) -> Penetration:
    """The same penetration with the named facts not known (`"damper__class_text"`), each under a key of its own."""
    for name in names:
        thing = with_facts(thing, **{name: unknown(f"penetration/{thing.id}/{name.replace('__', '-')}")})
    return thing


ORDINARY = penetration()
