# SPDX-License-Identifier: Apache-2.0
"""Where the ducts run: every run of the building with the penetrations on its way, as designed and without a fault.

Supply mains lie at 3,550 mm over the slab, extract mains at 3,050; branches leave them to the rooms north and south.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from tools.demo.ducts import Box, Planned, Run, Section
from tools.demo.plan import CORRIDOR_NORTH, CORRIDOR_SOUTH, HEIGHT, SLAB, Wall, slabs, walls

__all__ = ["Layout", "designed", "with_casing"]

ROOF = 3
SUPPLY_Z, EXTRACT_Z = 3_550, 3_050
SUPPLY_Y, EXTRACT_Y = 7_600, 8_600
MAIN = Section(600, 300)
CASINGS = {"OR": 120.0, "TV": 250.0, "QM": 200.0}
"""The length of each maker's damper along the duct."""

ESCAPE, SLEEPING, GENERAL, KITCHEN, PLANT = "escape route", "sleeping", "general", "commercial kitchen", "plant room"
SMOKE = "4 fire and smoke damper"
THERMAL = "1 fire damper"
DUCTWORK = "3 fire-resisting ductwork"

_CURTAIN = {"rigid wall": "OR-RW", "flexible wall": "OR-FW"}
_BLADE = {"rigid wall": "TV-RW", "flexible wall": "TV-FW", "shaft wall": "TV-SW"}


@dataclass
class Layout:
    """All runs, boxes and penetrations (by reference) of the building; references count up by level."""

    runs: list[Run] = field(default_factory=list)
    planned: dict[str, Planned] = field(default_factory=dict)
    boxes: list[Box] = field(default_factory=list)
    counts: dict[int, int] = field(default_factory=dict)
    hosts: dict[str, Wall] = field(default_factory=lambda: {wall.name: wall for wall in walls()})

    def ref(self, level: int) -> str:
        """The next free reference of a level: FD-1-07; those of the roof begin with FD-R."""
        self.counts[level] = self.counts.get(level, 0) + 1
        return f"FD-{'R' if level == ROOF else level}-{self.counts[level]:02d}"

    def through_wall(self, name: str, run: str, at: tuple[float, float], section: Section, **facts: object) -> Planned:
        """A penetration of a wall: `at` is the place along the wall and the height of the duct's axis over the slab."""
        wall = self.hosts[name]
        along, height = at
        z = wall.base + height
        point = (along, wall.at, z) if wall.along == "x" else (wall.at, along, z)
        made = Planned(
            ref=self.ref(wall.level),
            level=wall.level,
            barrier=name,
            axis="y" if wall.along == "x" else "x",
            at=point,
            thickness=wall.build_up.thickness,
            section=section,
            system="supply",
            run=run,
            words="",
            role="compartment wall",
            spaces=(GENERAL, GENERAL),
        )
        return with_casing(replace(made, **facts))  # type: ignore[arg-type]

    def through_slab(self, level: int, run: str, at: tuple[float, float], section: Section, **facts: object) -> Planned:
        """A penetration of the slab whose top is a level."""
        slab = slabs()[level]
        made = Planned(
            ref=self.ref(level),
            level=level,
            barrier=slab.name,
            axis="z",
            at=(at[0], at[1], slab.top - SLAB / 2),
            thickness=SLAB,
            section=section,
            system="extract",
            run=run,
            words="",
            role="compartment floor" if level < ROOF else "not fire-separating",
            spaces=(GENERAL, GENERAL),
        )
        return with_casing(replace(made, **facts))  # type: ignore[arg-type]

    def straight(
        self,
        name: str,
        system: str,
        axis: str,
        at: tuple[float, float],
        ends: tuple[float, float],
        section: Section,
        passes: tuple[Planned, ...] = (),
        **facts: object,
    ) -> None:
        """A run, through penetrations if it has any."""
        run = Run(name, system, axis, at, ends[0], ends[1], section, passes=tuple(one.ref for one in passes))
        self.runs.append(replace(run, **facts))  # type: ignore[arg-type]
        self.planned |= {one.ref: one for one in passes}


def with_casing(planned: Planned) -> Planned:
    """The penetration with a damper of the length that its tested installation has, or with none."""
    if not planned.tested:
        return replace(planned, casing=0)
    return replace(planned, casing=CASINGS[planned.tested.partition("-")[0]])


def designed() -> Layout:
    """The whole building as designed."""
    layout = Layout()
    for level in range(3):
        _mains(layout, level)
        _riser_one(layout, level)
        if level == 0:
            _level_0(layout)
        else:
            _branches(layout, level)
        if level == 1:
            _between_rooms_of_level_1(layout)
        _riser_two(layout, level)
    _stacks(layout)
    _other_services(layout)
    return layout


def _mains(layout: Layout, level: int) -> None:
    """Supply and extract main in the corridor, through the wall that parts the building."""
    for run, y, z in (("SA1", SUPPLY_Y, SUPPLY_Z), ("EA1", EXTRACT_Y, EXTRACT_Z)):
        supply = run == "SA1"
        crossing = layout.through_wall(
            f"{level}-X30-C",
            run,
            (y, z),
            MAIN,
            system="supply" if supply else "extract",
            words="corridor west / corridor east",
            role="protected corridor",
            spaces=(ESCAPE, ESCAPE),
            method=SMOKE,
            tested="TV-RW",
        )
        layout.straight(
            f"{run} main level {level}",
            run,
            "x",
            (y, level * HEIGHT + z),
            (6_600, 41_400),
            MAIN,
            (crossing,),
            level=level,
        )


def _branch(
    layout: Layout,
    level: int,
    side: str,
    supply: bool,
    x: float,
    section: Section,
    room: str,
    space: str,
    length: float,
    **facts: object,
) -> None:
    """A branch from a main in the corridor into a room."""
    wall = next(
        wall
        for name, wall in layout.hosts.items()
        if name.startswith(f"{level}-COR-{side}") and wall.start < x < wall.end
    )
    kind = wall.build_up.kind
    shape = "R" if section.height is None else ""
    run = "SA1" if supply else "EA1"
    z = SUPPLY_Z if supply else EXTRACT_Z
    facts = {
        "system": "supply" if supply else "extract",
        "words": f"corridor / {room}",
        "role": "protected corridor",
        "spaces": (ESCAPE, space),
        "method": SMOKE,
        "tested": _BLADE[kind] + shape,
        **facts,
    }
    planned = layout.through_wall(wall.name, run, (x, z), section, **facts)
    main_y = SUPPLY_Y if supply else EXTRACT_Y
    half = MAIN.width / 2
    near, far = (CORRIDOR_SOUTH, -length) if side == "S" else (CORRIDOR_NORTH, length)
    start = main_y - half if side == "S" else main_y + half
    layout.straight(
        f"{run} branch {planned.ref}",
        run,
        "y",
        (x, level * HEIGHT + z),
        (start, near + far),
        section,
        (planned,),
        ends_with="grille",
        level=level,
    )


def _branches(layout: Layout, level: int) -> None:
    """A supply and an extract branch to each room of level 1 (classrooms) or level 2 (bedrooms)."""
    if level == 1:
        section = Section(400, 250)
        for side, bays in (("S", (6, 12, 18, 24, 30, 36)), ("N", (6, 12, 18, 24, 30, 36))):
            for number, bay in enumerate(bays, 1):
                if side == "S" and bay in {18, 24}:
                    places = (19_500, 21_500) if bay == 18 else (26_600, 28_800)
                else:
                    places = (bay * 1000 + 1_800, bay * 1000 + 4_200)
                for supply, x in zip((True, False), places, strict=True):
                    room = f"classroom 1.{side}{number}"
                    _branch(layout, 1, side, supply, x, section, room, GENERAL, 1_800)
        return
    for side in "SN":
        bedrooms = [bay for bay in range(6, 42, 4) if side == "N" or bay != 22]
        for number, bay in enumerate(bedrooms, 1):
            room = f"bedroom 2.{side}{number}"
            _branch(layout, 2, side, True, bay * 1000 + 1_200, Section(250, 200), room, SLEEPING, 700)
            _branch(layout, 2, side, False, bay * 1000 + 2_800, Section(200), room, SLEEPING, 700)


def _riser_one(layout: Layout, level: int) -> None:
    """Riser R1: from the plant room up one continuous shaft; ducts leave it through its north wall at each level."""
    base = level * HEIGHT
    for run, x, z, y in (("SA1", 23_400, SUPPLY_Z, SUPPLY_Y), ("EA1", 24_600, EXTRACT_Z, EXTRACT_Y)):
        supply = run == "SA1"
        common = {
            "system": "supply" if supply else "extract",
            "role": "protected shaft",
            "method": SMOKE,
            "tested": "TV-SW",
        }
        leaving = layout.through_wall(
            f"{level}-R1-N", run, (x, z), MAIN, words="riser R1 / corridor", spaces=(GENERAL, ESCAPE), **common
        )
        layout.straight(
            f"{run} exit level {level}",
            run,
            "y",
            (x, base + z),
            (6_350, y - MAIN.width / 2),
            MAIN,
            (leaving,),
            level=level,
        )
        if level > 0:
            continue
        entering = layout.through_wall(
            "0-R1-S",
            run,
            (x, 1_500),
            Section(600, 500),
            words="plant room / riser R1",
            spaces=(PLANT, GENERAL),
            **common,
        )
        layout.straight(f"{run} rise foot", run, "y", (x, 1_500), (4_200, 5_850), Section(600, 500), (entering,))
        layout.straight(f"{run} riser", run, "z", (x, 6_100), (1_200, 2 * HEIGHT + 3_750), Section(600, 500))
        outside = layout.through_wall(
            "0-EX-S",
            run,
            (x, 1_500),
            Section(600, 500),
            words="plant room / outside",
            role="not fire-separating",
            system=common["system"],
            has_hole=False,
        )
        layout.straight(
            f"{run} louvre duct", run, "y", (x, 1_500), (1_500, -100), Section(600, 500), (outside,), ends_with="louvre"
        )
    if level == 0:
        layout.boxes.append(
            Box("Air handling unit 1", "equipment", "SA1", 0, (22_800, 1_500, 300), (25_200, 4_200, 2_300))
        )


def _level_0(layout: Layout) -> None:
    """Admin and IT rooms, offices, dining room, kitchen, teaching kitchen, plant room."""
    for side, rooms in (("S", (("admin", 6), ("IT room", 12))), ("N", (("office 0.N1", 6), ("office 0.N2", 12)))):
        for room, bay in rooms:
            _branch(layout, 0, side, True, bay * 1000 + 1_800, Section(300, 200), room, GENERAL, 1_800)
            _branch(layout, 0, side, False, bay * 1000 + 4_200, Section(300, 200), room, GENERAL, 1_800)
    for supply, x in ((True, 20_000), (False, 22_000), (True, 26_000), (False, 27_600)):
        _branch(layout, 0, "N", supply, x, Section(400, 250), "dining room", GENERAL, 2_400, tested="TV-FB")
    supply_to_kitchen = {"system": "commercial kitchen supply"}
    _branch(layout, 0, "N", True, 36_000, Section(400, 300), "kitchen", KITCHEN, 1_500, **supply_to_kitchen)
    _branch(layout, 0, "S", True, 36_000, Section(400, 300), "teaching kitchen", KITCHEN, 1_500, **supply_to_kitchen)
    across = (
        (
            "0-X18-N",
            "SA1",
            "supply",
            (11_500, 3_300),
            Section(300, 250),
            "office 0.N2 / dining room",
            (GENERAL, GENERAL),
        ),
        (
            "0-X18-N",
            "EA1",
            "extract",
            (13_500, 3_300),
            Section(300, 250),
            "office 0.N2 / dining room",
            (GENERAL, GENERAL),
        ),
        ("0-X18-S", "SA1", "supply", (2_000, 3_300), Section(300, 250), "IT room / plant room", (GENERAL, PLANT)),
        ("0-X18-S", "EA1", "extract", (4_000, 3_300), Section(300, 250), "IT room / plant room", (GENERAL, PLANT)),
        (
            "0-X30-N",
            "KS",
            "commercial kitchen supply",
            (11_000, 3_200),
            Section(400, 300),
            "dining room / kitchen",
            (GENERAL, KITCHEN),
        ),
        (
            "0-X30-N",
            "KE3",
            "commercial kitchen extract",
            (13_500, 3_200),
            Section(400, 300),
            "dining room / pot wash",
            (GENERAL, KITCHEN),
        ),
    )
    for host, run, system, at, section, words, spaces in across:
        facts: dict[str, object] = {"tested": _CURTAIN[layout.hosts[host].build_up.kind]}
        if run == "KE3":
            facts = {"method": DUCTWORK}
        planned = layout.through_wall(host, run, at, section, system=system, words=words, spaces=spaces, **facts)
        middle, y, z = planned.at
        layout.straight(
            f"{run} {planned.ref}",
            run,
            "x",
            (y, z),
            (middle - 1_200, middle + 1_200),
            section,
            (planned,),
            ends_with="grille",
            starts_with="grille",
        )
    _kitchen_extract(layout)


def _kitchen_extract(layout: Layout) -> None:
    """Extracts in fire-resisting ductwork: KE1 of the kitchen, up through the house; KE2 of the teaching kitchen."""
    section = Section(500, 500)
    common = {"system": "commercial kitchen extract", "method": DUCTWORK}
    wall = layout.through_wall(
        "0-NE-W", "KE1", (15_000, 3_200), section, words="kitchen / kitchen store", spaces=(KITCHEN, GENERAL), **common
    )
    layout.straight(
        "KE1 from the hood", "KE1", "x", (15_000, 3_200), (37_500, 43_250), section, (wall,), starts_with="hood"
    )
    floors = tuple(
        layout.through_slab(level, "KE1", (43_500, 15_000), section, words=words, **common)
        for level, words in ((1, "store 0 / store 1"), (2, "store 1 / store 2"))
    )
    roof = layout.through_slab(3, "KE1", (43_500, 15_000), section, words="store 2 / outside", has_hole=False)
    layout.straight(
        "KE1 riser", "KE1", "z", (43_500, 15_000), (2_950, 3 * HEIGHT + 600), section, (*floors, roof), ends_with="cowl"
    )
    section = Section(500, 400)
    teaching = layout.through_wall(
        "0-X30-S",
        "KE2",
        (3_000, 3_200),
        section,
        words="teaching kitchen / plant room",
        spaces=(KITCHEN, PLANT),
        **common,
    )
    layout.straight(
        "KE2 from the hood", "KE2", "x", (3_000, 3_200), (33_000, 28_750), section, (teaching,), starts_with="hood"
    )
    outside = layout.through_wall(
        "0-EX-S",
        "KE2",
        (28_500, 3_200),
        section,
        words="plant room / outside",
        role="not fire-separating",
        system="commercial kitchen extract",
        has_hole=False,
    )
    layout.straight(
        "KE2 to outside", "KE2", "y", (28_500, 3_200), (3_250, -100), section, (outside,), ends_with="louvre"
    )


def _between_rooms_of_level_1(layout: Layout) -> None:
    """Ducts from classroom to classroom: through the compartment wall, and through partitions that separate nothing."""
    fire = (
        ("1-X30-N", "SA1", 11_500),
        ("1-X30-N", "EA1", 13_500),
        ("1-X30-S", "SA1", 2_500),
        ("1-X30-S", "EA1", 4_500),
    )
    plain = (
        ("1-X12-N", "SA1", 13_000),
        ("1-X24-N", "SA1", 13_000),
        ("1-X12-S", "SA1", 3_000),
        ("1-X36-S", "EA1", 3_000),
    )
    for places, separating in ((fire, True), (plain, False)):
        for host, run, y in places:
            section = Section(400, 300) if separating else Section(300, 200)
            planned = layout.through_wall(
                host,
                run,
                (y, 3_300),
                section,
                system="supply" if run == "SA1" else "extract",
                words="classroom / classroom",
                role="compartment wall" if separating else "not fire-separating",
                tested="OR-RW" if separating else "",
                has_hole=separating,
            )
            x, _, z = planned.at
            layout.straight(
                f"{run} {planned.ref}",
                run,
                "x",
                (y, z),
                (x - 1_000, x + 1_000),
                section,
                (planned,),
                ends_with="grille",
                starts_with="grille",
                level=1,
            )


def _riser_two(layout: Layout, level: int) -> None:
    """Riser R2, sealed at each floor: a damper in each floor, and its west wall judged by itself at each exit."""
    base = level * HEIGHT
    places = (("SA2", 46_000, 14_000, "supply"), ("EA2", 46_900, 15_100, "extract"))
    for run, x, y, system in places:
        leaving = layout.through_wall(
            f"{level}-R2-W",
            run,
            (y, 3_250),
            Section(400, 300),
            system=system,
            words=f"riser R2 / store {level}",
            tested="OR-RW",
        )
        passes = [leaving]
        end = 44_500.0
        if level == 0 and run == "SA2":
            passes.append(
                layout.through_wall(
                    "0-NE-W",
                    run,
                    (y, 3_250),
                    Section(400, 300),
                    system="commercial kitchen supply",
                    words="kitchen store / kitchen",
                    spaces=(GENERAL, KITCHEN),
                    tested="OR-RW",
                )
            )
            end = 40_800.0
        layout.straight(
            f"{run} exit level {level}",
            run,
            "x",
            (y, base + 3_250),
            (x - 200, end),
            Section(400, 300),
            tuple(passes),
            ends_with="grille",
            level=level,
        )
        if level == 0:
            floors = tuple(
                layout.through_slab(
                    above,
                    run,
                    (x, y),
                    Section(400, 400),
                    system=system,
                    words="riser R2",
                    tested="QM-RF",
                    method=THERMAL,
                )
                for above in (1, 2)
            )
            roof = layout.through_slab(
                3, run, (x, y), Section(400, 400), system=system, words="riser R2 / outside", has_hole=False
            )
            layout.straight(
                f"{run} riser",
                run,
                "z",
                (x, y),
                (3_000, 3 * HEIGHT + 600),
                Section(400, 400),
                (*floors, roof),
                ends_with="cowl",
            )


def _stacks(layout: Layout) -> None:
    """The toilet extract in the west: round, through both floors and the roof."""
    section = Section(250)
    floors = tuple(
        layout.through_slab(
            level, "TE1", (1_200, 1_200), section, system="toilet extract", words="toilets", tested="QM-RFR"
        )
        for level in (1, 2)
    )
    roof = layout.through_slab(
        3, "TE1", (1_200, 1_200), section, system="toilet extract", words="toilets / outside", has_hole=False
    )
    layout.straight(
        "TE1 stack",
        "TE1",
        "z",
        (1_200, 1_200),
        (2_900, 3 * HEIGHT + 500),
        section,
        (*floors, roof),
        ends_with="cowl",
        starts_with="grille",
    )


def _other_services(layout: Layout) -> None:
    """Pipes and cable trays through the same walls and floors: listed, not judged."""
    for level in range(3):
        layout.straight(
            f"Cable tray level {level}",
            "CT",
            "x",
            (8_100, level * HEIGHT + 2_820),
            (7_000, 41_000),
            Section(200, 60),
            service="tray",
            level=level,
        )
    for name, x in (("flow", 19_500), ("return", 19_800)):
        layout.straight(f"Heating {name}", "LTHW", "y", (x, 2_600), (5_000, 8_300), Section(60), service="pipe")
    layout.straight("Soil stack", "SVP", "z", (3_000, 1_000), (200, 3 * HEIGHT + 400), Section(110), service="pipe")
