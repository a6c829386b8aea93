# SPDX-License-Identifier: Apache-2.0
"""Penetrations, requirements and tested installations made by a seed: for the bench, and for tests of many pairs.

`Mix` says how much is left unknown and how often a value is taken at random instead of one that usually fits. All
names are invented.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
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
    Separation,
    Sides,
    Size,
)
from brattice.building.wall_type import Rating, WallType
from brattice.building.words import (
    Actuation,
    BarrierRole,
    DuctedSides,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SeparationFill,
    Service,
    SpaceUse,
    SupportingConstruction,
    SupportKind,
    Surface,
    SystemUse,
)
from brattice.evidence.installation import (
    ConstructionTested,
    DamperKind,
    Document,
    DocumentLevel,
    SealTested,
    SeparationTested,
    SideWindows,
    SizeWindow,
    TestedInstallation,
    Window,
)
from brattice.evidence.revisions import with_revisions
from brattice.findings import Fact, Known, Missing, Origin, Party, Unknown, Verdict
from brattice.quantities import Degrees, KgPerM3, Mm
from brattice.requirements.requirement import Requirement

__all__ = ["Mix", "installations", "penetrations", "requirements"]

T = TypeVar("T")

PRODUCTS = tuple((f"Maker {m} (invented)", f"M{m}-{n}") for m in "ABC" for n in range(4))
CLASSES = (
    "E 60 (ve ho i↔o) S",
    "EI 60 (ve i↔o) S",
    "EI 90 (ve ho i↔o) S",
    "EI 120 (ve i↔o) S",
    "E 120 (ve ho i↔o)",
    "EI 60 (ve i→o) S / E 120 (ve i↔o)",
    "EI 60 (ho i↔o) S",
)
SMOKE_CLASSES = ("EI 120 (vedw i↔o) S 1000 C10000 AA multi", "E 90 (ved i↔o) S 500 C300 AA multi")
ASKED = (
    ("E 60 (ve i↔o)",),
    ("E 60 (ve i↔o) S",),
    ("E 60 (ho i↔o) S",),
    ("E 90 (ve i↔o)", "EI 90 (ve i↔o)"),
    ("EI 60 (ve i↔o)",),
    ("E 120 (ve i↔o) S",),
    ("E 60",),
    (),
)
SEALS = (
    ("Cinderlock M5 mortar",),
    ("Emberhold 50 batt", "Emberhold S sealant"),
    ("Emberhold 60 batt", "Emberhold S sealant"),
    ("Slatefill compound",),
)
ROUNDISH = (100, 125, 160, 200, 250, 315, 400)
EDGES = tuple(range(100, 1500, 50))
DAYS = (date(2011, 5, 1), date(2015, 5, 1), date(2024, 5, 1), date(2026, 2, 1), date(2026, 3, 1), date(2027, 1, 1))


@dataclass(frozen=True)
class Mix:
    """How much is unknown (share of facts and of what documents say), and how often a value is any of its kind."""

    unknown: float = 0.005
    any: float = 0.03


class _Maker:
    def __init__(self, seed: int, mix: Mix) -> None:
        self.chance = random.Random(seed)
        self.mix = mix

    def one(self, usual: Sequence[T], every: Sequence[T] = ()) -> T:
        """One of the usual values, or with the chance of the mix any of its kind."""
        pool = every if every and self.chance.random() < self.mix.any else usual
        return self.chance.choice(pool)

    def odd(self, often: float = 1.0) -> bool:
        return self.chance.random() < self.mix.any * often

    def told(self, value: T) -> T | None:
        return None if self.chance.random() < self.mix.unknown else value

    def apart(self, often: float) -> bool:
        return self.chance.random() < often


class _Site(_Maker):
    def __init__(self, seed: int, mix: Mix, types: Sequence[WallType] = ()) -> None:
        super().__init__(seed, mix)
        self.types = types
        self.id = ""

    def fact(self, name: str, value: T, subject: str = "") -> Fact[T]:
        about = subject or f"penetration/{self.id}"
        if self.chance.random() < self.mix.unknown:
            return Unknown(Missing(f"{about}/{name}", f"{name} of {about}", Party.SERVICES_DESIGNER))
        return Known(value, Origin("schedule.xlsx", f"{about} {name}"))

    def wall_type(self, code: str, kind: SupportingConstruction) -> WallType:
        def fact(name: str, value: T) -> Fact[T]:
            return self.fact(name, value, f"wall-type/{code}")

        minutes = self.one((60, 90, 120), (0, 30))
        return WallType(
            code=code,
            kind=fact("kind", kind),
            thickness_mm=fact("thickness", Mm(self.one((125, 150, 200), (75, 100)))),
            density_kg_m3=fact("density", KgPerM3(self.one((1400, 2300), (450, 600)))),
            material=fact("material", self.one(("blockwork",), ("panel P", "ribbed deck 60"))),
            board_type=fact("board_type", self.one(("type F", "Type F"), ("type A",))),
            board_thickness_mm=fact("board_thickness", Mm(self.one((12.5, 15), (9.5,)))),
            board_layers=fact("board_layers", self.one(((2, 2), (2, 3)), ((1, 2), (1, 1)))),
            stud_size_mm=fact("stud_size", Mm(self.one((50, 70), (48,)))),
            stud_spacing_mm=fact("stud_spacing", Mm(self.one((400, 600), (610,)))),
            cavity_fill=fact("cavity_fill", self.one(("stone wool",), ("none",))),
            opening_framing=fact("opening_framing", self.one(("studs and tracks",), ("studs only",))),
            lining_mm=fact("lining", Mm(self.one((12.5, 15), (0, 10)))),
            rating=fact("rating", Rating(minutes, minutes or None, f"EI {minutes}")),
            revision=fact("revision", "P01"),
        )

    def separation(self) -> Separation:
        to = self.one(("P-NEIGHBOUR", "wall", "floor"))
        far = self.one((300, 800, 2000), (40, 59.9, 60, 75, 74.999, 180, 200, 575, 1060, 1200))
        return Separation(
            f"{to}-{self.chance.randrange(10**9)}" if to == "P-NEIGHBOUR" else to,
            self.fact("distance", Mm(far)),
            self.one((Surface.CASING,), (Surface.DUCT, Surface.FLANGE, Surface.FRAME, Surface.FRAMED_OPENING)),
            self.one((Surface.CASING,), (Surface.DUCT, Surface.FLANGE, Surface.FRAME)),
            self.fact("fill", self.one((SeparationFill.SUPPORTING_CONSTRUCTION,), tuple(SeparationFill))),
        )

    def size(self) -> Size:
        if self.apart(0.15):
            return Size(Mm(self.one(ROUNDISH)))
        width, height = self.one(EDGES, (149.999, 1200.001)), self.one(EDGES[:14])
        if self.apart(0.5):
            width += self.chance.randrange(50)
        return Size(Mm(width), Mm(height))

    def penetration(self, number: int) -> Penetration:
        self.id = f"P-{number:05}"
        wall = self.chance.choice(self.types)
        size = self.size()
        gap = [self.one((30, 40, 50), (0, 10, 19.999, 20, 60, 80.001, 120)) for _ in range(4)]
        is_floor = isinstance(wall.kind, Known) and "floor" in wall.kind.value
        usual = Orientation.FLOOR if is_floor else Orientation.WALL
        maker, product = self.chance.choice(PRODUCTS)
        shape = OpeningShape.ROUND if size.is_round else OpeningShape.RECTANGULAR
        clear = Size(
            Mm(size.width_mm + gap[0] + gap[1]),
            None if size.height_mm is None else Mm(size.height_mm + gap[2] + gap[3]),
        )
        fact = self.fact
        thickness = wall.thickness_mm.value if isinstance(wall.thickness_mm, Known) else Mm(150)
        return Penetration(
            id=self.id,
            key=f"key-{number}",
            location=Location(fact("storey", "Level 1"), "", None),
            barrier=BarrierFacts(
                orientation=fact("orientation", self.one((usual,), tuple(Orientation))),
                role=fact("role", self.one((BarrierRole.COMPARTMENT_WALL,), tuple(BarrierRole))),
                wall_type_code=fact("wall_type", wall.code),
                wall_type=None if self.odd(0.2) else wall,
                thickness_mm=fact("thickness", self.one((thickness,), (Mm(99.999), Mm(100), Mm(112.3)))),
                rating=wall.rating,
            ),
            duct=DuctFacts(
                service=Service.DUCT,
                size=fact("duct_size", size),
                system=fact("system", self.one((SystemUse.SUPPLY, SystemUse.EXTRACT), tuple(SystemUse))),
                angle_deg=fact("angle", Degrees(self.one((0,), (5, 5.001, 30)))),
                insulation_through=fact("insulation_through", self.odd()),
            ),
            damper=DamperFacts(
                present=fact("present", True),
                maker=fact("maker", maker),
                product=fact("product", product),
                size=fact("damper_size", size),
                class_text=fact("class_text", "E 60 (ve i↔o) S"),
                actuation=fact("actuation", frozenset(Actuation)),
                mechanism_deg=fact("mechanism", Degrees(self.one((0,), (90, 180, 270)))),
                access_side=fact("access_side", self.one(("corridor side",), ("room side", "either side"))),
                blade_offset_mm=fact("blade_offset", Mm(self.one((0,), (-25, 50, 50.001, -80)))),
            ),
            opening=OpeningFacts(
                shape=fact("opening_shape", self.one((shape,), tuple(OpeningShape))),
                framed=fact("framed", clear),
                finished=fact("finished", clear),
                gaps=fact("gaps", Sides(Mm(gap[0]), Mm(gap[1]), Mm(gap[2]), Mm(gap[3]))),
                gaps_from=fact("gaps_from", self.one((Surface.DUCT, Surface.CASING), tuple(Surface))),
                formed=fact("formed", self.apart(0.3)),
                shared_with=("P-OTHER",) if self.odd() else (),
            ),
            installation=InstallationFacts(
                position=fact("position", self.one((MountingPosition.IN_BARRIER,), tuple(MountingPosition))),
                fixing=fact(
                    "fixing", self.one((FixingFamily.BUILT_IN, FixingFamily.BATT_WITH_RODS), tuple(FixingFamily))
                ),
                seal_products=fact("seal", self.one(SEALS[:2], (*SEALS, ("mortar",), (), SEALS[1][:1]))),
                seal_depth_mm=fact("seal_depth", Mm(self.one((100, 120), (50, 99.999, 200)))),
                seal_faces=fact("seal_faces", self.one((2,), (1,))),
                support=fact("support", self.one((SupportKind.BARRIER, SupportKind.DROP_RODS), tuple(SupportKind))),
                joint=fact("joint", self.one((Joint.BREAKAWAY_FIXINGS,), tuple(Joint))),
                deflection_head_above=fact("deflection_head", self.odd()),
                other_services=fact("other_services", self.odd()),
                access_door=fact("access_door", True),
                seal_layers=fact("seal_layers", self.one((1, 2))),
                joint_a=fact("joint_a", self.one(tuple(Joint))) if self.odd() else None,
                joint_b=fact("joint_b", self.one(tuple(Joint))) if self.odd() else None,
            ),
            protection=ProtectionFacts(fact("method", ProtectionMethod.FIRE_DAMPER), fact("run_proven", False)),
            spaces=fact("spaces", frozenset({SpaceUse.GENERAL})),
            separations=tuple(self.separation() for _ in range(self.one((0, 1, 2), (3, 4)))),
        )

    def requirement(self, penetration: Penetration) -> Requirement:
        self.id = penetration.id
        standing = penetration.barrier.orientation
        is_floor = isinstance(standing, Known) and standing.value is Orientation.FLOOR
        asked = self.one((ASKED[2],) if is_floor else ASKED[:2], (*ASKED, SMOKE_CLASSES[:1]))
        return Requirement(
            penetration_id=penetration.id,
            needed=self.one((Verdict.PASS,), (Verdict.PASS, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN)),
            methods=(),
            class_texts=self.fact("class_texts", asked),
            actuation=self.fact("asked_actuation", self.one((frozenset({Actuation.THERMAL}), frozenset(Actuation)))),
            parts=(),
        )


class _Evidence(_Maker):
    def window(self, least: Sequence[float], most: Sequence[float]) -> Window:
        low, high = self.one(least), self.one(most)
        return Window(self.told(low), self.told(max(low, high)))

    def construction(self, kind: SupportingConstruction) -> ConstructionTested:
        return ConstructionTested(
            kind=kind,
            least_thickness_mm=Mm(self.one((75, 100, 125, 150), (100.001,))),
            least_density_kg_m3=self.told(KgPerM3(self.one((450, 600, 1400)))),
            most_density_kg_m3=KgPerM3(1400) if self.odd() else None,
            material=self.told(self.one(("blockwork", "panel P"))),
            board_type=self.told("type F"),
            board_thickness_mm=self.told(Mm(12.5)),
            board_layers=self.told(self.one(((2, 2), (1, 1), (1, 2)))),
            stud_size_mm=self.told(Mm(50)),
            most_stud_spacing_mm=self.told(Mm(600)),
            cavity_fill=self.told("stone wool"),
            opening_framing=self.told("studs and tracks"),
            lining_mm=self.told(Mm(self.one((12.5, 0)))),
            shown_in_rigid=kind is SupportingConstruction.FLEXIBLE_WALL and self.apart(0.3),
        )

    def document(self, kind: DamperKind, number: int) -> Document:
        standard = "EN 15650" if kind is DamperKind.FIRE_DAMPER else "EN 12101-8"
        year = "2010" if kind is DamperKind.FIRE_DAMPER else "2011"
        together = self.odd()
        return Document(
            level=self.one((DocumentLevel.DECLARATION,), tuple(DocumentLevel)),
            reference=f"DoP {number % 24} (invented)" if together else f"DoP {number} for one (invented)",
            revision=self.chance.choice(("A", "B", "C", "first")) if together else "A",
            issued=self.one((DAYS[1],), DAYS),
            standard=self.one(
                (standard, f"BS {standard}:{year}"), ("BS 476-20", "EN 15650", "EN 1366-10", "EN 13501-3", "a standard")
            ),
            edition=self.one((year,), ("2005", "2005+A1:2009", "2022", "first")),
            valid_to=self.one((None,), DAYS),
            withdrawn_on=self.one((None,), DAYS),
            certificate=self.told("0000-CPR-1"),
            marking=self.told(frozenset(self.one((("UKCA",), ("CE", "UKCA")), ((), ("CE",))))),
            instructions=self.told("instructions A"),
            extended=self.one((None, False), (True,)),
        )

    def separations(self) -> tuple[SeparationTested, ...]:
        found = []
        for to in ("damper", "wall", "floor"):
            if self.apart(0.6):
                start = self.one((Surface.CASING,), (Surface.DUCT, Surface.FLANGE, Surface.FRAME, None))
                end = self.one((Surface.CASING,), (Surface.DUCT, Surface.FLANGE, None))
                found.append(SeparationTested(to, Mm(self.one((40, 60, 75))), start, end))
        return tuple(found)

    def installation(self, number: int) -> TestedInstallation:
        maker, product = PRODUCTS[number % len(PRODUCTS)]
        is_round = self.apart(0.15)
        kind = DamperKind.SMOKE_CONTROL_DAMPER if self.odd(2) else DamperKind.FIRE_DAMPER
        usual = (
            SupportingConstruction.RIGID_WALL,
            SupportingConstruction.FLEXIBLE_WALL,
            SupportingConstruction.RIGID_FLOOR,
        )
        construction = self.one(usual, tuple(SupportingConstruction))
        is_floor = "floor" in construction.value
        classes = SMOKE_CLASSES if kind is DamperKind.SMOKE_CONTROL_DAMPER else CLASSES
        height = None if is_round else self.window((100, 150, 200), (600, 800))
        gap = Window(self.one((20, 25, 30), (0, None)), self.one((60, 80), (None, 50)))
        sides = [gap if not self.odd() else self.window((0, 10, 30), (50, 60)) for _ in range(4)]
        beyond = [Mm(self.one((5, 10), (0, 7.5)))] * 4 if self.apart(0.8) else [Mm(v) for v in (5, 10, 15, 20)]
        shape = OpeningShape.ROUND if is_round else OpeningShape.RECTANGULAR
        joints = self.one((frozenset({Joint.BREAKAWAY_FIXINGS}), frozenset(tuple(Joint)[:3])), (frozenset(Joint),))
        return TestedInstallation(
            id=f"T-{number:04}",
            maker=maker,
            product=product,
            kind=kind,
            sizes=SizeWindow(
                shape,
                self.window((100, 150, 200), (800, 1000, 1200)),
                height,
                self.told(Mm(self.one((100, 200, 250)))),
                None if is_round else self.told(Mm(self.one((100, 200)))),
            ),
            class_text=self.one(classes, (*classes, "not a class")),
            construction=self.construction(construction),
            orientation=Orientation.FLOOR if is_floor else Orientation.WALL,
            position=self.one((MountingPosition.IN_BARRIER,), tuple(MountingPosition)),
            mechanism_deg=self.told(self.one(((Degrees(0),), (Degrees(0), Degrees(90), Degrees(180))))),
            opening_shape=shape,
            fixing=self.one((FixingFamily.BUILT_IN, FixingFamily.BATT_WITH_RODS), tuple(FixingFamily)),
            seal=SealTested(
                self.one(SEALS[:2], (*SEALS, ("mortar",))),
                self.told(self.one((1, 2))),
                self.told(self.one((1, 2))),
                self.told(Window(self.told(Mm(self.one((50, 100)))), self.one((None, 120)))),
                SideWindows(*sides),
                self.one((Surface.CASING, Surface.DUCT), (Surface.FLANGE, Surface.FRAME)),
            ),
            casing_beyond_mm=self.told((beyond[0], beyond[1], beyond[2], beyond[3])),
            separations=self.separations(),
            support=self.told(self.one((SupportKind.BARRIER, SupportKind.DROP_RODS), tuple(SupportKind))),
            joints=self.told(joints),
            access_sides=self.told(frozenset({"corridor side", *(("room side",) if self.apart(0.5) else ())})),
            actuation=self.one((frozenset(Actuation), frozenset({Actuation.THERMAL})), (frozenset(),)),
            document=self.document(kind, number),
            origin=Origin("evidence.toml", f"installation T-{number:04}"),
            most_blade_offset_mm=self.told(Mm(self.one((0, 50)))),
            insulation_through=self.told(self.apart(0.2)),
            deflection_head=self.told(self.apart(0.2)),
            other_services=self.told(self.apart(0.2)),
            ducts=self.told(
                self.one((frozenset({DuctedSides.BOTH}),), (frozenset(DuctedSides), frozenset({DuctedSides.ONE})))
            ),
            battery=self.odd(),
            shared_opening=self.odd(),
        )


def penetrations(count: int, seed: int = 0, mix: Mix | None = None) -> tuple[Penetration, ...]:
    """So many penetrations; the same seed and mix give the same."""
    mix = Mix() if mix is None else mix
    kinds: list[Any] = [SupportingConstruction.RIGID_WALL, SupportingConstruction.FLEXIBLE_WALL] * 8
    kinds += [SupportingConstruction.RIGID_FLOOR] * 4 + list(SupportingConstruction)
    types = [_Site(seed + n, mix).wall_type(f"W{n}", kind) for n, kind in enumerate(kinds)]
    site = _Site(seed, mix, types)
    return tuple(site.penetration(number) for number in range(count))


def requirements(some: Sequence[Penetration], seed: int = 0, mix: Mix | None = None) -> tuple[Requirement, ...]:
    """What is asked at each of some penetrations."""
    site = _Site(seed + 1, Mix() if mix is None else mix)
    return tuple(site.requirement(item) for item in some)


def installations(count: int, seed: int = 0, mix: Mix | None = None) -> tuple[TestedInstallation, ...]:
    """So many tested installations of twelve invented products."""
    evidence = _Evidence(seed + 2, Mix() if mix is None else mix)
    return with_revisions(evidence.installation(number) for number in range(count))
