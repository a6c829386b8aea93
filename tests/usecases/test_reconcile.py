# SPDX-License-Identifier: Apache-2.0
"""Schedule against models and dampers: everything once, each kind of difference, and nothing joined in silence.

What has to be found follows from the rows and places that each test writes down.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from brattice.building.penetration import Size
from brattice.building.schedule import ScheduleRow
from brattice.building.wall_type import Rating
from brattice.building.words import Orientation, ProtectionMethod
from brattice.findings import Known
from brattice.quantities import Mm
from brattice.requirements.requirement import Rules
from brattice.usecases.check import Material
from brattice.usecases.identify import identify
from brattice.usecases.job import Job
from brattice.usecases.merge import ModelFacts
from brattice.usecases.modelled_dampers import ModelledDamper
from brattice.usecases.reconcile import reconcile_models
from brattice.usecases.reconciled import About, By, DamperStanding, Difference, Group, Pair, Reconciliation
from tests.helpers.judging import STEPS
from tests.helpers.sources import MODEL, place, row

JOB = Job("Invented", Rules("England", "ADB 2019 with amendments to 2026", date(2026, 11, 2), "non-residential"))
SIZE = Size(Mm(600), Mm(400))
TURNED = Size(Mm(400), Mm(600))


def reconciled(
    rows: Sequence[ScheduleRow], places: Sequence[ModelFacts], dampers: Sequence[ModelledDamper] = ()
) -> Reconciliation:
    identified = identify(rows, places, (), match_within_mm=250)
    return reconcile_models(Material(JOB, identified, {}, (), dampers=tuple(dampers)), STEPS)


def damped(key: str = "k-1", guid: str = "damper-1", **changes: Any) -> ModelFacts:
    """A place with a damper modelled in it."""
    given = {"damper_guids": (guid,), "damper_present": Known(True, MODEL), **changes}
    return place(key, **given)


def only_pair(result: Reconciliation) -> Pair:
    (pair,) = result.pairs
    return pair


def only_difference(rows: ScheduleRow, there: ModelFacts, *dampers: ModelledDamper) -> Difference:
    (difference,) = only_pair(reconciled([rows], [there], dampers)).differences
    return difference


def test_a_row_and_its_place_that_agree_differ_in_nothing() -> None:
    result = reconciled([row(damper_guids=("damper-1",), storey="Level 1", duct_size=SIZE)], [damped()])
    pair = only_pair(result)
    assert (pair.one.name, pair.other.name, pair.by, pair.differences) == ("FD-01", "P-0001", By.GLOBAL_ID, ())
    assert [(item.guid, item.standing, item.rows, item.at) for item in result.dampers] == [
        ("damper-1", DamperStanding.WITH_ROW, ("FD-01",), ("P-0001",))
    ]
    assert not result.something_differs


@pytest.mark.parametrize(
    ("changes", "by"),
    [
        ({"key": "k-1"}, By.KEY),
        ({"permanent_id": "P-0001"}, By.PERMANENT_ID),
        ({"duct_guids": ("duct-1",)}, By.GLOBAL_ID),
        ({"aliases": (("tag", "fd 7"),)}, By.ALIAS),
        ({"centre_m": (1.0, 2.0, 3.9)}, By.PLACE),
        ({"storey": "Level 1", "duct_size": SIZE, "orientation": Orientation.WALL}, By.LIKENESS),
    ],
)
def test_what_a_pair_was_matched_by_is_said_with_its_score(changes: dict[str, Any], by: By) -> None:
    result = reconciled([row(**changes)], [damped()], [ModelledDamper("damper-1", name="FD 7")])
    pair = only_pair(result)
    assert pair.by is by
    assert 0 <= pair.score <= 1
    assert pair.how
    assert (result.proposed == (pair,)) is (by is By.LIKENESS)


def test_the_score_is_the_share_by_weight_of_what_both_say_alike() -> None:
    """By hand from the weights: size 3 and storey 2 and orientation 1 agree; position 4 and thickness 1 are stated by
    the models alone: 6 of 11."""
    changes: dict[str, Any] = {"storey": "Level 1", "duct_size": SIZE, "orientation": Orientation.WALL}
    pair = only_pair(reconciled([row(**changes)], [damped()]))
    assert pair.score == pytest.approx(6 / 11, abs=0.0005)
    assert sorted(item.fact for item in pair.agreeing) == ["orientation", "size", "storey"]


def test_a_proposal_is_always_something_to_look_at() -> None:
    result = reconciled([row(storey="Level 1", duct_size=SIZE)], [damped()])
    assert result.matched == ()
    assert result.something_differs
    assert [item.standing for item in result.dampers] == [DamperStanding.PROPOSED]


DIFFERENT: list[tuple[dict[str, Any], dict[str, Any], tuple[About, str, str, str]]] = [
    ({"duct_size": Size(Mm(500), Mm(400))}, {}, (About.SIZE, "duct_size", "500 × 400", "600 × 400")),
    ({"duct_size": TURNED}, {}, (About.SIZE, "duct_size", "400 × 600", "600 × 400")),
    ({"damper_size": TURNED}, {}, (About.SIZE, "damper_size", "400 × 600", "600 × 400")),
    ({"storey": "Level 2"}, {}, (About.LEVEL, "storey", "Level 2", "Level 1")),
    ({"orientation": Orientation.FLOOR}, {}, (About.ORIENTATION, "orientation", "floor", "wall")),
    ({"thickness_mm": Mm(100)}, {}, (About.WALL, "thickness_mm", "100 mm", "150 mm")),
    ({"wall_type_code": "W1"}, {"wall_type_code": Known("W2", MODEL)}, (About.WALL, "wall_type_code", "W1", "W2")),
    ({"rating": Rating(120, 120, "EI 120")}, {"rating": Known(Rating(60, 60, "EI 60"), MODEL)},
     (About.WALL, "rating", "EI 120", "EI 60")),
    ({"rating": Rating(60, 60, "EI 60")}, {"rating_unread": Known("about 1 h", MODEL)},
     (About.WALL, "rating", "EI 60", "about 1 h")),
    ({"centre_m": (1.0, 2.0, 4.1)}, {}, (About.PLACE, "centre_m", "x 1, y 2, z 4.1 m", "x 1, y 2, z 3 m")),
    ({"damper_present": False}, {}, (About.DAMPER, "damper_present", "none scheduled", "damper-1")),
    ({"method": ProtectionMethod.FIRE_RESISTING_DUCT}, {},
     (About.DAMPER, "damper_present", "none scheduled", "damper-1")),
    ({}, {"damper_guids": ()}, (About.DAMPER, "damper_present", "scheduled", "none modelled here")),
]  # fmt: skip


@pytest.mark.parametrize(("of_row", "of_place", "expected"), DIFFERENT)
def test_each_kind_of_difference_is_named(
    of_row: dict[str, Any], of_place: dict[str, Any], expected: tuple[About, str, str, str]
) -> None:
    found = only_difference(row(key="k-1", **of_row), damped(**of_place))
    assert (found.about, found.field, found.one, found.other) == expected


@pytest.mark.parametrize(
    ("of_row", "of_place"),
    [
        ({"duct_size": Size(Mm(601), Mm(400))}, {}),  # at the limit of what sheets round
        ({"storey": "level 1"}, {}),
        ({"centre_m": (1.0, 2.0, 4.0)}, {}),  # a metre, no more
        ({"rating": Rating(60, 60, "-/60/60")}, {"rating": Known(Rating(60, 60, "EI 60"), MODEL)}),
        ({"wall_type_code": "W1", "class_text": "EI 60 S"}, {}),  # stated by one side alone
    ],
)
def test_what_says_the_same_or_is_stated_once_is_no_difference(
    of_row: dict[str, Any], of_place: dict[str, Any]
) -> None:
    assert only_pair(reconciled([row(key="k-1", **of_row)], [damped(**of_place)])).differences == ()


def test_exchanged_width_and_height_are_named() -> None:
    assert "exchanged" in only_difference(row(key="k-1", duct_size=TURNED), damped()).note
    assert only_difference(row(key="k-1", duct_size=Size(Mm(400), Mm(610))), damped()).note == ""
    square = Size(Mm(400), Mm(400))
    assert only_difference(row(key="k-1", duct_size=square), damped()).note == ""


def test_two_names_that_may_be_of_one_level_are_a_doubt() -> None:
    found = only_difference(row(key="k-1", storey="First floor west"), damped())
    assert (found.about, found.is_doubt) == (About.LEVEL, True)


def test_size_and_class_of_the_damper_modelled_are_compared_with_the_rows_own() -> None:
    modelled = ModelledDamper("damper-1", size=TURNED, class_text="EI 60 S")
    the_row = row(key="k-1", duct_size=SIZE, damper_size=SIZE, class_text="EI 120 S")
    differences = only_pair(reconciled([the_row], [damped()], [modelled])).differences
    assert [(item.about, item.one, item.other) for item in differences] == [
        (About.SIZE, "600 × 400", "400 × 600"),
        (About.CLASS, "EI 120 S", "EI 60 S"),
    ]
    same = ModelledDamper("damper-1", size=SIZE, class_text="EI120S")
    assert only_pair(reconciled([the_row], [damped()], [same])).differences == ()


def test_a_damper_that_is_none_against_fire_is_a_difference() -> None:
    found = only_difference(row(key="k-1"), damped(), ModelledDamper("damper-1", predefined="CONTROLDAMPER"))
    assert (found.about, found.other) == (About.DAMPER, "CONTROLDAMPER")


def test_a_damper_in_a_wall_that_is_not_the_rows() -> None:
    """The row names the damper and wall-2; the damper stands in wall-1, where nobody would order one."""
    places = [damped("k-1"), place("k-2", barrier_guids=("wall-2",), duct_guids=("duct-2",), storey=None)]
    result = reconciled([row(damper_guids=("damper-1",), barrier_guids=("wall-2",))], places)
    pair = only_pair(result)
    (difference,) = pair.differences
    assert (difference.about, difference.one, difference.other) == (About.WALL, "wall-2", "wall-1")
    assert [item.standing for item in result.dampers] == [DamperStanding.OTHER_WALL]
    assert [item.entry.wall for item in result.only_other] == ["wall-2"]


def test_a_row_whose_ids_mean_two_places_is_matched_with_neither_and_both_are_named() -> None:
    places = [damped("k-1"), place("k-2", duct_guids=("duct-2",))]
    result = reconciled([row(key="k-2", damper_guids=("damper-1",))], places)
    assert result.pairs == ()
    (alone,) = result.only_one
    assert alone.group is Group.NOT_TOLD_APART
    assert len(result.only_other) == 2
    assert all(item.entry.name in alone.why for item in result.only_other)
    assert {item.group for item in result.only_other} == {Group.NOT_TOLD_APART}
    assert [item.standing for item in result.dampers] == [DamperStanding.OTHER_WALL]


def test_two_rows_that_name_one_damper_are_left_open() -> None:
    result = reconciled(
        [row("FD-01", damper_guids=("damper-1",)), row("FD-02", damper_guids=("damper-1",))], [damped()]
    )
    assert result.pairs == ()
    assert [item.group for item in result.only_one] == [Group.NOT_TOLD_APART] * 2
    assert all("FD-01, FD-02" in item.why for item in (*result.only_one, *result.only_other))


def test_places_that_a_row_is_equally_like_are_named_and_not_matched() -> None:
    places = [damped("k-1"), damped("k-2", "damper-2", duct_guids=("duct-2",), centre_m=(9.0, 2.0, 3.0))]
    result = reconciled([row(storey="Level 1", duct_size=SIZE)], places)
    assert result.pairs == ()
    (alone,) = result.only_one
    assert "equally like P-0001, P-0002" in alone.why
    assert all("most like FD-01" in item.why for item in result.only_other)


@pytest.mark.parametrize(
    ("damper", "standing"),
    [
        (ModelledDamper("lost"), DamperStanding.ALONE),
        (ModelledDamper("lost", predefined="FIREDAMPER"), DamperStanding.ALONE),
        (ModelledDamper("lost", predefined="USERDEFINED"), DamperStanding.ALONE),
        (ModelledDamper("lost", predefined="BALANCINGDAMPER"), DamperStanding.OTHER_KIND),
        (ModelledDamper("named", predefined="BALANCINGDAMPER"), DamperStanding.ALONE_WITH_ROW),
        (ModelledDamper("lost", name="FD-01"), DamperStanding.ALONE_WITH_ROW),
    ],
)
def test_a_damper_at_no_penetration(damper: ModelledDamper, standing: DamperStanding) -> None:
    result = reconciled([row(damper_guids=("named",))], [], [damper])
    assert [item.standing for item in result.dampers] == [standing]
    (alone,) = result.only_one
    assert alone.group is Group.NO_PLACE
    assert ("stands at no penetration" in alone.why) is (damper.guid == "named")


@pytest.mark.parametrize(
    ("changes", "group", "differs"),
    [
        ({"damper_guids": ("damper-1",)}, Group.WITH_DAMPER, True),
        ({"rating": Known(Rating(60, 60, "EI 60"), MODEL)}, Group.RATED, True),
        ({"rating_unread": Known("1 h?", MODEL)}, Group.RATED, True),
        ({}, Group.RATING_NOT_STATED, True),  # not known is no reason to pass
        ({"rating": Known(Rating(0, 0, "unrated"), MODEL)}, Group.STATED_UNRATED, False),
        ({"rating": Known(Rating(0, 0, "unrated"), MODEL), "damper_guids": ("d",)}, Group.WITH_DAMPER, True),
    ],
)
def test_places_without_a_row_stand_in_groups(changes: dict[str, Any], group: Group, differs: bool) -> None:
    result = reconciled([], [place(**changes)])
    assert [item.group for item in result.only_other] == [group]
    assert result.something_differs is differs


def test_a_row_that_says_no_model_shows_it_is_like_nothing_and_no_difference() -> None:
    unrated = place(rating=Known(Rating(0, 0, "unrated"), MODEL))
    result = reconciled([row(key="schedule:FD-01", storey="Level 1", duct_size=SIZE)], [unrated])
    assert [item.group for item in result.only_one] == [Group.STATED_NOT_MODELLED]
    assert not result.something_differs


def a_mess(seed: int) -> tuple[list[ScheduleRow], list[ModelFacts], list[ModelledDamper]]:
    """Rows and places of which many name, share or resemble each other."""
    seeded = random.Random(seed)
    sizes = [SIZE, TURNED, Size(Mm(200))]
    rows = []
    for number in range(25):
        changes: dict[str, Any] = {
            "storey": seeded.choice(["Level 1", "L2", "roof"]),
            "duct_size": seeded.choice(sizes),
        }
        at = seeded.randrange(30)
        extra: list[dict[str, Any]] = [
            {}, {}, {"key": f"k-{at:02}"}, {"damper_guids": (f"damper-{at:02}",)}, {"permanent_id": f"P-{at:04}"},
            {"duct_guids": (f"duct-{at:02}",), "barrier_guids": (f"wall-{at % 7}",)},
            {"centre_m": (at * 2.0, 0.0, 0.0)},
            {"key": f"schedule:FD-{number:02}"},
        ]  # fmt: skip
        rows.append(row(f"FD-{number:02}", **changes, **seeded.choice(extra)))
    places = []
    for number in range(25):
        guids = (f"damper-{number:02}",) if seeded.random() < 0.6 else ()
        places.append(
            place(
                f"k-{number:02}",
                storey=Known(seeded.choice(["Level 1", "Level 2"]), MODEL),
                size=Known(seeded.choice(sizes), MODEL),
                centre_m=(number * 2.0, seeded.choice([0.0, 0.6, 3.0]), 0.0),
                barrier_guids=(f"wall-{number % 5}",),
                duct_guids=(f"duct-{number:02}",),
                damper_guids=guids,
            )
        )
    names = ["", "FD-03", "FD-04", "FD-04"]
    return rows, places, [ModelledDamper(f"damper-{at:02}", name=seeded.choice(names)) for at in range(28)]


@pytest.mark.parametrize("seed", range(12))
def test_law_everything_is_accounted_for_exactly_once(seed: int) -> None:
    rows, places, dampers = a_mess(seed)
    result = reconciled(rows, places, dampers)
    ones = [pair.one.name for pair in result.pairs] + [item.entry.name for item in result.only_one]
    assert Counter(ones) == Counter(item.reference for item in rows)
    others = [pair.other.name for pair in result.pairs] + [item.entry.name for item in result.only_other]
    ids = identify(rows, places, (), match_within_mm=250).ledger.ids
    assert Counter(others) == Counter(ids[item.key] for item in places)
    assert Counter(item.guid for item in result.dampers) == Counter(item.guid for item in dampers)
    assert {pair.by for pair in result.matched} & {By.LIKENESS} == set()
    assert result.pairs


def test_the_mess_of_the_laws_holds_every_way_of_matching() -> None:
    found = {pair.by for seed in range(12) for pair in reconciled(*a_mess(seed)).pairs}
    assert found >= {By.KEY, By.PERMANENT_ID, By.GLOBAL_ID, By.ALIAS, By.PLACE, By.LIKENESS}


@pytest.mark.parametrize("seed", range(4))
def test_the_order_of_what_is_read_changes_nothing(seed: int) -> None:
    rows, places, dampers = a_mess(seed)
    expected = reconciled(rows, places, dampers)
    for items in (rows, places, dampers):
        random.Random(seed).shuffle(items)
    assert reconciled(rows, places, dampers) == expected


def test_what_a_check_ties_is_matched_with_the_same_place() -> None:
    for seed in range(6):
        rows, places, dampers = a_mess(seed)
        identified = identify(rows, places, (), match_within_mm=250)
        tied = {
            (item.row.reference, identified.ledger.ids[item.key])
            for item in identified.tied
            if item.row is not None and item.place is not None
        }
        result = reconciled(rows, places, dampers)
        assert tied <= {(pair.one.name, pair.other.name) for pair in result.matched}


def test_nothing_of_the_material_is_changed() -> None:
    rows, places, dampers = a_mess(1)
    material = Material(JOB, identify(rows, places, (), match_within_mm=250), {}, (), dampers=tuple(dampers))
    before = replace(material)
    reconcile_models(material, STEPS)
    assert material == before
