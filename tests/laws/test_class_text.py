# SPDX-License-Identifier: Apache-2.0
"""Reading the canonical text of a class gives that class: over every class that the tables allow."""

from collections.abc import Sequence

import pytest

from brattice.classes import Declaration, FireClass, canonical, family_of, read_class
from tests.helpers import class_universe as u
from tests.helpers import smoke_universe as smoke


def comes_back(classes: Sequence[FireClass]) -> None:
    texts = set()
    for item in classes:
        text = canonical(item)
        texts.add(text)
        assert read_class(text, item.family, u.STEPS).classes == (item,), text
    assert len(texts) == len(classes), "two classes share a text"


def test_every_fire_damper_class_comes_back() -> None:
    comes_back(u.fire_dampers(u.BASIC, u.HIGHER))
    comes_back(u.fire_dampers_outside_the_table())


def test_every_duct_class_comes_back() -> None:
    comes_back(u.ducts())


def test_every_barrier_class_comes_back() -> None:
    comes_back(u.barriers())


@pytest.mark.slow
@pytest.mark.parametrize("part", range(8))
def test_every_smoke_control_damper_class_comes_back(part: int) -> None:
    """The whole universe in eight parts, so that it can be spread over workers."""
    comes_back(smoke.every_class(part, 8))


def test_two_classes_together_come_back() -> None:
    classes = [item for item in u.fire_dampers() if item.minutes in {60, 120}]
    for one, other in zip(classes, reversed(classes), strict=True):
        declared = Declaration(one.family, (one, other))
        assert read_class(canonical(declared), one.family, u.STEPS) == declared


def test_a_text_that_tells_its_family_tells_the_right_one() -> None:
    classes: list[FireClass] = [
        *u.fire_dampers(u.BASIC, u.HIGHER),
        *u.ducts(),
        *u.barriers(),
        *smoke.every_class(3, 500),
    ]
    for item in classes:
        assert family_of(canonical(item)) in {None, item.family}
