# SPDX-License-Identifier: Apache-2.0
"""What is stated of a penetration beyond what is judged: order, support, access, air, controls, builders' work.

None says that nobody states it; whoever needs the value then holds the line or leaves the number *to be settled*.
Lengths in millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from brattice.building.words import CeilingKind, FailPosition, FanInFire, Handing, SlabKind
from brattice.findings import Known, Missing, Party
from brattice.quantities import Kg, Mm, Pa

__all__ = [
    "DETAIL_FIELDS",
    "DETAIL_GROUPS",
    "MODEL_LEVEL",
    "NOTHING_STATED",
    "DetailFacts",
    "detail_field",
    "missing_detail",
]

MODEL_LEVEL = "from the model's level"
"""Stands in the origin of a height that a model gives: its level may be that of the finished floor."""


@dataclass(frozen=True, slots=True)
class DetailFacts:
    """What a row of a schedule states beyond what is judged; every field None unless stated.

    `centre_above_floor_mm` is from the structural floor of the storey to the centre of the duct. `rod_length_mm` is
    from the damper to the underside of what the rods hang from. `fixing_kind` and `fixing_spacing_mm` are of the
    fixings that hold the damper, from one to the next. `run_between_fixed_mm` is the length of duct between
    two fixed points that the damper's joints have to take up; `joint_travel_mm` what they can. `door_*` are of the
    access door in the duct, `door_distance_mm` from its edge to the blade; `zone_*` of the clear working zone before
    it; `reach_both_sides` that mechanism and blade have to be reached from both sides; `zone_clear` that somebody saw
    nothing stand in the working zone. `air_l_s` is the design air
    flow, `system_pressure_pa` the static pressure that the closed blade holds. `when` is the builder's date or stage
    in words. `detector` is the mark or address of what detects and closes it, of each where there are several.
    `accessories` is empty where the row states that there are none.
    """

    grid: Known[str] | None = None
    centre_above_floor_mm: Known[Mm] | None = None
    phase: Known[str] | None = None
    handing: Known[Handing] | None = None
    actuator: Known[str] | None = None
    voltage: Known[str] | None = None
    end_switches: Known[bool] | None = None
    finish: Known[str] | None = None
    accessories: Known[tuple[str, ...]] | None = None
    weight_kg: Known[Kg] | None = None
    fixing_kind: Known[str] | None = None
    fixing_spacing_mm: Known[Mm] | None = None
    rod_size: Known[str] | None = None
    rod_count: Known[int] | None = None
    rod_length_mm: Known[Mm] | None = None
    rods_protected: Known[bool] | None = None
    slab: Known[SlabKind] | None = None
    anchor: Known[str] | None = None
    run_between_fixed_mm: Known[Mm] | None = None
    joint_travel_mm: Known[Mm] | None = None
    door_width_mm: Known[Mm] | None = None
    door_height_mm: Known[Mm] | None = None
    door_distance_mm: Known[Mm] | None = None
    zone_width_mm: Known[Mm] | None = None
    zone_depth_mm: Known[Mm] | None = None
    reach_both_sides: Known[bool] | None = None
    zone_clear: Known[bool] | None = None
    ceiling: Known[CeilingKind] | None = None
    hatch_width_mm: Known[Mm] | None = None
    hatch_height_mm: Known[Mm] | None = None
    air_l_s: Known[float] | None = None
    system_pressure_pa: Known[Pa] | None = None
    fan_in_fire: Known[FanInFire] | None = None
    detector_zone: Known[str] | None = None
    detector: Known[str] | None = None
    fail_position: Known[FailPosition] | None = None
    panel_address: Known[str] | None = None
    lintel: Known[str] | None = None
    opening_by: Known[str] | None = None
    when: Known[str] | None = None


NOTHING_STATED = DetailFacts()
"""The facts of a penetration that no schedule says more of."""

DETAIL_FIELDS: Mapping[str, tuple[str, Party]] = {
    "grid": ("The grid lines it lies on", Party.ARCHITECT),
    "centre_above_floor_mm": ("The height of its centre above the structural floor", Party.SERVICES_DESIGNER),
    "phase": ("The phase in which it is delivered", Party.DUCTWORK_CONTRACTOR),
    "handing": ("On which side the mechanism sits, looking along the airflow", Party.SERVICES_DESIGNER),
    "actuator": ("Which actuator or release the damper has", Party.SERVICES_DESIGNER),
    "voltage": ("The voltage of the actuator", Party.SERVICES_DESIGNER),
    "end_switches": ("Whether the damper has end switches", Party.SERVICES_DESIGNER),
    "finish": ("The finish of the damper", Party.SERVICES_DESIGNER),
    "accessories": ("The accessories of the damper", Party.SERVICES_DESIGNER),
    "weight_kg": ("The weight of the damper", Party.DAMPER_SUPPLIER),
    "fixing_kind": ("The kind and size of the fixings that hold the damper", Party.DUCTWORK_CONTRACTOR),
    "fixing_spacing_mm": ("How far apart the fixings of the damper are", Party.DUCTWORK_CONTRACTOR),
    "rod_size": ("The thread of the drop rods", Party.DUCTWORK_CONTRACTOR),
    "rod_count": ("How many drop rods carry the damper", Party.DUCTWORK_CONTRACTOR),
    "rod_length_mm": ("The length of the drop rods", Party.DUCTWORK_CONTRACTOR),
    "rods_protected": ("Whether the drop rods are protected against fire", Party.DUCTWORK_CONTRACTOR),
    "slab": ("What the drop rods hang from", Party.PRINCIPAL_CONTRACTOR),
    "anchor": ("The anchor of the drop rods, with its fire evidence", Party.DUCTWORK_CONTRACTOR),
    "run_between_fixed_mm": ("The length of duct between fixed points", Party.SERVICES_DESIGNER),
    "joint_travel_mm": ("How far the duct joint can travel", Party.DAMPER_SUPPLIER),
    "door_width_mm": ("The width of the access door", Party.DUCTWORK_CONTRACTOR),
    "door_height_mm": ("The height of the access door", Party.DUCTWORK_CONTRACTOR),
    "door_distance_mm": ("The distance from the access door to the blade", Party.DUCTWORK_CONTRACTOR),
    "zone_width_mm": ("The width of the clear working zone", Party.SERVICES_DESIGNER),
    "zone_depth_mm": ("The depth of the clear working zone", Party.SERVICES_DESIGNER),
    "reach_both_sides": ("Whether it has to be reached from both sides", Party.SERVICES_DESIGNER),
    "zone_clear": ("Whether the working zone was seen to be clear", Party.SERVICES_DESIGNER),
    "ceiling": ("What ceiling is below it", Party.ARCHITECT),
    "hatch_width_mm": ("The width of the ceiling hatch", Party.ARCHITECT),
    "hatch_height_mm": ("The length of the ceiling hatch", Party.ARCHITECT),
    "air_l_s": ("The design air flow", Party.SERVICES_DESIGNER),
    "system_pressure_pa": ("The static pressure of the system at the closed blade", Party.SERVICES_DESIGNER),
    "fan_in_fire": ("Whether the fan stops or runs in a fire", Party.FIRE_ENGINEER),
    "detector_zone": ("The detector zone that closes it", Party.FIRE_ENGINEER),
    "detector": ("The detector that closes it, by its mark or address", Party.SERVICES_DESIGNER),
    "fail_position": ("Where it goes when power or signal is lost", Party.FIRE_ENGINEER),
    "panel_address": ("Its address on the panel", Party.SERVICES_DESIGNER),
    "lintel": ("The lintel or trimmer over the opening", Party.ARCHITECT),
    "opening_by": ("Who forms the opening", Party.PRINCIPAL_CONTRACTOR),
    "when": ("When the opening is formed", Party.PRINCIPAL_CONTRACTOR),
}
"""Every field of `DetailFacts`: how a question names it and whom it goes to (handbook 5.4)."""

DETAIL_GROUPS: Mapping[str, tuple[str, ...]] = {
    "Order": ("phase", "handing", "actuator", "voltage", "end_switches", "finish", "accessories"),
    "Support in fire": (
        "weight_kg", "fixing_kind", "fixing_spacing_mm", "rod_size", "rod_count", "rod_length_mm", "rods_protected",
        "slab", "anchor", "run_between_fixed_mm", "joint_travel_mm",
    ),
    "Access": (
        "door_width_mm", "door_height_mm", "door_distance_mm", "zone_width_mm", "zone_depth_mm", "reach_both_sides",
        "zone_clear",
        "ceiling", "hatch_width_mm", "hatch_height_mm",
    ),
    "Air": ("air_l_s", "system_pressure_pa"),
    "Alarm and controls": ("fan_in_fire", "detector_zone", "detector", "fail_position", "panel_address"),
    "Builders' work": ("grid", "centre_above_floor_mm", "lintel", "opening_by", "when"),
}  # fmt: skip
"""Every field of `DetailFacts` in the group of the schedule that states it."""


def _short(field: str) -> str:
    for unit in ("_mm", "_kg", "_pa", "_l_s"):
        field = field.removesuffix(unit)
    return field.replace("_", "-")


_SHORT = {field: _short(field) for field in DETAIL_FIELDS}
_FIELD_OF = {short: field for field, short in _SHORT.items()}


def detail_field(tail: str) -> str:
    """The field of `DetailFacts` that ends the key of a missing fact: `"rod-length"` is `"rod_length_mm"`; "" for
    none.
    """
    return _FIELD_OF.get(tail, "")


def missing_detail(penetration_id: str, field: str) -> Missing:
    """The missing fact of a field of `DetailFacts`; its key has no unit and hyphens."""
    words, ask = DETAIL_FIELDS[field]
    return Missing(f"penetration/{penetration_id}/{_SHORT[field]}", f"{words}: {penetration_id}", ask)
