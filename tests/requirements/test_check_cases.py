# SPDX-License-Identifier: Apache-2.0
"""Check cases C47 to C51 of the trade handbook (section 10), each by its id, and the rows beside them."""

import pytest

from brattice.building.words import BarrierRole, Orientation, SpaceUse, SystemUse
from brattice.findings import Known
from tests.helpers.penetrations import penetration, without
from tests.requirements.asked import (
    BOTH,
    FAIL,
    METHOD_1,
    METHOD_2,
    METHOD_3,
    METHOD_4,
    PASS,
    SMOKE,
    THERMAL,
    asked,
    checked,
    method,
    spaces,
    value,
    verdict,
)


def test_c47_a_30_minute_wall_not_sleeping_not_an_escape_route_takes_e_60_by_method_1() -> None:
    requirement = asked(penetration(rated=30))  # rows 4.7, 4.9
    assert requirement.needed is PASS
    assert method(requirement, METHOD_1).verdict is PASS
    assert value(requirement.class_texts) == ("E 60 (ve i↔o)",)
    assert value(requirement.actuation) == THERMAL
    assert requirement.missing == ()


def test_c48_a_90_minute_wall_takes_e_90() -> None:
    requirement = asked(penetration(rated=90))  # row 4.7
    assert value(requirement.class_texts) == ("E 90 (ve i↔o)",)


def test_c49_a_hotel_corridor_takes_es_60_with_smoke_detection_and_thermal_release() -> None:
    corridor = penetration(
        rated=30,
        barrier__role=BarrierRole.PROTECTED_CORRIDOR,
        spaces=spaces(SpaceUse.SLEEPING, SpaceUse.ESCAPE_ROUTE),
        protection__method=METHOD_4,
        damper__actuation=BOTH,
        damper__class_text="E 60 (ve i↔o) S",
    )
    requirement = asked(corridor)  # rows 4.5, 4.8
    assert method(requirement, METHOD_1).verdict is FAIL
    assert value(requirement.class_texts) == ("E 60 (ve i↔o) S",)
    assert value(requirement.actuation) == BOTH
    assert {verdict(corridor, code) for code in ("method", "scheduled-class", "scheduled-actuation")} == {PASS}


def test_c50_a_kitchen_extract_through_a_compartment_floor_takes_no_damper() -> None:
    floor = penetration(
        barrier__role=BarrierRole.COMPARTMENT_FLOOR,
        barrier__orientation=Orientation.FLOOR,
        duct__system=SystemUse.KITCHEN_EXTRACT,
    )
    requirement = asked(floor)  # row 4.4
    verdicts = {item.method: item.verdict for item in requirement.methods}
    assert verdicts == {METHOD_1: FAIL, METHOD_2: PASS, METHOD_3: PASS, METHOD_4: FAIL}
    assert value(requirement.class_texts) == ()
    assert verdict(floor, "method") is FAIL
    (excluded,) = checked(floor)["damper-excluded"]
    assert (excluded.verdict, excluded.rows) == (FAIL, ("england.damper.kitchen-extract",))


def test_c51_a_240_minute_wall_takes_an_ei_240_damper_or_methods_2_and_3() -> None:
    requirement = asked(penetration(rated=240))  # row 4.10
    assert value(requirement.class_texts) == ("EI 240 (ve i↔o)",)
    assert {method(requirement, item).verdict for item in (METHOD_2, METHOD_3)} == {PASS}
    part = next(item for item in requirement.parts if item.about == "class")
    assert "class.fire-damper.e-steps" in part.rows


@pytest.mark.parametrize(
    ("minutes", "method_1", "method_4"),
    [  # rows 4.7 to 4.10 with the steps of rows 1.4 and 1.5: E 30, 60, 90, 120; EI also 180, 240
        (1, ("E 60 (ve i↔o)",), ("E 60 (ve i↔o) S",)),
        (30, ("E 60 (ve i↔o)",), ("E 60 (ve i↔o) S",)),
        (59, ("E 60 (ve i↔o)",), ("E 60 (ve i↔o) S",)),
        (60, ("E 60 (ve i↔o)",), ("E 60 (ve i↔o) S",)),  # exactly at the limit
        (61, ("E 90 (ve i↔o)",), ("E 90 (ve i↔o) S",)),
        (90, ("E 90 (ve i↔o)",), ("E 90 (ve i↔o) S",)),
        (120, ("E 120 (ve i↔o)",), ("E 120 (ve i↔o) S",)),  # exactly where E stops
        (121, ("EI 180 (ve i↔o)",), ("EI 180 (ve i↔o) S",)),
        (180, ("EI 180 (ve i↔o)",), ("EI 180 (ve i↔o) S",)),
        (240, ("EI 240 (ve i↔o)",), ("EI 240 (ve i↔o) S",)),  # exactly where EI stops
        (241, (), ()),
        (360, (), ()),
    ],
)
def test_the_class_is_a_step_that_exists_at_least_60_and_never_below_the_barrier(
    minutes: int, method_1: tuple[str, ...], method_4: tuple[str, ...]
) -> None:
    requirement = asked(penetration(rated=minutes))
    assert value(method(requirement, METHOD_1).class_texts) == method_1
    assert value(method(requirement, METHOD_4).class_texts) == method_4
    assert method(requirement, METHOD_1).verdict is (PASS if method_1 else FAIL)
    assert method(requirement, METHOD_3).verdict is PASS


def test_in_a_floor_the_class_is_asked_for_floors() -> None:
    requirement = asked(penetration(barrier__orientation=Orientation.FLOOR))  # row 1.11
    assert value(requirement.class_texts) == ("E 60 (ho i↔o)",)


def test_an_escape_route_takes_smoke_detection_and_es_and_a_thermal_link_alone_fails() -> None:
    corridor = penetration(barrier__role=BarrierRole.PROTECTED_CORRIDOR, protection__method=METHOD_4)
    requirement = asked(corridor)  # rows 4.3, 4.12a
    assert value(requirement.class_texts) == ("E 60 (ve i↔o) S",)
    assert value(requirement.actuation) == SMOKE
    assert verdict(corridor, "scheduled-class") is PASS  # the class holds S …
    (actuation,) = checked(corridor)["scheduled-actuation"]  # … and that says nothing about what closes it
    assert (actuation.verdict, actuation.have, actuation.need) == (FAIL, "thermal", "smoke detection")
    assert "england.actuation.escape-route" in actuation.rows


def test_without_a_choice_the_classes_of_both_dampers_stand_side_by_side() -> None:
    requirement = asked(without(penetration(), "protection__method"))
    assert value(requirement.class_texts) == ("E 60 (ve i↔o)", "E 60 (ve i↔o) S")
    assert value(requirement.actuation) == "penetration/P-0001/protection-method"
    assert isinstance(requirement.class_texts, Known)
