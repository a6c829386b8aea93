# SPDX-License-Identifier: Apache-2.0
"""An older revision of a document, loaded beside a newer one, no longer stands (trade handbook row 3.16).

How revisions are counted is common practice: letters, numbers or dates; another count tells no order.
"""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from datetime import date

import pytest

from brattice.evidence import Scope, judge_all, with_revisions
from brattice.evidence.installation import Document, TestedInstallation
from brattice.evidence.revisions import RevisionOrder, order_of
from brattice.findings import Verdict
from tests.evidence.cases import on
from tests.helpers.installations import installation
from tests.helpers.judging import BOOK, DATES, STEPS, judged, requirement, the_reason
from tests.helpers.penetrations import ORDINARY

CODE = "document-revision"
OLD, NEW = date(2022, 5, 1), date(2024, 5, 1)


def revised(name: str, revision: str, issued: date, **changes: object) -> TestedInstallation:
    document = {f"document__{key}": value for key, value in changes.items()}
    return installation(id=name, document__revision=revision, document__issued=issued, **document)


def verdicts(*items: TestedInstallation) -> dict[str, str]:
    found = {}
    for item in with_revisions(items):
        reason = the_reason(judged(tested=item), CODE)
        found[item.id] = reason.verdict.value
    return found


def order(one: str, other: str) -> RevisionOrder:
    paper: Document = installation().document
    return order_of(replace(paper, revision=one), replace(paper, revision=other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A", "B"), ("b", "C"), ("Z", "AA"), ("1", "2"), ("9", "10"), ("01", "2"), ("1.2", "1.10"), ("2", "2.1"),
        ("Rev. A", "revision B"), ("Issue 3", "Rev 4"), ("v1", "V2"), ("P01", "P02"), ("1a", "1b"), ("1b", "2a"),
        ("2023", "2024"), ("2023-11", "2024-02"), ("2024-02-28", "2024-03-01"), ("11/2023", "02/2024"),
        ("28.02.2024", "01.03.2024"), ("March 2023", "Feb 2024"), ("1 March 2024", "2 March 2024"),
        ("25/12/2023", "01/02/2024"), ("2023", "02/2024"), ("index A", "index B"), ("V", "W"),
    ],
)  # fmt: skip
def test_revisions_counted_in_one_way_tell_which_is_newer(one: str, other: str) -> None:
    assert order(one, other) is RevisionOrder.OLDER
    assert order(other, one) is RevisionOrder.NEWER


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A", "2"), ("A", "A1"), ("P03", "C01"), ("1", "1a"), ("final", "draft"), ("3", "2024"), ("2024", "2024-03"),
        ("01/02/2024", "02/01/2024"), ("2024-13", "2024-14"), ("A", "first"), ("rev", "A"), ("1.2.3.4.5.6", "2"),
    ],
)  # fmt: skip
def test_revisions_counted_otherwise_tell_nothing(one: str, other: str) -> None:
    assert order(one, other) is order(other, one) is RevisionOrder.NOT_TOLD


@pytest.mark.parametrize(
    ("one", "other"), [("A", "a"), ("Rev B", "b"), ("01", "1"), ("2", "2.0"), ("final", "Final"), ("2024-3", "03/2024")]
)
def test_one_revision_spelt_in_two_ways(one: str, other: str) -> None:
    assert order(one, other) is order(other, one) is RevisionOrder.SAME


def test_the_order_of_revisions_is_an_order() -> None:
    texts = [
        "A",
        "B",
        "C",
        "AA",
        "1",
        "2",
        "2.1",
        "10",
        "2023",
        "2024",
        "2024-03",
        "03/2024",
        "P1",
        "P2",
        "x-1",
        "final",
    ]
    back = {RevisionOrder.OLDER: RevisionOrder.NEWER, RevisionOrder.NEWER: RevisionOrder.OLDER}
    for a, b in itertools.product(texts, texts):
        assert order(b, a) is back.get(order(a, b), order(a, b))
    for a, b, c in itertools.product(texts, texts, texts):
        if order(a, b) is order(b, c) is RevisionOrder.OLDER:
            assert order(a, c) is RevisionOrder.OLDER, (a, b, c)


def test_an_older_revision_beside_a_newer_one_is_superseded() -> None:
    old, new = with_revisions([revised("old", "B", OLD), revised("new", "C", NEW)])
    before, after = judged(tested=old), judged(tested=new)
    assert (before.scope, after.scope) == (Scope.OUTSIDE, Scope.WITHIN)
    reason = the_reason(before, CODE)
    assert reason.text == "Superseded by revision C, which stands from 2024-05-01, by the order."
    assert reason.have == "DoP HV-10, revision B, issued 2022-05-01"
    assert reason.rows == ("product.revision",)
    assert the_reason(after, CODE).verdict is Verdict.PASS


def test_alone_nothing_is_to_be_checked() -> None:
    assert verdicts(revised("only", "B", OLD)) == {"only": "not applicable"}


def test_other_makers_and_other_documents_supersede_nothing() -> None:
    other_maker = replace(revised("b", "C", NEW), maker="Foss & Carrow")
    other_paper = revised("c", "D", NEW, reference="DoP HV-11")
    assert set(verdicts(revised("a", "B", OLD), other_maker, other_paper).values()) == {"not applicable"}


@pytest.mark.parametrize("reference", ["dop  HV-10", "DoP HV‑10", "DoP HV - 10"])
def test_one_reference_spelt_in_two_ways_is_one_document(reference: str) -> None:
    assert verdicts(revised("a", "B", OLD), revised("b", "C", NEW, reference=reference)) == {
        "a": "fail",
        "b": "pass",
    }


def test_two_installations_of_one_document_stand_both() -> None:
    assert set(verdicts(revised("a", "B", OLD), revised("b", "B", OLD)).values()) == {"not applicable"}


def test_an_order_that_cannot_be_told_leaves_both_open_and_asks() -> None:
    old, new = with_revisions([revised("a", "B", OLD), revised("b", "final", NEW)])
    for item in (old, new):
        judgment = judged(tested=item)
        assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
        (missing,) = judgment.missing
        assert missing.key == f"evidence/{item.id}/document.revision"
        assert missing.text == f"What DoP HV-10 says of {item.id}: which of its revisions is the newest: B, final"


def test_dates_of_issue_that_contradict_the_revisions_leave_both_open() -> None:
    assert verdicts(revised("a", "B", NEW), revised("b", "C", OLD)) == {
        "a": "not enough known",
        "b": "not enough known",
    }


@pytest.mark.parametrize("changes", [{"withdrawn_on": date(2025, 1, 1)}, {"valid_to": date(2025, 1, 1)}])
def test_a_revision_that_one_file_ends_and_another_does_not_is_open(changes: dict[str, object]) -> None:
    found = with_revisions([revised("a", "B", OLD), revised("b", "B", OLD, **changes)])
    judgment = judged(tested=found[0])
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert "is stated twice in the evidence" in the_reason(judgment, CODE).text


def test_a_newer_revision_counts_from_the_day_it_stands() -> None:
    old, _ = with_revisions([revised("a", "B", OLD), revised("b", "C", date(2026, 9, 1))])  # the day of the handover
    assert the_reason(judged(tested=old), CODE).verdict is Verdict.FAIL
    later, _ = with_revisions([revised("a", "B", OLD), revised("b", "C", date(2026, 9, 2))])
    judgment = judged(tested=later)
    assert judgment.scope is Scope.WITHIN
    assert "see what it changed" in the_reason(judgment, CODE).text
    open_date = judged(tested=later, dates=on(handover=None))
    assert the_reason(open_date, CODE).verdict is Verdict.UNKNOWN
    starts = revised("b", "C", NEW, valid_from=date(2027, 1, 1))
    waits, _ = with_revisions([revised("a", "B", OLD), starts])
    assert the_reason(judged(tested=waits), CODE).verdict is Verdict.PASS


def test_a_document_that_no_installation_rests_on_supersedes_all_the_same() -> None:
    newer = revised("b", "C", NEW).document
    (old,) = with_revisions([revised("a", "B", OLD)], [("harrow &  vale", newer)])
    assert the_reason(judged(tested=old), CODE).verdict is Verdict.FAIL


def test_twice_and_in_any_order_it_says_the_same() -> None:
    items = [revised(f"i{n}", revision, OLD) for n, revision in enumerate(("A", "B", "first", "B", "C"))]
    once = with_revisions(items)
    assert with_revisions(once) == once
    mixed = list(items)
    random.Random(4).shuffle(mixed)
    assert sorted(with_revisions(mixed), key=lambda item: item.id) == list(once)


def test_the_table_of_all_pairs_knows_of_other_revisions() -> None:
    items = [revised("old", "B", OLD), revised("new", "C", NEW)]
    table = judge_all([ORDINARY], [requirement()], items, DATES, BOOK, STEPS)
    assert table.scope(0, "old") is table.judgment(0, "old").scope is Scope.OUTSIDE
    assert table.scope(0, "new") is table.judgment(0, "new").scope is Scope.WITHIN
