# SPDX-License-Identifier: Apache-2.0
"""Whole jobs in memory: sheets and evidence through their own readers, models as facts, judged without a child.

Each world is one penetration that is within scope; a test takes one fact away, makes it wrong or contradicts it.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any

from brattice.adapters.evidence.toml_reader import read_evidence_toml
from brattice.adapters.rows import shipped_book
from brattice.adapters.sheets import read_schedules, read_wall_types, schedule_bytes, wall_types_bytes
from brattice.building.penetration import Separation, Sides, Size
from brattice.building.wall_type import Rating
from brattice.building.words import MountingPosition, OpeningShape, Orientation, SeparationFill, Service, Surface
from brattice.classes import ClassSteps
from brattice.findings import Finding, Known, Origin
from brattice.quantities import Degrees, Mm
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material, Standards, check_job
from brattice.usecases.identify import identify, with_ids
from brattice.usecases.job import Job, KeyDates
from brattice.usecases.merge import ModelFacts
from brattice.usecases.report_model import PenetrationReport, Report

__all__ = ["FLEXIBLE", "FLOOR", "RIGID", "World", "judged", "material_of", "model_of", "report_of", "toml_of"]

_STAMP = datetime(2026, 3, 1, tzinfo=UTC)
_ROOT = Path(__file__).resolve().parents[2]

RULES = Rules("England", "ADB 2019 with amendments to 2026", date(2026, 11, 2), "non-residential")
DATES = KeyDates(date(2026, 11, 2), date(2026, 11, 2), date(2027, 2, 1), date(2027, 6, 1))


@dataclass(frozen=True)
class World:
    """One job: schedule rows and wall types as cells, evidence as the tables of its TOML, places of a model."""

    rows: tuple[Mapping[str, Any], ...]
    walls: tuple[Mapping[str, Any], ...]
    evidence: Mapping[str, Any]
    places: tuple[ModelFacts, ...] = ()
    job: Job = field(default_factory=lambda: Job("Invented job", RULES, dates=DATES))

    @property
    def row(self) -> Mapping[str, Any]:
        """The only row."""
        (row,) = self.rows
        return row

    def with_row(self, **cells: Any) -> World:
        """The same with cells of its first row changed; None empties one."""
        return replace(self, rows=({**self.rows[0], **cells}, *self.rows[1:]))

    def with_wall(self, **cells: Any) -> World:
        """The same with cells of its first wall type changed."""
        return replace(self, walls=({**self.walls[0], **cells}, *self.walls[1:]))

    def with_evidence(self, path: tuple[str | int, ...], value: Any) -> World:
        """The same with one key of the evidence set; None takes it away."""
        data = copy.deepcopy(dict(self.evidence))
        at: Any = data
        for part in path[:-1]:
            at = at.setdefault(part, {}) if isinstance(at, dict) else at[part]
        if value is None:
            del at[path[-1]]
        else:
            at[path[-1]] = value
        return replace(self, evidence=data)


def toml_of(value: Any) -> str:
    """A TOML value as text; tables are written inline."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml_of(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(toml_of, value)) + "]"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return repr(value)


@cache
def standards() -> Standards:
    """The shipped rows and rules."""
    book = shipped_book(())
    return Standards(book, ClassSteps.from_book(book))


def report_of(world: World, folder: Path) -> Report:
    """The whole answer; the sheets are written to a folder and read again. Raises `InputError` as the readers do."""
    return judged(material_of(world, folder))


def judged(material: Material) -> Report:
    """The whole answer for what was read."""
    return check_job(material, standards(), as_of=material.job.rules.on, version="0")


def material_of(world: World, folder: Path) -> Material:
    """All that is read for a world."""
    schedule, walls = folder / "schedule.xlsx", folder / "walls.xlsx"
    schedule.write_bytes(schedule_bytes([_clean(row) for row in world.rows], stamp=_STAMP))
    walls.write_bytes(wall_types_bytes([_clean(row) for row in world.walls], stamp=_STAMP))
    text = "\n".join(f"{key} = {toml_of(value)}" for key, value in world.evidence.items())
    rows = read_schedules([(schedule, "schedule.xlsx")]).rows
    types = {item.code: item for item in read_wall_types([(walls, "walls.xlsx")]).wall_types}
    installations = read_evidence_toml(text, "evidence.toml", standards().steps)
    identified = identify(rows, world.places, (), match_within_mm=standards().book.number("ledger.match-within"))
    job, unknown = with_ids(world.job, identified.names(), "brattice.toml")
    findings: tuple[Finding, ...] = unknown
    return Material(job, identified, types, installations, findings=findings)


def only(report: Report) -> PenetrationReport:
    """The report of the only penetration."""
    (one,) = report.penetrations
    return one


def _clean(cells: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in cells.items() if value is not None}


def model_of(**changed: Any) -> ModelFacts:
    """What a model says of the one duct of these worlds: 600 × 400 through a wall of 150, hole of 700 × 500."""
    at = Origin("building.ifc", "GlobalId 0000000000000000000duc")

    def known(value: Any) -> Known[Any]:
        return Known(value, at)

    facts: dict[str, Any] = {
        "key": "place-1",
        "storey": known("Level 1"),
        "centre_m": (0.0, 0.0, 2.0),
        "orientation": known(Orientation.WALL),
        "wall_type_code": None,
        "thickness_mm": known(Mm(150)),
        "rating": known(Rating(60, 60, "EI 60")),
        "rating_unread": None,
        "service": Service.DUCT,
        "size": known(Size(Mm(600), Mm(400))),
        "angle_deg": known(Degrees(0)),
        "damper_present": known(True),
        "blade_offset_mm": None,
        "position": known(MountingPosition.IN_BARRIER),
        "opening_shape": known(OpeningShape.RECTANGULAR),
        "framed": known(Size(Mm(700), Mm(500))),
        "framed_gaps": known(Sides(Mm(50), Mm(50), Mm(50), Mm(50))),
        "other_services": None,
        "separations": (
            Separation(
                "wall", known(Mm(900)), Surface.DUCT, Surface.FACE, known(SeparationFill.SUPPORTING_CONSTRUCTION)
            ),
        ),
        "barrier_guids": ("0000000000000000000wal",),
        "duct_guids": ("0000000000000000000duc",),
        "damper_guids": ("0000000000000000000dam",),
        "opening_guid": "0000000000000000000hol",
        "queries": (),
        "to_be_settled": False,
    }
    facts.update(
        {key: known(value) if key in _WRAPPED and value is not None else value for key, value in changed.items()}
    )
    return ModelFacts(**facts)


_WRAPPED = {
    "storey",
    "orientation",
    "thickness_mm",
    "rating",
    "rating_unread",
    "size",
    "angle_deg",
    "damper_present",
    "position",
    "opening_shape",
    "framed",
    "framed_gaps",
    "other_services",
    "wall_type_code",
}


def _example() -> dict[str, Any]:
    return tomllib.loads((_ROOT / "docs" / "example-evidence.toml").read_text("utf-8"))


def _evidence(number: int, **changed: Any) -> dict[str, Any]:
    data = _example()
    one = {**data["installation"][number], **changed}
    return {**data, "installation": [one]}


_ROW: dict[str, Any] = {
    "reference": "FD-01",
    "storey": "Level 1",
    "words": "grid B/3",
    "orientation": "wall",
    "role": "compartment wall",
    "wall_type_code": "W1",
    "space_a": ("general",),
    "space_b": ("general",),
    "system": "supply",
    "duct_width_mm": 600,
    "duct_height_mm": 400,
    "angle_deg": 0,
    "insulation_through": False,
    "damper_present": True,
    "maker": "Harrow & Vale (invented)",
    "product": "HV-10",
    "damper_width_mm": 600,
    "damper_height_mm": 400,
    "class_text": "EI 60 (ve i↔o) S",
    "actuation": ("thermal",),
    "mechanism_deg": 0,
    "access_side": "mechanism side",
    "blade_offset_mm": 0,
    "opening_shape": "rectangular",
    "framed_width_mm": 700,
    "framed_height_mm": 500,
    "finished_width_mm": 700,
    "finished_height_mm": 500,
    "gap_left_mm": 40,
    "gap_right_mm": 40,
    "gap_top_mm": 40,
    "gap_bottom_mm": 40,
    "gaps_from": "casing",
    "formed": True,
    "position": "in the barrier",
    "seal_layers": 1,
    "seal_faces": 2,
    "deflection_head_above": False,
    "other_services": False,
    "access_door": True,
    "near_damper": "FD-02",
    "near_damper_mm": 300,
    "near_damper_from": "casing",
    "near_damper_to": "casing",
    "near_damper_fill": "supporting construction",
    "near_wall_mm": 200,
    "near_wall_from": "casing",
    "near_floor_mm": 200,
    "near_floor_from": "casing",
    "method": "1 fire damper",
}

RIGID = World(
    rows=(
        {
            **_ROW,
            "thickness_mm": 150,
            "rating": "EI 60",
            "fixing": "built in with cleats",
            "seal_products": ("Cinderlock M5 mortar",),
            "seal_depth_mm": 150,
            "support": "barrier",
            "joint": "breakaway fixings",
        },
    ),
    walls=(
        {
            "code": "W1",
            "kind": "rigid wall",
            "thickness_mm": 150,
            "density_kg_m3": 1400,
            "material": "dense concrete blockwork",
            "lining_mm": 0,
            "rating": "EI 60",
            "revision": "P01",
        },
    ),
    evidence=_evidence(0),
)
"""A damper built into blockwork with mortar, all stated by the schedule."""

FLEXIBLE = World(
    rows=(
        {
            **_ROW,
            "thickness_mm": 125,
            "rating": "EI 60",
            "framed_width_mm": 725,
            "framed_height_mm": 525,
            "fixing": "drop rods and batt seal",
            "seal_products": ("Emberhold 50 batt", "Emberhold S sealant"),
            "seal_depth_mm": 100,
            "support": "drop rods",
            "joint": "breakaway fixings",
        },
    ),
    walls=(
        {
            "code": "W1",
            "kind": "flexible wall",
            "thickness_mm": 125,
            "board_type": "type F",
            "board_thickness_mm": 12.5,
            "board_layers_a": 2,
            "board_layers_b": 2,
            "stud_size_mm": 70,
            "stud_spacing_mm": 600,
            "cavity_fill": "stone wool 40 mm, 40 kg/m³",
            "opening_framing": "studs and tracks all round",
            "lining_mm": 12.5,
            "rating": "EI 60",
            "revision": "P01",
        },
    ),
    evidence=_evidence(
        1,
        separation=[
            {"to": "damper", "least_mm": 200, "from_surface": "casing", "to_surface": "casing"},
            {"to": "wall", "least_mm": 75, "from_surface": "casing"},
            {"to": "floor", "least_mm": 75, "from_surface": "casing"},
        ],
    ),
)
"""A damper in a stud wall, sealed with batt and hung from rods."""

FLOOR = World(
    rows=(
        {
            **_ROW,
            "orientation": "floor",
            "role": "compartment floor",
            "thickness_mm": 200,
            "rating": "REI 60",
            "class_text": "EI 60 (ho i↔o) S",
            "fixing": "built in with cleats",
            "seal_products": ("Cinderlock M5 mortar",),
            "seal_depth_mm": 200,
            "support": "barrier",
            "joint": "breakaway fixings",
        },
    ),
    walls=(
        {
            "code": "W1",
            "kind": "rigid floor",
            "thickness_mm": 200,
            "density_kg_m3": 2300,
            "material": "concrete",
            "rating": "REI 60",
            "revision": "P01",
        },
    ),
    evidence=_evidence(
        0,
        orientation="floor",
        **{"class": "EI 120 (ho i↔o) S"},
        construction={"kind": "rigid floor", "least_thickness_mm": 150, "least_density_kg_m3": 2200},
    ),
)
"""A damper built into a concrete floor."""
