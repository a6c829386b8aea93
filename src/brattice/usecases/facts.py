# SPDX-License-Identifier: Apache-2.0
"""The provenance of a penetration: each known fact with its value as text and where it comes from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import lru_cache

from brattice.building.detail_facts import DETAIL_GROUPS, DetailFacts
from brattice.building.penetration import Penetration, Sides, Size
from brattice.building.wall_type import Rating
from brattice.findings import Known, Unknown
from brattice.quantities import number_text, size_text

__all__ = ["facts_of", "label_of", "value_text"]

_UNITS = (
    ("_mm", "mm"),
    ("_deg", "°"),
    ("_kg_m3", "kg/m³"),
    ("_min", "min"),
    ("_kg", "kg"),
    ("_pa", "Pa"),
    ("_l_s", "l/s"),
)
_CALLED = {
    "opening: framed": "framed opening",
    "opening: finished": "finished clear opening",
    "air: air": "air: design air flow",
    "builders' work: opening by": "builders' work: framed opening formed by",
    "builders' work: when": "builders' work: framed opening formed when",
}
"""Never a bare "opening" where a dimension follows."""
_SKIPPED = {"to_be_settled", "model_queries", "remarks", "aliases", "id", "key", "detail"}
_GROUP_OF = {name: group.lower() for group, names in DETAIL_GROUPS.items() for name in names}


@lru_cache(maxsize=1024)
def label_of(field_name: str) -> str:
    """A field's name as people read it: `"stud_size_mm"` is `"stud size"`."""
    name = field_name
    for ending, _ in _UNITS:
        name = name.removesuffix(ending)
    return name.replace("_", " ")


def value_text(value: object, field_name: str = "") -> str:
    """A fact's value as people read it, with the unit that its field's name carries."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Size):
        return size_text(value.width_mm, value.height_mm)
    if isinstance(value, Sides):
        sides = (("left", value.left_mm), ("right", value.right_mm), ("top", value.top_mm), ("bottom", value.bottom_mm))
        return ", ".join(f"{name} {number_text(side)}" for name, side in sides) + " mm"
    if isinstance(value, Rating):
        return value.text
    if isinstance(value, frozenset):
        return ", ".join(sorted(value_text(item) for item in value))
    if isinstance(value, tuple):
        return ", ".join(value_text(item) for item in value) or ("none" if field_name == "accessories" else "")
    if isinstance(value, int | float):
        unit = next((unit for ending, unit in _UNITS if field_name.endswith(ending)), "")
        return f"{number_text(value)} {unit}".strip()
    return str(value)


def _walk(thing: object, prefix: str) -> Iterable[tuple[str, str, str]]:
    if not is_dataclass(thing):
        return
    for item in fields(thing):
        value = getattr(thing, item.name)
        name = f"{prefix}{label_of(item.name)}"
        if isinstance(value, Known):
            yield name, value_text(value.value, item.name), str(value.origin)
        elif isinstance(value, Unknown):
            continue
        elif is_dataclass(value):
            yield from _walk(value, f"{label_of(item.name)}: " if item.name != "location" else "")


def _detail(detail: DetailFacts) -> Iterable[tuple[str, str, str]]:
    """What is stated beyond what is judged, each under the group of the schedule that it stands in."""
    for name, group in _GROUP_OF.items():
        value: Known[object] | None = getattr(detail, name)
        if value is not None:
            yield f"{group}: {label_of(name)}", value_text(value.value, name), str(value.origin)


def facts_of(penetration: Penetration) -> tuple[tuple[str, str, str], ...]:
    """Every known fact as (name, value, origin), in the order in which the penetration holds them."""
    found: list[tuple[str, str, str]] = []
    for item in fields(penetration):
        if item.name in _SKIPPED:
            continue
        value = getattr(penetration, item.name)
        label = label_of(item.name)
        if isinstance(value, Known):
            found.append((label, value_text(value.value, item.name), str(value.origin)))
        elif is_dataclass(value):
            found += _walk(value, f"{label}: " if item.name != "location" else "")
        elif item.name == "separations":
            for separation in value:
                if isinstance(separation.distance_mm, Known):
                    name = f"clear distance to {separation.to}, {separation.from_surface} to {separation.to_surface}"
                    text = value_text(separation.distance_mm.value, "distance_mm")
                    found.append((name, text, str(separation.distance_mm.origin)))
    found += _detail(penetration.detail)
    return tuple((_CALLED.get(name, name), value, origin) for name, value, origin in found)
