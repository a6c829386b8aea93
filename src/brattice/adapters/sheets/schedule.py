# SPDX-License-Identifier: Apache-2.0
"""Read damper schedules to rows of facts, strictly: every fault of every file at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from brattice.adapters.sheets.schedule_columns import ALIAS_KINDS, SCHEDULE, SCHEDULE_INSTRUCTIONS
from brattice.adapters.text import one_line
from brattice.adapters.workbook import OutValue, Workbook, read_table_file, without_added, workbook_bytes
from brattice.adapters.workbook.table import TableRow, TableSpec, read_table, template_sheets
from brattice.building.detail_facts import DetailFacts
from brattice.building.penetration import Sides, Size
from brattice.building.ratings import RATING_FORMS, rating_from_text
from brattice.building.schedule import ScheduleRow, ScheduleSheet, StatedDistance
from brattice.building.wall_type import Rating
from brattice.building.words import (
    Actuation,
    BarrierRole,
    CeilingKind,
    FailPosition,
    FanInFire,
    FixingFamily,
    Handing,
    Joint,
    MountingPosition,
    OpeningShape,
    Orientation,
    ProtectionMethod,
    SeparationFill,
    SlabKind,
    SpaceUse,
    SupportKind,
    Surface,
    SystemUse,
)
from brattice.errors import Fault, InputError
from brattice.findings import Known, Origin
from brattice.quantities import Degrees, Kg, Mm, Pa

__all__ = ["FileRead", "ScheduleRead", "facts_of_row", "read_schedules", "repeated_names", "schedule_bytes", "sheet_of"]

W = TypeVar("W", bound=StrEnum)

_GUID = re.compile(r"[0-3][0-9A-Za-z_$]{21}\Z", re.ASCII)
_THREAD = re.compile(r"m\d{1,2}\Z", re.ASCII | re.IGNORECASE)
_MAPPED = "a mapping beside a schedule of others (`brattice mapping` proposes one)"
_PERMANENT_ID = re.compile(r"P-\d{4,}\Z", re.ASCII)


@dataclass(frozen=True, order=True)
class FileRead:
    """A file that was read: its path as given, the SHA-256 of its bytes, what was noted about it."""

    path: str
    sha256: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ScheduleRead:
    """All rows of all schedules, by reference, the files they stand in, and their sheets."""

    rows: tuple[ScheduleRow, ...]
    files: tuple[FileRead, ...]
    sheets: tuple[ScheduleSheet, ...] = ()


@dataclass(frozen=True)
class SheetTable:
    """The table of one sheet: the sheet's name, its rows, notes, and the row of its headings (0 for none)."""

    name: str
    rows: tuple[TableRow, ...]
    notes: tuple[str, ...]
    headings_at: int = 0


def sheet_of(book: Workbook, spec: TableSpec, faults: list[Fault]) -> SheetTable:
    """The rows of the sheet that holds a kind of table, and notes; faults are added to the list.

    In a workbook the sheet has the name of the template; where no sheet has it, a workbook with a single visible
    sheet is taken to hold the table. What Brattice added to an earlier copy is passed over.
    """
    book = without_added(book)
    sheet = book.sheet([spec.sheet])
    visible = [item for item in book.sheets if not item.hidden]
    if sheet is None and len(visible) == 1:
        sheet = visible[0]
    if sheet is None:
        names = ", ".join(repr(one_line(item.name)) for item in book.sheets) or "none"
        faults.append(Fault(book.file, "", f"the sheets {names}", f"a sheet named '{spec.sheet}'"))
        return SheetTable("", (), ())
    table = read_table(book, sheet, spec)
    if table.headings_at == 0 and spec is SCHEDULE:
        faults.extend(replace(fault, expected=f"{fault.expected}, or {_MAPPED}") for fault in table.faults)
    else:
        faults.extend(table.faults)
    return SheetTable(one_line(sheet.name), table.rows, table.notes, table.headings_at)


@dataclass
class _Row:
    """One row while its cells become facts."""

    file: str
    row: TableRow
    faults: list[Fault]

    def fault(self, key: str, found: str, expected: str) -> None:
        self.faults.append(Fault(self.file, self.row.place(key), found, expected))

    def is_faulty(self, *keys: str) -> bool:
        places = {self.row.place(key) for key in keys}
        return any(fault.place in places for fault in self.faults)

    def origin(self, *keys: str) -> Origin:
        stated = [key for key in keys if key in self.row.values]
        named = list(dict.fromkeys(f"'{self.row.headings[key]}'" for key in stated))
        columns = f", column{'s' if len(named) > 1 else ''} {' and '.join(named)}" if stated else ""
        cells = tuple(dict.fromkeys(self.row.cells[key] for key in stated if key in self.row.cells))
        return Origin(self.file, f"{self.row.place()}{columns}", cells)

    def text(self, key: str) -> Known[str] | None:
        value = self.row.text(key)
        return None if value is None else Known(value, self.origin(key))

    def line(self, key: str) -> Known[str] | None:
        value = self.row.text(key)
        return None if value is None else Known(one_line(value), self.origin(key))

    def length(self, key: str) -> Known[Mm] | None:
        value = self.row.number_at(key)
        return None if value is None else Known(Mm(float(value)), self.origin(key))

    def angle(self, key: str) -> Known[Degrees] | None:
        value = self.row.number_at(key)
        return None if value is None else Known(Degrees(float(value)), self.origin(key))

    def flag(self, key: str) -> Known[bool] | None:
        value = self.row.flag(key)
        return None if value is None else Known(value, self.origin(key))

    def word(self, key: str, kind: type[W]) -> Known[W] | None:
        value = self.row.text(key)
        return None if value is None else Known(kind(value), self.origin(key))

    def words(self, key: str, kind: type[W]) -> Known[frozenset[W]] | None:
        value = self.row.names(key)
        return None if value is None else Known(frozenset(kind(item) for item in value), self.origin(key))

    def names(self, key: str) -> Known[tuple[str, ...]] | None:
        value = self.row.names(key)
        return None if value is None else Known(value, self.origin(key))

    def size(self, stem: str) -> Known[Size] | None:
        """Width and height, or a diameter; half a size and both kinds at once are faults."""
        width_key, height_key, diameter_key = f"{stem}_width_mm", f"{stem}_height_mm", f"{stem}_diameter_mm"
        width, height = self.row.number_at(width_key), self.row.number_at(height_key)
        diameter = self.row.number_at(diameter_key)
        if self.is_faulty(width_key, height_key, diameter_key):
            return None
        if diameter is not None:
            if width is not None or height is not None:
                self.fault(diameter_key, f"a diameter ({diameter:g}) beside width or height", "the one or the other")
                return None
            return Known(Size(Mm(float(diameter))), self.origin(diameter_key))
        if width is None and height is None:
            return None
        if width is None or height is None:
            missing, given = (width_key, height_key) if width is None else (height_key, width_key)
            heading = self.row.headings[given]
            self.fault(missing, f"nothing beside '{heading}'", "both, or the diameter alone for a round one")
            return None
        return Known(Size(Mm(float(width)), Mm(float(height))), self.origin(width_key, height_key))

    def all_or_none(self, keys: Sequence[str], what: str) -> tuple[float, ...] | None:
        values = [self.row.number_at(key) for key in keys]
        if self.is_faulty(*keys):
            return None
        stated = tuple(float(value) for value in values if value is not None)
        if len(stated) == len(keys):
            return stated
        if stated:
            missing = next(key for key, value in zip(keys, values, strict=True) if value is None)
            self.fault(missing, f"nothing, with {len(stated)} of {len(keys)} stated", what)
        return None

    def gaps(self) -> Known[Sides] | None:
        keys = ("gap_left_mm", "gap_right_mm", "gap_top_mm", "gap_bottom_mm")
        values = self.all_or_none(keys, "the gaps on all four sides or on none")
        return None if values is None else Known(Sides(*(Mm(value) for value in values)), self.origin(*keys))

    def centre(self) -> Known[tuple[float, float, float]] | None:
        keys = ("x_m", "y_m", "z_m")
        values = self.all_or_none(keys, "x, y and z, or none of them")
        return None if values is None else Known((values[0], values[1], values[2]), self.origin(*keys))

    def rating(self) -> Known[Rating] | None:
        text = self.row.text("rating")
        if text is None:
            return None
        rating = rating_from_text(text)
        if rating is None:
            self.fault("rating", repr(one_line(text, 60)), RATING_FORMS)
            return None
        return Known(rating, self.origin("rating"))

    def guids(self, key: str) -> tuple[str, ...]:
        given = self.row.names(key) or ()
        for guid in given:
            if not _GUID.match(guid):
                self.fault(key, repr(one_line(guid, 60)), "GlobalIds of 22 characters, separated by ;")
        return given

    def distances(self) -> tuple[StatedDistance, ...]:
        found: list[StatedDistance] = []
        for to, stem in (("", "near_damper"), ("wall", "near_wall"), ("floor", "near_floor")):
            distance = self.length(f"{stem}_mm")
            start = self.word(f"{stem}_from", Surface)
            end = self.word("near_damper_to", Surface) if not to else None
            name = to or one_line(self.row.text("near_damper") or "")
            if distance is None:
                if not self.is_faulty(f"{stem}_mm") and (start or end or (not to and name)):
                    heading = self.row.headings[f"{stem}_mm"]
                    self.fault(f"{stem}_mm", "nothing beside the neighbour or a surface", f"'{heading}', or neither")
                continue
            needed = [f"{stem}_from"] + ([] if to else ["near_damper_to", "near_damper"])
            lacking = [key for key in needed if key not in self.row.values]
            for key in lacking:
                if not self.is_faulty(key):
                    what = f"nothing beside a distance of {distance.value:g} mm"
                    self.fault(key, what, "what it is measured from and to; a distance says little without")
            if lacking or start is None:
                continue
            fill = None if to else self.word("near_damper_fill", SeparationFill)
            found.append(StatedDistance(name, distance, start.value, end.value if end else Surface.FACE, fill))
        return tuple(found)

    def damper_present(self, *named: Known[str] | None) -> Known[bool] | None:
        """Whether a damper is to be here; a product or class that is named says yes where the cell is empty."""
        stated = self.flag("damper_present")
        first = next((fact for fact in named if fact is not None), None)
        if stated is None or first is None:
            return stated or (None if first is None else Known(True, first.origin))
        if not stated.value:
            self.fault("damper_present", "no, beside a damper product or class", "yes, or no product and class")
        return stated

    def run_proven(self) -> Known[bool] | None:
        proven = self.flag("run_proven")
        if proven is not None and proven.value and self.row.text("run_document") is None:
            self.fault("run_document", "nothing beside a protected run stated proven", "the document that says so")
        return proven

    def permanent_id(self) -> str:
        text = one_line(self.row.text("permanent_id") or "")
        if text and not _PERMANENT_ID.match(text):
            self.fault("permanent_id", repr(text[:60]), "an id of the ledger, like P-0012")
        return text

    def facts(self) -> ScheduleRow:
        maker, product, class_text = self.line("maker"), self.line("product"), self.line("class_text")
        remarks = self.row.text("remarks")
        return ScheduleRow(
            origin=Origin(self.file, self.row.place()),
            reference=one_line(self.row.text("reference") or ""),
            permanent_id=self.permanent_id(),
            key=one_line(self.row.text("key") or ""),
            aliases=tuple(
                (kind, one_line(text)) for key, kind in ALIAS_KINDS.items() if (text := self.row.text(key)) is not None
            ),
            duct_guids=self.guids("duct_guids"),
            damper_guids=self.guids("damper_guids"),
            barrier_guids=self.guids("barrier_guids"),
            storey=self.line("storey"),
            words=one_line(self.row.text("words") or ""),
            centre_m=self.centre(),
            orientation=self.word("orientation", Orientation),
            role=self.word("role", BarrierRole),
            wall_type_code=self.line("wall_type_code"),
            thickness_mm=self.length("thickness_mm"),
            rating=self.rating(),
            system=self.word("system", SystemUse),
            space_a=self.words("space_a", SpaceUse),
            space_b=self.words("space_b", SpaceUse),
            duct_size=self.size("duct"),
            angle_deg=self.angle("angle_deg"),
            insulation_through=self.flag("insulation_through"),
            damper_present=self.damper_present(product, class_text),
            maker=maker,
            product=product,
            damper_size=self.size("damper"),
            class_text=class_text,
            actuation=self.words("actuation", Actuation),
            mechanism_deg=self.angle("mechanism_deg"),
            access_side=self.line("access_side"),
            blade_offset_mm=self.length("blade_offset_mm"),
            opening_shape=self.word("opening_shape", OpeningShape),
            framed=self.size("framed"),
            finished=self.size("finished"),
            gaps=self.gaps(),
            gaps_from=self.word("gaps_from", Surface),
            formed=self.flag("formed"),
            shared_with=self.row.names("shared_with") or (),
            position=self.word("position", MountingPosition),
            fixing=self.word("fixing", FixingFamily),
            seal_products=self.names("seal_products"),
            seal_depth_mm=self.length("seal_depth_mm"),
            seal_faces=self.whole("seal_faces"),
            seal_layers=self.whole("seal_layers"),
            support=self.word("support", SupportKind),
            joint=self.word("joint", Joint),
            joint_a=self.word("joint_a", Joint),
            joint_b=self.word("joint_b", Joint),
            deflection_head_above=self.flag("deflection_head_above"),
            other_services=self.flag("other_services"),
            access_door=self.flag("access_door"),
            distances=self.distances(),
            method=self.word("method", ProtectionMethod),
            run_proven=self.run_proven(),
            run_document=self.line("run_document"),
            remarks=() if remarks is None else (remarks,),
            sheet=self.row.sheet,
            number=self.row.number,
            detail=self.detail(),
        )

    def amount(self, key: str) -> Known[float] | None:
        value = self.row.number_at(key)
        return None if value is None else Known(float(value), self.origin(key))

    def whole(self, key: str) -> Known[int] | None:
        value = self.row.number_at(key)
        return None if value is None else Known(int(value), self.origin(key))

    def thread(self) -> Known[str] | None:
        """The thread of the drop rods; a size of another kind is a fault."""
        stated = self.line("rod_size")
        if stated is None:
            return None
        text = "".join(stated.value.split()).upper()
        if not _THREAD.match(text):
            self.fault("rod_size", repr(one_line(stated.value, 60)), "a metric thread like M10")
            return None
        return Known(text, stated.origin)

    def accessories(self) -> Known[tuple[str, ...]] | None:
        """The accessories; "none" alone states that there are none."""
        stated = self.names("accessories")
        if stated is not None and [item.casefold() for item in stated.value] == ["none"]:
            return Known((), stated.origin)
        return stated

    def detail(self) -> DetailFacts:
        """What is stated beyond what is judged. An alarm address is the panel's address where no other is stated."""
        weight, pressure = self.amount("weight_kg"), self.amount("system_pressure_pa")
        return DetailFacts(
            grid=self.line("grid"),
            centre_above_floor_mm=self.length("centre_above_floor_mm"),
            phase=self.line("phase"),
            handing=self.word("handing", Handing),
            actuator=self.line("actuator"),
            voltage=self.line("voltage"),
            end_switches=self.flag("end_switches"),
            finish=self.line("finish"),
            accessories=self.accessories(),
            weight_kg=None if weight is None else Known(Kg(weight.value), weight.origin),
            fixing_kind=self.line("fixing_kind"),
            fixing_spacing_mm=self.length("fixing_spacing_mm"),
            rod_size=self.thread(),
            rod_count=self.whole("rod_count"),
            rod_length_mm=self.length("rod_length_mm"),
            rods_protected=self.flag("rods_protected"),
            slab=self.word("slab", SlabKind),
            anchor=self.line("anchor"),
            run_between_fixed_mm=self.length("run_between_fixed_mm"),
            joint_travel_mm=self.length("joint_travel_mm"),
            door_width_mm=self.length("door_width_mm"),
            door_height_mm=self.length("door_height_mm"),
            door_distance_mm=self.length("door_distance_mm"),
            zone_width_mm=self.length("zone_width_mm"),
            zone_depth_mm=self.length("zone_depth_mm"),
            reach_both_sides=self.flag("reach_both_sides"),
            zone_clear=self.flag("zone_clear"),
            ceiling=self.word("ceiling", CeilingKind),
            hatch_width_mm=self.length("hatch_width_mm"),
            hatch_height_mm=self.length("hatch_height_mm"),
            air_l_s=self.amount("air_l_s"),
            system_pressure_pa=None if pressure is None else Known(Pa(pressure.value), pressure.origin),
            fan_in_fire=self.word("fan_in_fire", FanInFire),
            detector_zone=self.line("detector_zone"),
            detector=self.line("detector"),
            fail_position=self.word("fail_position", FailPosition),
            panel_address=self.line("panel_address") or self.line("alarm_address"),
            lintel=self.line("lintel"),
            opening_by=self.line("opening_by"),
            when=self.line("when"),
        )


def facts_of_row(file: str, row: TableRow) -> tuple[ScheduleRow, tuple[Fault, ...]]:
    """What a row of values (by the schedule's keys) says as facts, and what contradicts itself in it."""
    faults: list[Fault] = []
    facts = _Row(file, row, faults).facts()
    return facts, tuple(faults)


def read_schedules(files: Iterable[tuple[str | Path, str]]) -> ScheduleRead:
    """All rows of schedules, given as (path, what to call the file); XLSX or CSV by the ending of the name.

    Raises `InputError` with every fault of every file.
    """
    faults: list[Fault] = []
    rows: list[ScheduleRow] = []
    read: list[FileRead] = []
    sheets: list[ScheduleSheet] = []
    for path, name in files:
        try:
            book = read_table_file(path, file=name)
        except InputError as error:
            faults.extend(error.faults)
            continue
        found: list[Fault] = []
        table = sheet_of(book, SCHEDULE, found)
        by_row: dict[str, list[Fault]] = {}
        for fault in found:
            by_row.setdefault(fault.place.partition(", column '")[0], []).append(fault)
        faults.extend(found)
        for row in table.rows:
            of_row = by_row.get(row.place(), [])
            known = len(of_row)
            rows.append(_Row(name, row, of_row).facts())
            faults.extend(of_row[known:])
        read.append(FileRead(name, book.sha256, (*book.notes, *table.notes)))
        sheets.append(ScheduleSheet(name, table.name, table.headings_at))
    faults.extend(repeated_names(rows))
    if faults:
        raise InputError(faults)
    ordered = tuple(sorted(rows, key=lambda row: (row.reference, row.origin)))
    return ScheduleRead(ordered, tuple(sorted(read)), tuple(sorted(sheets)))


def repeated_names(rows: Iterable[ScheduleRow]) -> Iterable[Fault]:
    """References, permanent ids and keys that two rows share, across files too."""
    first: dict[tuple[str, str], ScheduleRow] = {}
    for row in rows:
        for what, name in (("reference", row.reference), ("permanent id", row.permanent_id), ("key", row.key)):
            if not name:
                continue
            earlier = first.setdefault((what, name.casefold()), row)
            same_file = earlier.origin.file == row.origin.file
            if earlier is not row and not (what == "reference" and same_file):
                place = f"{row.origin.place}, {what}"
                yield Fault(row.origin.file, place, f"{name!r} again (first in {earlier.origin})", "each once")


def schedule_bytes(rows: Iterable[Mapping[str, OutValue | tuple[str, ...]]] = (), *, stamp: datetime) -> bytes:
    """The schedule template as XLSX, filled with rows (values by column key) when some are given."""
    return workbook_bytes(template_sheets(SCHEDULE, SCHEDULE_INSTRUCTIONS, rows), stamp=stamp, title="Damper schedule")
