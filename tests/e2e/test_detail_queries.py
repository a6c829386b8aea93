# SPDX-License-Identifier: Apache-2.0
"""What sheets leave to be settled, asked of each party and answered in its workbook, through the commands alone."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.queries import queries_text, read_answer, read_queries
from brattice.adapters.sheets import SCHEDULE, read_schedules, schedule_bytes
from brattice.building.detail_facts import DETAIL_FIELDS, missing_detail
from brattice.building.queries import QueryRecord, QueryState, detail_query_key, field_of_key, records_of
from brattice.cli.main import main
from brattice.cli.run import judge_folder
from brattice.errors import Fault, InputError
from brattice.findings import Known
from tests.helpers.jobs import STAMP
from tests.helpers.schedule_jobs import damper_row, schedule_job, write_rows

BY: dict[str, Any] = {"Answered by": "A. Person (invented)", "Document": "Note 4", "Date": date(2026, 10, 5)}
ROWS = (damper_row("FD-01", voltage="24 V"), damper_row("FD-02", storey="Level 2"), damper_row("FD-03", words="D/1"))
GOOD: Mapping[str, tuple[Any, str]] = {
    "grid": ("C/4", "C/4"),
    "centre_above_floor_mm": (2900, "2900.0"),
    "phase": (2, "2"),
    "handing": ("left", "left"),
    "actuator": ("M24", "M24"),
    "voltage": ("24V", "24V"),
    "end_switches": ("yes", "True"),
    "finish": ("galvanised", "galvanised"),
    "accessories": ("none", "()"),
    "weight_kg": ("18.5 kg", "18.5"),
    "rod_size": ("M10", "M10"),
    "rod_count": (4, "4"),
    "rod_length_mm": ("750 mm", "750.0"),
    "rods_protected": ("no", "False"),
    "anchor": ("Expansion anchor (invented)", "Expansion anchor (invented)"),
}
"""An answer as somebody types it, and the value as text; the words are those of the columns of the schedule."""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job of three dampers, checked and asked with its details."""
    folder = schedule_job(tmp_path / "job", ROWS)
    assert main(["check", str(folder)]) == 0
    assert main(["queries", str(folder), "--details"]) == 1
    return folder


def records(folder: Path) -> dict[str, QueryRecord]:
    return {record.key: record for record in records_of(read_queries(folder / "queries.csv"))}


def filled(folder: Path, party: str, cells: Mapping[str, Mapping[str, Any]], name: str = "back.xlsx") -> Path:
    """A party's workbook with cells of its sheet of details filled in, by id and heading."""
    book = openpyxl.load_workbook(folder / "queries" / f"{party}.xlsx")
    sheet = book["Details"]
    headings = {cell.value: at for at, cell in enumerate(sheet[1], start=1)}
    rows = {sheet.cell(row, 1).value: row for row in range(2, sheet.max_row + 1)}
    for number, given in cells.items():
        for heading, value in given.items():
            sheet.cell(rows[number], headings[heading]).value = value
    path = folder.parent / name
    book.save(path)
    return path


def voltages(folder: Path) -> dict[str, Any]:
    report = judge_folder(folder, lambda _: None).report
    return {item.penetration.id: item.penetration.detail.voltage for item in report.penetrations}


def test_a_fact_is_asked_once_of_its_party_with_all_that_wait_and_a_check_neither_asks_nor_forgets_it(
    job: Path, tmp_path: Path
) -> None:
    found = records(job)
    voltage = found["details/services-designer/voltage"]
    assert voltage.asked.holds_up == ("P-0002", "P-0003")  # the row of P-0001 states it
    keys = [key for key in found if key.startswith("details/services-designer/")]
    assert len(keys) == len(set(keys)) <= len(DETAIL_FIELDS)
    text = (job / "queries.csv").read_text("utf-8")
    assert main(["check", str(job)]) == 0  # a missing detail fact is no finding
    assert "voltage" not in json.dumps(json.loads((job / "out" / "findings.json").read_text("utf-8"))["queries"])
    assert (job / "queries.csv").read_text("utf-8") == text
    plain = schedule_job(tmp_path / "plain", ROWS)
    assert main(["check", str(plain)]) == 0
    assert not (plain / "queries.csv").exists()


def test_an_answer_settles_the_fact_of_its_penetration_with_file_and_row(job: Path) -> None:
    back = filled(job, "services-designer", {"P-0003": {"Voltage": "230 V", **BY}})
    assert main(["answers", str(job), str(back)]) == 1
    record = records(job)["details/services-designer/voltage"]
    assert (record.state, record.asked.holds_up) == (QueryState.OPEN, ("P-0002",))
    facts = voltages(job)
    assert facts["P-0002"] is None
    assert isinstance(facts["P-0003"], Known)
    assert facts["P-0003"].value == "230 V"
    said = "answered by A. Person (invented) on Note 4, 2026-10-05 (back.xlsx, sheet 'Details', row 4)"
    assert facts["P-0003"].origin.file == f"query {record.number}"
    assert facts["P-0003"].origin.place == said
    rest = filled(job, "services-designer", {"P-0002": {"Voltage": "24 V", **BY}}, "rest.xlsx")
    assert main(["answers", str(job), str(rest)]) == 1
    assert records(job)["details/services-designer/voltage"].state is QueryState.ANSWERED
    assert main(["check", str(job)]) == 0
    assert main(["queries", str(job), "--details"]) == 1
    assert records(job)["details/services-designer/voltage"].state is QueryState.ANSWERED


def test_the_same_answer_twice_adds_nothing_and_another_takes_its_place(job: Path) -> None:
    back = filled(job, "services-designer", {"P-0003": {"Voltage": "230 V", **BY}})
    main(["answers", str(job), str(back)])
    text = (job / "queries.csv").read_text("utf-8")
    main(["answers", str(job), str(back)])
    assert (job / "queries.csv").read_text("utf-8") == text
    other = filled(job, "services-designer", {"P-0003": {"Voltage": "24 V", **BY}}, "other.xlsx")
    main(["answers", str(job), str(other)])
    assert voltages(job)["P-0003"].value == "24 V"
    main(["answers", str(job), str(back)])  # an old file brings nothing back
    assert voltages(job)["P-0003"].value == "24 V"


def test_what_a_schedule_states_later_closes_the_query_and_what_contradicts_it_settles_nothing(job: Path) -> None:
    back = filled(job, "services-designer", {"P-0003": {"Voltage": "230 V", **BY}})
    main(["answers", str(job), str(back)])
    rows = [
        damper_row("FD-01", voltage="24 V"),
        damper_row("FD-02", storey="Level 2", voltage="24 V"),
        damper_row("FD-03", words="D/1", voltage="24 V"),
    ]
    write_rows(job / "schedule" / "schedule.xlsx", rows)
    facts = voltages(job)
    ids = {item.reference: name for name, item in _by_id(job).items()}
    assert facts[ids["FD-01"]].value == "24 V"
    contradicted = "P-0003"
    assert facts[contradicted] is None
    assert main(["check", str(job)]) == 0
    assert main(["queries", str(job), "--details"]) == 1
    record = records(job)["details/services-designer/voltage"]
    assert record.asked.holds_up == (contradicted,)
    for part in ("24 V", "230 V", record.number, "schedule/schedule.xlsx"):
        assert part in record.asked.text


def _by_id(folder: Path) -> dict[str, Any]:
    from brattice.adapters.project import LEDGER_FILE, read_ledger

    return {item.id: item.place for item in read_ledger(folder / LEDGER_FILE)}


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"P-0003": {"Handing": "sideways", **BY}}, "column 'Handing'"),
        ({"P-0003": {"Air flow [l/s]": "much", **BY}}, "column 'Air flow [l/s]'"),
        ({"P-0003": {"Voltage": "24 V", **BY, "Answered by": None}}, "without who answered"),
        ({"P-0003": {"Voltage": "24 V", **BY, "Document": None}}, "without the document"),
        ({"P-0003": {"Voltage": "24 V", **BY, "Date": None}}, "without their date"),
        ({"P-0001": {"Voltage": "24 V", **BY}}, "at P-0001, of which this was not asked"),
        ({"P-0003": {"Id": "P-0099", "Voltage": "24 V", **BY}}, "at P-0099"),
    ],
)
def test_one_fault_and_nothing_is_taken(
    job: Path, capsys: pytest.CaptureFixture[str], cells: dict[str, dict[str, Any]], said: str
) -> None:
    before = (job / "queries.csv").read_bytes()
    cells = {**cells, "P-0002": {"Voltage": "24 V", **BY}}
    capsys.readouterr()
    assert main(["answers", str(job), str(filled(job, "services-designer", cells))]) == 3
    told = " ".join(capsys.readouterr().err.split())
    assert said in told
    assert "sheet 'Details', row" in told
    assert (job / "queries.csv").read_bytes() == before


def test_cells_that_say_nothing_settle_nothing(job: Path) -> None:
    before = (job / "queries.csv").read_bytes()
    cells = {"P-0002": {"Voltage": "tbc"}, "P-0003": {"Voltage": "N/A", **BY}}
    main(["answers", str(job), str(filled(job, "services-designer", cells))])
    assert (job / "queries.csv").read_bytes() == before


def test_a_row_of_its_own_for_a_query_that_is_asked_in_cells_is_refused(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = records(job)["details/services-designer/voltage"]
    book = openpyxl.load_workbook(job / "queries" / "services-designer.xlsx")
    headings = [cell.value for cell in book["Queries"][1]]
    given = {"Number": record.number, "What is asked": record.asked.text, "Answer": "24 V", **BY}
    book["Queries"].append([given.get(str(heading)) for heading in headings])
    path = job.parent / "row.xlsx"
    book.save(path)
    assert main(["answers", str(job), str(path)]) == 3
    assert "its cells in 'Details'" in capsys.readouterr().err


def test_what_a_maker_states_is_asked_once_and_answered_with_a_note(job: Path) -> None:
    keys = [key for key in records(job) if key.endswith("/delivery_weeks")]
    assert len(keys) == 1
    assert field_of_key(keys[0]) is None
    assert len(records(job)[keys[0]].asked.holds_up) == 3


def faults_of_schedule(folder: Path, field: str, text: str) -> list[tuple[str, str]]:
    """What the reader of a schedule says against a text in a column, without its place."""
    path = folder / "schedule.xlsx"
    path.write_bytes(schedule_bytes([damper_row("FD-01", **{field: text})], stamp=STAMP))
    with pytest.raises(InputError) as caught:
        read_schedules([(path, "schedule.xlsx")])
    return [(fault.found, fault.expected) for fault in caught.value.faults]


@pytest.mark.parametrize("field", DETAIL_FIELDS)
def test_an_answer_is_read_as_the_schedule_reads_it_and_refused_with_its_message(field: str, tmp_path: Path) -> None:
    key = detail_query_key(DETAIL_FIELDS[field][1], missing_detail("P-0001", field).key.rpartition("/")[2])
    named = field_of_key(key)
    assert named is not None
    assert named.name == field
    if field in GOOD:
        typed, value = GOOD[field]
        assert str(read_answer(key, str(typed))) == value
    refused = read_answer(key, "no such word 7 x")
    column = SCHEDULE.column(field)
    if not isinstance(refused, Fault):
        assert column.expected in {"text", "texts separated by ;"}
        return
    assert [(refused.found, refused.expected)] == faults_of_schedule(tmp_path, field, "no such word 7 x")


def test_a_list_of_before_is_read_and_written_with_the_new_columns(tmp_path: Path) -> None:
    old = (
        "number,key,step,on,text,ask,checks,holds_up,due,answer,answered_by,document,document_date\n"
        "Q-0001,penetration/P-0001/rating,asked,2026-11-02,What?,architect,gap,P-0001,,,,,\n"
        "Q-0001,penetration/P-0001/rating,answered,2026-11-03,,,,,,EI 60,A. Person,Doc 1,2026-11-02\n"
    )
    path = tmp_path / "queries.csv"
    path.write_text(old, "utf-8")
    events = read_queries(path)
    assert events[1].answer is not None
    assert (events[1].answer.at, events[1].answer.source) == ("", "")
    path.write_text(queries_text(events), "utf-8")
    assert read_queries(path) == events
