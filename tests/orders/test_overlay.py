# SPDX-License-Identifier: Apache-2.0
"""Openings in plan: corners worked out by hand from the centre, the wall's direction, opening width and thickness."""

from dataclasses import replace
from typing import Any

import pytest

from brattice.building.penetration import BarrierPlane
from brattice.building.plan import PlanBarrier, StoreyPlan
from brattice.details import InstallationDetail, Standing
from brattice.orders import Overlay, builders_work, overlays
from tests.helpers.details import detail_of, figure
from tests.helpers.penetrations import with_facts, without


def wall(*points: tuple[float, float], guid: str = "wall-1", is_floor: bool = False) -> PlanBarrier:
    return PlanBarrier(guid, guid, "EI 60", 60, is_floor, (points,))


ALONG_X = wall((5.0, 7.9375), (20.0, 7.9375), (20.0, 8.0625), (5.0, 8.0625))
"""A wall of 125 mm along x whose middle is y = 8 m; the example damper stands at x = 12 m, y = 8 m."""


def overlay(detail: InstallationDetail, *barriers: PlanBarrier) -> Overlay:
    plan = StoreyPlan("level 1", 3.0, barriers, (), ())
    details = {detail.id: detail}
    (only,) = overlays(builders_work(details).rows, details, [plan])
    return only


def corners(answer: Overlay) -> list[tuple[float, float]]:
    (opening,) = answer.openings
    return sorted((round(x, 3), round(y, 3)) for x, y in opening.outline_mm)


def test_an_opening_of_a_wall_along_x() -> None:
    answer = overlay(detail_of(), ALONG_X)
    assert corners(answer) == [(11642.5, 7937.5), (11642.5, 8062.5), (12357.5, 7937.5), (12357.5, 8062.5)]
    (opening,) = answer.openings
    assert opening.texts == ("P-0001", "framed 715 × 515 mm", "centre 2900 mm", "form")
    assert (opening.layer, opening.radius_mm) == ("BUILDERS-WORK-FORM", None)
    assert answer.barriers_mm == (((5000, 7937.5), (20000, 7937.5), (20000, 8062.5), (5000, 8062.5)),)


def test_an_opening_of_a_wall_along_y() -> None:
    upright = wall((11.9375, 0.0), (12.0625, 0.0), (12.0625, 20.0), (11.9375, 20.0))
    assert corners(overlay(detail_of(), upright)) == [
        (11937.5, 7642.5),
        (11937.5, 8357.5),
        (12062.5, 7642.5),
        (12062.5, 8357.5),
    ]


def test_an_opening_of_a_slanting_wall() -> None:
    """A wall whose direction is 3 : 4; half of 715 along it is (214.5, 286), half of 125 across it (50, −37.5)."""
    ux, uy, half = 0.6, 0.8, 0.0625
    ends = [
        (12 + s * 4 * ux - t * half * uy, 8 + s * 4 * uy + t * half * ux)
        for s, t in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    expected = sorted(
        (round(12000 + s * 214.5 - t * 50, 3), round(8000 + s * 286 + t * 37.5, 3)) for s in (-1, 1) for t in (-1, 1)
    )
    assert corners(overlay(detail_of(), wall(*ends))) == expected


@pytest.mark.parametrize(("off_mm", "is_placed"), [(122.4, True), (122.6, False)])
def test_a_wall_counts_as_that_of_an_opening_up_to_its_finishes(off_mm: float, is_placed: bool) -> None:
    """Half of 125 mm and 60 mm of slack are 122.5 mm to the nearer face."""
    near = 8.0 + off_mm / 1000
    answer = overlay(detail_of(), wall((5.0, near), (20.0, near), (20.0, near + 0.125), (5.0, near + 0.125)))
    assert bool(answer.openings) is is_placed


def test_near_the_end_of_a_wall_its_long_face_counts() -> None:
    short = wall((11.5, 7.9375), (12.05, 7.9375), (12.05, 8.0625), (11.5, 8.0625))
    assert corners(overlay(detail_of(), short))[0] == (11642.5, 7937.5)


def lying(detail: InstallationDetail, right: tuple[float, float, float]) -> InstallationDetail:
    """A penetration of a floor whose width lies in a direction of the models."""
    up = (-right[1], right[0], 0.0)
    return replace(detail, penetration=with_facts(detail.penetration, location__plane=BarrierPlane(right, up)))


def test_openings_of_a_floor_have_their_own_shape() -> None:
    """900 × 600 round (12 000, 8 000): half of each to both sides, the width where the models have it."""
    along_x = overlay(lying(detail_of("floor"), (1.0, 0.0, 0.0)))
    assert corners(along_x) == [(11550, 7700), (11550, 8300), (12450, 7700), (12450, 8300)]
    (opening,) = along_x.openings
    assert opening.texts == ("P-0001", "framed 900 × 600 mm", "form")
    along_y = overlay(lying(detail_of("floor"), (0.0, 1.0, 0.0)))
    assert corners(along_y) == [(11700, 7550), (11700, 8450), (12300, 7550), (12300, 8450)]
    round_ = detail_of("floor", figures={item.key: item for item in detail_of("round in block wall").figures})
    (opening,) = overlay(round_).openings
    assert (opening.centre_mm, opening.radius_mm, opening.outline_mm) == ((12000, 8000), 207.5, ())
    assert opening.texts[1] == "framed Ø 415 mm"


def test_an_opening_of_a_floor_that_may_lie_either_way_is_not_placed() -> None:
    detail = detail_of("floor")
    bare = replace(detail, penetration=with_facts(detail.penetration, location__plane=None))
    assert overlay(bare).not_placed == (("P-0001", "No model says which way the width of its opening lies."),)
    sides = {f"framed-{side}": figure(f"framed-{side}", "Framed opening", 600, "mm") for side in ("width", "height")}
    square = replace(detail_of("floor", figures=sides), penetration=bare.penetration)
    assert corners(overlay(square))[0] == (11700, 7700)


def test_a_round_opening_of_a_wall_is_as_wide_as_its_diameter() -> None:
    thick = wall((5.0, 7.925), (20.0, 7.925), (20.0, 8.075), (5.0, 8.075))
    assert corners(overlay(detail_of("round in block wall"), thick))[0] == (11792.5, 7925)


@pytest.mark.parametrize(
    ("changes", "barriers", "why"),
    [
        ({"location__centre_m": None}, (ALONG_X,), "No model says where it is."),
        ({}, (), "No plan shows its wall there."),
        ({}, (replace(ALONG_X, guid="another"),), "No plan shows its wall there."),
        ({}, (wall((5.0, 1.0), (20.0, 1.0), (20.0, 1.1), (5.0, 1.1)),), "No plan shows its wall there."),
    ],
)
def test_what_has_no_place_is_listed_with_why(changes: dict[str, Any], barriers: Any, why: str) -> None:
    detail = detail_of()
    answer = overlay(replace(detail, penetration=with_facts(detail.penetration, **changes)), *barriers)
    assert (answer.openings, answer.not_placed) == ((), (("P-0001", why),))


def test_what_has_no_size_or_no_thickness_is_not_placed() -> None:
    gone = overlay(detail_of(figures={"framed-width": None}), ALONG_X)
    assert gone.not_placed == (("P-0001", "The size of its framed opening is to be settled."),)
    detail = detail_of()
    thin = overlay(replace(detail, penetration=without(detail.penetration, "barrier__thickness_mm")), ALONG_X)
    assert thin.not_placed == (("P-0001", "The thickness of its wall is not known."),)


def test_what_is_held_is_drawn_on_a_layer_of_its_own() -> None:
    held = detail_of(standing=Standing.TO_BE_SETTLED, why="Not yet.")
    (opening,) = overlay(held, ALONG_X).openings
    assert (opening.layer, opening.texts[-1]) == ("BUILDERS-WORK-HELD", "held")


def test_a_storey_written_in_two_ways_has_one_overlay() -> None:
    other = detail_of(id="P-0002")
    other = replace(other, penetration=with_facts(other.penetration, location__storey="level  1"))
    details = {"P-0001": detail_of(), "P-0002": other}
    (only,) = overlays(builders_work(details).rows, details, [StoreyPlan("LEVEL 1", 3.0, (ALONG_X,), (), ())])
    assert [item.id for item in only.openings] == ["P-0001", "P-0002"]


def test_one_overlay_a_storey_without_its_floors() -> None:
    other = detail_of(id="P-0002")
    other = replace(other, penetration=with_facts(other.penetration, location__storey="Level 2"))
    details = {"P-0001": detail_of(), "P-0002": other}
    floor = wall((0, 0), (9, 0), (9, 9), guid="slab", is_floor=True)
    plans = [StoreyPlan("Level 1", 3.0, (ALONG_X, floor), (), ())]
    answer = overlays(builders_work(details).rows, details, plans)
    assert [(item.storey, len(item.openings), len(item.barriers_mm)) for item in answer] == [
        ("Level 1", 1, 1),
        ("Level 2", 0, 0),
    ]
