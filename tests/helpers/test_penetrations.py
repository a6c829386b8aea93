# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.building.words import SupportingConstruction, SystemUse
from brattice.findings import Known, Unknown
from tests.helpers.penetrations import ORDINARY, penetration, unknown, wall_type, without


def test_a_plain_value_becomes_a_known_fact_at_any_depth() -> None:
    made = penetration(
        duct__system=SystemUse.KITCHEN_EXTRACT, barrier__wall_type__kind=SupportingConstruction.SHAFT_WALL
    )
    assert isinstance(made.duct.system, Known)
    assert made.duct.system.value is SystemUse.KITCHEN_EXTRACT
    assert made.barrier.wall_type is not None
    assert made.barrier.wall_type.kind == Known(SupportingConstruction.SHAFT_WALL, wall_type().kind.origin)  # type: ignore[union-attr]
    assert made.damper == ORDINARY.damper


def test_an_unknown_stays_unknown_and_without_removes_a_fact() -> None:
    assert isinstance(penetration(spaces=unknown()).spaces, Unknown)
    assert without(ORDINARY, "damper__class_text").damper.class_text == Unknown(
        unknown("penetration/P-0001/damper-class_text").missing
    )


def test_rated_sets_barrier_and_wall_type_together() -> None:
    made = penetration(rated=90)
    assert made.barrier.wall_type is not None
    assert made.barrier.rating == made.barrier.wall_type.rating
    assert isinstance(made.barrier.rating, Known)
    assert made.barrier.rating.value.integrity_min == made.barrier.rating.value.insulation_min == 90


def test_a_field_that_does_not_exist_is_refused() -> None:
    with pytest.raises(TypeError, match="has no field 'colour'"):
        penetration(duct__colour="red")
