# SPDX-License-Identifier: Apache-2.0
"""The 150 dampers as they are meant: what each row of the schedule means, whatever its cells look like."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

__all__ = ["BUILDING", "LEVELS", "PER_LEVEL", "Meant", "designed"]

BUILDING = "Tarnbeck Lodge (invented)"
LEVELS = ("L00", "L01", "L02", "L03", "L04", "L05")
PER_LEVEL = 25

Pair = tuple[float, float | None]

_RECTANGULAR: tuple[Pair, ...] = ((300, 200), (400, 200), (400, 300), (500, 300), (600, 400), (700, 300), (250, 150))
_ROUND: tuple[Pair, ...] = ((160, None), (200, None), (250, None), (315, None))
_WALL, _FLOOR = "wall", "floor"
_BOTH = frozenset({"smoke detection", "thermal"})


@dataclass(frozen=True)
class Meant:
    """What one row means, by the keys of the schedule; None where it states nothing.

    `spelled` are the texts of cells that say something else than the plain spelling would; `kept` those of columns
    that nobody maps. `level` and `slot` place it in the sheet.
    """

    level: int
    slot: int
    kind: str
    facts: dict[str, Any]
    spelled: dict[str, Any] = field(default_factory=dict)
    kept: dict[str, Any] = field(default_factory=dict)

    @property
    def reference(self) -> str:
        """Its name in the schedule."""
        return str(self.facts["reference"])

    def means(self, **facts: Any) -> Meant:
        """The same row with other facts, in their plain spelling."""
        spelled = {key: text for key, text in self.spelled.items() if key not in facts}
        return replace(self, facts={**self.facts, **facts}, spelled=spelled)

    def shows(self, **texts: Any) -> Meant:
        """The same row with other texts in its cells; what they mean is stated by `means`, before."""
        return replace(self, spelled={**self.spelled, **texts})


def _kind(level: int, slot: int) -> str:
    if slot < 10:
        return "corridor"
    if slot < 16:
        return "compartment"
    if slot < 20:
        return "bedroom" if level >= 2 else "plant"
    if slot < 22:
        return "floor" if level >= 1 else "kitchen supply"
    return "shaft"


_BY_KIND: dict[str, dict[str, Any]] = {
    "corridor": {
        "role": "protected corridor",
        "wall_type_code": "F60",
        "rating": (60, 60),
        "space_a": ("escape route",),
        "space_b": ("general",),
        "method": "4 fire and smoke damper",
        "maker": "Tamsin Vane Works",
        "product": "Vane 60M",
        "class_text": "EI 60 (ve i↔o) S",
        "actuation": _BOTH,
        "fixing": "installation frame",
    },
    "compartment": {
        "role": "compartment wall",
        "wall_type_code": "B140",
        "rating": (120, None),
        "space_a": ("general",),
        "space_b": ("general",),
        "method": "1 fire damper",
        "maker": "Orlebek",
        "product": "Orlebek C4",
        "class_text": "E 120 (ve i↔o)",
        "actuation": frozenset({"thermal"}),
        "fixing": "built in with cleats",
    },
    "bedroom": {
        "role": "compartment wall",
        "wall_type_code": "F60",
        "rating": (60, None),
        "space_a": ("sleeping",),
        "space_b": ("general",),
        "method": "4 fire and smoke damper",
        "maker": "Tamsin Vane Works",
        "product": "Vane 60M",
        "class_text": "EI 60 (ve i↔o) S",
        "actuation": _BOTH,
        "fixing": "installation frame",
    },
    "shaft": {
        "role": "protected shaft",
        "wall_type_code": "S60",
        "rating": (60, 60),
        "space_a": ("general",),
        "space_b": ("general",),
        "method": "4 fire and smoke damper",
        "maker": "Tamsin Vane Works",
        "product": "Vane 60M",
        "class_text": "EI 60 (ve i↔o) S",
        "actuation": _BOTH,
        "fixing": "shaft wall, one-sided",
    },
    "floor": {
        "role": "compartment floor",
        "orientation": _FLOOR,
        "wall_type_code": "C250",
        "rating": (90, 90),
        "space_a": ("general",),
        "space_b": ("general",),
        "method": "1 fire damper",
        "maker": "Quillmere",
        "product": "Quill Q90",
        "class_text": "EI 90 (ho i↔o) S",
        "actuation": frozenset({"thermal"}),
        "fixing": "cast in or curb",
    },
}
_BY_KIND["plant"] = {**_BY_KIND["compartment"], "space_a": ("plant room",)}
_BY_KIND["kitchen supply"] = {
    **_BY_KIND["compartment"],
    "space_a": ("commercial kitchen",),
    "system": "commercial kitchen supply",
}


_VOLTAGES = ("24V", "24 V AC/DC", "230V AC")


def _stated_for_the_order(level: int, number: int, kind: str) -> dict[str, Any]:
    """What the row states beyond what is judged; one that heat alone closes has no voltage and no fail position."""
    wired = _BY_KIND[kind]["actuation"] == _BOTH
    hangs = kind != "floor"
    return {
        "weight_kg": 10 + 1.5 * (number % 12),
        "rod_count": 4 if hangs else None,
        "rod_length_mm": 500.0 + 50 * (number % 8) if hangs else None,
        "voltage": _VOLTAGES[number % 3] if wired else None,
        "fail_position": "closed" if wired else None,
        "air_l_s": 60.0 + 20 * (number % 20),
        "phase": f"Ph {1 + level // 2}",
    }


def _facts(level: int, slot: int) -> dict[str, Any]:
    kind = _kind(level, slot)
    number = level * PER_LEVEL + slot
    size = _ROUND[number % len(_ROUND)] if slot % 5 == 4 else _RECTANGULAR[number % len(_RECTANGULAR)]
    across, up = size
    hole = (across + 100, (across if up is None else up) + 100)
    return {
        "reference": f"FD-{level}-{slot + 1:02}",
        "storey": LEVELS[level],
        "words": f"{chr(ord('A') + slot % 6)}/{slot + 1}",
        "orientation": _WALL,
        "system": "supply" if slot % 2 == 0 else "toilet extract" if kind in {"bedroom", "shaft"} else "extract",
        "duct_size": size,
        "damper_present": True,
        "damper_size": size,
        "access_side": "corridor side" if kind == "corridor" else "room side",
        "position": "in the barrier",
        "framed_size": hole,
        "access_door": True,
        **_BY_KIND[kind],
        **_stated_for_the_order(level, number, kind),
    }


def designed() -> list[Meant]:
    """The rows as designed, in the order of the sheet, before any fault: each sound but for the evidence."""
    return [
        Meant(level, slot, _kind(level, slot), _facts(level, slot))
        for level in range(len(LEVELS))
        for slot in range(PER_LEVEL)
    ]
