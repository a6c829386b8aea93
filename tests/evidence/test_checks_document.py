# SPDX-License-Identifier: Apache-2.0
"""Level, standard and standing of the document; marking and certificate."""

from __future__ import annotations

from datetime import date

import pytest

from brattice.evidence import KeyDates, Scope
from brattice.evidence.installation import DamperKind, DocumentLevel
from brattice.findings import Party
from tests.evidence.cases import FAIL, NA, PASS, UNKNOWN, Case, on, outcome
from tests.helpers.judging import BASIS, judged, the_reason

SMOKE = {"kind": DamperKind.SMOKE_CONTROL_DAMPER, "class_text": "E 90 (ved i↔o) S 500 C300 AA multi"}
NONE: frozenset[str] = frozenset()
CE, UKCA = frozenset({"CE"}), frozenset({"UKCA"})
DAYS = {
    "standing-at-order": "order",
    "standing-at-placing-on-market": "placed_on_market",
    "standing-at-installation": "installation",
    "standing-at-handover": "handover",
}
DAY = date(2026, 6, 15)


def document(**changes: object) -> dict[str, object]:
    return {f"document__{name}": value for name, value in changes.items()}


def placed(day: date, marking: frozenset[str], outcome: object, **tested: object) -> Case:
    return Case("marking", outcome, tested=document(marking=marking) | tested, dates=on(placed_on_market=day))  # type: ignore[arg-type]


CASES = [
    # row 3.16: what a site needs
    Case("document-level", PASS),
    Case("document-level", UNKNOWN, tested=document(instructions=None)),
    Case("document-level", UNKNOWN, tested=document(level=DocumentLevel.CLASSIFICATION_REPORT)),
    Case("document-level", FAIL, tested=document(level=DocumentLevel.TEST_REPORT)),
    # rows 4.24, 4.25: European evidence; national adoptions are the same standard
    Case("document-standard", PASS),
    *(
        Case("document-standard", PASS, tested=document(standard=name, edition=edition))
        for name, edition in (
            ("BS EN 15650:2010", "2010"), ("DIN EN 1366-2", "2015"), ("DIN EN 1366-2:2015-12", "2015"),
            ("I.S. EN 15650", "2010"), ("en 13501-3:2005+A1:2009", "2005 + A1:2009"), ("EN15650", "2010"),
            ("ÖNORM EN 15650", "2010"), ("EN 1366-2", "1999"), ("EN 15882-2", "2022"),
        )
    ),
    *(
        Case("document-standard", FAIL, tested=document(standard=name))
        for name in ("BS 476-20", "BS 476: Part 22:1987", "DIN 4102-6", "EN 12101-8", "EN 1366-1", "EN 1366-10:2022")
    ),
    # a standard or an edition that nobody knows is no pass and no fail: which standard was it tested to?
    *(
        Case("document-standard", UNKNOWN, tested=document(standard=name))
        for name in (
            "EN 1366-22", "EN 1366-2-1", "house rules", "BS 476 and EN 15650", "EN 15650 or equal", "EN 99999",
            "BS 4760",
        )
    ),
    *(
        Case("document-standard", UNKNOWN, tested=document(edition=name))
        for name in ("2009", "2010+A1:2015", "first", "latest", "20100", "2010 draft", "prEN")
    ),
    Case("document-standard", UNKNOWN, tested=document(standard="EN 15650:2008")),  # the two texts differ
    Case("document-standard", UNKNOWN, tested=document(issued=date(2009, 12, 31))),  # before its edition came out
    Case("document-standard", PASS, tested=document(issued=date(2010, 1, 1))),
    # row 1.24: superseded by the edition of 2025; row 2.24: results to EN 1366-2:1999 were not withdrawn
    *(
        Case("document-standard", outcome, tested=document(standard="EN 13501-3", edition=edition, issued=issued))
        for edition, issued, outcome in (
            ("2005+A1:2009", date(2025, 12, 31), PASS), ("2005+A1:2009", date(2026, 1, 1), UNKNOWN),
            ("2025", date(2026, 1, 1), PASS), ("2005", date(2009, 12, 31), PASS), ("2005", date(2010, 1, 1), UNKNOWN),
        )
    ),
    Case("document-standard", PASS, tested=SMOKE | document(standard="EN 12101-8", edition="2011")),
    Case("document-standard", UNKNOWN, tested=SMOKE | document(standard="EN 12101-8")),
    Case("document-standard", PASS, tested=SMOKE | document(standard="EN 1366-10", edition="2022+A1:2024")),
    Case("document-standard", FAIL, tested=SMOKE),
    Case("document-standard", FAIL, tested=SMOKE | document(standard="EN 15882-2", edition="2015")),  # row 2.65
    # rows 1.25, 2.60-2.66: extended application
    Case("extended-application", NA),
    Case("extended-application", NA, tested=document(extended=False)),
    Case("extended-application", PASS, tested=document(extended=True)),
    *(
        Case("extended-application", outcome, tested=document(standard=standard, edition=edition, extended=extended))
        for standard, edition, extended, outcome in (
            ("EN 13501-3", "2005", True, FAIL), ("EN 13501-3", "2005", None, UNKNOWN),
            ("EN 13501-3", "2005", False, NA),
            ("EN 13501-3", "2005+A1:2009", True, PASS), ("EN 13501-3", "2005+A1:2009", None, NA),
            ("EN 15882-2", "2015", None, UNKNOWN), ("EN 15882-2", "2022", False, UNKNOWN),
        )
    ),
    Case("extended-application", FAIL, tested=SMOKE | document(extended=True)),
    # the document stands from its issue (or its validity) to the last day of it, and not on the day it is withdrawn
    *(
        case
        for code, name in DAYS.items()
        for case in (
            Case(code, PASS, tested=document(issued=DAY), dates=on(**{name: DAY})),
            Case(code, FAIL, tested=document(issued=date(2026, 6, 16)), dates=on(**{name: DAY})),
            Case(code, FAIL, tested=document(valid_from=date(2026, 6, 16)), dates=on(**{name: DAY})),
            Case(code, PASS, tested=document(valid_from=DAY), dates=on(**{name: DAY})),
            Case(code, PASS, tested=document(valid_to=DAY), dates=on(**{name: DAY})),
            Case(code, FAIL, tested=document(valid_to=date(2026, 6, 14)), dates=on(**{name: DAY})),
            Case(code, FAIL, tested=document(withdrawn_on=DAY), dates=on(**{name: DAY})),
            Case(code, PASS, tested=document(withdrawn_on=date(2026, 6, 16)), dates=on(**{name: DAY})),
            Case(code, UNKNOWN, dates=on(**{name: None})),
        )
    ),
    # rows 3.18-3.22: due from 2012-09-01 (fire dampers) by one source, from 2013-07-01 by law in the UK
    placed(date(2012, 8, 31), NONE, NA),
    placed(date(2012, 9, 1), NONE, UNKNOWN),
    placed(date(2012, 9, 1), CE, PASS),
    placed(date(2013, 6, 30), NONE, UNKNOWN),
    placed(date(2013, 7, 1), NONE, FAIL),
    placed(date(2013, 7, 1), CE, PASS),
    placed(date(2020, 12, 31), UKCA, FAIL),
    placed(date(2021, 1, 1), UKCA, PASS),
    placed(date(2026, 1, 1), CE, PASS),
    placed(date(2026, 1, 1), NONE, FAIL),
    placed(date(2013, 1, 31), NONE, NA, **SMOKE),
    placed(date(2013, 2, 1), NONE, UNKNOWN, **SMOKE),
    Case("marking", UNKNOWN, tested=document(marking=None)),
    Case("marking", UNKNOWN, dates=on(placed_on_market=None)),
    # rows 3.4, 3.16: voluntary certification is a plus, never a substitute
    Case("certificate", PASS),
    Case("certificate", UNKNOWN, tested=document(certificate=None)),
    Case("certificate", UNKNOWN, tested=document(certificate=None, third_party="scheme S")),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.outcome}")
def test_one_change_to_a_pair_that_holds(case: Case) -> None:
    assert outcome(case.judgment(), case.code) == case.outcome


def test_a_job_without_dates_asks_for_each_date_once_and_whom() -> None:
    judgment = judged(dates=KeyDates())
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert {missing.key: missing.ask for missing in judgment.missing} == {
        "job/dates/order": Party.DUCTWORK_CONTRACTOR,
        "job/dates/placed_on_market": Party.DAMPER_SUPPLIER,
        "job/dates/installation": Party.PRINCIPAL_CONTRACTOR,
        "job/dates/handover": Party.PRINCIPAL_CONTRACTOR,
    }


def test_what_is_asked_of_the_supplier_names_the_installation_and_the_document() -> None:
    judgment = Case("certificate", UNKNOWN, tested=document(certificate=None)).judgment()
    (missing,) = judgment.missing
    assert missing.key == "evidence/HV-10-RW-1/document.certificate"
    assert missing.text == "What DoP HV-10 says of HV-10-RW-1: a certificate of constancy of performance"
    assert missing.ask is Party.DAMPER_SUPPLIER
    assert the_reason(judgment, "certificate").rows == ("product.certificate",)


@pytest.mark.parametrize(
    ("standard", "edition", "noted"),
    [
        ("EN 1366-2", "1999", "edition 2015 has superseded. It could let a result from one side stand for the other."),
        ("EN 1366-2", "2015", ""),
        ("EN 13501-3", "2005+A1:2009", "edition 2025 has superseded. See what that changed."),
        ("EN 15650", "2010", ""),
    ],
)
def test_a_superseded_edition_is_noted_where_it_holds(standard: str, edition: str, noted: str) -> None:
    # row 2.24: symmetry went with the 2015 edition, old results were not withdrawn; row 1.24
    judgment = Case("document-standard", PASS, tested=document(standard=standard, edition=edition)).judgment()
    assert judgment.scope is Scope.WITHIN
    assert [noted in note for note in judgment.notes if "superseded" in note] == ([True] if noted else [])


def test_an_unknown_standard_is_asked_after_with_what_is_known() -> None:
    judgment = Case("document-standard", UNKNOWN, tested=document(standard="house rules")).judgment()
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    (missing,) = judgment.missing
    assert missing.text.endswith("to which standard, of which edition, it was tested")
    assert "which standard was it tested to?" in the_reason(judgment, "document-standard").text
    judgment = Case("document-standard", UNKNOWN, tested=document(edition="2011")).judgment()
    assert the_reason(judgment, "document-standard").need == "EN 15650, edition 2010"


def test_every_standard_of_a_damper_has_its_known_editions_each_with_a_row() -> None:
    for standard, editions in BASIS.editions.items():
        assert editions.texts, standard
        for row in editions.rows:
            assert (row.clause.standard, row.clause.edition) == (standard, row.value)
