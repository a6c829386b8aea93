# SPDX-License-Identifier: Apache-2.0
import pytest

from brattice.drawing.marks import MARKS, mark_items
from brattice.drawing.primitives import (
    Anchor,
    Box,
    Circle,
    Fill,
    Group,
    Ink,
    Item,
    Pen,
    Polygon,
    Polyline,
    Text,
    box_of,
    flat,
    rectangle,
)
from brattice.usecases.states import STATES


def test_the_box_holds_everything_in_groups_too() -> None:
    items: list[Item] = [
        Group("a", (Circle((10, 10), 2, Fill.INK), Group("b", (Polyline(((0, 0), (1, -3)), Pen.THIN),)))),
        Polygon((rectangle(4, 4, 20, 5),), Fill.NONE),
    ]
    assert box_of(items) == Box(0, -3, 20, 12)
    assert len(list(flat(items))) == 3


def test_a_text_is_as_wide_as_its_metrics_on_the_side_of_its_anchor() -> None:
    width = Text((0, 0), "600", 10).width()
    assert width == pytest.approx(16.68)  # three digits of 556
    assert box_of([Text((0, 0), "600", 10)]).right == pytest.approx(width)
    assert box_of([Text((0, 0), "600", 10, Anchor.END)]).left == pytest.approx(-width)
    assert box_of([Text((0, 0), "600", 10, Anchor.MIDDLE)]).right == pytest.approx(width / 2)
    turned = box_of([Text((0, 0), "600", 10, turned=True)])
    assert turned.top == pytest.approx(width)
    assert turned.left < 0 < turned.right
    assert Text((0, 0), "600", 10, ink=Ink.STRONG).width() > width


def test_nothing_has_an_empty_box() -> None:
    assert box_of([]) == Box(0, 0, 0, 0)


def test_touching_boxes_do_not_meet_and_overlapping_ones_do() -> None:
    assert not Box(0, 0, 1, 1).meets(Box(1, 0, 2, 1))
    assert Box(0, 0, 1, 1).meets(Box(0.9, 0.9, 2, 2))
    assert Box(0, 0, 2, 2).holds(Box(0, 0, 2, 2))
    assert not Box(0, 0, 2, 2).holds(Box(0, 0, 2, 2.1))


def test_each_state_has_a_mark_and_no_two_marks_have_one_shape() -> None:
    assert {spec.mark for spec in STATES} == set(MARKS)
    shapes = set()
    for mark in MARKS:
        items = mark_items(mark, (0, 0), 4)
        box = box_of(items)
        assert max(box.width, box.height) <= 4 + 1e-9
        tones = dict.fromkeys(MARKS.values(), Fill.NONE)
        shapes.add(
            repr(
                [
                    (type(item), tones.get(getattr(item, "fill", Fill.NONE)), getattr(item, "rings", None),
                     getattr(item, "radius", None), getattr(item, "points", None))
                    for item in items
                ]
            )
        )  # fmt: skip
    assert len(shapes) == len(MARKS)
    assert len(set(MARKS.values())) == len(MARKS)
