# SPDX-License-Identifier: Apache-2.0
"""What was planted too near in the demo, and nothing else, is found with its smallest shift.

Least distances of the demo's evidence: 200 mm between casings, 75 mm from the casing to a wall or floor."""

from pathlib import Path

import pytest

from brattice.cli.gather import standards_for
from brattice.cli.run import judge_folder
from brattice.cli.shifts import shifts_of
from brattice.orders.too_near import ShiftStanding, TooNearGroup
from brattice.usecases.detailing import details_of
from tools.demo.faults import Scenario
from tools.demo.truth import permanent_ids


@pytest.fixture(scope="module")
def groups(demo_job: Path) -> tuple[TooNearGroup, ...]:
    judged = judge_folder(demo_job, lambda _: None)
    book = standards_for(judged.read.job).book
    return shifts_of(details_of(judged.report, judged.material, book), judged.material.job, book)


@pytest.mark.parametrize(
    ("title", "moved_mm"),
    [
        ("180 mm between two dampers; their ducts are 200 mm apart in the model", 20),
        ("60 mm from the casing to the soffit", 15),
        ("Two ducts in one hole with batt between them", 120),  # 80 mm between casings
    ],
)
def test_each_is_found_with_its_shift(
    scene: Scenario, groups: tuple[TooNearGroup, ...], title: str, moved_mm: float
) -> None:
    (fault,) = (item for item in scene.faults if item.title == title)
    ids = permanent_ids(scene)
    names = tuple(sorted(ids[ref] for ref in fault.refs))
    (found,) = (item for item in groups if item.penetrations == names)
    assert found.standing is ShiftStanding.SMALLEST
    assert sum(abs(dx) + abs(dy) for _, dx, dy in found.moved) == moved_mm


def test_the_damper_under_the_soffit_goes_down(groups: tuple[TooNearGroup, ...]) -> None:
    (alone,) = (item for item in groups if len(item.penetrations) == 1)
    assert alone.shifts == (f"{alone.penetrations[0]}: 15 mm down",)


def test_where_only_batt_lies_between_a_shift_is_not_enough(groups: tuple[TooNearGroup, ...]) -> None:
    said = [text for item in groups for text in item.look]
    assert sum(text.startswith("Only batt lies between") for text in said) == 1


def test_nothing_else_is_too_near(groups: tuple[TooNearGroup, ...]) -> None:
    assert len(groups) == 3
