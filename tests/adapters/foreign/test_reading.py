# SPDX-License-Identifier: Apache-2.0
"""Mappings: proposed, kept as files, used again on the next revision; what is passed over is said."""

from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.foreign import Mapping, propose, read_book, read_mapping
from brattice.adapters.foreign.headings import SURE, find_heading_rows, meanings, stated_order, stated_unit
from brattice.adapters.rows import shipped_book
from brattice.adapters.workbook import Cell, CellKind, MergedRange, Sheet, Workbook
from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.building.words import FailPosition
from brattice.classes import ClassSteps
from brattice.errors import InputError
from brattice.quantities import Mm

STEPS = ClassSteps.from_book(shipped_book())
HEAD: list[Any] = ["Damper ref", "Level", "Duct size (WxH) mm", "Wall fire rating", "Wall", "Supplier ref"]
ROWS: list[list[Any]] = [
    ["FD-01", "L03", "600x400", "2hr", "W1", "a"],
    ["FD-02", "L03", "Ø315", "-/60/60", "W1", None],
]


def book(table: list[list[Any]], merged: tuple[MergedRange, ...] = (), **sheet: Any) -> Workbook:
    cells = tuple(
        value
        if isinstance(value, Cell)
        else Cell(r, c, CellKind.NUMBER if isinstance(value, int | float) else CellKind.TEXT, value)
        for r, row in enumerate(table, start=1)
        for c, value in enumerate(row, start=1)
        if value is not None
    )
    return Workbook("theirs.xlsx", "0" * 64, (Sheet("FD", cells, merged, **sheet),))


def mapping(folder: Path, theirs: Workbook, *changes: tuple[str, str]) -> Mapping:
    text = propose(theirs, STEPS).text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "theirs.mapping.toml"
    path.write_text(text, "utf-8")
    return read_mapping(path, "theirs.mapping.toml")


def read(folder: Path, theirs: Workbook, *changes: tuple[str, str]) -> tuple[dict[str, ScheduleRow], str]:
    """The rows by name, and everything that was said of the sheet: notes, unread cells, rows passed over."""
    found = read_book(theirs, mapping(folder, theirs, *changes), STEPS)
    cells = [cell for row in found.rows for cell in row.unread]
    said = [f"not read: {cell.origin.place}: found {cell.found!r}; expected {cell.expected}" for cell in cells]
    passed = [f"row {row.number} passed over ({row.why}): {row.text!r}" for item in found.sheets for row in item.passed]
    return {row.reference: row for row in found.rows}, "\n".join((*found.notes, *said, *passed))


def test_rows_are_read_with_their_place_and_what_is_not_read_is_named(tmp_path: Path) -> None:
    rows, notes = read(tmp_path, book([["Invented Tower"], HEAD, *ROWS]))
    first, second = rows["FD-01"], rows["FD-02"]
    assert first.duct_size is not None
    assert first.duct_size.value == Size(Mm(600), Mm(400))
    assert str(first.duct_size.origin) == "theirs.xlsx, sheet 'FD', row 3, column 'Duct size (WxH) mm'"
    assert first.rating is not None
    assert (first.rating.value.integrity_min, first.rating.value.insulation_min) == (120, None)
    assert second.rating is None
    assert "not read: sheet 'FD', row 4, column 'Wall fire rating': found '-/60/60'; expected 15 to 360" in notes
    (cell,) = [cell for cell in second.unread if cell.key == "rating"]
    assert (cell.found, cell.heading, cell.origin.cells) == ("-/60/60", "Wall fire rating", ("D4",))
    assert first.duct_size.origin.cells == ("C3",)
    assert (first.sheet, first.number, second.number) == ("FD", 3, 4)
    assert "Supplier ref: a" in first.remarks  # unknown columns come back with their row
    assert "Wall: W1" in first.remarks  # doubtful, so not mapped


def test_doubtful_headings_are_suggested_and_never_mapped() -> None:
    proposal = propose(book([HEAD, *ROWS]), STEPS)
    by_heading = {column.heading: column for column in proposal.columns}
    wall = by_heading["Wall"]
    assert (wall.key, wall.is_open) == ("", True)
    assert proposal.is_open
    assert '# key = "wall_type_code"' in proposal.text()
    assert all(column.score >= SURE for column in proposal.columns if column.key)


@pytest.mark.parametrize(
    ("heading", "key"),
    [
        ("Damper Ref.", "reference"), ("FD No", "reference"), ("LEVEL", "storey"), ("Wall / Fire Rating", "rating"),
        ("Damper / Size / Width (mm)", "damper_width_mm"), ("Ductwork size W x H", "duct_size"),
        ("Consultant's Ref", "designers_reference"), ("Fire damper details / Manufacturer", "maker"),
        ("Airflow (l/s)", "air_l_s"), ("Damper / Weight kg", "weight_kg"), ("Drop rod size", "rod_size"),
        ("Limit switches", "end_switches"), ("Ceiling type", "ceiling"), ("BWIC by", "opening_by"),
        ("BWIC size", "framed_size"), ("Access Panel (Y/N)", "access_door"),
    ],
)  # fmt: skip
def test_headings_of_the_trade(heading: str, key: str) -> None:
    """Trade usage: common practice."""
    found = meanings(heading)
    assert (found[0].key, found[0].score >= SURE) == (key, True)


@pytest.mark.parametrize(
    "heading",
    [
        "Fire rating",
        "Size",
        "Width",
        "Type",
        "Opening",
        "Item",
        "Electrical / Ref",
        "Qty",
        "Airflow",
        "Airflow (m3/h)",
        "Weight",
        "System pressure",
        "Actuator",
        "Height AFF",
    ],
)
def test_headings_that_leave_a_choice_stay_unmapped(heading: str) -> None:
    assert all(item.score < SURE for item in meanings(heading))


def test_units_and_orders_of_headings() -> None:
    assert [stated_unit(text) for text in ("Width (mm)", "Width [cm]", "Width / mm", "Width mm", "Rating (hr)")] == [
        "mm", "cm", "mm", "mm", "h"]  # fmt: skip
    assert [stated_unit(text) for text in ("Width", "Duct H", "Fixed in", "Width (mm or in)", "Size (W x H)")] == [
        ""
    ] * 5
    assert [stated_order(text) for text in ("Size WxH", "Size (H × W)", "Size")] == ["width-height", "height-width", ""]


def test_heading_rows_that_are_merged_and_have_units_below(tmp_path: Path) -> None:
    table: list[list[Any]] = [
        ["Invented Tower fire damper schedule", None, None, None],
        [],
        ["Damper ref", "Damper size", None, "Level"],
        [None, "Width", "Height", None],
        [None, "mm", "mm", None],
        ["FD-01", 600, 400, "L01"],
    ]
    merged = (MergedRange(1, 1, 1, 4), MergedRange(3, 1, 4, 1), MergedRange(3, 2, 3, 3))
    theirs = book(table, merged)
    found = find_heading_rows(theirs.sheets[0])
    assert found is not None
    assert (found.first, found.count) == (3, 3)
    rows, _ = read(tmp_path, theirs)
    size = rows["FD-01"].damper_size
    assert size is not None
    assert size.value == Size(Mm(600), Mm(400))


def test_totals_notes_blank_rows_and_headings_again_are_passed_over_and_said(tmp_path: Path) -> None:
    table: list[list[Any]] = [
        HEAD,
        ROWS[0],
        [],
        ["Level 4"],
        HEAD,
        ROWS[1],
        [None, "NOTE: sizes nominal"],
        ["Total", None, 2],
    ]
    rows, notes = read(tmp_path, book(table))
    assert sorted(rows) == ["FD-01", "FD-02"]
    for said in ("1 blank rows", "row 4 passed over (a note or a title): 'Level 4'", "row 5 passed over (the headings",
                 "row 7 passed over (a note", "row 8 passed over (a total)", "2 rows read"):  # fmt: skip
        assert said in notes
    kept, _ = read(tmp_path, book(table), ("notes = true", "notes = false"))
    assert "Level 4" in kept


def test_hidden_rows_are_read_and_marked_or_skipped_and_said(tmp_path: Path) -> None:
    rows, notes = read(tmp_path, book([HEAD, *ROWS], hidden_rows=(3,)))
    assert "this row is hidden in the sheet" in rows["FD-02"].remarks
    assert "1 hidden rows were read" in notes
    rows, notes = read(
        tmp_path, book([HEAD, *ROWS], hidden_rows=(3,)), ('hidden_rows = "read"', 'hidden_rows = "skip"')
    )
    assert sorted(rows) == ["FD-01"]
    assert "row 3 passed over (hidden)" in notes


def test_merged_cells_hold_downwards_and_never_across(tmp_path: Path) -> None:
    table: list[list[Any]] = [HEAD, ROWS[0], ["FD-02", None, "315 dia", "1hr"], ["FD-03", "L04", "see note", None]]
    theirs = book(table, (MergedRange(2, 2, 3, 2), MergedRange(4, 3, 4, 4)))
    rows, notes = read(tmp_path, theirs)
    storey = rows["FD-02"].storey
    assert storey is not None
    assert storey.value == "L03"
    assert "1 cells that are merged downwards" in notes
    assert (rows["FD-03"].duct_size, rows["FD-03"].rating) == (None, None)
    rows, _ = read(tmp_path, theirs, ('merged_cells = "fill down"', 'merged_cells = "not read"'))
    assert rows["FD-02"].storey is None


def test_formulas_are_not_read_unless_the_mapping_says_so(tmp_path: Path) -> None:
    formula = Cell(2, 2, CellKind.TEXT, "L03", "=A9")
    theirs = book([HEAD, ["FD-01", formula, "600x400"], ROWS[1]])
    rows, notes = read(tmp_path, theirs)
    assert rows["FD-01"].storey is None
    assert "=A9, last shown as L03" in notes
    rows, _ = read(tmp_path, theirs, ('formulas = "not read"', 'formulas = "as last shown"'))
    assert rows["FD-01"].storey is not None


def test_names_that_stand_twice_or_nowhere_are_marked_by_what_their_rows_say(tmp_path: Path) -> None:
    table: list[list[Any]] = [HEAD, ROWS[0], ["FD-01", "L05", "300x200"], [None, "L06", "Ø200"]]
    rows, notes = read(tmp_path, book(table))
    assert len(rows) == 3
    assert "FD-01" not in rows  # which of the two is meant is not known
    assert "the reference 'FD-01' stands more than once" in notes
    moved, _ = read(tmp_path, book([HEAD, table[3], [], table[2], table[1]]))
    assert set(moved) == set(rows)  # a name goes with its row, not with its place


def test_the_mapping_holds_for_the_next_revision(tmp_path: Path) -> None:
    kept = mapping(tmp_path, book([HEAD, *ROWS]))
    order = [4, 2, 0, 5, 1, 3]
    revision: list[list[Any]] = [
        ["Rev P02"],
        [],
        *([row[at] for at in order] for row in [HEAD, *ROWS, ["FD-03", "L09", "250x250", None, None, None]]),
    ]
    found = read_book(book([*revision[:2], [*revision[2], "Zone"], *revision[3:]]), kept, STEPS)
    rows, notes = found.rows, found.notes
    size = {row.reference: row for row in rows}["FD-01"].duct_size
    assert size is not None
    assert size.value == Size(Mm(600), Mm(400))
    assert len(rows) == 3
    assert "headings that the mapping does not know, kept as text: 'Zone'" in "\n".join(notes)


def test_a_mapped_heading_that_is_gone_or_stands_twice_is_a_fault_with_a_near_guess(tmp_path: Path) -> None:
    kept = mapping(tmp_path, book([HEAD, *ROWS]))
    other = ["Damper ref", "Level", "Duct size (WxH) cm", "Wall fire rating", "Level", None]
    with pytest.raises(InputError) as caught:
        read_book(book([other, *ROWS]), kept, STEPS)
    text = str(caught.value)
    assert "no heading 'Duct size (WxH) mm'" in text
    assert "is it now 'Duct size (WxH) cm'?" in text
    assert "the heading 'Level' in B1 and E1" in text
    with pytest.raises(InputError, match="in the top 60 rows"):
        read_book(book([["nothing"], ["here"]]), kept, STEPS)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('key = "reference"', 'key = "refrence"', "expected one of: reference"),
        ('key = "storey"', 'key = "reference"', "one heading for each key"),
        ('unit = "mm"', 'unit = "cm"', "the unit in the heading"),
        ('unit = "mm"', "", "mm, cm, m, in"),
        ('order = "width-height"', 'order = "height-width"', "the order in the heading"),
        ("heading_rows = 1", "heading_rows = 9", "heading_rows"),
        ("[skip]", "[skip]\nsecret = true", "secret"),
        ("schema = 1", "schema = 2", "schema"),
        ('key = "reference"', 'key = "words"', "no heading for 'reference'"),
        ("[skip]", "[skip", "a TOML file"),
    ],
)
def test_a_mapping_that_contradicts_itself_is_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        mapping(tmp_path, book([HEAD, *ROWS]), (old, new))
    assert said in str(caught.value)


def test_hostile_headings_stay_text_in_the_mapping(tmp_path: Path) -> None:
    hostile = ['Level"\n[skip]\nnotes = "x', "=cmd()", "a\x00b\u202ec", '"""', "\x7f\\"]
    theirs = book([[*HEAD, *hostile], [*ROWS[0], *hostile]])
    rows, _ = read(tmp_path, theirs)
    assert rows["FD-01"].storey is not None
    assert all("\n" not in remark and "\x00" not in remark for remark in rows["FD-01"].remarks)


@pytest.mark.parametrize(
    ("heading", "key", "found"),
    [("Airflow m³/h", "air_l_s", "m³"), ("Weight (lbs)", "weight_kg", "lbs"),
     ("Pressure kPa", "system_pressure_pa", "kpa")],
)  # fmt: skip
def test_a_heading_in_a_unit_that_is_not_read_can_not_be_mapped(
    tmp_path: Path, heading: str, key: str, found: str
) -> None:
    """The figures of these keys are read in l/s, kg and Pa alone."""
    column = f'\n[[column]]\nheading = "{heading}"\nkey = "{key}"\n'
    text = propose(book([[*HEAD, heading], [*ROWS[0], 5]]), STEPS).text().replace(f'  "{heading}",\n', "")
    path = tmp_path / "theirs.mapping.toml"
    path.write_text(text + column, "utf-8")
    with pytest.raises(InputError) as caught:
        read_mapping(path, "theirs.mapping.toml")
    assert f"found a heading in another unit ('{found}')" in str(caught.value)


def test_what_details_take_is_read_by_a_mapping_too_and_a_wrong_thread_is_named(tmp_path: Path) -> None:
    heads = ["Drop rod size", "Airflow l/s", "Fail position", "Damper weight kg", "Rod length mm"]
    table = [[*HEAD, *heads], [*ROWS[0], "M10", "420 l/s", "fails closed", "31,5 kg", 850], [*ROWS[1], "3/8", "1 m3/s"]]
    rows, notes = read(tmp_path, book(table))
    detail, other = rows["FD-01"].detail, rows["FD-02"].detail
    assert detail.rod_size is not None
    assert (detail.rod_size.value, str(detail.rod_size.origin)) == (
        "M10", "theirs.xlsx, sheet 'FD', row 2, column 'Drop rod size'")  # fmt: skip
    assert detail.air_l_s is not None
    assert detail.air_l_s.value == 420.0
    assert detail.fail_position is not None
    assert detail.fail_position.value is FailPosition.CLOSED
    assert detail.rod_length_mm is not None
    assert detail.rod_length_mm.value == 850.0
    assert (detail.weight_kg, other.rod_size, other.air_l_s) == (None, None, None)  # 31,5: no decimal point
    assert "column 'Drop rod size': found \"'3/8'\"; expected a metric thread like M10" in notes
    assert "column 'Airflow l/s': found '1 m3/s'; expected a number in l/s" in notes
