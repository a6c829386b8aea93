# SPDX-License-Identifier: Apache-2.0
"""The damper schedule and the sheet of wall types: templates that we write, and strict reading."""

from brattice.adapters.sheets.schedule import (
    FileRead,
    ScheduleRead,
    facts_of_row,
    read_schedules,
    repeated_names,
    schedule_bytes,
)
from brattice.adapters.sheets.schedule_columns import SCHEDULE
from brattice.adapters.sheets.single import stated_of_penetration, stated_of_wall_type
from brattice.adapters.sheets.wall_type_columns import WALL_TYPES
from brattice.adapters.sheets.wall_types import WallTypesRead, read_wall_types, wall_types_bytes

__all__ = [
    "SCHEDULE",
    "WALL_TYPES",
    "FileRead",
    "ScheduleRead",
    "WallTypesRead",
    "facts_of_row",
    "read_schedules",
    "read_wall_types",
    "repeated_names",
    "schedule_bytes",
    "stated_of_penetration",
    "stated_of_wall_type",
    "wall_types_bytes",
]
