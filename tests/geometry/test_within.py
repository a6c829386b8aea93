# SPDX-License-Identifier: Apache-2.0
"""What of a body lies in a box; every expected extent is a hand difference of the two shapes' own numbers."""

from __future__ import annotations

import numpy as np
import pytest

from brattice.geometry.mesh import Box, Mesh
from brattice.geometry.within import extent_within
from tests.geometry.shapes import box, pipe_along, together, turned, with_flipped

ROOM = Box(np.array([0.0, 0.0, 0.0]), np.array([1000.0, 800.0, 600.0]))


def inside(mesh: Mesh) -> tuple[list[float], list[float]] | None:
    found = extent_within(mesh.corners, mesh.bodies, ROOM)
    return None if found is None else (found.low.tolist(), found.high.tolist())


def test_a_body_that_reaches_in_is_cut_at_the_box() -> None:
    assert inside(box((900, -50, 100), (1200, 300, 200))) == ([900, 0, 100], [1000, 300, 200])


def test_a_body_wholly_inside_keeps_its_own_extent() -> None:
    assert inside(box((100, 200, 300), (150, 250, 350))) == ([100, 200, 300], [150, 250, 350])


def test_a_body_round_the_whole_box_fills_it() -> None:
    assert inside(box((-500, -500, -500), (2000, 2000, 2000))) == ([0, 0, 0], [1000, 800, 600])


@pytest.mark.parametrize("side", [0, 1, 2])
def test_what_touches_a_face_is_not_inside_and_a_tenth_of_a_millimetre_more_is(side: int) -> None:
    low, high = [100.0, 100.0, 100.0], [200.0, 200.0, 200.0]
    low[side], high[side] = ROOM.high[side], ROOM.high[side] + 100.0
    assert inside(box(low, high)) is None
    low[side] -= 0.1
    found = inside(box(low, high))
    assert found is not None
    assert found[0][side] == pytest.approx(ROOM.high[side] - 0.1)


def test_a_sloped_pipe_whose_box_meets_but_whose_body_passes_by() -> None:
    """From (1300, 600) down to (900, 1200) in plan: the line keeps 50 mm and more outside the corner (1000, 800).

    The distance from the corner to the line 3x + 2y = 5100 is |3000 + 1600 - 5100| / √13 = 138.7 mm; the pipe's radius
    is 50 mm, while its bounding box (850 … 1350, 550 … 1250) overlaps the room.
    """
    pipe = pipe_along([(1300, 600, 300), (900, 1200, 300)], 50.0)
    assert pipe.box.meets(ROOM)
    assert inside(pipe) is None
    assert inside(pipe_along([(1300, 600, 300), (900, 1200, 300)], 150.0)) is not None  # 150 > 138.7


def test_winding_and_several_bodies_change_nothing() -> None:
    one, other = box((-100, -100, -100), (300, 900, 700)), box((-100, -100, -100), (500, 900, 700))
    for mesh in (together(one, other), with_flipped(together(one, other), 3)):
        assert inside(mesh) == ([0, 0, 0], [500, 800, 600])


def test_an_open_sheet_beside_the_box_encloses_nothing() -> None:
    corners = np.array([[-100.0, -5000, -5000], [-100, 5000, -5000], [-100, 0, 9000]])
    sheet = Mesh.of(corners, np.array([[0, 1, 2]]))
    assert inside(sheet) is None


def test_a_turned_body_is_cut_as_its_corners_say() -> None:
    """A square bar of 200 mm turned by 45°: its edge at 100·√2 from its axis reaches 41.4 mm into the room."""
    bar = turned(box((-100, -100, 100), (100, 100, 500)), (0.0, 0.0, 45.0), (1100.0, 400.0, 0.0))
    found = inside(bar)
    assert found is not None
    assert found[0][0] == pytest.approx(1100.0 - 100.0 * 2**0.5, abs=0.002)


def test_a_box_without_room_holds_nothing() -> None:
    thin = Box(np.array([0.0, 0.0, 0.0]), np.array([0.0, 800.0, 600.0]))
    body = box((-100, -100, -100), (100, 900, 700))
    assert extent_within(body.corners, body.bodies, thin) is None
