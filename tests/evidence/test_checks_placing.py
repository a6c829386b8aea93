# SPDX-License-Identifier: Apache-2.0
"""How the damper sits, is fixed, carried, joined and reached: each passing, failing, cured and open."""

from __future__ import annotations

import pytest

from brattice.building.words import (
    DuctedSides,
    FixingFamily,
    Joint,
    MountingPosition,
    Orientation,
    SupportKind,
    SystemUse,
)
from brattice.evidence import Scope
from brattice.findings import Fact, Unknown
from brattice.quantities import Degrees, Mm
from tests.evidence.cases import CHANGE, FAIL, NA, PASS, UNKNOWN, Case, outcome
from tests.helpers.installations import installation
from tests.helpers.judging import judged, the_reason
from tests.helpers.penetrations import known, penetration, unknown

ALL_JOINTS = frozenset(Joint)
THREE = (
    ("insulation_through", "duct__insulation_through", "insulation-through", CHANGE),
    ("deflection_head", "installation__deflection_head_above", "deflection-head", FAIL),
    ("other_services", "installation__other_services", "other-services", FAIL),
)

BOTH, ONE, NEITHER = (frozenset({item}) for item in DuctedSides)
BREAKAWAY = frozenset({Joint.BREAKAWAY_FIXINGS})
SIDES = ("installation__joint_a", "installation__joint_b")


def own(fact: Joint | Unknown) -> Fact[Joint]:
    return fact if isinstance(fact, Unknown) else known(fact)


CASES = [
    # row 2.45
    Case("orientation", PASS),
    Case("orientation", FAIL, {"barrier__orientation": Orientation.FLOOR}),
    Case("orientation", FAIL, tested={"orientation": Orientation.FLOOR}),
    Case("orientation", UNKNOWN, {"barrier__orientation": unknown()}),
    # row 2.21
    Case("position", PASS),
    Case("position", FAIL, {"installation__position": MountingPosition.ON_FACE}),
    Case("position", PASS, {"installation__position": MountingPosition.REMOTE}, {"position": MountingPosition.REMOTE}),
    Case("position", UNKNOWN, {"installation__position": unknown()}),
    # common practice
    Case("angle", PASS, {"duct__angle_deg": 5}),
    Case("angle", FAIL, {"duct__angle_deg": 5.001}),
    Case("angle", UNKNOWN, {"duct__angle_deg": unknown()}),
    # row 2.46, field case 16
    Case("mechanism", PASS, {"damper__mechanism_deg": 90}),
    Case("mechanism", PASS, {"damper__mechanism_deg": 360}),
    Case("mechanism", CHANGE, {"damper__mechanism_deg": 180}),
    Case("mechanism", CHANGE, {"damper__mechanism_deg": 89}),
    Case("mechanism", PASS, {"damper__mechanism_deg": 180}, {"mechanism_deg": (Degrees(0), Degrees(180))}),
    Case("mechanism", UNKNOWN, {"damper__mechanism_deg": unknown()}),
    Case("mechanism", UNKNOWN, tested={"mechanism_deg": None}),
    # row 2.47, field case 22
    Case("blade-position", PASS),
    Case("blade-position", PASS, {"damper__blade_offset_mm": 25}, {"most_blade_offset_mm": Mm(25)}),
    Case("blade-position", PASS, {"damper__blade_offset_mm": -25}, {"most_blade_offset_mm": Mm(25)}),
    Case("blade-position", CHANGE, {"damper__blade_offset_mm": 25.001}, {"most_blade_offset_mm": Mm(25)}),
    Case("blade-position", CHANGE, {"damper__blade_offset_mm": -25.001}, {"most_blade_offset_mm": Mm(25)}),
    Case("blade-position", UNKNOWN, {"damper__blade_offset_mm": unknown()}),
    Case("blade-position", UNKNOWN, tested={"most_blade_offset_mm": None}),
    # handbook 5.2
    Case("fixing", PASS),
    Case("fixing", CHANGE, {"installation__fixing": FixingFamily.SLEEVE_AND_ANGLES}),
    Case("fixing", UNKNOWN, {"installation__fixing": unknown()}),
    # field case 10: rods and barrier together only as tested
    Case("support", PASS),
    Case("support", CHANGE, {"installation__support": SupportKind.BOTH}),
    Case("support", CHANGE, {"installation__support": SupportKind.DROP_RODS}),
    Case("support", PASS, {"installation__support": SupportKind.BOTH}, {"support": SupportKind.BOTH}),
    Case("support", UNKNOWN, {"installation__support": unknown()}),
    Case("support", UNKNOWN, tested={"support": None}),
    # rows 5.8, 5.22, check case C64, field case 20
    Case("joint", PASS),
    Case("joint", CHANGE, {"installation__joint": Joint.STEEL_SCREWS}),
    Case("joint", CHANGE, {"installation__joint": Joint.RIGID_FLANGE}),
    Case("joint", CHANGE, {"installation__joint": Joint.STEEL_SCREWS}, {"joints": None}),
    Case("joint", PASS, {"installation__joint": Joint.STEEL_SCREWS}, {"joints": ALL_JOINTS}),
    Case("joint", CHANGE, {"installation__joint": Joint.SLIP_JOINT}),
    Case("joint", UNKNOWN, {"installation__joint": Joint.SLIP_JOINT}, {"joints": None}),
    Case("joint", UNKNOWN, {"installation__joint": unknown()}),
    Case("joint", NA, {"installation__joint": Joint.NO_DUCT}),
    # row 2.49, field case 2
    Case("ducted-sides", PASS),
    Case("ducted-sides", UNKNOWN, {}, {"ducts": None}),
    Case("ducted-sides", FAIL, {"installation__joint": Joint.NO_DUCT}),
    Case("ducted-sides", FAIL, {"installation__joint": Joint.NO_DUCT}, {"ducts": ONE | BOTH}),
    Case("ducted-sides", PASS, {"installation__joint": Joint.NO_DUCT}, {"ducts": NEITHER}),
    Case("ducted-sides", FAIL, {"duct__system": SystemUse.TRANSFER}, {"ducts": ONE | BOTH}),
    Case("ducted-sides", PASS, {"duct__system": SystemUse.TRANSFER}, {"ducts": NEITHER | BOTH}),
    Case("ducted-sides", UNKNOWN, {"duct__system": SystemUse.TRANSFER}, {"ducts": NEITHER}),  # joints say two ducts
    Case("ducted-sides", UNKNOWN, {"duct__system": SystemUse.TRANSFER}, {"ducts": None}),
    Case("ducted-sides", UNKNOWN, {"duct__system": unknown()}),
    Case("ducted-sides", UNKNOWN, {"installation__joint": unknown()}),
    Case("ducted-sides", PASS, {"duct__system": unknown()}, {"ducts": NEITHER | ONE | BOTH}),
    # an open end on one side (field case 2): a test with ducts on both sides does not hold, nor one with none
    *(
        Case("ducted-sides", outcome, {f"installation__joint_{side}": own(fact)}, {"ducts": tested})
        for side in "ab"
        for fact, tested, outcome in (
            (Joint.NO_DUCT, BOTH, FAIL),
            (Joint.NO_DUCT, NEITHER, FAIL),
            (Joint.NO_DUCT, NEITHER | BOTH, FAIL),
            (Joint.NO_DUCT, ONE, PASS),
            (Joint.NO_DUCT, ONE | BOTH, PASS),
            (Joint.NO_DUCT, None, UNKNOWN),
            (Joint.SLIP_JOINT, BOTH, PASS),
            (Joint.SLIP_JOINT, ONE, FAIL),
            (unknown(), BOTH, UNKNOWN),
            (unknown(), ONE, UNKNOWN),
            (unknown(), ONE | BOTH, PASS),
            (unknown(), NEITHER, FAIL),
        )
    ),
    *(
        Case("joint", outcome, {f"installation__joint_{side}": own(fact)}, {"joints": tested})
        for side in "ab"
        for fact, tested, outcome in (
            (Joint.NO_DUCT, BREAKAWAY, PASS),
            (Joint.STEEL_SCREWS, BREAKAWAY, CHANGE),
            (Joint.STEEL_SCREWS, None, CHANGE),
            (unknown(), BREAKAWAY, UNKNOWN),
            (Joint.BREAKAWAY_FIXINGS, BREAKAWAY, PASS),
            (Joint.NO_DUCT, None, UNKNOWN),
        )
    ),
    Case("joint", NA, {"installation__joint": unknown(), **dict.fromkeys(SIDES, known(Joint.NO_DUCT))}),
    Case("joint", CHANGE, {"installation__joint_a": unknown(), "installation__joint_b": known(Joint.RIGID_FLANGE)}),
    Case("ducted-sides", PASS, {"installation__joint": unknown(), **dict.fromkeys(SIDES, known(Joint.SLIP_JOINT))}),
    Case("access-side", PASS),
    Case("access-side", PASS, {"damper__access_side": " Corridor  SIDE"}),
    Case("access-side", CHANGE, {"damper__access_side": "room side"}),
    Case("access-side", UNKNOWN, {"damper__access_side": unknown()}),
    Case("access-side", UNKNOWN, tested={"access_sides": None}),
    # field cases 10, 19, 27: only as tested
    *(
        case
        for name, path, code, worst in THREE
        for case in (
            Case(code, NA, {path: False}, {name: None}),
            Case(code, worst, {path: True}),
            Case(code, PASS, {path: True}, {name: True}),
            Case(code, UNKNOWN, {path: True}, {name: None}),
            Case(code, UNKNOWN, {path: unknown()}),
            Case(code, UNKNOWN, {path: unknown()}, {name: None}),
            Case(code, PASS, {path: unknown()}, {name: True}),
        )
    ),
    # field case 13
    Case("shared-opening", NA),
    Case("shared-opening", FAIL, {"opening__shared_with": ("P-0002",)}),
    Case("shared-opening", PASS, {"opening__shared_with": ("P-0002",)}, {"shared_opening": True}),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.outcome}")
def test_one_change_to_a_pair_that_holds(case: Case) -> None:
    assert outcome(case.judgment(), case.code) == case.outcome


def test_steel_screws_are_cured_by_a_joint_that_was_tested() -> None:
    judgment = judged(penetration(installation__joint=Joint.STEEL_SCREWS))
    assert judgment.scope is Scope.WITHIN_IF
    (change,) = judgment.changes
    assert (change.code, change.text) == ("joint", "Join the duct as tested: breakaway fixings.")
    assert "drag the damper out" in the_reason(judgment, "joint").text


def test_how_far_the_blade_has_to_move_is_said_in_numbers() -> None:
    judgment = judged(penetration(damper__blade_offset_mm=-80), installation(most_blade_offset_mm=Mm(25)))
    assert judgment.changes[0].text == "Move the damper along the duct by 55 mm or more towards the centre."


def test_changes_are_told_together_and_each_with_its_weight() -> None:
    judgment = judged(penetration(installation__joint=Joint.RIGID_FLANGE, installation__fixing=FixingFamily.CAST_IN))
    assert judgment.scope is Scope.WITHIN_IF
    assert [(change.code, change.weight) for change in judgment.changes] == [("fixing", 4), ("joint", 1)]


def test_a_change_does_not_help_where_something_else_can_not_be_cured() -> None:
    judgment = judged(
        penetration(installation__joint=Joint.STEEL_SCREWS, installation__position=MountingPosition.ON_FACE)
    )
    assert judgment.scope is Scope.OUTSIDE


def test_a_change_with_a_fact_missing_is_not_enough_known() -> None:
    judgment = judged(penetration(installation__joint=Joint.STEEL_SCREWS, duct__angle_deg=unknown("x/angle")))
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert [missing.key for missing in judgment.missing] == ["x/angle"]
    assert [change.code for change in judgment.changes] == ["joint"]


@pytest.mark.parametrize("side", ["outside the shaft", "corridor side"])
def test_the_side_of_access_keeps_the_documents_own_words(side: str) -> None:
    place = penetration(damper__access_side="room side")
    judgment = judged(place, installation(access_sides=frozenset({side})))
    assert [change.text for change in judgment.changes] == [f"Give access from: {side}."]
