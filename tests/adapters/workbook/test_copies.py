# SPDX-License-Identifier: Apache-2.0
"""A copy of somebody's workbook with columns added: every cell of theirs as it was, and what is not kept is said.

The workbooks are made by openpyxl and then given parts that it does not keep.
"""

import hashlib
import io
import re
import warnings
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table

from brattice.adapters.workbook import (
    ADDED,
    Additions,
    CellKind,
    CopyOf,
    Limits,
    Sheet,
    SheetAdditions,
    copied_beside,
    read_table_file,
    without_added,
)
from brattice.adapters.workbook.copy_csv import csv_with
from brattice.adapters.workbook.copy_xlsx import workbook_with
from brattice.errors import InputError

STAMP = datetime(2026, 3, 2, tzinfo=UTC)
KEYS = [column.key for column in ADDED if column.key != "cautions"]
END = "\n(end of Brattice's note)"
EVIL = '=HYPERLINK("http://invalid.example","x") <b>&amp; _x0041_ \u202e'


def additions(
    data: bytes, sheet: str = "FD", at: int = 3, notes: dict[str, str] | None = None, file: str = "s/fd.xlsx"
) -> Additions:
    rows = {
        at + 1: {key: f"{key} of the first" for key in KEYS},
        at + 2: {"id": "P-0002", "state": "not enough known", "findings": EVIL, "unread": "-x\nline\n" * 30},
        at + 40: {"id": "P-0040"},
    }
    given = SheetAdditions(sheet, at, rows, notes or {})
    return Additions(file, hashlib.sha256(data).hexdigest(), (given,), (("Job", "=1+1"), ("Caution", "Look.")))


def troubled() -> openpyxl.Workbook:
    """A workbook with most of what people put into a schedule."""
    book = openpyxl.Workbook()
    sheet: Any = book.active
    sheet.title = "FD"
    sheet["A1"] = "Fire dampers of an invented tower"
    sheet["A1"].font = Font(name="Georgia", size=18, bold=True, italic=True, color="FF004488")
    sheet.merge_cells("A1:F1")
    sheet.append(["", "Duct", "", "Wall", "", "Sum"])
    sheet.merge_cells("B2:C2")
    sheet.append(["Ref", "Width", "Height", "Rating", "On", "Area"])
    for row in range(4, 40):
        sheet.append([f"FD-{row}", row * 10, 0.5, "EI 60", date(2026, 1, row % 28 + 1), f"=B{row}*C{row}"])
        sheet.cell(row, 2).number_format = '0.0" mm"'
        sheet.cell(row, 4).fill = PatternFill("solid", fgColor="FFFFEE00")
        sheet.cell(row, 4).border = Border(left=Side("thick", color="FFFF0000"))
        sheet.cell(row, 3).alignment = Alignment(horizontal="right", text_rotation=45)
    sheet.append(["Total", None, None, None, None, "=SUM(F4:F39)"])
    sheet["A5"].comment = Comment("Is this the one by the stair?", "A. Reader (invented)", width=444, height=99)
    sheet["D4"].value = "x" * 32_767
    sheet.merge_cells("A6:A7")
    sheet.row_dimensions[5].height = 40
    sheet.row_dimensions[8].hidden = True
    sheet.column_dimensions["C"].hidden = True
    sheet.column_dimensions["B"].width = 33
    for letters in ("F", "G"):
        sheet.column_dimensions[letters].width = 17
    sheet.column_dimensions.group("H", "XFD", hidden=True)
    sheet.freeze_panes = "B4"
    sheet.auto_filter.ref = "A3:F40"
    sheet.print_area = "A1:F40"
    sheet.print_title_rows = "1:3"
    sheet.page_setup.orientation = "landscape"
    sheet.protection.sheet = True
    sheet.protection.password = "invented"
    yes_no = DataValidation("list", formula1='"EI 60,EI 120"')
    yes_no.add("D4:D39")
    sheet.add_data_validation(yes_no)
    rule: Any = CellIsRule
    sheet.conditional_formatting.add("B4:B39", rule("greaterThan", ["200"], font=Font(color="FFFF0000")))
    book.defined_names["Widths"] = DefinedName("Widths", attr_text="FD!$B$4:$B$39")
    chart = BarChart()
    chart.add_data(Reference(sheet, min_col=2, min_row=3, max_row=39), titles_from_data=True)
    other = book.create_sheet("Brattice notes")
    other["A1"] = "This sheet is theirs"
    other.add_chart(chart, "C3")
    listed = book.create_sheet("List")
    listed.append(["Code", "Kind"])
    listed.append(["W1", "board"])
    listed.add_table(Table(displayName="Walls", ref="A1:B2"))
    book.create_sheet("Secret").sheet_state = "veryHidden"
    return book


def saved(book: openpyxl.Workbook, **more: bytes) -> bytes:
    """The bytes of a workbook, with what formulas last showed (which openpyxl leaves out) and parts of other kinds."""
    out = io.BytesIO()
    book.save(out)
    new = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(out.getvalue())) as old, zipfile.ZipFile(new, "w") as archive:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                data = re.sub(rb"(</f>)<v ?/>", rb"\1<v>7</v>", re.sub(rb"(</f>)<v></v>", rb"\1<v>7</v>", data))
            archive.writestr(name, data)
        for name, data in more.items():
            archive.writestr(name, data)
    return new.getvalue()


DRAWN_ANEW = "charts are drawn anew in this copy and may look different from those of your own file"
WORKED_OUT = "formulas are worked out when this copy is opened; what they last showed is not in it"


def copied(tmp_path: Path, data: bytes, given: Additions | None = None) -> tuple[bytes, list[str]]:
    path = tmp_path / "theirs.xlsx"
    path.write_bytes(data)
    made = workbook_with(path, given or additions(data), STAMP, Limits())
    assert path.read_bytes() == data
    return made


def loaded(data: bytes, **how: bool) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return openpyxl.load_workbook(io.BytesIO(data), **how)


LOOK = ("number_format", "font", "fill", "border", "alignment", "protection")


def assert_theirs_kept(before: bytes, after: bytes) -> None:
    """Every cell, look and setting of the workbook before is the same in the workbook after."""
    for old, new in ((loaded(before), loaded(after)),):
        assert new.sheetnames[: len(old.sheetnames)] == old.sheetnames
        assert repr(dict(old.defined_names)) == repr(dict(new.defined_names))
        for sheet in old.worksheets:
            other = new[sheet.title]
            for place, cell in sheet._cells.items():
                if cell.value is None and not cell.has_style:
                    continue  # nothing stands there and nothing is seen
                same = other._cells[place]
                assert (cell.value, cell.data_type) == (same.value, same.data_type), place
                assert all(repr(getattr(cell, look)) == repr(getattr(same, look)) for look in LOOK), place
                if cell.comment is not None:
                    assert same.comment.text.startswith(cell.comment.text)
                    assert same.comment.author == cell.comment.author
            assert {str(item) for item in sheet.merged_cells.ranges} == {str(x) for x in other.merged_cells.ranges}
            for part in (
                "data_validations", "auto_filter", "print_area", "print_title_rows",
                "freeze_panes", "page_setup", "page_margins", "protection", "sheet_state", "tables", "sheet_view",
            ):  # fmt: skip
                assert repr(getattr(sheet, part)) == repr(getattr(other, part)), part
            rules = [
                [(str(item.sqref), repr(item.rules)) for item in one.conditional_formatting] for one in (sheet, other)
            ]
            assert rules[0] == rules[1]
            for row, size in sheet.row_dimensions.items():
                assert size.hidden == other.row_dimensions[row].hidden
                if size.customHeight:
                    assert size.height == other.row_dimensions[row].height
            wide = {i: (d.width, d.hidden) for d in other.column_dimensions.values() for i in range(d.min, d.max + 1)}
            for size in sheet.column_dimensions.values():
                for number in range(size.min, min(size.max, 6) + 1):
                    assert wide[number] == (size.width, size.hidden)


def parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_every_cell_format_and_setting_of_theirs_is_kept(tmp_path: Path) -> None:
    data = saved(troubled())
    made, notes = copied(tmp_path, data, additions(data, notes={"A5": "Asked twice.", "A7": "Merged.", "D9": "Wrong."}))
    assert notes == [DRAWN_ANEW, WORKED_OUT]
    assert_theirs_kept(data, made)
    assert b'fullCalcOnLoad="1"' in parts(made)["xl/workbook.xml"]
    assert len(loaded(made)["Brattice notes"]._charts) == 1


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("xl/ctrlProps/ctrlProp1.xml", "buttons and other controls"),
        ("customXml/item1.xml", "data of other programs"),
        ("xl/slicers/slicer1.xml", "slicers"),
        ("xl/threadedComments/t1.xml", "conversations on cells (as plain notes alone)"),
        ("_xmlsignatures/sig1.xml", "the signature, which would not hold for a copy"),
        ("xl/unheard/of.bin", "xl/unheard/of.bin"),
    ],
)
def test_what_the_copy_will_not_have_is_said(tmp_path: Path, part: str, words: str) -> None:
    data = saved(troubled(), **{part: b"<x/>"})
    made, notes = copied(tmp_path, data)
    assert part not in parts(made)
    assert notes[0] == f"not in this copy, and still in your own file: {words}"
    assert ("About this copy", notes[0]) in list(loaded(made)["Brattice notes (2)"].iter_rows(values_only=True))
    assert_theirs_kept(data, made)


def test_drawn_shapes_and_newer_formats_are_missed_and_said(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, part in parts(saved(troubled())).items():
            if name == "xl/drawings/drawing1.xml":
                at = part.rindex(b"</")
                part = part[:at] + b'<xdr:sp xmlns:xdr="urn:x"/>' + part[at:]
            if name == "xl/worksheets/sheet1.xml":
                more = b'<extLst><ext uri="{x}" xmlns:x14="urn:y"><x14:conditionalFormatting/></ext></extLst>'
                at = part.rindex(b"</")
                part = part[:at] + more + part[at:]
            archive.writestr(name, part)
    _, notes = copied(tmp_path, out.getvalue())
    assert notes[0] == (
        "not in this copy, and still in your own file: drawn shapes and text boxes, newer kinds of conditional "
        "formats, of lists in cells, and small charts in cells"
    )


def test_a_workbook_that_the_library_cannot_load_gives_no_copy(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, part in parts(saved(troubled())).items():
            if name == "xl/worksheets/sheet1.xml":  # well-formed, and without the attribute that ECMA-376 asks of it
                at = part.rindex(b"</")
                part = part[:at] + b"<extLst><ext/></extLst>" + part[at:]
            archive.writestr(name, part)
    with pytest.raises(InputError, match="can't be copied whole"):
        copied(tmp_path, out.getvalue())


def test_the_added_columns_stand_at_the_right_as_texts(tmp_path: Path) -> None:
    data = saved(troubled())
    made, _ = copied(tmp_path, data)
    sheet = loaded(made)["FD"]
    headings = [cell.value for cell in sheet[3]]
    assert headings[6:] == [column.heading for column in ADDED if column.key != "cautions"]
    assert [cell.value for cell in sheet[4]][6:] == [f"{key} of the first" for key in KEYS]
    evil = sheet.cell(5, 9)
    assert evil.data_type == "s"
    assert evil.value == EVIL.replace("\u202e", "⟨U+202E⟩").replace("_x0041_", "_x005F_x0041_")
    assert evil.quotePrefix
    assert sheet.cell(43, 7).value == "P-0040"  # a row that had no cell yet
    shown = read_table_file(_put(tmp_path, made)).sheets[0].row(5)[9]
    assert shown.value == EVIL.replace("\u202e", "⟨U+202E⟩")
    assert shown.formula == ""


def test_the_added_columns_are_seen_and_wide_though_theirs_beyond_are_hidden(tmp_path: Path) -> None:
    data = saved(troubled())
    made, _ = copied(tmp_path, data)
    sizes = loaded(made)["FD"].column_dimensions.values()
    by_number = {number: size for size in sizes for number in range(size.min, size.max + 1)}
    for number, column in enumerate((c for c in ADDED if c.key != "cautions"), start=7):
        assert (by_number[number].width, by_number[number].hidden) == (column.width, False)
    assert by_number[14].hidden
    assert by_number[16_384].hidden


def test_rows_grow_only_where_they_have_no_height_of_their_own(tmp_path: Path) -> None:
    book = troubled()
    data = saved(book)
    made, _ = copied(tmp_path, data, additions(data, at=4))
    sheet = loaded(made)["FD"]
    assert sheet.row_dimensions[5].height == 40
    assert sheet.row_dimensions[6].height == 90  # sixty lines, and no row is made higher than this
    assert sheet.row_dimensions[7].height is None


def _put(tmp_path: Path, data: bytes) -> Path:
    path = tmp_path / "back.xlsx"
    path.write_bytes(data)
    return path


def test_read_back_the_copy_is_the_workbook_without_what_was_added(tmp_path: Path) -> None:
    data = saved(troubled())
    made, _ = copied(tmp_path, data)
    first = without_added(read_table_file(_put(tmp_path, data)))
    again = without_added(read_table_file(_put(tmp_path, made)))

    def without_shown(sheet: Sheet) -> Sheet:
        """Formulas as they stand; what they last showed is not in a copy until somebody opens and saves it."""
        cells = tuple(replace(cell, value=None, kind=CellKind.TEXT) if cell.formula else cell for cell in sheet.cells)
        return replace(sheet, cells=cells)

    assert [without_shown(sheet) for sheet in again.sheets] == [without_shown(sheet) for sheet in first.sheets]


def test_a_copy_of_a_copy_says_the_new_things_in_the_old_places(tmp_path: Path) -> None:
    data = saved(troubled())
    once, _ = copied(
        tmp_path, data, additions(data, notes={"A5": "Old words.", "B9": "Old words.", "B10": "Old words."})
    )
    book = loaded(once)  # somebody opens and saves it in another program, and adds a column after ours
    book["FD"]["N3"], book["FD"]["N4"] = "Their remark", "stays"
    book["FD"]["B9"].comment.text += "\nAnswered by hand."
    again = io.BytesIO()
    book.save(again)
    data = again.getvalue()
    given = additions(data, notes={"A5": "New words."})
    made, _ = copied(tmp_path, data, given)
    sheet = loaded(made)["FD"]
    assert [cell.value for cell in sheet[3]][6:] == [
        *(column.heading for column in ADDED if column.key != "cautions"),
        "Their remark",
    ]
    assert sheet["N4"].value == "stays"
    assert sheet["A5"].comment.text.count("New words.") == 1
    assert sheet["A5"].comment.text.startswith("Is this the one by the stair?")
    assert sheet["B9"].comment.text.strip() == "Answered by hand."
    assert "Old words." not in "".join(c.comment.text for row in sheet.iter_rows() for c in row if c.comment)
    assert loaded(made).sheetnames == ["FD", "Brattice notes", "List", "Secret", "Brattice notes (2)"]
    columns = re.findall(rb'<c r="([A-Z]+)4"', parts(made)["xl/worksheets/sheet1.xml"])
    assert columns == sorted(columns)  # programs refuse a row whose cells are out of order


def test_notes_come_after_the_words_of_a_note_of_theirs(tmp_path: Path) -> None:
    data = saved(troubled())
    made, _ = copied(
        tmp_path, data, additions(data, notes={"A5": "Asked twice.", "A7": "Of the merged cell.", "D9": "<w>"})
    )
    sheet = loaded(made)["FD"]
    assert sheet["A5"].comment.text == f"Is this the one by the stair?\n\nBrattice: Asked twice.{END}"
    assert sheet["A6"].comment.text == f"Brattice: Of the merged cell.{END}"
    assert sheet["D9"].comment.text == f"Brattice: <w>{END}"
    assert [cell.comment for cell in sheet["B"] if cell.comment] == []


def test_the_sheet_of_notes_is_the_last_and_takes_no_name_of_theirs(tmp_path: Path) -> None:
    data = saved(troubled())
    made, _ = copied(tmp_path, data)
    book = loaded(made)
    assert book.sheetnames == ["FD", "Brattice notes", "List", "Secret", "Brattice notes (2)"]
    assert book["Brattice notes"]["A1"].value == "This sheet is theirs"
    told = list(book["Brattice notes (2)"].iter_rows(values_only=True))
    assert told == [
        ("Added by Brattice", None),
        ("Job", "=1+1"),
        ("Caution", "Look."),
        ("About this copy", DRAWN_ANEW),
        (None, WORKED_OUT),
    ]
    assert book["Brattice notes (2)"]["B2"].data_type == "s"


def test_macros_stay_and_are_named(tmp_path: Path) -> None:
    data = saved(troubled(), **{"xl/vbaProject.bin": b"MACRO"})
    made, notes = copied(tmp_path, data)
    assert parts(made)["xl/vbaProject.bin"] == b"MACRO"
    assert notes[-1] == "the macros of the workbook are in the copy as they came; nobody looked at them"


def test_the_same_input_gives_the_same_bytes(tmp_path: Path) -> None:
    data = saved(troubled())
    assert copied(tmp_path, data) == copied(tmp_path, data)


def test_prefixed_names_and_rows_without_numbers_are_understood(tmp_path: Path) -> None:
    """As the standard allows (ECMA-376 part 1, 18.3.1): `r` is optional on rows and cells; any prefix may be used."""
    data = saved(troubled())
    sheet = (
        b'<?xml version="1.0" encoding="UTF-8"?><x:worksheet '
        b'xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData>'
        b'<x:row/><x:row/><x:row spans="1:2"><x:c t="inlineStr"><x:is><x:t>Ref &gt; 1</x:t></x:is></x:c>'
        b"<x:c><x:v>3</x:v></x:c></x:row><x:row><x:c><x:v>4</x:v></x:c></x:row></x:sheetData></x:worksheet>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, part in parts(data).items():
            if name != "xl/worksheets/_rels/sheet1.xml.rels":
                archive.writestr(name, sheet if name == "xl/worksheets/sheet1.xml" else part)
    data = out.getvalue()
    made, _ = copied(tmp_path, data, additions(data, notes={"A4": "Here."}))
    back = loaded(made)["FD"]
    assert [cell.value for cell in back[3]][:3] == ["Ref > 1", 3, ADDED[0].heading]
    assert [cell.value for cell in back[4]][:3] == [4, None, "id of the first"]
    assert back["A4"].comment.text == f"Brattice: Here.{END}"


def test_another_file_than_the_one_judged_gives_no_copy(tmp_path: Path) -> None:
    data = saved(troubled())
    path, target = _put(tmp_path, data), tmp_path / "out.xlsx"
    given = additions(b"another")
    with pytest.raises(InputError, match="another file than the one that was judged"):
        workbook_with(path, given, STAMP, Limits())
    with copied_beside([CopyOf(path, target, lambda: given)], STAMP) as notes:
        pass
    assert not target.exists()
    assert len(notes) == 1
    assert notes[0].startswith("no copy of the schedule with columns added: s/fd.xlsx")


def test_the_process_beside_writes_what_the_program_would(tmp_path: Path) -> None:
    data = saved(troubled())
    given = additions(data, notes={"A5": "Asked twice."})
    path, target = _put(tmp_path, data), tmp_path / "out.xlsx"
    with copied_beside([CopyOf(path, target, lambda: given)], STAMP) as notes:
        assert notes == []
    assert target.read_bytes() == copied(tmp_path, data, given)[0]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_lines_of_a_csv_file_stay_and_columns_come_after(tmp_path: Path, encoding: str, mark: str) -> None:
    lines = [
        f"Title{mark}{mark}",
        "",
        mark.join(["Ref", "Größe", '"a ""b"" c"']),
        mark.join(["FD-1", '"two\r\nlines"']),
        "Total",
    ]
    data = "\r\n".join(lines).encode(encoding)
    path = tmp_path / "fd.csv"
    path.write_bytes(data)
    rows = {4: {key: f"{key} of it" for key in KEYS} | {"findings": "=1+1\n→", "cautions": "Look."}}
    rows[5] = {"cautions": "Row passed over: a total."}
    given = Additions("fd.csv", hashlib.sha256(data).hexdigest(), (SheetAdditions("", 3, rows, {}),), ())
    made, notes = csv_with(path, given, Limits())
    text = made.decode(encoding)
    assert (notes != []) == (encoding == "cp1252")  # which has no arrow
    for line in lines:
        assert line in text
    assert text.startswith(f"{lines[0]}\r\n\r\n")
    back = tmp_path / "back.csv"
    back.write_bytes(made)
    book = read_table_file(back)
    assert [cell.value for cell in book.sheets[0].row(3).values()][3:] == [column.heading for column in ADDED]
    assert book.sheets[0].row(4)[6].value == ("'=1+1; ?" if encoding == "cp1252" else "'=1+1; →")
    assert book.sheets[0].row(5)[11].value == "Row passed over: a total."
    assert without_added(book).sheets == read_table_file(path).sheets
    again = Additions("fd.csv", hashlib.sha256(made).hexdigest(), given.sheets, ())
    assert csv_with(back, again, Limits())[0].decode(encoding).count(ADDED[0].heading) == 1
