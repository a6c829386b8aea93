# SPDX-License-Identifier: Apache-2.0
"""What is scheduled against what is asked: each check with each outcome that it can have."""

from datetime import date
from typing import Any

import pytest

from brattice.building.wall_type import Rating
from brattice.building.words import BarrierRole, MountingPosition, SpaceUse, SystemUse
from brattice.findings import Verdict
from brattice.requirements.codes import CODES
from tests.helpers.penetrations import penetration, rating, unknown, without
from tests.requirements.asked import (
    BOTH,
    FAIL,
    METHOD_1,
    METHOD_2,
    METHOD_3,
    METHOD_4,
    NA,
    PASS,
    SMOKE,
    UNKNOWN,
    checked,
    demand,
    overall,
    spaces,
    under,
    verdict,
)

CORRIDOR, STAIR, SHAFT = BarrierRole.PROTECTED_CORRIDOR, BarrierRole.PROTECTED_STAIR, BarrierRole.FIREFIGHTING_SHAFT
DWELLINGS = {"purpose": "residential"}
IN_2029 = {"edition": "ADB 2019 with amendments to 2029", "on": date(2029, 9, 2)}
BS_476 = rating(60, text="60/60 to BS 476-22")

CASES: tuple[tuple[str, Verdict | None, dict[str, Any], dict[str, Any]], ...] = (
    # method: rows 4.1 to 4.5
    ("method", PASS, {}, {}),
    ("method", FAIL, {"barrier__role": CORRIDOR}, {}),
    ("method", PASS, {"barrier__role": CORRIDOR, "protection__method": METHOD_4}, {}),
    ("method", UNKNOWN, {"protection__method": unknown("penetration/P-0001/method")}, {}),
    ("method", UNKNOWN, {"duct__system": SystemUse.DWELLING_HOOD}, {}),
    ("method", FAIL, {"rated": 241}, {}),  # 4.10: no class exists
    # protected run: rows 4.1, 4.26
    ("protected-run", None, {}, {}),
    ("protected-run", PASS, {"protection__method": METHOD_3, "protection__run_proven": True}, {}),
    ("protected-run", PASS, {"protection__method": METHOD_2, "protection__run_proven": True}, {}),
    ("protected-run", FAIL, {"protection__method": METHOD_3, "protection__run_proven": False}, {}),
    ("protected-run", UNKNOWN, {"protection__method": METHOD_3}, {}),
    ("protected-run", UNKNOWN, {"protection__method": unknown("method")}, {}),
    # a damper where one is needed: row 4.1
    ("damper", PASS, {}, {}),
    ("damper", FAIL, {"damper__present": False}, {}),
    ("damper", FAIL, {"damper__present": False, "protection__method": METHOD_4}, {}),
    ("damper", UNKNOWN, {"damper__present": unknown("present")}, {}),
    ("damper", None, {"damper__present": False, "protection__method": METHOD_3}, {}),
    # none where none may be: rows 4.4 and 4.18
    ("damper-excluded", None, {}, {}),
    ("damper-excluded", FAIL, {"duct__system": SystemUse.KITCHEN_EXTRACT}, {}),
    ("damper-excluded", FAIL, {"duct__system": SystemUse.KITCHEN_EXTRACT, "protection__method": METHOD_3}, {}),
    ("damper-excluded", PASS, {"duct__system": SystemUse.KITCHEN_EXTRACT, "damper__present": False}, {}),
    ("damper-excluded", UNKNOWN, {"duct__system": unknown("system")}, {}),
    ("damper-excluded", FAIL, {"duct__system": SystemUse.SMOKE_EXTRACT}, {}),
    ("damper-excluded", FAIL, {"duct__system": SystemUse.PRESSURISATION, "damper__actuation": BOTH}, {}),
    ("damper-excluded", PASS, {"duct__system": SystemUse.SMOKE_EXTRACT, "damper__actuation": SMOKE}, {}),
    ("damper-excluded", UNKNOWN, {"duct__system": SystemUse.SMOKE_EXTRACT, "damper__actuation": unknown("act")}, {}),
    # the class text alone: rows 4.7 to 4.10; the order of classes is the classes room's
    ("scheduled-class", PASS, {"damper__class_text": "E 60 (ve i↔o)"}, {}),
    ("scheduled-class", PASS, {"damper__class_text": "EI 90 (ve ho i↔o) S"}, {}),
    ("scheduled-class", FAIL, {"damper__class_text": "E 30 (ve i↔o) S"}, {}),
    ("scheduled-class", FAIL, {"damper__class_text": "E 60 (ho i↔o)"}, {}),
    ("scheduled-class", FAIL, {"damper__class_text": "E 60 (ve i→o)"}, {}),
    ("scheduled-class", UNKNOWN, {"damper__class_text": "E 60"}, {}),  # orientation and side not stated
    ("scheduled-class", FAIL, {"damper__class_text": "E 30"}, {}),  # … which no statement could mend
    ("scheduled-class", FAIL, {"damper__class_text": "E 90 (ved i↔o) S 1000 C10000 AA multi"}, {}),  # 1.44
    ("scheduled-class", FAIL, {"damper__class_text": "E 60 (ve i↔o)", "protection__method": METHOD_4}, {}),
    ("scheduled-class", PASS, {"damper__class_text": "E 60 (ve i↔o) S", "protection__method": METHOD_4}, {}),
    ("scheduled-class", UNKNOWN, {"damper__class_text": unknown("class")}, {}),
    ("scheduled-class", UNKNOWN, {"barrier__rating": unknown("rating")}, {}),
    ("scheduled-class", FAIL, {"barrier__rating": unknown("rating"), "damper__class_text": "E 30 (ve i↔o)"}, {}),
    ("scheduled-class", PASS, {"rated": 120, "damper__class_text": "E 120 (ve i↔o)"}, {}),
    ("scheduled-class", FAIL, {"rated": 121, "damper__class_text": "E 120 (ve i↔o)"}, {}),
    ("scheduled-class", FAIL, {"rated": 240, "damper__class_text": "E 240 (ve i↔o)"}, {}),  # 1.14a: credited 120
    ("scheduled-class", PASS, {"rated": 240, "damper__class_text": "EI 240 (ve i↔o)"}, {}),
    ("scheduled-class", NA, {"damper__present": False}, {}),
    ("scheduled-class", NA, {"protection__method": METHOD_3}, {}),
    ("scheduled-class", NA, {"duct__system": SystemUse.KITCHEN_EXTRACT}, {}),
    ("scheduled-class", UNKNOWN, {}, DWELLINGS),
    # without a choice of method: only what holds for each of them is told
    ("scheduled-class", PASS, {"protection__method": unknown("method")}, {}),  # S as well: enough for both
    ("scheduled-class", UNKNOWN, {"protection__method": unknown("method"), "damper__class_text": "E 60 (ve i↔o)"}, {}),
    ("scheduled-class", FAIL, {"protection__method": unknown("method"), "damper__class_text": "E 30 (ve i↔o)"}, {}),
    # where the chosen method may not be used: against the one that may
    ("scheduled-class", FAIL, {"barrier__role": CORRIDOR, "damper__class_text": "E 60 (ve i↔o)"}, {}),
    # actuation, apart from the class: rows 4.1, 4.3, 4.5, 4.12a
    ("scheduled-actuation", PASS, {}, {}),
    ("scheduled-actuation", PASS, {"damper__actuation": BOTH}, {}),
    ("scheduled-actuation", FAIL, {"damper__actuation": SMOKE}, {}),  # method 1 closes on heat
    ("scheduled-actuation", FAIL, {"damper__actuation": frozenset()}, {}),
    ("scheduled-actuation", UNKNOWN, {"damper__actuation": unknown("actuation")}, {}),
    ("scheduled-actuation", FAIL, {"protection__method": METHOD_4}, {}),
    ("scheduled-actuation", PASS, {"protection__method": METHOD_4, "damper__actuation": SMOKE}, {}),
    ("scheduled-actuation", FAIL, {"barrier__role": CORRIDOR}, {}),
    ("scheduled-actuation", FAIL, {"barrier__role": CORRIDOR, "spaces": unknown("spaces")}, {}),
    ("scheduled-actuation", UNKNOWN, {"spaces": unknown("spaces")}, {}),
    (
        "scheduled-actuation",
        FAIL,
        {"spaces": spaces(SpaceUse.SLEEPING), "protection__method": METHOD_4, "damper__actuation": SMOKE},
        {},
    ),
    (
        "scheduled-actuation",
        PASS,
        {"spaces": spaces(SpaceUse.SLEEPING), "protection__method": METHOD_4, "damper__actuation": BOTH},
        {},
    ),
    ("scheduled-actuation", NA, {"protection__method": METHOD_3}, {}),
    ("scheduled-actuation", NA, {"damper__present": False}, {}),
    ("scheduled-actuation", UNKNOWN, {}, DWELLINGS),
    # placing and access: row 4.12
    ("placing", PASS, {}, {}),
    ("placing-note", NA, {"installation__position": MountingPosition.ON_FACE}, {}),
    ("placing-note", NA, {"installation__position": MountingPosition.REMOTE}, {}),
    ("placing", UNKNOWN, {"installation__position": unknown("position")}, {}),
    ("placing", None, {"damper__present": False}, {}),
    ("access-door", PASS, {}, {}),
    ("access-door", FAIL, {"installation__access_door": False}, {}),
    ("access-door", UNKNOWN, {"installation__access_door": unknown("door")}, {}),
    ("access-door", None, {"damper__present": False}, {}),
    # dwellings: rows 4.15 and 4.22
    ("transfer-grille", None, {"barrier__role": STAIR, "duct__system": SystemUse.TRANSFER}, {}),
    ("transfer-grille", PASS, {"barrier__role": STAIR}, DWELLINGS),
    ("transfer-grille", UNKNOWN, {"barrier__role": STAIR, "duct__system": SystemUse.TRANSFER}, DWELLINGS),
    ("transfer-grille", UNKNOWN, {"barrier__role": STAIR, "duct__system": unknown("system")}, DWELLINGS),
    ("transfer-grille", None, {"duct__system": SystemUse.TRANSFER}, DWELLINGS),
    ("firefighting-shaft", None, {"barrier__role": SHAFT}, {}),
    ("firefighting-shaft", PASS, {"barrier__role": SHAFT, "rated": 121}, DWELLINGS),
    ("firefighting-shaft", PASS, {"barrier__role": SHAFT, "rated": 120}, DWELLINGS),  # exactly at the limit
    ("firefighting-shaft", UNKNOWN, {"barrier__role": SHAFT, "rated": 119}, DWELLINGS),  # on part of it, perhaps
    ("firefighting-shaft", UNKNOWN, {"barrier__role": SHAFT, "rated": 60}, DWELLINGS),  # exactly at the limit
    ("firefighting-shaft", FAIL, {"barrier__role": SHAFT, "rated": 59}, DWELLINGS),
    ("firefighting-shaft", FAIL, {"barrier__role": SHAFT, "rated": rating(120, 30)}, DWELLINGS),
    ("firefighting-shaft", UNKNOWN, {"barrier__role": SHAFT, "barrier__rating": unknown("rating")}, DWELLINGS),
    # the barrier's own evidence: rows 4.30 to 4.36 and check case C59
    ("wall-evidence", None, {}, {}),
    ("wall-evidence-note", NA, {"rated": BS_476}, {}),
    ("wall-evidence-note", NA, {"rated": BS_476}, {"on": date(2029, 9, 1)}),
    ("wall-evidence", UNKNOWN, {"rated": BS_476}, IN_2029),
    ("wall-evidence", None, {}, IN_2029),
    # insulation that is demanded, in barriers that hold it, do not, or do not say: field case 30
    ("barrier-insulation", None, {"rated": Rating(60, None, "60")}, {}),
    ("barrier-insulation", None, {"rated": Rating(60, None, "60")}, {"demands": (demand("E 60"),)}),
    ("barrier-insulation", PASS, {"rated": Rating(60, 60, "EI 60")}, {"demands": (demand("EI 60"),)}),
    ("barrier-insulation", UNKNOWN, {"rated": Rating(60, None, "60")}, {"demands": (demand("EI 60"),)}),
    ("barrier-insulation", UNKNOWN, {"rated": Rating(60, None, "1 Hour")}, {"demands": (demand("EI 60"),)}),
    ("barrier-insulation", FAIL, {"rated": Rating(60, None, "E 60")}, {"demands": (demand("EI 60"),)}),
    ("barrier-insulation", UNKNOWN, {"barrier__rating": unknown("rating")}, {"demands": (demand("EI 60"),)}),
    # a damper in a run that is protected without one: field case 7
    ("damper-in-run", None, {}, {}),
    ("damper-in-run", PASS, {"protection__method": METHOD_3, "damper__present": False}, {}),
    ("damper-in-run", UNKNOWN, {"protection__method": METHOD_3}, {}),
    ("damper-in-run", UNKNOWN, {"protection__method": METHOD_3, "damper__present": unknown("damper")}, {}),
    # a plain extract beside a commercial kitchen: rows 4.4 and 4.17
    ("method", UNKNOWN, {"duct__system": SystemUse.EXTRACT, "spaces": spaces(SpaceUse.COMMERCIAL_KITCHEN)}, {}),
    ("method", PASS, {"duct__system": SystemUse.SUPPLY, "spaces": spaces(SpaceUse.COMMERCIAL_KITCHEN)}, {}),
)


@pytest.mark.parametrize(("code", "expected", "changes", "rules"), CASES)
def test_each_check(code: str, expected: Verdict | None, changes: dict[str, Any], rules: dict[str, Any]) -> None:
    assert verdict(penetration(**changes), code, under(**rules)) is expected


def test_the_table_of_checks_names_each_once_and_each_has_a_case_that_fires_and_one_that_passes() -> None:
    codes = [spec.code for spec in CODES]
    assert len(set(codes)) == len(codes)
    for code in codes:
        outcomes = {expected for name, expected, _, _ in CASES if name.removesuffix("-note") == code}
        assert outcomes & {FAIL, UNKNOWN}, code
        assert outcomes & {PASS, None}, code


@pytest.mark.parametrize(("_code", "_expected", "changes", "rules"), CASES)
def test_every_reason_emitted_stands_in_the_table_and_says_what_it_rests_on(
    _code: str, _expected: Verdict | None, changes: dict[str, Any], rules: dict[str, Any]
) -> None:
    codes = {spec.code for spec in CODES}
    for code, reasons in checked(penetration(**changes), under(**rules)).items():
        assert code.removesuffix("-note") in codes
        for reason in reasons:
            assert reason.text
            if reason.verdict is UNKNOWN:
                assert reason.missing
            if reason.verdict is FAIL:
                assert reason.have
                assert reason.need


def test_the_ordinary_penetration_passes_every_check() -> None:
    assert overall(penetration()) is PASS
    assert set(checked(penetration())) == {
        "method",
        "damper",
        "placing",
        "access-door",
        "scheduled-class",
        "scheduled-actuation",
    }


def test_a_protected_run_passes_only_where_it_is_stated_proven() -> None:
    run = penetration(protection__method=METHOD_3, damper__present=False)
    assert overall(run) is UNKNOWN
    proven = penetration(protection__method=METHOD_3, damper__present=False, protection__run_proven=True)
    assert overall(proven) is PASS
    broken = penetration(protection__method=METHOD_3, damper__present=False, protection__run_proven=False)
    assert overall(broken) is FAIL


def test_nothing_is_checked_where_no_protection_is_needed() -> None:
    assert checked(penetration(barrier__role=BarrierRole.NOT_SEPARATING, damper__present=False)) == {}


def test_a_class_text_that_cannot_be_read_fails_and_names_the_place() -> None:
    (reason,) = checked(penetration(damper__class_text="EI 60 (ve x↔o) S"))["scheduled-class"]
    assert reason.verdict is FAIL
    assert "character 11" in reason.text  # the x
    assert reason.have == "EI 60 (ve x↔o) S"


def test_a_missing_facet_of_the_class_is_asked_of_the_supplier() -> None:
    (reason,) = checked(penetration(damper__class_text="EI 60 (ve)"))["scheduled-class"]
    assert [(item.key, str(item.ask)) for item in reason.missing] == [
        ("penetration/P-0001/class-fire-side", "damper supplier")
    ]


def test_on_the_face_is_shown_to_building_control_and_decides_nothing() -> None:
    (note,) = checked(penetration(installation__position=MountingPosition.ON_FACE))["placing-note"]
    assert "show it to building control" in note.text
    assert (note.have, note.need) == ("on the face", "in the barrier")


def test_the_origin_of_what_is_scheduled_stands_beside_the_reason() -> None:
    (reason,) = checked(penetration(damper__class_text="E 30 (ve i↔o)"))["scheduled-class"]
    assert [origin.place for origin in reason.origins] == ["sheet Penetrations, row 2"]


def test_the_reasons_name_the_method_that_may_be_used_instead() -> None:
    (reason,) = checked(penetration(duct__system=SystemUse.KITCHEN_EXTRACT))["method"]
    assert reason.have == str(METHOD_1)
    assert reason.need == f"one of: {METHOD_2}, {METHOD_3}"


def test_without_facts_every_missing_one_is_asked_for_once() -> None:
    blank = without(penetration(), "protection__method", "damper__class_text", "damper__actuation", "spaces")
    keys = [item.key for reasons in checked(blank).values() for reason in reasons for item in reason.missing]
    assert set(keys) == {
        "penetration/P-0001/protection-method",
        "penetration/P-0001/damper-class_text",
        "penetration/P-0001/damper-actuation",
    }
    assert overall(blank) is UNKNOWN


def test_one_missing_fact_is_one_reason_however_many_rules_wait_for_it() -> None:
    reasons = checked(penetration(duct__system=unknown("penetration/P-0001/system")))
    for code in ("method", "damper-excluded"):
        (reason,) = reasons[code]
        assert [item.key for item in reason.missing] == ["penetration/P-0001/system"]
        assert len(reason.rows) > 1


def test_the_class_that_is_asked_rests_on_the_rows_of_the_requirement() -> None:
    (reason,) = checked(penetration(rated=240, damper__class_text="EI 240 (ve i↔o)"))["scheduled-class"]
    assert {
        "england.class.fire-damper",
        "england.class.barrier-integrity",
        "class.fire-damper.e-steps",
        "class.fire-damper.ei-steps",
    } <= set(reason.rows)
