# SPDX-License-Identifier: Apache-2.0
"""A query has one number, one state and one due date, and every output says them beside its question."""

import csv
import io
import json
from dataclasses import replace
from datetime import date, timedelta

import jsonschema
import openpyxl
import pytest

from brattice.adapters.report import findings_bytes, findings_schema, report_html
from brattice.adapters.report.register import register_csv, register_workbook
from brattice.building.queries import (
    Answer,
    QueryEvent,
    QueryStep,
    asked_of,
    issue_events,
    query_key,
    records_of,
    update_events,
)
from brattice.usecases.report_model import Report, with_numbers
from tests.helpers.outputs import HtmlShape
from tests.helpers.reports import AS_OF, sample_report

EPOCH = 1_788_220_800
Stands = dict[str, tuple[str, str, str | None]]


def events_of(report: Report, asked_on: date, due_days: int) -> list[QueryEvent]:
    events = update_events((), asked_of(report.queries), asked_on)
    return [*events, *issue_events(events, asked_on, due_days)]


@pytest.fixture(scope="module")
def report() -> Report:
    """The sample, asked 20 days ago with 10 days to answer, but for one that was answered and one asked today."""
    plain = sample_report()
    events = events_of(plain, AS_OF - timedelta(days=20), 10)
    first, second = sorted({event.key for event in events})[:2]
    number = next(event.number for event in events if event.key == first)
    events.append(
        QueryEvent(number, first, QueryStep.ANSWERED, AS_OF, answer=Answer("Noted", "A. Person", "D 1", AS_OF))
    )
    events = [event for event in events if event.key != second or event.step is QueryStep.ASKED]
    return with_numbers(plain, records_of(events))


def expected(report: Report) -> Stands:
    return {
        item.key: (item.number, item.state, item.due.isoformat() if item.due else None) for item in report.standings
    }


def test_the_sample_has_each_state(report: Report) -> None:
    assert {item.state for item in report.standings} == {"open", "overdue", "answered"}
    assert len({item.number for item in report.standings}) == len(report.standings)
    assert {item.key for item in report.standings} == {query_key(item.missing.key) for item in report.queries}


def test_on_the_due_date_itself_a_query_is_open_and_a_day_later_overdue() -> None:
    plain = sample_report()
    records = records_of(events_of(plain, AS_OF - timedelta(days=10), 10))
    assert {item.state for item in with_numbers(plain, records).standings} == {"open"}
    later = replace(plain, as_of=AS_OF + timedelta(days=1))
    assert {item.state for item in with_numbers(later, records).standings} == {"overdue"}


def test_the_findings_say_number_state_and_due_date(report: Report) -> None:
    found = json.loads(findings_bytes(report))
    jsonschema.Draft202012Validator(findings_schema()).validate(found)
    stands = expected(report)
    assert found["queries"]
    of_penetrations = [query for item in found["penetrations"] for query in item["queries"]]
    assert of_penetrations
    for query in (*found["queries"], *of_penetrations):
        assert (query["number"], query["state"], query["due"]) == stands[query_key(query["key"])]


def test_the_register_says_them_on_both_sheets_and_in_the_table(report: Report) -> None:
    stands = expected(report)
    book = openpyxl.load_workbook(io.BytesIO(register_workbook(report, epoch=EPOCH)))
    rows = list(book["Queries"].iter_rows(values_only=True))
    heads = [str(cell) for cell in rows[0]]
    assert len(rows) == len(report.queries) + 1
    for values in rows[1:]:
        row = dict(zip(heads, values, strict=True))
        due = row["Due"].date().isoformat() if row["Due"] is not None else None  # type: ignore[union-attr]
        assert (row["Number"], row["State"], due) == stands[query_key(str(row["Key"]))]
    table = csv.DictReader(io.StringIO(register_csv(report).decode("utf-8-sig"), newline=""))
    told = {row["Id"]: row["Queries"] for row in table}
    for item in report.penetrations:
        for query in item.queries:
            number, state, _ = stands[query_key(query.missing.key)]
            assert f"{number} ({state}" in told[item.penetration.id]


def test_the_page_says_them_at_the_party_and_at_the_penetration(report: Report) -> None:
    shape = HtmlShape(report_html(report).decode("utf-8"))
    lists = [element.text for element in shape.finished if element.attributes.get("class") == "queries"]
    assert len(lists) == sum(bool(item.queries) for item in report.penetrations)
    rows = [element.text for element in shape.finished if element.tag == "tr"]
    for number, state, due in expected(report).values():
        words = f"{state}, due {due}" if due else state
        assert any(number in text and words in text for text in lists)
        assert any(number in text and words in text for text in rows)


def test_a_report_without_the_list_has_no_numbers() -> None:
    found = json.loads(findings_bytes(sample_report()))
    assert {query["number"] for query in found["queries"]} == {None}
    assert "Q-0" not in report_html(sample_report()).decode("utf-8")
