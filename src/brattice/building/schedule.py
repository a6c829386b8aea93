# SPDX-License-Identifier: Apache-2.0
"""One row of the damper schedule as facts, before it is mixed with the models.

None means that the schedule does not state the value; whoever merges it makes a query of what nobody states.
Lengths in millimetres, places in metres.
"""

from __future__ import annotations

from dataclasses import dataclass

from brattice.building.detail_facts import NOTHING_STATED, DetailFacts
from brattice.building.penetration import Sides, Size
from brattice.building.wall_type import Rating
from brattice.building.words import (
    Actuation,
    BarrierRole,
    FixingFamily,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SeparationFill,
    SpaceUse,
    SupportKind,
    Surface,
    SystemUse,
)
from brattice.findings import Known, Origin
from brattice.quantities import Degrees, Mm

__all__ = ["CellUnread", "RowPassed", "ScheduleRow", "ScheduleSheet", "StatedDistance"]


@dataclass(frozen=True, order=True)
class CellUnread:
    """A cell that says something which was not read for certain: where, what stands there, what would be read.

    `key` is the schedule's key that its column is mapped to, "" for the row as a whole; `heading` that of the column.
    """

    origin: Origin
    key: str
    heading: str
    found: str
    expected: str


@dataclass(frozen=True, order=True)
class RowPassed:
    """A row of a sheet that was taken for no penetration: its number, why, and what stands in it."""

    number: int
    why: str
    text: str


@dataclass(frozen=True, order=True)
class ScheduleSheet:
    """A sheet that rows were read from: file, name ("" in a table of text), the last row of its headings, rows passed
    over.
    """

    file: str
    name: str
    headings_at: int
    passed: tuple[RowPassed, ...] = ()


@dataclass(frozen=True, slots=True)
class StatedDistance:
    """A clear distance [mm] to the nearest neighbour that a row states, between two surfaces.

    `to` is the reference of another row (or a permanent id), or "wall" or "floor"; `fill` is None when the row does
    not say what lies between.
    """

    to: str
    distance_mm: Known[Mm]
    from_surface: Surface
    to_surface: Surface
    fill: Known[SeparationFill] | None = None


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """What one row of a schedule states about one penetration; the names are those of `Penetration` and its parts.

    `reference` is the schedule's own name of it, once in all schedules of a job. `permanent_id`, `key` and the
    GlobalIds tie it to the ledger and to the models. `space_a` and `space_b` are the uses of the space on each side;
    `spaces` is known when both are stated. `joint` holds for both sides, `joint_a` and `joint_b` for
    one by itself. `run_document` is the document that states the protected run proven.
    `sheet` and `number` say where the row stands in its file; `unread` are its cells that were not read.
    `detail` is what it states beyond what is judged.
    """

    origin: Origin
    reference: str
    permanent_id: str = ""
    key: str = ""
    aliases: tuple[tuple[str, str], ...] = ()
    duct_guids: tuple[str, ...] = ()
    damper_guids: tuple[str, ...] = ()
    barrier_guids: tuple[str, ...] = ()
    storey: Known[str] | None = None
    words: str = ""
    centre_m: Known[tuple[float, float, float]] | None = None
    orientation: Known[Orientation] | None = None
    role: Known[BarrierRole] | None = None
    wall_type_code: Known[str] | None = None
    thickness_mm: Known[Mm] | None = None
    rating: Known[Rating] | None = None
    system: Known[SystemUse] | None = None
    space_a: Known[frozenset[SpaceUse]] | None = None
    space_b: Known[frozenset[SpaceUse]] | None = None
    duct_size: Known[Size] | None = None
    angle_deg: Known[Degrees] | None = None
    insulation_through: Known[bool] | None = None
    damper_present: Known[bool] | None = None
    maker: Known[str] | None = None
    product: Known[str] | None = None
    damper_size: Known[Size] | None = None
    class_text: Known[str] | None = None
    actuation: Known[frozenset[Actuation]] | None = None
    mechanism_deg: Known[Degrees] | None = None
    access_side: Known[str] | None = None
    blade_offset_mm: Known[Mm] | None = None
    opening_shape: Known[OpeningShape] | None = None
    framed: Known[Size] | None = None
    finished: Known[Size] | None = None
    gaps: Known[Sides] | None = None
    gaps_from: Known[Surface] | None = None
    formed: Known[bool] | None = None
    shared_with: tuple[str, ...] = ()
    position: Known[MountingPosition] | None = None
    fixing: Known[FixingFamily] | None = None
    seal_products: Known[tuple[str, ...]] | None = None
    seal_depth_mm: Known[Mm] | None = None
    seal_faces: Known[int] | None = None
    seal_layers: Known[int] | None = None
    support: Known[SupportKind] | None = None
    joint: Known[Joint] | None = None
    joint_a: Known[Joint] | None = None
    joint_b: Known[Joint] | None = None
    deflection_head_above: Known[bool] | None = None
    other_services: Known[bool] | None = None
    access_door: Known[bool] | None = None
    distances: tuple[StatedDistance, ...] = ()
    method: Known[ProtectionMethod] | None = None
    run_proven: Known[bool] | None = None
    run_document: Known[str] | None = None
    remarks: tuple[str, ...] = ()
    sheet: str = ""
    number: int = 0
    unread: tuple[CellUnread, ...] = ()
    detail: DetailFacts = NOTHING_STATED

    @property
    def spaces(self) -> Known[frozenset[SpaceUse]] | None:
        """The uses of the spaces on both sides; None while either side is not stated."""
        if self.space_a is None or self.space_b is None:
            return None
        return Known(self.space_a.value | self.space_b.value, self.space_a.origin)
