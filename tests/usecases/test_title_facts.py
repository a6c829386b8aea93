# SPDX-License-Identifier: Apache-2.0
"""What title blocks say of a job, issued or not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from brattice.usecases.job import TitleNames
from brattice.usecases.title_facts import INVENTED, title_of
from tests.helpers.reports import sample_report as report

NAMES = TitleNames("A Firm", "1234", "Ductwork", "A. Drawer", "B. Checker", "C. Approver")
DAY = date(2026, 3, 2)


def test_an_issued_sheet_names_who_drew_checked_and_approved_it() -> None:
    title = title_of(replace(report(), invented=False), NAMES, revision="B", issued=DAY)
    assert (title.drawn, title.checked, title.approved) == ("A. Drawer", "B. Checker", "C. Approver")
    assert (title.revision, title.issued, title.short, title.note) == ("B", "2026-03-02", "1234", "")
    assert title.cautions == report().cautions


def test_a_sheet_that_is_not_issued_is_signed_by_nobody_and_says_so() -> None:
    title = title_of(replace(report(), invented=True), NAMES)
    assert (title.drawn, title.checked, title.approved, title.issued, title.revision) == ("", "", "", "", "")
    assert title.note == f"Not issued. {INVENTED}"
    assert title_of(replace(report(), invented=False), NAMES).note == "Not issued."
    assert title_of(replace(report(), invented=True), NAMES, issued=DAY).note == INVENTED


def test_the_job_is_named_by_its_owner_else_by_itself() -> None:
    name = report().job_name
    assert (title_of(report(), NAMES).job, title_of(report(), NAMES).reference) == ("A Firm", name)
    assert (title_of(report(), TitleNames()).job, title_of(report(), TitleNames()).reference) == (name, "")
