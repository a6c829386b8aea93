# SPDX-License-Identifier: Apache-2.0
"""Expected gaps and sizes are hand sums, written beside each case."""

import itertools

import pytest

from brattice.building.penetration import Separation, Sides, Size
from brattice.building.schedule import StatedDistance
from brattice.building.words import SeparationFill, SupportingConstruction, Surface
from brattice.findings import Known, Unknown, Verdict
from brattice.quantities import Mm
from brattice.usecases.merge import merge_penetration
from brattice.usecases.separations import Told
from brattice.usecases.tie import tie_rows
from tests.helpers.penetrations import rating, unknown, wall_type
from tests.helpers.sources import MODEL, place, row, said

W1 = {"W1": wall_type("W1")}
STUD = {
    "S1": wall_type(
        "S1", kind=SupportingConstruction.FLEXIBLE_WALL, lining_mm=Mm(15), thickness_mm=Mm(150), rating=rating(60)
    )
}


def test_the_schedule_alone_makes_a_penetration_and_what_it_leaves_out_is_missing_by_name() -> None:
    penetration, reasons = merge_penetration("P-0001", row(wall_type_code="W1"), None, W1)
    assert reasons == ()
    assert isinstance(penetration.barrier.rating, Known)
    assert penetration.barrier.rating.value.integrity_min == 60
    assert isinstance(penetration.installation.seal_products, Unknown)
    assert penetration.installation.seal_products.missing.key == "penetration/P-0001/seal-products"
    assert ("schedule", "FD-01") in penetration.aliases


def test_the_model_alone_leaves_what_no_model_holds_unknown() -> None:
    penetration, _ = merge_penetration("P-0001", None, place(), {})
    assert isinstance(penetration.duct.size, Known)
    assert isinstance(penetration.damper.product, Unknown)
    assert isinstance(penetration.spaces, Unknown)


def test_the_model_cuts_the_framed_opening_and_the_lining_makes_the_finished_one() -> None:
    penetration, _ = merge_penetration("P-0001", row(wall_type_code="S1"), place(), STUD)
    opening = penetration.opening
    assert isinstance(opening.finished, Known)
    assert opening.finished.value == Size(Mm(670), Mm(470))  # 700 - 2 × 15, 500 - 2 × 15
    assert isinstance(opening.gaps, Known)
    assert opening.gaps.value == Sides(Mm(35), Mm(35), Mm(35), Mm(35))  # 50 - 15
    assert opening.gaps_from == Known(Surface.DUCT, MODEL)


def test_without_a_word_about_the_lining_a_stud_wall_gives_no_finished_opening() -> None:
    stud = {"S1": wall_type("S1", kind=SupportingConstruction.FLEXIBLE_WALL, lining_mm=unknown())}
    penetration, _ = merge_penetration("P-0001", row(wall_type_code="S1"), place(), stud)
    assert isinstance(penetration.opening.finished, Unknown)
    assert isinstance(penetration.opening.gaps, Unknown)
    assert isinstance(penetration.opening.framed, Known)


def test_a_wall_that_was_swapped_after_the_schedule_is_a_contradiction_not_a_choice() -> None:
    """Field case 8: 150 block in one source, 100 in the other."""
    penetration, reasons = merge_penetration(
        "P-0001", row(wall_type_code="W1"), place(thickness_mm=Known(Mm(100), MODEL)), W1
    )
    assert isinstance(penetration.barrier.thickness_mm, Unknown)
    assert [(item.code, item.verdict) for item in reasons] == [("sources", Verdict.UNKNOWN)]


def test_a_rating_text_with_a_figure_that_nobody_mapped_is_held_against_the_rating_stated() -> None:
    unread = place(rating_unread=Known("2 HR?", MODEL))
    penetration, reasons = merge_penetration("P-0001", row(wall_type_code="W1"), unread, W1)
    assert isinstance(penetration.barrier.rating, Unknown)
    assert penetration.barrier.rating.missing.key == "model-rating/2 HR?"
    assert reasons[0].code == "sources"


def test_a_wall_type_without_a_row_is_asked_for() -> None:
    penetration, reasons = merge_penetration("P-0001", row(wall_type_code="W9"), None, W1)
    assert penetration.barrier.wall_type is None
    assert [item.code for item in reasons] == ["wall-type-row"]


def test_a_proven_run_needs_its_document() -> None:
    bare, _ = merge_penetration("P-0001", row(run_proven=True), None, {})
    told, _ = merge_penetration("P-0001", row(run_proven=True, run_document="CR-12 rev 2"), None, {})
    denied, _ = merge_penetration("P-0001", row(run_proven=False), None, {})
    assert isinstance(bare.protection.run_proven, Unknown)
    assert isinstance(told.protection.run_proven, Known)
    assert "CR-12 rev 2" in str(told.protection.run_proven.origin)
    assert isinstance(denied.protection.run_proven, Known)


def distance(to: str, value: float, surface: Surface = Surface.CASING) -> StatedDistance:
    return StatedDistance(to, said(Mm(value)), surface, surface, said(SeparationFill.SUPPORTING_CONSTRUCTION))


def between_ducts(value: float) -> Separation:
    return Separation("k-2", Known(Mm(value), MODEL), Surface.DUCT, Surface.DUCT, unknown())


def test_a_casing_distance_longer_than_the_one_between_the_ducts_is_a_contradiction() -> None:
    """Field case 23: ducts 200 apart in the model, flanges 120."""
    one = place(separations=(between_ducts(200),))
    told = Told((distance("P-0002", 120),), (), {"k-2": "P-0002", "P-0002": "P-0002"})
    fits, nothing = merge_penetration("P-0001", row(distances=(distance("FD-02", 120),)), one, {}, None, told)
    assert nothing == ()
    assert [item.from_surface for item in fits.separations] == [Surface.CASING]
    _, reasons = merge_penetration("P-0001", row(distances=(distance("FD-02", 260),)), one, {})
    assert [item.code for item in reasons] == ["sources"]
    alone, _ = merge_penetration("P-0001", row(), one, {})
    assert [item.from_surface for item in alone.separations] == [Surface.DUCT]


def test_rows_are_tied_by_guid_key_or_id_and_never_by_guess() -> None:
    places = (place("k-1"), place("k-2", duct_guids=("duct-2",), barrier_guids=("wall-2",)))
    rows = (row("A", duct_guids=("duct-2",)), row("B", permanent_id="P-0001"), row("C"), row("D", key="k-9"))
    for order in itertools.permutations(rows):
        tied = tie_rows(order, places, {"k-1": "P-0001", "k-2": "P-0002"})
        pairs = {(item.row.reference if item.row else "", item.place.key if item.place else "") for item in tied}
        assert pairs == {("A", "k-2"), ("B", "k-1"), ("C", ""), ("D", "")}
        assert {item.row.reference for item in tied if item.reasons and item.row} == {"D"}


def test_a_row_whose_names_mean_different_places_is_tied_to_none() -> None:
    places = (place("k-1"), place("k-2", duct_guids=("duct-2",), barrier_guids=("wall-2",)))
    ids = {"k-1": "P-0001", "k-2": "P-0002"}
    for names in ({"key": "k-1"}, {"permanent_id": "P-0001"}):
        (alone,) = [item for item in tie_rows([row("A", duct_guids=("duct-2",), **names)], places, ids) if item.row]
        assert alone.place is None
        assert [item.code for item in alone.reasons] == ["tie"]
        # GlobalIds of an older model take nothing from a key or a permanent id
        (tied,) = [item for item in tie_rows([row("A", duct_guids=("gone",), **names)], places, ids) if item.row]
        assert tied.place is places[0]


def test_one_duct_through_two_walls_needs_the_wall_as_well() -> None:
    places = (place("k-1"), place("k-2", barrier_guids=("wall-2",)))
    (one, two, alone) = tie_rows([row("A", duct_guids=("duct-1",))], places, {})
    assert (one.row, two.row) == (None, None)
    assert alone.reasons[0].code == "tie"
    tied = tie_rows([row("A", duct_guids=("duct-1",), barrier_guids=("wall-2",))], places, {})
    assert [item.row is not None for item in tied] == [False, True]


def test_two_rows_for_one_place_are_both_left_alone_and_said() -> None:
    tied = tie_rows([row("A", key="k-1"), row("B", key="k-1")], (place("k-1"),), {})
    assert [(item.row is None, item.place is None) for item in tied] == [(True, False), (False, True), (False, True)]
    assert all(item.reasons for item in tied if item.row)


def gaps(left: float, right: float, top: float = 40, bottom: float = 40) -> Sides:
    return Sides(Mm(left), Mm(right), Mm(top), Mm(bottom))


@pytest.mark.parametrize(
    ("stated", "surface", "modelled", "fits"),
    [
        (gaps(40, 40), Surface.CASING, gaps(50, 50, 50, 50), True),
        (gaps(51, 40), Surface.CASING, gaps(50, 50, 50, 50), True),  # sheets round to the millimetre: our own policy
        (gaps(51.5, 40), Surface.CASING, gaps(50, 50, 50, 50), False),
        (gaps(40, 40), Surface.CASING, gaps(0, 100, 50, 50), False),  # field case 12: one side zero, the sum right
        (gaps(40, 40, 10, 70), Surface.FLANGE, gaps(50, 50, 50, 50), False),
        (gaps(90, 10), Surface.FRAME, gaps(20, 100, 50, 50), True),  # no model says which side is left
        (gaps(10, 90, 20, 60), Surface.CASING, gaps(20, 100, 60, 20), False),  # but what is up is up
        (gaps(50, 50, 50, 50), Surface.DUCT, gaps(50, 50, 50, 50), True),
        (gaps(40, 40), Surface.DUCT, gaps(50, 50, 50, 50), False),
    ],
)
def test_stated_gaps_have_to_fit_the_modelled_opening_on_each_side(
    stated: Sides, surface: Surface, modelled: Sides, fits: bool
) -> None:
    """The casing encloses the duct: no gap from it is wider than the one from the duct on that side."""
    shown = place(framed_gaps=Known(modelled, MODEL))
    penetration, reasons = merge_penetration(
        "P-0001", row(wall_type_code="W1", gaps=stated, gaps_from=surface), shown, W1
    )
    assert isinstance(penetration.opening.gaps, Known) is fits
    assert ([item.code for item in reasons] == ["sources"]) is not fits


def test_gaps_are_held_against_the_framed_opening_where_nobody_knows_its_lining() -> None:
    stud = {"S1": wall_type("S1", kind=SupportingConstruction.FLEXIBLE_WALL, lining_mm=unknown())}
    stated = row(wall_type_code="S1", gaps=gaps(60, 40), gaps_from=Surface.CASING)
    penetration, _ = merge_penetration("P-0001", stated, place(), stud)
    assert isinstance(penetration.opening.gaps, Unknown)


@pytest.mark.parametrize(("x", "asked"), [(1.0, False), (2.0, False), (2.001, True)])
def test_a_row_that_states_another_place_than_it_names_is_asked_after(x: float, asked: bool) -> None:
    """The modelled place is at x 1.0; a metre is our own policy."""
    _, reasons = merge_penetration("P-0001", row(centre_m=(x, 2.0, 3.0)), place(), {})
    assert ([item.code for item in reasons] == ["sources"]) is asked


@pytest.mark.parametrize(("clear", "known"), [(39.0, False), (40.0, True), (200.0, True)])
def test_a_pipe_within_the_stated_gap_passes_the_seal_though_no_opening_is_modelled(clear: float, known: bool) -> None:
    """A row that says that nothing else passes, gaps of 40 all round, and a pipe so far from the casing."""
    stated = row(gaps=gaps(40, 40), gaps_from=Surface.CASING, other_services=False)
    shown = place(framed=None, framed_gaps=None, opening_guid="", nearest_other_mm=Known(Mm(clear), MODEL))
    penetration, _ = merge_penetration("P-0001", stated, shown, {})
    assert isinstance(penetration.installation.other_services, Known) is known
