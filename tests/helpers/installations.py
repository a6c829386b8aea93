# SPDX-License-Identifier: Apache-2.0
"""One tested installation that holds for the ordinary penetration, and any change to it. All names are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from brattice.building.words import (
    Actuation,
    DuctedSides,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    SupportingConstruction,
    SupportKind,
    Surface,
)
from brattice.evidence.installation import (
    ConstructionTested,
    DamperKind,
    Document,
    DocumentLevel,
    SealTested,
    SideWindows,
    SizeWindow,
    TestedInstallation,
    Window,
)
from brattice.findings import Origin
from brattice.quantities import Degrees, KgPerM3, Mm

__all__ = ["gaps", "installation"]


def gaps(least: float, most: float | None) -> SideWindows:
    """The same gap window on every side."""
    window = Window(least, most)
    return SideWindows(window, window, window, window)


def installation(**overrides: Any) -> TestedInstallation:
    """HV-10 built into a rigid wall with mortar; `a__b=value` changes field b of its part a."""
    thing = TestedInstallation(
        id="HV-10-RW-1",
        maker="Harrow & Vale",
        product="HV-10",
        kind=DamperKind.FIRE_DAMPER,
        sizes=SizeWindow(OpeningShape.RECTANGULAR, Window(200, 1200), Window(200, 800), Mm(200), Mm(200)),
        class_text="EI 60 (ve i↔o) S",
        construction=ConstructionTested(SupportingConstruction.RIGID_WALL, Mm(100), KgPerM3(600)),
        orientation=Orientation.WALL,
        position=MountingPosition.IN_BARRIER,
        mechanism_deg=(Degrees(0), Degrees(90)),
        opening_shape=OpeningShape.RECTANGULAR,
        fixing=FixingFamily.BUILT_IN,
        seal=SealTested(("Cinderlock M5 mortar",), 1, 2, Window(100, None), gaps(30, 60), Surface.DUCT),
        casing_beyond_mm=(Mm(10), Mm(10), Mm(10), Mm(10)),
        separations=(),
        support=SupportKind.BARRIER,
        joints=frozenset({Joint.BREAKAWAY_FIXINGS}),
        access_sides=frozenset({"corridor side"}),
        actuation=frozenset({Actuation.THERMAL}),
        document=Document(
            DocumentLevel.DECLARATION,
            "DoP HV-10",
            "3",
            date(2024, 5, 1),
            "EN 15650",
            "2010",
            certificate="C-1",
            marking=frozenset({"UKCA"}),
            instructions="HV-10 instructions, revision 3",
        ),
        origin=Origin("evidence/harrow.toml", "installation HV-10-RW-1"),
        most_blade_offset_mm=Mm(0),
        insulation_through=False,
        deflection_head=False,
        other_services=False,
        ducts=frozenset({DuctedSides.BOTH}),
    )
    for name, value in overrides.items():
        head, _, rest = name.partition("__")
        thing = replace(thing, **{head: replace(getattr(thing, head), **{rest: value}) if rest else value})
    return thing
