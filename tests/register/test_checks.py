# SPDX-License-Identifier: Apache-2.0
"""What people say, held against itself: each check fires, passes, and is right exactly at its limit.

The order of the stages is that of the sequences of the installation families (trade handbook row 5.2, common practice);
a wall swapped after the order is its case 13.8.
"""

from datetime import date

import pytest

from brattice.building.words import FixingFamily
from brattice.findings import Fact, Verdict
from brattice.register.checks import StageDoubt, check_stages
from brattice.register.codes import CODES
from brattice.register.stages import Remark, Stage, StageEvent
from tests.helpers.penetrations import known, unknown
from tests.register.said import back, day, said, track

AS_OF = date(2026, 9, 1)
IN_ORDER = tuple(said(stage, day(number)) for number, stage in enumerate(Stage, start=1))
FRAMED: Fact[FixingFamily] = known(FixingFamily.LINED_OPENING)


def doubts(
    *events: StageEvent, facts: dict[str, str] | None = None, fixing: Fact[FixingFamily] = FRAMED, on: date = AS_OF
) -> dict[str, StageDoubt]:
    found = check_stages(track(*events), facts=facts or {}, fixing=fixing, on=on)
    assert all(doubt.reason.verdict is Verdict.FAIL for doubt in found)
    assert {doubt.reason.code for doubt in found} <= {spec.code for spec in CODES}
    return {doubt.reason.code: doubt for doubt in found}


def test_a_job_done_in_its_order_leaves_nothing_to_look_at() -> None:
    assert doubts(*IN_ORDER) == {}
    assert doubts(*(said(stage, day(1)) for stage in Stage)) == {}  # all on one day is in order
    assert doubts() == {}


@pytest.mark.parametrize(
    ("earlier", "later"),
    [
        (Stage.APPROVED, Stage.ORDERED),
        (Stage.ORDERED, Stage.DELIVERED),
        (Stage.DELIVERED, Stage.FIXED),
        (Stage.OPENING_CHECKED, Stage.FIXED),
        (Stage.FIXED, Stage.SEALED),
        (Stage.SEALED, Stage.INSPECTED),
        (Stage.FIXED, Stage.INSPECTED),
        (Stage.FIXED, Stage.TESTED),
        (Stage.INSPECTED, Stage.HANDED_OVER),
        (Stage.TESTED, Stage.HANDED_OVER),
    ],
)
def test_a_stage_that_is_dated_before_what_goes_before_it(earlier: Stage, later: Stage) -> None:
    days = {stage: day(10) for stage in Stage}
    events = [said(stage, on) for stage, on in (days | {later: day(9)}).items()]
    found = doubts(*events)["stage-order"]
    assert f"{later} on 2026-03-09, before {earlier} on 2026-03-10" in found.reason.text.lower()
    assert {earlier, later} <= set(found.stages)
    assert "stage-order" not in doubts(*(said(stage, on) for stage, on in (days | {later: day(10)}).items()))


@pytest.mark.parametrize(
    ("later", "missing"),
    [
        (Stage.ORDERED, "approved"),
        (Stage.SEALED, "fixed"),
        (Stage.INSPECTED, "fixed nor sealed"),
        (Stage.TESTED, "fixed"),
        (Stage.HANDED_OVER, "inspected nor tested"),
    ],
)
def test_a_stage_whose_foregoing_nobody_says(later: Stage, missing: str) -> None:
    found = doubts(said(later, day(9)))["stage-order"]
    assert f"{later} is said, but not {missing}." in found.reason.text.lower()
    assert found.stages == (later,)


@pytest.mark.parametrize("alone", [Stage.APPROVED, Stage.DELIVERED, Stage.OPENING_CHECKED])
def test_stages_that_may_be_said_alone(alone: Stage) -> None:
    assert doubts(said(alone, day(9))) == {}


def test_completion_test_before_inspection_is_in_order() -> None:
    days = {stage: day(number) for number, stage in enumerate(Stage, start=1)}
    swapped = days | {Stage.TESTED: days[Stage.INSPECTED], Stage.INSPECTED: days[Stage.TESTED]}
    assert doubts(*(said(stage, on) for stage, on in swapped.items())) == {}


@pytest.mark.parametrize(
    ("fixing", "asked"),
    [
        (known(FixingFamily.BUILT_IN), False),
        (known(FixingFamily.CAST_IN), False),
        (known(FixingFamily.LINED_OPENING), True),
        (known(FixingFamily.BATT_WITH_RODS), True),
        (unknown(), True),
    ],
)
def test_a_damper_goes_into_an_opening_that_was_checked(fixing: Fact[FixingFamily], asked: bool) -> None:
    """Families A and F have the barrier built round the damper (trade handbook row 5.2): nothing to check before."""
    assert ("stage-framed-opening" in doubts(said(Stage.FIXED, day(3)), fixing=fixing)) is asked
    both = (said(Stage.OPENING_CHECKED, day(3)), said(Stage.FIXED, day(3)))
    assert doubts(*both, fixing=fixing) == {}


def test_who_did_it_is_asked() -> None:
    found = doubts(said(Stage.DELIVERED, day(3), ""))["stage-who"]
    assert found.reason.text == "Nobody is named for: delivered."
    assert found.stages == (Stage.DELIVERED,)
    assert "stage-who" not in doubts(said(Stage.DELIVERED, day(3)))


def test_people_who_differ_are_both_named() -> None:
    one, other = said(Stage.DELIVERED, day(3), "A"), said(Stage.DELIVERED, day(4), "B", text="note 7")
    found = doubts(one, other)["stage-twice"]
    assert "2026-03-03 by A or 2026-03-04 by B (note 7)" in found.reason.text
    assert doubts(one, other, said(Stage.DELIVERED, day(4), "B", over=(one, other))) == {}
    zones = said(Remark.ZONE, None, text="Z1"), said(Remark.ZONE, None, text="Z2")
    assert "Zone: Z1 or Z2" in doubts(*zones)["stage-twice"].reason.text
    notes = said(Remark.NOTE, None, text="one"), said(Remark.NOTE, None, text="two")
    assert doubts(*notes) == {}  # notes of two people stand beside each other
    assert "taken back by B. Clerk" in doubts(one, back(one), other)["stage-twice"].reason.text


def test_a_date_after_the_date_that_is_judged_for() -> None:
    event = said(Stage.DELIVERED, day(3))
    assert doubts(event, on=day(3)) == {}
    assert "after 2026-03-02" in doubts(event, on=day(2))["stage-date"].reason.text


def test_a_size_that_changed_since_the_order_says_what_it_was_and_is() -> None:
    then = {"damper size": "600 × 400", "wall type": "W1"}
    events = [said(stage, day(3), "A", facts=then) for stage in (Stage.APPROVED, Stage.ORDERED)]
    assert doubts(*events, facts=then) == {}
    found = doubts(*events, facts={"damper size": "600 × 450", "wall type": "W1"})["stage-facts"]
    assert found.reason.text == (
        "Approved on 2026-03-03 by A, ordered on 2026-03-03 by A. Since then: the damper size was 600 × 400, now it is "
        "600 × 450."
    )
    assert found.stages == (Stage.APPROVED, Stage.ORDERED)
    lost = doubts(*events, facts={"wall type": "W3"})["stage-facts"].reason.text
    assert "the damper size was 600 × 400, now it is not known; the wall type was W1, now it is W3" in lost


def test_a_fact_that_was_not_known_then_is_no_change() -> None:
    assert doubts(said(Stage.APPROVED, day(3), facts={"wall type": ""}), facts={"wall type": "W1"}) == {}


def test_what_was_taken_back_rests_on_nothing() -> None:
    event = said(Stage.APPROVED, day(3), facts={"wall type": "W1"})
    assert doubts(event, back(event), facts={"wall type": "W3"}) == {}
