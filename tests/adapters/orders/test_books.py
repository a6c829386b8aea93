# SPDX-License-Identifier: Apache-2.0
"""The workbooks of orders, builders' work, cause and effect: read back, they say what the core said and no more."""

import io
import zipfile
from dataclasses import replace
from datetime import datetime
from typing import Any

import openpyxl
import pytest

from brattice.adapters.orders import (
    BUILDERS_WORK_FILE,
    CAUSE_EFFECT_FILE,
    ORDERS_FILE,
    builders_work_bytes,
    cause_effect_bytes,
    orders_bytes,
    schedule_books,
)
from brattice.orders.builders_work import BUILDERS_FIELDS
from brattice.orders.cause_effect import CAUSE_FIELDS
from brattice.orders.orders import ORDER_FIELDS
from brattice.orders.too_near import SHIFT_ADVICE, TOO_NEAR_FIELDS, ShiftStanding, TooNearGroup
from brattice.usecases.ordering import Schedules
from tests.helpers.books import read_book, read_lines
from tests.helpers.details import detail_of
from tests.helpers.ordered import HEAD, approved, powered, schedules, smoke, to_order, word
from tests.helpers.penetrations import with_facts
from tests.helpers.reports import HOSTILE

STAMP = datetime(2026, 11, 2, 8)  # noqa: DTZ001


def made() -> Schedules:
    before = (to_order(), to_order("P-0002"), to_order("P-0003"))
    now = (
        to_order(),
        smoke(powered("P-0002")),
        detail_of("missing facts", id="P-0004"),
        to_order("P-0005", "round in block wall"),
        detail_of("not drawn", id="P-0006"),
    )
    return schedules(*now, before=before)


def test_every_line_of_the_order_reads_back() -> None:
    given = made()
    book = read_book(orders_bytes(given, HEAD, stamp=STAMP))
    assert list(book) == ["Orders", "Held", "Changes", "Totals"]
    assert len(book["Orders"]) == len(given.orders.lines) == 3
    for row, line in zip(book["Orders"], given.orders.lines, strict=True):
        for key, heading in ORDER_FIELDS:
            assert row[heading] == line.texts[key]
        assert (row["Line"], row["Quantity"]) == (str(line.number), str(line.quantity))
        assert row["Penetrations"] == ", ".join(line.penetrations)
    assert [row["Since the issue before"] for row in book["Orders"]] == ["changed", "", "added"]


def test_every_reason_to_hold_is_a_row_with_whom_to_ask() -> None:
    given = made()
    rows = read_book(orders_bytes(given, HEAD, stamp=STAMP))["Held"]
    expected = [
        (held.id, str(reason.kind), reason.text, reason.ask_text)
        for held in given.orders.held
        for reason in held.reasons
    ]
    assert [(row["Id"], row["Kind"], row["What it waits for"], row["Whom to ask"]) for row in rows] == expected
    assert ("P-0004", "fact missing", "Mechanism: P-0001", "services designer") in expected


def test_changes_and_totals_read_back() -> None:
    book = read_book(orders_bytes(made(), HEAD, stamp=STAMP))
    changes = {(row["Change"], row["Penetrations"], row["What"], row["Before"], row["Now"]) for row in book["Changes"]}
    assert ("changed", "P-0002", "Voltage", "none", "24 V AC/DC") in changes
    assert ("added", "P-0005") in {item[:2] for item in changes}
    assert ("removed", "P-0003") in {item[:2] for item in changes}
    assert book["Totals"] == [{"Maker": "Harrow & Vale", "Phase": "2", "Quantity": "3", "Lines": "3"}]


def test_a_first_issue_says_that_nothing_is_compared() -> None:
    first = orders_bytes(schedules(to_order()), HEAD, stamp=STAMP)
    assert read_book(first)["Changes"] == []
    assert "There is no issue before this one to compare with." in read_lines(first)
    same = orders_bytes(schedules(to_order(), before=(to_order(),)), HEAD, stamp=STAMP)
    assert "Nothing changed since the issue before." in read_lines(same)
    counted = "Penetrations that changed since the issue before: added 1, changed 1, removed 1."
    assert counted in read_lines(orders_bytes(made(), HEAD, stamp=STAMP))


def test_every_opening_reads_back() -> None:
    given = made()
    book = read_book(builders_work_bytes(given, HEAD, stamp=STAMP))
    for row, work in zip(book["Builders' work"], given.builders_work.rows, strict=True):
        for key, heading in BUILDERS_FIELDS:
            assert row[heading] == work.texts[key]
        assert (row["Id"], row["State"], row["To be settled"]) == (work.id, str(work.state), work.settle_text)
    assert {row["Id"] for row in book["Not on the overlay"]} == {f"P-000{n}" for n in (1, 2, 4, 5, 6)}
    about = read_lines(builders_work_bytes(given, HEAD, stamp=STAMP))
    assert "Openings by state: form: 3, re-form: 0, as built: 0, held: 2." in about


def test_what_is_too_near_reads_back_with_the_advice_that_it_is() -> None:
    group = TooNearGroup(
        ("P-0001", "P-0002"),
        "Level 1",
        "W1",
        ("P-0001 has 180 mm to P-0002.", "=P-0002 has 180 mm to P-0001."),
        ShiftStanding.SMALLEST,
        ("P-0002: 20 mm to the right",),
        "Seen looking towards +y of the models: +x to the right.",
        ("Look again.",),
    )
    given = made()
    given = replace(given, builders_work=replace(given.builders_work, too_near=(group,)))
    data = builders_work_bytes(given, HEAD, stamp=STAMP)
    (row,) = read_book(data)["Too near"]
    assert row == {heading: group.texts[key] for key, heading in TOO_NEAR_FIELDS}
    assert row["Too near"] == "P-0001 has 180 mm to P-0002.\n=P-0002 has 180 mm to P-0001."
    assert set(SHIFT_ADVICE) <= set(read_lines(data))
    assert "Nothing is approved by it." in SHIFT_ADVICE[0]


def test_every_damper_and_point_reads_back() -> None:
    given = made()
    book = read_book(cause_effect_bytes(given, HEAD, stamp=STAMP))
    assert list(book) == ["Cause and effect", "Points", "Totals"]
    for row, cause in zip(book["Cause and effect"], given.cause_effect.rows, strict=True):
        for key, heading in CAUSE_FIELDS:
            assert row[heading] == cause.texts[key]
        assert row["To be settled"] == cause.settle_text
    assert [(row["Id"], row["Trade"], row["Signal"], row["Points"]) for row in book["Points"]] == [
        (point.id, str(point.trade), point.signal, point.count_text) for point in given.cause_effect.points
    ]


def test_places_without_a_damper_are_named() -> None:
    detail = detail_of("not drawn", id="P-0009")
    none = replace(detail, penetration=with_facts(detail.penetration, damper__present=False))
    books = schedule_books(schedules(none, to_order()), HEAD, stamp=STAMP)
    for name in (BUILDERS_WORK_FILE, CAUSE_EFFECT_FILE):
        assert "Without a damper and so without a row: P-0009." in read_lines(books[name])


def test_cautions_and_that_data_are_invented_stand_in_every_book() -> None:
    for data in schedule_books(made(), HEAD, stamp=STAMP).values():
        lines = read_lines(data)
        assert set(HEAD.cautions) <= set(lines)
        assert "All names and data here are invented." in lines
        assert "As of 2026-11-02. Revision: P02. Made by Brattice 0.0.1." in lines
    real = read_lines(orders_bytes(made(), replace(HEAD, invented=False, revision=""), stamp=STAMP))
    assert "All names and data here are invented." not in real
    assert "As of 2026-11-02. Revision: not issued. Made by Brattice 0.0.1." in real


def test_the_same_schedules_give_the_same_bytes() -> None:
    assert schedule_books(made(), HEAD, stamp=STAMP) == schedule_books(made(), HEAD, stamp=STAMP)
    data = orders_bytes(made(), HEAD, stamp=STAMP)
    times = {info.date_time for info in zipfile.ZipFile(io.BytesIO(data)).infolist()}
    assert times == {STAMP.timetuple()[:6]}
    assert orders_bytes(made(), HEAD, stamp=STAMP.replace(day=3)) != data


@pytest.mark.parametrize("text", [*HOSTILE, "=1+1", "+1", "-1", "@x", '=HYPERLINK("http://x","y")', "_x0041_"])
def test_texts_that_try_to_act_stay_texts(text: str) -> None:
    """`read_book` refuses a book with a formula in it."""
    detail = to_order("P-0001", figures={"phase": word("phase", text), "grid": word("grid", text)})
    place = with_facts(detail.penetration, location__storey=text, damper__access_side=text)
    held = detail_of("missing facts", id="P-0002", why=text)
    given = schedules(replace(detail, penetration=place), held, decisions=[approved(person=text, document=text)])
    books = schedule_books(given, replace(HEAD, job=text), stamp=STAMP)
    assert sorted(books) == [BUILDERS_WORK_FILE, CAUSE_EFFECT_FILE, ORDERS_FILE]
    for data in books.values():
        assert read_book(data)
    (row,) = read_book(books[ORDERS_FILE])["Orders"]
    assert row["Phase"].strip("\u202e") != ""


def test_a_job_without_anything_still_says_what_it_is() -> None:
    for data in schedule_books(schedules(), HEAD, stamp=STAMP).values():
        assert all(rows == [] for rows in read_book(data).values())
        assert read_lines(data)


def test_a_number_of_points_is_a_number_and_what_is_to_be_settled_is_none() -> None:
    data = cause_effect_bytes(schedules(smoke(powered()), detail_of("not drawn", id="P-0002")), HEAD, stamp=STAMP)
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Points"]
    found = {(sheet.cell(row, 1).value, sheet.cell(row, 6).value) for row in range(2, sheet.max_row + 1)}
    assert found == {("P-0001", 1), ("P-0002", "to be settled")}


def test_no_text_is_cut_off_by_the_cell_beside_it_and_every_page_says_whose_it_is() -> None:
    """A text that is not wrapped runs out of its cell, and is cut off where the next one is filled."""
    for name, data in schedule_books(made(), replace(HEAD, job="Cap & Bells &P"), stamp=STAMP).items():
        sheets: list[Any] = openpyxl.load_workbook(io.BytesIO(data)).worksheets
        for sheet in sheets:
            for row in sheet.iter_rows():
                for cell in row:
                    fits = len(str(cell.value or "")) <= sheet.column_dimensions[cell.column_letter].width
                    assert cell.alignment.wrap_text or fits, (name, sheet.title, cell.value)
            assert sheet.oddFooter.left.text.endswith(", revision P02, as of 2026-11-02: Cap && Bells &&P")
            assert sheet.oddFooter.right.text == "&A, page &P of &N"
            assert sheet.page_setup.orientation == "landscape"


def test_what_is_held_is_told_from_what_is_formed_at_a_glance() -> None:
    book: Any = openpyxl.load_workbook(io.BytesIO(builders_work_bytes(made(), HEAD, stamp=STAMP)))
    rows = list(book["Builders' work"].iter_rows(min_row=2))
    fills = {(row[2].value, cell.fill.fgColor.rgb if cell.fill.fill_type else "") for row in rows for cell in row}
    assert {state: {fill for name, fill in fills if name == state} for state in ("held", "form")} == {
        "held": {"FFF1F1F1"},
        "form": {""},
    }


def test_no_row_is_higher_than_programs_allow() -> None:
    """409 points, by the file format's own documentation of spreadsheet limits; from memory."""
    crowd = schedules(*(to_order(f"P-{number:04d}") for number in range(900)))
    book = openpyxl.load_workbook(io.BytesIO(orders_bytes(crowd, HEAD, stamp=STAMP)))
    heights = [size.height for size in book["Orders"].row_dimensions.values() if size.height]
    assert heights
    assert max(heights) <= 409
