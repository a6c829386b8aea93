# SPDX-License-Identifier: Apache-2.0
"""Every fact of a job that is within scope, taken away or contradicted: what nobody states is never a pass.

Each world is one penetration in a job of its own, within scope; the readers of sheets and evidence are the real ones.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from brattice.adapters.evidence.schema import DocumentModel, InstallationModel
from brattice.adapters.sheets.schedule_columns import SCHEDULE
from brattice.adapters.sheets.wall_type_columns import WALL_TYPES
from brattice.building.detail_facts import DETAIL_FIELDS
from brattice.building.penetration import Size
from brattice.building.wall_type import Rating
from brattice.building.words import MountingPosition, OpeningShape, Orientation
from brattice.errors import InputError
from brattice.quantities import Mm
from brattice.requirements.requirement import Demand
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
    # tests of their own; remarks say nothing
    elsewhere = {"shared_with", "run_proven", "run_document", "remarks", "joint_a", "joint_b"}
    left = {column.key for column in SCHEDULE.columns} - stated
    assert left == names | aliases | place | round_ones | elsewhere | set(DETAIL_FIELDS)
    walls = {key for world in WORLDS.values() for key in world.walls[0]}
    assert {column.key for column in WALL_TYPES.columns} - walls == set()


def test_what_is_stated_for_orders_and_sheets_is_shown_and_changes_no_answer(tmp_path: Path) -> None:
    plain = only(report_of(RIGID, tmp_path))
    cells = {"weight_kg": 31.5, "fan_in_fire": "stops", "fail_position": "closed", "handing": "bottom",
             "ceiling": "none", "when": "before the ceiling", "grid": "C/4", "lintel": "none", "phase": "Phase 2",
             "finish": "galvanised", "detector_zone": "DZ-1", "detector": "SD-1", "voltage": "24 V",
             "air_l_s": 420}  # fmt: skip
    told = only(report_of(RIGID.with_row(**cells), tmp_path))
    assert (told.state, told.findings, told.queries) == (plain.state, plain.findings, plain.queries)
    shown = {name: (value, origin) for name, value, origin in told.facts}
    place = "schedule.xlsx, sheet 'Schedule', row 2, column"
    assert shown["support in fire: weight"] == ("31.5 kg", f"{place} 'Damper weight [kg]'")
    assert shown["air: design air flow"] == ("420 l/s", f"{place} 'Air flow [l/s]'")
    assert shown["builders' work: framed opening formed when"][0] == "before the ceiling"
    assert len(told.facts) == len(plain.facts) + len(cells)


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
    "casing_beyond_mm": "gap and distances are measured from the casing here, as in the test",
    "sizes.width_mm.least": "a test holds for smaller ones of the same make",
    "sizes.height_mm.least": "a test holds for smaller ones of the same make",
    "construction.shown_in_rigid": "matters in rigid walls alone",
    **dict.fromkeys(
        (
            "fixings",
            "fixings.kind",
            "fixings.size",
            "fixings.along",
            "fixings.most_apart_mm",
            "fixings.most_from_corner_mm",
            "fixings.least_a_side",
            "fixings.rows",
            "fixings.counts",
        ),
        "which fixings and how many is for sheets and orders, which then say to be settled",
    ),
    "seal.parts": "how much each product fills is for quantities alone",
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
    # the maker stands for the whole file; a battery and a shared opening that are not stated were not tested; the
    # fewest ducted sides are the older way to state the ducts
    assert known - stated == {"maker", "notes", "battery", "shared_opening", "ducted_sides"}
    stated = {key for world in WORLDS.values() for key in world.evidence["document"][0]}
    known = {field.alias or key for key, field in DocumentModel.model_fields.items()}
    # ends of validity and an extension can only be stated against a document; voluntary certification stands in for
    # nothing
    assert known - stated == {"valid_from", "valid_to", "withdrawn_on", "third_party", "extended"}


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


def test_an_older_revision_beside_a_newer_one_is_no_pass(tmp_path: Path) -> None:
    paper = dict(RIGID.evidence["document"][0])
    newer = {**paper, "id": "newer", "revision": "Z", "issued": paper["issued"] + timedelta(days=1)}
    both = RIGID.with_evidence(("document",), [paper, newer])
    assert codes(both, tmp_path) == {"document-revision-fails"}
    untold = RIGID.with_evidence(("document",), [paper, {**newer, "revision": "last issue"}])
    assert codes(untold, tmp_path) == {"document-revision-unknown"}
    assert state(untold, tmp_path) is PenetrationState.NOT_ENOUGH_KNOWN


@pytest.mark.parametrize("side", ["a", "b"])
def test_an_open_end_on_one_side_is_no_pass(side: str, tmp_path: Path) -> None:
    """Field case 2: evidence for a ducted damper does not hold where one side has no duct."""
    open_end = RIGID.with_row(**{f"joint_{side}": "no duct"})
    assert codes(open_end, tmp_path) == {"ducted-sides-fails"}
    ducts = ("installation", 0, "ducts")
    assert state(open_end.with_evidence(ducts, ["one side"]), tmp_path) is WITHIN
    assert codes(open_end.with_evidence(ducts, ["neither side", "both sides"]), tmp_path) == {"ducted-sides-fails"}
    assert codes(open_end.with_evidence(ducts, None), tmp_path) == {"ducted-sides-unknown"}
    only_side = open_end.with_row(joint=None)
    asked = only(report_of(only_side, tmp_path)).queries
    other = {"a": "b", "b": "a"}[side]
    assert [query.missing.key for query in asked] == [f"penetration/P-0001/joint-{other}"]
    older = RIGID.with_evidence(ducts, None)
    for fewest, expected in ((2, WITHIN), (1, WITHIN), (0, WITHIN)):
        assert state(older.with_evidence(("installation", 0, "ducted_sides"), fewest), tmp_path) is expected


# --- a wrong value --------------------------------------------------------------------------------------------------

WRONG_CELLS: dict[str, Any] = {
    "orientation": "floor",
    "role": "cavity barrier",
    "wall_type_code": "W2",
    "thickness_mm": 90,
    "rating": "EI 120",
    "space_a": ("escape route",),
    "space_b": ("sleeping",),
    "system": "commercial kitchen extract",
    "duct_width_mm": 650,
    "duct_height_mm": 350,
    "angle_deg": 15,
    "insulation_through": True,
    "damper_present": False,
    "maker": "Alder Mill (invented)",
    "product": "HV-77",
    "damper_width_mm": 1300,
    "damper_height_mm": 100,
    "class_text": "E 30 (ve i↔o)",
    "actuation": ("smoke detection",),
    "mechanism_deg": 45,
    "access_side": "from above",
    "blade_offset_mm": 60,
    "opening_shape": "round",
    "framed_width_mm": 900,
    "framed_height_mm": 700,
    "finished_width_mm": 900,
    "finished_height_mm": 450,
    "gap_left_mm": 0,
    "gap_right_mm": 150,
    "gap_top_mm": 130,
    "gap_bottom_mm": 5,
    "gaps_from": "duct",
    "position": "on the face",
    "fixing": "fixed to the face",
    "seal_products": ("Another stopper's batt",),
    "seal_depth_mm": 20,
    "seal_faces": 1,
    "deflection_head_above": True,
    "other_services": True,
    "access_door": False,
    "near_damper_mm": 30,
    "near_damper_fill": "batt",
    "near_wall_mm": 10,
    "near_floor_mm": 10,
    "support": "barrier and drop rods",
    "joint": "steel screws",
    "method": "3 fire-resisting ductwork",
}
"""One wrong value a column, wrong in each world."""

HARMLESS_CELLS = {
    "reference": "a name",
    "storey": "asked of only by demands",
    "words": "words for people",
    "formed": "says only whether a fault can still be cured",
    "seal_layers": "fewer than one can't be stated, and more is as tested",
    "near_damper": "who the neighbour is decides nothing; how far it is does",
    "near_damper_from": "tried below",
    "near_damper_to": "tried below",
    "near_wall_from": "tried below",
    "near_floor_from": "tried below",
}


@pytest.mark.parametrize("name", WORLDS)
def test_a_wrong_cell_of_the_schedule_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    wrong = {key: value for key, value in WRONG_CELLS.items() if world.row.get(key) != value}
    if name == "floor":
        wrong["orientation"] = "wall"
        del wrong["near_floor_mm"]  # a floor adjoins no other floor in its own plane
    kept = {key for key, value in wrong.items() if state(world.with_row(**{key: value}), tmp_path) is WITHIN}
    assert kept == set()
    assert set(world.row) - set(wrong) - set(HARMLESS_CELLS) <= {"near_floor_mm"}


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        ({"near_damper_mm": 210, "near_damper_from": "duct", "near_damper_to": "duct"}, "separation-unknown"),
        ({"near_wall_mm": 80, "near_wall_from": "duct"}, "separation-unknown"),
        ({"near_floor_mm": 80, "near_floor_from": "duct"}, "separation-unknown"),
    ],
)
def test_distances_from_the_duct_alone_never_show_far_enough(cells: dict[str, Any], code: str, tmp_path: Path) -> None:
    """Trade handbook row 2.30a; the casing stands out, by how much of the neighbour's nobody says."""
    world = FLEXIBLE.with_evidence(("installation", 0, "casing_beyond_mm"), None).with_row(**cells)
    assert code in codes(world, tmp_path)


WRONG_WALLS: dict[str, Any] = {
    "kind": "panel wall",
    "thickness_mm": 80,
    "density_kg_m3": 300,
    "board_type": "type A",
    "board_thickness_mm": 9.5,
    "board_layers_a": 1,
    "board_layers_b": 1,
    "stud_size_mm": 40,
    "stud_spacing_mm": 900,
    "cavity_fill": "none",
    "opening_framing": "none",
    "lining_mm": 25,
    "rating": "E 30",
}


@pytest.mark.parametrize("name", WORLDS)
def test_a_wrong_cell_of_the_wall_type_is_no_pass(name: str, tmp_path: Path) -> None:
    world = WORLDS[name]
    wrong = {key: value for key, value in WRONG_WALLS.items() if key in world.walls[0]}
    kept = {key for key, value in wrong.items() if state(world.with_wall(**{key: value}), tmp_path) is WITHIN}
    assert kept == set()
    assert set(world.walls[0]) - set(wrong) <= {"code", "revision", "material"}  # material: told by thickness, density


WRONG_EVIDENCE: dict[str, Any] = {
    "installation.product": "HV-77",
    "installation.kind": "smoke control damper",
    "installation.class": "E 30 (ve ho i↔o)",
    "installation.position": "remote",
    "installation.opening_shape": "round",
    "installation.fixing": "fixed to the face",
    "installation.support": "barrier and drop rods",
    "installation.joints": ["slip joint"],
    "installation.ducts": ["one side", "neither side"],
    "document.edition": "2011",
    "installation.access_sides": ["from above"],
    "installation.actuation": ["smoke detection"],
    "installation.mechanism_deg": [45],
    "installation.battery": True,
    "installation.sizes.width_mm": {"least": 200, "most": 500},
    "installation.sizes.height_mm": {"least": 500, "most": 800},
    "installation.construction.kind": "other",
    "installation.construction.least_thickness_mm": 300,
    "installation.seal.products": ["Another stopper's batt"],
    "installation.seal.layers": 3,
    "installation.seal.depth_mm": {"least": 400},
    "installation.seal.gap_mm": {"all": {"least": 45, "most": 50}},
    "installation.seal.gap_from": "frame",
    "installation.separation": [{"to": "wall", "least_mm": 500, "from_surface": "casing"}],
    "document.level": "test report",
    "document.standard": "BS 476-20",
    "document.issued": date(2027, 1, 1),
    "document.valid_to": date(2026, 12, 31),
    "document.withdrawn_on": date(2027, 1, 1),
    "document.marking": [],
    "maker": "Alder Mill (invented)",
}


@pytest.mark.parametrize("name", WORLDS)
def test_a_wrong_key_of_the_evidence_is_no_pass(name: str, tmp_path: Path) -> None:
    kept = set()
    for key, value in WRONG_EVIDENCE.items():
        head, *rest = key.split(".")
        path: tuple[str | int, ...] = (head, 0, *rest) if rest else (head,)
        if state(WORLDS[name].with_evidence(path, value), tmp_path) is WITHIN:
            kept.add(key)
    assert kept == set()


# --- two documents of one product -----------------------------------------------------------------------------------


def test_of_two_documents_the_expired_one_holds_nothing_and_the_other_is_not_spoilt(tmp_path: Path) -> None:
    one = RIGID.evidence["installation"][0]
    first = RIGID.evidence["document"][0]
    expired = {**first, "id": "old", "revision": "A", "valid_to": date(2025, 1, 1)}
    world = RIGID.with_evidence(("document",), [first, expired])
    both = world.with_evidence(("installation",), [{**one, "id": "A old", "document": "old"}, one])
    report = only(report_of(both, tmp_path))
    assert report.state is WITHIN
    assert report.chosen is not None
    assert report.chosen.installation_id == one["id"]
    alone = world.with_evidence(("installation",), [{**one, "document": "old"}])
    assert state(alone, tmp_path) is PenetrationState.OUTSIDE_SCOPE


# --- other rules ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "rules",
    [
        {"jurisdiction": "Wales"},  # trade handbook row 4.50
        {"jurisdiction": "Scotland"},  # trade handbook rows 4.51-4.53
        {"jurisdiction": "england"},
        {"edition": "ADB 2006"},
        {"edition": ""},
        {"on": date(2024, 1, 1)},
        {"purpose": "residential"},
        {"purpose": "mixed"},
    ],
)
@pytest.mark.parametrize("name", WORLDS)
def test_nothing_passes_by_rules_that_are_not_held(name: str, rules: dict[str, Any], tmp_path: Path) -> None:
    world = WORLDS[name]
    under = replace(world, job=replace(world.job, rules=replace(world.job.rules, **rules)))
    assert state(under, tmp_path) is not WITHIN
    run = under.with_row(method="3 fire-resisting ductwork", damper_present=False, maker=None, product=None)
    run = run.with_row(class_text=None, run_proven=True, run_document="Run report 1 (invented)")
    assert state(run, tmp_path) is not PenetrationState.PROTECTED_RUN_PROVEN


def test_a_demand_for_a_place_that_the_job_has_not_is_open(tmp_path: Path) -> None:
    demand = Demand("FS-01 (invented)", "C", storeys=("Levle 1",), wall_types=("W1",), class_text="E 120")
    world = replace(RIGID, job=replace(RIGID.job, rules=replace(RIGID.job.rules, demands=(demand,))))
    report = report_of(world, tmp_path)
    assert [(item.code, item.have) for item in report.job_findings] == [("job-name-fails", "Levle 1")]
    assert report.something_open


# --- model against schedule -----------------------------------------------------------------------------------------

AGAINST: dict[str, Any] = {
    "storey": "Level 2",
    "orientation": Orientation.FLOOR,
    "thickness_mm": 100.0,
    "rating": Rating(120, 120, "EI 120"),
    "rating_unread": "60 or 120",
    "wall_type_code": "W2",
    "size": Size(Mm(400), Mm(600)),
    "angle_deg": 3.0,
    "damper_present": False,
    "position": MountingPosition.REMOTE,
    "opening_shape": OpeningShape.ROUND,
    "framed": Size(Mm(900), Mm(500)),
    "other_services": True,
}


@pytest.mark.parametrize("fact", AGAINST)
def test_a_model_that_contradicts_the_schedule_is_no_pass(fact: str, tmp_path: Path) -> None:
    tied = RIGID.with_row(key="place-1")
    agreed = replace(tied, places=(model_of(),))
    assert state(agreed, tmp_path) is WITHIN
    against = replace(tied, places=(model_of(**{fact: AGAINST[fact]}),))
    assert state(against, tmp_path) is PenetrationState.NOT_ENOUGH_KNOWN


def test_a_place_that_no_row_speaks_of_is_no_pass(tmp_path: Path) -> None:
    elsewhere = model_of(storey="Level 2")  # a row that may be this place is asked after and no pass either
    report = report_of(replace(RIGID, places=(elsewhere,)), tmp_path)
    states = {item.penetration.key: item.state for item in report.penetrations}
    assert states.pop("place-1") is PenetrationState.NOT_ENOUGH_KNOWN
    assert set(states.values()) == {WITHIN}  # the row alone, which states everything
    like = report_of(replace(RIGID, places=(model_of(),)), tmp_path)
    assert {item.state for item in like.penetrations} == {PenetrationState.NOT_ENOUGH_KNOWN}
