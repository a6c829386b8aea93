# SPDX-License-Identifier: Apache-2.0
"""Jobs that are a schedule and a sheet of wall types alone, written to disk in a moment; all invented."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from brattice.adapters.sheets import schedule_bytes, wall_types_bytes
from tests.helpers.jobs import ORDINARY_ROW, ORDINARY_WALL, STAMP

__all__ = ["PLAIN_ROW", "SECOND_WALL", "damper_row", "schedule_job", "write_rows"]

PLAIN_ROW: dict[str, Any] = {
    **{key: value for key, value in ORDINARY_ROW.items() if key != "duct_guids"},
    "reference": "FD-01",
    "storey": "Level 1",
    "words": "grid B/3",
    "orientation": "wall",
    "duct_width_mm": 600,
    "duct_height_mm": 400,
    "angle_deg": 0,
    "maker": "Harrow & Vale (invented)",
    "product": "HV-10",
    "opening_shape": "rectangular",
    "framed_width_mm": 700,
    "framed_height_mm": 500,
    "finished_width_mm": 700,
    "finished_height_mm": 500,
    "gap_left_mm": 50,
    "gap_right_mm": 50,
    "gap_top_mm": 50,
    "gap_bottom_mm": 50,
    "gaps_from": "duct",
    "near_damper": "none",
    "near_damper_mm": 2000,
    "near_damper_from": "casing",
    "near_damper_to": "casing",
    "near_damper_fill": "supporting construction",
    "near_wall_mm": 2000,
    "near_wall_from": "casing",
    "near_floor_mm": 1000,
    "near_floor_from": "casing",
}
"""One row that states everything, so that the example evidence holds for it without any model."""

SECOND_WALL: dict[str, Any] = {**ORDINARY_WALL, "code": "W2", "rating": "EI 120", "density_kg_m3": 1500}


def damper_row(reference: str, **changes: Any) -> dict[str, Any]:
    """The plain row under another name, with changes by column key; None leaves a cell empty."""
    return {**PLAIN_ROW, "reference": reference, **changes}


def write_rows(path: Path, rows: Iterable[dict[str, Any]]) -> Path:
    """A schedule of ours as XLSX."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(schedule_bytes(list(rows), stamp=STAMP))
    return path


def schedule_job(
    folder: Path, rows: Iterable[dict[str, Any]], walls: Iterable[dict[str, Any]] = (ORDINARY_WALL, SECOND_WALL)
) -> Path:
    """A job folder with these rows and wall types and the example evidence of the docs."""
    write_rows(folder / "schedule" / "schedule.xlsx", rows)
    (folder / "schedule" / "wall-types.xlsx").write_bytes(wall_types_bytes(list(walls), stamp=STAMP))
    (folder / "evidence").mkdir()
    root = Path(__file__).resolve().parents[2]
    shutil.copy(root / "docs" / "example-evidence.toml", folder / "evidence" / "example.toml")
    (folder / "brattice.toml").write_text(
        """schema = 1
name = "Invented schedule"
jurisdiction = "England"
edition = "ADB 2019 with amendments to 2026"
as_of = 2026-11-02
purpose = "non-residential"
schedules = ["schedule/schedule.xlsx"]
wall_type_sheets = ["schedule/wall-types.xlsx"]
evidence = ["evidence"]
invented = true

[dates]
order = 2026-11-02
placed_on_market = 2026-11-02
installation = 2027-02-01
handover = 2027-06-01
""",
        "utf-8",
    )
    return folder
