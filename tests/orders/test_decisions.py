# SPDX-License-Identifier: Apache-2.0
"""Decisions about submittals and orders before approval; the letters are general construction practice."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from brattice.cli.run import judge_folder
from brattice.orders.decisions import (
    OrderOverride,
    SubmittalDecision,
    SubmittalStatus,
    decision_of,
    override_of,
    standing_on,
)
from tests.helpers.schedule_jobs import damper_row, schedule_job

DAY = date(2026, 3, 2)
GIVEN = SubmittalDecision(
    "Harrow & Vale", "HV-10", "W2", SubmittalStatus.APPROVED, "Ida Invented", "architect", "Return 1", DAY
)
OVERRIDE = OrderOverride(("P-0001",), "Ida Invented", "project manager", "Letter 3", DAY, "the programme")


def test_a_decision_counts_from_its_own_day() -> None:
    for on, counts in ((date(2026, 3, 1), 0), (DAY, 1), (date(2026, 3, 3), 1)):
        decisions, overrides = standing_on([GIVEN], [OVERRIDE], on)
        assert (len(decisions), len(overrides)) == (counts, counts)


def test_the_last_decision_stands_and_of_one_day_the_worse() -> None:
    later = replace(GIVEN, status=SubmittalStatus.REJECTED, on=date(2026, 3, 9))
    assert decision_of([later, GIVEN], "harrow &  vale", "hv-10", "w2") == later
    assert decision_of([GIVEN, later], "Harrow & Vale", "HV-10", "W2") == later
    better, worse = replace(GIVEN, person="Zoe Invented"), replace(GIVEN, status=SubmittalStatus.WITH_COMMENTS)
    assert decision_of([better, worse], "Harrow & Vale", "HV-10", "W2") == worse
    assert decision_of([worse, better], "Harrow & Vale", "HV-10", "W2") == worse


@pytest.mark.parametrize(("maker", "product", "wall"), [("H", "HV-10", "W2"), ("Harrow & Vale", "HV-1", "W2")])
def test_a_decision_is_of_its_product_and_wall_alone(maker: str, product: str, wall: str) -> None:
    assert decision_of([GIVEN], maker, product, wall) is None
    assert decision_of([GIVEN], "Harrow & Vale", "HV-10", "W1") is None


def test_only_a_rejected_submittal_holds_an_order() -> None:
    assert [item.may_order for item in SubmittalStatus] == [True, True, False]
    assert SubmittalStatus("B").words == "B (approved with comments)"


def test_an_override_names_its_penetrations() -> None:
    assert override_of([OVERRIDE], "P-0001", "HV-10") == OVERRIDE
    assert override_of([OVERRIDE], "P-0002", "HV-10") is None
    assert OVERRIDE.text == "Ida Invented, project manager, Letter 3, 2026-03-02: the programme"


def test_an_override_of_a_product_is_about_no_other() -> None:
    """What was let go out was that damper: where another is chosen later, nobody has taken its risk."""
    bound = replace(OVERRIDE, product="HV-10")
    assert override_of([bound], "P-0001", "hv-10") == bound
    assert override_of([bound], "P-0001", "HV-11") is None
    assert override_of([bound, OVERRIDE], "P-0001", "HV-11") == OVERRIDE
    assert bound.text == "Ida Invented, project manager, Letter 3, 2026-03-02, for HV-10: the programme"


TABLES = """
[[submittal]]
maker = "Harrow & Vale (invented)"
product = "{product}"
wall_type = "{wall}"
status = "A"
person = "Ida Invented"
role = "architect"
document = "Return 1"
date = {on}

[[order_override]]
penetrations = ["{name}"]
person = "Ida Invented"
role = "project manager"
document = "Letter 3"
date = {on}
why = "the programme"
"""


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({}, []),
        ({"on": "2026-11-02"}, []),  # the very day that is judged for
        (
            {"on": "2026-11-03"},
            [
                (
                    "decision-date-fails",
                    (
                        "Letter 3 of 2026-11-03 came after 2026-11-02, the date that is judged for; it decides "
                        "nothing at P-0001 yet."
                    ),
                ),
                (
                    "decision-date-fails",
                    (
                        "Return 1 of 2026-11-03 came after 2026-11-02, the date that is judged for; it decides "
                        "nothing at Harrow & Vale (invented) HV-10 in W1 yet."
                    ),
                ),
            ],
        ),
        (
            {"wall": "W9"},
            [("job-name-fails", "A submittal on Return 1 names the wall type 'W9', which this job has not.")],
        ),
        (
            {"product": "HV-11"},
            [
                (
                    "job-name-fails",
                    (
                        "A submittal on Return 1 names the product 'Harrow & Vale (invented) HV-11', which this job "
                        "has not."
                    ),
                )
            ],
        ),
        (
            {"name": "FD-9"},
            [("job-name-fails", "An override of an order names 'FD-9', which no penetration of this job is called.")],
        ),
    ],
)
def test_what_a_job_says_of_submittals_is_held_against_the_job(
    values: dict[str, str], expected: list[tuple[str, str]], tmp_path: Path
) -> None:
    job = schedule_job(tmp_path, [damper_row("FD-01")])
    plain = {"product": "HV-10", "wall": "W1", "on": "2026-10-01", "name": "FD-01", **values}
    file = job / "brattice.toml"
    file.write_text(file.read_text("utf-8").replace("\n[dates]", TABLES.format(**plain) + "\n[dates]"), "utf-8")
    report = judge_folder(job, lambda _: None).report
    assert [(item.code, item.text) for item in report.job_findings] == expected
