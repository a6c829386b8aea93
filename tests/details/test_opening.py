# SPDX-License-Identifier: Apache-2.0
"""Expected numbers are hand sums, written beside each case; field cases are those of the trade handbook, section 13."""

import pytest

from brattice.building.penetration import Sides, Size
from brattice.building.words import OpeningShape, SupportingConstruction, Surface
from brattice.details import detail_opening, opening_need
from brattice.details.checks import CHECKED
from brattice.details.codes import CODES
from brattice.evidence.installation import ConstructionTested, SideWindows, Window
from brattice.findings import Verdict
from brattice.quantities import Mm
from tests.helpers.installations import gaps, installation
from tests.helpers.penetrations import penetration, unknown, with_facts, without


def size(width: float, height: float | None = None) -> Size:
    return Size(Mm(width), None if height is None else Mm(height))


def test_the_finished_clear_opening_is_the_damper_and_the_tested_gap_on_both_sides() -> None:
    need = opening_need(penetration(), installation(seal__gaps=gaps(30, 60)))
    assert need is not None
    # 600 + 2 × 30, 400 + 2 × 30; 600 + 2 × 60, 400 + 2 × 60
    assert (need.least_finished, need.most_finished) == (size(660, 460), size(720, 520))
    assert need.least_framed == need.least_finished  # an unlined rigid wall


def test_a_gap_tested_from_the_casing_starts_where_the_casing_ends() -> None:
    tested = installation(seal__gap_from=Surface.CASING, casing_beyond_mm=(Mm(10), Mm(35), Mm(5), Mm(5)))
    need = opening_need(penetration(), tested)
    assert need is not None
    # 600 + 10 + 35 + 2 × 30, 400 + 5 + 5 + 2 × 30
    assert need.least_finished == size(705, 470)


def test_the_framed_opening_is_the_finished_one_and_the_lining_on_each_reveal() -> None:
    flexible = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(12.5))
    need = opening_need(penetration(), installation(construction=flexible, seal__gaps=gaps(10, 20)))
    assert need is not None
    assert (need.least_finished, need.least_framed) == (size(620, 420), size(645, 445))  # 620 + 2 × 12.5


def test_without_a_lining_in_a_stud_wall_the_framed_opening_is_not_given() -> None:
    flexible = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100))
    need = opening_need(penetration(barrier__wall_type__lining_mm=unknown()), installation(construction=flexible))
    assert need is not None
    assert need.least_framed is None
    assert need.least_finished == size(660, 460)


@pytest.mark.parametrize("surface", [Surface.FLANGE, Surface.FRAME])
def test_a_gap_from_a_surface_that_nobody_placed_gives_no_opening(surface: Surface) -> None:
    tested = installation(seal__gap_from=surface)
    assert opening_need(penetration(), tested) is None
    assert str(surface) in detail_opening(penetration(), tested).texts[0]


def test_a_casing_that_nobody_measured_gives_no_opening() -> None:
    assert opening_need(penetration(), installation(seal__gap_from=Surface.CASING, casing_beyond_mm=None)) is None


def test_no_size_gives_no_opening() -> None:
    assert opening_need(without(penetration(), "damper__size", "duct__size"), installation()) is None


def test_a_round_damper_in_a_rectangular_hole_needs_its_diameter_both_ways() -> None:
    tested = installation(opening_shape=OpeningShape.RECTANGULAR, seal__gaps=gaps(20, 20))
    need = opening_need(penetration(damper__size=size(315)), tested)
    assert need is not None
    assert need.least_finished == size(355, 355)  # 315 + 2 × 20


def test_one_side_at_zero_is_named_even_where_the_sum_is_right() -> None:
    """Field case 12: total gap right, one side zero."""
    here = penetration(opening__gaps=Sides(Mm(0), Mm(100), Mm(50), Mm(50)))
    texts = detail_opening(here, installation(seal__gaps=gaps(30, 60))).texts
    assert any(text.startswith("left: gap 0 mm") and "30 mm too small" in text for text in texts)
    assert any(text.startswith("right: gap 100 mm") and "40 mm too wide" in text for text in texts)
    assert any("50 mm too far right" in text for text in texts)  # (100 - 0) / 2


@pytest.mark.parametrize(("gap", "said"), [(29.9, "0.1 mm too small"), (30, ""), (60, ""), (60.1, "0.1 mm too wide")])
def test_at_the_ends_of_the_window_the_gap_still_holds(gap: float, said: str) -> None:
    here = penetration(opening__gaps=Sides(Mm(gap), Mm(40), Mm(40), Mm(40)))
    texts = detail_opening(here, installation(seal__gaps=gaps(30, 60))).texts
    assert (said in texts[0] and texts[0].startswith("left")) if said else texts == ()


def test_a_gap_measured_from_the_duct_is_held_against_a_casing_window_by_the_casing() -> None:
    here = penetration(opening__gaps=Sides(Mm(39), Mm(40), Mm(40), Mm(40)), opening__gaps_from=Surface.DUCT)
    tested = installation(seal__gap_from=Surface.CASING, casing_beyond_mm=(Mm(10),) * 4, seal__gaps=gaps(30, 60))
    texts = detail_opening(here, tested).texts
    assert texts[0].startswith("left: gap 29 mm from the casing, 1 mm too small")  # 39 - 10 = 29


def test_framed_and_finished_openings_have_to_fit_the_lining() -> None:
    """Field case 29: the stud opening and the lined opening are told apart."""
    flexible = ConstructionTested(SupportingConstruction.FLEXIBLE_WALL, Mm(100), lining_mm=Mm(12.5))
    tested = installation(construction=flexible)
    wall = penetration(
        barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL, barrier__wall_type__lining_mm=Mm(15)
    )  # thicker than tested, which is allowed: what is built decides here
    fits = with_facts(wall, opening__framed=size(730, 530), opening__finished=size(700, 500))
    mixed_up = with_facts(wall, opening__framed=size(700, 500), opening__finished=size(700, 500))
    one_way = with_facts(wall, opening__framed=size(730, 500), opening__finished=size(700, 500))
    unstated = without(wall, "opening__framed")
    assert [detail_opening(p, tested).reasons[0].verdict for p in (fits, mixed_up, one_way, unstated)] == [
        Verdict.PASS,
        Verdict.FAIL,
        Verdict.FAIL,
        Verdict.NOT_APPLICABLE,
    ]
    reason = detail_opening(with_facts(wall, barrier__wall_type__lining_mm=unknown()), tested).reasons[0]
    assert reason.verdict is Verdict.UNKNOWN
    assert reason.missing[0].key == "wall-type/W1/lining"


def test_masonry_without_a_word_of_a_lining_is_unlined() -> None:
    """Blockwork is not lined: framed and finished clear opening are the same there (common practice)."""
    masonry = penetration(barrier__wall_type__lining_mm=unknown())
    assert detail_opening(masonry, installation()).reasons[0].verdict is Verdict.PASS
    lined = with_facts(masonry, opening__framed=size(730, 530))
    assert detail_opening(lined, installation()).reasons[0].verdict is Verdict.FAIL


def test_every_check_of_the_room_is_in_its_table() -> None:
    emitted = {reason.code for reason in detail_opening(penetration(), installation()).reasons}
    assert emitted | {"geometry", *CHECKED} == {spec.code for spec in CODES}


def test_windows_may_differ_from_side_to_side() -> None:
    windows = SideWindows(Window(10, 20), Window(30, 40), Window(5, 5), Window(0, 50))
    need = opening_need(penetration(), installation(seal__gaps=windows))
    assert need is not None
    assert need.least_finished == size(640, 405)  # 600 + 10 + 30, 400 + 5 + 0
    assert need.most_finished == size(660, 455)  # 600 + 20 + 40, 400 + 5 + 50


@pytest.mark.parametrize(
    ("here", "there", "expected"),
    [
        (0, None, Verdict.PASS),
        (0, 0, Verdict.PASS),
        (12.5, None, Verdict.FAIL),  # the seal was tested against bare masonry
        (12.5, 12.5, Verdict.PASS),
        (12.4, 12.5, Verdict.FAIL),
        (0, 12.5, Verdict.FAIL),
        (None, None, Verdict.NOT_APPLICABLE),
    ],
)
def test_a_lining_in_masonry_is_that_of_the_test(here: float | None, there: float | None, expected: Verdict) -> None:
    """The seal only as tested (trade handbook rows 5.9, 5.20): a lined reveal is not the masonry of the test."""
    wall = penetration(barrier__wall_type__lining_mm=unknown() if here is None else Mm(here))
    tested = installation(construction__lining_mm=None if there is None else Mm(there))
    (reason,) = (item for item in detail_opening(wall, tested).reasons if item.code == "masonry-lining")
    assert reason.verdict is expected
    stud = with_facts(wall, barrier__wall_type__kind=SupportingConstruction.FLEXIBLE_WALL)
    (other,) = (item for item in detail_opening(stud, tested).reasons if item.code == "masonry-lining")
    assert other.verdict is Verdict.NOT_APPLICABLE
