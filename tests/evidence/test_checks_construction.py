# SPDX-License-Identifier: Apache-2.0
"""The supporting construction: what stands for what, and never by thickness alone."""

from __future__ import annotations

from typing import Any

import pytest

from brattice.building.words import BarrierRole, SupportingConstruction
from brattice.evidence import Scope
from brattice.evidence.installation import ConstructionTested
from brattice.findings import Verdict
from brattice.quantities import KgPerM3, Mm
from tests.evidence.cases import CHANGE, FAIL, NA, PASS, UNKNOWN, Case, outcome
from tests.helpers.installations import installation
from tests.helpers.judging import judged, the_reason
from tests.helpers.penetrations import penetration, unknown, without

KINDS = SupportingConstruction
WALL = "barrier__wall_type__"
FLEXIBLE: dict[str, Any] = {
    f"{WALL}kind": KINDS.FLEXIBLE_WALL,
    f"{WALL}board_type": "type F",
    f"{WALL}board_thickness_mm": 12.5,
    f"{WALL}board_layers": (2, 2),
    f"{WALL}stud_size_mm": 50,
    f"{WALL}stud_spacing_mm": 600,
    f"{WALL}cavity_fill": "stone wool 40 kg/m³",
    f"{WALL}opening_framing": "studs and tracks",
    f"{WALL}lining_mm": 12.5,
}
TESTED = ConstructionTested(
    KINDS.FLEXIBLE_WALL,
    Mm(100),
    board_type="Type F",
    board_thickness_mm=Mm(12.5),
    board_layers=(2, 2),
    stud_size_mm=Mm(50),
    most_stud_spacing_mm=Mm(600),
    cavity_fill="Stone wool  40 kg/m³",
    opening_framing="studs and tracks",
    lining_mm=Mm(12.5),
)


def site(**changes: Any) -> dict[str, Any]:
    return (
        FLEXIBLE
        | {f"{WALL}{name}": value for name, value in changes.items() if name != "formed"}
        | ({"opening__formed": changes["formed"]} if "formed" in changes else {})
    )


def proven(**changes: Any) -> dict[str, Any]:
    return {"construction": TESTED} | {f"construction__{name}": value for name, value in changes.items()}


CASES = [
    # row 2.41, exactly at the limits
    Case("thickness", PASS, {"barrier__thickness_mm": 100}),
    Case("thickness", FAIL, {"barrier__thickness_mm": 99.999}),
    Case("thickness", UNKNOWN, {"barrier__thickness_mm": unknown()}),
    Case("density", PASS, {f"{WALL}density_kg_m3": 600}),
    Case("density", FAIL, {f"{WALL}density_kg_m3": 599.9}),
    Case("density", UNKNOWN, {f"{WALL}density_kg_m3": unknown()}),
    Case("density", UNKNOWN, tested={"construction__least_density_kg_m3": None}),
    Case("density", PASS, {f"{WALL}density_kg_m3": 1400}, {"construction__most_density_kg_m3": KgPerM3(1400)}),
    Case("density", FAIL, {f"{WALL}density_kg_m3": 1401}, {"construction__most_density_kg_m3": KgPerM3(1400)}),
    Case("density", NA, site(density_kg_m3=unknown()), proven()),
    Case("density", FAIL, site(density_kg_m3=100), proven(least_density_kg_m3=KgPerM3(200))),
    # rows 2.42, 2.43; check case C26
    Case("supporting-construction", PASS),
    Case("supporting-construction", PASS, site(), proven()),
    Case("supporting-construction", FAIL, site()),
    Case("supporting-construction", FAIL, tested=proven()),
    Case("supporting-construction", PASS, tested=proven(shown_in_rigid=True)),
    Case("supporting-construction", UNKNOWN, {f"{WALL}kind": unknown()}),
    Case("supporting-construction", UNKNOWN, {"barrier__wall_type": None}),
    # row 2.44a, field case 3: a cavity barrier is no supporting construction, whatever the wall-type sheet says
    Case("supporting-construction", FAIL, {"barrier__role": BarrierRole.CAVITY_BARRIER}),
    Case("supporting-construction", UNKNOWN, {"barrier__role": unknown()}),
    # rows 2.40, 2.44: told by boards, studs, filling
    Case("boards", NA),
    Case("boards", PASS, site(), proven()),
    Case("boards", FAIL, site(board_type="type A"), proven()),
    Case("boards", FAIL, site(board_thickness_mm=12.4), proven()),
    Case("boards", PASS, site(board_thickness_mm=15), proven()),
    Case("boards", FAIL, site(board_layers=(2, 1)), proven()),
    Case("boards", PASS, site(board_layers=(3, 2)), proven()),
    Case("boards", PASS, site(board_layers=(3, 1)), proven(board_layers=(1, 2))),
    Case("boards", FAIL, site(board_layers=(1, 1)), proven(board_layers=(1, 2))),
    Case("boards", UNKNOWN, site(board_type=unknown()), proven()),
    Case("boards", UNKNOWN, site(board_layers=unknown()), proven()),
    Case("boards", UNKNOWN, site(), proven(board_type=None)),
    Case("boards", UNKNOWN, site(), proven(board_layers=None)),
    Case("boards", FAIL, site(board_type="type A", board_layers=unknown()), proven()),
    Case("boards", UNKNOWN, site(kind=unknown()), proven()),
    Case("boards", NA, tested=proven(shown_in_rigid=True)),
    Case("studs", PASS, site(), proven()),
    Case("studs", FAIL, site(stud_size_mm=49.9), proven()),
    Case("studs", PASS, site(stud_spacing_mm=400), proven()),
    Case("studs", FAIL, site(stud_spacing_mm=600.1), proven()),
    Case("studs", UNKNOWN, site(stud_spacing_mm=unknown()), proven()),
    Case("studs", UNKNOWN, site(), proven(stud_size_mm=None)),
    Case("cavity-fill", PASS, site(), proven()),
    Case("cavity-fill", FAIL, site(cavity_fill="none"), proven()),
    Case("cavity-fill", FAIL, site(), proven(cavity_fill="none")),
    Case("cavity-fill", UNKNOWN, site(cavity_fill=unknown()), proven()),
    Case("cavity-fill", UNKNOWN, site(), proven(cavity_fill=None)),
    Case("opening-framing", PASS, site(), proven()),
    Case("opening-framing", CHANGE, site(opening_framing="studs only"), proven()),
    Case("opening-framing", CHANGE, site(opening_framing="studs only", formed=unknown()), proven()),
    Case("opening-framing", FAIL, site(opening_framing="studs only", formed=True), proven()),
    Case("opening-framing", UNKNOWN, site(opening_framing=unknown()), proven()),
    Case("opening-framing", UNKNOWN, site(), proven(opening_framing=None)),
    Case("lining", PASS, site(), proven()),
    Case("lining", PASS, site(lining_mm=15), proven()),
    Case("lining", CHANGE, site(lining_mm=12.4), proven()),
    Case("lining", CHANGE, site(lining_mm=0), proven()),
    Case("lining", FAIL, site(lining_mm=0, formed=True), proven()),
    Case("lining", CHANGE, site(lining_mm=12.5), proven(lining_mm=Mm(0))),
    Case("lining", PASS, site(lining_mm=0), proven(lining_mm=Mm(0))),
    Case("lining", UNKNOWN, site(lining_mm=unknown()), proven()),
    Case("lining", UNKNOWN, site(), proven(lining_mm=None)),
    # own evidence only, by what it is made of
    Case("material", NA),
    *(
        Case("material", verdict, {f"{WALL}kind": kind, f"{WALL}material": here}, proven(kind=kind, material=there))
        for kind in (
            KINDS.PANEL_WALL, KINDS.COMPOSITE_DECK, KINDS.TIMBER_FLOOR, KINDS.CAVITY_BARRIER, KINDS.OTHER,
        )
        for verdict, here, there in (
            (PASS, "panel P 100", "Panel P  100"),
            (FAIL, "panel Q 100", "panel P 100"),
            (UNKNOWN, unknown(), "panel P 100"),
            (UNKNOWN, "panel P 100", None),
        )
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.outcome}")
def test_one_change_to_a_pair_that_holds(case: Case) -> None:
    assert outcome(case.judgment(), case.code) == case.outcome


@pytest.mark.parametrize("shown", [False, True])
@pytest.mark.parametrize("there", list(KINDS))
@pytest.mark.parametrize("here", list(KINDS))
def test_no_kind_stands_for_another_but_a_flexible_wall_shown_in_a_rigid_one(
    here: SupportingConstruction, there: SupportingConstruction, shown: bool
) -> None:
    # rows 2.41-2.44a over all pairs of kinds
    case = Case("supporting-construction", PASS, {f"{WALL}kind": here}, proven(kind=there, shown_in_rigid=shown))
    holds = here is there or (shown and (here, there) == (KINDS.RIGID_WALL, KINDS.FLEXIBLE_WALL))
    assert outcome(case.judgment(), case.code) == (PASS if holds else FAIL)


def test_a_flexible_wall_that_is_told_by_nothing_but_its_thickness_is_never_within_scope() -> None:
    facts = [f"{WALL}{name}" for name in (
        "board_type", "board_thickness_mm", "board_layers", "stud_size_mm", "stud_spacing_mm", "cavity_fill",
        "opening_framing", "lining_mm",
    )]  # fmt: skip
    thick = penetration(**FLEXIBLE, barrier__thickness_mm=500)
    assert judged(thick, installation(**proven())).scope is Scope.WITHIN
    for name in facts:
        judgment = judged(without(thick, name), installation(**proven()))
        assert judgment.scope is Scope.NOT_ENOUGH_KNOWN, name
        assert [missing.key for missing in judgment.missing] == [f"penetration/P-0001/{name.replace('__', '-')}"]
    bare = ConstructionTested(KINDS.FLEXIBLE_WALL, Mm(100))
    judgment = judged(thick, installation(construction=bare))
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert "evidence/HV-10-RW-1/construction.board_layers" in {missing.key for missing in judgment.missing}


def test_an_aerated_wall_of_the_test_holds_for_thicker_and_denser_concrete() -> None:
    # check case C25
    report = installation(construction=ConstructionTested(KINDS.RIGID_WALL, Mm(150), KgPerM3(550)))
    concrete = penetration(barrier__thickness_mm=200, barrier__wall_type__density_kg_m3=2300)
    assert judged(concrete, report).scope is Scope.WITHIN


def test_concrete_of_the_test_does_not_hold_for_plasterboard() -> None:
    # check case C26
    report = installation(construction=ConstructionTested(KINDS.RIGID_WALL, Mm(150), KgPerM3(2300)))
    board = penetration(**FLEXIBLE, barrier__thickness_mm=120)
    judgment = judged(board, report)
    assert judgment.scope is Scope.OUTSIDE
    reason = the_reason(judgment, "supporting-construction")
    assert reason.text == "Tested in a rigid wall; that does not hold in a flexible one."
    assert reason.rows == ("scope.construction.rigid-in-flexible",)
    assert reason.verdict is Verdict.FAIL


def test_a_wall_type_without_a_row_asks_for_the_row() -> None:
    judgment = judged(penetration(barrier__wall_type=None))
    assert judgment.scope is Scope.NOT_ENOUGH_KNOWN
    assert {missing.key for missing in judgment.missing} == {"wall-type/W1/row"}


def test_a_board_type_is_not_called_type_twice() -> None:
    reason = the_reason(judged(penetration(**site()), installation(**proven())), "boards")
    assert reason.have.startswith("board type F, board thickness")
    assert reason.need.startswith("board type F, board thickness")
