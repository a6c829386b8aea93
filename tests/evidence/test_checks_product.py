# SPDX-License-Identifier: Apache-2.0
"""Kind, class, size, actuation, rating, battery: each passing, failing and open, and exactly at its limits."""

from __future__ import annotations

from datetime import date

import pytest

from brattice.building.words import Actuation, FixingFamily, OpeningShape, Orientation
from brattice.evidence import Scope
from brattice.evidence.installation import DamperKind, SizeWindow, Window
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.evidence.cases import FAIL, NA, PASS, UNKNOWN, Case, outcome, size
from tests.helpers.installations import installation
from tests.helpers.judging import judged, requirement, the_reason
from tests.helpers.penetrations import ORDINARY, penetration, rating, unknown

ROUND = SizeWindow(OpeningShape.ROUND, Window(100, 315), None, Mm(125))
SMALL_S = {"sizes__width": Window(100, 1200), "sizes__height": Window(100, 800)}
SMOKE = "E 90 (ved i↔o) S 500 C300 AA multi"
BOTH = frozenset(Actuation)

CASES = [
    # EN 12101-8, trade handbook row 1.44; check case C14
    Case("damper-kind", PASS),
    Case("damper-kind", FAIL, tested={"kind": DamperKind.SMOKE_CONTROL_DAMPER, "class_text": SMOKE}),
    Case("damper-kind", FAIL, asked={"class_text": SMOKE}),
    Case(
        "damper-kind",
        PASS,
        tested={"kind": DamperKind.SMOKE_CONTROL_DAMPER, "class_text": SMOKE},
        asked={"class_text": SMOKE},
    ),
    Case("damper-kind", UNKNOWN, asked={"class_text": unknown()}),
    Case("damper-kind", NA, asked={"class_text": ()}),
    # trade handbook 1.4 and check cases C08-C12 (the order of classes itself is proven in tests/classes)
    Case("class", PASS, tested={"class_text": "EI 90 (ve i↔o) S"}, asked={"class_text": "E 60 (ve i→o)"}),
    Case("class", FAIL, tested={"class_text": "E 120 (ve ho i↔o) S"}, asked={"class_text": "EI 30 (ve i→o)"}),
    Case("class", FAIL, tested={"class_text": "EI 120 (ho i↔o) S"}, asked={"class_text": "E 60 (ve i↔o)"}),
    Case("class", FAIL, tested={"class_text": "E 60 (ve i→o)"}, asked={"class_text": "E 60 (ve o→i)"}),
    Case(
        "class", PASS, tested={"class_text": "E 60 (ve i↔o)"}, asked={"class_text": ("EI 60 (ve i↔o)", "E 60 (ve i↔o)")}
    ),
    Case("class", UNKNOWN, asked={"class_text": unknown()}),
    Case("class", FAIL, asked={"class_text": ()}),
    Case("class", UNKNOWN, tested={"class_text": "as good as any"}),
    Case("class", UNKNOWN, asked={"class_text": "something strong"}),
    # a requirement without orientation or side asks those of this barrier, and both sides
    Case("class", PASS, asked={"class_text": "E 60"}),
    Case("class", FAIL, tested={"class_text": "EI 60 (ve i→o) S"}, asked={"class_text": "E 60"}),
    Case("class", UNKNOWN, tested={"class_text": "EI 60 S"}, asked={"class_text": "E 60"}),
    Case("class", FAIL, site={"barrier__orientation": Orientation.FLOOR}, asked={"class_text": "E 60"}),
    Case("class", UNKNOWN, site={"barrier__orientation": unknown()}),
    # S only between the smallest and the largest size tested: rows 2.3, 2.36; check case C24
    Case("class", PASS, {"damper__size": size(200, 200)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", FAIL, {"damper__size": size(150, 150)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", FAIL, {"damper__size": size(199.999, 200)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", FAIL, {"damper__size": size(200, 199.999)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", PASS, {"damper__size": size(1200, 800)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", FAIL, {"damper__size": size(1200.001, 800)}, SMALL_S, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", PASS, {"damper__size": size(150, 150)}, SMALL_S, {"class_text": "E 60 (ve i↔o)"}),
    Case(
        "class",
        UNKNOWN,
        tested={"sizes__s_least_width_mm": None, "sizes__s_least_height_mm": None},
        asked={"class_text": "E 60 (ve i↔o) S"},
    ),
    Case("class", UNKNOWN, {"damper__size": unknown()}, asked={"class_text": "E 60 (ve i↔o) S"}),
    Case("class", PASS, {"damper__size": unknown()}),
    Case("class", PASS, {"damper__size": size(125)}, {"sizes": ROUND}, {"class_text": "E 60 (ve i↔o) S"}),
    Case("class", FAIL, {"damper__size": size(124)}, {"sizes": ROUND}, {"class_text": "E 60 (ve i↔o) S"}),
    # row 2.36, field case 15
    Case("size", PASS, {"damper__size": size(200, 200)}),
    Case("size", PASS, {"damper__size": size(1200, 800)}),
    Case("size", FAIL, {"damper__size": size(1200.001, 800)}),
    Case("size", FAIL, {"damper__size": size(1200, 800.001)}),
    Case("size", FAIL, {"damper__size": size(199.999, 200)}),
    Case("size", FAIL, {"damper__size": size(800, 1200)}),
    Case("size", FAIL, {"damper__size": size(315)}),
    Case("size", UNKNOWN, {"damper__size": unknown()}),
    Case("size", PASS, {"damper__size": size(5000, 200)}, {"sizes__width": Window(200, None)}),
    Case("size", PASS, {"damper__size": size(315)}, {"sizes": ROUND}),
    Case("size", FAIL, {"damper__size": size(315.001)}, {"sizes": ROUND}),
    Case("size", FAIL, {"damper__size": size(200, 200)}, {"sizes": ROUND}),
    # rows 4.5, 4.12a: class and actuation are two tests
    Case("actuation", PASS),
    Case("actuation", FAIL, asked={"actuation": BOTH}),
    Case("actuation", PASS, tested={"actuation": BOTH}, asked={"actuation": BOTH}),
    Case("actuation", PASS, asked={"actuation": frozenset()}),
    Case("actuation", UNKNOWN, asked={"actuation": unknown()}),
    # field case 30
    Case("barrier-rating", PASS),
    Case("barrier-rating", UNKNOWN, {"barrier__rating": unknown()}),
    Case("barrier-rating", FAIL, {"rated": rating(0)}),
    Case("barrier-rating", NA, {"rated": rating(0)}, asked={"needed": Verdict.NOT_APPLICABLE}),
    # row 2.35, field case 18
    Case("battery", NA),
    Case("battery", FAIL, {"installation__fixing": FixingFamily.BATTERY}),
    Case("battery", PASS, {"installation__fixing": FixingFamily.BATTERY}, {"battery": True}),
    Case("battery", FAIL, tested={"battery": True}),
    Case("battery", UNKNOWN, {"installation__fixing": unknown()}),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.outcome}")
def test_one_change_to_a_pair_that_holds(case: Case) -> None:
    assert outcome(case.judgment(), case.code) == case.outcome


def test_the_ordinary_pair_holds_in_every_check() -> None:
    judgment = judged()
    assert judgment.scope is Scope.WITHIN
    assert {reason.verdict for reason in judgment.reasons} == {Verdict.PASS, Verdict.NOT_APPLICABLE}
    assert (judgment.changes, judgment.missing) == ((), ())


@pytest.mark.parametrize(
    ("rated", "declared", "achieved"),
    [
        # field case 30; a 30 min corridor still asks an E 60 damper (row 4.9), and holds 30 with it
        (30, "EI 60 (ve i↔o) S", "EI 30 (ve i↔o) S"),
        (60, "EI 60 (ve i↔o) S", "EI 60 (ve i↔o) S"),
        (120, "EI 60 (ve i↔o) S", "EI 60 (ve i↔o) S"),
        (rating(90, 30), "EI 120 (ve i↔o)", "EI 30 (ve i↔o) / E 90 (ve i↔o)"),
        (90, "E 120 (ve i↔o)", "E 90 (ve i↔o)"),
    ],
)
def test_the_class_achieved_never_exceeds_the_barriers(rated: object, declared: str, achieved: str) -> None:
    judgment = judged(penetration(rated=rated), installation(class_text=declared))  # type: ignore[arg-type]
    assert judgment.scope is Scope.WITHIN
    assert judgment.achieved_class == achieved
    # the class itself stands in `achieved_class`; the note does not say it again
    assert judgment.notes[-1] == (
        f"No more is held here than the barrier's class, whatever the damper is classed ({declared})."
    )


def test_what_holds_only_once_changed_says_so_in_its_note() -> None:
    judgment = judged(penetration(installation__seal_faces=1))
    assert judgment.scope is Scope.WITHIN_IF
    assert judgment.notes[-1].startswith("Once changed, no more is held here than the barrier's class")


def test_the_size_and_the_class_check_say_where_s_was_tested() -> None:
    # check case C24, and below both the sizes tested and those tested for S
    asked, small = requirement("E 60 (ve i↔o) S"), penetration(damper__size=size(150, 150))
    judgment = judged(small, installation(**SMALL_S), asked)
    tested = "S tested from 200 × 200 to 1200 × 800 mm"
    assert the_reason(judgment, "class").need == f"E 60 (ve i↔o) S; {tested}"
    assert the_reason(judgment, "size").need == f"width 100 to 1200 mm, height 100 to 800 mm; {tested}"
    without = judged(small, installation(**SMALL_S, class_text="E 60 (ve i↔o)"), asked)
    assert the_reason(without, "size").need == "width 100 to 1200 mm, height 100 to 800 mm"


def test_a_document_that_does_not_say_from_which_size_s_was_tested_is_quoted_so() -> None:
    open_s = SizeWindow(OpeningShape.RECTANGULAR, Window(100, 1200), Window(100, 800), Mm(200), None)
    judgment = judged(tested=installation(sizes=open_s), asked=requirement("E 60 (ve i↔o) S"))
    assert the_reason(judgment, "size").need.endswith("; the smallest size tested for S is not stated")


def test_round_ones_give_the_diameter_tested_for_s() -> None:
    sizes = SizeWindow(OpeningShape.ROUND, Window(100, 400), None, Mm(160))
    judgment = judged(penetration(damper__size=size(125)), installation(sizes=sizes), requirement("E 60 (ve i↔o) S"))
    assert the_reason(judgment, "size").need == "Ø 100 to 400 mm; S tested from Ø 160 to Ø 400 mm"


def test_below_the_smallest_size_tested_for_s_the_class_is_achieved_without_it() -> None:
    # check case C24
    judgment = judged(penetration(damper__size=size(150, 150)), installation(**SMALL_S))
    assert judgment.scope is Scope.WITHIN
    assert judgment.achieved_class == "EI 60 (ve i↔o)"
    failing = judged(penetration(damper__size=size(150, 150)), installation(**SMALL_S), requirement("E 60 (ve i↔o) S"))
    reason = the_reason(failing, "class")
    assert reason.text == "S was not tested at 150 × 150; without it the class is EI 60 (ve i↔o)."
    assert reason.rows == ("scope.size.leakage",)


def test_nothing_is_achieved_where_it_does_not_hold() -> None:
    assert judged(asked=requirement("E 120 (ve i↔o)")).achieved_class == ""


def test_every_reason_is_given_not_only_the_first() -> None:
    judgment = judged(
        penetration(damper__size=size(1300, 900), duct__angle_deg=30),
        installation(document__withdrawn_on=date(2025, 1, 1)),
        requirement("E 120 (ve i↔o)"),
    )
    failing = {reason.code for reason in judgment.reasons if reason.verdict is Verdict.FAIL}
    assert failing == {
        "class", "size", "angle", "standing-at-order", "standing-at-placing-on-market", "standing-at-installation",
        "standing-at-handover",
    }  # fmt: skip
    assert ORDINARY.id == judgment.penetration_id
