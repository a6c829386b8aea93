# SPDX-License-Identifier: Apache-2.0
import io
import zipfile
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest

from brattice.adapters.workbook import Cell, CellKind, Limits, MergedRange, Workbook, column_letter, read_workbook
from brattice.errors import InputError
from tests.adapters.workbook.made import PARTS, put, sheet_xml, text_cell, xlsx


def faults_of(path: Path, limits: Limits | None = None) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_workbook(path, file="s.xlsx", limits=limits)
    return [str(fault) for fault in caught.value.faults]


def only_fault(path: Path, limits: Limits | None = None) -> str:
    (fault,) = faults_of(path, limits)
    return fault


def read(path: Path) -> Workbook:
    return read_workbook(path, file="s.xlsx")


def test_every_kind_of_cell_comes_back_as_what_it_is(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Schedule"
    sheet.append(["text", 12, 12.5, True, date(2026, 3, 4), datetime(2026, 3, 4, 5, 6), "", "#N/A"])  # noqa: DTZ001
    sheet["B3"] = "=1+1"
    sheet.merge_cells("C4:D6")
    sheet.row_dimensions[3].hidden = True
    sheet.column_dimensions["B"].hidden = True
    book.create_sheet("Old").sheet_state = "hidden"
    path = tmp_path / "s.xlsx"
    book.save(path)
    got = read(path)
    schedule = got.sheets[0]
    assert schedule.cells == (
        Cell(1, 1, CellKind.TEXT, "text"),
        Cell(1, 2, CellKind.NUMBER, 12),
        Cell(1, 3, CellKind.NUMBER, 12.5),
        Cell(1, 4, CellKind.BOOL, True),
        Cell(1, 5, CellKind.DATE, date(2026, 3, 4)),
        Cell(1, 6, CellKind.DATE, datetime(2026, 3, 4, 5, 6)),  # noqa: DTZ001
        Cell(1, 8, CellKind.ERROR, "#N/A"),
        Cell(3, 2, CellKind.EMPTY, None, "=1+1"),
    )
    assert schedule.merged == (MergedRange(4, 3, 6, 4),)
    assert str(schedule.merged[0]) == "C4:D6"
    assert schedule.hidden_rows == (3,)
    assert schedule.hidden_columns == (2,)
    assert got.sheets[1].hidden
    assert got.notes == (
        "sheet 'Old' is hidden",
        "sheet 'Schedule' has 1 hidden rows",
        "sheet 'Schedule' has 1 hidden columns",
    )
    assert got.sheet([" schedule "]) is schedule
    assert got.sheet(["no such"]) is None


def test_a_formula_keeps_its_text_and_the_value_that_was_last_shown(tmp_path: Path) -> None:
    path = put(tmp_path, xlsx('<row r="2"><c r="A2"><f>B1*2</f><v>400</v></c><c r="B2" t="str"><f>A1</f></c></row>'))
    assert read(path).sheets[0].cells == (
        Cell(2, 1, CellKind.NUMBER, 400, "=B1*2"),
        Cell(2, 2, CellKind.EMPTY, None, "=A1"),
    )


def test_two_far_corners_cost_nothing_and_the_far_cell_is_named(tmp_path: Path) -> None:
    rows = f'<row r="1">{text_cell("A1", "a")}</row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
    assert only_fault(put(tmp_path, xlsx(rows))) == (
        "s.xlsx: sheet 'Schedule', cell XFD1048576: found a filled cell far outside; expected nothing beyond ALL200000"
    )


def test_a_cell_exactly_at_the_limit_is_read_and_one_beyond_is_not(tmp_path: Path) -> None:
    limits = Limits(rows=5, columns=3)
    at = put(tmp_path, xlsx('<row r="5"><c r="C5"><v>1</v></c></row>'), "at.xlsx")
    assert read_workbook(at, limits=limits).sheets[0].cells[0].name == "C5"
    for name, ref in (("row.xlsx", "C6"), ("column.xlsx", "D5")):
        beyond = put(tmp_path, xlsx(f'<row r="{ref[1:]}"><c r="{ref}"><v>1</v></c></row>'), name)
        assert f"cell {ref}" in only_fault(beyond, limits)


def test_a_huge_merged_range_is_refused_before_it_is_spread_out(tmp_path: Path) -> None:
    merged = '<mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells>'
    assert "found more than 200,000 merged cells (such as A1:XFD1048576)" in only_fault(put(tmp_path, xlsx("", merged)))


def test_a_document_type_is_refused_wherever_it_stands(tmp_path: Path) -> None:
    before = '<!DOCTYPE worksheet [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
    bomb = xlsx(xl__worksheets__sheet1_dot_xml=sheet_xml("", before=before))
    assert only_fault(put(tmp_path, bomb)) == (
        "s.xlsx: xl/worksheets/sheet1.xml: found a document type or entity in the XML; "
        "expected a workbook as Excel saves it"
    )
    wide = sheet_xml("", before=before).replace('version="1.0"', 'version="1.0" encoding="UTF-16"').encode("utf-16")
    assert "a document type" in only_fault(put(tmp_path, xlsx(customXml__item1_dot_xml=wide)))


def test_inflated_bytes_are_counted_while_reading(tmp_path: Path) -> None:
    path = put(tmp_path, xlsx(xl__media__big_dot_bin=b"\0" * 3_000_000))
    assert path.stat().st_size < 10_000
    limits = Limits(inflated_bytes=2 * 1024 * 1024)
    assert only_fault(path, limits) == "s.xlsx: found more than 2 MiB when unpacked; expected at most 2 MiB"
    assert read_workbook(path).sheets


def test_a_lying_header_does_not_hide_the_size(tmp_path: Path) -> None:
    data = bytearray(xlsx(xl__media__big_dot_bin=b"\0" * 3_000_000))
    size = (3_000_000).to_bytes(4, "little")
    assert data.count(size) == 2
    path = put(tmp_path, bytes(data.replace(size, (10).to_bytes(4, "little"))))
    assert any(word in only_fault(path, Limits(inflated_bytes=2 * 1024 * 1024)) for word in ("damaged member", "2 MiB"))


def test_members_are_counted(tmp_path: Path) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for number in range(2_001):
            archive.writestr(f"m{number}", b"")
    assert only_fault(put(tmp_path, buffer.getvalue())) == (
        "s.xlsx: found 2,001 members in the archive; expected at most 2,000"
    )


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (Limits(cells=3), "more than 3 cells"),
        (Limits(elements=10), "more than 10 XML elements"),
        (Limits(rows=1), "more than 1 rows"),
        (Limits(file_bytes=100), "a file of more than 0 MiB"),
        (Limits(text_length=3), "a text of 4 characters"),
        (Limits(sheets=0), "1 sheets"),
    ],
)
def test_each_bound_is_named(tmp_path: Path, limits: Limits, words: str) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c>{text_cell(f"B{n}", "abcd")}</row>' for n in (1, 2))
    assert any(words in fault for fault in faults_of(put(tmp_path, xlsx(rows)), limits))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "an old workbook (.xls)"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600) + "EncryptedPackage".encode("utf-16-le"),
            "protected by a password",
        ),
        (b"%PDF-1.7\n", "a PDF file"),
        (b"<html><body><table>", "a web page"),
        (b"version https://git-lfs", "a pointer to a file that is stored elsewhere"),
        (b"id,width\n1,2\n", "a text file"),
        (b"ISO-10303-21;", "an IFC or STEP file"),
        (bytes(range(256)), "a file of unknown kind"),
        (xlsx()[:300], "a damaged or cut-off archive"),
    ],
)
def test_what_is_no_workbook_is_named(tmp_path: Path, data: bytes, words: str) -> None:
    assert words in only_fault(put(tmp_path, data))


@pytest.mark.parametrize(
    ("member", "words"),
    [
        ("xl/workbook.bin", "a binary workbook (.xlsb)"),
        ("word/document.xml", "a text document (.docx)"),
        ("content.xml", "an OpenDocument file"),
        ("readme", "an archive without a workbook in it"),
    ],
)
def test_archives_of_other_kinds_are_named(tmp_path: Path, member: str, words: str) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr(member, "x")
    assert words in only_fault(put(tmp_path, buffer.getvalue()))


def test_a_strict_workbook_is_named_since_it_would_read_as_empty(tmp_path: Path) -> None:
    strict = PARTS["xl/workbook.xml"].replace(
        "http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://purl.oclc.org/ooxml/spreadsheetml/main"
    )
    assert "Strict Open XML" in only_fault(put(tmp_path, xlsx(xl__workbook_dot_xml=strict)))


def test_a_missing_file_and_broken_xml_are_named(tmp_path: Path) -> None:
    assert only_fault(tmp_path / "none.xlsx") == "s.xlsx: found no such file; expected a file that exists"
    assert "XML that is not well-formed" in only_fault(put(tmp_path, xlsx(xl__worksheets__sheet1_dot_xml="<a><b>")))
    nonsense = xlsx('<row r="1"><c r="A1"><v>NaN</v></c></row>')
    assert "a workbook that can't be understood" in only_fault(put(tmp_path, nonsense))


def test_numbers_beyond_reason_are_error_values(tmp_path: Path) -> None:
    path = put(tmp_path, xlsx('<row r="1"><c r="A1"><v>1e999</v></c><c r="B1"><v>1e16</v></c></row>'))
    assert [cell.kind for cell in read(path).sheets[0].cells] == [CellKind.ERROR, CellKind.ERROR]


def test_escaped_characters_are_read_as_what_they_stand_for(tmp_path: Path) -> None:
    path = put(tmp_path, xlsx(f'<row r="1">{text_cell("A1", "a_x0000_b_x005F_x0041_")}</row>'))
    assert read(path).sheets[0].cells[0].value == "a\0b_x0041_"


def test_column_letters() -> None:
    # counted by hand: 26 letters, then 26², the last column of a sheet is 16,384
    for number, letters in ((1, "A"), (26, "Z"), (27, "AA"), (702, "ZZ"), (703, "AAA"), (16_384, "XFD")):
        assert column_letter(number) == letters


def test_texts_of_several_pieces_read_as_one_and_what_is_said_of_their_sound_is_passed_over(tmp_path: Path) -> None:
    """Oracle: openpyxl's own reading of the same file."""
    pieces = "<r><rPr><b/></rPr><t>FD</t></r><r><t>-1</t></r>"
    sound = '<t>fire</t><rPh sb="0" eb="1"><t>sound</t></rPh>'
    strings = [f"<si>{pieces}</si>", f"<si>{sound}</si>", "<si><t/></si>", "<si><t>plain</t></si>"]
    cells = "".join(f'<c r="A{at}" t="s"><v>{at - 1}</v></c>' for at in range(1, 5))
    inline = f'<c r="B1" t="inlineStr"><is>{pieces}</is></c><c t="inlineStr"><is>{sound}</is></c>'
    rows = f'<row r="1">{cells[: len(cells) // 4]}{inline}</row>'
    rows += "".join(f'<row r="{at}"><c r="A{at}" t="s"><v>{at - 1}</v></c></row>' for at in range(2, 5))
    kinds = PARTS["[Content_Types].xml"].replace(
        "</Types>",
        '<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.'
        'spreadsheetml.sharedStrings+xml"/></Types>',
    )
    main = sheet_xml("").partition('xmlns="')[2].partition('"')[0]
    table = f'<sst xmlns="{main}">{"".join(strings)}</sst>'
    path = put(tmp_path, xlsx(rows, **{"[Content_Types]_dot_xml": kinds, "xl__sharedStrings_dot_xml": table}))
    got = {cell.name: cell.value for cell in read(path).sheets[0].cells}
    assert got == {"A1": "FD-1", "B1": "FD-1", "C1": "fire", "A2": "fire", "A4": "plain"}
    sheet = openpyxl.load_workbook(path)["Schedule"]
    assert got == {cell.coordinate: cell.value for row in sheet.iter_rows() for cell in row if cell.value}


def test_what_is_stored_under_a_merged_cell_is_not_read(tmp_path: Path) -> None:
    rows = f'<row r="1">{text_cell("A1", "shown")}{text_cell("B1", "under")}</row>'
    after = '<mergeCells count="1"><mergeCell ref="A1:B2"/></mergeCells>'
    sheet = read(put(tmp_path, xlsx(rows, after))).sheets[0]
    assert sheet.cells == (Cell(1, 1, CellKind.TEXT, "shown"),)
    assert sheet.merged == (MergedRange(1, 1, 2, 2),)


def test_an_empty_cell_with_a_link_is_empty(tmp_path: Path) -> None:
    after = '<hyperlinks><hyperlink ref="B1" location="Sheet2!A1"/></hyperlinks>'
    rows = f'<row r="1">{text_cell("A1", "a")}<c r="B1"/></row>'
    assert read(put(tmp_path, xlsx(rows, after))).sheets[0].cells == (Cell(1, 1, CellKind.TEXT, "a"),)
