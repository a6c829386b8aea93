# SPDX-License-Identifier: Apache-2.0
"""Every fact of a job that is within scope, taken away or contradicted: what nobody states is never a pass.

Each world is one penetration in a job of its own, within scope; the readers of sheets and evidence are the real ones.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.evidence.schema import DocumentModel, InstallationModel
from brattice.adapters.sheets.schedule_columns import SCHEDULE
from brattice.adapters.sheets.wall_type_columns import WALL_TYPES
from brattice.errors import InputError
from brattice.usecases.job import Pin
from brattice.usecases.states import PenetrationState
from tests.helpers.facts import FLEXIBLE, FLOOR, RIGID, World, model_of, only, report_of

WORLDS = {"rigid": RIGID, "flexible": FLEXIBLE, "floor": FLOOR}
WITHIN = PenetrationState.WITHIN_SCOPE


def state(world: World, folder: Path) -> PenetrationState | None:
    """The state of the first penetration; None where the input is refused."""
    try:
        return report_of(world, folder).penetrations[0].state
    except InputError:
        return None


def codes(world: World, folder: Path) -> set[str]:
    return {item.code for item in report_of(world, folder).penetrations[0].findings if item.open}


@pytest.mark.parametrize("name", WORLDS)
def test_each_world_is_within_scope_and_nothing_is_open(name: str, tmp_path: Path) -> None:
    report = only(report_of(WORLDS[name], tmp_path))
    assert report.state is WITHIN, [item for item in report.findings if item.open]
    assert [item for item in report.findings if item.open] == []


def test_the_worlds_state_every_column_that_is_judged() -> None:
    """A column that no world states can't be taken away; each that is left out is judged here, one by one."""
    stated = {key for world in WORLDS.values() for key in world.row}
    names = {"permanent_id", "key", "duct_guids", "damper_guids", "barrier_guids"}  # they tie a row to a model
    aliases = {"designers_reference", "contractors_reference", "asset_tag", "firestoppers_label", "alarm_address"}
    place = {"x_m", "y_m", "z_m"}
    round_ones = {"duct_diameter_mm", "damper_diameter_mm", "framed_diameter_mm", "finished_diameter_mm"}
    elsewhere = {"shared_with", "run_proven", "run_document", "remarks"}  # tests of their own; remarks say nothing
    assert {column.key for column in SCHEDULE.columns} - stated == names | aliases | place | round_ones | elsewhere
    walls = {key for world in WORLDS.values() for key in world.walls[0]}
    assert {column.key for column in WALL_TYPES.columns} - walls == set()


# --- taking a fact away ---------------------------------------------------------------------------------------------

TOGETHER = (
    ("duct_width_mm", "duct_height_mm"),
    ("damper_width_mm", "damper_height_mm"),
    ("gap_left_mm", "gap_right_mm", "gap_top_mm", "gap_bottom_mm"),
    ("near_damper", "near_damper_mm", "near_damper_from", "near_damper_to", "near_damper_fill"),
    ("near_wall_mm", "near_wall_from"),
    ("near_floor_mm", "near_floor_from"),
    ("framed_width_mm", "framed_height_mm"),
    ("finished_width_mm", "finished_height_mm"),
)
"""Cells that are read as one; half of them is refused."""

ROW_MAY_GO = {
    "storey": "asked of only by a demand that names storeys",
    "words": "words for people",
    "damper_present": "a product that is named says yes",
    "formed": "says only whether a fault can still be cured",
    "thickness_mm": "the wall type states it too",
    "rating": "the wall type states it too",
    "framed_width_mm": "the finished clear opening and the gaps are what was tested",
    "finished_width_mm": "follows from the framed opening and the lining; the gaps are what was tested",
}
FLOOR_ROW_MAY_GO = {"near_floor_mm": "a floor adjoins no other floor in its own plane"}

WALL_MAY_GO = {
    "rigid": {
        "thickness_mm": "the schedule states it too",
        "rating": "the schedule states it too",
        "material": "told by thickness and density",
        "lining_mm": "masonry without a word of a lining has none",
        "revision": "printed, never judged",
    },
    "flexible": {
        "thickness_mm": "the schedule states it too",
        "rating": "the schedule states it too",
        "revision": "printed, never judged",
    },
    "floor": {
        "thickness_mm": "the schedule states it too",
        "rating": "the schedule states it too",
        "material": "told by thickness and density",
        "revision": "printed, never judged",
    },
}


def cells_of(world: World) -> Iterator[tuple[str, ...]]:
    grouped = {key for group in TOGETHER for key in group}
    yield from TOGETHER
    yield from ((key,) for key in world.row if key not in grouped and key != "reference")


@pytest.mark.parametrize("name", WORLDS)
def test_a_cell_of_the_schedule_taken_away_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    may_go = {**ROW_MAY_GO, **(FLOOR_ROW_MAY_GO if name == "floor" else {})}
    kept = {group[0] for group in cells_of(world) if state(world.with_row(**dict.fromkeys(group)), tmp_path) is WITHIN}
    assert kept == set(may_go)


@pytest.mark.parametrize("name", WORLDS)
def test_half_of_what_is_read_as_one_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    kept = {key for group in TOGETHER for key in group if state(world.with_row(**{key: None}), tmp_path) is WITHIN}
    assert kept == set()


@pytest.mark.parametrize("name", WORLDS)
def test_a_cell_of_the_wall_type_taken_away_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    wall = world.walls[0]
    kept = {key for key in wall if key != "code" and state(world.with_wall(**{key: None}), tmp_path) is WITHIN}
    assert kept == set(WALL_MAY_GO[name])


@pytest.mark.parametrize("name", WORLDS)
@pytest.mark.parametrize("fact", ["thickness_mm", "rating"])
def test_what_is_stated_twice_is_needed_once(name: str, fact: str, tmp_path: Path) -> None:
    world = WORLDS[name].with_row(**{fact: None}).with_wall(**{fact: None})
    assert state(world, tmp_path) is PenetrationState.NOT_ENOUGH_KNOWN


EVIDENCE_MAY_GO = {
    "invented": "a mark for people",
    "insulation_through": "no insulation runs through here",
    "deflection_head": "no deflection head here",
    "other_services": "nothing else passes the seal here",
    "ducted_sides": "both sides have their ducts here",
    "casing_beyond_mm": "gap and distances are measured from the casing here, as in the test",
    "sizes.width_mm.least": "a test holds for smaller ones of the same make",
    "sizes.height_mm.least": "a test holds for smaller ones of the same make",
    "construction.shown_in_rigid": "matters in rigid walls alone",
    "seal.depth_mm.most": "a deeper seal of the same products is as tested",
    "separation.0.from_surface": "far enough here from whatever of the damper was meant",
    "separation.0.to_surface": "far enough here from whatever of the damper was meant",
    "separation.1.from_surface": "far enough here from whatever of the damper was meant",
    "separation.2.from_surface": "far enough here from whatever of the damper was meant",
}


def paths_of(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield (*at, key)
            yield from paths_of(item, (*at, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for number, item in enumerate(value):
            yield from paths_of(item, (*at, number))


def path_text(path: tuple[str | int, ...]) -> str:
    return ".".join(str(part) for part in (path[2:] if path[0] == "installation" else path))


@pytest.mark.parametrize("name", WORLDS)
def test_a_key_of_the_evidence_taken_away_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    kept = {
        path_text(path)
        for path in paths_of(world.evidence)
        if state(world.with_evidence(path, None), tmp_path) is WITHIN
    }
    assert kept <= set(EVIDENCE_MAY_GO), kept - set(EVIDENCE_MAY_GO)


def test_the_worlds_state_every_key_of_the_evidence_that_is_judged() -> None:
    stated = {key for world in WORLDS.values() for key in world.evidence["installation"][0]}
    known = {field.alias or key for key, field in InstallationModel.model_fields.items()}
    # the maker stands for the whole file; a battery and a shared opening that are not stated were not tested
    assert known - stated == {"maker", "notes", "battery", "shared_opening"}
    stated = {key for world in WORLDS.values() for key in world.evidence["document"][0]}
    known = {field.alias or key for key, field in DocumentModel.model_fields.items()}
    # ends of validity can only be stated against a document; voluntary certification stands in for nothing
    assert known - stated == {"valid_from", "valid_to", "withdrawn_on", "third_party"}


# --- who chooses the product ----------------------------------------------------------------------------------------


def pinned(world: World, installation: str) -> World:
    return replace(world, job=replace(world.job, pins=(Pin("FD-01", installation, "chosen by hand"),)))


def second(world: World, **changed: Any) -> World:
    """The same with one more installation, by default of the same product."""
    one = world.evidence["installation"][0]
    return world.with_evidence(("installation",), [one, {**one, "id": "other", **changed}])


def test_a_pin_of_another_product_than_the_schedules_is_no_pass(tmp_path: Path) -> None:
    world = pinned(second(RIGID, product="HV-77"), "other")
    assert state(world, tmp_path) is PenetrationState.NOT_ENOUGH_KNOWN
    assert codes(world, tmp_path) == {"pin-unknown"}
    assert state(pinned(second(RIGID), "other"), tmp_path) is WITHIN


def test_a_pin_of_nothing_loaded_is_no_pass(tmp_path: Path) -> None:
    assert codes(pinned(RIGID, "nowhere"), tmp_path) == {"pin-unknown"}


def test_a_product_that_nobody_scheduled_is_only_proposed_until_it_is_pinned(tmp_path: Path) -> None:
    world = RIGID.with_row(maker=None, product=None)
    assert codes(world, tmp_path) == {"product-unknown"}
    assert state(pinned(world, "HV-10 RW mortar"), tmp_path) is WITHIN


def test_one_name_at_two_makers_is_no_pass_without_the_maker(tmp_path: Path) -> None:
    world = second(RIGID, maker="Alder Mill (invented)")
    assert state(world, tmp_path) is WITHIN
    assert codes(world.with_row(maker=None), tmp_path) == {"product-unknown"}


# --- one hole for two, and a hole that does not fit its gaps ---------------------------------------------------------


def test_a_shared_hole_is_shared_for_both_whoever_says_it(tmp_path: Path) -> None:
    """Trade handbook, field case 13."""
    other = {**RIGID.row, "reference": "FD-02", "near_damper": "FD-01"}
    world = replace(RIGID, rows=(RIGID.row, {**other, "shared_with": ("FD-01",)}))
    states = {item.state for item in report_of(world, tmp_path).penetrations}
    assert states == {PenetrationState.OUTSIDE_SCOPE}


def test_two_ducts_in_one_modelled_opening_share_it(tmp_path: Path) -> None:
    rows = tuple(
        {**RIGID.row, "reference": name, "near_damper": near, "key": f"place-{number}"}
        for number, (name, near) in enumerate((("FD-01", "FD-02"), ("FD-02", "FD-01")), start=1)
    )
    places = (model_of(), model_of(key="place-2", duct_guids=("0000000000000000000du2",)))
    apart = (places[0], replace(places[1], opening_guid="0000000000000000000ho2"))
    for models, expected in ((places, PenetrationState.OUTSIDE_SCOPE), (apart, WITHIN)):
        report = report_of(replace(RIGID, rows=rows, places=models), tmp_path)
        assert {item.state for item in report.penetrations} == {expected}, report.penetrations[0].findings


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        # gaps of 40 a side from a casing 10 beyond the duct: 700 across, 500 upwards
        ({"finished_width_mm": 900, "framed_width_mm": 900}, "gap-and-opening-unknown"),
        ({"finished_height_mm": 480, "framed_height_mm": 480}, "gap-and-opening-unknown"),
        (
            {"finished_width_mm": None, "finished_height_mm": None, "framed_width_mm": 800},
            "gap-and-opening-unknown",
        ),
        ({"gap_left_mm": 20, "gap_right_mm": 20}, "gap-and-opening-unknown"),
        (
            {
                "finished_width_mm": None,
                "finished_height_mm": None,
                "finished_diameter_mm": 700,
                "framed_width_mm": None,
                "framed_height_mm": None,
            },
            "opening-shape-and-size-unknown",
        ),
    ],
)
def test_gaps_that_the_opening_does_not_leave_are_no_pass(cells: dict[str, Any], code: str, tmp_path: Path) -> None:
    assert code in codes(RIGID.with_row(**cells), tmp_path)


def test_gaps_of_the_schedule_are_held_against_the_modelled_opening(tmp_path: Path) -> None:
    bare = RIGID.with_row(
        key="place-1",
        finished_width_mm=None,
        finished_height_mm=None,
        framed_width_mm=None,
        framed_height_mm=None,
    )
    assert state(replace(bare, places=(model_of(),)), tmp_path) is WITHIN
    wide = model_of(framed=replace(model_of().framed.value, width_mm=1000.0))  # type: ignore[union-attr]
    assert codes(replace(bare, places=(wide,)), tmp_path) == {"gap-and-opening-unknown"}


def test_a_revision_that_came_out_after_the_order_did_not_stand_at_it(tmp_path: Path) -> None:
    late = RIGID.with_evidence(("document", 0, "issued"), date(2026, 12, 1))
    assert "standing-at-order-fails" in codes(late, tmp_path)
    backdated = late.with_evidence(("document", 0, "valid_from"), date(2020, 1, 1))
    assert "standing-at-order-fails" in codes(backdated, tmp_path)
