# SPDX-License-Identifier: Apache-2.0
"""The laws of the list of queries: numbers for ever, only added to, no order, nothing twice."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brattice.building.queries import (
    PENETRATION_FIELDS,
    Answer,
    Asked,
    QueryEvent,
    QueryState,
    QueryStep,
    asked_of,
    field_of_key,
    is_overdue,
    issue_events,
    query_key,
    records_of,
    update_events,
)
from brattice.errors import OwnFault
from brattice.findings import Missing, Party, Query

DAY = date(2026, 11, 2)
KEYS = (
    "penetration/P-0001/seal-products",
    "penetration/P-0002/duct-size",
    "penetration/P-0002/duct-size/sources",
    "wall-type/W1/rating",
    "wall-type/W1/row",
    "model-rating/2 HR?",
    "place/abc/shape",
)


def question(key: str, text: str = "What?") -> Asked:
    return Asked(key, text, Party.FIRESTOPPER, ("seal",), ("P-0001",))


runs = st.lists(
    st.tuples(st.sets(st.sampled_from(KEYS)), st.sampled_from(["What?", "Which?"]), st.booleans()), max_size=8
)


@given(runs)
def test_any_run_of_checks_and_answers_keeps_the_laws(steps: list[tuple[set[str], str, bool]]) -> None:
    events: tuple[QueryEvent, ...] = ()
    numbers: dict[str, str] = {}
    for day, (keys, text, answered) in enumerate(steps):
        on = DAY + timedelta(days=day)
        asked = [question(key, text) for key in sorted(keys)]
        added = update_events(events, asked, on)
        assert added == update_events(events, list(reversed(asked)), on)  # the order does not matter
        events = (*events, *added)
        assert update_events(events, asked, on) == ()  # twice adds nothing
        events = (*events, *issue_events(events, on, 7))
        assert issue_events(events, on, 9) == ()
        records = {record.key: record for record in records_of(events)}
        assert {record.number for record in records.values()} == {f"Q-{n:04d}" for n in range(1, len(records) + 1)}
        for key, record in records.items():
            assert numbers.setdefault(key, record.number) == record.number  # for ever
            assert (record.state is QueryState.WITHDRAWN) <= (key not in keys)
            if key in keys and record.answer is None:
                assert record.state is QueryState.OPEN
            if key not in keys:
                assert record.state is not QueryState.OPEN
        if answered and keys:
            key = min(keys)
            answer = Answer("a text", "A. Person", "Doc 1", on)
            events = (*events, QueryEvent(records[key].number, key, QueryStep.ANSWERED, on, answer=answer))


def test_a_note_stays_answered_while_the_question_stays_and_opens_when_it_changes() -> None:
    key = "penetration/P-0002/duct-size/sources"
    events = update_events((), [question(key)], DAY)
    events += (QueryEvent("Q-0001", key, QueryStep.ANSWERED, DAY, answer=Answer("600", "A", "D", DAY)),)
    assert update_events(events, [question(key)], DAY) == ()
    (added,) = update_events(events, [question(key, "Which now?")], DAY)
    assert added.step is QueryStep.ASKED
    (record,) = records_of((*events, added))
    assert (record.state, record.answers) == (QueryState.OPEN, (Answer("600", "A", "D", DAY),))


def test_an_answer_that_did_not_settle_its_value_opens_the_query_again() -> None:
    key = "penetration/P-0001/seal-products"
    events = update_events((), [question(key)], DAY)
    events += (QueryEvent("Q-0001", key, QueryStep.ANSWERED, DAY, answer=Answer("mortar", "A", "D", DAY)),)
    (added,) = update_events(events, [question(key)], DAY)
    assert (added.number, added.step) == ("Q-0001", QueryStep.ASKED)


def test_overdue_begins_the_day_after_the_due_date() -> None:
    events = update_events((), [question(KEYS[0])], DAY)
    (record,) = records_of((*events, *issue_events(events, DAY, 7)))
    assert record.due == DAY + timedelta(days=7)
    assert not is_overdue(record, DAY + timedelta(days=7))
    assert is_overdue(record, DAY + timedelta(days=8))


def test_one_fact_spelt_by_two_checks_is_one_query_to_the_first_party() -> None:
    queries = [
        Query(Missing("penetration/P-0001/seal_products", "The names", Party.FIRESTOPPER), ("P-0001",), ("seal",)),
        Query(Missing("penetration/P-0001/seal-products", "The products", Party.ARCHITECT), ("P-0002",), ("gap",)),
    ]
    (asked,) = asked_of(queries)
    assert asked == Asked(
        "penetration/P-0001/seal-products",
        "The names; The products",
        Party.ARCHITECT,
        ("gap", "seal"),
        ("P-0001", "P-0002"),
    )


@pytest.mark.parametrize(
    ("key", "kind"),
    [
        ("penetration/P-0001/seal-products", "penetration"),
        ("penetration/P-0001/seal-products/sources", None),
        ("penetration/P-0001/damper-on-duct", None),
        ("penetration/P-0001/role-and-rating", None),
        ("penetration/seal-layers", None),
        ("wall-type/A/B/rating", "wall-type"),  # a code may hold a stroke
        ("wall-type/W1/thickness", "wall-type"),
        ("wall-type/W1/thickness/sources", None),
        ("wall-type/W1/row", None),
        ("model-rating/2 / 3 HR", "model-rating"),
        ("model-rating/", None),
        ("model-wall-type/Basic Wall/150", "model-wall-type"),
        ("model-wall-type/", None),
        ("place/x/shape", None),
        ("evidence/A/seal.depth_mm", None),
        ("rules/edition", None),
        ("job/dates/order", None),
        ("schedule/FD-1/tie", None),
    ],
)
def test_which_keys_a_value_settles(key: str, kind: str | None) -> None:
    named = field_of_key(key)
    assert (named.kind if named else None) == kind


def test_every_field_of_a_penetration_is_a_key() -> None:
    for name in PENETRATION_FIELDS:
        key = f"penetration/P-0001/{name}"
        assert field_of_key(query_key(key.replace("-m", "_m"))) is not None


@pytest.mark.parametrize(
    "events",
    [
        [QueryEvent("Q-0001", "a/b", QueryStep.WITHDRAWN, DAY)],
        [QueryEvent("Q-0001", "a/b", QueryStep.ASKED, DAY)],
        [QueryEvent("Q-0001", key, QueryStep.ASKED, DAY, question(key)) for key in ("a/b", "a/c")],
        [QueryEvent(number, "a/b", QueryStep.ASKED, DAY, question("a/b")) for number in ("Q-0001", "Q-0002")],
        [
            QueryEvent("Q-0001", "a/b", QueryStep.ASKED, DAY, question("a/b")),
            QueryEvent("Q-0001", "a/b", QueryStep.ANSWERED, DAY),
        ],
        [QueryEvent("1", "a/b", QueryStep.ASKED, DAY, question("a/b"))],
    ],
)
def test_a_list_that_cannot_be_is_refused(events: list[QueryEvent]) -> None:
    with pytest.raises(ValueError, match=r"Q-|number"):
        records_of(events)


def test_a_due_date_lies_not_in_the_past() -> None:
    with pytest.raises(OwnFault):
        issue_events((), DAY, -1)
