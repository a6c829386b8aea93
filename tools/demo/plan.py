# SPDX-License-Identifier: Apache-2.0
"""The building: storeys, wall types, walls, slabs and doors of Wrenmoor Training Hotel (invented). Millimetres.

Three storeys of 4,200 mm. A corridor runs from west to east between two stairs; rooms lie north and south of it. Riser
R1 (shaft wall, one continuous shaft) stands south of the corridor, riser R2 (blockwork, sealed at each floor) in the
north-east corner.
"""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = [
    "BUILDING",
    "CORRIDOR_NORTH",
    "CORRIDOR_SOUTH",
    "FLOOR_TYPES",
    "HEIGHT",
    "LENGTH",
    "R1_VOID",
    "SLAB",
    "SOFFIT",
    "STOREYS",
    "WALL_TYPES",
    "WIDTH",
    "BuildUp",
    "Door",
    "Slab",
    "Wall",
    "doors",
    "slabs",
    "walls",
]

BUILDING = "Wrenmoor Training Hotel"
STOREYS = ("Level 0", "Level 1", "Level 2", "Roof")
HEIGHT = 4200
SLAB = 250
SOFFIT = HEIGHT - SLAB
LENGTH, WIDTH = 48_000, 16_000
CORRIDOR_SOUTH, CORRIDOR_NORTH = 7_000, 9_200
R1_VOID = (22_548, 5_248, 25_452, 6_952)
"""The hole that the continuous shaft R1 leaves in the slabs: x and y from, x and y to."""


@dataclass(frozen=True)
class BuildUp:
    """A wall or floor type: how it is built and what it is rated.

    `model_rating` is the text on the type in the model ("" for no property at all); `rating` the one in the sheet.
    `layers` are material and thickness. Values of 0, "none" and (0, 0) say that there is no such part.
    """

    code: str
    title: str
    kind: str
    layers: tuple[tuple[str, float], ...]
    rating: str
    model_rating: str
    density: float | None = None
    material: str = "none"
    board_type: str = "none"
    board_mm: float = 0
    board_layers: tuple[int, int] = (0, 0)
    stud_mm: float = 0
    stud_spacing_mm: float = 0
    cavity_fill: str = "none"
    opening_framing: str = "none"
    lining_mm: float = 0
    revision: str = "C02"

    @property
    def thickness(self) -> float:
        """All layers together."""
        return sum(thickness for _, thickness in self.layers)

    @property
    def is_lined(self) -> bool:
        """Whether the reveals of framed openings get a lining."""
        return self.lining_mm > 0


_BOARD = ("Fire-resisting gypsum board, type F", 12.5)
_WOOL = "40 mm rock wool, 40 kg/m³"
_STUD_CAVITY = ("Stud cavity with rock wool", 75.0)

WALL_TYPES: dict[str, BuildUp] = {
    one.code: one
    for one in (
        BuildUp(
            "B150",
            "Blockwork 150, 120 min",
            "rigid wall",
            (("Dense concrete blockwork", 150.0),),
            "EI 120",
            "EI 120",
            1900,
            "dense concrete blockwork",
            opening_framing="lintel",
        ),
        BuildUp(
            "B140",
            "Blockwork 140, 60 min",
            "rigid wall",
            (("Concrete blockwork", 140.0),),
            "EI 60",
            "EI 60",
            1400,
            "concrete blockwork",
            opening_framing="lintel",
        ),
        BuildUp(
            "F60",
            "Stud wall 125, 60 min",
            "flexible wall",
            (_BOARD, _BOARD, _STUD_CAVITY, _BOARD, _BOARD),
            "EI 60",
            "60 minutes (EI)",
            board_type="type F",
            board_mm=12.5,
            board_layers=(2, 2),
            stud_mm=75,
            stud_spacing_mm=600,
            cavity_fill=_WOOL,
            opening_framing="studs and tracks all round",
            lining_mm=25,
        ),
        BuildUp(
            "F60N",
            "Stud wall 125, new",
            "flexible wall",
            (_BOARD, _BOARD, _STUD_CAVITY, _BOARD, _BOARD),
            "",
            "as fire strategy",
            board_type="type F",
            board_mm=12.5,
            board_layers=(2, 2),
            stud_mm=75,
            stud_spacing_mm=600,
            cavity_fill=_WOOL,
            opening_framing="studs and tracks all round",
            lining_mm=25,
        ),
        BuildUp(
            "S60",
            "Shaft wall 96, 60 min",
            "shaft wall",
            (("Shaft liner board", 19.0), ("Shaft stud cavity", 52.0), _BOARD, _BOARD),
            "EI 60",
            "EI 60",
            board_type="type F",
            board_mm=12.5,
            board_layers=(0, 2),
            stud_mm=70,
            stud_spacing_mm=600,
            cavity_fill="none",
            opening_framing="shaft studs and tracks all round",
            lining_mm=25,
        ),
        BuildUp(
            "P100",
            "Partition 100, unrated",
            "flexible wall",
            (("Gypsum board", 12.5), ("Stud cavity", 75.0), ("Gypsum board", 12.5)),
            "unrated",
            "",
            board_type="standard",
            board_mm=12.5,
            board_layers=(1, 1),
            stud_mm=75,
            stud_spacing_mm=600,
        ),
        BuildUp(
            "EX300",
            "External wall 300",
            "rigid wall",
            (("Brick and insulated cavity", 300.0),),
            "unrated",
            "",
            1600,
            "brickwork",
            opening_framing="lintel",
        ),
    )
}

FLOOR_TYPES: dict[str, BuildUp] = {
    one.code: one
    for one in (
        BuildUp(
            "C250",
            "Concrete slab 250, 90 min",
            "rigid floor",
            (("Reinforced concrete", 250.0),),
            "REI 90",
            "REI 90",
            2400,
            "reinforced concrete",
        ),
        BuildUp(
            "R250",
            "Concrete roof slab 250",
            "rigid floor",
            (("Reinforced concrete", 250.0),),
            "unrated",
            "",
            2400,
            "reinforced concrete",
        ),
    )
}


@dataclass(frozen=True)
class Wall:
    """A wall: its centre line runs along `along` ("x" or "y") at `at`, from `start` to `end`.

    It stands on the slab and reaches the soffit unless `top` (above the slab) says otherwise.
    """

    name: str
    level: int
    along: str
    at: float
    start: float
    end: float
    kind: str
    top: float = SOFFIT

    @property
    def build_up(self) -> BuildUp:
        """Its wall type."""
        return WALL_TYPES[self.kind]

    @property
    def base(self) -> float:
        """Height of its foot above the building's zero."""
        return self.level * HEIGHT


@dataclass(frozen=True)
class Slab:
    """A slab over the storey below `level`; its top is that level. `voids` are holes that belong to its outline."""

    name: str
    level: int
    kind: str
    voids: tuple[tuple[int, int, int, int], ...] = field(default=())

    @property
    def build_up(self) -> BuildUp:
        """Its floor type."""
        return FLOOR_TYPES[self.kind]

    @property
    def top(self) -> float:
        """Height of its upper face above the building's zero."""
        return self.level * HEIGHT


@dataclass(frozen=True)
class Door:
    """A door in a wall, `at` along the wall; it fills its opening."""

    name: str
    wall: str
    at: float
    width: float = 926
    height: float = 2040


def slabs() -> tuple[Slab, ...]:
    """The ground slab, two floors and the roof."""
    return (
        Slab("Slab level 0", 0, "C250"),
        Slab("Slab level 1", 1, "C250", (R1_VOID,)),
        Slab("Slab level 2", 2, "C250", (R1_VOID,)),
        Slab("Slab roof", 3, "R250"),
    )


_EDGE = 300  # inner face of the external walls


def walls() -> tuple[Wall, ...]:
    """All walls, level by level."""
    return tuple(wall for level in range(3) for wall in (*_shell(level), *_core(level), *_rooms(level)))


def _shell(level: int) -> list[Wall]:
    half = 150
    return [
        Wall(f"{level}-EX-S", level, "x", half, 0, LENGTH, "EX300"),
        Wall(f"{level}-EX-N", level, "x", WIDTH - half, 0, LENGTH, "EX300"),
        Wall(f"{level}-EX-W", level, "y", half, _EDGE, WIDTH - _EDGE, "EX300"),
        Wall(f"{level}-EX-E", level, "y", LENGTH - half, _EDGE, WIDTH - _EDGE, "EX300"),
    ]


def _core(level: int) -> list[Wall]:
    """Stairs at both ends, the two risers, and the wall that parts the building in two at x = 30 m."""
    south, north = CORRIDOR_SOUTH, CORRIDOR_NORTH
    out = [
        Wall(f"{level}-STW-E", level, "y", 6_000, south, WIDTH - _EDGE, "B140"),
        Wall(f"{level}-WC-E", level, "y", 6_000, _EDGE, south, "F60"),
        Wall(f"{level}-STE-W", level, "y", 42_000, _EDGE, north, "B140"),
        Wall(f"{level}-NE-W", level, "y", 42_000, north, WIDTH - _EDGE, "B140"),
        Wall(f"{level}-R1-N", level, "x", south, 22_452, 25_548, "S60"),
        Wall(f"{level}-R1-S", level, "x", 5_200, 22_452, 25_548, "S60"),
        Wall(f"{level}-R1-W", level, "y", 22_500, 5_248, south - 48, "S60"),
        Wall(f"{level}-R1-E", level, "y", 25_500, 5_248, south - 48, "S60"),
        Wall(f"{level}-R2-W", level, "y", 45_500, 13_430, WIDTH - _EDGE, "B140"),
        Wall(f"{level}-R2-S", level, "x", 13_500, 45_570, LENGTH - _EDGE, "B140"),
        Wall(f"{level}-X30-C", level, "y", 30_000, south, north, "B140"),
        Wall(f"{level}-X30-N", level, "y", 30_000, north, WIDTH - _EDGE, "B140"),
    ]
    kind = "B150" if level == 0 else "B140"
    out.append(Wall(f"{level}-X30-S", level, "y", 30_000, _EDGE, south, kind))
    return out


def _corridor(level: int, parts: tuple[tuple[str, str, float, float, str], ...]) -> list[Wall]:
    at = {"S": CORRIDOR_SOUTH, "N": CORRIDOR_NORTH}
    return [Wall(f"{level}-COR-{name}", level, "x", at[side], a, b, kind) for name, side, a, b, kind in parts]


def _cross(level: int, side: str, kinds: dict[int, str]) -> list[Wall]:
    low, high = (_EDGE, CORRIDOR_SOUTH) if side == "S" else (CORRIDOR_NORTH, WIDTH - _EDGE)
    return [
        Wall(f"{level}-X{x // 1000}-{side}", level, "y", x, low, high, kind) for x, kind in kinds.items() if x != 30_000
    ]


def _rooms(level: int) -> list[Wall]:
    """Corridor walls and the walls between rooms of one level."""
    if level == 0:
        return [
            *_corridor(
                0,
                (
                    ("S1", "S", _EDGE, 18_000, "F60"),
                    ("S2", "S", 18_000, 22_452, "B150"),
                    ("S3", "S", 25_548, 30_000, "B150"),
                    ("S4", "S", 30_000, 42_000, "B140"),
                    ("N1", "N", 6_000, 30_000, "F60"),
                    ("N2", "N", 30_000, LENGTH - _EDGE, "B140"),
                ),
            ),
            *_cross(0, "N", {12_000: "P100", 18_000: "F60"}),
            *_cross(0, "S", {18_000: "B150"}),
            Wall("0-X12-S", 0, "y", 12_000, _EDGE, CORRIDOR_SOUTH, "F60", top=2_700),
        ]
    if level == 1:
        return [
            *_corridor(
                1,
                (
                    ("S1", "S", _EDGE, 22_452, "F60"),
                    ("S2", "S", 25_548, 42_000, "F60"),
                    ("N1", "N", 6_000, 36_000, "F60"),
                    ("N2", "N", 36_000, LENGTH - _EDGE, "F60N"),
                ),
            ),
            *_cross(1, "N", {12_000: "P100", 18_000: "P100", 24_000: "P100", 36_000: "P100"}),
            *_cross(1, "S", {12_000: "P100", 18_000: "P100", 36_000: "P100"}),
        ]
    bays = dict.fromkeys(range(10_000, 42_000, 4_000), "F60")
    return [
        *_corridor(
            2,
            (
                ("S1", "S", _EDGE, 22_452, "F60"),
                ("S2", "S", 25_548, 42_000, "F60"),
                ("N1", "N", 6_000, LENGTH - _EDGE, "F60"),
            ),
        ),
        *_cross(2, "N", bays),
        *_cross(2, "S", bays),
    ]


def doors() -> tuple[Door, ...]:
    """One door to each room off the corridor, and those of the stairs and of the corridor itself."""
    out: list[Door] = []
    rooms: dict[int, dict[str, tuple[int, ...]]] = {
        0: {"N": (7_500, 16_500, 28_500, 31_200), "S": (7_500, 13_500, 28_000, 40_800)},
        1: {"N": (7_000, 13_000, 19_000, 25_000, 31_000, 37_000), "S": (7_000, 13_000, 19_000, 26_500, 31_000, 37_000)},
        2: {
            "N": tuple(range(9_400, 42_000, 4_000)),
            "S": (9_400, 13_400, 17_400, 21_400, 29_400, 33_400, 37_400, 41_400),
        },
    }
    by_name = {wall.name: wall for wall in walls()}
    for level, sides in rooms.items():
        for side, places in sides.items():
            for x in places:
                host = next(
                    wall
                    for wall in by_name.values()
                    if wall.name.startswith(f"{level}-COR-{side}") and wall.start < x < wall.end
                )
                out.append(Door(f"Door {level}{side} {x}", host.name, x))
        for name, at in ((f"{level}-STW-E", 8_100), (f"{level}-STE-W", 8_100), (f"{level}-X30-C", 8_100)):
            out.append(Door(f"Door {name}", name, at, 1_600))
    return tuple(out)
