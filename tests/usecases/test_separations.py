# SPDX-License-Identifier: Apache-2.0
"""Distances to neighbours from rows and models together: a stated nearest says nothing of the other neighbours.

The worlds of whole jobs: a casing 10 beyond the duct, 60 tested from casing to casing (docs/example-evidence.toml);
what stands farther off than 60 and twice 250, the reach of a damper, is no neighbour (row scope.separation.reach).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from brattice.building.penetration import Penetration, Separation
from brattice.building.schedule import StatedDistance
from brattice.building.words import SeparationFill, Surface
from brattice.findings import Known, Missing, Party, Reason, Unknown
from brattice.quantities import Mm
from brattice.usecases.merge import merge_penetration
from brattice.usecases.report_model import PenetrationReport
from brattice.usecases.separations import Told, told_distances
from brattice.usecases.states import PenetrationState
from tests.helpers.facts import RIGID, World, model_of, report_of
from tests.helpers.sources import MODEL, SHEET, place, row, said

WALL, BATT = SeparationFill.SUPPORTING_CONSTRUCTION, SeparationFill.BATT
DUCT, CASING, FLANGE = Surface.DUCT, Surface.CASING, Surface.FLANGE
IDS = {name: f"P-000{number}" for number in range(1, 5) for name in (f"FD-0{number}", f"k-{number}", f"P-000{number}")}


def stated(
    to: str, value: float, start: Surface = CASING, end: Surface = CASING, fill: SeparationFill | None = WALL
) -> StatedDistance:
    return StatedDistance(to, said(Mm(value)), start, end, None if fill is None else said(fill))


def shown(to: str, value: float, start: Surface = DUCT, end: Surface = DUCT, fill: Any = None) -> Separation:
    missing = Missing(f"place/{to}/separation-fill", f"What lies between the ducts and {to}", Party.FIRESTOPPER)
    return Separation(to, Known(Mm(value), MODEL), start, end, Known(fill, MODEL) if fill else Unknown(missing))


def merged(
    own: tuple[StatedDistance, ...] = (),
    modelled: tuple[Separation, ...] | None = None,
    by_others: tuple[StatedDistance, ...] = (),
    answered: dict[str, Known[Any]] | None = None,
) -> tuple[Penetration, tuple[Reason, ...]]:
    """P-0001 with what its row, the models and other rows say."""
    told = Told(tuple(replace(item, to=IDS.get(item.to, item.to)) for item in own), by_others, IDS)
    model = None if modelled is None else place(separations=modelled)
    return merge_penetration("P-0001", row(distances=own), model, {}, answered, told)


def ends(penetration: Penetration) -> list[tuple[str, float | None, Surface]]:
    return [
        (item.to, item.distance_mm.value if isinstance(item.distance_mm, Known) else None, item.from_surface)
        for item in penetration.separations
    ]


# --- a stated nearest and the other modelled neighbours --------------------------------------------------------------


def test_other_modelled_neighbours_stay_beside_the_nearest_that_a_row_states() -> None:
    penetration, reasons = merged((stated("FD-02", 300),), (shown("k-2", 340), shown("k-3", 350)))
    assert reasons == ()
    assert ends(penetration) == [("P-0002", 300, CASING), ("P-0003", 350, DUCT)]
    of_other = penetration.separations[1].fill
    assert isinstance(of_other, Unknown)
    assert of_other.missing.key == "penetration/P-0001 and P-0003/separation-fill"


def test_a_neighbour_that_row_and_model_both_know_counts_once() -> None:
    for name in ("FD-02", "P-0002", "k-2"):
        penetration, reasons = merged((stated(name, 120),), (shown("k-2", 200),))
        assert (ends(penetration), reasons) == ([("P-0002", 120, CASING)], ())


def test_where_it_cant_be_told_which_neighbour_a_row_names_both_are_kept() -> None:
    penetration, _ = merged((stated("the next one", 120),), (shown("k-2", 200),))
    assert ends(penetration) == [("the next one", 120, CASING), ("P-0002", 200, DUCT)]


def test_walls_and_floors_are_the_nearest_of_their_kind_whoever_says_it() -> None:
    modelled = (Separation("wall", Known(Mm(150), MODEL), DUCT, Surface.FACE, Known(WALL, MODEL)),)
    for value, contradicts in ((100, False), (151, False), (151.5, True)):
        own = (stated("wall", value, CASING, Surface.FACE),)
        penetration, reasons = merged(own, modelled)
        assert ends(penetration) == [("wall", value, CASING)]
        assert ([item.code for item in reasons] == ["sources"]) is contradicts


def test_what_a_row_leaves_out_between_the_two_the_model_says() -> None:
    (apart,) = merged((stated("FD-02", 120, fill=None),), (shown("k-2", 200, fill=WALL),))[0].separations
    assert apart.fill == Known(WALL, MODEL)


@pytest.mark.parametrize("of_row", [WALL, BATT])
def test_wall_and_batt_between_the_same_two_is_one_question_for_both(of_row: SeparationFill) -> None:
    other = BATT if of_row is WALL else WALL
    (apart,) = merged((stated("FD-02", 120, fill=of_row),), (shown("k-2", 200, fill=other),))[0].separations
    assert isinstance(apart.fill, Unknown)
    assert apart.fill.missing.key == "penetration/P-0001 and P-0002/separation-fill/sources"


@pytest.mark.parametrize(
    ("own", "modelled", "contradicts"),
    [
        ((200, CASING, CASING), (200, CASING, CASING), False),
        ((201, CASING, CASING), (200, CASING, CASING), False),  # sheets round to the millimetre: our own policy
        ((201.5, CASING, CASING), (200, CASING, CASING), True),
        ((150, CASING, CASING), (200, CASING, CASING), False),  # a model may draw no more than the duct
        ((150, DUCT, DUCT), (200, DUCT, DUCT), True),
        ((150, CASING, CASING), (200, DUCT, DUCT), False),  # a casing encloses its duct
        ((260, CASING, CASING), (200, DUCT, DUCT), True),  # field case 23 turned round
        ((150, FLANGE, FLANGE), (200, DUCT, CASING), False),
        ((230, DUCT, DUCT), (200, CASING, CASING), False),
        ((150, DUCT, DUCT), (200, CASING, CASING), True),
        ((230, DUCT, CASING), (200, CASING, DUCT), False),  # neither lies within the other at both ends
        ((260, Surface.FINISHED_OPENING, Surface.FINISHED_OPENING), (200, DUCT, DUCT), True),
    ],
)
def test_two_distances_to_one_neighbour_have_to_fit_their_surfaces(
    own: tuple[float, Surface, Surface], modelled: tuple[float, Surface, Surface], contradicts: bool
) -> None:
    penetration, reasons = merged((stated("FD-02", *own),), (shown("k-2", *modelled),))
    (apart,) = penetration.separations
    assert isinstance(apart.distance_mm, Unknown) is contradicts
    assert bool(reasons) is contradicts
    if isinstance(apart.distance_mm, Unknown):
        assert apart.distance_mm.missing.key == "penetration/P-0001 and P-0002/distance/sources"


def test_a_nearest_that_is_not_the_nearest_is_asked_after() -> None:
    for nearer, contradicts in ((300, False), (299, False), (298, True)):
        _, reasons = merged((stated("FD-02", 300),), (shown("k-3", nearer),))
        assert ([item.code for item in reasons] == ["sources"]) is contradicts, nearer
    # from the casing 300 may well be less than 298 from another's flange
    assert merged((stated("FD-02", 300, DUCT, DUCT),), (shown("k-3", 298, CASING, CASING),))[1] == ()


def test_a_row_that_names_itself_as_its_nearest_damper_tells_nothing() -> None:
    penetration, (reason,) = merged((stated("FD-01", 300),))
    assert reason.code == "sources"
    assert [item.to for item in penetration.separations] == ["another damper", "wall", "floor"]
    assert merged((stated("FD-01", 300),), ())[1] == (reason,)


# --- what one row says holds for both --------------------------------------------------------------------------------


def test_a_distance_that_one_row_states_is_told_of_both() -> None:
    one = row("FD-01", distances=(stated("FD-02", 300, CASING, FLANGE), stated("wall", 90, CASING, Surface.FACE)))
    told = told_distances((("P-0001", one), ("P-0002", row("FD-02")), ("P-0003", None)), IDS)
    assert [(item.to, item.from_surface, item.to_surface) for item in told["P-0002"].by_others] == [
        ("P-0001", FLANGE, CASING)
    ]
    assert [item.to for item in told["P-0001"].own] == ["P-0002", "wall"]
    assert told["P-0003"] == Told((), (), IDS)


def test_what_another_row_says_is_judged_and_does_not_stand_for_the_nearest() -> None:
    penetration, reasons = merged(by_others=(stated("P-0002", 300),))
    assert reasons == ()
    assert [item.to for item in penetration.separations] == ["P-0002", "another damper", "wall", "floor"]


def test_two_rows_that_contradict_each_other_ask_one_question() -> None:
    (one,) = merged((stated("FD-02", 300),), (), (stated("P-0002", 200),))[1]
    assert one.code == "sources"
    turned = Told((stated("P-0001", 200),), (stated("P-0001", 300),), IDS)
    _, (other,) = merge_penetration("P-0002", row(distances=turned.own), place(), {}, None, turned)
    assert one.missing == other.missing


def test_an_answer_settles_what_lies_between_two_for_both() -> None:
    answered = {"penetration/P-0001 and P-0003/separation-fill": Known(WALL, SHEET)}
    penetration, _ = merged((stated("FD-02", 300),), (shown("k-2", 340), shown("k-3", 350)), answered=answered)
    assert [item.fill for item in penetration.separations] == [said(WALL), said(WALL)]


# --- whole jobs ------------------------------------------------------------------------------------------------------


def two(separations: tuple[Separation, ...] = (), **cells: Any) -> World:
    """FD-01 and FD-02, each tied to its place by its damper's GlobalId; the first place shows the distances given."""
    guids = ("0000000000000000000dam", "0000000000000000000da2")
    rows = tuple(
        {**RIGID.row, "reference": name, "near_damper": near, "damper_guids": (guid,)}
        for name, near, guid in zip(("FD-01", "FD-02"), ("FD-02", "FD-01"), guids, strict=True)
    )
    places = [model_of(), model_of(key="place-2", damper_guids=(guids[1],), duct_guids=(), opening_guid="hole-2")]
    places[0] = replace(places[0], separations=(*places[0].separations, *separations))
    return replace(RIGID, rows=rows, places=tuple(places)).with_row(**cells)


def of(report: Any, reference: str) -> PenetrationReport:
    found: PenetrationReport
    (found,) = [item for item in report.penetrations if ("schedule", reference) in item.penetration.aliases]
    return found


def test_two_dampers_whose_rows_and_places_agree_are_within_scope(tmp_path: Path) -> None:
    report = report_of(two((shown("place-2", 320),)), tmp_path)
    assert {item.state for item in report.penetrations} == {PenetrationState.WITHIN_SCOPE}


def test_a_second_modelled_neighbour_is_no_pass_beside_the_nearest_that_the_row_states(tmp_path: Path) -> None:
    """350 between the ducts, batt or wall between nobody knows: that the row names FD-02 at 300 says nothing of it."""
    third = model_of(key="place-3", damper_guids=(), duct_guids=("0000000000000000000du3",), opening_guid="hole-3")
    world = two((shown("place-2", 320), shown("place-3", 350)))
    one = of(report_of(replace(world, places=(*world.places, third)), tmp_path), "FD-01")
    assert one.state is PenetrationState.NOT_ENOUGH_KNOWN
    assert {item.code for item in one.findings if item.open} == {"separation-unknown"}


def test_a_second_modelled_neighbour_that_is_too_near_fails(tmp_path: Path) -> None:
    """60 tested from casing to casing; the ducts are 40 apart, and a casing stands out beyond its duct."""
    third = model_of(key="place-3", damper_guids=(), duct_guids=("0000000000000000000du3",), opening_guid="hole-3")
    world = two((shown("place-2", 320), shown("place-3", 40, CASING, CASING, WALL)), near_damper_mm=30)
    world = replace(world, rows=(world.rows[0], {**world.rows[1], "near_damper_mm": 30}))
    one = of(report_of(replace(world, places=(*world.places, third)), tmp_path), "FD-01")
    near = [item for item in one.findings if item.code.startswith("separation-")]
    assert len(near) == 2


def test_a_neighbour_that_another_row_has_too_near_is_no_pass(tmp_path: Path) -> None:
    """FD-02 has its nearest at 300 by its own row; FD-01 says that the two are 20 apart."""
    rows = (
        {**RIGID.row, "near_damper": "FD-02", "near_damper_mm": 20},
        {**RIGID.row, "reference": "FD-02", "near_damper": "FD-03", "near_damper_mm": 300},
        {**RIGID.row, "reference": "FD-03", "near_damper": "FD-02", "near_damper_mm": 300},
    )
    report = report_of(replace(RIGID, rows=rows), tmp_path)
    assert of(report, "FD-03").state is PenetrationState.WITHIN_SCOPE
    assert of(report, "FD-02").state is not PenetrationState.WITHIN_SCOPE
    codes = {item.code for item in of(report, "FD-02").findings if item.open}
    assert {code for code in codes if code.startswith(("separation-", "sources-"))}


def test_batt_that_one_row_states_between_two_lies_before_both(tmp_path: Path) -> None:
    """Trade handbook row 2.32: batt is no supporting construction, whichever of the two rows says it."""
    rows = (
        {**RIGID.row, "near_damper": "FD-02", "near_damper_mm": 200, "near_damper_fill": "batt"},
        {**RIGID.row, "reference": "FD-02", "near_damper": "FD-03", "near_damper_mm": 150},
        {**RIGID.row, "reference": "FD-03", "near_damper": "FD-02", "near_damper_mm": 150},
    )
    report = report_of(replace(RIGID, rows=rows), tmp_path)
    assert {item.code for item in of(report, "FD-02").findings if item.open} == {"separation-fails"}


def test_a_hole_shared_with_nobody_but_itself_is_a_slip_and_no_pass(tmp_path: Path) -> None:
    (one,) = report_of(RIGID.with_row(shared_with=("FD-01",)), tmp_path).penetrations
    assert one.state is not PenetrationState.WITHIN_SCOPE
    assert {item.code for item in one.findings if item.open} == {"shared-opening-fails"}
