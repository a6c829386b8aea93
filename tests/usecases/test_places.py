# SPDX-License-Identifier: Apache-2.0
"""From the places of a model to the facts of merging: small buildings whose every measure is known by hand.

The wall runs along x, is 200 thick about y = 0; the duct 400 × 200 passes it along y at x = 2000, z = 2500.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from brattice.building.detail_facts import DetailFacts
from brattice.building.penetration import Sides
from brattice.building.place import QueryReason
from brattice.building.wall_type import Rating
from brattice.building.words import SeparationFill, Surface
from brattice.findings import Known, Origin, Unknown, Verdict
from brattice.quantities import Mm
from brattice.requirements.requirement import Rules
from brattice.usecases.job import Job
from brattice.usecases.merge import ModelFacts, merge_penetration
from brattice.usecases.places import from_models
from brattice.usecases.questions import QUESTIONS
from tests.helpers.ifc_maker import Maker, guid
from tests.helpers.places import building
from tests.helpers.sources import row

LOW, HIGH = (0.0, -100.0, 0.0), (6000.0, 100.0, 3000.0)
LINING = (0.0, 100.0, 0.0), (6000.0, 175.0, 3000.0)
START, END = (2000.0, -1000.0, 2500.0), (2000.0, 1000.0, 2500.0)
SIZE, CASING = (400.0, 200.0), (460.0, 260.0)
JOB = Job("Invented", Rules("England", "ADB 2019 with amendments to 2026", date(2026, 11, 2), "non-residential"))


def facts(maker: Maker, path: Path) -> tuple[ModelFacts, ...]:
    return from_models(building(maker.save(path)), JOB, {}).places


def only(maker: Maker, path: Path) -> ModelFacts:
    (place,) = facts(maker, path)
    return place


def test_the_gap_of_a_modelled_damper_counts_from_its_duct_not_from_its_casing(tmp_path: Path) -> None:
    """Hole 560 × 360 about a duct 400 × 200: 80 a side from the duct, whatever casing stands in the hole."""
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.opening("hole", wall, (1720.0, -150.0, 2320.0), (2280.0, 150.0, 2680.0))
    maker.duct("before", START, (2000.0, -150.0, 2500.0), SIZE)
    maker.duct("damper", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), CASING, cls="IfcDamper")
    maker.duct("after", (2000.0, 150.0, 2500.0), END, SIZE)
    place = only(maker, tmp_path / "damper.ifc")
    assert place.framed_gaps is not None
    assert place.framed_gaps.value == Sides(Mm(80), Mm(80), Mm(80), Mm(80))


def test_where_no_duct_leads_into_a_damper_its_gap_is_not_known(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.opening("hole", wall, (1720.0, -150.0, 2320.0), (2280.0, 150.0, 2680.0))
    maker.duct("damper", (2000.0, -150.0, 2500.0), (2000.0, 150.0, 2500.0), CASING, cls="IfcDamper")
    place = only(maker, tmp_path / "lone.ifc")
    assert place.framed is not None
    assert place.framed_gaps is None


def test_distances_of_a_modelled_damper_are_those_of_its_casing(tmp_path: Path) -> None:
    """Casing 460 wide at x = 2000, duct 400 wide at x = 3000: 1000 - 230 - 200 = 570 between the two."""
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("damper", START, END, CASING, cls="IfcDamper")
    maker.duct("duct", (3000.0, -1000.0, 2500.0), (3000.0, 1000.0, 2500.0), SIZE)
    damper, duct = sorted(facts(maker, tmp_path / "two.ifc"), key=lambda place: not place.damper_guids)
    (apart,) = [item for item in damper.separations if item.to == duct.key]
    assert isinstance(apart.distance_mm, Known)
    assert apart.distance_mm.value == 570.0
    assert (apart.from_surface, apart.to_surface) == (Surface.CASING, Surface.DUCT)
    (back,) = [item for item in duct.separations if item.to == damper.key]
    assert (back.from_surface, back.to_surface) == (Surface.DUCT, Surface.CASING)


@pytest.mark.parametrize("with_damper", [False, True])
def test_the_plane_of_the_wall_has_its_edges_from_the_centre(tmp_path: Path, with_damper: bool) -> None:
    """Wall 6000 × 3000, centre at x = 2000, z = 2500, whatever is as wide there as it is."""
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("run", START, END, CASING if with_damper else SIZE, cls="IfcDamper" if with_damper else "IfcDuctSegment")
    place = only(maker, tmp_path / "plane.ifc")
    plane = merge_penetration("P-0001", None, place, {})[0].location.plane
    assert plane is not None
    assert plane.up == (0.0, 0.0, 1.0)
    assert plane.to_edges_mm is not None
    edges = plane.to_edges_mm
    along = {(1.0, 0.0, 0.0): (2000.0, 4000.0), (-1.0, 0.0, 0.0): (4000.0, 2000.0)}
    assert (edges.left_mm, edges.right_mm) == along[plane.right]
    assert (edges.top_mm, edges.bottom_mm) == (500.0, 2500.0)
    assert merge_penetration("P-0001", row("FD-01"), None, {})[0].location.plane is None


def test_the_height_of_the_centre_counts_from_the_level_of_the_storey_and_a_row_goes_before(tmp_path: Path) -> None:
    """The duct runs at z = 2.5 m, the storey's level is at -0.3 m: 2800 mm by subtraction."""
    maker = Maker()
    maker.storey("Level 1", -300.0)
    maker.wall("wall", LOW, HIGH)
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "height.ifc")
    known = merge_penetration("P-0001", None, place, {})[0].detail.centre_above_floor_mm
    assert known is not None
    assert known.value == 2800.0
    assert "from the model's level of" in str(known.origin)
    stated: Known[Mm] = Known(Mm(2400.0), Origin("s.xlsx", "row 2"))
    its_row = row("FD-01", detail=DetailFacts(centre_above_floor_mm=stated))
    merged, reasons = merge_penetration("P-0001", its_row, place, {})
    assert merged.detail.centre_above_floor_mm == stated
    assert reasons == merge_penetration("P-0001", row("FD-01"), place, {})[1]


def test_a_recess_is_no_opening_and_is_asked_about(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.opening("hole", wall, (1750.0, -150.0, 2350.0), (2250.0, 0.0, 2650.0))
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "recess.ifc")
    assert place.framed is None
    _, reasons = merge_penetration("P-0001", None, place, {})
    (asked,) = [reason for reason in reasons if reason.code == "modelled-opening"]
    assert asked.verdict is Verdict.UNKNOWN
    assert "stops inside" in asked.text
    assert guid("hole") in asked.text


def test_an_opening_through_one_of_two_layers_is_asked_about(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.wall("lining", *LINING)
    maker.opening("hole", wall, (1750.0, -150.0, 2350.0), (2250.0, 150.0, 2650.0))
    maker.duct("duct", START, END, SIZE)
    assert "1 of the 2 layers" in only(maker, tmp_path / "one.ifc").opening_doubt


@pytest.mark.parametrize("cut", [True, False])
def test_an_opening_through_the_whole_barrier_or_none_at_all_is_no_question(tmp_path: Path, cut: bool) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    if cut:
        maker.opening("hole", wall, (1750.0, -150.0, 2350.0), (2250.0, 150.0, 2650.0))
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "whole.ifc")
    assert place.opening_doubt == ""
    assert (place.framed is not None) is cut


def test_the_opening_of_a_window_is_not_the_opening_of_the_duct(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    hole = maker.opening("hole", wall, (1000.0, -150.0, 2450.0), (3000.0, 150.0, 2900.0))
    maker.fill(hole, maker.box("IfcWindow", "window", (1000.0, -50.0, 2450.0), (3000.0, 50.0, 2900.0)))
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "window.ifc")
    assert (place.framed, place.framed_gaps, place.opening_guid) == (None, None, "")
    assert [query.reason for query in place.queries] == ["through-filled-opening"]


@pytest.mark.parametrize(
    ("lining", "known"),
    [("EI 30", True), ("EI 60", True), ("EI 90", False), ("REI 120", False), ("E 90", False), ("_RATING_", True)],
)
def test_a_layer_that_is_rated_higher_than_the_wall_leaves_the_rating_open(
    tmp_path: Path, lining: str, known: bool
) -> None:
    """The wall says EI 60. A layer that says more can't be passed over: the code asks by the whole barrier."""
    maker = Maker()
    maker.wall("wall", LOW, HIGH, rating="EI 60")
    maker.wall("lining", *LINING, rating=lining)
    maker.duct("duct", START, END, SIZE)
    penetration, reasons = merge_penetration("P-0001", None, only(maker, tmp_path / "layers.ifc"), {})
    rating = penetration.barrier.rating
    assert isinstance(rating, Known) is known
    if isinstance(rating, Known):
        assert (rating.value.integrity_min, rating.value.insulation_min) == (60, 60)
    assert ("sources" in {reason.code for reason in reasons}) is not known


def test_a_layer_with_a_text_that_nobody_mapped_leaves_the_rating_open(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", LOW, HIGH, rating="EI 60")
    maker.wall("lining", *LINING, rating="F90")
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "unread.ifc")
    assert place.rating is not None
    assert place.rating.value == Rating(60, 60, "EI 60")
    penetration, _ = merge_penetration("P-0001", None, place, {})
    assert isinstance(penetration.barrier.rating, Unknown)
    assert penetration.barrier.rating.missing.key == "model-rating/F90"


def test_what_a_model_leaves_open_is_a_question_that_a_person_can_answer(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("duct", START, (2000.0, 20.0, 2500.0), SIZE)
    penetration, reasons = merge_penetration("P-0001", None, only(maker, tmp_path / "ends.ifc"), {})
    (reason,) = reasons
    # 120 of 200 mm are filled
    assert reason.text == (
        "Does the duct go on through the barrier? The duct fills 60 % of the way from face to face and ends inside."
    )
    assert reason.have == "ends-inside"
    assert reason.missing[0].text == f"{reason.text} (P-0001)"
    assert penetration.model_queries == (
        "ends-inside: The duct fills 60 % of the way from face to face and ends inside.",
    )


def test_every_reason_of_the_closed_list_has_its_question() -> None:
    assert set(QUESTIONS) == set(QueryReason)
    assert all(question.endswith("?") for question, _ in QUESTIONS.values())


def test_a_type_name_that_the_job_does_not_map_is_asked_for_by_that_name(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.typed("IfcWallType", "Blockwork 200", [wall], PredefinedType="SOLIDWALL")
    maker.duct("duct", START, END, SIZE)
    penetration, _ = merge_penetration("P-0001", None, only(maker, tmp_path / "type.ifc"), {})
    code = penetration.barrier.wall_type_code
    assert isinstance(code, Unknown)
    assert code.missing.key == "model-wall-type/Blockwork 200"
    assert "'Blockwork 200'" in code.missing.text
    answered = {code.missing.key: Known("W1", Origin("query Q-0001"))}
    settled, _ = merge_penetration("P-0001", None, only(maker, tmp_path / "again.ifc"), {}, answered)
    assert settled.barrier.wall_type_code == answered[code.missing.key]


def test_wall_between_two_ducts_is_claimed_only_where_each_has_its_own_opening(tmp_path: Path) -> None:
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    maker.opening("one", wall, (1750.0, -150.0, 2350.0), (2250.0, 150.0, 2650.0))
    window = maker.opening("two", wall, (2700.0, -150.0, 2300.0), (4000.0, 150.0, 2900.0))
    maker.fill(window, maker.box("IfcWindow", "window", (2700.0, -50.0, 2300.0), (4000.0, 50.0, 2900.0)))
    maker.duct("duct", START, END, SIZE)
    maker.duct("other", (3000.0, -1000.0, 2500.0), (3000.0, 1000.0, 2500.0), SIZE)
    places = {place.duct_guids[0]: place for place in facts(maker, tmp_path / "window.ifc")}
    (apart,) = [item for item in places[guid("duct")].separations if item.to == places[guid("other")].key]
    assert not isinstance(apart.fill, Known) or apart.fill.value is not SeparationFill.SUPPORTING_CONSTRUCTION


@pytest.mark.parametrize(
    ("text", "says"), [("two hours", True), ("Half hour", True), ("_FIRE-RATING_", False), ("Type", False)]
)
def test_a_rating_in_words_is_no_placeholder(tmp_path: Path, text: str, says: bool) -> None:
    maker = Maker()
    maker.wall("wall", LOW, HIGH, rating=text)
    maker.duct("duct", START, END, SIZE)
    place = only(maker, tmp_path / "words.ifc")
    assert place.rating is None
    assert (place.rating_unread is not None) is says


@pytest.mark.parametrize(("wide", "known"), [(100.0, True), (249.0, True), (251.0, False), (400.0, False)])
def test_openings_that_may_reach_each_other_leave_no_wall_for_certain(tmp_path: Path, wide: float, known: bool) -> None:
    """Ducts 400 wide, 3000 - 2000 - 400 = 600 apart; each hole reaches √(wide² + 166²) at most: 2 × √(249² + 166²) is
    599, 2 × √(251² + 166²) is 602."""
    maker = Maker()
    wall = maker.wall("wall", LOW, HIGH)
    for name, x in (("one", 2000.0), ("two", 3000.0)):
        low, high = (x - 200 - wide, -150.0, 2400.0 - 166), (x + 200 + wide, 150.0, 2600.0 + 166)
        maker.opening(f"hole {name}", wall, low, high)
        maker.duct(name, (x, -1000.0, 2500.0), (x, 1000.0, 2500.0), SIZE)
    places = {place.duct_guids[0]: place for place in facts(maker, tmp_path / "holes.ifc")}
    (apart,) = [item for item in places[guid("one")].separations if item.to == places[guid("two")].key]
    assert isinstance(apart.fill, Known) is known


@pytest.mark.parametrize(("beside", "told"), [(1100.0, True), (1900.0, True), (1901.0, False)])
def test_every_neighbour_within_a_metre_and_a_half_is_told(tmp_path: Path, beside: float, told: bool) -> None:
    """Two ducts 400 wide: so many mm between their middles leave 400 less between them."""
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("one", START, END, SIZE)
    maker.duct("two", (2000.0 + beside, -1000.0, 2500.0), (2000.0 + beside, 1000.0, 2500.0), SIZE)
    places = {place.duct_guids[0]: place for place in facts(maker, tmp_path / "two.ifc")}
    two = places[guid("two")].key
    assert (two in {item.to for item in places[guid("one")].separations}) is told


def test_a_neighbour_of_which_nobody_knows_what_it_is_may_be_a_duct(tmp_path: Path) -> None:
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("duct", START, END, SIZE)
    unknown = (2600.0, -1000.0, 2500.0), (2600.0, 1000.0, 2500.0)
    maker.duct("thing", *unknown, SIZE, cls="IfcFlowSegment")
    places = {place.duct_guids[0]: place for place in facts(maker, tmp_path / "thing.ifc")}
    thing = places[guid("thing")]
    assert thing.to_be_settled
    assert thing.key in {item.to for item in places[guid("duct")].separations}


def test_the_nearest_pipe_through_the_same_wall_is_told(tmp_path: Path) -> None:
    """Duct 400 wide at 2000, pipe 100 wide at 2300: 300 - 200 - 50 = 50 between them."""
    maker = Maker()
    maker.wall("wall", LOW, HIGH)
    maker.duct("duct", START, END, SIZE)
    maker.duct("pipe", (2300.0, -1000.0, 2500.0), (2300.0, 1000.0, 2500.0), (100.0, 100.0), cls="IfcPipeSegment")
    nearest = only(maker, tmp_path / "pipe.ifc").nearest_other_mm
    assert nearest is not None
    assert nearest.value == 50.0
