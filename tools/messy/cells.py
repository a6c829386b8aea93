# SPDX-License-Identifier: Apache-2.0
"""How a meaning is spelled in a cell: the many spellings of the trade, one after the other."""

from __future__ import annotations

from typing import Any

from tools.messy.rows import Meant, Pair

__all__ = ["cell_of"]

_ROLE = {"protected corridor": "Protected corridor", "protected shaft": "Protected shaft"}
_SYSTEM = {
    "supply": ("Supply", "SA", "supply air"),
    "extract": ("General extract", "Office extract", "general extract"),
    "toilet extract": ("WC extract", "Toilet extract", "toilet ext"),
    "commercial kitchen supply": ("Commercial kitchen supply",),
    "commercial kitchen extract": ("Commercial kitchen extract", "commercial kitchen canopy extract"),
    "smoke extract": ("Smoke extract", "Smoke ventilation extract"),
}
_SPACE = {
    "general": ("Office", "Store", "Classroom"),
    "escape route": ("Escape corridor", "Escape route"),
    "sleeping": ("Bedroom", "Guest bedroom"),
    "plant room": ("Plant room", "Plantroom"),
    "commercial kitchen": ("Commercial kitchen",),
}
_ACTUATION = {
    frozenset({"thermal"}): ("fusible link", "72°C fusible link", "Thermal"),
    frozenset({"smoke detection"}): ("smoke detector", "Smoke detection"),
    frozenset({"smoke detection", "thermal"}): ("fusible link + smoke detector", "thermal; smoke detection"),
}
_RATING: dict[tuple[int, int | None], tuple[str, ...]] = {
    (120, None): ("2hr", "120 mins", "2 HR", "120 min"),
    (60, None): ("1hr", "60 mins", "60 min"),
    (60, 60): ("EI 60", "EI60"),
    (90, 90): ("REI 90",),
    (0, None): ("unrated",),
}
_POSITION = {"in the barrier": ("In wall", "within wall")}
_METHOD = {"1 fire damper": ("Method 1", "method 1"), "4 fire and smoke damper": ("Method 4", "method 4")}


def _size(size: Pair, turn: int) -> str:
    across, up = size
    if up is None:
        return (f"Ø{across:g}", f"{across:g} dia", f"{across:g}ø", f"DIA {across:g}")[turn % 4]
    return (
        f"{across:g}x{up:g}",
        f"{across:g} × {up:g}",
        f"{across:g} x {up:g}",
        f"W{across:g} H{up:g}",
        f"{across:g}*{up:g}",
        f"{up:g}H x {across:g}W",
        f"{across / 10:g}cm x {up / 10:g}cm",
    )[turn % 7]


_WITH_UNITS = {"weight_kg": "kg", "air_l_s": "l/s", "rod_length_mm": "m", "rod_count": ""}


def _with_unit(key: str, value: float, turn: int) -> Any:
    """A number as people type it: plain, as text, with its unit; the length of rods in metres, as its heading says."""
    number = value / 1000 if key == "rod_length_mm" else value
    unit = _WITH_UNITS[key]
    return (number, f"{number:g}", f"{number:g} {unit}".strip(), f"{number:g}{unit}")[turn % 4]


def _one(words: tuple[Any, ...], turn: int) -> Any:
    return words[turn % len(words)]


def cell_of(row: Meant, key: str, turn: int) -> Any:
    """The content of the cell under a key; None for an empty one. `turn` picks the spelling."""
    if key in row.spelled:
        return row.spelled[key]
    value = row.facts.get(key)
    if value is None:
        return _one(("N/A", None, "n/a", "-"), turn) if key in {"voltage", "fail_position", "rod_count"} else None
    if key in _WITH_UNITS:
        return _with_unit(key, value, turn)
    if key.endswith("_size"):
        return _size(value, turn)
    if key in {"damper_present", "access_door"}:
        return _one(("Y", "Yes", "✓") if value else ("N", "no"), turn)
    if key in {"space_a", "space_b"}:
        return "; ".join(_one(_SPACE[item], turn) for item in value)
    spellings: dict[str, dict[Any, tuple[str, ...]]] = {
        "system": {**_SYSTEM},
        "actuation": {**_ACTUATION},
        "rating": {**_RATING},
        "fail_position": {"closed": ("Closed", "closed", "fail closed", "CLOSED")},
        "position": {} if row.facts["orientation"] == "floor" else {**_POSITION},
        "method": {**_METHOD},
    }
    words = spellings.get(key, {})
    if value in words:
        return _one(words[value], turn)
    if key in {"role", "orientation", "position"}:
        return str(value).capitalize()
    return value
