# SPDX-License-Identifier: Apache-2.0
"""Queries from a missing fact to the answer that settles it, through the commands and the files alone."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from brattice.adapters.queries import read_queries
from brattice.building.queries import QueryRecord, QueryState, records_of
from brattice.cli.main import main
from tests.helpers.jobs import ORDINARY_WALL, Names, small_job

ANSWER = {"Answered by": "A. Person (invented)", "Document": "Seal note 4 (invented)", "Date": date(2026, 10, 5)}


def findings(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "out" / "findings.json").read_text("utf-8"))
    return found


def state(folder: Path) -> str:
    (item,) = findings(folder)["penetrations"]
    return str(item["state"])


def records(folder: Path) -> dict[str, QueryRecord]:
    return {record.key: record for record in records_of(read_queries(folder / "queries.csv"))}


def filled(path: Path, to: Path, answers: dict[str, dict[str, Any]]) -> Path:
    """A party's workbook with cells filled in, by number and heading, saved by another library's hand."""
    book = openpyxl.load_workbook(path)
    sheet = book["Queries"]
    headings = {cell.value: at for at, cell in enumerate(sheet[1], start=1)}
    rows = {sheet.cell(row, 1).value: row for row in range(2, sheet.max_row + 1)}
    for number, cells in answers.items():
        for heading, value in cells.items():
            sheet.cell(rows[number], headings[heading]).value = value
    book.save(to)
    return to


@pytest.fixture
def asked(tmp_path: Path) -> Path:
    """A job whose seal product nobody states, checked, with its queries written."""
    folder = small_job(tmp_path / "job", Names(extra_row={"seal_products": None}))
    assert main(["check", str(folder)]) == 1
    assert main(["queries", str(folder), "--due-days", "7"]) == 1
    return folder


def test_a_missing_seal_product_is_asked_answered_and_within_scope_by_that_answer(asked: Path, tmp_path: Path) -> None:
    assert state(asked) == "not enough known"
    (record,) = records(asked).values()
    assert (record.number, record.key) == ("Q-0001", "penetration/P-0001/seal-products")
    assert record.due == date(2026, 11, 9)  # seven days after the job's date
    assert {path.name for path in (asked / "queries").iterdir()} == {"firestopper.xlsx", "manifest.json"}
    back = filled(
        asked / "queries" / "firestopper.xlsx",
        tmp_path / "back.xlsx",
        {"Q-0001": {"Answer": "Cinderlock M5 mortar", **ANSWER}},
    )
    assert main(["answers", str(asked), str(back)]) == 0
    assert main(["check", str(asked)]) == 0
    assert state(asked) == "within scope"
    origin = "query Q-0001, answered by A. Person (invented) on Seal note 4 (invented), 2026-10-05"
    assert origin in (asked / "out" / "findings.json").read_text("utf-8")
    assert records(asked)["penetration/P-0001/seal-products"].state is QueryState.ANSWERED


def test_a_check_says_how_many_queries_are_open_and_overdue(asked: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(asked), "--as-of", "2026-11-09"])  # the due date itself
    assert "1 query open, 0 overdue" in capsys.readouterr().out
    main(["check", str(asked), "--as-of", "2026-11-10"])
    assert "1 query open, 1 overdue" in capsys.readouterr().out


def test_everything_twice_changes_nothing_and_rows_are_only_added(asked: Path, tmp_path: Path) -> None:
    texts = [(asked / "queries.csv").read_text("utf-8")]
    sheet = (asked / "queries" / "firestopper.xlsx").read_bytes()
    main(["check", str(asked)])
    main(["queries", str(asked), "--due-days", "30"])
    assert (asked / "queries.csv").read_text("utf-8") == texts[0]
    assert (asked / "queries" / "firestopper.xlsx").read_bytes() == sheet
    back = filled(
        asked / "queries" / "firestopper.xlsx",
        tmp_path / "back.xlsx",
        {"Q-0001": {"Answer": "Cinderlock M5 mortar", **ANSWER}},
    )
    for command in (["answers", str(asked), str(back)], ["check", str(asked)]):
        for _ in range(2):
            main(command)
            texts.append((asked / "queries.csv").read_text("utf-8"))
    assert texts[1] == texts[2] == texts[3] == texts[4]
    assert texts[1].startswith(texts[0])
    assert texts[1] != texts[0]


def test_an_answer_that_contradicts_the_schedule_is_never_taken_silently(asked: Path, tmp_path: Path) -> None:
    back = filled(
        asked / "queries" / "firestopper.xlsx",
        tmp_path / "back.xlsx",
        {"Q-0001": {"Answer": "Another stopper's batt", **ANSWER}},
    )
    assert main(["answers", str(asked), str(back)]) == 0
    other = small_job(tmp_path / "other")  # the schedule now names the product of the test
    (asked / "schedule" / "schedule.xlsx").write_bytes((other / "schedule" / "schedule.xlsx").read_bytes())
    assert main(["check", str(asked)]) == 1
    assert state(asked) == "not enough known"
    question = records(asked)["penetration/P-0001/seal-products/sources"]
    assert question.number == "Q-0002"
    for part in ("Cinderlock M5 mortar", "Another stopper's batt", "query Q-0001"):
        assert part in question.asked.text
    main(["queries", str(asked)])
    back = filled(
        asked / "queries" / "firestopper.xlsx",
        tmp_path / "note.xlsx",
        {"Q-0002": {"Answer": "The schedule is right.", **ANSWER}},
    )
    assert main(["answers", str(asked), str(back)]) == 0
    assert main(["check", str(asked)]) == 1  # a note passes nothing
    assert state(asked) == "not enough known"
    assert records(asked)["penetration/P-0001/seal-products/sources"].state is QueryState.ANSWERED


@pytest.mark.parametrize("word", ["tbc", "unknown", "To be confirmed", "?", ""])
def test_words_that_say_nothing_settle_nothing(asked: Path, tmp_path: Path, word: str) -> None:
    before = (asked / "queries.csv").read_bytes()
    back = filled(
        asked / "queries" / "firestopper.xlsx", tmp_path / "back.xlsx", {"Q-0001": {"Answer": word, **ANSWER}}
    )
    assert main(["answers", str(asked), str(back)]) == 1
    assert (asked / "queries.csv").read_bytes() == before
    main(["check", str(asked)])
    assert state(asked) == "not enough known"


def test_a_fact_that_the_schedule_states_after_all_withdraws_its_query_and_comes_back(
    asked: Path, tmp_path: Path
) -> None:
    key = "penetration/P-0001/seal-products"
    lacking = (asked / "schedule" / "schedule.xlsx").read_bytes()
    other = small_job(tmp_path / "other")
    (asked / "schedule" / "schedule.xlsx").write_bytes((other / "schedule" / "schedule.xlsx").read_bytes())
    assert main(["check", str(asked), "--as-of", "2026-11-03"]) == 0
    assert (records(asked)[key].state, records(asked)[key].since) == (QueryState.WITHDRAWN, date(2026, 11, 3))
    (asked / "schedule" / "schedule.xlsx").write_bytes(lacking)
    assert main(["check", str(asked), "--as-of", "2026-11-04"]) == 1
    again = records(asked)[key]
    assert (again.state, again.number, again.due) == (QueryState.OPEN, "Q-0001", None)
    assert again.first_asked == date(2026, 11, 2)


def test_a_rating_of_a_wall_type_is_settled_for_every_penetration_of_it(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", Names(rating="_FIRE-RATING_"), wall={**ORDINARY_WALL, "rating": None})
    assert main(["check", str(folder)]) == 1
    main(["queries", str(folder)])
    wanted = records(folder)
    rating = wanted["wall-type/W1/rating"]
    back = filled(
        folder / "queries" / "fire-engineer.xlsx",
        tmp_path / "back.xlsx",
        {record.number: {"Answer": "EI 60", **ANSWER} for record in wanted.values()},
    )
    assert rating.asked.ask.value == "fire engineer"
    assert main(["answers", str(folder), str(back)]) == 0
    main(["check", str(folder)])
    assert state(folder) == "within scope", records(folder)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"Document": None}, "without the document"),
        ({"Answered by": None}, "without who answered"),
        ({"Date": None}, "without its date"),
        ({"Date": "next week"}, "a date"),
        ({"What is asked": "Something else"}, "another question"),
        ({"Number": "Q-0099"}, "Q-0099"),
        ({"Number": "Q-1"}, "Q-1"),
        ({"Answer": "=1+1"}, "formula"),
        ({"Answer": "Cinderlock M5 mortar; tbc"}, "texts separated by ;"),
    ],
)
def test_what_is_wrong_with_a_returned_sheet_is_said_and_nothing_is_taken(
    asked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], cells: dict[str, Any], said: str
) -> None:
    before = (asked / "queries.csv").read_bytes()
    full = {"Answer": "Cinderlock M5 mortar", **ANSWER, **cells}
    back = filled(asked / "queries" / "firestopper.xlsx", tmp_path / "back.xlsx", {"Q-0001": full})
    assert main(["answers", str(asked), str(back)]) == 3
    error = capsys.readouterr().err
    assert said in error
    assert "row 2" in error
    assert "Traceback" not in error
    assert (asked / "queries.csv").read_bytes() == before


def test_two_files_that_answer_differently_and_a_file_that_is_none_come_at_once(
    asked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = asked / "queries" / "firestopper.xlsx"
    one = filled(sheet, tmp_path / "one.xlsx", {"Q-0001": {"Answer": "Cinderlock M5 mortar", **ANSWER}})
    two = filled(sheet, tmp_path / "two.xlsx", {"Q-0001": {"Answer": "Another", **ANSWER}})
    assert main(["answers", str(asked), str(one), str(two)]) == 3
    assert "differently" in capsys.readouterr().err
    (tmp_path / "no.xlsx").write_bytes(b"PK\x03\x04 rubbish")
    (tmp_path / "none.csv").write_text("a,b\n1,2\n", "utf-8")
    assert main(["answers", str(asked), str(tmp_path / "no.xlsx"), str(tmp_path / "none.csv")]) == 3
    error = capsys.readouterr().err
    assert "no.xlsx" in error
    assert "none.csv" in error


def test_an_answer_to_a_withdrawn_query_is_refused(
    asked: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    back = filled(
        asked / "queries" / "firestopper.xlsx",
        tmp_path / "back.xlsx",
        {"Q-0001": {"Answer": "Cinderlock M5 mortar", **ANSWER}},
    )
    other = small_job(tmp_path / "other")
    (asked / "schedule" / "schedule.xlsx").write_bytes((other / "schedule" / "schedule.xlsx").read_bytes())
    main(["check", str(asked)])
    assert main(["answers", str(asked), str(back)]) == 3
    assert "withdrawn" in capsys.readouterr().err


def test_a_sheet_that_was_filled_in_where_it_lies_is_never_lost(asked: Path) -> None:
    sheet = asked / "queries" / "firestopper.xlsx"
    filled(sheet, sheet, {"Q-0001": {"Answer": "Cinderlock M5 mortar", **ANSWER}})
    typed = sheet.read_bytes()
    main(["queries", str(asked)])
    assert (asked / "queries" / "firestopper (kept).xlsx").read_bytes() == typed
    assert main(["answers", str(asked), str(asked / "queries" / "firestopper (kept).xlsx")]) == 0


def test_without_a_check_there_is_nothing_to_ask(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = small_job(tmp_path / "job")
    assert main(["queries", str(folder)]) == 3
    assert "brattice check" in capsys.readouterr().err


def test_a_spoilt_list_stops_the_check_with_row_and_column(asked: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = asked / "queries.csv"
    spoilt = path.read_text("utf-8").replace("Q-0001", "Q-x", 1)
    path.write_text(spoilt, "utf-8")
    assert main(["check", str(asked)]) == 3
    assert "queries.csv: row 2, column 'number'" in capsys.readouterr().err
    assert path.read_text("utf-8") == spoilt


HOSTILE = "=cmd|' /C calc'!A0 \x00\u202e_x0041_ <b>&\n'"


def test_hostile_names_go_through_the_whole_round(tmp_path: Path) -> None:
    folder = small_job(tmp_path / "job", Names(job="=1+1 <b>", rating="2 HR? \u202e=x _x0041_", storey="=1"))
    other = small_job(tmp_path / "other", Names(extra_row={"wall_type_code": None, "rating": None}))
    (folder / "schedule" / "schedule.xlsx").write_bytes((other / "schedule" / "schedule.xlsx").read_bytes())
    main(["check", str(folder)])
    assert main(["queries", str(folder)]) == 1
    wanted = records(folder)
    rating = next(record for key, record in wanted.items() if key.startswith("model-rating/"))
    assert rating.key == "model-rating/2 HR? \u202e=x _x0041_"
    party = f"{rating.asked.ask.value.replace(' ', '-')}.xlsx"
    back = filled(
        folder / "queries" / party,
        tmp_path / "back.xlsx",
        {rating.number: {"Answer": "EI 60", **ANSWER, "Document": "'" + HOSTILE.replace("\x00", "")}},
    )
    assert main(["answers", str(folder), str(back)]) == 1
    main(["check", str(folder)])
    assert records(folder)[rating.key].state is QueryState.ANSWERED
    assert "Traceback" not in (folder / "queries.csv").read_text("utf-8")
    for line in (folder / "queries.csv").read_text("utf-8").splitlines():
        assert not any(cell.startswith(("=", "+", "@")) for cell in line.replace('"', "").split(","))


# --- who is asked -----------------------------------------------------------------------------------------------------


def asks(folder: Path) -> set[str]:
    """Every party that findings.json names for a missing fact, wherever it stands."""

    def walk(thing: Any) -> list[str]:
        if isinstance(thing, dict):
            own = [str(thing["ask"])] if "ask" in thing else []
            return own + [name for value in thing.values() for name in walk(value)]
        return [name for item in thing for name in walk(item)] if isinstance(thing, list) else []

    return set(walk(findings(folder)))


def with_parties(folder: Path, *tables: str) -> Path:
    path = folder / "brattice.toml"
    path.write_text(path.read_text("utf-8") + "\n" + "\n".join(f"[[party]]\n{table}\n" for table in tables), "utf-8")
    return folder


def test_the_job_decides_whom_a_fact_is_asked_of(asked: Path) -> None:
    usual = asks(asked)
    assert "architect" not in usual
    with_parties(asked, 'facts = ["seal-products"]\nask = "architect"', 'facts = ["*"]\nask = "client"')
    assert main(["check", str(asked)]) == 1
    assert asks(asked) == {"architect"}  # the first table that names it decides
    assert main(["queries", str(asked)]) == 1
    assert [path.stem for path in sorted((asked / "queries").glob("*.xlsx"))] == ["architect"]
    (record,) = records(asked).values()
    assert (record.number, record.asked.ask, record.state) == ("Q-0001", "architect", QueryState.OPEN)
    assert record.due == date(2026, 11, 9)  # still the date that was given first


@pytest.mark.parametrize(
    ("name", "takes"),
    [
        ("seal-products", True),
        ("seal-*", True),
        ("penetration/*/seal-products", True),
        ("penetration/P-0001/*", True),
        ("seal", False),
        ("Seal-products", False),
        ("wall-type/*/seal-products", False),
    ],
)
def test_a_table_names_facts_by_their_keys_and_a_name_that_none_has_is_noted(
    asked: Path, name: str, takes: bool
) -> None:
    with_parties(asked, f'facts = ["{name}"]\nask = "building control"')
    assert main(["check", str(asked)]) == 1
    assert ("building control" in asks(asked)) is takes
    notes = [item for item in findings(asked)["job_findings"] if item["code"] == "party-rule-note"]
    assert [(item["have"], item["open"]) for item in notes] == ([] if takes else [(name, False)])


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ('facts = []\nask = "client"', "party"),
        ('facts = ["rating"]\nask = "the boss"', "the boss"),
        ('facts = ["rating"]\nask = "client"\nwhy = "x"', "why"),
        ('facts = ["rating"]', "ask"),
    ],
)
def test_a_table_of_parties_that_says_nothing_is_a_fault(
    asked: Path, table: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with_parties(asked, table)
    assert main(["check", str(asked)]) == 3
    told = capsys.readouterr().err
    assert "brattice.toml" in told
    assert message in told
