# SPDX-License-Identifier: Apache-2.0
"""What is too near in a judged job and the shifts that cure it. Least distances: trade handbook 2.30 (200 mm between
dampers) and 2.31 (75 mm to construction); shifts by hand: duct 600 × 400, casing 10 beyond it on each side."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

import pytest

from brattice.adapters.solve import ShiftSolver
from brattice.building.penetration import BarrierPlane, Location, Separation, Sides, Size
from brattice.building.words import Orientation, SeparationFill, Surface
from brattice.details.detail import InstallationDetail, Standing
from brattice.details.separations import Aim, Cure, SeparationAnswer, SeparationProblem
from brattice.evidence.checks_separation import check_separations
from brattice.evidence.codes import SEPARATION
from brattice.evidence.installation import SeparationTested, TestedInstallation
from brattice.findings import Verdict
from brattice.orders.too_near import ShiftStanding, TooNearGroup
from brattice.quantities import Mm
from brattice.usecases.job import Job
from brattice.usecases.plane_of_barrier import MOST_SHIFT_MM
from brattice.usecases.too_near import LARGE_GROUP, MOST_EFFORT, MOST_IN_GROUP, MOST_NODES, too_near_of
from tests.helpers.facts import RULES
from tests.helpers.installations import installation
from tests.helpers.judging import BASIS, BOOK, DATES, requirement
from tests.helpers.penetrations import known, penetration, unknown, with_facts

CASING, DUCT, FACE = Surface.CASING, Surface.DUCT, Surface.FACE
SOLID = known(SeparationFill.SUPPORTING_CONSTRUCTION)
JOB = Job("Invented job", RULES, dates=DATES)
ALONG_X = BarrierPlane((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def way_of(**changes: Any) -> TestedInstallation:
    """Tested to 200 from casing to casing, 75 from the casing to wall and floor."""
    apart = (
        SeparationTested("damper", Mm(200), CASING, CASING),
        SeparationTested("floor", Mm(75), CASING, FACE),
        SeparationTested("wall", Mm(75), CASING, FACE),
    )
    return installation(**{"separations": apart, **changes})


@dataclass(frozen=True)
class At:
    """A duct at a place in the wall [mm]."""

    name: str
    x: float
    z: float = 0.0


def near(to: str, distance: float, **changes: Any) -> Separation:
    surface = FACE if to in ("wall", "floor") else CASING
    return replace(Separation(to, known(Mm(distance)), CASING, surface, SOLID), **changes)


def placed(
    at: At,
    *items: Separation,
    plane: BarrierPlane | None = ALONG_X,
    way: TestedInstallation | None = None,
    **facts: Any,
) -> InstallationDetail:
    """A penetration in a wall along x, its duct 600 × 400 unless a fact says else."""
    centre = (at.x / 1000, 8.0, at.z / 1000)
    made = penetration(id=at.name, separations=items, **facts)
    made = replace(made, location=Location(known("Level 1"), "", centre, plane=plane))
    return InstallationDetail(made, Standing.TO_BUILD, "", way or way_of(), None)


def row(*gaps: float, way: TestedInstallation | None = None, **facts: Any) -> list[InstallationDetail]:
    """Ducts of 600 × 400 in a row; `gaps` are between casings, so that ducts stand 20 farther apart."""
    x, found = 0.0, []
    names = [f"P-{number:04d}" for number in range(1, len(gaps) + 2)]
    for at, name in enumerate(names):
        items = []
        if at:
            items.append(near(names[at - 1], gaps[at - 1]))
        if at < len(gaps):
            items.append(near(names[at + 1], gaps[at]))
        found.append(placed(At(name, x), *items, way=way, **facts))
        x += 620 + (gaps[at] if at < len(gaps) else 0)
    return found


def groups(*details: InstallationDetail, solver: Any = None) -> tuple[TooNearGroup, ...]:
    by_id = {item.id: item for item in details}
    return too_near_of(by_id, JOB, BOOK, solver or ShiftSolver())


def only(*details: InstallationDetail) -> TooNearGroup:
    return the_one(groups(*details))


def the_one(found: tuple[TooNearGroup, ...]) -> TooNearGroup:
    (group,) = found
    return group


def total(group: TooNearGroup) -> float:
    return sum(abs(dx) + abs(dy) for _, dx, dy in group.moved)


FORMED: dict[str, Any] = {"opening__formed": True}


def formed(detail: InstallationDetail) -> InstallationDetail:
    return replace(detail, penetration=with_facts(detail.penetration, **FORMED))


@pytest.mark.parametrize("gap", [200, 201, 1500])
def test_as_far_apart_as_tested_is_not_too_near(gap: float) -> None:
    assert groups(*row(gap)) == ()


def test_two_dampers_180_apart_are_shifted_by_20() -> None:
    """Trade handbook C21."""
    found = only(*row(180))
    assert (found.penetrations, found.standing, total(found)) == (("P-0001", "P-0002"), ShiftStanding.SMALLEST, 20)
    needs = "casing to casing, supporting construction between; needs at least 200 mm to a damper, from the casing "
    needs += "(as tested)."
    assert found.near == (f"P-0001 has 180 mm to P-0002, {needs}", f"P-0002 has 180 mm to P-0001, {needs}")
    assert all(dx < 0 if name == "P-0001" else dx > 0 for name, dx, _ in found.moved)


def test_the_outer_two_of_three_are_shifted_by_50_each() -> None:
    """Each 50 short: any shift of the middle one only adds to the sum."""
    found = only(*row(150, 150))
    assert found.moved == (("P-0001", -50, 0), ("P-0003", 50, 0))
    assert found.shifts == ("P-0001: 50 mm to the left", "P-0003: 50 mm to the right", "Together 100 mm.")
    assert found.seen == "Seen looking towards +y of the models: +x to the right."
    assert (found.storey, found.wall) == ("Level 1", "W1")


def test_what_is_formed_stays() -> None:
    one, other = row(150)
    found = only(formed(one), other)
    assert found.shifts == ("P-0002: 50 mm to the right",)
    assert "The opening of P-0001 is formed already and stays." in found.look
    both = only(formed(one), formed(other))
    assert (both.standing, both.shifts, both.seen) == (ShiftStanding.NONE, (), "")


def test_between_two_that_are_formed_it_goes_over_or_under() -> None:
    """Casing 420 high and 200 between: 620 up or down; sideways past the other is 620 + 100 + 200 at least."""
    one, middle, other = row(100, 100)
    found = only(formed(one), middle, formed(other))
    ((name, across, upwards),) = found.moved
    assert (name, across, abs(upwards), found.standing) == ("P-0002", 0, 620, ShiftStanding.SMALLEST)
    assert found.shifts[0] in ("P-0002: 620 mm up", "P-0002: 620 mm down")


def test_no_shift_within_reach() -> None:
    """Casings 820 high: 820 + 200 is more than an opening is shifted; sideways past the other likewise."""
    assert MOST_SHIFT_MM == 1000
    one, middle, other = row(100, 100, duct__size=Size(Mm(600), Mm(800)))
    assert only(formed(one), middle, formed(other)).standing is ShiftStanding.NONE
    one, middle, other = row(100, 100, duct__size=Size(Mm(600), Mm(780)))
    assert total(only(formed(one), middle, formed(other))) == 1000


def test_a_shift_takes_along_what_it_would_come_too_near_to() -> None:
    """200, 150, 200: one end of the row moves whole, two by 50 together; up would be 620."""
    found = only(*row(200, 150, 200))
    assert (len(found.penetrations), total(found), found.standing) == (4, 100, ShiftStanding.SMALLEST)
    free = only(*row(300, 150, 300))  # there is room for one alone
    assert (free.penetrations, total(free)) == (("P-0002", "P-0003"), 50)


def test_two_groups_in_one_wall_leave_room_for_each_other() -> None:
    """150, 200, 150: the outermost by 50 each, whether they are solved apart or together."""
    details = row(150, 200, 150)
    moves = {name: dx for group in groups(*details) for name, dx, _ in group.moved}
    assert moves == {"P-0001": -50, "P-0004": 50}


def test_a_row_of_six_by_hand() -> None:
    """All 50 short: from the middle outwards 2 + 1 + 0 + 1 + 2 + 3 times 50."""
    whole = only(*row(*[150] * 5))
    assert (whole.standing, total(whole)) == (ShiftStanding.SMALLEST, 450)


def test_a_row_as_long_as_is_searched_and_one_more() -> None:
    """All 50 short; what is found is held against the distances of all pairs."""
    assert MOST_IN_GROUP == 12
    names = range(1, MOST_IN_GROUP + 1)
    whole = the_one(groups(*row(*[150] * (MOST_IN_GROUP - 1)), solver=ShiftSolver(most_nodes=1)))
    assert whole.standing in (ShiftStanding.SMALLEST, ShiftStanding.NOT_PROVEN)
    places = {f"P-{number:04d}": ((number - 1) * 770.0, 0.0) for number in names}  # 620 wide, 150 apart
    for name, dx, dy in whole.moved:
        places[name] = (places[name][0] + dx, dy)
    for (x, y), (u, v) in itertools.combinations(places.values(), 2):
        assert math.hypot(max(0.0, abs(u - x) - 620), max(0.0, abs(v - y) - 420)) >= 200
    assert len(whole.moved) >= 6  # of each of eleven pairs that are too near one moves
    more = only(*row(*[150] * MOST_IN_GROUP))
    assert (more.standing, more.moved) == (ShiftStanding.NOT_SEARCHED, ())
    assert more.look == ("13 penetrations have to be shifted together; up to 12 are searched.",)
    assert len(more.near) == 24


def test_only_so_many_large_groups_are_searched() -> None:
    """Rows of five in walls of their own: all 50 short, 2 + 1 + 0 + 1 + 2 times 50."""
    most = MOST_EFFORT // LARGE_GROUP**2
    rows = []
    for number in range(most + 1):
        for item in row(*[150] * (LARGE_GROUP - 1)):
            names = {f"P-000{at}": f"P-{number:02d}0{at}" for at in range(1, 9)}
            of = item.penetration
            items = tuple(replace(near, to=names[near.to]) for near in of.separations)
            barrier = replace(of.barrier, guids=(f"wall-{number}",))
            rows.append(replace(item, penetration=replace(of, id=names[of.id], separations=items, barrier=barrier)))
    found = groups(*rows, solver=ShiftSolver(most_nodes=MOST_NODES))
    assert [total(group) for group in found] == [300] * most + [0]
    assert found[-1].standing is ShiftStanding.NOT_SEARCHED


def floor_plane() -> BarrierPlane:
    return BarrierPlane((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def test_in_a_floor_shifts_are_told_in_plan() -> None:
    """Casings 420 deep, 150 apart in plan."""
    facts: dict[str, Any] = {"barrier__orientation": Orientation.FLOOR}
    one = placed(At("P-0001", 0), near("P-0002", 150), plane=floor_plane(), **facts, **FORMED)
    other = placed(At("P-0002", 0), near("P-0001", 150), plane=floor_plane(), **facts)
    where = replace(other.penetration.location, centre_m=(0.0, 8.57, 0.0))
    other = replace(other, penetration=replace(other.penetration, location=where))
    found = only(one, other)
    assert found.shifts == ("P-0002: 50 mm towards +y",)
    assert found.seen == "In plan, in the directions of the models."


def test_in_a_slope_up_is_up_the_slope() -> None:
    slope = BarrierPlane((1.0, 0.0, 0.0), (0.0, 0.8, 0.6), Sides(Mm(900), Mm(900), Mm(270), Mm(900)))
    facts: dict[str, Any] = {"barrier__orientation": Orientation.FLOOR}
    found = only(placed(At("P-0001", 0), near("wall", 60), plane=slope, **facts))
    assert found.shifts == ("P-0001: 15 mm down",)
    assert found.seen == "Along the slope: up is up the slope, right is towards +x of the models."


def under(soffit: float, below: float, **sides: float) -> InstallationDetail:
    """A casing 620 × 420 with so much above and below it [mm]."""
    edges = Sides(Mm(sides.get("left", 3000)), Mm(sides.get("right", 3000)), Mm(210 + soffit), Mm(210 + below))
    plane = BarrierPlane((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), edges)
    return placed(At("P-0001", 0), near("floor", min(soffit, below)), plane=plane)


def test_60_from_the_soffit_goes_down_by_15() -> None:
    """Trade handbook C22."""
    found = only(under(60, 2000))
    assert (found.shifts, found.standing) == (("P-0001: 15 mm down",), ShiftStanding.SMALLEST)
    assert groups(under(75, 2000)) == ()


@pytest.mark.parametrize(("below", "standing"), [(90, ShiftStanding.SMALLEST), (89, ShiftStanding.NONE)])
def test_between_soffit_and_floor_there_may_be_no_room(below: float, standing: ShiftStanding) -> None:
    """75 above and below: 150 together; 60 and 90 are just that."""
    assert only(under(60, below)).standing is standing


def test_left_and_right_are_the_same_whichever_way_a_model_looks_at_the_wall() -> None:
    """A wall 60 beside the casing, at its left as the model looks: on the side of growing x."""
    looked = BarrierPlane((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), Sides(Mm(370), Mm(3000), Mm(900), Mm(900)))
    assert only(placed(At("P-0001", 0), near("wall", 60), plane=looked)).shifts == ("P-0001: 15 mm to the left",)


@pytest.mark.parametrize(
    ("right", "words"),
    [
        ((0.0, 1.0, 0.0), "Seen looking towards -x of the models: +y to the right."),
        ((0.0, -1.0, 0.0), "Seen looking towards -x of the models: +y to the right."),
        ((-0.6, -0.8, 0.0), "Seen so that the wall runs to the right towards +x and +y of the models."),
        ((0.6, -0.8, 0.0), "Seen so that the wall runs to the right towards +x and -y of the models."),
    ],
)
def test_every_wall_says_how_it_is_seen(right: tuple[float, float, float], words: str) -> None:
    plane = BarrierPlane(right, (0.0, 0.0, 1.0), Sides(Mm(2000), Mm(2000), Mm(270), Mm(2000)))
    found = only(placed(At("P-0001", 0), near("floor", 60), plane=plane))
    assert (found.seen, found.shifts) == (words, ("P-0001: 15 mm down",))


def test_a_wall_whose_side_no_model_tells_is_not_solved() -> None:
    found = only(placed(At("P-0001", 0), near("wall", 60)))
    assert (found.standing, found.moved) == (ShiftStanding.NOT_KNOWN, ())
    assert found.look == (
        "P-0001: on which side the wall lies that is 60 mm away, no model tells by the edges of the barrier.",
    )
    elsewhere = BarrierPlane((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), Sides(Mm(510), Mm(3000), Mm(900), Mm(900)))
    meets = only(placed(At("P-0001", 0), near("wall", 60), plane=elsewhere))  # its own edge is 200 away
    assert meets.standing is ShiftStanding.NOT_KNOWN


@pytest.mark.parametrize("lost", ["plane", "size", "barrier"])
def test_what_has_no_place_no_size_or_no_common_barrier_is_not_solved(lost: str) -> None:
    one, other = row(150)
    if lost == "plane":
        where = replace(other.penetration.location, plane=None)
        other = replace(other, penetration=replace(other.penetration, location=where))
    elif lost == "size":
        sizes = {"duct__size": unknown(), "damper__size": unknown()}
        other = replace(other, penetration=with_facts(other.penetration, **sizes))
    else:
        other = replace(other, penetration=with_facts(other.penetration, barrier__guids=("wall-2",)))
    found = only(one, other)
    assert (found.standing, found.moved, found.shifts) == (ShiftStanding.NOT_KNOWN, (), ())
    assert len(found.near) == 2
    assert len(found.look) == 1


def test_a_neighbour_that_is_nowhere_in_the_job_is_not_solved() -> None:
    found = only(placed(At("P-0001", 0), near("FD-99", 150)))
    assert (found.standing, found.look) == (
        ShiftStanding.NOT_KNOWN,
        ("P-0001: where FD-99 is, is not known.",),
    )


def test_sources_that_can_not_both_be_right_are_not_solved() -> None:
    """180 stated where the casings are 2380 apart in the models: more than anything of a damper reaches."""
    one = placed(At("P-0001", 0), near("P-0002", 180))
    found = only(one, placed(At("P-0002", 3000), near("P-0001", 180)))
    assert found.standing is ShiftStanding.NOT_KNOWN
    (said,) = found.look
    assert said.startswith("180 mm is stated between P-0001 and P-0002, where the models have 2380 mm")


def test_what_lacks_is_taken_from_the_distance_stated() -> None:
    """150 stated where the models have 180: 50 more, and it says that they differ."""
    one = placed(At("P-0001", 0), near("P-0002", 150))
    found = only(one, placed(At("P-0002", 800), near("P-0001", 150)))
    assert (total(found), found.standing) == (50, ShiftStanding.AT_LEAST)
    assert any("is not what the models show" in text for text in found.look)


def test_where_the_tested_surface_is_not_stated_a_shift_is_a_least_one() -> None:
    """The least distance of the rows, 200 (trade handbook 2.30), from the casing or something farther out (2.30a)."""
    found = only(*row(150, way=way_of(separations=())))
    assert (total(found), found.standing) == (50, ShiftStanding.AT_LEAST)
    assert any("measure between the tested surfaces" in text for text in found.look)


def test_between_ducts_the_casings_count() -> None:
    """Ducts 195 apart, casings 175: 25 lack; of the neighbour's casing its own test tells, and no measurement does."""
    ducts = {"from_surface": DUCT, "to_surface": DUCT}
    one = placed(At("P-0001", 0), near("P-0002", 195, **ducts))
    found = only(one, placed(At("P-0002", 795), near("P-0001", 195, **ducts)))
    assert (total(found), found.standing) == (25, ShiftStanding.AT_LEAST)


def test_the_greater_of_two_tested_distances_decides() -> None:
    """One tested at 150, the other at 250, 180 apart: 70."""
    one, other = row(180)
    ways = [way_of(separations=(SeparationTested("damper", Mm(least), CASING, CASING),)) for least in (150, 250)]
    found = only(replace(one, tested=ways[0]), replace(other, tested=ways[1]))
    assert (len(found.near), total(found), found.standing) == (1, 70, ShiftStanding.SMALLEST)


def test_round_ducts_are_round() -> None:
    """Ø 300 with casings of 320, 150 apart."""
    facts: dict[str, Any] = {"duct__size": Size(Mm(300))}
    one = placed(At("P-0001", 0), near("P-0002", 150), **facts, **FORMED)
    assert only(one, placed(At("P-0002", 470), near("P-0001", 150), **facts)).moved == (("P-0002", 50, 0),)


def test_batt_is_no_construction_however_far_apart() -> None:
    batt = {"fill": known(SeparationFill.BATT)}
    one = placed(At("P-0001", 0), near("P-0002", 150, **batt))
    other = placed(At("P-0002", 770), near("P-0001", 150, **batt))
    shared = replace(one.penetration, opening=replace(one.penetration.opening, shared_with=("P-0002",)))
    found = only(replace(one, penetration=shared), other)
    assert found.look[0].startswith("Only batt lies between P-0001 and P-0002")
    assert found.look[1] == "P-0001 and P-0002 share an opening: once apart, each needs its own."


def test_what_is_moved_without_knowing_whether_it_is_formed_says_so() -> None:
    one, other = row(150)
    maybe = replace(other, penetration=with_facts(other.penetration, opening__formed=unknown()))
    found = only(formed(one), maybe)
    assert "Whether P-0002 is formed already is not stated." in found.look


@pytest.mark.parametrize("surface", list(Surface))
@pytest.mark.parametrize("distance", [1, 150, 189, 190, 199, 200, 249, 250, 450])
@pytest.mark.parametrize("stated", [True, False])
def test_too_near_is_what_the_check_fails(surface: Surface, distance: float, stated: bool) -> None:
    way = way_of() if stated else way_of(separations=())
    item = near("P-0002", distance, from_surface=surface)
    detail = placed(At("P-0001", 0), item, way=way)
    (checked,) = check_separations(detail.penetration, requirement(), way, BASIS)
    assert checked.reason.code == SEPARATION
    assert bool(groups(detail)) == (checked.reason.verdict is Verdict.FAIL)


def test_without_a_tested_installation_nothing_is_said() -> None:
    one, other = (replace(item, tested=None) for item in row(150))
    assert groups(one, other) == ()


def test_the_order_of_penetrations_changes_nothing() -> None:
    details = [*row(150, 210, 150, 180)]
    assert groups(*details) == groups(*reversed(details))


@pytest.mark.parametrize(
    ("cure", "standing"), [(Cure.CURED, ShiftStanding.NOT_PROVEN), (Cure.NOT_FOUND, ShiftStanding.NOT_FOUND)]
)
def test_a_search_that_was_stopped_says_so(cure: Cure, standing: ShiftStanding) -> None:
    class Stopped:
        def cure(self, problem: SeparationProblem, aim: Aim) -> SeparationAnswer:
            found = ShiftSolver().cure(problem, aim)
            return replace(found, cure=cure, moves=found.moves if cure is Cure.CURED else (), is_proven=False)

    assert the_one(groups(*row(150), solver=Stopped())).standing is standing
