# SPDX-License-Identifier: Apache-2.0
"""Distances to neighbours: measured as the test measured them, or only able to show "too near"."""

from __future__ import annotations

from typing import Any

import pytest

from brattice.building.penetration import Separation
from brattice.building.words import SeparationFill, Surface
from brattice.evidence import Judgment, Scope
from brattice.evidence.installation import SeparationTested
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.evidence.cases import CHANGE, FAIL, NA, PASS, UNKNOWN, outcome
from tests.helpers.installations import installation
from tests.helpers.judging import BASIS, judged, reasons_of
from tests.helpers.penetrations import known, penetration, unknown

DUCT, CASING, FLANGE, FRAME = Surface.DUCT, Surface.CASING, Surface.FLANGE, Surface.FRAME
WALL_BETWEEN = SeparationFill.SUPPORTING_CONSTRUCTION


def apart(
    distance: Any,
    surface: Surface = CASING,
    to: str = "P-0002",
    end: Surface | None = None,
    fill: Any = WALL_BETWEEN,
) -> Separation:
    end = surface if end is None else end
    far = end if to not in {"wall", "floor"} else Surface.FACE
    distance = known(Mm(distance)) if isinstance(distance, int | float) else distance
    return Separation(to, distance, surface, far, known(fill) if isinstance(fill, SeparationFill) else fill)


def own(to: str, least: float, start: Surface | None = CASING, end: Surface | None = CASING) -> SeparationTested:
    return SeparationTested(to, Mm(least), start, end)


def judgment_of(separations: tuple[Separation, ...], given: tuple[SeparationTested, ...] = (), **site: Any) -> Judgment:
    return judged(penetration(separations=separations, **site), installation(separations=given))


def found(*separations: Separation, given: tuple[SeparationTested, ...] = (), **site: Any) -> Verdict | str:
    return outcome(judgment_of(separations, given, **site), "separation")


def test_no_neighbour_is_nothing_to_check() -> None:
    assert found() is NA


@pytest.mark.parametrize("surface", [DUCT, CASING])
def test_two_dampers_180_mm_apart_without_evidence_of_their_own_are_too_near(surface: Surface) -> None:
    # check case C21, row 2.30
    judgment = judgment_of((apart(180, surface),))
    assert outcome(judgment, "separation") == CHANGE
    assert judgment.changes[0].text == "Move the damper at least 20 mm farther from P-0002."
    assert reasons_of(judgment, "separation")[0].rows == ("scope.separation.dampers", "scope.separation.surfaces")
    assert found(apart(180, surface), opening__formed=True) is FAIL


def test_a_damper_60_mm_from_the_soffit_without_evidence_of_its_own_is_too_near() -> None:
    # check case C22, row 2.31
    assert found(apart(60, CASING, "floor")) == CHANGE
    assert found(apart(60, DUCT, "wall")) == CHANGE
    assert found(apart(60, CASING, "floor"), opening__formed=True) is FAIL


def test_batt_between_two_dampers_is_no_supporting_construction() -> None:
    # check case C23, row 2.32, field case 13
    judgment = judgment_of((apart(220, CASING, fill=SeparationFill.BATT),), (own("damper", 200),))
    assert outcome(judgment, "separation") is FAIL
    assert judgment.scope is Scope.OUTSIDE
    assert "scope.separation.batt" in reasons_of(judgment, "separation")[0].rows
    assert found(apart(220, CASING), given=(own("damper", 200),)) is PASS
    assert found(apart(50, CASING, fill=SeparationFill.BATT)) is FAIL
    # 200 and twice what a damper reaches (250): far enough through construction, through batt never
    assert found(apart(700, CASING, fill=SeparationFill.BATT)) is FAIL
    assert found(apart(700, CASING)) is PASS
    assert found(apart(220, CASING, "wall", fill=SeparationFill.BATT), given=(own("wall", 75),)) is PASS


@pytest.mark.parametrize(
    ("distance", "expected"), [(59.999, CHANGE), (60, PASS), (60.001, PASS), (199, PASS), (0, CHANGE)]
)
def test_its_own_tested_distance_between_the_same_surfaces(distance: float, expected: Verdict | str) -> None:
    # row 2.34, exactly at the limit
    assert found(apart(distance), given=(own("damper", 60),)) == expected
    assert found(apart(distance, to="wall"), given=(own("wall", 60),)) == expected


REACH = BASIS.reach_mm
assert 0 < REACH < 1000


@pytest.mark.parametrize(
    ("distance", "expected"),
    [
        (199.999, CHANGE),
        (200, UNKNOWN),
        (250, UNKNOWN),
        (200 + 2 * REACH - 0.001, UNKNOWN),
        (200 + 2 * REACH, PASS),
    ],
)
def test_between_ducts_alone_it_is_too_near_or_not_known_until_nothing_can_reach(
    distance: float, expected: Verdict | str
) -> None:
    # row 2.30a, field case 23; beyond twice the reach no neighbour is left
    assert found(apart(distance, DUCT)) == expected
    assert found(apart(distance, CASING)) == expected


@pytest.mark.parametrize(
    ("distance", "expected"),
    [(74.999, CHANGE), (75, UNKNOWN), (75 + REACH - 0.001, UNKNOWN), (75 + REACH, PASS)],
)
def test_to_a_wall_only_one_side_reaches(distance: float, expected: Verdict | str) -> None:
    assert found(apart(distance, DUCT, "wall")) == expected


def test_farther_out_than_tested_can_be_far_enough_and_farther_in_too_near() -> None:
    given = (own("damper", 100),)
    assert found(apart(100, FLANGE), given=given) is PASS
    assert found(apart(99, FLANGE), given=given) is UNKNOWN
    assert found(apart(100, FLANGE, end=CASING), given=given) is PASS
    flanges = (own("damper", 100, FLANGE, FLANGE),)
    assert found(apart(99, CASING), given=flanges) == CHANGE
    assert found(apart(101, CASING), given=flanges) is UNKNOWN
    assert found(apart(100 + 2 * REACH - 1, FRAME), given=flanges) is UNKNOWN
    assert found(apart(50, FRAME), given=flanges) is UNKNOWN
    # one end farther in by the 10 of the own casing, the other farther out by nobody knows how much
    assert found(apart(109.999, DUCT, end=FLANGE), given=given) is UNKNOWN
    assert found(apart(110, DUCT, end=FLANGE), given=given) is PASS
    assert found(apart(50, DUCT, end=FLANGE), given=given) is UNKNOWN


def test_the_own_casing_turns_a_distance_from_the_duct_to_a_wall_into_one_from_the_casing() -> None:
    # the casing stands 5 to 15 mm beyond the duct, on which side is not known
    casing = (Mm(5), Mm(15), Mm(5), Mm(5))

    def at(distance: float, surface: Surface, given: SeparationTested) -> Verdict | str:
        site = penetration(separations=(apart(distance, surface, "wall"),))
        return outcome(judged(site, installation(separations=(given,), casing_beyond_mm=casing)), "separation")

    from_casing, from_duct = own("wall", 40, CASING, None), own("wall", 40, DUCT, None)
    assert [at(d, DUCT, from_casing) for d in (44.999, 45, 54.999, 55)] == [CHANGE, UNKNOWN, UNKNOWN, PASS]
    assert [at(d, CASING, from_duct) for d in (24.999, 25, 34.999, 35)] == [CHANGE, UNKNOWN, UNKNOWN, PASS]


def test_the_neighbours_casing_is_never_taken_for_ones_own() -> None:
    # the casing stands 10 beyond the duct here; there it may be more
    assert found(apart(60 + 20, DUCT), given=(own("damper", 60),)) is UNKNOWN


def test_a_document_that_names_no_surface_can_only_show_too_near() -> None:
    given = (own("damper", 60, None, None),)
    assert found(apart(59, CASING), given=given) == CHANGE
    assert found(apart(61, CASING), given=given) is UNKNOWN
    judgment = judgment_of((apart(61, CASING),), given)
    assert [missing.key for missing in judgment.missing] == ["evidence/HV-10-RW-1/separation.damper"]


def test_what_is_not_known_of_a_distance_is_asked() -> None:
    given = (own("damper", 60),)
    assert found(apart(unknown("x/distance")), given=given) is UNKNOWN
    assert found(apart(100, fill=unknown("x/fill")), given=given) is UNKNOWN
    assert found(apart(59, fill=unknown("x/fill")), given=given) == CHANGE
    assert found(apart(5000, fill=unknown("x/fill")), given=given) is PASS
    assert found(apart(100, to="wall", fill=unknown("x/fill")), given=(own("wall", 60),)) is PASS


def test_each_neighbour_has_its_own_answer_and_a_change_with_one_beyond_cure_is_no_change() -> None:
    near, batt, far = apart(10, to="P-0003"), apart(300, to="P-0004", fill=SeparationFill.BATT), apart(90, to="P-0005")
    given = (own("damper", 60),)
    judgment = judgment_of((near, batt, far), given)
    assert sorted(reason.verdict for reason in reasons_of(judgment, "separation")) == [FAIL, FAIL, PASS]
    assert judgment.scope is Scope.OUTSIDE
    assert judgment.changes == ()
    open_still = judgment_of((near, apart(unknown("x"), to="P-0006")), given)
    assert open_still.scope is Scope.NOT_ENOUGH_KNOWN
    assert [change.code for change in open_still.changes] == ["separation"]


def test_the_order_of_neighbours_changes_nothing() -> None:
    neighbours = (apart(10, to="P-0003"), apart(300, to="wall"), apart(unknown("x"), to="floor"))
    assert judgment_of(neighbours) == judgment_of(neighbours[::-1])
