# SPDX-License-Identifier: Apache-2.0
"""Barrier classes in minutes, and what a barrier leaves of a damper's class (trade handbook section 13, no. 30)."""

import pytest

from brattice.classes import (
    ClassSteps,
    Family,
    Outcome,
    asking,
    canonical,
    capped_by_barrier,
    insulation_minutes,
    integrity_minutes,
    read_barrier_class,
    read_class,
    satisfies,
)
from brattice.classes.values import FireSide, Mounting
from brattice.errors import ClassTextError

DAMPER, SMOKE, DUCT, BARRIER = Family


@pytest.mark.parametrize(
    ("text", "integrity", "insulation"),
    [
        ("EI 60", 60, 60),
        ("REI 120", 120, 120),
        ("E 30", 30, None),
        ("EW 60", 60, None),
        ("E 120 / EI 60", 120, 60),
        ("REI-M 90", 90, 90),
        ("RE 360", 360, None),
    ],
)
def test_minutes_of_a_barrier(steps: ClassSteps, text: str, integrity: int, insulation: int | None) -> None:
    declared = read_barrier_class(text, steps)
    assert (integrity_minutes(declared), insulation_minutes(declared)) == (integrity, insulation)


def test_a_rating_that_is_no_class_is_refused(steps: ClassSteps) -> None:
    with pytest.raises(ClassTextError):
        read_barrier_class("60/60/60", steps)


@pytest.mark.parametrize(
    ("declared", "integrity", "insulation", "left"),
    [
        # exactly the barrier's, above it, below it
        ("EI 60 (ve i↔o) S", 60, 60, "EI 60 (ve i↔o) S"),
        ("EI 120 (ve i↔o) S", 60, 60, "EI 60 (ve i↔o) S"),
        ("EI 60 S", 120, 120, "EI 60 S"),
        # criterion by criterion
        ("EI 90 S", 120, 60, "EI 60 S / E 90 S"),
        ("EI 90 S", 60, None, "E 60 S"),
        ("EI 60 S / E 120", 90, 90, "EI 60 S / E 90"),
        # only steps that exist: there is no E 45
        ("E 60 S", 45, 45, "E 30 S"),
        ("EI 60 S", 45, 45, "EI 45 S"),
        ("E 180", 240, 240, "E 120"),
        # nothing is left
        ("E 60 S", 20, 20, None),
        ("EI 60", 0, None, None),
    ],
)
def test_a_barrier_caps_a_damper(
    steps: ClassSteps, declared: str, integrity: int, insulation: int | None, left: str | None
) -> None:
    capped = capped_by_barrier(read_class(declared, DAMPER, steps), integrity, insulation, steps)
    assert (None if capped is None else canonical(capped)) == left


def test_a_barrier_caps_ducts_and_smoke_control_dampers_by_their_own_steps(steps: ClassSteps) -> None:
    capped = capped_by_barrier(read_class("EI 120", DUCT, steps), 120, None, steps)
    assert capped is not None
    assert canonical(capped) == "E 60"
    capped = capped_by_barrier(read_class("E600 120 S AA single", SMOKE, steps), 90, 90, steps)
    assert capped is not None
    assert canonical(capped) == "E600 90 S AA single"
    assert capped_by_barrier(read_barrier_class("EI 60", steps), 60, 60, steps) is None


def test_a_cap_never_gives_more_than_declared_and_capping_again_changes_nothing(steps: ClassSteps) -> None:
    texts = [f"EI {time} (ve i→o) S" for time in steps.damper_ei] + [f"E {time} (ve i→o)" for time in steps.damper_e]
    for text in texts:
        declared = read_class(text, DAMPER, steps)
        for integrity in (0, 15, 29, 30, 45, 60, 61, 90, 120, 240):
            for insulation in (None, 15, 30, 45, 60, 240):
                capped = capped_by_barrier(declared, integrity, insulation, steps)
                if capped is None:
                    continue
                assert satisfies(declared, capped).outcome is Outcome.SATISFIED
                assert integrity_minutes(capped) <= integrity
                assert (insulation_minutes(capped) or 0) <= (insulation or 0)
                assert capped_by_barrier(capped, integrity, insulation, steps) == capped


def test_asking_adds_orientation_and_fire_side_only_where_none_is_asked(steps: ClassSteps) -> None:
    ve, both = frozenset({Mounting.VE}), frozenset(FireSide)
    assert canonical(asking(read_class("E 60 S", DAMPER, steps), ve, both)) == "E 60 (ve i↔o) S"
    assert canonical(asking(read_class("E 60 (ho i→o)", DAMPER, steps), ve, both)) == "E 60 (ho i→o)"
    assert canonical(asking(read_class("EI 60 / E 120 (ho)", DAMPER, steps), ve, both)) == (
        "EI 60 (ve i↔o) / E 120 (ho i↔o)"
    )
    assert canonical(asking(read_barrier_class("EI 60", steps), ve, both)) == "EI 60 (i↔o)"
