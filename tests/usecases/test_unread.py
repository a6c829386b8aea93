# SPDX-License-Identifier: Apache-2.0
"""A row with a cell that was not read is never passed, whatever the cell's column is; rows passed over are said."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.foreign import MAPPING_KEYS
from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.queries import PENETRATION_FIELDS, field_of_key
from brattice.building.schedule import CellUnread, RowPassed, ScheduleSheet
from brattice.findings import Known, Origin
from brattice.usecases.check import Material
from brattice.usecases.report_model import PenetrationReport, RowAt
from brattice.usecases.states import PenetrationState
from brattice.usecases.unread import passed_rows, query_tail
from tests.helpers.facts import RIGID, judged, material_of, only

ANSWER = Origin("query Q-0001", "answered by A. Person on Note 4, 2026-10-05")


@pytest.fixture(scope="module")
def material(tmp_path_factory: pytest.TempPathFactory) -> Material:
    """A job of one penetration, within scope as it stands."""
    return material_of(RIGID, tmp_path_factory.mktemp("rigid"))


def unread(key: str, found: str = "see drawing") -> CellUnread:
    return CellUnread(Origin("s.xlsx", "sheet 'FD', row 4, column 'X'", ("C4",)), key, "X", found, "a value")


def report(
    material: Material, *cells: CellUnread, answered: Mapping[str, Known[Any]] | None = None, **row: Any
) -> PenetrationReport:
    """The answer once the row has these unread cells (and other facts changed)."""
    (tied,) = material.identified.tied
    assert tied.row is not None
    changed = replace(tied, row=replace(tied.row, unread=cells, **row))
    identified = replace(material.identified, tied=(changed,))
    return only(judged(replace(material, identified=identified, answered=answered or {})))


def test_the_row_as_it_stands_is_within_scope_and_says_where_it_stands(material: Material) -> None:
    told = report(material)
    assert told.state is PenetrationState.WITHIN_SCOPE
    assert told.row == RowAt("schedule.xlsx", "Schedule", 2)
    assert str(told.row) == "schedule.xlsx, sheet 'Schedule', row 2"


@pytest.mark.parametrize("key", DETAIL_FIELDS)
def test_an_unread_cell_of_what_details_take_is_a_note_and_changes_no_answer(material: Material, key: str) -> None:
    told = report(material, unread(key))
    assert told.state is PenetrationState.WITHIN_SCOPE
    (note,) = [item for item in told.findings if item.code == "cell-note"]
    assert not note.open
    assert (note.have, note.need, told.queries) == ("see drawing", "a value", ())


@pytest.mark.parametrize("key", ["", *(key for key in MAPPING_KEYS if key not in DETAIL_FIELDS)])
def test_no_unread_cell_of_a_column_that_is_judged_leaves_a_row_within_scope(material: Material, key: str) -> None:
    told = report(material, unread(key))
    assert told.state is PenetrationState.NOT_ENOUGH_KNOWN
    (finding,) = [item for item in told.findings if item.code == "cell-unknown"]
    assert finding.open
    assert (finding.have, finding.need) == ("see drawing", "a value")
    assert finding.origins[0].cells == ("C4",)
    (query,) = told.queries
    assert query.checks == ("cell",)
    if key in {"run_proven", "run_document"}:  # nothing states it here: its own question is asked, and can be answered
        assert query.missing.key == "penetration/P-0001/run-proven"
    else:  # another source states the fact, or there is no one fact: the sheet has to be corrected
        assert field_of_key(query.missing.key) is None
        assert "see drawing" in query.missing.text


def test_where_nothing_else_states_the_fact_its_own_question_is_asked_once(material: Material) -> None:
    told = report(material, unread("actuation", "motorised 24V"), actuation=None)
    (query,) = told.queries
    assert query.missing.key == "penetration/P-0001/actuation"
    assert "cell" in query.checks
    assert len(query.checks) > 1
    codes = {item.code for item in told.findings}
    assert "cell-unknown" in codes
    assert any(code.endswith("-unknown") for code in codes - {"cell-unknown"})  # as it is without the cell


def test_an_answer_about_the_fact_settles_the_cell_and_leaves_a_note(material: Material) -> None:
    (tied,) = material.identified.tied
    assert tied.row is not None
    assert tied.row.actuation is not None
    answer = Known(tied.row.actuation.value, ANSWER)
    told = report(material, unread("actuation"), answered={"penetration/P-0001/actuation": answer}, actuation=None)
    assert told.state is PenetrationState.WITHIN_SCOPE
    (note,) = [item for item in told.findings if item.code == "cell-note"]
    assert not note.open
    assert told.queries == ()


def test_an_answer_about_another_fact_settles_nothing(material: Material) -> None:
    answer = Known(150.0, ANSWER)
    told = report(material, unread("actuation"), answered={"penetration/P-0001/seal-depth-mm": answer})
    assert told.state is PenetrationState.NOT_ENOUGH_KNOWN


def test_two_cells_of_one_size_are_two_findings_and_one_query(material: Material) -> None:
    told = report(material, unread("damper_width_mm", "?x"), unread("damper_height_mm", "?y"), damper_size=None)
    assert sorted(item.have for item in told.findings if item.code == "cell-unknown") == ["?x", "?y"]
    assert [query.missing.key for query in told.queries] == ["penetration/P-0001/damper-size"]


@pytest.mark.parametrize(
    ("key", "tail"),
    [
        ("duct_size", "duct-size"),
        ("duct_width_mm", "duct-size"),
        ("damper_diameter_mm", "damper-size"),
        ("framed_height_mm", "framed-opening"),
        ("finished_size", "finished-clear-opening"),
        ("gap_left_mm", "gaps"),
        ("space_b", "spaces"),
        ("role", "barrier-role"),
        ("wall_type_code", "wall-type"),
        ("method", "protection-method"),
        ("thickness_mm", "thickness-mm"),
        ("seal_depth_mm", "seal-depth-mm"),
    ],
)
def test_a_key_of_the_schedule_asks_under_its_own_name(key: str, tail: str) -> None:
    assert query_tail(key) == tail
    assert tail in PENETRATION_FIELDS


def test_the_keys_that_ask_for_no_single_fact_are_these() -> None:
    # a name, a tie to the models, a place, a neighbour, free words: no one value of the penetration
    assert {key for key in MAPPING_KEYS if query_tail(key) not in PENETRATION_FIELDS} == {
        "reference", "permanent_id", "key", "words", "remarks", "shared_with",
        "duct_guids", "damper_guids", "barrier_guids", "x_m", "y_m", "z_m",
        "designers_reference", "contractors_reference", "asset_tag", "firestoppers_label", "alarm_address",
        *DETAIL_FIELDS,  # of orders, sheets and calculations
        *(key for key in MAPPING_KEYS if key.startswith("near_")),
    }  # fmt: skip


def test_a_row_that_was_passed_over_is_a_note_of_the_job_with_its_place(material: Material) -> None:
    sheets = (
        ScheduleSheet("s.xlsx", "FD", 2, (RowPassed(9, "a total", "Total; 3"), RowPassed(12, "hidden", "FD-09"))),
        ScheduleSheet("t.csv", "", 1, (RowPassed(3, "a note or a title", "Level 4"),)),
    )
    told = [item for item in judged(replace(material, sheets=sheets)).job_findings if item.code == "row-note"]
    assert {(item.subject, item.have, item.open, item.origins[0].place) for item in told} == {
        ("s.xlsx", "Total; 3", False, "sheet 'FD', row 9"),
        ("s.xlsx", "FD-09", False, "sheet 'FD', row 12"),
        ("t.csv", "Level 4", False, "row 3"),
    }
    assert passed_rows(()) == ()


def test_order_of_cells_changes_nothing(material: Material, tmp_path: Path) -> None:
    cells = (unread("rating", "-/60/60"), unread("actuation", "x"))
    assert report(material, *cells).findings == report(material, *reversed(cells)).findings
