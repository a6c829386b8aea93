# SPDX-License-Identifier: Apache-2.0
import tempfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from openpyxl.utils import get_column_letter

from brattice.adapters.sheets import SCHEDULE, read_schedules, schedule_bytes
from brattice.adapters.sheets.schedule import sheet_of
from brattice.adapters.workbook import read_table_file
from brattice.building.detail_facts import DETAIL_FIELDS, DETAIL_GROUPS, NOTHING_STATED
from brattice.building.penetration import Sides, Size
from brattice.building.schedule import ScheduleRow, StatedDistance
from brattice.building.wall_type import Rating
from brattice.building.words import (
    Actuation,
    CeilingKind,
    FailPosition,
    FanInFire,
    Handing,
    ProtectionMethod,
    SeparationFill,
    SlabKind,
    SpaceUse,
    Surface,
    SystemUse,
)
from brattice.errors import Fault, InputError
from brattice.findings import Known, Origin
from brattice.quantities import Mm
from tests.adapters.sheets.rows import GOOD, STAMP, as_csv, filled, good_rows
from tests.adapters.workbook.made import put, text_cell, xlsx


def rows_of(path: Path) -> tuple[ScheduleRow, ...]:
    return read_schedules([(path, "schedule/s.xlsx")]).rows


def faults_of(*files: tuple[Path, str]) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        read_schedules(files)
    return caught.value.faults


def faults(tmp_path: Path, *rows: dict[str, Any]) -> list[str]:
    path = filled(tmp_path / "s.xlsx", rows)
    sheet = "sheet 'Schedule', "
    return [
        f"{fault.place.removeprefix(sheet)}: {fault.found} -> {fault.expected}" for fault in faults_of((path, "s.xlsx"))
    ]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(good_rows())
def test_a_template_filled_with_good_rows_reads_as_the_same_values(rows: list[dict[str, Any]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for path in (filled(Path(folder, "s.xlsx"), rows), as_csv(Path(folder, "s.csv"), rows)):
            found: list[Fault] = []
            table = sheet_of(read_table_file(path), SCHEDULE, found).rows
            assert found == []
            assert [dict(row.values) for row in table] == rows
            read = read_schedules([(path, path.name)]).rows
            assert sorted(row.reference for row in read) == sorted(row["reference"] for row in rows)


def test_the_writer_fills_the_template_too(tmp_path: Path) -> None:
    path = tmp_path / "s.xlsx"
    path.write_bytes(schedule_bytes([{**GOOD, "access_door": True, "seal_products": ("A", "B")}], stamp=STAMP))
    (row,) = rows_of(path)
    assert row.access_door == Known(True, Origin("schedule/s.xlsx", "sheet 'Schedule', row 2, column 'Access door'"))
    assert row.seal_products is not None
    assert row.seal_products.value == ("A", "B")


def test_every_value_keeps_its_origin(tmp_path: Path) -> None:
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [GOOD]))
    place = "sheet 'Schedule', row 2"
    assert row.origin == Origin("schedule/s.xlsx", place)
    assert row.storey == Known("Level 1", Origin("schedule/s.xlsx", f"{place}, column 'Storey'"))
    columns = f"{place}, columns 'Duct width [mm]' and 'Duct height [mm]'"
    assert row.duct_size == Known(Size(Mm(600), Mm(400)), Origin("schedule/s.xlsx", columns))


def test_facts_of_a_full_row(tmp_path: Path) -> None:
    given_row = {
        **GOOD,
        "asset_tag": "AT-9",
        "duct_guids": ("1aaaaaaaaaaaaaaaaaaaaa", "2aaaaaaaaaaaaaaaaaaaaa"),
        "x_m": 1.5,
        "y_m": -2,
        "z_m": 0,
        "rating": "EI 60",
        "space_a": ("escape route",),
        "space_b": ("plant room", "general"),
        "system": "Commercial  Kitchen extract",
        "damper_diameter_mm": 315,
        "actuation": ("thermal", "smoke detection"),
        "gap_left_mm": 0,
        "gap_right_mm": 50,
        "gap_top_mm": 25.5,
        "gap_bottom_mm": 24.5,
        "gaps_from": "casing",
        "near_damper": "FD-02",
        "near_damper_mm": 180,
        "near_damper_from": "casing",
        "near_damper_to": "flange",
        "near_damper_fill": "batt",
        "near_wall_mm": 60,
        "near_wall_from": "duct",
        "method": "3 fire-resisting ductwork",
        "run_proven": True,
        "run_document": "Report 7",
        "seal_faces": 2,
        "seal_layers": 1,
        "remarks": "two\nlines",
    }
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [given_row]))
    plain = {
        name: getattr(value, "value", value)
        for name, value in {key: getattr(row, key) for key in row.__dataclass_fields__}.items()
    }
    assert plain["aliases"] == (("asset tag", "AT-9"),)
    assert plain["duct_guids"] == given_row["duct_guids"]
    assert plain["centre_m"] == (1.5, -2.0, 0.0)
    assert plain["rating"] == Rating(60, 60, "EI 60")
    assert row.spaces is not None
    assert row.spaces.value == {SpaceUse.ESCAPE_ROUTE, SpaceUse.PLANT, SpaceUse.GENERAL}
    assert plain["system"] is SystemUse.KITCHEN_EXTRACT
    assert plain["damper_size"] == Size(Mm(315))
    assert plain["actuation"] == {Actuation.THERMAL, Actuation.SMOKE_DETECTION}
    assert plain["gaps"] == Sides(Mm(0), Mm(50), Mm(25.5), Mm(24.5))
    assert plain["gaps_from"] is Surface.CASING
    assert plain["method"] is ProtectionMethod.FIRE_RESISTING_DUCT
    assert (plain["run_proven"], plain["run_document"], plain["seal_faces"]) == (True, "Report 7", 2)
    assert plain["remarks"] == ("two\nlines",)
    assert plain["damper_present"] is True
    near, wall = row.distances
    assert near == StatedDistance("FD-02", near.distance_mm, Surface.CASING, Surface.FLANGE, near.fill)
    assert near.distance_mm.value == Mm(180)
    assert near.fill is not None
    assert near.fill.value is SeparationFill.BATT
    assert (wall.to, wall.distance_mm.value, wall.from_surface) == ("wall", Mm(60), Surface.DUCT)
    assert (wall.to_surface, wall.fill) == (Surface.FACE, None)


DETAIL: dict[str, tuple[Any, object]] = {
    "grid": ("C/4", "C/4"),
    "centre_above_floor_mm": (2850, 2850.0),
    "phase": ("Phase 2", "Phase 2"),
    "handing": ("Left", Handing.LEFT),
    "actuator": ("A-24", "A-24"),
    "voltage": ("24 V", "24 V"),
    "end_switches": (True, True),
    "finish": ("galvanised", "galvanised"),
    "accessories": (("test switch", "grille"), ("test switch", "grille")),
    "weight_kg": (31.5, 31.5),
    "fixing_kind": ("screws 4.8 × 19", "screws 4.8 × 19"),
    "fixing_spacing_mm": (150, 150.0),
    "rod_size": ("m 10", "M10"),
    "rod_count": (4, 4),
    "rod_length_mm": (850, 850.0),
    "rods_protected": (False, False),
    "slab": ("hollow-core", SlabKind.HOLLOW_CORE),
    "anchor": ("Anchor K, report 5", "Anchor K, report 5"),
    "run_between_fixed_mm": (6000, 6000.0),
    "joint_travel_mm": (0, 0.0),
    "door_width_mm": (300, 300.0),
    "door_height_mm": (200, 200.0),
    "door_distance_mm": (0, 0.0),
    "zone_width_mm": (800, 800.0),
    "zone_depth_mm": (700, 700.0),
    "reach_both_sides": (True, True),
    "zone_clear": (False, False),
    "ceiling": ("lift-out tiles", CeilingKind.LIFT_OUT),
    "hatch_width_mm": (600, 600.0),
    "hatch_height_mm": (500, 500.0),
    "air_l_s": (420, 420.0),
    "system_pressure_pa": (0, 0.0),
    "fan_in_fire": ("stops", FanInFire.STOPS),
    "detector_zone": ("DZ-3", "DZ-3"),
    "detector": ("SD-14, SD-15", "SD-14, SD-15"),
    "fail_position": ("stays", FailPosition.STAYS),
    "panel_address": ("L2/044", "L2/044"),
    "lintel": ("none", "none"),
    "opening_by": ("Main contractor (invented)", "Main contractor (invented)"),
    "when": ("week 12", "week 12"),
}


def test_what_is_stated_beyond_what_is_judged_is_kept_with_its_cell(tmp_path: Path) -> None:
    assert set(DETAIL) == set(DETAIL_FIELDS) == {name for names in DETAIL_GROUPS.values() for name in names}
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, **{key: cell for key, (cell, _) in DETAIL.items()}}]))
    for key, (_, expected) in DETAIL.items():
        place = f"sheet 'Schedule', row 2, column '{SCHEDULE.column(key).heading}'"
        assert getattr(row.detail, key) == Known(expected, Origin("schedule/s.xlsx", place)), key
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, **dict.fromkeys(DETAIL, "tbc")}]))
    assert row.detail == NOTHING_STATED


def test_an_alarm_address_is_the_address_on_the_panel_where_no_other_is_stated(tmp_path: Path) -> None:
    def address(**cells: str) -> Known[str] | None:
        return rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, **cells}]))[0].detail.panel_address

    alone, other = address(alarm_address="L1/7"), address(alarm_address="L1/7", panel_address="L2/9")
    assert alone is not None
    assert (alone.value, alone.origin.place) == ("L1/7", "sheet 'Schedule', row 2, column 'Alarm address'")
    assert other is not None
    assert other.value == "L2/9"
    assert address() is None


def test_no_accessories_is_another_word_than_nothing_stated(tmp_path: Path) -> None:
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, "accessories": ("None",)}]))
    assert row.detail.accessories is not None
    assert row.detail.accessories.value == ()


@pytest.mark.parametrize("word", ["", "  ", "?", "tbc", "TBC", "Unknown", "n/a", "-"])
def test_what_is_not_stated_is_absent_and_never_a_default(tmp_path: Path, word: str) -> None:
    keys = ("duct_width_mm", "duct_height_mm", "rating", "access_door", "actuation", "seal_products", "maker")
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{"reference": "FD-01", **dict.fromkeys(keys, word)}]))
    assert row == ScheduleRow(row.origin, "FD-01", sheet="Schedule", number=2)


def test_one_side_of_the_spaces_alone_says_nothing_of_both(tmp_path: Path) -> None:
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, "space_a": ("general",)}]))
    assert row.space_a is not None
    assert row.spaces is None


def test_transposed_sizes_are_left_as_they_stand(tmp_path: Path) -> None:
    # trade handbook 13, case 15: 400 × 600 for 600 × 400 is a finding about the building, not a reading fault
    (row,) = rows_of(filled(tmp_path / "s.xlsx", [{**GOOD, "damper_width_mm": 400, "damper_height_mm": 600}]))
    assert row.duct_size is not None
    assert row.damper_size is not None
    assert (row.duct_size.value, row.damper_size.value) == (Size(Mm(600), Mm(400)), Size(Mm(400), Mm(600)))


ROW = "row 2, column"
MM = "a number in mm, above 0, at most 20000; without its unit"


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"duct_width_mm": "600"}, f"{ROW} 'Duct width [mm]': the text '600' -> {MM}"),
        ({"duct_width_mm": "600 mm"}, f"{ROW} 'Duct width [mm]': the text '600 mm' -> {MM}"),
        ({"duct_width_mm": 0}, f"{ROW} 'Duct width [mm]': 0 -> {MM}"),
        ({"duct_width_mm": -600}, f"{ROW} 'Duct width [mm]': -600 -> {MM}"),
        ({"duct_width_mm": 20_001}, f"{ROW} 'Duct width [mm]': 20001 -> {MM}"),
        ({"duct_width_mm": "=1+1"}, f"{ROW} 'Duct width [mm]': the formula '=1+1' -> the value itself; copy the cells"),
        ({"access_door": "maybe"}, f"{ROW} 'Access door': 'maybe' -> yes or no"),
        ({"seal_faces": 1.5}, f"{ROW} 'Seal faces': 1.5 -> a whole number, at least 1, at most 2; without"),
        ({"seal_faces": 3}, f"{ROW} 'Seal faces': 3 -> a whole number, at least 1, at most 2; without"),
        ({"rating": "FFL 60"}, f"{ROW} 'Barrier rating': 'FFL 60' -> minutes (60), E 60"),
        ({"orientation": "wal"}, f"{ROW} 'Orientation': 'wal' -> one of: wall, floor; did you mean 'wall'?"),
        ({"orientation": "roof"}, f"{ROW} 'Orientation': 'roof' -> one of: wall, floor"),
        ({"actuation": "thermal;smok detection"}, f"{ROW} 'Actuation': 'smok detection' -> one of: thermal, smoke"),
        ({"duct_guids": "wall-1"}, f"{ROW} 'Duct GlobalIds': 'wall-1' -> GlobalIds of 22 characters"),
        ({"permanent_id": "12"}, f"{ROW} 'Permanent id': '12' -> an id of the ledger, like P-0012"),
        ({"duct_height_mm": None}, f"{ROW} 'Duct height [mm]': nothing beside 'Duct width [mm]' -> both"),
        ({"duct_diameter_mm": 9}, f"{ROW} 'Duct diameter [mm]': a diameter (9) beside width or height -> the one or"),
        ({"gap_left_mm": 5}, f"{ROW} 'Gap right [mm]': nothing, with 1 of 4 stated -> the gaps on all four sides or"),
        ({"x_m": 5, "y_m": 5}, f"{ROW} 'z [m]': nothing, with 2 of 3 stated -> x, y and z, or none of them"),
        ({"near_wall_mm": 70}, f"{ROW} 'Distance to wall from': nothing beside a distance of 70 mm -> what it is"),
        ({"near_wall_from": "duct"}, f"{ROW} 'Distance to nearest wall [mm]': nothing beside the neighbour or a surf"),
        ({"run_proven": True}, f"{ROW} 'Document of the run': nothing beside a protected run stated proven -> the"),
        ({"damper_present": False}, f"{ROW} 'Damper': no, beside a damper product or class -> yes, or no product"),
        ({"rod_size": "10 mm"}, f"{ROW} 'Drop rod thread': '10 mm' -> a metric thread like M10"),
        ({"rod_size": "M100"}, f"{ROW} 'Drop rod thread': 'M100' -> a metric thread like M10"),
        ({"rod_count": 2.5}, f"{ROW} 'Drop rods': 2.5 -> a whole number, at least 1, at most 16; without its unit"),
        ({"weight_kg": "34 kg"}, f"{ROW} 'Damper weight [kg]': the text '34 kg' -> a number in kg, above 0, at most 2"),
        ({"air_l_s": -1}, f"{ROW} 'Air flow [l/s]': -1 -> a number in l/s, above 0, at most 100000; without its unit"),
        ({"slab": "concrete"}, f"{ROW} 'Drop rods hang from': 'concrete' -> one of: solid concrete, hollow-core, "),
        ({"fail_position": "close"}, f"{ROW} 'Fail position': 'close' -> one of: closed, open, stays; did you mean"),
        ({"handing": "LH"}, f"{ROW} 'Handing': 'LH' -> one of: left, right, top, bottom"),
        ({"end_switches": 2}, f"{ROW} 'End switches': '2' -> yes or no"),
        ({"ceiling": "suspended"}, f"{ROW} 'Ceiling below': 'suspended' -> one of: none, lift-out tiles, fixed"),
        ({"fan_in_fire": "auto"}, f"{ROW} 'Fan in fire': 'auto' -> one of: stops, runs"),
        ({"reference": None}, f"{ROW} 'Reference': nothing -> text"),
        ({"reference": STAMP.date()}, f"{ROW} 'Reference': the date '2026-03-01' -> text; format the column as text"),
    ],
)
def test_each_fault_is_named_with_its_place(tmp_path: Path, changed: dict[str, Any], fault: str) -> None:
    (only,) = faults(tmp_path, {**GOOD, **changed})
    assert only.startswith(fault)


@pytest.mark.parametrize(
    ("key", "value", "fits"),
    [
        ("duct_width_mm", 20_000, True),
        ("duct_width_mm", 20_000.1, False),
        ("duct_width_mm", 0.001, True),
        ("gap_left_mm", 0, True),
        ("mechanism_deg", 359, True),
        ("mechanism_deg", 360, False),
        ("angle_deg", 90, True),
        ("angle_deg", 90.1, False),
        ("seal_faces", 2, True),
        ("weight_kg", 0, False),
        ("weight_kg", 2_000, True),
        ("weight_kg", 2_000.1, False),
        ("rod_count", 1, True),
        ("rod_count", 16, True),
        ("rod_count", 17, False),
        ("joint_travel_mm", 0, True),
        ("rod_length_mm", 0, False),
        ("fixing_spacing_mm", 0, False),
        ("fixing_spacing_mm", 0.1, True),
        ("door_distance_mm", 0, True),
        ("air_l_s", 100_000, True),
        ("air_l_s", 100_000.5, False),
        ("system_pressure_pa", 0, True),
        ("system_pressure_pa", 10_000, True),
        ("system_pressure_pa", 10_000.5, False),
        ("centre_above_floor_mm", 0, True),
        ("centre_above_floor_mm", 20_000, True),
        ("blade_offset_mm", -2_000, True),
        ("blade_offset_mm", -2_000.5, False),
    ],
)
def test_numbers_exactly_at_a_bound(tmp_path: Path, key: str, value: float, fits: bool) -> None:
    row = {**GOOD, key: value}
    if key == "gap_left_mm":
        row |= dict.fromkeys(("gap_right_mm", "gap_top_mm", "gap_bottom_mm"), value)
    path = filled(tmp_path / "s.xlsx", [row])
    if fits:
        assert len(rows_of(path)) == 1
    else:
        assert [fault.found for fault in faults_of((path, "s.xlsx"))] == [f"{value:.12g}"]


def test_all_faults_of_all_files_come_at_once(tmp_path: Path) -> None:
    one = filled(
        tmp_path / "a.xlsx", [GOOD, {**GOOD, "duct_width_mm": "x"}, {**GOOD, "reference": "fd-01", "joint": "glue"}]
    )
    book = openpyxl.load_workbook(one)
    sheet = book["Schedule"]
    sheet.merge_cells("C4:D5")
    unknown, again, none = (get_column_letter(sheet.max_column + n) for n in (1, 2, 3))
    sheet[f"{unknown}1"] = "Dukt width [mm]"
    sheet[f"{again}1"] = "Reference"
    sheet[f"{none}3"] = "stray"
    book.save(one)
    two = as_csv(tmp_path / "b.csv", [{**GOOD, "duct_width_mm": "1,200"}, {"reference": "FD-01"}])
    found = [str(fault) for fault in faults_of((one, "a.xlsx"), (two, "b.csv"), (tmp_path / "c.xlsx", "c.xlsx"))]
    expected = [
        "a.xlsx: sheet 'Schedule', cells C4:D5: found merged cells",
        (
            f"a.xlsx: sheet 'Schedule', row 1, cell {unknown}1: found the unknown heading 'Dukt width [mm]'; expected "
            "a heading of the template; did you mean 'Duct width [mm]'?"
        ),
        f"a.xlsx: sheet 'Schedule', row 1, cell {again}1: found the heading 'Reference' again; expected it once (A1)",
        f"a.xlsx: sheet 'Schedule', row 3, cell {none}3: found a value under no heading",
        "a.xlsx: sheet 'Schedule', row 3, column 'Duct width [mm]': found the text 'x'",
        "a.xlsx: sheet 'Schedule', row 3, column 'Reference': found 'FD-01' again (first in row 2); expected each once",
        "a.xlsx: sheet 'Schedule', row 4, column 'Duct joint': found 'glue'; expected one of:",
        "a.xlsx: sheet 'Schedule', row 4, column 'Reference': found 'fd-01' again (first in row 2)",
        "b.csv: row 2, column 'Duct width [mm]': found the text '1,200'; expected a number in mm",
        "b.csv: row 2, reference: found 'FD-01' again (first in a.xlsx, sheet 'Schedule', row 2); expected each once",
        "b.csv: row 3, column 'Reference': found 'FD-01' again (first in row 2)",
        "b.csv: row 3, reference: found 'FD-01' again (first in a.xlsx, sheet 'Schedule', row 2)",
        "c.xlsx: found no such file",
    ]
    assert len(found) == len(expected)
    for fault, start in zip(found, expected, strict=True):
        assert fault.startswith(start)


def test_a_formula_is_refused_and_the_value_that_was_last_shown_is_told(tmp_path: Path) -> None:
    heads = text_cell("A1", "Reference") + text_cell("B1", "Barrier thickness [mm]")
    cells = text_cell("A2", "FD-1") + '<c r="B2"><f>C2*25.4</f><v>152.4</v></c>'
    path = put(tmp_path, xlsx(f'<row r="1">{heads}</row><row r="2">{cells}</row>'))
    (fault,) = faults_of((path, "s.xlsx"))
    assert str(fault) == (
        "s.xlsx: sheet 'Schedule', row 2, column 'Barrier thickness [mm]': found the formula '=C2*25.4', last shown as "
        "'152.4'; expected the value itself; copy the cells and paste them as values"
    )


def test_title_rows_above_own_columns_and_moved_columns_are_taken(tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_text("Schedule of dampers\n\n#Notes,Storey,Reference\nmine,L1,FD-1\n,,\nmine,,\n", encoding="utf-8")
    read = read_schedules([(path, "s.csv")])
    assert [(row.reference, row.origin.place) for row in read.rows] == [("FD-1", "row 4")]
    assert read.files[0].notes == ("fields separated by commas", "columns passed over: #Notes")


def test_a_sheet_without_the_headings_says_so(tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_text("id,size\n1,2\n", encoding="utf-8")
    (fault,) = faults_of((path, "s.csv"))
    assert str(fault) == (
        "s.csv: found no heading 'Reference' in the top 20 rows; expected the headings of the template, or a mapping "
        "beside a schedule of others (`brattice mapping` proposes one)"
    )
    book = openpyxl.Workbook()
    book.create_sheet("Other")
    book.save(tmp_path / "s.xlsx")
    (fault,) = faults_of((tmp_path / "s.xlsx", "s.xlsx"))
    assert str(fault) == "s.xlsx: found the sheets 'Sheet', 'Other'; expected a sheet named 'Schedule'"


def test_hidden_rows_are_read_and_noted(tmp_path: Path) -> None:
    path = filled(tmp_path / "s.xlsx", [GOOD])
    book = openpyxl.load_workbook(path)
    book["Schedule"].row_dimensions[2].hidden = True
    book.save(path)
    read = read_schedules([(path, "s.xlsx")])
    assert len(read.rows) == 1
    assert "1 hidden rows were read like all others (such as row 2)" in read.files[0].notes


HOSTILE = [
    '=HYPERLINK("x","y")',
    "</script><img src=x onerror=alert(1)>",
    "{{ 7*7 }} {% raw %}",
    "\\input{x} #eval[1]",
    "abc\u202etxt.exe",
    "nul_x0000_here",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_come_through_as_plain_visible_text(tmp_path: Path, name: str) -> None:
    keys = ("reference", "storey", "words", "maker", "product", "class_text", "asset_tag", "remarks", "access_side")
    path = filled(tmp_path / "s.xlsx", [dict.fromkeys(keys, name)], escape=False)
    (row,) = rows_of(path)
    shown = name.replace("\u202e", "⟨U+202E⟩").replace("_x0000_", "␀")
    assert row.storey is not None
    assert row.product is not None
    assert (row.reference, row.storey.value, row.product.value, row.remarks) == (shown, shown, shown, (shown,))


def test_a_hostile_sheet_name_and_heading_are_shown_plainly_in_faults(tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_bytes("Reference,a\u202eb\0\r\nx,1\r\n".encode())
    (fault,) = faults_of((path, "s.csv"))
    assert fault.found == "the unknown heading 'a⟨U+202E⟩b␀'"


def test_the_order_of_files_does_not_matter(tmp_path: Path) -> None:
    one = filled(tmp_path / "a.xlsx", [GOOD])
    two = as_csv(tmp_path / "b.csv", [{**GOOD, "reference": "FD-00"}])
    assert read_schedules([(one, "a"), (two, "b")]) == read_schedules([(two, "b"), (one, "a")])


def test_headings_and_keys_are_unique_and_notes_are_there() -> None:
    headings = [" ".join(column.heading.split()).casefold() for column in SCHEDULE.columns]
    assert len(set(headings)) == len(headings)
    assert len({column.key for column in SCHEDULE.columns}) == len(headings)
    assert all(len(column.note) > 4 and column.group for column in SCHEDULE.columns)
