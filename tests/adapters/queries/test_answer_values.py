# SPDX-License-Identifier: Apache-2.0
"""Answers read as values: what is certain is read, everything else is a fault that says what was expected."""

from typing import Any

import pytest

from brattice.adapters.queries import choices_of, expected_of, read_answer
from brattice.building.penetration import Sides, Size
from brattice.building.queries import PENETRATION_FIELDS
from brattice.building.wall_type import Rating
from brattice.building.wall_types import WALL_TYPE_FIELDS
from brattice.building.words import (
    Actuation,
    BarrierRole,
    MountingPosition,
    ProtectionMethod,
    SeparationFill,
    SpaceUse,
    SupportingConstruction,
)
from brattice.errors import Fault

P, W = "penetration/P-0001/", "wall-type/W1/"


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        (P + "duct-size", "600x400", Size(600, 400)),  # type: ignore[arg-type]
        (P + "duct-size", "600 mm × 400 mm", Size(600, 400)),  # type: ignore[arg-type]
        (P + "damper-size", "Ø315", Size(315)),  # type: ignore[arg-type]
        (P + "framed-opening", "315 dia", Size(315)),  # type: ignore[arg-type]
        (P + "finished-clear-opening", "diameter 250.5", Size(250.5)),  # type: ignore[arg-type]
        (P + "gaps", "bottom 20, left 30; right 30, top 40", Sides(30, 30, 40, 20)),  # type: ignore[arg-type]
        (P + "thickness-mm", "150", 150.0),
        (P + "thickness-mm", "150 mm", 150.0),
        (P + "angle-deg", "0", 0.0),
        (P + "blade-offset-mm", "-12.5", -12.5),
        (P + "seal-faces", "2", 2),
        (P + "formed", "No", False),
        (P + "run-proven", "yes", True),
        (P + "barrier-role", "Compartment Wall", BarrierRole.COMPARTMENT_WALL),
        (P + "position", "in the barrier", MountingPosition.IN_BARRIER),
        (P + "protection-method", "1 fire damper", ProtectionMethod.FIRE_DAMPER),
        (P + "spaces", "general; sleeping", frozenset({SpaceUse.GENERAL, SpaceUse.SLEEPING})),
        (P + "actuation", "thermal", frozenset({Actuation.THERMAL})),
        (P + "seal-products", "Cinderlock M5; Cinderlock B2", ("Cinderlock M5", "Cinderlock B2")),
        (P + "wall-type", "W 3/B", "W 3/B"),
        (P + "rating", "REI 120", Rating(120, 120, "REI 120")),
        (P + "separation-fill", SeparationFill.SUPPORTING_CONSTRUCTION.value, SeparationFill.SUPPORTING_CONSTRUCTION),
        (W + "kind", "flexible wall", SupportingConstruction.FLEXIBLE_WALL),
        (W + "lining", "0", 0.0),
        (W + "density", "1400", 1400.0),
        (W + "board-layers", "2; 1", (2, 1)),
        (W + "board-layers", "A 2, B 2", (2, 2)),
        (W + "rating", "60", Rating(60, None, "60")),
        ("model-rating/2 HR?", "EI 120", Rating(120, 120, "EI 120")),
        ("model-wall-type/Basic Wall: 150", "W 3/B", "W 3/B"),
    ],
)
def test_what_is_read(key: str, text: str, value: Any) -> None:
    assert read_answer(key, text) == value


@pytest.mark.parametrize(
    ("key", "text"),
    [
        (P + "duct-size", "600"),
        (P + "duct-size", "600 x 400 x 200"),
        (P + "duct-size", "0 x 400"),
        (P + "duct-size", "60 cm x 40 cm"),
        (P + "duct-size", "600,5 x 400"),
        (P + "duct-size", "99999 x 400"),
        (P + "gaps", "left 30, right 30, top 40"),
        (P + "gaps", "left 30, left 30, right 30, top 40, bottom 1"),
        (P + "gaps", "left 30, right 30, top 40, bottom 20, about"),
        (P + "thickness-mm", "15 cm"),
        (P + "thickness-mm", "about 150"),
        (P + "thickness-mm", "-150"),
        (P + "seal-faces", "3"),
        (P + "seal-faces", "1.5"),
        (P + "formed", "maybe"),
        (P + "barrier-role", "wall"),
        (P + "spaces", "general; somewhere"),
        (P + "spaces", "general; tbc"),
        (P + "seal-products", "Cinderlock M5; unknown"),
        (P + "rating", "2 HR?"),
        (P + "product", "to be confirmed."),
        (W + "board-layers", "2"),
        (W + "rating", "EI"),
        (W + "material", "TBC"),
        ("model-rating/x", "as drawn"),
        ("place/x/shape", "anything"),
        ("evidence/A/seal", "150"),
    ],
)
def test_what_is_not_certain_is_no_value(key: str, text: str) -> None:
    fault = read_answer(key, text)
    assert isinstance(fault, Fault)
    assert fault.expected == expected_of(key)


ALL_KEYS = [P + name for name in PENETRATION_FIELDS] + [
    W + name.removesuffix("_mm").removesuffix("_kg_m3").replace("_", "-") for name in WALL_TYPE_FIELDS
]


@pytest.mark.parametrize("key", ALL_KEYS)
def test_every_key_says_what_is_expected_and_takes_the_words_of_its_list(key: str) -> None:
    assert expected_of(key)
    assert "answer noted" not in expected_of(key)
    for word in choices_of(key):
        assert not isinstance(read_answer(key, word), Fault), word
    for nothing in ("tbc", "unknown", "", "?", "n/a"):
        assert isinstance(read_answer(key, nothing), Fault)


def test_a_key_that_no_value_settles_says_so() -> None:
    assert "the source has to be corrected" in expected_of("penetration/P-0001/duct-size/sources")
    assert choices_of("rules/edition") == ()
