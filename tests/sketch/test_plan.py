# SPDX-License-Identifier: Apache-2.0
from itertools import combinations

import pytest

from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.drawing.primitives import Circle, Drawing, Fill, Group, Polygon, Text, box_of, flat
from brattice.sketch.plan import PlanMark, RatingBand, draw_plan, rating_band, rating_legend


def barrier(minutes: int | None, *outline: tuple[float, float], floor: bool = False) -> PlanBarrier:
    return PlanBarrier("g", "Wall", "", minutes, floor, (outline,))


WALL = barrier(60, (0, 0), (20, 0), (20, 0.2), (0, 0.2))


def plan(*barriers: PlanBarrier) -> StoreyPlan:
    return StoreyPlan("Level 1", 0.0, barriers or (WALL,), (((1, -2), (2, -2), (2, 2), (1, 2)),), ())


def marks(count: int, step: float = 1.0) -> list[PlanMark]:
    return [
        PlanMark(f"P-{n:04d}", 1 + step * (n % 15), 0.1 + 0.3 * (n // 15), "circle", "within scope")
        for n in range(count)
    ]


def flags(drawing: Drawing) -> list[Group]:
    return [item for item in drawing.items if isinstance(item, Group)]


@pytest.mark.parametrize(
    ("minutes", "band"),
    [
        (None, RatingBand.UNKNOWN),
        (0, RatingBand.UNRATED),
        (30, RatingBand.BELOW_60),
        (59, RatingBand.BELOW_60),
        (60, RatingBand.FROM_60),
        (119, RatingBand.FROM_60),
        (120, RatingBand.FROM_120),
        (240, RatingBand.FROM_120),
    ],
)
def test_bands_of_ratings_at_their_limits(minutes: int | None, band: RatingBand) -> None:
    assert rating_band(minutes) is band


def test_a_rating_that_is_not_known_never_looks_like_an_unrated_wall() -> None:
    drawn = {}
    for minutes in (None, 0, 30, 60, 120):
        items = draw_plan(plan(barrier(minutes, (0, 0), (20, 0), (20, 1), (0, 1))), []).items
        walls = (item for item in items if isinstance(item, Polygon) and item.fill is not Fill.DUCT)
        drawn[minutes] = next(walls).fill
    assert len(set(drawn.values())) == 5


@pytest.mark.parametrize("count", [0, 1, 15, 90, 400])
def test_every_mark_has_a_flag_with_its_id_and_none_lies_on_another(count: int) -> None:
    drawing = draw_plan(plan(), marks(count))
    groups = flags(drawing)
    assert sorted(group.link for group in groups) == [mark.id for mark in marks(count)]
    assert all(group.label.endswith(": within scope") for group in groups)
    texts = [box_of([item]) for item in flat(groups) if isinstance(item, Text)]
    assert len(texts) == count
    assert all(not one.meets(other) for one, other in combinations(texts, 2))
    assert drawing.frame.holds(box_of(drawing.items))


def test_places_of_the_national_grid_are_drawn_like_any_other() -> None:
    far = (432_000.0, 387_000.0)
    moved = [PlanMark(m.id, m.x_m + far[0], m.y_m + far[1], m.mark, m.words) for m in marks(3)]
    wall = barrier(60, *((x + far[0], y + far[1]) for x, y in ((0, 0), (20, 0), (20, 0.2), (0, 0.2))))
    near, there = (
        draw_plan(StoreyPlan("", 0, (WALL,), (), ()), marks(3)),
        draw_plan(StoreyPlan("", 0, (wall,), (), ()), moved),
    )
    assert near.denominator == there.denominator
    assert there.frame.width == pytest.approx(near.frame.width, abs=0.01)
    assert there.frame.height == pytest.approx(near.frame.height, abs=0.01)


def test_two_places_close_together_get_leaders_to_their_own_points() -> None:
    near = [
        PlanMark("P-1", 5.0, 0.1, "cross", "outside scope"),
        PlanMark("P-2", 5.05, 0.1, "dot", "no protection needed"),
    ]
    groups = flags(draw_plan(plan(), near))
    assert any(isinstance(item, Circle) and item.fill is Fill.INK for item in flat(groups))


def test_an_empty_storey_is_still_a_drawing() -> None:
    drawing = draw_plan(StoreyPlan("Roof", 9.0, (), (), ()), [])
    assert drawing.frame.width > 0
    assert drawing.title == "Plan of Roof"


def test_the_order_of_marks_changes_nothing() -> None:
    given = marks(40)
    assert draw_plan(plan(), given) == draw_plan(plan(), given[::-1])


def test_a_floor_is_an_outline_and_hides_no_wall() -> None:
    floor = barrier(120, (0, -5), (20, -5), (20, 5), (0, 5), floor=True)
    filled = [item for item in draw_plan(plan(floor, WALL), []).items if isinstance(item, Polygon)]
    assert {item.fill for item in filled} >= {Fill.RATING_MID}
    assert Fill.RATING_HIGH not in {item.fill for item in filled}


def test_the_legend_names_the_bands_that_are_there() -> None:
    texts = [
        item.text for item in rating_legend([RatingBand.UNKNOWN, RatingBand.FROM_60]).items if isinstance(item, Text)
    ]
    assert texts == ["rating not known", "60 to 119 min"]
