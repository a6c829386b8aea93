# SPDX-License-Identifier: Apache-2.0
import csv
import io

import openpyxl
import pytest

from brattice.adapters.report import register_csv, register_workbook
from brattice.building.penetration import Size
from brattice.quantities import Mm
from brattice.usecases.words import code_words, count_words, id_runs, opening_words
from tests.helpers.reports import sample_report


def rows() -> dict[str, dict[str, str]]:
    text = register_csv(sample_report()).decode("utf-8-sig")
    return {row["Id"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


def test_one_row_a_penetration_with_what_was_asked_chosen_and_needed() -> None:
    row = rows()["P-0007"]
    assert row["State"] == "within scope"
    assert row["Class asked"] == "E 60 (ve i↔o) or ES 60 (ve i↔o)"
    assert row["Tested installation"] == "HV-10-FW-2 (Harrow & Vale HV-10)"
    assert row["Framed opening stated [mm]"] == "760 × 560"
    assert row["Framed opening needed"] == "720 × 520 to 780 × 580 mm"
    assert row["Finished clear opening needed"] == "660 × 460 to 720 × 520 mm"


def test_openings_of_an_installation_that_does_not_hold_say_so_beside_the_figures() -> None:
    row = rows()["P-0002"]
    for what in ("Framed opening needed", "Finished clear opening needed"):
        assert row[what].endswith(" mm (only where HV-10-RW-1 holds, which is outside scope here)")


def test_what_is_not_known_says_so() -> None:
    row = rows()["P-0013"]
    assert row["Seal stated"] == row["Barrier thickness"] == row["Gaps stated"] == "not known"
    assert "firestopper: P-0013: the named products of the seal" in row["Queries"]


def test_values_that_nobody_confirmed_are_named() -> None:
    table = rows()
    # the row of sleeping areas and escape routes is from memory; the period of fire resistance was read
    assert table["P-0002"]["Rests on values not confirmed"] == "eng.actuation.escape"
    assert table["P-0001"]["Rests on values not confirmed"] == ""


def test_the_workbook_has_its_sheets_and_asks_each_party() -> None:
    book = openpyxl.load_workbook(io.BytesIO(register_workbook(sample_report(), epoch=0)))
    assert book.sheetnames == [
        "Read me",
        "Settle first",
        "Penetrations",
        "Findings",
        "Queries",
        "Rows used",
        "Inputs",
        "Other services",
    ]
    first = next(book["Settle first"].iter_rows(min_row=2, max_row=2, values_only=True))
    assert first[:5] == (1, "Wall type W3: the fire resistance", "fire engineer", 3, "P-0003, P-0004, P-0005")
    parties = [row[3] for row in book["Queries"].iter_rows(min_row=2, values_only=True)]
    assert parties == sorted(str(party) for party in parties)
    cut_off = [row for row in book["Findings"].iter_rows(min_row=2, values_only=True) if row[0] == "models/annexe.ifc"]
    assert cut_off


@pytest.mark.parametrize(
    ("ids", "runs"),
    [
        ((), ()),
        (("P-0001",), (("P-0001", "P-0001"),)),
        (("P-0001", "P-0002"), (("P-0001", "P-0001"), ("P-0002", "P-0002"))),
        (("P-0009", "P-0010", "P-0011", "P-0013"), (("P-0009", "P-0011"), ("P-0013", "P-0013"))),
        (("A-1", "B-2", "C-3"), (("A-1", "A-1"), ("B-2", "B-2"), ("C-3", "C-3"))),
        (("P-9", "P-10", "P-11"), (("P-9", "P-9"), ("P-10", "P-10"), ("P-11", "P-11"))),
        (("x", "", "x"), (("x", "x"), ("", ""), ("x", "x"))),
    ],
)
def test_ids_that_follow_each_other_are_one_run(ids: tuple[str, ...], runs: tuple[tuple[str, str], ...]) -> None:
    assert id_runs(ids) == runs


def test_short_texts() -> None:
    assert code_words("supporting-construction-unknown") == "Supporting construction: not known"
    assert code_words("gap-change") == "Gap: to be changed"
    assert code_words("seal") == "Seal"
    assert count_words(1, "penetration") == "1 penetration"
    assert count_words(1200, "query", "queries") == "1,200 queries"
    assert opening_words(Size(Mm(100)), None) == "at least Ø 100 mm"
    assert opening_words(Size(Mm(100), Mm(200)), Size(Mm(100), Mm(200))) == "100 × 200 mm"
    assert opening_words(None, None) == ""
