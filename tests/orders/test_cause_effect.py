# SPDX-License-Identifier: Apache-2.0
"""Cause and effect: rows and points counted by hand. Which trade provides a point is common practice; that closing
under flow depends on the fan is trade handbook row 8.11."""

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.words import Actuation
from brattice.details import InstallationDetail, Standing
from brattice.findings import Party, Verdict
from brattice.orders import CauseEffect, cause_and_effect
from tests.helpers.details import detail_of, figure
from tests.helpers.ordered import powered, to_order, word
from tests.helpers.penetrations import with_facts, without

BOTH = frozenset({Actuation.THERMAL, Actuation.SMOKE_DETECTION})


def smoke(detail: InstallationDetail, actuation: Any = BOTH) -> InstallationDetail:
    return replace(detail, penetration=with_facts(detail.penetration, damper__actuation=actuation))


def made(*details: InstallationDetail) -> CauseEffect:
    return cause_and_effect({item.id: item for item in details})


def test_a_powered_damper() -> None:
    answer = made(smoke(powered()))
    (row,) = answer.rows
    assert row.texts == {
        "place": "Level 1, grid B/3",
        "zone": "L1-03",
        "detector": "SD-14",
        "actuation": "smoke detection and thermal",
        "effect": "closes",
        "fail-position": "closed",
        "fan": "stops",
        "voltage": "24 V AC/DC",
        "end-switches": "yes",
        "panel-address": "L1/023",
    }
    assert row.to_settle == ()
    assert [(str(point.trade), point.way, point.signal, point.count_text) for point in answer.points] == [
        ("fire alarm", "output", "close, detector zone L1-03, detector SD-14", "1"),
        ("controls", "input", "feedback open", "1"),
        ("controls", "input", "feedback closed", "1"),
        ("electrical", "supply", "power, 24 V AC/DC", "1"),
    ]


def test_a_damper_that_heat_alone_closes_needs_no_point() -> None:
    gone = dict.fromkeys(("detector-zone", "detector", "panel-address", "fail-position"))
    answer = made(to_order(figures=gone))
    (row,) = answer.rows
    keys = ("zone", "detector", "panel-address", "fail-position")
    assert [row.texts[key] for key in keys] == ["none: closes by heat alone"] * 4
    assert (row.texts["fan"], answer.points, row.to_settle) == ("stops", (), ())


def test_what_is_missing_stands_as_to_be_settled_and_counts_in_no_total() -> None:
    gone = {
        "detector-zone": None,
        "voltage": figure("voltage", "Voltage", None, "", ask=Party.SERVICES_DESIGNER),
        "end-switches": None,
        "fan-in-fire": None,
    }
    answer = made(smoke(powered(figures=gone)), smoke(powered("P-0002")))
    first = answer.rows[0]
    for key in ("zone", "voltage", "end-switches", "fan"):
        assert first.texts[key] == "to be settled"
    assert first.to_settle == (
        "The detector zone that closes it: P-0001 (ask the fire engineer)",
        "Whether the fan stops or runs in a fire: P-0001 (ask the fire engineer)",
        "Voltage: P-0001 (ask the services designer)",
        "Whether the damper has end switches: P-0001 (ask the services designer)",
    )
    assert [(item.signal, item.count_text) for item in answer.points if item.id == "P-0001"] == [
        ("close", "to be settled"),
        ("feedback open", "to be settled"),
        ("feedback closed", "to be settled"),
        ("power", "to be settled"),
    ]
    assert [(str(item.trade), item.signal, item.count, item.to_be_settled) for item in answer.totals] == [
        ("controls", "feedback closed", 1, 1),
        ("controls", "feedback open", 1, 1),
        ("electrical", "power", 1, 1),
        ("fire alarm", "close", 1, 1),
    ]


def test_an_unknown_detector_is_asked_and_leaves_the_output_that_closes_the_damper() -> None:
    answer = made(smoke(powered(figures={"detector": None})))
    (row,) = answer.rows
    assert row.texts["detector"] == "to be settled"
    assert row.to_settle == ("The detector that closes it, by its mark or address: P-0001 (ask the services designer)",)
    close = answer.points[0]
    assert (close.signal, close.count) == ("close, detector zone L1-03, detector to be settled", 1)


def test_how_it_closes_is_asked_where_nobody_says() -> None:
    detail = to_order(figures={"actuation": None})
    answer = made(replace(detail, penetration=without(detail.penetration, "damper__actuation")))
    (row,) = answer.rows
    assert (row.texts["actuation"], row.texts["effect"]) == ("to be settled", "to be settled")
    assert row.to_settle[0] == "What makes the damper close: P-0001 (ask the services designer)"
    assert [(item.signal, item.count, item.why) for item in answer.points] == [
        ("close", None, "What makes the damper close is not known")
    ]


def test_a_position_that_the_actuator_does_not_take_is_no_answer() -> None:
    wrong = replace(word("fail-position", "closed"), verdict=Verdict.FAIL, limit="the actuator: open", note="Not so.")
    (row,) = made(smoke(powered(figures={"fail-position": wrong}))).rows
    assert row.texts["fail-position"] == "to be settled"
    assert row.to_settle == ("Fail position: closed, the actuator: open does not hold. Not so.",)


def test_a_fan_that_runs_is_said() -> None:
    (row,) = made(smoke(powered(figures={"fan-in-fire": word("fan-in-fire", "runs")}))).rows
    assert row.texts["fan"] == "runs"


def test_two_dampers_in_one_hole_have_two_of_each() -> None:
    pair = {"quantity": figure("quantity", "Quantity", 2, "", "2")}
    assert {item.count for item in made(smoke(powered(figures=pair))).points} == {2}


@pytest.mark.parametrize("count", [None, 0.0, 2.5])
def test_points_of_a_count_that_is_no_count_are_to_be_settled(count: float | None) -> None:
    figures = {"quantity": None if count is None else figure("quantity", "Quantity", count, "")}
    answer = made(smoke(powered(figures=figures)))
    assert len(answer.points) == 4
    assert {(item.count_text, item.why) for item in answer.points} == {
        ("to be settled", "How many dampers there are is not known")
    }


def test_what_may_be_needed_is_to_be_settled_and_never_said_not_to_be() -> None:
    """Only a damper that is known to close by heat alone needs no zone; one of which nobody knows may need it."""
    figures = dict.fromkeys(("detector-zone", "detector", "actuation"))
    detail = to_order(figures=figures)
    unsaid = replace(detail, penetration=without(detail.penetration, "damper__actuation"))
    (row,) = made(unsaid).rows
    assert [row.texts[key] for key in ("zone", "detector")] == ["to be settled"] * 2
    (heat,) = made(detail).rows
    assert [heat.texts[key] for key in ("zone", "detector")] == ["none: closes by heat alone"] * 2


def test_no_damper_no_row() -> None:
    detail = detail_of("not drawn")
    answer = made(replace(detail, penetration=with_facts(detail.penetration, damper__present=False)))
    assert (answer.rows, answer.points, answer.without_damper) == ((), (), ("P-0001",))
    needless = cause_and_effect({"P-0001": powered()}, without={"P-0001"})
    assert (needless.rows, needless.points, needless.without_damper) == ((), (), ("P-0001",))


def test_a_damper_that_can_not_be_drawn_yet_still_has_its_row() -> None:
    answer = made(smoke(powered(standing=Standing.NOT_DRAWN, why="No size.")))
    assert [row.id for row in answer.rows] == ["P-0001"]
    assert len(answer.points) == 4


def test_rows_stand_in_the_order_of_their_ids() -> None:
    assert [row.id for row in made(to_order("P-10"), to_order("P-9")).rows] == ["P-9", "P-10"]
