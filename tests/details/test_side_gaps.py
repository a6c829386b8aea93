# SPDX-License-Identifier: Apache-2.0
"""Each side's gap against the tested window, turned to the surface that the test measured from."""

import pytest

from brattice.building.penetration import Sides
from brattice.building.words import Surface
from brattice.details.opening import side_gaps
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.helpers.installations import installation
from tests.helpers.penetrations import penetration, without

P, F, U = Verdict.PASS, Verdict.FAIL, Verdict.UNKNOWN


def sides(left: float, right: float, top: float, bottom: float) -> Sides:
    return Sides(Mm(left), Mm(right), Mm(top), Mm(bottom))


@pytest.mark.parametrize(
    ("stated", "verdicts"),
    [
        # window 30 to 60 mm on each side, both ends within
        (sides(30, 60, 45, 45), (P, P, P, P)),
        (sides(29.9, 60.1, 0, 45), (F, F, F, P)),
        # field case 12 of the trade handbook: the sum is right, one side has nothing
        (sides(0, 90, 45, 45), (F, F, P, P)),
    ],
)
def test_each_side_is_held_against_its_own_window(stated: Sides, verdicts: tuple[Verdict, ...]) -> None:
    found = side_gaps(penetration(opening__gaps=stated), installation())
    assert tuple(gap.verdict for gap in found) == verdicts
    assert [gap.side for gap in found] == ["left", "right", "top", "bottom"]


def test_a_gap_from_the_casing_is_turned_into_one_from_the_duct() -> None:
    # by hand: casing 10 beyond the duct, gap 20 from the casing is 30 from the duct: just within
    thing = penetration(opening__gaps=sides(20, 19, 50, 51), opening__gaps_from=Surface.CASING)
    found = side_gaps(thing, installation())
    assert [gap.gap_mm for gap in found] == [Mm(30), Mm(29), Mm(60), Mm(61)]
    assert tuple(gap.verdict for gap in found) == (P, F, P, F)


def test_what_can_not_be_told_is_not_known() -> None:
    turned = penetration(opening__gaps_from=Surface.FLANGE)
    assert {gap.verdict for gap in side_gaps(turned, installation())} == {U}
    assert {gap.verdict for gap in side_gaps(without(penetration(), "opening__gaps"), installation())} == {U}
    alone = side_gaps(penetration(), None)
    assert {gap.verdict for gap in alone} == {U}
    assert [gap.window for gap in alone] == [None] * 4
