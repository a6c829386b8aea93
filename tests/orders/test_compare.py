# SPDX-License-Identifier: Apache-2.0
"""What changed between two issues of an order; the changes are planted by hand."""

from typing import Any

from brattice.orders import ChangeKind, compare_orders, mark_of
from brattice.orders.orders import OrderSchedule, order_schedule
from tests.helpers.details import figure
from tests.helpers.ordered import ON, approved, to_order, word


def schedule(*details: Any) -> OrderSchedule:
    return order_schedule({item.id: item for item in details}, [approved()], on=ON)


def told(now: OrderSchedule, before: OrderSchedule) -> list[tuple[str, tuple[str, ...], str, str, str]]:
    return [
        (str(item.kind), item.penetrations, item.what, item.before, item.after)
        for item in compare_orders(now, before.lines)
    ]


def test_nothing_changed() -> None:
    now = schedule(to_order(), to_order("P-0002"))
    assert told(now, schedule(to_order("P-0002"), to_order())) == []
    assert mark_of(now.lines[0], ()) == ""


def test_a_line_that_only_lost_or_won_a_neighbour_did_not_change() -> None:
    before = schedule(to_order(), to_order("P-0002"))
    now = schedule(to_order())
    changes = compare_orders(now, before.lines)
    assert [(item.kind, item.penetrations) for item in changes] == [(ChangeKind.REMOVED, ("P-0002",))]
    assert mark_of(now.lines[0], changes) == ""


def test_added_changed_and_removed() -> None:
    wide = {"damper-width": figure("damper-width", "Damper width", 650, "mm")}
    left = {"handing": word("handing", "left")}
    before = schedule(to_order(), to_order("P-0002"), to_order("P-0003"), to_order("P-0005"))
    now = schedule(to_order(figures=wide), to_order("P-0002", figures=left), to_order("P-0004"), to_order("P-0005"))
    damper = "Harrow & Vale, HV-10, 600 × 400 mm, EI 60 (ve i↔o) S"
    assert told(now, before) == [
        ("added", ("P-0004",), "Damper", "", damper),
        ("changed", ("P-0002",), "Side of the mechanism", "right", "left"),
        ("changed", ("P-0001",), "Size, width × height", "600 × 400 mm", "650 × 400 mm"),
        ("removed", ("P-0003",), "Damper", damper, "no such penetration any more"),
    ]
    changes = compare_orders(now, before.lines)
    marks = {line.penetrations: mark_of(line, changes) for line in now.lines}
    assert marks == {("P-0001",): "changed", ("P-0002",): "changed", ("P-0004", "P-0005"): "added"}


def test_the_same_change_at_several_places_is_one() -> None:
    def both(finish: str) -> OrderSchedule:
        return schedule(*(to_order(name, figures={"finish": word("finish", finish)}) for name in ("P-2", "P-10")))

    assert told(both("stainless steel"), both("galvanised")) == [
        ("changed", ("P-10", "P-2"), "Finish", "galvanised", "stainless steel")
    ]


def test_a_damper_that_is_held_now_is_taken_out_of_the_order_and_why() -> None:
    ((kind, ids, _, _, why),) = told(schedule(to_order(figures={"handing": None})), schedule(to_order()))
    assert (kind, ids) == ("removed", ("P-0001",))
    assert why == "held: On which side the mechanism sits, looking along the airflow: P-0001"


def test_a_quantity_that_changes_is_a_change() -> None:
    two = to_order(figures={"quantity": figure("quantity", "Quantity", 2, "", "2")})
    assert told(schedule(two), schedule(to_order())) == [("changed", ("P-0001",), "Quantity", "1", "2")]
