# SPDX-License-Identifier: Apache-2.0
import itertools
from typing import Any

import pytest

from brattice.building.penetration import Sides, Size
from brattice.findings import Known, Missing, Origin, Party, Unknown, Verdict
from brattice.quantities import Mm
from brattice.usecases.combine import Merging, agree
from tests.helpers.penetrations import rating, unknown

MODEL, SHEET = Origin("models/a.ifc", "wall 3x"), Origin("schedule/s.xlsx", "row 4")


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


@pytest.mark.parametrize(
    ("one", "other", "verdict"),
    [
        (150.0, 151.0, Verdict.PASS),  # exactly at the limit of the policy
        (150.0, 151.001, Verdict.FAIL),
        (size(600, 400), size(600.4, 399.6), Verdict.PASS),
        (size(600, 400), size(400, 600), Verdict.FAIL),  # transposed is not the same
        (size(315), size(315), Verdict.PASS),
        (size(315), size(315, 315), Verdict.FAIL),  # round is not square
        (rating(60), rating(60, text="60/60"), Verdict.PASS),  # the text may differ, the minutes may not
        (rating(60), rating(60, 0), Verdict.FAIL),
        ("Level  1", "level 1", Verdict.PASS),
        (True, False, Verdict.FAIL),
        (Sides(Mm(1), Mm(2), Mm(3), Mm(4)), Sides(Mm(1), Mm(2), Mm(3), Mm(5.5)), Verdict.FAIL),
    ],
)
def test_when_two_values_say_the_same(one: object, other: object, verdict: Verdict) -> None:
    assert agree(one, other) is verdict
    assert agree(other, one) is verdict


def merged(*sources: Any) -> tuple[Any, Merging]:
    merging = Merging("P-0007")
    return merging.fact("thickness_mm", sources, Party.ARCHITECT), merging


def test_the_first_source_that_speaks_gives_value_and_origin() -> None:
    fact, merging = merged(unknown(), None, Known(Mm(150), SHEET), Known(Mm(150.5), MODEL))
    assert fact == Known(Mm(150), SHEET)
    assert merging.reasons == []


def test_nobody_speaks() -> None:
    fact, merging = merged(unknown(), None)
    assert isinstance(fact, Unknown)
    assert fact.missing.key == "penetration/P-0007/thickness-mm"
    assert merging.reasons == []


def test_a_contradiction_leaves_the_fact_unknown_and_names_both_sources_in_any_order() -> None:
    for order in itertools.permutations([Known(Mm(150), SHEET), Known(Mm(100), MODEL)]):
        fact, merging = merged(*order)
        assert isinstance(fact, Unknown)
        assert fact.missing.key == "penetration/P-0007/thickness-mm/sources"
        (reason,) = merging.reasons
        assert (reason.code, reason.verdict) == ("sources", Verdict.UNKNOWN)
        for part in ("150 mm", "100 mm", "models/a.ifc", "schedule/s.xlsx"):
            assert part in fact.missing.text


def test_a_source_that_contradicts_itself_is_asked_and_no_other_speaks_over_it() -> None:
    asked = Unknown(Missing("wall-type/W1/rating/sources", "which is right", Party.FIRE_ENGINEER))
    merging = Merging("P-0001")
    for sources in ((asked,), (asked, Known(rating(60), MODEL)), (Known(rating(60), MODEL), None, asked)):
        assert merging.fact("rating", sources, Party.FIRE_ENGINEER) == asked
    plain = Unknown(Missing("wall-type/W1/rating", "the rating", Party.FIRE_ENGINEER))
    known = Known(rating(60), MODEL)
    assert merging.fact("rating", (plain, known), Party.FIRE_ENGINEER) == known
