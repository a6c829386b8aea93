# SPDX-License-Identifier: Apache-2.0
"""Jobs of schedule rows alone whose dampers are to be built, so that sheets of theirs are for construction.

standard_job(folder, [ready_row("FD-01"), ready_row("FD-02", grid="C/4")])     two that are alike but for their grid
with_rows(folder, [...])                                                        the same job with other rows

All names and values are invented; the evidence is the example of the docs.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tests.helpers.schedule_jobs import damper_row, schedule_job, write_rows

__all__ = ["ready_row", "standard_job", "with_rows"]

_PRODUCTS = """\
schema = 1
maker = "Harrow & Vale (invented)"
invented = true

[[product]]
product = "HV-10"
document = "HV-10 data sheet, issue 1 (invented)"
handings = ["left", "right"]
finishes = ["galvanised"]
accessories = ["test switch"]
casing_length_mm = 300
blade_from_end_mm = 150
mechanism_beyond_mm = 80
least_door_width_mm = 250
least_door_height_mm = 200
door_within_mm = 450
zone_depth_mm = 600
joint_travel_mm = 60
delivery_weeks = 4

[[product.actuator]]
code = "L72"
words = "fusible link 72 °C (invented)"
voltages = []
end_switches = false
fail_position = "closed"

[[seal]]
name = "Cinderlock M5 mortar"
cure_h = 48
unit_words = "bag"
unit_litres = 12
"""

_STATED: dict[str, Any] = {
    "formed": False,
    "centre_above_floor_mm": 2900,
    "grid": "B/3",
    "lintel": "lintel L1",
    "opening_by": "wall builder",
    "when": "stage 3",
    "handing": "left",
    "actuator": "L72",
    "voltage": "none",
    "end_switches": False,
    "finish": "galvanised",
    "accessories": ("test switch",),
    "phase": "Phase 1",
    "run_between_fixed_mm": 1500,
    "door_width_mm": 300,
    "door_height_mm": 250,
    "door_distance_mm": 300,
    "zone_width_mm": 700,
    "zone_depth_mm": 700,
    "reach_both_sides": False,
    "ceiling": "none",
    "fan_in_fire": "stops",
}


def ready_row(reference: str, **changes: Any) -> dict[str, Any]:
    """A row that leaves nothing to settle that its builder needs; None leaves a cell empty."""
    return damper_row(reference, **{"words": f"room of {reference}", **_STATED, **changes})


def standard_job(folder: Path, rows: Iterable[dict[str, Any]], *, shared: bool = True) -> Path:
    """A job of these rows whose sheets may be shared by penetrations that are alike."""
    job = schedule_job(folder, rows)
    (job / "evidence" / "products.toml").write_text(_PRODUCTS, "utf-8")
    if shared:
        path = job / "brattice.toml"
        path.write_text(path.read_text("utf-8") + "\n[sketches]\nstandard_details = true\n", "utf-8")
    return job


def with_rows(folder: Path, rows: Iterable[dict[str, Any]]) -> None:
    """Other rows in the schedule of a job; ids and what was issued stay."""
    write_rows(folder / "schedule" / "schedule.xlsx", rows)
