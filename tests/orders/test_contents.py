# SPDX-License-Identifier: Apache-2.0
"""What schedules say as pairs: an issue is compared with an older one by them."""

import json
from dataclasses import replace
from typing import Any

import pytest

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.findings import Missing, Party
from brattice.orders import (
    AskedHere,
    builders_work,
    cause_and_effect,
    compare_orders,
    order_schedule,
    overlays,
    submittals,
)
from brattice.orders.contents import builders_pairs, cause_pairs, lines_from, order_pairs, submittal_pairs
from brattice.orders.orders import OrderSchedule
from brattice.orders.too_near import TOO_NEAR_FIELDS, ShiftStanding, TooNearGroup
from brattice.requirements.requirement import RequirementPart
from tests.helpers.details import detail_of, figure
from tests.helpers.judging import requirement
from tests.helpers.ordered import ON, approved, powered, to_order, word
from tests.helpers.penetrations import with_facts


def schedule(*details: Any) -> OrderSchedule:
    return order_schedule({item.id: item for item in details}, [approved()], on=ON)


def kept(orders: OrderSchedule) -> Any:
    """The pairs as a file keeps them."""
    return [(key, text) for key, text in json.loads(json.dumps(order_pairs(orders)))]


def test_an_older_issue_that_was_kept_compares_as_it_did() -> None:
    pair = to_order("P-0004", figures={"quantity": figure("quantity", "Quantity", 2, "", "2")})
    before = schedule(to_order(), to_order("P-0002"), powered("P-0003"), pair, detail_of("missing facts", id="P-0005"))
    assert compare_orders(before, lines_from(kept(before))) == ()
    now = schedule(to_order(figures={"handing": word("handing", "left")}), to_order("P-0002"), to_order("P-0004"))
    assert compare_orders(now, lines_from(kept(before))) == compare_orders(now, before.lines)


def test_a_field_that_an_older_issue_did_not_have_is_a_change() -> None:
    now = schedule(to_order())
    older = [pair for pair in order_pairs(now) if not pair[0].endswith("/finish")]
    ((change),) = compare_orders(now, lines_from(older))
    assert (change.what, change.before, change.after) == ("Finish", "", "galvanised")


def test_pairs_that_are_no_lines_are_passed_over() -> None:
    assert lines_from([("held/P-1/1", "x"), ("ordered", ""), ("ordered/P-1", "x"), ("", "")]) == ()
    (line,) = lines_from([("ordered/P/1/quantity", "many")])
    assert (line.penetrations, line.quantity) == (("P/1",), 0)


def test_a_shift_that_changed_revises_builders_work() -> None:
    def pairs(*shifts: str) -> dict[str, str]:
        group = TooNearGroup(("P-0001", "P-0002"), "Level 1", "W1", ("Too near.",), ShiftStanding.SMALLEST, shifts)
        found = builders_pairs(builders_work({"P-0001": to_order()}, too_near=(group,)))
        assert len({key for key, _ in found}) == len(found)
        return dict(found)

    before, now = pairs("P-0002: 20 mm up"), pairs("P-0002: 30 mm up")
    assert {key for key in now if now[key] != before[key]} == {"too-near/P-0001+P-0002/shift"}
    without = dict(builders_pairs(builders_work({"P-0001": to_order()})))
    assert {key.rpartition("/")[2] for key in set(now) - set(without)} == {key for key, _ in TOO_NEAR_FIELDS}


def test_keys_stand_once_and_everything_that_a_sheet_says_is_in_them() -> None:
    details = {item.id: item for item in (powered(), to_order("P-0002"), detail_of("missing facts", id="P-0003"))}
    work, causes = builders_work(details), cause_and_effect(details)
    answer = submittals(details, {}, {}, [approved()], on=ON)
    for pairs, rows in (
        (builders_pairs(work), [(row.id, row.texts) for row in work.rows]),
        (cause_pairs(causes), [(row.id, row.texts) for row in causes.rows]),
    ):
        assert len({key for key, _ in pairs}) == len(pairs)
        assert {(f"{name}/{key}", text) for name, texts in rows for key, text in texts.items()} <= set(pairs)
    (item,) = answer.items
    said = dict(submittal_pairs(item))
    assert len(said) == len(submittal_pairs(item))
    assert said["status"] == item.status_text
    assert said["installation/HV-10-FW-1/certificate of constancy of performance"] == "C-1"
    assert [text for key, text in said.items() if key.startswith("unknown/")]
    assert {text for key, text in said.items() if key.startswith("unknown/")} == {"P-0003"}


@pytest.mark.parametrize(("state", "head"), [("outside scope", "outside"), ("within scope if", "change")])
def test_what_comes_in_between_changes_no_other_line(state: str, head: str) -> None:
    """A third penetration with lines of its own between those of two others adds lines and touches none."""

    def said(*names: str, state: str) -> dict[str, str]:
        details, asked = {}, {}
        for name in names:
            note = Missing(f"penetration/{name}/slab", f"What slab {name[-1]} is: {name}", Party.ARCHITECT)
            details[name] = detail_of(id=name, class_asked=f"EI {name[-1]}0", to_settle=(note,), changes=(name,))
            parts = (RequirementPart("access", f"reached from side {name[-1]}"),)
            asked[name] = AskedHere(requirement(parts=parts), state, f"Why of {name}.")
        (item,) = submittals(details, asked, {}, [approved()], on=ON).items
        return dict(submittal_pairs(item))

    before = said("P-0001", "P-0003", state=state)
    now = said("P-0001", "P-0002", "P-0003", state=state)
    heads = [key.partition("/")[0] for key in now if key not in before]
    assert heads == ["compliance", "asked", head, "unknown"]
    assert {text for key, text in now.items() if key not in before} >= {"P-0002"}
    of_more = {key for key in before if now[key] != before[key]}
    assert of_more == {"installation/HV-10-FW-1"}, "the installation that all three use names them all"


def test_a_reason_that_is_new_changes_no_other_reason_and_a_supply_no_other_point() -> None:
    """Reasons of held dampers and points are named by what they are."""
    asks = {key: figure(key, key, None, "", ask=Party.ARCHITECT) for key in ("voltage", "finish")}
    one, two = schedule(to_order(figures={"voltage": asks["voltage"]})), schedule(to_order(figures=asks))
    before, now = dict(order_pairs(one)), dict(order_pairs(two))
    assert before.items() <= now.items()
    assert len(now) == len(before) + 1
    quiet, loud = (dict(cause_pairs(cause_and_effect({"P-0001": item}))) for item in (to_order(), powered()))
    points = [{key for key in pairs if "/point/" in key} for pairs in (quiet, loud)]
    assert points[0] <= points[1]
    assert len(points[1]) > len(points[0])


def test_an_opening_that_moves_in_plan_is_another_schedule() -> None:
    """Grid and height may stay as they are while the models move an opening along its wall: the overlay changes."""
    wall = PlanBarrier("wall-1", "wall-1", "EI 60", 60, False, (((5.0, 7.9), (20.0, 7.9), (20.0, 8.1), (5.0, 8.1)),))

    def said(x_m: float, storey: str = "Level 1") -> dict[str, str]:
        detail = detail_of()
        place = with_facts(detail.penetration, location__centre_m=(x_m, 8.0, 6.0))
        details = {"P-0001": replace(detail, penetration=place)}
        work = builders_work(details)
        return dict(builders_pairs(work, overlays(work.rows, details, [StoreyPlan(storey, 3.0, (wall,), (), ())])))

    first, noise, moved = said(12.0), said(12.0000001), said(12.4)
    assert first == noise
    assert {key for key in first if first[key] != moved[key]} == {"P-0001/in-plan"}
    assert first["P-0001/in-plan"].startswith("(12000, 8000) ")
    assert said(12.0, "Level 2")["P-0001/in-plan"] == "No plan shows its wall there."


def test_a_name_that_people_gave_is_part_of_what_a_schedule_says() -> None:
    detail = to_order()
    other = replace(detail, penetration=with_facts(detail.penetration, aliases=(("schedule", "FD-99"),)))
    rows = [
        (builders_pairs(builders_work({"P-0001": item})), cause_pairs(cause_and_effect({"P-0001": item})))
        for item in (detail, other)
    ]
    for before, now in zip(*rows, strict=True):
        assert dict(now)["P-0001/reference"] == "FD-99"
        assert before != now
