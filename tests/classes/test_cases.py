# SPDX-License-Identifier: Apache-2.0
"""The check cases C08-C19 and C65 of the trade handbook, by their ids."""

import pytest

from brattice.classes import (
    HOT_BESIDE_E300,
    OUTSIDE_TABLE,
    ClassAnswer,
    ClassSteps,
    Facet,
    Family,
    Outcome,
    ShortfallKind,
    asking,
    canonical,
    read_class,
    satisfies,
)
from brattice.classes.values import FireSide, Mounting
from brattice.errors import ClassTextError

DAMPER, SMOKE, DUCT = Family.FIRE_DAMPER, Family.SMOKE_CONTROL_DAMPER, Family.DUCT
YES, NO, ASK = Outcome.SATISFIED, Outcome.NOT_SATISFIED, Outcome.NEEDS_EVIDENCE


def judged(
    steps: ClassSteps, declared: str, required: str, held: Family = DAMPER, asked: Family = DAMPER
) -> ClassAnswer:
    return satisfies(read_class(declared, held, steps), read_class(required, asked, steps))


def failing(answer: ClassAnswer) -> set[Facet]:
    return {item.facet for item in answer.shortfalls if item.kind is ShortfallKind.FAILS}


@pytest.mark.parametrize(
    ("case", "declared", "required", "outcome", "facets"),
    [
        ("C08", "EI 90 (ve i↔o) S", "E 60 (ve i→o)", YES, set()),
        ("C09", "E 120 (ve ho i↔o) S", "EI 30 (ve i→o)", NO, {Facet.INSULATION}),
        ("C10", "EI 120 (ho i↔o) S", "E 60 (ve i↔o)", NO, {Facet.ORIENTATION}),
        ("C11", "E 60 (ve i→o)", "E 60 (ve o→i)", NO, {Facet.FIRE_SIDE}),
        ("C12", "EI 60 S / E 120", "ES 120", NO, {Facet.LEAKAGE, Facet.INTEGRITY}),
        ("C13 one way", "EI 60 (ve ho i↔o) S", "E 120 (ve i↔o)", NO, {Facet.INTEGRITY}),
        (
            "C13 the other way",
            "E 120 (ve i↔o)",
            "EI 60 (ve ho i↔o) S",
            NO,
            {Facet.INSULATION, Facet.ORIENTATION, Facet.LEAKAGE},
        ),
    ],
)
def test_fire_damper_cases(
    steps: ClassSteps, case: str, declared: str, required: str, outcome: Outcome, facets: set[Facet]
) -> None:
    answer = judged(steps, declared, required)
    assert answer.outcome is outcome, case
    assert failing(answer) == facets, case


def test_c12_says_which_class_lacks_what(steps: ClassSteps) -> None:
    answer = judged(steps, "EI 60 S / E 120", "ES 120")
    assert {(item.declared, item.facet) for item in answer.shortfalls} == {
        ("EI 60 S", Facet.INTEGRITY),
        ("E 120", Facet.LEAKAGE),
    }
    assert judged(steps, "EI 60 S / E 120", "ES 60").outcome is YES
    assert judged(steps, "EI 60 S / E 120", "E 120").outcome is YES


def test_c14_a_smoke_control_damper_is_no_fire_damper(steps: ClassSteps) -> None:
    answer = judged(steps, "E 90 (vedw hodw i↔o) S 1000 C10000 HOT 400/30 AA multi", "E 60 S", held=SMOKE)
    assert answer.outcome is NO
    assert failing(answer) == {Facet.FAMILY}
    # and the other way (trade handbook row 1.44)
    assert judged(steps, "EI 120 (ve ho i↔o) S", "E 60 AA multi", asked=SMOKE).outcome is NO


def test_c15_multi_may_stand_for_single_and_never_the_other_way(steps: ClassSteps) -> None:
    # trade handbook row 1.47
    for asked in ("E300 120 single", "E600 120 single"):
        assert judged(steps, "EI 120 multi", asked, SMOKE, SMOKE).outcome is YES
    answer = judged(steps, "E600 120 single", "E 120 multi", SMOKE, SMOKE)
    assert answer.outcome is NO
    assert Facet.COMPARTMENTS in failing(answer)


def test_c16_e_180_of_a_damper_is_read_marked_and_credited_as_120_at_most(steps: ClassSteps) -> None:
    # trade handbook rows 1.5, 1.14a
    for text in ("E 180 (ve i→o)", "E 240 (ve i→o)"):
        declared = read_class(text, DAMPER, steps)
        assert canonical(declared) == text
        assert [note.code for note in declared.notes] == [OUTSIDE_TABLE]
        assert satisfies(declared, read_class("E 120 (ve i→o)", DAMPER, steps)).outcome is YES
        answer = satisfies(declared, declared)
        assert answer.outcome is NO
        assert failing(answer) == {Facet.INTEGRITY}
        assert [note.code for note in answer.notes] == [OUTSIDE_TABLE]
        assert "class.fire-damper.e-outside-steps" in answer.rows
    # what such a requirement asks is met by EI 180 (trade handbook row 4.10, case C51)
    assert judged(steps, "EI 180", "E 180").outcome is YES
    assert read_class("EI 180", DAMPER, steps).notes == ()
    assert judged(steps, "EI 120", "E 180").outcome is NO


def test_c17_e_90_is_no_duct_class(steps: ClassSteps) -> None:
    # trade handbook row 1.7
    with pytest.raises(ClassTextError, match="E of a duct: 30, 60") as caught:
        read_class("E 90", DUCT, steps)
    assert caught.value.position == 2
    assert canonical(read_class("E 60", DUCT, steps)) == "E 60"
    assert canonical(read_class("EI 90", DUCT, steps)) == "EI 90"


def test_c18_ei_45_is_a_damper_class(steps: ClassSteps) -> None:
    declared = read_class("EI 45 (ho i↔o) S", DAMPER, steps)
    assert canonical(declared) == "EI 45 (ho i↔o) S"
    assert declared.notes == ()


def test_c19_hot_beside_e300_is_noted_and_not_credited(steps: ClassSteps) -> None:
    # trade handbook row 1.33
    declared = read_class("E300 60 HOT 400/30 single", SMOKE, steps)
    assert [note.code for note in declared.notes] == [HOT_BESIDE_E300]
    answer = satisfies(declared, declared)
    assert answer.outcome is ASK
    assert {item.facet for item in answer.shortfalls} == {Facet.HOT}
    assert read_class("E600 60 HOT 400/30 single", SMOKE, steps).notes == ()
    assert read_class("EI 60 HOT 400/30 multi", SMOKE, steps).notes == ()


def test_c65_a_horizontal_duct_through_a_wall_asks_ho_of_the_duct_and_ve_of_the_damper(steps: ClassSteps) -> None:
    # trade handbook row 1.11: the same words, two meanings; the families keep them apart
    both = frozenset(FireSide)
    duct = asking(read_class("EI 60", DUCT, steps), frozenset({Mounting.HO}), both)
    damper = asking(read_class("E 60", DAMPER, steps), frozenset({Mounting.VE}), both)
    assert satisfies(read_class("EI 60 (ho i↔o) S", DUCT, steps), duct).outcome is YES
    assert satisfies(read_class("EI 60 (ve i↔o) S", DUCT, steps), duct).outcome is NO
    assert satisfies(read_class("EI 60 (ve i↔o) S", DAMPER, steps), damper).outcome is YES
    assert satisfies(read_class("EI 60 (ho i↔o) S", DAMPER, steps), damper).outcome is NO
    assert satisfies(read_class("EI 60 (ho i↔o) S", DUCT, steps), damper).outcome is NO
