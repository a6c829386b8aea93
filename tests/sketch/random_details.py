# SPDX-License-Identifier: Apache-2.0
"""Random installation details: any size, barrier, fixing, neighbours, missing facts, and names that anybody may write.

Seeded, so that what failed once can be looked at again. All names and values are invented.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from brattice.building.words import CeilingKind, FixingFamily, Handing, Joint, MountingPosition, SlabKind, SupportKind
from brattice.details import Figure, HoldPoint, InstallationDetail, Neighbour, Standing, Step
from brattice.details.zone import InZone
from brattice.findings import Known, Missing, Party
from brattice.quantities import Mm
from brattice.sketch.shape import shape_of
from tests.helpers.details import detail_of, figure, product_facts
from tests.helpers.penetrations import ORIGIN

__all__ = ["HOSTILE", "random_detail"]

HOSTILE = (
    "Ö" * 90,
    "W" * 60,
    "a name that goes on and on, with words of all lengths, as people write them when nobody stops them; " * 3,
    "漢字カタカナ\u202eright to left\u202c",
    "👷🏽 site\x00team\n\tat\x7fwork",
    "<script>alert(1)</script> & \"quotes\" 'and' \\slashes//",
    "مخمد الحريق",
    "x",
    "...",
    "1,200 × 1,200 mm (see drawing M-57-2201-REV-P04, note 17, and the letter of the 3rd)",
)
_PLAIN = ("Cinderlock A2 sealant", "corridor side", "L1-03", "B/3", "solid concrete", "M10", "none", "week 14")


def _word(chance: random.Random) -> str:
    return chance.choice(HOSTILE) if chance.random() < 0.25 else chance.choice(_PLAIN)


def _length(chance: random.Random, low: float, high: float) -> float:
    return float(chance.choice((round(chance.uniform(low, high)), round(chance.uniform(low, high), 1), low, high)))


def _sized(chance: random.Random, base: InstallationDetail) -> dict[str, Figure | None]:
    """Sizes, gaps and openings that belong together, with lengths along the duct."""
    is_round = base.figure("duct-diameter") is not None
    width, height = _length(chance, 100, 1500), _length(chance, 100, 1000)
    lining = chance.choice((0.0, 12.5, 25.0, 40.0))
    gaps = [_length(chance, 5, 90) for _ in range(4)]
    if chance.random() < 0.5 or is_round:
        gaps = [gaps[0]] * 4
    made: dict[str, Figure | None] = {}
    sides: Sequence[tuple[str, float, float]] = (
        ("width", width, gaps[0] + gaps[1]),
        ("height", height, gaps[2] + gaps[3]),
    )
    if is_round:
        sides = (("diameter", min(width, height), 2 * gaps[0]),)
    for what, side, beyond in sides:
        made[f"duct-{what}"] = figure(f"duct-{what}", f"Duct {what}", side, "mm")
        made[f"damper-{what}"] = figure(f"damper-{what}", f"Damper {what}", side, "mm")
        made[f"finished-{what}"] = figure(f"finished-{what}", f"Finished clear opening, {what}", side + beyond, "mm")
        framed = side + beyond + 2 * lining
        made[f"framed-{what}"] = figure(f"framed-{what}", f"Framed opening, {what}", framed, "mm")
    for name, gap in zip(("left", "right", "top", "bottom"), gaps, strict=True):
        verdict = chance.choice(("pass", "pass", "fail", "unknown"))
        made[f"gap-{name}"] = figure(f"gap-{name}", f"Gap {name}", gap, "mm", limit="40 to 50 mm", verdict=verdict)
    made["lining"] = figure("lining", "Lining on each reveal", lining, "mm") if lining else None
    for key, low, high in (
        ("barrier-thickness", 60, 450), ("casing-length", 120, 700), ("blade-offset", -120, 120),
        ("mechanism-beyond", 20, 250), ("seal-depth", 20, 300), ("rod-length", 200, 3000), ("door-width", 150, 700),
        ("door-height", 150, 700), ("door-distance", 50, 1200), ("zone-width", 300, 1500), ("zone-depth", 300, 1500),
    ):  # fmt: skip
        made[key] = figure(key, key.replace("-", " ").capitalize(), _length(chance, low, high), "mm")
    return made


def _worded(chance: random.Random) -> dict[str, Figure | None]:
    every = {
        "handing": [str(item) for item in Handing],
        "joint-a": [str(item) for item in Joint],
        "joint-b": [str(item) for item in Joint],
        "support": [str(item) for item in SupportKind],
        "ceiling": [str(item) for item in CeilingKind],
        "slab": [str(item) for item in SlabKind],
        "gap-from": ["duct", "casing", "flange"],
    }
    made: dict[str, Figure | None] = {
        key: figure(key, key.capitalize(), None, "", chance.choice(words)) for key, words in every.items()
    }
    for key in ("seal-product", "fixing", "grid", "lintel", "access-side", "anchor", "panel-address", "existing-off"):
        made[key] = figure(key, key.capitalize(), None, "", _word(chance))
    if chance.random() < 0.5:
        made["hatch-width"] = figure("hatch-width", "Hatch, width", 600, "mm")
        made["hatch-height"] = figure("hatch-height", "Hatch, length", 600, "mm")
    return made


def _neighbours(chance: random.Random) -> tuple[Neighbour, ...]:
    made = []
    for _ in range(chance.choice((0, 0, 1, 2, 3, 6, 11))):
        kind = chance.choice(("damper", "wall", "floor"))
        clear = figure("clear", "Clear", _length(chance, 10, 900), "mm", limit="at least 200 mm", verdict="pass")
        if chance.random() < 0.2:
            clear = figure("clear", "Clear", None, "mm", ask=Party.SERVICES_DESIGNER)
        name = kind if kind != "damper" else chance.choice(("P-0002", _word(chance)))
        made.append(Neighbour(name, kind, chance.choice(("left", "right", "above", "below", "")), clear))
    return tuple(made)


def _beyond(left: float, right: float, top: float, bottom: float) -> tuple[Mm, Mm, Mm, Mm]:
    return Mm(left), Mm(right), Mm(top), Mm(bottom)


def random_detail(seed: int) -> InstallationDetail:
    """The detail of a seed."""
    chance = random.Random(seed)
    base = detail_of(chance.choice(("flexible wall", "flexible wall", "round in block wall", "floor", "missing facts")))
    changed = {**_sized(chance, base), **_worded(chance)}
    for key in [*changed, *(item.key for item in base.figures)]:
        roll = chance.random()
        if roll < 0.06:
            have = changed.get(key) or base.figure(key)
            named = key if have is None else have.name
            changed[key] = figure(key, named, None, "mm", ask=chance.choice(list(Party)))
        elif roll < 0.09:
            changed[key] = None
    steps = tuple(
        Step(number, chance.choice(list(Party)), " ".join(_word(chance) for _ in range(chance.randint(1, 4))),
             chance.choice((None, *HoldPoint)), _word(chance))
        for number in range(1, chance.choice((1, 4, 7, 14)))
    )  # fmt: skip
    settle = tuple(
        Missing(f"penetration/{number}", _word(chance), chance.choice(list(Party)))
        for number in range(chance.choice((0, 0, 2, 8, 30)))
    )
    tested = base.tested
    if tested is not None:
        beyond = chance.choice((None, _beyond(0, 0, 0, 0), _beyond(12, 12, 12, 12), _beyond(0, 60, 5, 30)))
        tested = replace(
            tested,
            fixing=chance.choice(list(FixingFamily)),
            position=chance.choice([MountingPosition.IN_BARRIER, *MountingPosition]),
            support=chance.choice((None, *SupportKind)),
            casing_beyond_mm=beyond,
            maker=_word(chance),
            product=_word(chance),
        )
    product = product_facts(
        blade_swings_mm=chance.choice((None, Mm(0), Mm(180))),
        blade_from_end_mm=chance.choice((None, Mm(90))),
        section_widths_mm=chance.choice(((), (Mm(400), Mm(600)))),
    )
    place = base.penetration
    changes: dict[str, Any] = {"location": replace(place.location, words=_word(chance))}
    changes["detail"] = replace(place.detail, reach_both_sides=Known(chance.random() < 0.3, ORIGIN))
    changes["aliases"] = tuple(("schedule", _word(chance)) for _ in range(chance.randint(0, 2)))
    if place.barrier.wall_type is not None and chance.random() < 0.3:
        wall = replace(place.barrier.wall_type, material=Known(_word(chance), ORIGIN))
        changes["barrier"] = replace(place.barrier, wall_type=wall)
    made = detail_of(
        "flexible wall",
        penetration=replace(place, **changes),
        tested=tested,
        product=chance.choice((None, product)),
        steps=steps,
        neighbours=_neighbours(chance),
        to_settle=settle,
        problems=tuple(_word(chance) for _ in range(chance.choice((0, 0, 2)))),
        standing=chance.choice((Standing.TO_BUILD, Standing.TO_BE_SETTLED)),
        why=_word(chance),
        class_asked=chance.choice(("", "EI 60 (ve i↔o) S")),
        changes=tuple(_word(chance) for _ in range(chance.choice((0, 0, 3)))),
        deviation=chance.choice(("", _word(chance))),
        figures={**{item.key: None for item in detail_of("flexible wall").figures},
                 **{item.key: item for item in base.figures}, **changed},
    )  # fmt: skip
    return replace(made, in_zone=_in_zone(chance, made))


def _in_zone(chance: random.Random, detail: InstallationDetail) -> tuple[InZone, ...]:
    """Up to five things somewhere in the working zone, as models may show them, on either side of the barrier."""
    shape = shape_of(detail)
    if shape.door is None or shape.door.zone is None:
        return ()
    wide, deep = shape.door.zone
    middle = (shape.door.start + shape.door.end) / 2
    found = []
    for _ in range(chance.choice((0, 0, 1, 2, 5))):
        a, b = sorted(chance.uniform(middle - wide / 2, middle + wide / 2) for _ in range(2))
        near, far = sorted(chance.uniform(0.0, deep) for _ in range(2))
        side = "B"
        if chance.random() < 0.2:
            a, b, side = 2 * shape.blade - b, 2 * shape.blade - a, "A"
        found.append(InZone((a, b), (near, far), side, f"pipe '{_word(chance)}': {near:.0f} mm from the duct"))
    return tuple(found)
