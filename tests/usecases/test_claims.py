# SPDX-License-Identifier: Apache-2.0
"""What a schedule claims of a damper: its size against the duct's, its class against the document's."""

from dataclasses import replace

import pytest

from brattice.adapters.rows import shipped_book
from brattice.building.penetration import Size
from brattice.classes import ClassSteps
from brattice.findings import Verdict
from brattice.quantities import Mm
from brattice.usecases.claims import check_claimed_class, check_damper_size, check_schedule_row
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, without

STEPS = ClassSteps.from_book(shipped_book())


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


@pytest.mark.parametrize(
    ("damper", "duct", "verdict"),
    [
        (size(600, 400), size(600, 400), Verdict.PASS),
        (size(600, 401), size(600, 400), Verdict.PASS),  # sheets round to the millimetre: our own policy
        (size(600, 401.1), size(600, 400), Verdict.UNKNOWN),
        (size(400, 600), size(600, 400), Verdict.FAIL),  # trade handbook, field case 15
        (size(600, 300), size(600, 400), Verdict.UNKNOWN),
        (size(500, 500), size(500, 500), Verdict.PASS),
        (size(200), size(200), Verdict.PASS),
        (size(200), size(200, 200), Verdict.UNKNOWN),  # a round damper on a square duct needs a piece between
    ],
)
def test_the_damper_has_the_size_of_its_duct(damper: Size, duct: Size, verdict: Verdict) -> None:
    reason = check_damper_size(penetration(damper__size=damper, duct__size=duct))
    assert reason.verdict is verdict
    assert bool(reason.missing) is (verdict is Verdict.UNKNOWN)


def test_a_turned_damper_is_rejected_in_words() -> None:
    reason = check_damper_size(penetration(damper__size=size(400, 600)))
    assert "never turned" in reason.text
    assert (reason.have, reason.need) == ("damper 400 × 600", "duct 600 × 400")


@pytest.mark.parametrize("name", ["damper__size", "duct__size"])
def test_a_size_that_is_not_known_is_never_a_pass(name: str) -> None:
    reason = check_damper_size(without(penetration(), name))
    assert reason.verdict is Verdict.UNKNOWN
    assert len(reason.missing) == 1


def test_without_a_damper_there_is_nothing_to_hold() -> None:
    assert check_damper_size(penetration(damper__present=False)).verdict is Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("claimed", "declared", "verdict"),
    [
        ("EI 60 (ve i↔o) S", "EI 60 (ve i↔o) S", Verdict.PASS),
        ("E 60 (ve i→o)", "EI 60 (ve i↔o) S", Verdict.PASS),  # trade handbook 1.4: EI t includes E t
        ("EI 120 (ve i↔o) S", "EI 60 (ve i↔o) S", Verdict.FAIL),
        ("E 120 (ve i↔o) S", "E 120 (ve i↔o) / EI 60 (ve i↔o) S", Verdict.FAIL),  # C12: S for 60 minutes only
        ("EI 60 (ho i↔o) S", "EI 60 (ve i↔o) S", Verdict.FAIL),  # C10: orientation
        ("two hours", "EI 60 (ve i↔o) S", Verdict.NOT_APPLICABLE),
    ],
)
def test_no_class_is_claimed_above_the_document(claimed: str, declared: str, verdict: Verdict) -> None:
    found = check_claimed_class(penetration(damper__class_text=claimed), installation(class_text=declared), STEPS)
    assert found.verdict is verdict


def test_the_reason_names_claim_and_document() -> None:
    reason = check_claimed_class(penetration(damper__class_text="EI 120 (ve i↔o) S"), installation(), STEPS)
    assert reason.have == "EI 120 (ve i↔o) S"
    assert "DoP HV-10" in reason.need
    assert "60 min" in reason.text


def test_a_class_that_is_not_claimed_claims_nothing() -> None:
    reason = check_claimed_class(without(penetration(), "damper__class_text"), installation(), STEPS)
    assert reason.verdict is Verdict.NOT_APPLICABLE


def test_what_only_the_models_show_lacks_one_thing_its_row() -> None:
    shown = replace(penetration(), aliases=(("GlobalId", "3dOq"),))
    reason = check_schedule_row(shown)
    assert reason.verdict is Verdict.UNKNOWN
    (missing,) = reason.missing
    assert missing.key == f"penetration/{shown.id}/schedule-row"
    assert missing.text == f"The schedule's row for what the models show at {shown.id}"
    assert reason.have == "in the models alone, duct 600 × 400"
    assert check_schedule_row(replace(shown, aliases=(("schedule", "FD-01"),))).verdict is Verdict.PASS
